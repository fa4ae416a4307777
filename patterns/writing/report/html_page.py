"""A self-contained page of HTML: sections of text, tables and drawings, readable on a phone and in black on paper.

Knows no boat: whoever has something to tell makes `Section` values and gets a page. Every text is escaped; drawings
are inline SVG whose ids the writer of each has made its own.
"""

from __future__ import annotations

import json
from collections.abc import Iterable, Iterator, Sequence
from functools import cache
from pathlib import Path

from jinja2 import Environment, FileSystemLoader, StrictUndefined, Template
from markupsafe import Markup, escape

from patterns.drawing.marks import Drawing
from patterns.units.lengths import kept_whole
from patterns.writing.ink.svg import svg_inline
from patterns.writing.report.report_blocks import Block, Figure, Paragraph, Section, Table, Turnable

TEMPLATES = Path(__file__).parent / "templates"


def html_page(title: str, lead: Sequence[Paragraph], sections: Sequence[Section]) -> str:
    """The page: a title, what to know before anything else, a list of contents, and the sections.

    Raises
    ------
    ValueError
        Two drawings with one name, or two sections with one title: a bug of ours.
    """
    within = list(_every(sections))
    _refuse_twins([section.anchor for section in within])
    drawings = [drawing for section in within for block in section.blocks for drawing in _drawings(block)]
    _refuse_twins([drawing.file_name for drawing in drawings])
    turnable = any(isinstance(block, Turnable) for section in within for block in section.blocks)
    return _template().render(title=title, lead=lead, sections=sections, turnable=turnable)


def _every(sections: Iterable[Section]) -> Iterator[Section]:
    for section in sections:
        yield section
        yield from _every(section.parts)


def _drawings(block: Block) -> tuple[Drawing, ...]:
    if isinstance(block, Figure):
        return (block.drawing,)
    return (block.still,) if isinstance(block, Turnable) else ()


def _refuse_twins(names: Sequence[str]) -> None:
    twins = {name for name in names if names.count(name) > 1}
    if twins:
        raise ValueError(f"more than once on one page: {', '.join(sorted(twins))}")


def _inline(drawing: Drawing) -> Markup:
    # Our own writer has escaped whatever the builder typed.
    return Markup(svg_inline(drawing))


def _rows(table: Table) -> Markup:
    """The body of a table: cells are thousands, and a template turns each over several times."""
    figure, word = '<td class="figure">%s</td>', "<td>%s</td>"
    cells = "".join(figure if table.is_figure(place) else word for place in range(len(table.columns)))
    row = f"<tr>{cells}</tr>"
    return Markup("\n".join(row % tuple(escape(kept_whole(cell)) for cell in words) for words in table.rows))


def _wires(block: Turnable) -> Markup:
    """Lines in space for the page's script: whole mm, and nothing that could end the element they stand in."""
    told = [[wire.name, int(wire.heavy), wire.points.round().astype(int).ravel().tolist()] for wire in block.wires]
    return Markup(json.dumps(told, separators=(",", ":")).replace("<", "\\u003c"))


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
    environment.filters["wires"] = _wires
    environment.filters["rows"] = _rows
    environment.filters["kind"] = lambda block: type(block).__name__
    return environment.get_template("page.html")
