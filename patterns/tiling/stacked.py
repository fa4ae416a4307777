"""Drawings at their own size one under another on pages, both check bars on each."""

from __future__ import annotations

from collections.abc import Sequence

from patterns.drawing.marks import Drawing, Ink, Label
from patterns.drawing.moving import extent
from patterns.drawing.placed import placed
from patterns.tiling.check_bars import level_bar, upright_bar
from patterns.tiling.page import Page
from patterns.tiling.paper import BOTTOM_STRIP, LEFT_STRIP, PaperSetup

HEAD = 9.0  # mm at the top of a page for its note
BETWEEN = 8.0  # mm from one drawing to the next
TITLE_SIZE = 2.6  # mm
EDGE = 3.0  # mm from the bars to the margin


def room(paper: PaperSetup) -> tuple[float, float]:
    """mm, the width and height left for drawings, the paper standing upright."""
    short, long = sorted((paper.width, paper.height))
    return short - 2 * paper.margin - LEFT_STRIP, long - 2 * paper.margin - BOTTOM_STRIP


def stacked(drawings: Sequence[Drawing], paper: PaperSetup, *, title: str, note: str = "") -> tuple[Page, ...]:
    """Pages filled in rows from the top down, in order.

    Parameters
    ----------
    note : str
        What every page says at its head.

    Raises
    ------
    ValueError
        A drawing larger than a page: whoever made it was told the room.
    """
    wide, high = room(paper)
    high -= HEAD if note else 0.0
    pages: list[list[Ink]] = []
    right, top, row = 0.0, 0.0, 0.0
    for drawing in drawings:
        x0, y0, x1, y1 = extent(drawing.marks)
        if x1 - x0 > wide + 1e-6 or y1 - y0 > high + 1e-6:
            raise ValueError(f"{drawing.title}: {x1 - x0:.0f} x {y1 - y0:.0f} mm is more than a page takes")
        if right + x1 - x0 > wide:  # the next row
            right, top, row = 0.0, top - row - BETWEEN, 0.0
        if not pages or y1 - y0 > top:
            pages.append([])
            right, top, row = 0.0, high, 0.0
        corner = (paper.margin + LEFT_STRIP + right - x0, paper.margin + BOTTOM_STRIP + top - y1)
        pages[-1] += [placed(mark, corner) for mark in drawing.marks]
        right, row = right + x1 - x0 + BETWEEN, max(row, y1 - y0)
    return tuple(_page(ink, paper, f"{title}, page {n} of {len(pages)}", note) for n, ink in enumerate(pages, 1))


def _page(ink: Sequence[Ink], paper: PaperSetup, name: str, note: str) -> Page:
    short, long = sorted((paper.width, paper.height))
    low = paper.margin + EDGE
    furniture = (
        *level_bar(paper.margin + LEFT_STRIP, low),
        *upright_bar(low, paper.margin + BOTTOM_STRIP),
        Label(name, (short - paper.margin, low), TITLE_SIZE, anchor="end", layer="sheet"),
    )
    head = (Label(note, (paper.margin + LEFT_STRIP, long - paper.margin - TITLE_SIZE), TITLE_SIZE, anchor="start"),)
    return Page(short, long, (*furniture, *(head if note else ()), *ink), name, entry=name)
