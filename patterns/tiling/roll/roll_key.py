"""The page in front of the roll: how much paper it takes, what lies on each page, how to check and print it."""

from __future__ import annotations

import math
from collections.abc import Iterator
from math import fsum

import numpy as np

from patterns.drawing.marks import Ink, Label, Stroke
from patterns.drawing.text import wrapped
from patterns.tiling.paper.page import Page
from patterns.tiling.paper.paper import LONGEST_PAGE, MARGIN
from patterns.tiling.roll.roll import KEY_PAPER, Rolled, RollSheet
from patterns.tiling.seams.crosses import written
from patterns.tiling.seams.key_plan import CAUTION, OUTLINES, thinned
from patterns.units.lengths import write_length, write_long

TITLE, TEXT = 5.0, 2.4  # mm, capitals
LINE = 1.9  # of a capital's height, from line to line
APART = 4.0  # mm between the small pages


def running_length(rolled: Rolled) -> str:
    """``80 ft of paper 3' 0\" wide, on 6 pages``."""
    pages = "1 page" if len(rolled.sheets) == 1 else f"{len(rolled.sheets)} pages"
    return f"{write_long(rolled.length, rolled.show)} of paper {_wide(rolled)} wide, on {pages}"


def _wide(rolled: Rolled) -> str:
    return write_length(rolled.width, rolled.show)


def roll_pages(rolled: Rolled) -> tuple[Page, ...]:
    """All pages of the roll: this page, key plans of what is split, then the roll itself."""
    return (_key(rolled), *rolled.keys, *(sheet.page for sheet in rolled.sheets))


def pages_before(rolled: Rolled) -> int:
    """How many pages come before the roll's own."""
    return 1 + len(rolled.keys)


def _key(rolled: Rolled) -> Page:
    paper = KEY_PAPER
    left, right, top = MARGIN + 2.0, paper.width - MARGIN, paper.height - MARGIN
    rows = [row for line in _words(rolled) for row in wrapped(line, size=TEXT, width=right - left)]
    foot = MARGIN + TEXT
    text = [
        Label(row, (left, foot + TEXT * LINE * number), TEXT, anchor="start")
        for number, row in enumerate(reversed(rows))
    ]
    marks: tuple[Ink, ...] = (
        Label(f"ROLL, {_wide(rolled)} wide", (left, top - TITLE), TITLE, anchor="start"),
        *text,
        *_plan(rolled, (left, text[-1].at[1] + 3 * TEXT), (right, top - 2.5 * TITLE)),
    )
    return Page(paper.width, paper.height, marks, "roll: key", "roll: key")


def _words(rolled: Rolled) -> Iterator[str]:
    yield f"The patterns take {running_length(rolled)}, besides this page" + (
        " and the key plans that follow it." if rolled.keys else "."
    )
    for number, sheet in enumerate(rolled.sheets, start=1):
        one, other = (written(cross, rolled.show) for cross in sheet.check)
        length, check = (write_length(mm, rolled.show) for mm in (sheet.length, math.dist(*sheet.check)))
        yield f"{number}: {length} long, {sheet.shows}. Check: cross {one} to cross {other} measures {check}."
    yield (
        "Print at 100 % (actual size, no fit to page). Lay a rule on both bars of every page and a tape on the checks "
        "above before you cut: the pattern is out by as much as they are. Lay the paper out a day before, out of damp."
    )
    if rolled.too_long:
        yield (
            f"WARNING: a page here is over {write_length(LONGEST_PAGE, rolled.show)} long. Some programs refuse it, "
            "crop it or shrink it without a word: "
            "measure it from end to end."
        )
    if rolled.run:
        yield f"Run {rolled.run}: use together only what carries the same mark."
    yield CAUTION


def _plan(rolled: Rolled, low: tuple[float, float], high: tuple[float, float]) -> Iterator[Ink]:
    """Every page small, one below the other, numbered as in the words."""
    across, up = high[0] - low[0] - 3 * TEXT, high[1] - low[1]
    shapes = [_lying(sheet) for sheet in rolled.sheets]
    tall = fsum(height for _, height in shapes)
    scale = min(across / max(width for width, _ in shapes), (up - APART * (len(shapes) - 1)) / tall)
    y = high[1]
    for number, (sheet, (width, height)) in enumerate(zip(rolled.sheets, shapes, strict=True), start=1):
        y -= height * scale
        corner = (low[0] + 3 * TEXT, y)
        box = np.array([[0, 0], [width, 0], [width, height], [0, height]]) * scale + corner
        yield Label(str(number), (low[0], y + height * scale / 2), TEXT, anchor="start")
        yield Stroke(box, "sheet", closed=True)
        yield from _small(sheet, scale, corner)
        y -= APART


def _lying(sheet: RollSheet) -> tuple[float, float]:
    page = sheet.page
    return max(page.width, page.height), min(page.width, page.height)


def _small(sheet: RollSheet, scale: float, corner: tuple[float, float]) -> Iterator[Stroke]:
    """The finished lines of a page; an upright page is laid on its side."""
    for mark in sheet.page.marks:
        if isinstance(mark, Stroke) and mark.layer in OUTLINES:
            points = mark.points
            if sheet.page.height > sheet.page.width:
                points = np.column_stack([points[:, 1], sheet.page.width - points[:, 0]])
            yield Stroke(thinned(points * scale) + corner, "mark", closed=mark.closed)
