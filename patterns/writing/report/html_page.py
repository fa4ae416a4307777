"""A self-contained page of HTML: sections of text, tables and drawings, readable on a phone and in black on paper.

Knows no boat: whoever has something to tell makes `Section` values and gets a page. Every text is escaped; drawings
are inline SVG whose ids the writer of each has made its own.
"""

from __future__ import annotations

import base64
import json
from collections.abc import Iterable, Iterator, Sequence
from functools import cache
from pathlib import Path
from typing import Any

import numpy as np
from jinja2 import Environment, FileSystemLoader, StrictUndefined, Template
from markupsafe import Markup, escape
from numpy.typing import NDArray

from patterns.drawing.marks import Drawing
from patterns.units.lengths import kept_whole
from patterns.writing.ink.svg import svg_again, svg_inline
from patterns.writing.report.report_blocks import Block, Figure, Figures, Model, Section, Steps, Table

TEMPLATES = Path(__file__).parent / "templates"
MOST = 32767  # steps that two bytes count either way
MODEL_SAID = "The finished boat, shaded. Arrow keys turn it, + and - come nearer and go further off, Home puts it back."


def html_page(title: str, lead: Sequence[Block], sections: Sequence[Section]) -> str:
    """The page: a title, what to know before anything else, a list of contents, and the sections.

    Raises
    ------
    ValueError
        Two drawings with one name, or two sections with one title: a bug of ours.
    """
    within = list(_every(sections))
    _refuse_twins([section.anchor for section in within])
    blocks = [*lead, *(block for section in within for block in section.blocks)]
    drawings = [drawing for block in blocks for drawing in _drawings(block)]
    _refuse_twins([drawing.file_name for drawing in drawings])
    modelled = any(isinstance(block, Model) for block in blocks)
    return _template().render(title=title, lead=lead, sections=sections, modelled=modelled)


def _every(sections: Iterable[Section]) -> Iterator[Section]:
    for section in sections:
        yield section
        yield from _every(section.parts)


def _drawings(block: Block) -> tuple[Drawing, ...]:
    match block:
        case Figure():
            return (block.drawing,)
        case Figures():
            return tuple(figure.drawing for figure in block.entries)
        case Steps():
            return tuple(step.picture for step in block.entries if step.picture)
        case Model():
            return (block.still,)
        case _:
            return ()


def _refuse_twins(names: Sequence[str]) -> None:
    twins = {name for name in names if names.count(name) > 1}
    if twins:
        raise ValueError(f"more than once on one page: {', '.join(sorted(twins))}")


def _inline(drawing: Drawing) -> Markup:
    # Our own writer has escaped whatever the builder typed.
    return Markup(svg_inline(drawing))


def _again(drawing: Drawing) -> Markup:
    return Markup(svg_again(drawing))


def _rows(table: Table) -> Markup:
    """The body of a table: cells are thousands, and a template turns each over several times."""
    figure, word = '<td class="figure">%s</td>', "<td>%s</td>"
    cells = "".join(figure if table.is_figure(place) else word for place in range(len(table.columns)))
    row = f"<tr>{cells}</tr>"
    return Markup("\n".join(row % tuple(escape(kept_whole(cell)) for cell in words) for words in table.rows))


def _model(block: Model) -> Markup:
    """Bodies for the page's script, and nothing that could end the element they stand in.

    Points are whole steps from the boat's middle, two bytes each; triangles are numbers of points, two bytes each.
    """
    points = np.concatenate([body.mesh.points for body in block.bodies])
    apart = np.concatenate([body.pulled_out().mesh.points for body in block.bodies])
    middle, half = (points.min(axis=0) + points.max(axis=0)) / 2, np.ptp(points, axis=0) / 2
    more = np.abs(apart - middle).max(axis=0) - half
    reach = float(np.abs(points - middle).max())
    step = reach / MOST
    told = {
        "said": MODEL_SAID,
        "step": float(f"{step:.6g}"),
        "reach": round(float(np.sqrt(((points - middle) ** 2).sum(axis=1)).max()), 1),
        "half": half.round().tolist(),
        "more": more.round().tolist(),
        "bodies": [
            {
                "tone": body.tone,
                "pulled": [round(far) for far in body.pulled],
                "points": _base64(((body.mesh.points - middle) / step).round().astype("<i2")),
                "triangles": _base64(body.mesh.triangles.astype("<u2")),
            }
            for body in block.bodies
        ],
    }
    return Markup(json.dumps(told, separators=(",", ":")).replace("<", "\\u003c"))


def _base64(numbers: NDArray[Any]) -> str:
    return base64.b64encode(numbers.tobytes()).decode("ascii")


@cache
def _template() -> Template:
    environment = Environment(
        loader=FileSystemLoader(TEMPLATES),
        autoescape=True,
        undefined=StrictUndefined,
        trim_blocks=True,
        lstrip_blocks=True,
        keep_trailing_newline=True,
    )
    environment.filters["inline"] = _inline
    environment.filters["again"] = _again
    environment.filters["model"] = _model
    environment.filters["rows"] = _rows
    environment.filters["kind"] = lambda block: type(block).__name__
    return environment.get_template("page.html")
