"""A page to find out by how much a printer is out: two long bars to lay a steel rule on."""

from __future__ import annotations

from collections.abc import Iterator

import numpy as np

from patterns.drawing.marks import Ink, Label, Stroke
from patterns.drawing.text import text_width, wrapped
from patterns.tiling.paper.correction import STROKES
from patterns.tiling.paper.page import Page
from patterns.tiling.paper.paper import PaperSetup

EDGE = 5.0  # mm; bars run nearer to the paper's edge than patterns do, for length; most printers reach so far
HALF, SHORT = 9.0, 4.0  # mm either side of the bar: strokes at 0 and at the end, strokes between
TITLE, FIGURE = 5.0, 2.4  # mm, capitals
SIZES = (3.0, 2.6, 2.2, 1.9)  # mm, capitals of the steps, the biggest that fits
LEADING = 1.9  # of a capital's height
FROM_TOP = 26.0  # mm from the margin to the bar across
FROM_RIGHT = 26.0  # mm from the margin to the bar down
AIR = 13.0  # mm between the bars and the words
SET_IN = 8.0  # mm, of the lines to type

STEPS = (
    "1.  Print this page at 100 %, actual size, never fit to page: on the printer, the paper and from the tray that "
    "the patterns will be printed on and from.",
    "2.  With a good steel rule measure each bar, from the middle of the stroke at 0 to the middle of the farthest "
    "lettered stroke you can see, to 0.2 mm. Across is along the short side of the paper and down along the long side, "
    "however a pattern lies on its page.",
    "3.  Say what you measured, the printer by a name of your own; lengths may be in inches, such as 7.87 in:",
)
SAY = "scrieve printer --name study --measured-across 199.2mm --measured-down 249.5mm"
AFTER = (
    "The program knows the stroke by its length. It keeps the figures and prints later pages so much larger or "
    "smaller each way; it says so on every page:",
    "scrieve loft BOAT --printer study",
    "4.  Lay the rule on the 100 mm bars of the pages all the same. Paper swells in damp weather, and a tray, a "
    "driver or a new cartridge can change a printer: then measure again. A printer more than 3 % out is not "
    "corrected, for something else is wrong.",
    "This page itself is never corrected.",
)


def printer_page(paper: PaperSetup) -> Page:
    """The test page for one paper, upright as the printer takes it.

    Each bar is as long as the paper allows, to the farthest of `STROKES`, and lies in the middle of its side.
    """
    upright = paper if paper.width <= paper.height else paper.turned()
    width, height, margin = upright.width, upright.height, upright.margin
    across, down = (_longest(length - 2 * EDGE) for length in (width, height))
    x, y = width - margin - FROM_RIGHT, height - margin - FROM_TOP
    left, low = (width - across) / 2, (height - down) / 2
    level = [_across(stroke, left, y, right=width - EDGE) for stroke in _strokes(across)]
    stood = [_down(stroke, height - low, x) for stroke in _strokes(down)]
    bars = (
        Stroke(np.array([[left, y], [left + across, y]]), "sheet"),
        Stroke(np.array([[x, low], [x, low + down]]), "sheet"),
    )
    title = Label(f"PRINTER TEST PAGE: {upright.name}", (margin + 2.0, height - margin - TITLE), TITLE, anchor="start")
    words = _words(margin + 2.0, x - AIR, y - AIR, margin)
    marks: tuple[Ink, ...] = (title, *bars, *(mark for stroke in (*level, *stood) for mark in stroke), *words)
    return Page(width, height, marks, "printer test page")


def _longest(room: float) -> float:
    return float(max((stroke for stroke in STROKES if stroke <= room), default=STROKES[0]))


def _strokes(length: float) -> list[tuple[float, bool]]:
    """Places along a bar, mm, and whether each is one of its ends."""
    return [(0.0, True), *((float(stroke), stroke == length) for stroke in STROKES if stroke <= length)]


def _across(stroke: tuple[float, bool], left: float, y: float, *, right: float) -> tuple[Ink, ...]:
    """A stroke over the bar across, its figure below: past the stroke where there is room, else before it."""
    along, end = stroke
    x, half = left + along, HALF if end else SHORT
    word = _figure(along)
    past = end and x + 1.0 + text_width(word, FIGURE) <= right
    label = Label(word, (x + (1.0 if past else -1.0), y - 2.0 * FIGURE), FIGURE, anchor="start" if past else "end")
    return Stroke(np.array([[x, y - half], [x, y + half]]), "sheet"), label


def _down(stroke: tuple[float, bool], top: float, x: float) -> tuple[Ink, ...]:
    """A stroke over the bar down, its figure to the right."""
    along, end = stroke
    y, half = top - along, HALF if end else SHORT
    # Figures at the ends stand inward: the bar may run as near to the paper's edge as a printer prints.
    inward = 0.0 if not end else FIGURE if along else -FIGURE
    label = Label(_figure(along), (x + half + 1.5, y + inward), FIGURE, anchor="start")
    return Stroke(np.array([[x - half, y], [x + half, y]]), "sheet"), label


def _figure(along: float) -> str:
    return f"{along:.0f} mm" if along else "0"


def _words(left: float, right: float, top: float, foot: float) -> tuple[Label, ...]:
    """The steps as big as they fit."""
    labels: tuple[Label, ...] = ()
    for size in SIZES:
        labels = tuple(_rows(left, right, top, size))
        if labels[-1].at[1] - size >= foot:
            break
    return labels


def _rows(left: float, right: float, top: float, size: float) -> Iterator[Label]:
    """A paragraph a step, the lines to type set in."""
    y = top
    for text in (*STEPS, SAY, *AFTER):
        x = left + (SET_IN if text.startswith("scrieve ") else 0.0)
        for row in wrapped(text, size=size, width=right - x):
            yield Label(row, (x, y), size, anchor="start")
            y -= size * LEADING
        y -= 0.6 * size * LEADING
