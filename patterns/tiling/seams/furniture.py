"""What every tile carries beside the pattern: its name, its neighbours, where to trim, and two check bars."""

from __future__ import annotations

import math
from collections.abc import Iterator, Sequence
from dataclasses import dataclass, replace
from functools import cache
from itertools import pairwise
from math import fsum

import numpy as np

from patterns.drawing.marks import Drawing, Ink, Label, Pointer, Stroke
from patterns.drawing.obstacles import Obstacles
from patterns.drawing.text import cut_short, grown, label_box, text_width
from patterns.geometry.arrays import Floats
from patterns.tiling.paper.check_bars import level_bar, upright_bar
from patterns.tiling.paper.paper import BAR, LEFT_STRIP, PaperSetup
from patterns.tiling.seams.crosses import AIR, stops
from patterns.tiling.seams.grid import Cell, Grid, neighbours

BIG = 4.4  # mm; a tile's own name, found at a glance in a stack
TITLE = 3.0  # mm
SMALL, SMALLEST = 2.0, 1.9  # mm; the lesser is 7 points
TRIM = "trim here"
NAMES_UP = 10.9  # mm from the strip's foot to the middle of the row of names
BAR_UP = 3.2  # mm from the strip's foot to the level bar, and from the strip's left to the upright one
FOOT = 2.4  # mm; face and bow
ARROW, ARROW_UP = 9.0, 5.0  # mm, length of the small arrow level and upright
GAP = 4.0  # mm between words of one row
TRIM_DASHES = (6.0, 1.5, 0.8, 1.5)  # mm, dash and dot: no line of a pattern is drawn so and so thin
ASIDE = (0.0, 10.0, -10.0, 20.0, -20.0)  # mm from half-way between two crosses, where the words may stand instead
BESIDE_SEAM = 3.0  # mm from a seam to the middle of the words along it
CLOSELY = 2.5  # mm between places tried all along a seam that has no room half-way
# How far outside a seam its words are tried, mm, and whether all along it: what first finds room.
_SEAM_WORDS: tuple[tuple[float, bool], ...] = ((BESIDE_SEAM, False), (BESIDE_SEAM, True), (-BESIDE_SEAM, True))


@dataclass(frozen=True, slots=True)
class Names:
    """What a tile calls itself and its neighbours; None where no page is printed."""

    title: str
    foot: str  # "inside face toward you"
    pointer: Pointer | None
    run: str  # the run mark
    own: str  # "B3": row B from the top, column 3 from the left
    number: int  # of the page, from 1
    count: int
    left: str | None
    right: str | None
    above: str | None
    below: str | None


def names_of(drawing: Drawing, grid: Grid, kept: Sequence[Cell], place: Cell) -> Names:
    around = (grid.label(other) if other in kept else None for other in neighbours(place))
    left, right, above, below = around
    said = drawing.title, drawing.foot, drawing.pointer, drawing.run
    return Names(*said, grid.label(place), kept.index(place) + 1, len(kept), left, right, above, below)


def furniture(names: Names, paper: PaperSetup) -> tuple[Ink, ...]:
    """The strips' marks, where they lie on the page."""
    return (
        *_fixed(paper, names.right is not None, names.above is not None),
        *_row_of_names(names, paper),
        *_beside_the_bar(names, paper),
        *_up_the_side(names, paper),
    )


@cache
def _fixed(paper: PaperSetup, trim_right: bool, trim_top: bool) -> tuple[Ink, ...]:
    """Bars and trim lines: the same on every tile of a kind, so made once."""
    x, y = paper.corner
    bars = (*level_bar(paper.margin + 1.0, paper.margin + BAR_UP), *upright_bar(paper.margin + BAR_UP, y + 2.0))
    right, top = _trim_lines(paper)
    across, up = (length + paper.overlap for length in paper.step)
    lines: list[Ink] = []
    if trim_right:
        lines.append(Stroke(np.array([[right, paper.margin], [right, y + up]]), "sheet", dashes=TRIM_DASHES))
    if trim_top:
        lines.append(Stroke(np.array([[paper.margin, top], [x + across, top]]), "sheet", dashes=TRIM_DASHES))
    return (*bars, *lines)


@cache
def _trim_lines(paper: PaperSetup) -> tuple[float, float]:
    """Where on the page the right and the top seams lie, mm."""
    (x, y), (across, up), half = paper.corner, paper.step, paper.overlap / 2
    return x + half + across, y + half + up


def _row_of_names(names: Names, paper: PaperSetup) -> Iterator[Ink]:
    """``side panel, port  B3  inside face toward you  BOW <-``, smaller to fit, but never too small to read."""
    own = (names.own, BIG) if names.count > 1 else ("one page", SMALL)
    told = [(names.foot, FOOT)] if names.foot else []
    pointer = names.pointer
    if pointer is not None:
        told.append((pointer.word, FOOT))
    arrow = 0.0 if pointer is None or pointer.angle is None else ARROW + GAP
    words = [(names.title, TITLE), own, *told]
    room = _right_end(paper) - paper.margin - 1.0
    scale = max(min(1.0, room / _length(words, arrow)), SMALLEST / SMALL)
    over = _length(words, arrow) - room / scale
    if over > 0:
        words[0] = (cut_short(names.title, size=TITLE, width=text_width(names.title, TITLE) - over), TITLE)
    x, y = paper.margin + 1.0, paper.margin + NAMES_UP
    for text, size in words:
        yield Label(text, (x, y), size * scale, anchor="start")
        x += (text_width(text, size) + GAP) * scale
    if pointer is not None and pointer.angle is not None:
        yield from small_arrow((x + ARROW / 2 * scale, y), pointer.angle, scale)


def _length(words: Sequence[tuple[str, float]], arrow: float) -> float:
    return fsum(text_width(text, size) for text, size in words) + GAP * (len(words) - 1) + arrow


def arrow_reach(angle: float) -> float:
    """mm, how far a small arrow reaches above and below its middle."""
    points = np.concatenate([stroke.points for stroke in small_arrow((0.0, 0.0), angle)])
    return float(np.abs(points[:, 1]).max())


def small_arrow(middle: tuple[float, float], angle: float, scale: float = 1.0) -> Iterator[Stroke]:
    """A small arrow: no taller than the strip's row when it points up."""
    cos, sin = math.cos(angle), math.sin(angle)
    length = ARROW if abs(sin) < math.sqrt(0.5) else ARROW_UP
    turn = scale * np.array([[cos, sin], [-sin, cos]])
    head = np.array([length / 2, 0.0])
    yield Stroke(np.array([-head, head]) @ turn + middle, "text")
    yield Stroke((head + np.array([[-2.0, 1.2], [0.0, 0.0], [-2.0, -1.2]])) @ turn + middle, "text")


def _right_end(paper: PaperSetup) -> float:
    """Words in the foot of the page end before the trim line: what lies beyond is cut off."""
    return _trim_lines(paper)[0] - 1.0


def _beside_the_bar(names: Names, paper: PaperSetup) -> Iterator[Label]:
    """To the right of the level bar: which page, of which run, what goes on its foot, and how to print."""
    page = [f"page {names.number} of {names.count}"] if names.count > 1 else []
    run = [f"run {names.run}"] if names.run else []
    below = [on_top(names.below)] if names.below else []
    for words, up in (((*page, *run, *below), 5.4), (("print at 100 %; measure both bars",), 1.9)):
        left = paper.margin + 1.0 + BAR + GAP
        size = SMALL * min(1.0, (_right_end(paper) - left) / _length([(text, SMALL) for text in words], 0.0))
        for text in words:
            yield Label(text, (left, paper.margin + up), size, anchor="start", layer="sheet")
            left += text_width(text, size) + GAP * size / SMALL


def _up_the_side(names: Names, paper: PaperSetup) -> tuple[Label, ...]:
    """Above the upright bar: which page goes on top of this edge."""
    if names.left is None:
        return ()
    low, high = paper.corner[1] + 2.0 + BAR + GAP, _trim_lines(paper)[1] - 2.0
    place = (paper.margin + LEFT_STRIP / 2, (low + high) / 2)
    return (Label(on_top(names.left), place, SMALL, angle=math.pi / 2, layer="sheet"),)


def on_top(page: str) -> str:
    """The one word on taping that a seam has: on the page that lies below, at the edge that is covered."""
    return f"{page} goes on top here"


def seam_words(grid: Grid, kept: Sequence[Cell], taken: Obstacles) -> dict[Cell, tuple[Label, ...]]:
    """``trim here`` beside every trim line: half-way between crosses, or wherever else there is room.

    Where the pattern leaves no room along the whole of a seam, the words stand over the ink that is cut off.
    """
    seams: list[_Seam] = []
    for place in kept:
        _, right, above, _ = neighbours(place)
        seams += [_Seam(place, True)] if right in kept else []
        seams += [_Seam(place, False)] if above in kept else []
    crowded = [_seam_choices(grid, seam, BESIDE_SEAM, closely=False) for seam in seams]
    found = {seam: _set_at(words, middles[0]) for seam, (words, middles) in zip(seams, crowded, strict=True)}
    left = seams
    for aside, closely in _SEAM_WORDS:
        tries = [_seam_choices(grid, seam, aside, closely=closely) for seam in left]
        boxes = [label_box(words) + middles[:, None] for words, middles in tries]
        free = taken.free(grown(np.concatenate([np.empty((0, 4, 2)), *boxes]), AIR))
        ends = np.cumsum([len(one) for one in boxes])[:-1]
        shut_out = []
        for seam, (words, middles), clear in zip(left, tries, np.split(free, ends), strict=False):
            if clear.any():
                found[seam] = _set_at(words, middles[int(clear.argmax())])
            else:
                shut_out.append(seam)
        left = shut_out
    by_tile: dict[Cell, list[Label]] = {place: [] for place in kept}
    for seam in seams:
        by_tile[seam.place].append(found[seam])
    return {place: tuple(labels) for place, labels in by_tile.items()}


@dataclass(frozen=True, slots=True)
class _Seam:
    """The right or the top edge of a tile, trimmed and laid over another."""

    place: Cell
    upright: bool


def _set_at(words: Label, middle: Floats) -> Label:
    x, y = middle.tolist()
    return replace(words, at=(x, y))


def _seam_choices(grid: Grid, seam: _Seam, aside: float, *, closely: bool) -> tuple[Label, Floats]:
    """The words along a seam, and where their middle may stand, (n, 2) mm, those nearest to its own middle first."""
    left, bottom, right, top = grid.cell(seam.place)
    length = top - bottom if seam.upright else right - left
    along = _all_along(length, text_width(TRIM, SMALLEST)) if closely else _along_seam(length)
    if seam.upright:
        middles = [(right + aside, bottom + stop) for stop in along]
    else:
        middles = [(left + stop, top + aside) for stop in along]
    angle = math.pi / 2 if seam.upright else 0.0
    return Label(TRIM, (0.0, 0.0), SMALLEST, angle=angle, layer="sheet"), np.array(middles)


@cache
def _all_along(length: float, width: float) -> tuple[float, ...]:
    """Where words so wide may stand along a seam, mm from its corner: every few mm, those nearest its middle first."""
    stops_along = np.arange(width / 2, length - width / 2, CLOSELY)
    return tuple(sorted(stops_along.tolist(), key=lambda stop: abs(stop - length / 2)))


@cache
def _along_seam(length: float) -> tuple[float, ...]:
    """Where words may stand along a seam, mm from its corner: half-way between crosses, or somewhat aside."""
    marks = stops(length)
    half_way = [(one + two) / 2 for one, two in pairwise(marks)]
    half_way.sort(key=lambda stop: (abs(stop - marks[-1] / 2), stop))
    return tuple(stop + aside for aside in ASIDE for stop in half_way)
