"""A title block kept whole: on one page, clear of all else, and on a page printed anyway where one has room."""

from __future__ import annotations

from collections.abc import Callable, Sequence
from dataclasses import replace
from itertools import pairwise

import numpy as np
from numpy.typing import NDArray

from patterns.drawing.block_setting import set_otherwise
from patterns.drawing.marks import Drawing, TitleBlock
from patterns.drawing.moved_marks import placed
from patterns.drawing.obstacles import Obstacles, obstacles
from patterns.drawing.turning import extent
from patterns.geometry.arrays import Floats, lengths
from patterns.tiling.seams.clip import Box
from patterns.tiling.seams.grid import Cell, Grid, neighbours

FROM_SEAM = 5.5  # mm; the crosses' arms and a little air
EDGE = 1.0  # mm; the same on a page that joins no other and has no crosses
CLEAR = 3.0  # mm between the block and other ink
LATTICE = 3.0  # mm between places tried for a block that takes least room
SPACING = 6.0  # mm between places tried
SQUARE = 8.0  # mm; squares of ink, small beside a block
NEAR_ENOUGH = 0.1  # mm; the ink is tested by lines that may run so far beside it
FIRST_TRIES = 100  # of the places, the nearest: one of them is free more often than not

_Covers = Callable[[Floats, Floats], NDArray[np.bool_]]


def block_whole(
    drawing: Drawing, among: Obstacles, places: Floats, grid: Grid, kept: Sequence[Cell]
) -> tuple[Drawing, Grid, tuple[Cell, ...]] | None:
    """The drawing with its block whole within one cell, the grid, and the cells to print; None for too big a block.

    The block stays where it is if it can; else it goes to the nearest free place on a page that is printed anyway;
    else to a blank page beside one, for which the grid may grow to the right or upward.

    Parameters
    ----------
    among : Obstacles
        The rest of the drawing.
    places : (n, 2) mm
        Of its ink.
    """
    block = drawing.block
    if block is None:
        return drawing, grid, tuple(kept)
    box = np.array(extent(block.marks))
    inked = _covers(places)  # what covers ink for certain need not be looked at any closer
    tried: set[Cell] = set()
    for wider in (grid, replace(grid, columns=grid.columns + 1), replace(grid, rows=grid.rows + 1)):
        beside = [cell for place in kept for cell in neighbours(place) if cell not in kept and _on(wider, cell)]
        for cells in (kept, beside):
            found = _nearest(box, among, inked, [(cell, _room(wider, cell)) for cell in cells if cell not in tried])
            tried.update(cells)
            if found is None:
                continue
            cell, by = found
            among_kept = {*kept, cell}
            return _with_block(drawing, block, by), wider, tuple(at for at in wider.cells() if at in among_kept)
    return None


def block_reshaped(
    drawing: Drawing, among: Obstacles, places: Floats, grid: Grid, kept: Sequence[Cell]
) -> Drawing | None:
    """The drawing with its block set otherwise, whole on a page that is printed anyway; None where no shape fits.

    Parameters
    ----------
    among, places
        As `block_whole` has them.
    """
    inked, rooms = _covers(places), [(cell, _room(grid, cell)) for cell in kept]
    for block, box in set_otherwise(drawing.block) if drawing.block else ():
        found = _nearest(box, among, inked, rooms)
        if found is not None:
            return _with_block(drawing, block, found[1])
    return None


def block_beside(
    drawing: Drawing, among: Obstacles, places: Floats, window: tuple[float, float]
) -> tuple[Drawing, Floats] | None:
    """The drawing with its block where one page can show both it and all the rest, and what that page must hold.

    Parameters
    ----------
    among : Obstacles
        The rest of the drawing.
    places : (n, 2) mm
        Of its ink, the outermost among them.
    window : (float, float) mm
        Of the page.
    """
    block = drawing.block
    if not len(places) or (np.ptp(places, axis=0) > window).any():
        return None
    if block is None:
        return drawing, places
    x0, y0 = (places.max(axis=0) - window + EDGE).tolist()
    x1, y1 = (places.min(axis=0) + window - EDGE).tolist()
    inked = _covers(places)
    for one, box in ((block, np.array(extent(block.marks))), *set_otherwise(block)):
        if (box[2:] - box[:2] + 2 * EDGE > window).any():
            continue
        found = _nearest(box, among, inked, [((0, 0), (x0, y0, x1, y1))], spacing=SPACING / 2)
        if found is not None:
            corners = (box.reshape(2, 2) + found[1]) + EDGE * np.array([[-1.0], [1.0]])
            return _with_block(drawing, one, found[1]), np.concatenate([places, corners])
    return None


def block_snug(drawing: Drawing) -> Drawing:
    """The drawing with its block set and moved so that both take the least room, within the ink's own box at best."""
    block = drawing.block
    if block is None:
        return drawing
    shapes = ((block, np.array(extent(block.marks))), *set_otherwise(block))
    body, dots = np.array(extent(drawing.body)), _dotted(obstacles(drawing.body))
    found = [(*_snug(box, body, dots), number) for number, (_, box) in enumerate(shapes)]
    _, by, number = min(found, key=lambda one: one[0])
    return _with_block(drawing, shapes[number][0], by)


def _dotted(among: Obstacles) -> Floats:
    """Places along all ink, (n, 2) mm, nearer to each other than a block keeps clear of it."""
    rims = np.stack([among.boxes, np.roll(among.boxes, -1, axis=1)], axis=2).reshape(-1, 2, 2)
    lines = np.concatenate([among.pieces, rims])
    count = np.ceil(lengths(lines[:, 1] - lines[:, 0]) / (CLEAR / 2)).astype(np.intp) + 1
    owner = np.repeat(np.arange(len(lines)), count)
    number = np.arange(len(owner)) - np.repeat(np.cumsum(count) - count, count)
    share = number / np.maximum(count[owner] - 1, 1)
    dots: Floats = lines[owner, 0] + share[:, None] * (lines[owner, 1] - lines[owner, 0])
    return dots


def _snug(box: Floats, body: Floats, dots: Floats) -> tuple[float, tuple[float, float]]:
    """The least room that a box and a body take together, mm2, and how the box is moved."""
    size = box[2:] - box[:2]
    low = body[:2] - size - 2 * CLEAR - LATTICE
    reach = np.ceil((size + 2 * CLEAR) / LATTICE).astype(np.intp) + 1  # cells that the box and its air may touch
    across, up = np.ceil((body[2:] + 2 * CLEAR - low) / LATTICE).astype(np.intp) + reach + 1
    sums = np.zeros((across + 1, up + 1), dtype=np.intp)
    column, row = ((dots - low) // LATTICE).astype(np.intp).T
    np.add.at(sums, (column + 1, row + 1), 1)
    sums = sums.cumsum(axis=0).cumsum(axis=1)
    wide, high = reach.tolist()
    inked = sums[wide:, high:] - sums[:-wide, high:] - sums[wide:, :-high] + sums[:-wide, :-high]
    places = np.argwhere(inked == 0)
    corner = low + places * LATTICE + CLEAR
    room = np.prod(np.maximum(corner + size, body[2:]) - np.minimum(corner, body[:2]), axis=1)
    best = int(room.argmin())
    dx, dy = (corner[best] - box[:2]).tolist()
    return float(room[best]), (dx, dy)


def _with_block(drawing: Drawing, block: TitleBlock, by: tuple[float, float]) -> Drawing:
    """The drawing with this block, moved."""
    return replace(drawing, block=replace(block, marks=tuple(placed(mark, by) for mark in block.marks)))


def _on(grid: Grid, place: Cell) -> bool:
    return 0 <= place[0] < grid.rows and 0 <= place[1] < grid.columns


def _room(grid: Grid, place: Cell) -> Box:
    left, bottom, right, top = grid.cell(place)
    return left + FROM_SEAM, bottom + FROM_SEAM, right - FROM_SEAM, top - FROM_SEAM


def _nearest(
    box: Floats, among: Obstacles, inked: _Covers, rooms: Sequence[tuple[Cell, Box]], *, spacing: float = SPACING
) -> tuple[Cell, tuple[float, float]] | None:
    """The cell and the least move that bring a box into a free place of one of some rooms."""
    by, owner = _moves(box, np.array([room for _, room in rooms]).reshape(-1, 4), spacing)
    order = np.argsort(np.hypot(*by.T), kind="stable")
    grown = box + np.array([-CLEAR, -CLEAR, CLEAR, CLEAR])
    order = order[~inked(grown, by[order])]
    corners = grown[[[0, 1], [2, 1], [2, 3], [0, 3]]]
    for start, end in pairwise([0, min(FIRST_TRIES, len(order)), len(order)]):
        tried = order[start:end]
        free = among.free(corners + by[tried][:, None])
        if free.any():
            best = int(tried[int(free.argmax())])
            dx, dy = by[best].tolist()
            return rooms[int(owner[best])][0], (dx, dy)
    return None


def _moves(box: Floats, rooms: Floats, spacing: float) -> tuple[Floats, NDArray[np.intp]]:
    """Moves of a box into (n, 4) rooms, (m, 2) mm, the least and all over each room; and the rooms' numbers."""
    lows, highs = rooms[:, :2] - box[:2], rooms[:, 2:] - box[2:]
    wide = np.flatnonzero((lows <= highs).all(axis=1))
    count = np.maximum(2, ((highs - lows)[wide] / spacing).astype(np.intp) + 1)
    # Both ways one place more: of the least move.
    size = (count + 1).prod(axis=1)
    which = np.repeat(np.arange(len(wide)), size)
    number = np.arange(len(which)) - np.repeat(np.cumsum(size) - size, size)
    owner = wide[which]
    by = np.empty((len(which), 2))
    for axis, place in enumerate(np.divmod(number, (count[:, 1] + 1)[which])):
        low, high, last = lows[owner, axis], highs[owner, axis], count[which, axis] - 1
        by[:, axis] = np.where(place == last, high, place * ((high - low) / last) + low)
        least = place > last
        by[least, axis] = np.clip(0.0, low[least], high[least])
    return by, owner


def _covers(places: Floats) -> _Covers:
    """Tells of (n, 2) moves of a box whether a place lies in it then, for certain: in a square wholly within it."""
    squares = np.floor(places / SQUARE).astype(np.intp)
    low = squares.min(axis=0, initial=0)
    squares -= low
    total = np.zeros(squares.max(axis=0, initial=0) + 2, dtype=np.int32)
    total[tuple(squares.T + 1)] = 1
    total = total.cumsum(axis=0).cumsum(axis=1)
    most = np.array(total.shape) - 1

    def covered(box: Floats, moves: Floats) -> NDArray[np.bool_]:
        first = np.clip(np.ceil((box[:2] + NEAR_ENOUGH + moves) / SQUARE).astype(np.intp) - low, 0, most)
        end = np.clip(np.floor((box[2:] - NEAR_ENOUGH + moves) / SQUARE).astype(np.intp) - low, first, most)
        (left, bottom), (right, top) = first.T, end.T
        some: NDArray[np.bool_] = total[right, top] - total[left, top] > total[right, bottom] - total[left, bottom]
        return some

    return covered
