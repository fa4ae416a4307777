"""The seams: one grid of absolute coordinates over the whole pattern, set so that it takes the fewest pages."""

from __future__ import annotations

from collections.abc import Iterable, Mapping
from collections.abc import Set as AbstractSet
from dataclasses import dataclass
from itertools import product

import numpy as np
from numpy.typing import NDArray

from patterns.geometry.arrays import Floats
from patterns.tiling.seams.clip import Box, Segments

SHIFT = 10.0  # mm; a roll's grid may start at any whole multiple of it, so that every cross has a round figure
CLEAR_OF_AXIS = 5.0  # mm; a seam nearer to the pattern's axis would put the knife to the centre line

ROUNDED = 0.5  # mm, at most, of the corner of a grid of one cell

Cell = tuple[int, int]  # row from the bottom, column from the left


@dataclass(frozen=True, slots=True)
class Grid:
    """Cells between seams. Each is printed with half the overlap more on every side: its window."""

    origin: tuple[float, float]  # mm, the lower left corner of all
    step: tuple[float, float]  # mm
    columns: int
    rows: int
    overlap: float  # mm
    pitch: float = SHIFT  # mm; the origin and the step are whole multiples of it

    def cell(self, place: Cell) -> Box:
        row, column = place
        (x, y), (across, up) = self.origin, self.step
        return x + column * across, y + row * up, x + (column + 1) * across, y + (row + 1) * up

    def window(self, place: Cell) -> Box:
        left, bottom, right, top = self.cell(place)
        half = self.overlap / 2
        return left - half, bottom - half, right + half, top + half

    def share(self, place: Cell) -> Box:
        """The cell, and at the grid's outer sides, where no neighbour shows it, the window's edge too."""
        inner, outer, (row, column) = self.cell(place), self.window(place), place
        return (
            outer[0] if column == 0 else inner[0],
            outer[1] if row == 0 else inner[1],
            outer[2] if column == self.columns - 1 else inner[2],
            outer[3] if row == self.rows - 1 else inner[3],
        )

    def in_sight(self, place: Cell, kept: AbstractSet[Cell]) -> Box:
        """What is still to be seen of a tile when all are joined: up to the seams, or its edge where nothing joins."""
        inner, outer = self.cell(place), self.window(place)
        left, right, above, below = (other in kept for other in neighbours(place))
        joined = (left, below, right, above)
        x0, y0, x1, y1 = (i if seam else o for seam, i, o in zip(joined, inner, outer, strict=True))
        return x0, y0, x1, y1

    def label(self, place: Cell) -> str:
        """``B3``: rows are lettered from the top as one reads, columns numbered from the left."""
        return f"{self.row_letter(place[0])}{place[1] + 1}"

    def row_letter(self, row: int) -> str:
        number, letters = self.rows - row, ""
        while number:
            number, rest = divmod(number - 1, 26)
            letters = chr(ord("A") + rest) + letters
        return letters

    def cells(self) -> Iterable[Cell]:
        """Every cell as one reads: from the top left, row by row."""
        return product(range(self.rows - 1, -1, -1), range(self.columns))


def best_grid(
    places: Floats, labels: Floats, *, step: tuple[float, float], overlap: float, pitch: float = SHIFT
) -> Grid:
    """The grid that takes the fewest pages, then the smallest, then the one that cuts the fewest labels.

    Parameters
    ----------
    places : (n, 2) mm
        Where ink is, as `inked_places` finds it.
    labels : (n, 4) mm
        Level boxes round the labels. They take no pages of their own: one that finds itself off every page is moved.
    pitch : float, mm
        The grid starts at a whole multiple of it, as the step is one.
    """
    alone = one_cell(places, step, overlap)
    if alone:
        return alone
    squares = _squares(places if len(places) else (labels[:, :2] + labels[:, 2:]) / 2, overlap, pitch)
    low = squares.min(axis=0)
    cell = np.array([round(length / pitch) for length in step])
    # A border of empty squares as wide as a cell, so that a shift never drops ink off the edge.
    inked = np.zeros(squares.max(axis=0) - low + 1 + 2 * cell, dtype=bool)
    inked[tuple((squares - low + cell).T)] = True
    corner = (low - cell) * pitch
    whole = [_whole_by_shift(labels[:, axis::2] - corner[axis], step[axis], pitch) for axis in (0, 1)]
    spans = np.ptp(squares, axis=0) + 1
    shifts = [_shifts(int(size), int(span)) for size, span in zip(cell, spans, strict=True)]
    used = _by_shifts(inked, cell)[:, shifts[0]][..., shifts[1]]
    sheets = np.count_nonzero(used, axis=(0, 2))
    # Of the shifts with the fewest pages: where the ink begins and how far it runs on, counted in cells, (2, n).
    tied = np.nonzero(sheets == np.min(sheets))
    shift = np.array([shifts[axis][tied[axis]] for axis in (0, 1)])
    columns, rows = np.asarray(used.any(axis=2)), np.asarray(used.any(axis=0))
    one_way = columns[:, tied[0], tied[1]], rows[tied[0], :, tied[1]].T
    first = np.array([some.argmax(axis=0) for some in one_way])
    count = np.array([len(some) - some[::-1].argmax(axis=0) for some in one_way]) - first
    start, size = first * cell[:, None] + shift, count * cell[:, None]
    nought = np.sum([_seams_at_nought(corner[axis] + shift[axis] * pitch, step[axis]) for axis in (0, 1)], axis=0)
    cut = np.count_nonzero(~(whole[0][shift[0]] & whole[1][shift[1]]), axis=1)
    uneven = np.abs(2 * (start - cell[:, None]) + size - spans[:, None]).sum(axis=0)
    best = np.lexsort((shift[1], shift[0], uneven, cut, count.prod(axis=0), nought))[0]
    x, y = (corner + start[:, best] * pitch).tolist()
    return Grid((x, y), step, int(count[0, best]), int(count[1, best]), overlap, pitch)


def _by_shifts(inked: NDArray[np.bool_], cell: NDArray[np.int64]) -> NDArray[np.bool_]:
    """Which pages have ink for each shift across and up, (columns, shifts, rows, shifts), of squares with ink."""
    across, up = cell.tolist()
    columns, rows = -(-np.array(inked.shape) // cell)
    # One square before the first, and empty ones after the last, so that every shift has as many whole pages.
    total = np.zeros(((columns + 1) * across, (rows + 1) * up), dtype=np.int32)
    total[1 : len(inked) + 1, 1 : inked.shape[1] + 1] = inked
    total = total.cumsum(axis=0, dtype=np.int32).cumsum(axis=1, dtype=np.int32)
    strips = total[across:] - total[:-across]
    some: NDArray[np.bool_] = strips[:, up:] > strips[:, :-up]
    return some.reshape(columns, across, rows, up)


def _seams_at_nought(corners: Floats, step: float) -> NDArray[np.bool_]:
    """Whether seams from here on would cut along the pattern's axis: a centre line is not to go under the knife."""
    off = np.abs(np.remainder(corners + step / 2, step) - step / 2)
    at_nought: NDArray[np.bool_] = off < CLEAR_OF_AXIS
    return at_nought


def _shifts(cell: int, span: int) -> NDArray[np.int64]:
    """Shifts of the grid worth trying one way, in squares: all, or the one that centres ink which one cell holds."""
    return np.arange(cell) if span > cell else np.array([(cell - (cell - span) // 2) % cell])


def _whole_by_shift(ends: Floats, step: float, pitch: float) -> NDArray[np.bool_]:
    """Which of (n, 2) stretches no seam cuts, for each shift of the grid, (shifts, n)."""
    shifts = np.arange(0.0, step, pitch)[:, None]
    whole: NDArray[np.bool_] = np.floor((ends[:, 0] - shifts) / step) == np.floor((ends[:, 1] - shifts) / step)
    return whole


def one_cell(places: Floats, step: tuple[float, float], overlap: float) -> Grid | None:
    """A grid of one cell round the middle of what one page holds. Nothing joins it: whole figures are round enough."""
    if not len(places) or (np.ptp(places, axis=0) > np.array(step) + overlap - 2 * ROUNDED).any():
        return None
    middle = (places.min(axis=0) + places.max(axis=0)) / 2
    x, y = np.round(middle - np.array(step) / 2).tolist()
    return Grid((x, y), step, 1, 1, overlap)


def _squares(places: Floats, overlap: float, pitch: float) -> NDArray[np.int64]:
    """Squares of ``pitch`` mm with ink in them, some more than once, (n, 2) whole numbers.

    Ink no further than half an overlap beyond the outermost cells is still within their windows, so that much less
    is counted all round.
    """
    if not len(places):
        return np.zeros((1, 2), dtype=np.int64)
    low = np.floor((places.min(axis=0) + overlap / 2) / pitch)
    high = np.maximum(low, np.ceil((places.max(axis=0) - overlap / 2) / pitch) - 1)
    return np.clip(np.floor(places / pitch), low, high).astype(np.int64)


def inked_places(ink: Segments, pitch: float = SHIFT) -> Floats:
    """A place in every square of ``pitch`` mm that has ink in it, and the outermost ends, (n, 2) mm."""
    return np.concatenate([_middles(ink.start, ink.end, pitch), _outermost(ink)])


def _outermost(ink: Segments) -> Floats:
    """The four ends furthest to each side: more ends than these would count squares they only touch."""
    ends = np.concatenate([ink.start, ink.end])
    if not len(ends):
        return ends
    return ends[[*ends.argmin(axis=0).tolist(), *ends.argmax(axis=0).tolist()]]


def _middles(start: Floats, end: Floats, pitch: float) -> Floats:
    """Middles of the pieces segments fall into when cut at every line of the squares, (m, 2) mm."""
    owners = [np.arange(len(start))] * 2
    parts = [np.zeros(len(start)), np.ones(len(start))]
    for axis in (0, 1):
        one, other = start[:, axis] / pitch, end[:, axis] / pitch
        first, last = np.ceil(np.minimum(one, other)), np.floor(np.maximum(one, other))
        count = np.maximum(0, last - first + 1).astype(np.int64)
        count[one == other] = 0
        owner = np.repeat(np.arange(len(start)), count)
        line = first[owner] + np.arange(len(owner)) - (np.cumsum(count) - count)[owner]
        owners.append(owner)
        parts.append((line - one[owner]) / (other - one)[owner])
    owner, part = np.concatenate(owners), np.concatenate(parts)
    order = np.lexsort((part, owner))
    owner, part = owner[order], part[order]
    same = owner[1:] == owner[:-1]
    of, middle = owner[1:][same], ((part[1:] + part[:-1]) / 2)[same]
    middles: Floats = start[of] + middle[:, None] * (end[of] - start[of])
    return middles


def kept_cells(grid: Grid, ink: Segments, places: Floats) -> tuple[Cell, ...]:
    """Cells to be printed, as one reads: those with ink their neighbours do not show, joined to one whole."""
    bounds = _bounds(ink, places, {place: grid.share(place) for place in grid.cells()})
    inked = {place for place, box in bounds.items() if box is not None}
    needed: set[Cell] = set()  # they carry a dropped neighbour's ink
    for place in grid.cells():
        box = bounds[place]
        if box is None or place in needed:
            continue
        carrier = next((n for n in neighbours(place) if n in inked and holds(grid.window(n), box)), None)
        if carrier is not None:
            inked.discard(place)
            needed.add(carrier)
    joined = _joined(inked)
    return tuple(place for place in grid.cells() if place in joined)


def holds(outer: Box, inner: Box) -> bool:
    return (
        outer[0] <= inner[0] and outer[1] <= inner[1] and inner[2] <= outer[2] and inner[3] <= outer[3]
    )  # fmt: skip


def neighbours(place: Cell) -> tuple[Cell, Cell, Cell, Cell]:
    """To the left, to the right, above, below."""
    row, column = place
    return (row, column - 1), (row, column + 1), (row + 1, column), (row - 1, column)


def _bounds(ink: Segments, places: Floats, shares: Mapping[Cell, Box]) -> dict[Cell, Box | None]:
    """The box round what each cell shows, None for nothing."""
    shown = dict(zip(shares, ink.bounds_within(list(shares.values())), strict=True))
    for place, share in shares.items() if len(places) else ():
        # A label lies round its middle: where one is, no neighbour's strip of overlap is known to hold it.
        if ((places >= share[:2]) & (places <= share[2:])).all(axis=1).any():
            shown[place] = share
    return shown


def _joined(cells: set[Cell]) -> set[Cell]:
    """The cells and, where they fall apart into islands, the blank ones that bridge them.

    Pages that touch at a corner only, or not at all, could not be taped in their true places.
    """
    whole = set(cells)
    while True:
        island, rest = _island(whole)
        if not rest:
            return whole
        (row, column), (to_row, to_column) = min(
            product(sorted(island), sorted(rest)), key=lambda pair: (_paces(*pair), pair)
        )
        whole |= {(r, column) for r in range(min(row, to_row), max(row, to_row) + 1)}
        whole |= {(to_row, c) for c in range(min(column, to_column), max(column, to_column) + 1)}


def _island(cells: set[Cell]) -> tuple[set[Cell], set[Cell]]:
    """The cells joined edge to edge with the first one, and the others."""
    edge = [min(cells)] if cells else []
    island = set(edge)
    while edge:
        for other in neighbours(edge.pop()):
            if other in cells and other not in island:
                island.add(other)
                edge.append(other)
    return island, cells - island


def _paces(one: Cell, other: Cell) -> int:
    return abs(one[0] - other[0]) + abs(one[1] - other[1])
