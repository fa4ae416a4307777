"""Straight lines through every row and column of tiles, to sight and to stretch a string along."""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from math import fsum

import numpy as np

from patterns.drawing.marks import Stroke
from patterns.geometry.arrays import Floats
from patterns.tiling.seams.clip import Box
from patterns.tiling.seams.crosses import stops
from patterns.tiling.seams.grid import Cell, Grid

DASHES = (1.0, 3.0)  # mm; sparse, so that no line of the pattern is taken for it
AIR = 1.0  # mm kept between the line and lettering it would run through


def datum_places(grid: Grid, place: Cell) -> tuple[float, float]:
    """Where the upright and the level datum line of a cell stand, mm: through crosses of its seams."""
    (left, bottom, _, _), (across, up) = grid.cell(place), grid.step
    return left + _middle_stop(across), bottom + _middle_stop(up)


def _middle_stop(step: float) -> float:
    marks = stops(step)
    return marks[len(marks) // 2]


def datum_strokes(grid: Grid, place: Cell, taken: Sequence[Box]) -> Iterator[Stroke]:
    """Both datum lines of a tile where they stand on the pattern, left out where its lettering and its block stand.

    Parameters
    ----------
    taken : [(left, bottom, right, top)] mm
    """
    left, bottom, right, top = grid.window(place)
    x, y = datum_places(grid, place)
    boxes = [(x0 - AIR, y0 - AIR, x1 + AIR, y1 + AIR) for x0, y0, x1, y1 in taken]
    for start, end in _gaps_left(left, right, [(x0, x1) for x0, y0, x1, y1 in boxes if y0 < y < y1]):
        yield _dotted(np.array([[start, y], [end, y]]), start)
    for start, end in _gaps_left(bottom, top, [(y0, y1) for x0, y0, x1, y1 in boxes if x0 < x < x1]):
        yield _dotted(np.array([[x, start], [x, end]]), start)


def _gaps_left(low: float, high: float, taken: Sequence[tuple[float, float]]) -> Iterator[tuple[float, float]]:
    """What is left of a stretch beside others that are taken."""
    for start, end in sorted(taken):
        if start > low:
            yield low, min(start, high)
        low = max(low, end)
        if low >= high:
            return
    yield low, high


def _dotted(points: Floats, start: float) -> Stroke:
    # Dashes are counted from the pattern's origin, so that they meet on every two pages.
    return Stroke(points, "sheet", run=start % fsum(DASHES), dashes=DASHES)
