"""Register crosses on the seams, lettered with where on the pattern they stand."""

from __future__ import annotations

import math
from collections.abc import Mapping, Sequence
from dataclasses import dataclass
from functools import cache, lru_cache

import numpy as np
from numpy.typing import NDArray

from patterns.drawing.marks import Cross, Label
from patterns.drawing.obstacles import Obstacles
from patterns.drawing.text import text_reach, text_width
from patterns.geometry.arrays import Floats
from patterns.tiling.paper.paper import PAGE_PITCH
from patterns.tiling.seams.clip import Box
from patterns.tiling.seams.grid import SHIFT, Cell, Grid
from patterns.units.lengths import write_figure

ARM = 4.0  # mm; less than half the least overlap, so that every cross is whole on both pages
PITCH = 150.0  # mm; crosses on a seam stand no further apart
SIZE = 1.9  # mm, 7 points; small, for reading at arm's length while taping
GAPS = (1.2, ARM + 1.0, 8.0, 12.0)  # mm from the cross's lines to its letters: in the arms' corner, else past them
AIR = 0.3  # mm between the letters and any other ink
QUADRANTS = ((1, 1), (-1, 1), (1, -1), (-1, -1))

Place = tuple[float, float]  # mm


@dataclass(frozen=True, slots=True)
class Lettered:
    """The crosses of one tile and the letters beside them, where they stand on the pattern."""

    crosses: tuple[Cross, ...]
    labels: tuple[Label, ...]


def seam_crosses(grid: Grid, kept: Sequence[Cell]) -> tuple[Cross, ...]:
    """Every cross once, in order."""
    unique = sorted({cross for place in kept for cross in _places(grid.cell(place))})
    return tuple(Cross(cross, ARM, "sheet") for cross in unique)


def lettered_crosses(grid: Grid, kept: Sequence[Cell], taken: Obstacles, *, show: str = "mm") -> dict[Cell, Lettered]:
    """The crosses on every tile. A cross's figures keep clear of the pattern; where they cannot, it goes without.

    Parameters
    ----------
    show : str
        How lengths are printed; empty where crosses are not figured.
    """
    by_tile = {place: _places(grid.cell(place)) for place in kept}
    unique = sorted({cross for found in by_tile.values() for cross in found})
    numbers = {cross: number for number, cross in enumerate(unique)}
    letters = _first_choices(grid, by_tile, numbers, taken, show) if show else dict.fromkeys(kept, ())
    return {
        place: Lettered(tuple(Cross(cross, ARM, "sheet") for cross in crosses), letters[place])
        for place, crosses in by_tile.items()
    }


@cache
def stops(step: float) -> tuple[float, ...]:
    """Where along a seam crosses stand from one corner to the next, mm: both corners, and round figures between."""
    count = max(2, math.ceil(step / PITCH))
    pitch = PAGE_PITCH if step % SHIFT else SHIFT
    return tuple(round(number * step / count / pitch) * pitch for number in range(count + 1))


@lru_cache(maxsize=1024)  # tiles share them, and more than one asks
def _places(cell: Box) -> tuple[Place, ...]:
    left, bottom, right, top = cell
    across = [left + stop for stop in stops(right - left)]
    up = [bottom + stop for stop in stops(top - bottom)]
    sides = {(x, y) for x in (left, right) for y in up} | {(x, y) for x in across for y in (bottom, top)}
    return tuple(sorted(sides))


def written(cross: Place, show: str) -> str:
    """``12 5/8, 17 5/16`` or ``320, 440``: how far across and up from the pattern's own zero."""
    across, up = (write_figure(mm, show) for mm in cross)
    return f"{across}, {up}"


def _first_choices(
    grid: Grid, by_tile: Mapping[Cell, Sequence[Place]], numbers: Mapping[Place, int], taken: Obstacles, show: str
) -> dict[Cell, tuple[Label, ...]]:
    """Letters for each tile's crosses: at the first clear choice whole on it, best clear of knife and neighbour."""
    texts = [written(cross, show) for cross in numbers]
    middles, boxes, clear = _choices(list(numbers), texts, taken)
    place_of = [place for place, crosses in by_tile.items() for _ in crosses]
    which = np.array([numbers[cross] for crosses in by_tile.values() for cross in crosses], dtype=np.intp)
    whole, in_sight = (
        clear[which] & _held(boxes[which], np.array([edges(place) for place in place_of]).reshape(-1, 1, 4))
        for edges in (grid.window, grid.cell)
    )
    best = np.where(in_sight.any(axis=1), in_sight.argmax(axis=1), whole.argmax(axis=1))
    found: dict[Cell, list[Label]] = {place: [] for place in by_tile}
    spots = middles[which, best].tolist()
    for number in np.flatnonzero(whole.any(axis=1)).tolist():
        x, y = spots[number]
        found[place_of[number]].append(Label(texts[which[number]], (x, y), SIZE, layer="sheet"))
    return {place: tuple(labels) for place, labels in found.items()}


def _choices(
    crosses: Sequence[Place], texts: Sequence[str], taken: Obstacles
) -> tuple[Floats, Floats, NDArray[np.bool_]]:
    """Middles (n, m, 2) and boxes (n, m, 4) of letters beside n crosses, mm, and which touch nothing, (n, m).

    The further choices are given for crosses that have none clear close by.
    """
    half = np.array([text_width(text, SIZE) / 2 for text in texts])
    places = np.array(crosses).reshape(-1, 2)
    middles, boxes, clear = _beside(places, half, GAPS[:2], taken)
    shut = ~clear.any(axis=1)
    middles[shut], boxes[shut], clear[shut] = _beside(places[shut], half[shut], GAPS[2:], taken)
    return middles, boxes, clear


def _beside(
    crosses: Floats, half: Floats, gaps: Sequence[float], taken: Obstacles
) -> tuple[Floats, Floats, NDArray[np.bool_]]:
    """The same at some gaps. Letters are half so wide as ``half`` says, (n,) mm."""
    above, below = text_reach("0", SIZE)
    right, up = np.tile(np.array(QUADRANTS), (len(gaps), 1)).T
    gap, half = np.repeat(gaps, len(QUADRANTS)), half[:, None]
    x, y = crosses.reshape(-1, 2, 1).transpose(1, 0, 2)
    x, y = x + right * (gap + half), y + np.where(up > 0, gap + below, -gap - above)
    boxes = np.stack([x - half, y - below, x + half, y + above], axis=2)
    # The letters' own cross is not among what is taken: their gaps keep them clear of it.
    level = boxes.reshape(-1, 4) + AIR * np.array([-1, -1, 1, 1])
    free = taken.free(level[:, [[0, 1], [2, 1], [2, 3], [0, 3]]]).reshape(x.shape)
    return np.stack([x, y], axis=2), boxes, free


def _held(boxes: Floats, rooms: Floats) -> NDArray[np.bool_]:
    """Whether level boxes, (..., 4), lie within rooms."""
    return np.asarray(((boxes[..., :2] >= rooms[..., :2]) & (boxes[..., 2:] <= rooms[..., 2:])).all(axis=-1))
