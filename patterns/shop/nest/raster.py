"""Shapes on a grid of cells, and where one fits among others.

Every cell a shape touches counts as the shape's. Two shapes that share no cell are therefore apart in truth as well,
whatever the cell. What two shapes share at every distance from each other is counted once, by Fourier transform; where
a shape fits on a sheet is then a sum over those that lie there.
"""

from __future__ import annotations

from dataclasses import dataclass
from itertools import pairwise

import numpy as np
import shapely
from numpy.typing import NDArray
from scipy.fft import irfft2, next_fast_len, rfft2

from patterns.geometry.arrays import Floats

Cells = NDArray[np.bool_]
Counts = NDArray[np.int16]
Spectrum = NDArray[np.complex128]

FULL = 16_000  # stands for cells that are shared, at least; a shape touches far fewer, and twice as many can be counted
SIZES_APART = 32  # cells


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
    """A shape's cells, ready to be tried on grounds: one for each shape and turn, told apart by identity."""

    def __init__(self, cells: Cells) -> None:
        self.cells = cells
        around = beside(cells)
        self.rim = int(around.sum())  # cells beside it
        # Both in one count: a single cell shared outweighs all that can be touched.
        self._weights = np.pad(cells, 1) * float(FULL) + around
        self._spectra: dict[tuple[int, int], tuple[Spectrum, Spectrum]] = {}

    def spectra(self, size: tuple[int, int]) -> tuple[Spectrum, Spectrum]:
        """Of the cells, and of what they and those beside them weigh, on a grid of a size that goes round."""
        if size not in self._spectra:
            self._spectra[size] = rfft2(self.cells, s=size), np.conj(rfft2(self._weights, s=size))
        return self._spectra[size]


@dataclass(frozen=True, slots=True, eq=False)
class Meeting:
    """How one shape meets another that lies: by the distance of their lower left cells."""

    first: tuple[int, int]  # columns and rows, the distance the counts begin at
    counts: Counts  # (columns, rows) cells touched, `FULL` where cells are shared


class Grid:
    """The cells of one kind of sheet: how shapes meet its edges and each other, counted once."""

    def __init__(self, empty: Cells) -> None:
        self.edges = Stamp(empty)  # the cells that are taken before anything is laid
        self._met: dict[tuple[Stamp, Stamp], Meeting] = {}

    def met(self, lying: Stamp, other: Stamp) -> Meeting:
        """Wherever both are on the sheet, as far apart as they touch."""
        if (lying, other) not in self._met:
            self._met[lying, other] = self._meeting(lying, other)
        return self._met[lying, other]

    def _meeting(self, lying: Stamp, other: Stamp) -> Meeting:
        whole, k, j = (np.array(stamp.cells.shape) for stamp in (self.edges, lying, other))
        low, high = np.maximum(-j, k - whole), np.minimum(k, whole - j)
        # Round this grid no two distances asked for come to lie on one another; few sizes, for each costs a spectrum.
        steps = -(-(np.minimum(k + j, whole) + 1) // SIZES_APART)
        size = (
            next_fast_len(int(steps[0]) * SIZES_APART, real=True),
            next_fast_len(int(steps[1]) * SIZES_APART, real=True),
        )
        shared = irfft2(lying.spectra(size)[0] * other.spectra(size)[1], s=size)
        # The cells beside a shape begin one before its own.
        columns, rows = (np.arange(low[axis] - 1, max(high[axis], low[axis] - 1)) % size[axis] for axis in range(2))
        # Whole numbers come back: half a cell is far beyond the rounding of a transform of this size.
        counts = np.minimum(np.round(shared[columns[:, None], rows]), FULL).astype(np.int16)
        return Meeting((int(low[0]), int(low[1])), counts)


class Ground:
    """What lies on one sheet, and where a shape still fits. One more piece makes another ground."""

    def __init__(self, grid: Grid) -> None:
        self.grid = grid
        self._lying: tuple[tuple[Stamp, tuple[int, int]], ...] = ()
        self._before: Ground | None = None
        self._known: dict[Stamp, Counts] = {}

    def touched(self, stamp: Stamp) -> Counts:
        """(columns, rows) by a shape's lower left cell: taken cells beside it; `FULL` where it does not fit."""
        if stamp not in self._known:
            self._known[stamp] = self._counted(stamp)
        return self._known[stamp]

    def _counted(self, stamp: Stamp) -> Counts:
        """From the last ground before this one that knows."""
        known: Ground | None = self._before
        while known is not None and stamp not in known._known:
            known = known._before
        counts = (known._known[stamp] if known else self.grid.met(self.grid.edges, stamp).counts).copy()
        for lying, place in self._lying[len(known._lying) if known else 0 :]:
            met = self.grid.met(lying, stamp)
            left, bottom = place[0] + met.first[0], place[1] + met.first[1]
            right, top = left + met.counts.shape[0], bottom + met.counts.shape[1]
            here = counts[max(left, 0) : max(right, 0), max(bottom, 0) : max(top, 0)]
            there = met.counts[max(-left, 0) :, max(-bottom, 0) :][: here.shape[0], : here.shape[1]]
            np.minimum(here + there, FULL, out=here)
        return counts

    def taken(self, stamp: Stamp, place: tuple[int, int]) -> Ground:
        """The same with a shape's lower left cell at a place."""
        ground = Ground(self.grid)
        ground._lying, ground._before = (*self._lying, (stamp, place)), self
        return ground
