"""Whole drawings side by side on one page, turned by quarters, by their ink and not by the boxes round it.

Each in turn, the largest first, is laid where it reaches least far along the page. The search runs on square cells, on
the safe side: a cell belongs to every drawing that comes within half the gap of it.
"""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
from functools import cached_property
from typing import assert_never

import numpy as np
import shapely
from numpy.typing import NDArray

from patterns.drawing.marks import Cross, Drawing, Ink, Label, Shading, Stroke
from patterns.drawing.moved_marks import placed
from patterns.drawing.text import label_box
from patterns.geometry.arrays import Floats, lengths

Cells = NDArray[np.bool_]


@dataclass(frozen=True, slots=True)
class Laid:
    """Where one drawing lies: turned about its own nought, then moved."""

    number: int  # of the drawing, as given
    at: tuple[float, float]  # mm
    quarters: int


@dataclass(frozen=True, eq=False)
class _Shape:
    """A drawing's ink on cells, turned by quarters."""

    cells: Cells  # (columns, rows)
    corner: tuple[float, float]  # mm, the lower left corner of the cells in the turned drawing's own axes
    quarters: int
    ground: tuple[int, int]  # columns and rows of a page, as `_even` numbers

    @cached_property
    def waves(self) -> NDArray[np.complex128]:
        """Its Fourier transform: the same on every page."""
        return np.conj(np.fft.rfft2(self.cells, self.ground))


@dataclass(slots=True)
class _Ground:
    """The cells of one page, what is taken of them, and their Fourier transform while it holds."""

    taken: Cells  # (columns, rows)
    waves: NDArray[np.complex128] | None = None

    def take(self, cells: Cells, place: tuple[int, int]) -> None:
        (column, row), (columns, rows) = place, cells.shape
        self.taken[column : column + columns, row : row + rows] |= cells
        self.waves = None

    def fits(self, shape: _Shape) -> Cells:
        """(columns, rows) places of a shape's lower left cell where it shares no cell with what is taken.

        Shared cells are counted for all places at once by Fourier transform; whole numbers come back, so that half a
        cell is far beyond its rounding.
        """
        room = [free - size + 1 for free, size in zip(self.taken.shape, shape.cells.shape, strict=True)]
        if min(room) < 1:
            return np.zeros((0, 0), dtype=np.bool_)
        if self.waves is None:
            self.waves = np.fft.rfft2(self.taken, shape.ground)
        shared = np.fft.irfft2(self.waves * shape.waves, shape.ground)
        fits: Cells = shared[: room[0], : room[1]] < 0.5
        return fits


def lay_out(
    drawings: Sequence[Drawing], room: tuple[float, float], *, gap: float, cell: float
) -> tuple[tuple[tuple[Laid, ...], ...], tuple[int, ...]]:
    """Drawings on as few pages as this simple way finds, and those that no page has room for.

    Parameters
    ----------
    room : (float, float) mm
        Length and width of a page's free ground; its lower left corner is nought.
    gap : float, mm
        Left between the ink of neighbours, at the least.
    cell : float, mm

    Returns
    -------
    pages, left over
        The drawings of each page in the order they were laid; numbers of those too big.
    """
    grid = (int(room[0] // cell), int(room[1] // cell))
    ground = _even(grid[0]), _even(grid[1])
    shapes = {n: _shapes(drawing, gap=gap, cell=cell, ground=ground) for n, drawing in enumerate(drawings)}
    order = sorted(shapes, key=lambda number: (-int(shapes[number][0].cells.sum()), number))
    sheets: list[tuple[_Ground, list[Laid]]] = []
    left_over: list[int] = []
    for number in order:
        turns = shapes.pop(number)  # and with them, when they are laid, their transforms
        fresh: tuple[_Ground, list[Laid]] = (_Ground(np.zeros(grid, dtype=np.bool_)), [])
        tries = ((sheet, _least_reach(sheet[0], turns)) for sheet in (*sheets, fresh))
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
    """All ink of a page."""
    return tuple(
        placed(mark, laid.at, quarters=laid.quarters) for laid in sheet for mark in drawings[laid.number].marks
    )


def _even(count: int) -> int:
    """The next number that Fourier transforms are quick at: few halves of it, then a small number."""
    even = 1 << max(0, (count - 1).bit_length() - 3)
    return -(-count // even) * even


def _shapes(drawing: Drawing, *, gap: float, cell: float, ground: tuple[int, int]) -> list[_Shape]:
    """The drawing as it lies and turned by one, two and three quarters."""
    samples = _samples(drawing.marks, cell / 4)
    # From ink to the nearest sample, and from half-way between two drawings' ink to the middle of the cell there: if
    # each has all cells with their middles so near to its samples, they lie the gap apart.
    reach = gap / 2 + cell * (1 / 8 + np.sqrt(0.5))
    low = samples.min(axis=0) - reach
    size = np.ceil((samples.max(axis=0) + reach - low) / cell).astype(int)
    cells = _near((samples - low) / cell, reach / cell, size)
    _fill(cells, drawing.marks, low, cell)
    (left, bottom), (right, top) = low.tolist(), (low + size * cell).tolist()
    corners = ((left, bottom), (-top, left), (-right, -top), (bottom, -right))
    return [
        _Shape(np.rot90(cells, k=-quarters, axes=(1, 0)), corner, quarters, ground)
        for quarters, corner in enumerate(corners)
    ]


def _samples(marks: Sequence[Ink], step: float) -> Floats:
    """Places along all ink no further than ``step`` apart, (n, 2) mm."""
    runs = [run for mark in marks for run in _runs(mark)]
    start, end = (np.concatenate([run[part] for run in runs]) for part in (slice(None, -1), slice(1, None)))
    count = np.ceil(lengths(end - start) / step).astype(int) + 1
    owner = np.repeat(np.arange(len(start)), count)
    number = np.arange(len(owner)) - np.repeat(np.cumsum(count) - count, count)
    share = number / np.maximum(count[owner] - 1, 1)
    found: Floats = start[owner] + share[:, None] * (end - start)[owner]
    return found


def _runs(mark: Ink) -> tuple[Floats, ...]:
    """A mark as lines through points, each (n, 2) mm."""
    match mark:
        case Stroke():
            return (np.concatenate([mark.points, mark.points[:1]]) if mark.closed else mark.points,)
        case Cross():
            (x, y), arm = mark.at, mark.arm
            return np.array([[x - arm, y], [x + arm, y]]), np.array([[x, y - arm], [x, y + arm]])
        case Label():
            box = label_box(mark)
            ring = np.concatenate([box, box[:1]])
            return (ring,) if mark.leader is None else (ring, np.array(mark.leader))
        case Shading():
            return (np.concatenate([mark.box, mark.box[:1]]),)
        case _:
            assert_never(mark)


def _fill(inked: Cells, marks: Sequence[Ink], low: Floats, cell: float) -> None:
    """Mark what lies within closed lines: nothing is laid inside a pattern."""
    x, y = (edge + (np.arange(count) + 0.5) * cell for edge, count in zip(low, inked.shape, strict=True))
    middles = np.meshgrid(x, y, indexing="ij")
    rings = [mark.points for mark in marks if isinstance(mark, Stroke) and mark.closed]
    points, first = np.concatenate([np.empty((0, 2)), *rings]), np.cumsum([0, *map(len, rings)])[:-1]
    sizes = np.maximum.reduceat(points, first) - np.minimum.reduceat(points, first) if rings else points
    for number in np.flatnonzero(sizes.min(axis=1) > cell).tolist():
        wood = shapely.Polygon(rings[number])
        shapely.prepare(wood)
        inked |= shapely.contains_xy(wood, *middles)


def _near(samples: Floats, reach: float, size: NDArray[np.int_]) -> Cells:
    """Cells, (columns, rows), with their middles no further than ``reach`` from a sample; all lengths in cells."""
    near = np.zeros(size, dtype=np.bool_)
    own = np.floor(samples)
    # Across and up from each sample to the middles of its own cell and of those beside it, in columns and in rows.
    steps = np.arange(-int(reach + 0.5), int(reach + 0.5) + 1)
    (across, up), (column, row) = (samples - own).T, own.T.astype(np.intp)
    far_up = [(step + 0.5 - up) ** 2 for step in steps]
    flat = near.ravel()
    for to_column in steps:
        left = reach**2 - (to_column + 0.5 - across) ** 2
        for to_row, far in zip(steps, far_up, strict=True):
            # The cells were made to reach past every sample by as much: none of these lies beyond them.
            flat[((column + to_column) * size[1] + row + to_row)[far <= left]] = True
    return near


def _least_reach(ground: _Ground, shapes: Sequence[_Shape]) -> tuple[_Shape, tuple[int, int]] | None:
    """Of every place and turn the one that reaches least far along, then lies lowest, then is least turned."""
    best: tuple[tuple[int, int, int], _Shape, tuple[int, int]] | None = None
    for shape in shapes:
        if best and shape.cells.shape[0] > best[0][0]:
            continue  # wherever it lies, it reaches further along
        fits = ground.fits(shape)
        if not fits.any():
            continue
        column = int(fits.any(axis=1).argmax())
        row = int(fits[column].argmax())
        rank = (column + shape.cells.shape[0], row, shape.quarters)
        if best is None or rank < best[0]:
            best = rank, shape, (column, row)
    return None if best is None else best[1:]
