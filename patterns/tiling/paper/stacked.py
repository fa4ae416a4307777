"""Drawings at their own size beside and under each other on pages, both check bars on each."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass

from patterns.drawing.marks import Drawing, Ink, Label
from patterns.drawing.moved_marks import placed
from patterns.drawing.text import cut_short, text_width, without_strangers, wrapped
from patterns.drawing.turning import extent
from patterns.tiling.paper.check_bars import level_bar, upright_bar
from patterns.tiling.paper.page import Page
from patterns.tiling.paper.paper import BAR, BOTTOM_STRIP, LEFT_STRIP, PaperSetup

HEAD = 9.0  # mm at the top of a page for its note, in two lines at the most on any common paper
LEADING = 1.4  # line spacing of the note, in heights of a capital
BETWEEN = 8.0  # mm from one drawing to the next
TITLE_SIZE = 2.6  # mm
LEAST_SIZE = 1.9  # mm, over 7 points; a longer name is cut short
EDGE = 3.0  # mm from the bars to the margin


def room(paper: PaperSetup) -> tuple[float, float]:
    """mm, the width and height left for drawings, the paper standing upright."""
    short, long = sorted((paper.width, paper.height))
    return short - 2 * paper.margin - LEFT_STRIP, long - 2 * paper.margin - BOTTOM_STRIP


@dataclass(frozen=True, slots=True, eq=False)
class Stacked:
    """Pages, and where each drawing came to lie."""

    pages: tuple[Page, ...]
    numbers: tuple[int, ...]  # by drawing, its page's; the first page is 1


def stacked(
    drawings: Sequence[Drawing], paper: PaperSetup, *, boat: str, title: str, note: str = "", in_order: bool = True
) -> Stacked:
    """Pages filled in rows from the top down.

    Parameters
    ----------
    boat, title : str
        Whose and what the pages are, said at the foot of each.
    note : str
        What every page says at its head.
    in_order : bool
        Whether the drawings are read one after the other; if not, a small one fills the first gap that takes it.

    Raises
    ------
    ValueError
        A drawing larger than a page: whoever made it was told the room.
    """
    wide, high = room(paper)
    high -= HEAD if note else 0.0
    boxes = [extent(drawing.marks) for drawing in drawings]
    for drawing, (x0, y0, x1, y1) in zip(drawings, boxes, strict=True):
        if x1 - x0 > wide + 1e-6 or y1 - y0 > high + 1e-6:
            raise ValueError(f"{drawing.title}: {x1 - x0:.0f} x {y1 - y0:.0f} mm is more than a page takes")
    spots = _spots([(x1 - x0, y1 - y0) for x0, y0, x1, y1 in boxes], wide, high, in_order=in_order)
    pages: list[list[Ink]] = [[] for _ in {page for page, _, _ in spots}]
    for drawing, (x0, _, _, y1), (page, right, top) in zip(drawings, boxes, spots, strict=True):
        corner = (paper.margin + LEFT_STRIP + right - x0, paper.margin + BOTTOM_STRIP + top - y1)
        pages[page] += [placed(mark, corner) for mark in drawing.marks]
    about = (without_strangers(boat), without_strangers(title))
    made = (_page(ink, paper, about, f"page {n} of {len(pages)}", note) for n, ink in enumerate(pages, 1))
    return Stacked(tuple(made), tuple(page + 1 for page, _, _ in spots))


@dataclass(slots=True)
class _Row:
    page: int
    top: float  # mm above the room's foot
    height: float  # mm
    right: float  # mm, as far as it is filled


def _spots(
    sizes: Sequence[tuple[float, float]], wide: float, high: float, *, in_order: bool
) -> list[tuple[int, float, float]]:
    """For each size (width, height) mm its page, and its left and top edge in the room."""
    rows: list[_Row] = []
    left: list[float] = []  # mm under the last row of each page
    spots = []
    for across, down in sizes:
        row = next(
            (row for row in (rows[-1:] if in_order else rows) if _takes(row, across, down, wide, rows, left)), None
        )
        if row is None:
            open_pages = range(max(0, len(left) - 1), len(left)) if in_order else range(len(left))
            page = next((page for page in open_pages if down <= left[page] + 1e-6), len(left))
            left += [high] if page == len(left) else []
            row = _Row(page, left[page], 0.0, 0.0)
            rows.append(row)
        row.height = max(row.height, down)
        left[row.page] = min(left[row.page], row.top - row.height - BETWEEN)
        spots.append((row.page, row.right, row.top))
        row.right += across + BETWEEN
    return spots


def _takes(row: _Row, across: float, down: float, wide: float, rows: Sequence[_Row], left: Sequence[float]) -> bool:
    """Whether a row has room; the last of its page may still grow deeper."""
    deepest = row.height
    if row.top == min(other.top for other in rows if other.page == row.page):
        deepest += max(left[row.page] + BETWEEN, 0.0)
    return row.right + across <= wide + 1e-6 and down <= deepest + 1e-6


def _page(ink: Sequence[Ink], paper: PaperSetup, about: tuple[str, str], number: str, note: str) -> Page:
    short, long = sorted((paper.width, paper.height))
    low = paper.margin + EDGE
    beside_bar = short - 2 * paper.margin - LEFT_STRIP - BAR - EDGE
    tail = f": {about[1]}, {number}"
    size = max(LEAST_SIZE, min(TITLE_SIZE, TITLE_SIZE * beside_bar / text_width(about[0] + tail, TITLE_SIZE)))
    name = cut_short(about[0], size=size, width=beside_bar, tail=tail)
    furniture = (
        *level_bar(paper.margin + LEFT_STRIP, low),
        *upright_bar(low, paper.margin + BOTTOM_STRIP),
        Label(name, (short - paper.margin, low), size, anchor="end", layer="sheet"),
    )
    left, top = paper.margin + LEFT_STRIP, long - paper.margin - TITLE_SIZE
    head = (
        Label(line, (left, top - number * LEADING * TITLE_SIZE), TITLE_SIZE, anchor="start")
        for number, line in enumerate(wrapped(note, size=TITLE_SIZE, width=room(paper)[0]))
    )
    return Page(short, long, (*furniture, *head, *ink), name, entry=name)
