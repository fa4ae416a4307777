"""What is left of a sheet: the largest rectangles no part touches, one after another."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass

import numpy as np
import shapely
from numpy.typing import NDArray

CELL = 20.0  # mm, to which an offcut's sides are told: never too large
LEAST = 150.0  # mm; narrower, a strip is kindling
MOST = 3  # told of one sheet


@dataclass(frozen=True, slots=True)
class Offcut:
    """A rectangle left over."""

    left: float  # mm from the sheet's left end
    bottom: float  # mm from its lower edge
    length: float  # mm, along the sheet
    width: float  # mm


def offcuts(length: float, width: float, taken: Sequence[shapely.Polygon]) -> tuple[Offcut, ...]:
    """The largest rectangles left on a sheet of ``length`` by ``width`` mm, none over another, largest first."""
    columns, rows = int(length / CELL), int(width / CELL)
    x, y = np.meshgrid(np.arange(columns) * CELL, np.arange(rows) * CELL, indexing="ij")
    cells = shapely.box(x, y, x + CELL, y + CELL)
    covered = shapely.union_all(taken)
    shapely.prepare(covered)
    free = ~shapely.intersects(covered, cells)
    found: list[Offcut] = []
    for _ in range(MOST):
        left, bottom, across, high = _largest(free)
        if min(across, high) * CELL < LEAST:
            break
        found.append(Offcut(left * CELL, bottom * CELL, across * CELL, high * CELL))
        free[left : left + across, bottom : bottom + high] = False
    return tuple(found)


def _largest(free: NDArray[np.bool_]) -> tuple[int, int, int, int]:
    """Largest rectangle of free cells: first column and row, columns, rows.

    Row by row the free cells under each cell make a line of columns; within such a line the largest rectangle ends
    where a lower column begins, so open ones are kept on a stack.
    """
    best, found = 0, (0, 0, 0, 0)
    height = np.zeros(free.shape[0], dtype=int)
    for row in range(free.shape[1]):
        height = np.where(free[:, row], height + 1, 0)
        stack: list[tuple[int, int]] = []  # first column, height
        for column, high in enumerate([*height.tolist(), 0]):
            first = column
            while stack and stack[-1][1] >= high:
                first, top = stack.pop()
                if top * (column - first) > best:
                    best, found = top * (column - first), (first, row - top + 1, column - first, top)
            stack.append((first, high))
    return found
