"""The lines drawing with its tables: one page of HTML, and the drawings as PDF."""

from __future__ import annotations

from collections.abc import Sequence

from patterns.drawing.placed import placed
from patterns.plates.view_field import View
from patterns.tiling.page import Page
from patterns.units.datums import BASE, HEIGHTS_IN_TOML
from patterns.writing.blocks import Block, Figure, Paragraph, Section
from patterns.writing.fair_tables import FairedTable
from patterns.writing.html_page import html_page
from patterns.writing.pdf import pdf_bytes

CAUTION = (
    "The program gives shapes, not strength or stability: follow local codes and a licensed professional. Look at "
    "every move and every doubt here before you make patterns: nothing of the plan has been corrected."
)


def lines_html(table: FairedTable, views: Sequence[View], tables: Sequence[Section]) -> str:
    """A page with the drawings and then the sections of tables."""
    boat = table.boat
    lead = [boat.about] if boat.about else []
    lead.append(f"The lines as faired from {table.form.file}, to the {boat.skin.lines_to}.")
    drawn: list[Block] = [Paragraph(CAUTION, "caution")]
    if table.form.read_as:
        drawn.append(Paragraph(f"{table.form.file} was read as {table.form.read_as}.", "note"))
    drawn.append(Paragraph(_datum_told(table), "note"))
    drawn += [Figure(view.drawing, f"{view.drawing.title}. {' '.join(view.notes)}") for view in views]
    return html_page(f"{boat.name}: lines", lead, [Section("Drawings", tuple(drawn)), *tables])


def _datum_told(table: FairedTable) -> str:
    told = table.form.datum.told(table.boat.show)
    return told if table.form.datum == BASE else f"{told} {HEIGHTS_IN_TOML}"


def lines_pdf(boat: str, views: Sequence[View], *, width: float, height: float, margin: float) -> bytes:
    """Each view on a sheet of paper, mm; it was made to fill what the margins leave."""
    drawings = [view.drawing for view in views]
    sheets = [(drawing.title, tuple(placed(mark, (margin, margin)) for mark in drawing.marks)) for drawing in drawings]
    pages = [Page(width, height, marks, title, entry=title) for title, marks in sheets]
    return pdf_bytes(pages, title=f"{boat}: lines", subject="lines as faired, to scale")
