"""Straight lines through every row and column of tiles, to sight and to stretch a string along."""

from __future__ import annotations

from collections.abc import Iterator, Sequence

import numpy as np

from patterns.drawing.marks import Label, Stroke
from patterns.geometry.arrays import Floats
from patterns.tiling.clip import Box
from patterns.tiling.crosses import stops
from patterns.tiling.grid import Cell, Grid
from patterns.tiling.lettering import boxes_round

DASHES = (1.0, 3.0)  # mm; sparse, so that no line of the pattern is taken for it
AIR = 1.0  # mm kept between the line and lettering it would run through


def datum_places(grid: Grid, place: Cell) -> tuple[float, float]:
    """Where the upright and the level datum line of a cell stand, mm: through crosses of its seams."""
    (left, bottom, _, _), (across, up) = grid.cell(place), grid.step
    return left + _middle_stop(across), bottom + _middle_stop(up)


def _middle_stop(step: float) -> float:
    marks = stops(step)
    return marks[len(marks) // 2]


def datum_strokes(grid: Grid, place: Cell, labels: Sequence[Label], block: Box | None) -> Iterator[Stroke]:
    """Both datum lines of a tile where they stand on the pattern, left out where its lettering and its block stand."""
    left, bottom, right, top = grid.window(place)
    x, y = datum_places(grid, place)
    boxes = np.vstack([boxes_round(labels), np.empty((0, 4)) if block is None else block]) + np.array(
        [-AIR, -AIR, AIR, AIR]
    )
    for start, end in _gaps_left(left, right, boxes[(boxes[:, 1] < y) & (boxes[:, 3] > y)][:, 0::2]):
        yield _dotted(np.array([[start, y], [end, y]]), start)
    for start, end in _gaps_left(bottom, top, boxes[(boxes[:, 0] < x) & (boxes[:, 2] > x)][:, 1::2]):
        yield _dotted(np.array([[x, start], [x, end]]), start)


def _gaps_left(low: float, high: float, taken: Floats) -> Iterator[tuple[float, float]]:
    """What is left of a stretch beside (n, 2) stretches that are taken."""
    for start, end in sorted(map(tuple, taken.tolist())):
        if start > low:
            yield low, min(start, high)
        low = max(low, end)
        if low >= high:
            return
    yield low, high


def _dotted(points: Floats, start: float) -> Stroke:
    # Dashes are counted from the pattern's origin, so that they meet on every two sheets.
    return Stroke(points, "sheet", run=start % sum(DASHES), dashes=DASHES)
