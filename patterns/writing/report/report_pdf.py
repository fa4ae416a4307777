"""A report as a PDF for the wall: in columns, tables and pictures, a list of contents, every page numbered.

The same sections that make a page of HTML, set with the lettering of the patterns; knows no boat.
"""

from __future__ import annotations

from collections.abc import Callable, Iterator, Sequence
from dataclasses import dataclass, field
from math import fsum
from typing import assert_never

import numpy as np

from patterns.drawing.marks import Drawing, Ink, Label, Layer, Stroke
from patterns.drawing.moved_marks import placed
from patterns.drawing.text import cut_short, text_width, unbroken_words, without_strangers
from patterns.drawing.turning import extent
from patterns.tiling.paper.page import Page
from patterns.writing.ink.pdf import pdf_bytes
from patterns.writing.report.report_blocks import (
    Block,
    Bullets,
    Copied,
    Facts,
    Figure,
    Figures,
    Links,
    Model,
    Paragraph,
    Section,
    Steps,
    Table,
    Thumbs,
)
from patterns.writing.report.set_text import box, broken, rule, scaled, shared_widths

LEAST_MARGIN = 12.0  # mm; printers leave less blank, and a pin wants room
GUTTER = 6.0  # mm between columns
NARROWEST, WIDEST = 80.0, 140.0  # mm a column may be: narrower tables break their words, longer lines lose the eye
FOOT = 7.0  # mm for the page's number
TITLE, HEADING, PART, TEXT, SMALL = 5.0, 3.4, 2.6, 2.1, 1.8  # mm, capitals
LINE = 1.75  # of a capital's height, from line to line
GAP = 2.2  # mm between blocks
CELL_GAP = 2.5  # mm between a table's columns
INDENT = 4.0  # mm of bullets and tick boxes
PICTURE = 26.0  # mm, height of a small picture at the most
SMALL_PICTURE = 18.0  # mm, height of one of several side by side
THUMBS = 4  # pictures of the contents in a row of a column
PLAN = 100.0  # mm, height of a large one
BAND = 30.0  # mm; columns lower than this are not worth beginning


def report_pdf(
    title: str, lead: Sequence[Block], sections: Sequence[Section], *, width: float, height: float, margin: float
) -> bytes:
    """The report on paper ``width`` by ``height`` mm."""
    pages = report_pages(title, lead, sections, width=width, height=height, margin=margin)
    return pdf_bytes(pages, title=title, subject="job book, for the wall")


def report_pages(
    title: str, lead: Sequence[Block], sections: Sequence[Section], *, width: float, height: float, margin: float
) -> Iterator[Page]:
    """The report's pages alone, for who has others to bind with them."""
    flow = _Flow(width, height, max(margin, LEAST_MARGIN))
    flow.heading(title, TITLE)
    for block in lead:
        _block(flow, block)
    contents = flow.reserved(len(sections))
    for section in sections:
        _section(flow, section)
    return flow.finished(title, contents)


@dataclass(slots=True)
class _Flow:
    """Ink set down column by column, page by page; what is wider than a column goes across both."""

    width: float  # mm, of the paper
    height: float
    margin: float
    pages: list[list[Ink]] = field(default_factory=lambda: [[]])
    starts: list[tuple[str, int]] = field(default_factory=list)  # sections, and the pages they begin on, from 0
    column: int = 0
    top: float = field(init=False)  # mm, where the columns of this band begin
    y: float = field(init=False)
    lowest: float = field(init=False)  # mm, the lower end of the longest column of the band

    def __post_init__(self) -> None:
        self.top = self.y = self.lowest = self.height - self.margin

    @property
    def columns(self) -> int:
        many = max(2, int(np.ceil((self.across + GUTTER) / (WIDEST + GUTTER))))
        return many if (self.across + GUTTER) / many - GUTTER >= NARROWEST else 1

    @property
    def room(self) -> float:
        """mm, the width of a column."""
        return (self.across + GUTTER) / self.columns - GUTTER

    @property
    def across(self) -> float:
        return self.width - 2 * self.margin

    @property
    def x(self) -> float:
        return self.margin + self.column * (self.room + GUTTER)

    def need(self, height: float) -> None:
        """Go on in the next column where this one has not so much left."""
        if self.y - height >= self.margin + FOOT:
            return
        self.lowest = min(self.lowest, self.y)
        if self.column + 1 < self.columns:
            self.column, self.y = self.column + 1, self.top
            # A band begun low has no more room in its other column either.
            if self.y - height >= self.margin + FOOT:
                return
        self.next_page()

    def next_page(self) -> None:
        self.pages.append([])
        self.column = 0
        self.top = self.y = self.lowest = self.height - self.margin

    def full_width(self, height: float) -> None:
        """End the columns here, so that what comes next goes across them."""
        self.y = min(self.lowest, self.y)
        if self.y - height < self.margin + FOOT:
            self.next_page()
        self.column = 0

    def new_band(self) -> None:
        """Begin columns again under what went across them, where they have room to be read."""
        if self.y - BAND < self.margin + FOOT:
            self.next_page()
        self.top = self.lowest = self.y

    def down(self, height: float) -> None:
        self.y -= height

    def ink(self, *marks: Ink) -> None:
        self.pages[-1].extend(marks)

    def line(self, text: str, size: float, *, indent: float = 0.0) -> None:
        """One line of text, for which there is room."""
        self.ink(Label(text, (self.x + indent, self.y - size / 2), size, anchor="start"))
        self.down(LINE * size)

    def text(self, text: str, size: float, *, indent: float = 0.0) -> None:
        """Words in as many lines as they take."""
        for line in broken(text, size, self.room - indent):
            self.need(LINE * size)
            self.line(line, size, indent=indent)

    def heading(self, text: str, size: float) -> None:
        """A heading, never alone at the foot of a column."""
        lines = broken(text, size, self.room)
        self.need(len(lines) * LINE * size + PICTURE + 8 * SMALL)
        if self.y < self.top:
            self.down(size)
        for line in lines:
            self.line(line, size)
        self.down(0.3 * size)

    def reserved(self, lines: int) -> tuple[float, float]:
        """Room for the list of contents: where it begins."""
        at = (self.x, self.y)
        self.down(lines * LINE * TEXT + GAP)
        return at

    def finished(self, title: str, contents: tuple[float, float]) -> Iterator[Page]:
        """Every page with its number, the list of contents on the first."""
        x, y = contents
        for row, (section, page) in enumerate(self.starts):
            at = y - row * LINE * TEXT - TEXT / 2
            number = Label(str(page + 1), (x + self.room, at), TEXT, anchor="end")
            self.pages[0] += [Label(section, (x, at), TEXT, anchor="start"), number]
        for number_, ink in enumerate(self.pages):
            place = f", page {number_ + 1} of {len(self.pages)}"
            name = cut_short(without_strangers(title), size=SMALL, width=self.across, tail=place)
            foot = Label(name, (self.width / 2, self.margin), SMALL)
            entry = next((section for section, page in self.starts if page == number_), "")
            yield Page(self.width, self.height, (*ink, foot), name, entry)


def _section(flow: _Flow, section: Section) -> None:
    if section.blocks and _across(section.blocks[0]):
        flow.full_width(PLAN + 12 * TEXT)
    flow.heading(section.title, HEADING)
    flow.starts.append((without_strangers(section.title), len(flow.pages) - 1))
    for block in section.blocks:
        _block(flow, block)
    for part in section.parts:
        if part.blocks and _across(part.blocks[0]):
            flow.full_width(PLAN + 12 * TEXT)
        flow.heading(part.title, PART)
        for block in part.blocks:
            _block(flow, block)


def _across(block: Block) -> bool:
    """Whether it is set across both columns."""
    return isinstance(block, Model) or (isinstance(block, Figure) and _large(block))


def _large(figure: Figure) -> bool:
    return figure.across or not figure.fitted


def _block(flow: _Flow, block: Block) -> None:
    match block:
        case Paragraph():
            _paragraph(flow, block)
        case Copied():
            for line in block.lines:
                flow.text(line, SMALL, indent=INDENT)
            flow.down(GAP)
        case Bullets():
            for entry in block.entries:
                _bullet(flow, entry)
            flow.down(GAP)
        case Links():
            _links(flow, block)
        case Steps():
            _steps(flow, block)
        case Table():
            _table(flow, block)
        case Figure():
            _figure(flow, block.drawing, block.caption, fitted=not _large(block), rows_below=block.rows_below)
        case Figures():
            _beside(flow, [(one.drawing, one.caption) for one in block.entries], across=len(block.entries))
        case Facts():
            _facts(flow, block)
        case Thumbs():
            _beside(flow, [(one.drawing, one.text) for one in block.entries], across=THUMBS)
        case Model():
            _figure(flow, block.still, "", fitted=False)
        case _:
            assert_never(block)


def _paragraph(flow: _Flow, paragraph: Paragraph) -> None:
    size, indent = TEXT, 0.0 if paragraph.tone == "plain" else INDENT / 2
    top, page, column = flow.y, len(flow.pages), flow.column
    flow.text(paragraph.text, size, indent=indent)
    if paragraph.tone != "plain" and (len(flow.pages), flow.column) == (page, column):
        flow.ink(Stroke(rule((flow.x, top), (flow.x, flow.y + 0.5 * size)), "cut-outside"))
    flow.down(GAP)


def _bullet(flow: _Flow, text: str) -> None:
    flow.need(LINE * TEXT)
    flow.ink(Label("•", (flow.x, flow.y - TEXT / 2), TEXT, anchor="start"))
    flow.text(text, TEXT, indent=INDENT)


def _links(flow: _Flow, links: Links) -> None:
    """Files by their names; places in the report itself have their pages in the list of contents."""
    named = [link for link in links.entries if link.on_paper and not link.target.startswith("#")]
    for kind, row in Links(tuple(named)).rows:
        path = row[0].target.partition("#")[0]
        words = ", ".join(f"{link.text} {link.told}".rstrip() for link in row)
        flow.text(f"{kind}: {words} ({path})" if kind else words if path in words else f"{words} ({path})", SMALL)
    flow.down(GAP if named else 0.0)


def _steps(flow: _Flow, steps: Steps) -> None:
    for step in steps.entries:
        flow.need(2 * LINE * TEXT)
        flow.ink(Stroke(box(flow.x, flow.y - TEXT, TEXT * 1.1), "mark", closed=True))
        flow.text(step.do, TEXT, indent=INDENT)
        flow.text(f"Check: {step.check}", SMALL, indent=INDENT)
        if step.picture:
            _figure(flow, step.picture, "", fitted=True)
        flow.down(0.8 * TEXT)
    flow.down(GAP)


def _figure(flow: _Flow, drawing: Drawing, caption: str, *, fitted: bool, rows_below: int = 0) -> None:
    left, bottom, right, top = extent(drawing.marks)
    room, most = (flow.room, PICTURE) if fitted else (flow.across, PLAN)
    scale = min(room / max(right - left, 1e-6), most / max(top - bottom, 1e-6))
    high = scale * (top - bottom)
    under = broken(caption, SMALL, room) if caption else []
    # Words in a row of a table may take two lines. A table longer than half a page is parted all the same.
    # Columns begin again under a drawing only where BAND is left.
    below = max(BAND, min(rows_below * 2 * LINE * SMALL, flow.height / 2)) if rows_below else 0.0
    (flow.need if fitted else flow.full_width)(high + (len(under) + 1) * LINE * SMALL + GAP + below)
    at = (flow.x - scale * left, flow.y - high - scale * bottom)
    flow.ink(*(placed(scaled(mark, scale), at) for mark in drawing.marks))
    flow.down(high + SMALL)
    for line in under:
        flow.line(line, SMALL)
    flow.down(GAP)
    if not fitted:
        flow.new_band()


def _beside(flow: _Flow, pictures: Sequence[tuple[Drawing, str]], *, across: int) -> None:
    """Small pictures side by side in a column, so many to a row, their words beneath."""
    room = (flow.room + CELL_GAP) / across - CELL_GAP
    for first in range(0, len(pictures), across):
        row = pictures[first : first + across]
        sizes = [extent(drawing.marks) for drawing, _ in row]
        scales = [min(room / max(r - le, 1e-6), SMALL_PICTURE / max(t - b, 1e-6)) for le, b, r, t in sizes]
        words = [broken(text, SMALL, room) if text else [] for _, text in row]
        high = max(scale * (top - bottom) for scale, (_, bottom, _, top) in zip(scales, sizes, strict=True))
        lines = max(map(len, words))
        flow.need(high + SMALL + lines * LINE * SMALL + GAP)
        for place, ((drawing, _), scale, (left, bottom, _, _)) in enumerate(zip(row, scales, sizes, strict=True)):
            x = flow.x + place * (room + CELL_GAP)
            at = (x - scale * left, flow.y - high - scale * bottom)
            flow.ink(*(placed(scaled(mark, scale), at) for mark in drawing.marks))
            for number, line in enumerate(words[place]):
                below = flow.y - high - SMALL - (number + 0.5) * LINE * SMALL
                flow.ink(Label(line, (x, below), SMALL, anchor="start"))
        flow.down(high + SMALL + lines * LINE * SMALL + GAP)


def _facts(flow: _Flow, facts: Facts) -> None:
    indent = max(text_width(name, SMALL) for name, _ in facts.entries) + CELL_GAP
    for name, words in facts.entries:
        lines = broken(words, SMALL, flow.room - indent)
        flow.need(LINE * SMALL * len(lines))
        flow.ink(Label(name, (flow.x, flow.y - SMALL / 2), SMALL, anchor="start"))
        for line in lines:
            flow.line(line, SMALL, indent=indent)
    flow.down(GAP)


def _table(flow: _Flow, table: Table) -> None:
    rows = [tuple(without_strangers(cell) for cell in row) for row in (table.columns, *table.rows)]
    natural = _natural_widths(table, rows, flow.room)
    # Figures are never broken; the words beside them share what is left.
    kept = fsum(width for place, width in enumerate(natural) if table.is_figure(place))
    words = [place for place in range(len(natural)) if not table.is_figure(place)]
    longest = [
        max(text_width(word, SMALL) for row in rows for word in (unbroken_words(row[place]) or [""])) for place in words
    ]
    room = max(flow.room - CELL_GAP * (len(natural) - 1) - kept, flow.room / 6)
    shared = iter(shared_widths([natural[place] for place in words], room, least=longest))
    widths = [width if table.is_figure(place) else next(shared) for place, width in enumerate(natural)]
    caption = broken(table.caption, TEXT, flow.room)
    flow.need(len(caption) * LINE * TEXT + 4 * LINE * SMALL)
    for line in caption:
        flow.line(line, TEXT)
    header = [broken(cell, SMALL, width) for cell, width in zip(rows[0], widths, strict=True)]
    # A heading over figures may be wider than their column; whatever else fits need not be measured again.
    fits = [width <= given for width, given in zip(natural, widths, strict=True)]
    body = (
        [[cell] if fit else broken(cell, SMALL, width) for cell, width, fit in zip(row, widths, fits, strict=True)]
        for row in rows[1:]
    )
    place_row = _row_setter(flow, table, widths)
    place_row(header, head=True)
    name = [""]  # of the rows that follow, where only the first of them is named
    for row in body:
        name = row[0] if row[0] != [""] else name
        page, column = len(flow.pages), flow.column
        flow.need(_high(row))
        if (len(flow.pages), flow.column) != (page, column):
            place_row(header, head=True)
            row = [name, *row[1:]]
        place_row(row, head=False)
    flow.down(GAP)


def _natural_widths(table: Table, rows: Sequence[Sequence[str]], room: float) -> list[float]:
    """mm, of columns with nothing broken; where there is no room for that, headings over figures are, by words."""
    cells = list(zip(*rows, strict=True))
    whole = [max(text_width(cell, SMALL) for cell in column) for column in cells]
    if fsum(whole) + CELL_GAP * (len(whole) - 1) <= room:
        return whole
    return [
        max((text_width(words, SMALL) for words in (*head.split(), *column)), default=0.0)
        if table.is_figure(place)
        else whole[place]
        for place, (head, *column) in enumerate(cells)
    ]


Cells = list[list[str]]  # the lines of each cell of a row


def _high(row: Cells) -> float:
    return max(len(cell) for cell in row) * LINE * SMALL + 0.4 * SMALL


def _row_setter(flow: _Flow, table: Table, widths: Sequence[float]) -> Callable[..., None]:
    """Sets a row of the table down, figures flush right."""
    flush_right = [table.is_figure(place) for place in range(len(widths))]

    def place_row(row: Cells, *, head: bool) -> None:
        x, ink = flow.x, flow.pages[-1]
        for cell, width, right in zip(row, widths, flush_right, strict=True):
            for number, line in enumerate(cell):
                at = (x + width if right else x, flow.y - SMALL / 2 - number * LINE * SMALL)
                ink.append(Label(line, at, SMALL, anchor="end" if right else "start"))
            x += width + CELL_GAP
        flow.down(_high(row))
        under: Layer = "cut-outside" if head else "sheet"
        y = flow.y + 0.45 * SMALL
        flow.ink(Stroke(rule((flow.x, y), (flow.x + fsum(widths) + CELL_GAP * (len(widths) - 1), y)), under))

    return place_row
