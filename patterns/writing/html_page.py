"""A self-contained page of HTML: sections of text, tables and drawings, readable on a phone and in black on paper.

Knows no boat: whoever has something to tell makes `Section` values and gets a page. Every text is escaped; drawings
are inline SVG whose ids the writer of each has made its own.
"""

from __future__ import annotations

from collections.abc import Sequence
from functools import cache
from pathlib import Path

from jinja2 import Environment, FileSystemLoader, StrictUndefined, Template
from markupsafe import Markup

from patterns.drawing.marks import Drawing
from patterns.writing.blocks import Figure, Paragraph, Section
from patterns.writing.svg import svg_inline

TEMPLATES = Path(__file__).parent / "templates"


def html_page(title: str, lead: Sequence[Paragraph], sections: Sequence[Section]) -> str:
    """The page: a title, what to know before anything else, a list of contents, and the sections.

    Raises
    ------
    ValueError
        Two drawings with one name, or two sections with one title: a bug of ours.
    """
    _refuse_twins([section.anchor for section in sections])
    figures = [block for section in sections for block in section.blocks if isinstance(block, Figure)]
    _refuse_twins([figure.drawing.file_name for figure in figures])
    return _template().render(title=title, lead=lead, sections=sections)


def _refuse_twins(names: Sequence[str]) -> None:
    twins = {name for name in names if names.count(name) > 1}
    if twins:
        raise ValueError(f"more than once on one page: {', '.join(sorted(twins))}")


def _inline(drawing: Drawing) -> Markup:
    # Our own writer has escaped whatever the builder typed.
    return Markup(svg_inline(drawing))


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
    environment.filters["kind"] = lambda block: type(block).__name__
    return environment.get_template("page.html")
