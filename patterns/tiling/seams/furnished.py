"""Check bars and a page's name set on the page itself, where the pattern leaves room: no paper is kept for them."""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from dataclasses import dataclass
from functools import cache
from math import fsum

import numpy as np
from numpy.typing import NDArray

from patterns.drawing.marks import Ink, Label, Stroke
from patterns.drawing.moved_marks import placed
from patterns.drawing.obstacles import Obstacles
from patterns.drawing.text import text_width, wrapped
from patterns.drawing.turning import extent
from patterns.geometry.arrays import Floats
from patterns.tiling.paper.check_bars import broken_level_bar, level_bar, upright_bar
from patterns.tiling.seams.clip import Box
from patterns.tiling.seams.furniture import (
    ARROW,
    BIG,
    FOOT,
    GAP,
    SMALL,
    TITLE,
    TRIM_DASHES,
    Names,
    arrow_reach,
    on_top,
    small_arrow,
)

EDGE = 0.6  # mm between the furniture and the page's edges and seams
BESIDE = 24.0  # mm from an edge that is covered, in which its words stand
FRAMED = 2.0  # mm from a figure to its frame
AIR = 1.2  # mm between it and any other ink
SPACING = 3.0  # mm between places tried
SOME = 256  # places tried at once, the best first
WIDTHS = (165.0, 125.0, 95.0, 75.0, 58.0, 46.0, 36.0)  # mm, of the page's name, the widest that finds room
LEADING = 1.7  # of a capital's height
WORDS_AT = (50.0, 30.0, 70.0)  # mm along a bar that other ink crosses


@dataclass(frozen=True, slots=True, eq=False)
class Furnished:
    """What a page carries beside the pattern, where it stands on the pattern, and the boxes round it."""

    marks: tuple[Ink, ...]
    boxes: tuple[Box, ...]  # mm, round each thing


@dataclass(frozen=True, slots=True, eq=False)
class _Piece:
    """Ink that is moved as one, its lower left corner at nought."""

    marks: tuple[Ink, ...]
    width: float  # mm
    height: float  # mm
    boxes: Floats  # (n, 4) mm, round each part of it: between them other ink may run


def furnished(names: Names, window: Box, sight: Box, taken: Obstacles, figured: Sequence[str] = ()) -> Furnished | None:
    """Both bars and the page's name, clear of all that is ``taken``; None where there is no room for them.

    Parameters
    ----------
    window : (left, bottom, right, top) mm
        What the page shows of the pattern.
    sight : (left, bottom, right, top) mm
        The same without what is trimmed off at the right and the top.
    figured : [str]
        Where lines lie that no page shows.
    """
    marks: list[Ink] = [*_trim_lines(names, window, sight)]
    boxes: list[Box] = []
    room = sight[0] + EDGE, sight[1] + EDGE, sight[2] - EDGE, sight[3] - EDGE
    left, bottom, right, top = room
    unsaid = list(figured)
    seams = (
        (names.left, "left", True, (left, bottom, min(left + BESIDE, right), top)),
        (names.below, "bottom", False, (left, bottom, right, min(bottom + BESIDE, top))),
    )
    for over, edge, upright, beside in seams:
        if over is None:
            continue
        found = _set_down(_said(on_top(over), upright=upright), beside, taken, boxes, upright=upright)
        if found is None:
            unsaid.append(f"{over} goes on top at the {edge}")
            continue
        marks += found[0]
        boxes.append(found[1])
    for choices, upright in ((_upright(), True), (_level(), False), (tuple(_named(names, unsaid)), False)):
        found = next(filter(None, (_set_down(piece, room, taken, boxes, upright=upright) for piece in choices)), None)
        if found is None:
            return None
        marks += found[0]
        boxes.append(found[1])
    return Furnished(tuple(marks), tuple(boxes))


def with_figure(beside: Furnished, figure: Sequence[Ink], sight: Box, taken: Obstacles) -> Furnished | None:
    """The same with a figure in a frame; None where the page has no room for it."""
    left, bottom, right, top = extent(figure)
    corners = np.array([[left, bottom], [right, bottom], [right, top], [left, top]])
    corners += FRAMED * np.array([[-1.0, -1.0], [1.0, -1.0], [1.0, 1.0], [-1.0, 1.0]])
    framed = _piece((Stroke(corners, "sheet", closed=True), *figure))
    room = sight[0] + EDGE, sight[1] + EDGE, sight[2] - EDGE, sight[3] - EDGE
    found = _set_down(framed, room, taken, beside.boxes, upright=True)
    return None if found is None else Furnished((*beside.marks, *found[0]), (*beside.boxes, found[1]))


def _trim_lines(names: Names, window: Box, sight: Box) -> Iterator[Stroke]:
    left, bottom, right, top = window
    if names.right is not None:
        yield Stroke(np.array([[sight[2], bottom], [sight[2], top]]), "sheet", dashes=TRIM_DASHES)
    if names.above is not None:
        yield Stroke(np.array([[left, sight[3]], [right, sight[3]]]), "sheet", dashes=TRIM_DASHES)


def _set_down(
    piece: _Piece, room: Box, taken: Obstacles, others: Sequence[Box], *, upright: bool
) -> tuple[tuple[Ink, ...], Box] | None:
    """The piece in the first free place, the lowest and then the leftmost; of an upright one the other way round."""
    grown = piece.boxes + AIR * np.array([-1.0, -1.0, 1.0, 1.0])
    left, bottom, right, top = room
    if piece.width > right - left or piece.height > top - bottom:
        return None
    across = _places(left, right - piece.width)
    up = _places(bottom, top - piece.height)
    x, y = (axis.ravel() for axis in np.meshgrid(across, up, indexing="ij" if upright else "xy"))
    for start in range(0, len(x), SOME):
        corner = np.column_stack([x[start : start + SOME], y[start : start + SOME]])
        corner = corner[_apart(corner, piece, others)]
        level = grown + np.tile(corner, 2)[:, None]  # (places, parts, 4)
        free = taken.free(level.reshape(-1, 4)[:, [[0, 1], [2, 1], [2, 3], [0, 3]]])
        clear = free.reshape(level.shape[:2]).all(axis=1)
        if clear.any():
            dx, dy = corner[int(clear.argmax())].tolist()
            marks = tuple(placed(mark, (dx, dy)) for mark in piece.marks)
            return marks, (dx, dy, dx + piece.width, dy + piece.height)
    return None


def _places(low: float, high: float) -> Floats:
    return np.linspace(low, high, max(1, int((high - low) // SPACING) + 1))


def _apart(corner: Floats, piece: _Piece, others: Sequence[Box]) -> NDArray[np.bool_]:
    """Which of (n, 2) lower left corners keep the piece clear of boxes."""
    clear = np.ones(len(corner), dtype=np.bool_)
    for left, bottom, right, top in others:
        beside = (corner[:, 0] > right + AIR) | (corner[:, 0] + piece.width < left - AIR)
        clear &= beside | (corner[:, 1] > top + AIR) | (corner[:, 1] + piece.height < bottom - AIR)
    return clear


def _piece(*parts: Sequence[Ink], quarters: int = 0) -> _Piece:
    turned = [[placed(mark, (0.0, 0.0), quarters=quarters) for mark in part] for part in parts]
    boxes = np.array([extent(part) for part in turned])
    corner, high = boxes[:, :2].min(axis=0), boxes[:, 2:].max(axis=0)
    dx, dy = (-corner).tolist()
    width, height = (high - corner).tolist()
    marks = tuple(placed(mark, (dx, dy)) for part in turned for mark in part)
    return _Piece(marks, width, height, boxes - np.tile(corner, 2))


@cache
def _level() -> tuple[_Piece, ...]:
    return (_piece(level_bar(0.0, 0.0)), *(_piece(*broken_level_bar(0.0, 0.0, words_at=at)) for at in WORDS_AT))


@cache
def _upright() -> tuple[_Piece, ...]:
    broken = (_piece(*broken_level_bar(0.0, 0.0, words_at=at), quarters=1) for at in WORDS_AT)
    return (_piece(upright_bar(0.0, 0.0)), *broken)


def _said(text: str, *, upright: bool) -> _Piece:
    return _piece((Label(text, (0.0, 0.0), SMALL, layer="sheet"),), quarters=int(upright))


def _named(names: Names, unsaid: Sequence[str]) -> Iterator[_Piece]:
    """The page's name, face and bow, and what found no room at its seams, in fewer and fewer words a line."""
    for width in WIDTHS:
        yield _piece(tuple(_lines(names, unsaid, width)))


def _lines(names: Names, unsaid: Sequence[str], width: float) -> Iterator[Ink]:
    """``B3  frame 3  page 8 of 11  run K7RT4  after face toward you  BOW away from you``, then how to print."""
    first = [(names.own, BIG)] if names.count > 1 else []
    title = [(line, TITLE) for line in wrapped(names.title, size=TITLE, width=width)]
    number = f"page {names.number} of {names.count}" if names.count > 1 else "one page"
    face = [(line, FOOT) for line in wrapped(names.foot, size=FOOT, width=width)] if names.foot else []
    run = [(f"run {names.run}", FOOT)] if names.run else []
    words = [*first, *title, (number, SMALL), *run, *face]
    if names.pointer is not None:
        words.append((names.pointer.word, FOOT))
    y = 0.0
    rows = list(_rows(words, width, arrow=names.pointer is not None and names.pointer.angle is not None))
    for row in rows:
        x, tall = 0.0, max(size for _, size in row)
        pointer = names.pointer.angle if row is rows[-1] and names.pointer is not None else None
        # An arrow at a slant is taller than its row of words.
        above = 0.0 if pointer is None else max(0.0, arrow_reach(pointer) - tall * LEADING / 2)
        y -= tall * LEADING / 2 + above
        for text, size in row:
            yield Label(text, (x, y), size, anchor="start")
            x += text_width(text, size) + GAP
        if pointer is not None:
            yield from small_arrow((x + ARROW / 2, y), pointer, 1.0)
        y -= tall * LEADING / 2 + above
    for line in wrapped("; ".join((*unsaid, "print at 100 %; measure both bars")), size=SMALL, width=width):
        yield Label(line, (0.0, y - SMALL * LEADING / 2), SMALL, anchor="start", layer="sheet")
        y -= SMALL * LEADING


def _rows(words: Sequence[tuple[str, float]], width: float, *, arrow: bool) -> Iterator[list[tuple[str, float]]]:
    """Words side by side as far as a width allows; the last row leaves room for the arrow."""
    row: list[tuple[str, float]] = []
    for number, (text, size) in enumerate(words):
        used = fsum(text_width(other, big) + GAP for other, big in row) + text_width(text, size)
        if arrow and number == len(words) - 1:
            used += GAP + ARROW
        if row and used > width:
            yield row
            row = []
        row.append((text, size))
    yield row
