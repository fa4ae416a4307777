"""Shapes on a grid of cells, and where one fits among others: shared cells counted by Fourier transform.

Every cell a shape touches counts as the shape's. Two shapes that share no cell are therefore apart in truth as well,
whatever the cell.
"""

from __future__ import annotations

from functools import cached_property
from itertools import pairwise

import numpy as np
import shapely
from numpy.typing import NDArray
from scipy.fft import irfft2, next_fast_len, rfft2

from patterns.geometry.arrays import Floats

Cells = NDArray[np.bool_]
Spectrum = NDArray[np.complex64]


def cells_of(polygon: shapely.Polygon, cell: Floats, box: tuple[float, float, float, float]) -> Cells:
    """(columns, rows) cells a polygon touches, of a grid that just holds a box round it, the box in its middle.

    ``cell`` is the length and width of a cell, mm; ``box`` left, bottom, right and top, mm.
    """
    left, bottom, right, top = box
    size = np.maximum(np.ceil(np.array([right - left, top - bottom]) / cell - 1e-9), 1).astype(int)
    corner = (np.array([left + right, bottom + top]) - size * cell) / 2
    grid = np.zeros(size, dtype=bool)
    for ring in (polygon.exterior, *polygon.interiors):
        _mark_along((np.asarray(ring.coords) - corner) / cell, grid)
    middles = np.stack(np.nonzero(~grid), axis=1)
    shapely.prepare(polygon)
    within = shapely.contains_xy(polygon, corner + (middles + 0.5) * cell)
    grid[tuple(middles[within].T)] = True
    return grid


def _mark_along(ring: Floats, grid: Cells) -> None:
    """Mark every cell a ring runs through; ``ring`` (n, 2) in cells."""
    last = np.array(grid.shape) - 1
    for start, end in pairwise(ring):
        way = end - start
        shares = [np.array([0.0, 1.0])]
        for axis in range(2):
            low, high = sorted((start[axis], end[axis]))
            lines = np.arange(np.floor(low) + 1, np.ceil(high))
            if len(lines):
                shares.append((lines - start[axis]) / way[axis])
        cuts = np.sort(np.concatenate(shares))
        middles = start + ((cuts[1:] + cuts[:-1]) / 2)[:, None] * way
        column, row = np.clip(np.floor(middles).astype(int), 0, last).T
        grid[column, row] = True


def beside(cells: Cells) -> Cells:
    """(columns + 2, rows + 2) the cells right beside a shape's own."""
    wide = np.pad(cells, 1)
    around = wide.copy()
    around[1:] |= wide[:-1]
    around[:-1] |= wide[1:]
    around[:, 1:] |= wide[:, :-1]
    around[:, :-1] |= wide[:, 1:]
    return around & ~wide


class Stamp:
    """A shape's cells, ready to be tried on grounds of one size."""

    def __init__(self, cells: Cells, ground: tuple[int, ...]) -> None:
        self.cells = cells
        self._padded = _padded(ground)
        self.spectrum = self._turned_over(np.pad(cells, 1))

    @cached_property
    def rim(self) -> tuple[Spectrum, int]:
        """The cells beside the shape, and how many they are."""
        around = beside(self.cells)
        return self._turned_over(around), int(around.sum())

    def _turned_over(self, cells: Cells) -> Spectrum:
        """The spectrum of cells that reach one past the shape's on all sides."""
        whole = np.zeros(self._padded, dtype=np.float32)
        # A shape as large as the ground has no room for cells beside it, and no place to be tried at.
        fits = tuple(min(n, m) for n, m in zip(cells.shape, self._padded, strict=True))
        whole[: fits[0], : fits[1]] = cells[: fits[0], : fits[1]]
        return np.asarray(np.conj(rfft2(np.roll(whole, (-1, -1), axis=(0, 1)))))


class Ground:
    """The cells of one sheet that are taken, and where a shape still fits."""

    def __init__(self, taken: Cells) -> None:
        self.taken = taken.copy()
        self._spectrum: Spectrum | None = None

    def fits(self, stamp: Stamp) -> Cells:
        """(columns, rows) places of a shape's lower left cell where it shares none with what is taken."""
        # Whole numbers come back: half a cell is far beyond the rounding of a transform of this size.
        return np.asarray(self._shared(stamp, stamp.spectrum) < 0.5)

    def touches(self, stamp: Stamp) -> Floats:
        """The same places: what share of the cells beside the shape is taken."""
        spectrum, count = stamp.rim
        return self._shared(stamp, spectrum) / count

    def _shared(self, stamp: Stamp, spectrum: Spectrum) -> Floats:
        columns, rows = (max(0, n - k + 1) for n, k in zip(self.taken.shape, stamp.cells.shape, strict=True))
        if self._spectrum is None:
            self._spectrum = np.asarray(rfft2(self.taken.astype(np.float32), s=_padded(self.taken.shape)))
        shared = irfft2(self._spectrum * spectrum, s=_padded(self.taken.shape))
        return np.asarray(shared[:columns, :rows])

    def take(self, cells: Cells, place: tuple[int, int]) -> None:
        columns, rows = cells.shape
        self.taken[place[0] : place[0] + columns, place[1] : place[1] + rows] |= cells
        self._spectrum = None


def _padded(shape: tuple[int, ...]) -> tuple[int, ...]:
    """A size a little larger that a transform is quick at; a cell more, so that nothing reaches round the end."""
    return tuple(next_fast_len(n + 1, real=True) for n in shape)
