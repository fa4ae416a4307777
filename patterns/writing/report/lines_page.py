"""The lines drawing with its tables: one page of HTML, and the drawings as PDF."""

from __future__ import annotations

from collections.abc import Sequence

from patterns.drawing.moved_marks import placed
from patterns.plates.view_field import View
from patterns.tiling.paper.page import Page
from patterns.units.datums import BASE, HEIGHTS_IN_TOML
from patterns.writing.ink.pdf import pdf_bytes
from patterns.writing.report.fair_tables import FairedTable, report
from patterns.writing.report.html_page import html_page
from patterns.writing.report.report_blocks import Figure, Paragraph, Section
from patterns.writing.report.report_pdf import report_pages

CAUTION = (
    "The program gives shapes, not strength or stability: follow local codes and a licensed professional. Look at "
    "every move and every doubt here before you make patterns: nothing of the plan has been corrected."
)


def lines_html(table: FairedTable, views: Sequence[View]) -> str:
    """What is in doubt, the drawings, and the tables."""
    figures = tuple(Figure(view.drawing, f"{view.drawing.title}. {' '.join(view.notes)}") for view in views)
    doubts, *others = report(table)
    return html_page(f"{table.boat.name}: lines", _lead(table), [doubts, Section("Drawings", figures), *others])


def _lead(table: FairedTable) -> list[Paragraph]:
    """What to know before anything else."""
    boat, form = table.boat, table.form
    lead = [Paragraph(boat.about)] if boat.about else []
    lead += [
        Paragraph(f"The lines as faired from {form.file}, to the {boat.lines_to}."),
        Paragraph(CAUTION, "caution"),
        Paragraph(_datum_told(table), "note"),
    ]
    if form.read_as:
        lead.append(Paragraph(f"{form.file} was read as {form.read_as}.", "note"))
    return lead


def _datum_told(table: FairedTable) -> str:
    told = table.form.datum.told(table.boat.show)
    return told if table.form.datum == BASE else f"{told} {HEIGHTS_IN_TOML}"


def lines_pdf(table: FairedTable, views: Sequence[View], *, width: float, height: float, margin: float) -> bytes:
    """What the page of HTML tells, then each view on a sheet; mm, made to fill what the margins leave."""
    title = f"{table.boat.name}: lines"
    told = report_pages(title, _lead(table), report(table), width=width, height=height, margin=margin)
    drawings = [view.drawing for view in views]
    sheets = [(drawing.title, tuple(placed(mark, (margin, margin)) for mark in drawing.marks)) for drawing in drawings]
    pages = [Page(width, height, marks, title, entry=title) for title, marks in sheets]
    return pdf_bytes([*told, *pages], title=title, subject="lines as faired, to scale")
