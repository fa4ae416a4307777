"""Whole drawings side by side on one sheet, turned by quarters, by their ink and not by the boxes round it.

Each in turn, the largest first, is laid where it reaches least far along the sheet. The search runs on square cells, on
the safe side: a cell belongs to every drawing that comes within half the gap of it.
"""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from dataclasses import dataclass

import numpy as np
import shapely
from numpy.typing import NDArray
from shapely.geometry.base import BaseGeometry

from patterns.drawing.marks import Cross, Drawing, Ink, Label, Stroke
from patterns.drawing.placed import placed
from patterns.drawing.text import label_box

STRAIGHT_ENOUGH = 0.2  # of a cell; an outline may be simplified so far, and its ink is grown by as much

Cells = NDArray[np.bool_]


@dataclass(frozen=True, slots=True)
class Laid:
    """Where one drawing lies: turned about its own nought, then moved."""

    number: int  # of the drawing, as given
    at: tuple[float, float]  # mm
    quarters: int


@dataclass(frozen=True, slots=True, eq=False)
class _Shape:
    """A drawing's ink on cells, turned by quarters."""

    cells: Cells  # (columns, rows)
    corner: tuple[float, float]  # mm, the lower left corner of the cells in the turned drawing's own axes
    quarters: int


@dataclass(slots=True)
class _Ground:
    """The cells of one sheet, what is taken of them, and their Fourier transform while it holds."""

    taken: Cells  # (columns, rows)
    waves: NDArray[np.complex128] | None = None

    def take(self, cells: Cells, place: tuple[int, int]) -> None:
        (column, row), (columns, rows) = place, cells.shape
        self.taken[column : column + columns, row : row + rows] |= cells
        self.waves = None

    def fits(self, cells: Cells) -> Cells:
        """(columns, rows) places of a shape's lower left cell where it shares no cell with what is taken.

        Shared cells are counted for all places at once by Fourier transform; whole numbers come back, so that half a
        cell is far beyond its rounding.
        """
        room = [free - size + 1 for free, size in zip(self.taken.shape, cells.shape, strict=True)]
        if min(room) < 1:
            return np.zeros((0, 0), dtype=np.bool_)
        columns, rows = (1 << (length - 1).bit_length() for length in self.taken.shape)
        if self.waves is None:
            self.waves = np.fft.rfft2(self.taken, (columns, rows))
        shared = np.fft.irfft2(self.waves * np.conj(np.fft.rfft2(cells, (columns, rows))), (columns, rows))
        fits: Cells = shared[: room[0], : room[1]] < 0.5
        return fits


def lay_out(
    drawings: Sequence[Drawing], room: tuple[float, float], *, gap: float, cell: float
) -> tuple[tuple[tuple[Laid, ...], ...], tuple[int, ...]]:
    """Drawings on as few sheets as this simple way finds, and those that no sheet has room for.

    Parameters
    ----------
    room : (float, float) mm
        Length and width of a sheet's free ground; its lower left corner is nought.
    gap : float, mm
        Left between the ink of neighbours, at the least.
    cell : float, mm

    Returns
    -------
    sheets, left over
        The drawings of each sheet in the order they were laid; numbers of those too big.
    """
    grid = (int(room[0] // cell), int(room[1] // cell))
    shapes = [_shapes(drawing, gap=gap, cell=cell) for drawing in drawings]
    order = sorted(range(len(drawings)), key=lambda number: (-max(shapes[number][0].cells.shape), number))
    sheets: list[tuple[_Ground, list[Laid]]] = []
    left_over: list[int] = []
    for number in order:
        fresh: tuple[_Ground, list[Laid]] = (_Ground(np.zeros(grid, dtype=np.bool_)), [])
        tries = ((sheet, _least_reach(sheet[0], shapes[number])) for sheet in (*sheets, fresh))
        sheet, found = next(((sheet, found) for sheet, found in tries if found), (fresh, None))
        if found is None:
            left_over.append(number)
            continue
        shape, place = found
        sheet[0].take(shape.cells, place)
        at = (place[0] * cell - shape.corner[0], place[1] * cell - shape.corner[1])
        sheet[1].append(Laid(number, at, shape.quarters))
        if sheet is fresh:
            sheets.append(fresh)
    return tuple(tuple(laid) for _, laid in sheets), tuple(sorted(left_over))


def laid_marks(drawings: Sequence[Drawing], sheet: Sequence[Laid]) -> tuple[Ink, ...]:
    """All ink of a sheet."""
    return tuple(
        placed(mark, laid.at, quarters=laid.quarters) for laid in sheet for mark in drawings[laid.number].marks
    )


def _shapes(drawing: Drawing, *, gap: float, cell: float) -> list[_Shape]:
    """The drawing as it lies and turned by one, two and three quarters."""
    loose = STRAIGHT_ENOUGH * cell
    pieces = [shapely.simplify(piece, loose) for piece in _pieces(drawing.marks)]
    # A cell is told by its middle: grown by half its diagonal, no ink in a cell's corner is overlooked.
    ink = shapely.union_all(pieces).buffer(gap / 2 + loose + cell * np.sqrt(0.5), quad_segs=4)
    left, bottom, right, top = ink.bounds
    size = np.ceil(np.array([right - left, top - bottom]) / cell).astype(int)
    x, y = (low + (np.arange(count) + 0.5) * cell for low, count in zip((left, bottom), size, strict=True))
    shapely.prepare(ink)
    cells = shapely.contains_xy(ink, *np.meshgrid(x, y, indexing="ij"))
    right, top = left + size[0] * cell, bottom + size[1] * cell
    corners = ((left, bottom), (-top, left), (-right, -top), (bottom, -right))
    return [
        _Shape(np.rot90(cells, k=-quarters, axes=(1, 0)), (float(corner[0]), float(corner[1])), quarters)
        for quarters, corner in enumerate(corners)
    ]


def _pieces(marks: Sequence[Ink]) -> Iterator[BaseGeometry]:
    for mark in marks:
        match mark:
            case Stroke() if mark.closed and len(mark.points) > 2:
                yield shapely.make_valid(shapely.Polygon(mark.points))
            case Stroke() if len(mark.points) > 1:
                yield shapely.LineString(mark.points)
            case Stroke():
                yield shapely.Point(mark.points[0])
            case Cross():
                yield shapely.Point(mark.at).buffer(mark.arm)
            case Label():
                yield shapely.Polygon(label_box(mark))


def _least_reach(ground: _Ground, shapes: Sequence[_Shape]) -> tuple[_Shape, tuple[int, int]] | None:
    """Of every place and turn the one that reaches least far along, then lies lowest, then is least turned."""
    best: tuple[tuple[int, int, int], _Shape, tuple[int, int]] | None = None
    for shape in shapes:
        fits = ground.fits(shape.cells)
        if not fits.any():
            continue
        column = int(fits.any(axis=1).argmax())
        row = int(fits[column].argmax())
        rank = (column + shape.cells.shape[0], row, shape.quarters)
        if best is None or rank < best[0]:
            best = rank, shape, (column, row)
    return None if best is None else best[1:]
