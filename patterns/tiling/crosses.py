"""Register crosses on the seams, lettered with where on the pattern they stand."""

from __future__ import annotations

import math
from collections.abc import Sequence
from dataclasses import dataclass
from functools import cache

import numpy as np

from patterns.drawing.marks import Cross, Label
from patterns.drawing.obstacles import Obstacles
from patterns.drawing.text import text_reach, text_width
from patterns.tiling.clip import Box
from patterns.tiling.grid import SHIFT, Cell, Grid, holds
from patterns.tiling.lettering import boxes_free_of

ARM = 4.0  # mm; less than half the least overlap, so that every cross is whole on both sheets
PITCH = 150.0  # mm; crosses on a seam stand no further apart
SIZE = 1.8  # mm; small, for reading at arm's length while taping
GAPS = (1.2, ARM + 1.0, 8.0, 12.0)  # mm from the cross's lines to its letters: in the arms' corner, else past them
AIR = 0.3  # mm between the letters and any other ink
QUADRANTS = ((1, 1), (-1, 1), (1, -1), (-1, -1))

Place = tuple[float, float]  # mm
_Choice = tuple[tuple[str, Place], Box]  # letters, their middle, and the box round them


@dataclass(frozen=True, slots=True)
class Lettered:
    """The crosses of one tile and the letters beside them, where they stand on the pattern."""

    crosses: tuple[Cross, ...]
    labels: tuple[Label, ...]


def seam_crosses(grid: Grid, kept: Sequence[Cell]) -> tuple[Cross, ...]:
    """Every cross once, in order."""
    unique = sorted({cross for place in kept for cross in _places(grid.cell(place))})
    return tuple(Cross(cross, ARM, "sheet") for cross in unique)


def lettered_crosses(
    grid: Grid, kept: Sequence[Cell], taken: Sequence[Obstacles], *, figured: bool = True
) -> dict[Cell, Lettered]:
    """The crosses on every tile. A cross's letters keep clear of the pattern; where they cannot, it goes without."""
    by_tile = {place: _places(grid.cell(place)) for place in kept}
    clear: dict[Place, list[_Choice]] = {}
    for gaps in (GAPS[:2], GAPS[2:]) if figured else ():
        still = [cross.at for cross in seam_crosses(grid, kept) if not clear.get(cross.at)]
        clear |= _clear_choices(still, gaps, taken)
    lettered: dict[Cell, Lettered] = {}
    for place, crosses in by_tile.items():
        labels = [_first(clear.get(cross, []), grid.window(place), grid.cell(place)) for cross in crosses]
        lettered[place] = Lettered(
            tuple(Cross(cross, ARM, "sheet") for cross in crosses), tuple(label for label in labels if label)
        )
    return lettered


@cache
def stops(step: float) -> tuple[float, ...]:
    """Where along a seam crosses stand from one corner to the next, mm: both corners and whole tens between."""
    count = max(2, math.ceil(step / PITCH))
    return tuple(round(number * step / count / SHIFT) * SHIFT for number in range(count + 1))


def _places(cell: Box) -> tuple[Place, ...]:
    left, bottom, right, top = cell
    across = [left + stop for stop in stops(right - left)]
    up = [bottom + stop for stop in stops(top - bottom)]
    sides = {(x, y) for x in (left, right) for y in up} | {(x, y) for x in across for y in (bottom, top)}
    return tuple(sorted(sides))


def written(cross: Place) -> str:
    """``320, 440``."""
    return f"{cross[0]:.0f}, {cross[1]:.0f}"


def _clear_choices(
    crosses: Sequence[Place], gaps: Sequence[float], taken: Sequence[Obstacles]
) -> dict[Place, list[_Choice]]:
    """The places beside each cross where its letters touch nothing, and the boxes round them there."""
    texts = [written(cross) for cross in crosses]
    half = np.array([text_width(text, SIZE) / 2 for text in texts]).reshape(-1, 1)
    above, below = text_reach("0", SIZE)
    right, up = np.tile(np.array(QUADRANTS), (len(gaps), 1)).T
    gap = np.repeat(gaps, len(QUADRANTS))
    x, y = np.array(crosses).reshape(-1, 2, 1).transpose(1, 0, 2)
    x, y = x + right * (gap + half), y + np.where(up > 0, gap + below, -gap - above)
    boxes = np.stack([x - half, y - below, x + half, y + above], axis=2)
    # The letters' own cross is not among what is taken: their gaps keep them clear of it.
    level = boxes.reshape(-1, 4) + AIR * np.array([-1, -1, 1, 1])
    free = boxes_free_of(taken, level[:, [[0, 1], [2, 1], [2, 3], [0, 3]]]).reshape(x.shape)
    found: dict[Place, list[_Choice]] = {}
    for number, (cross, text) in enumerate(zip(crosses, texts, strict=True)):
        which = free[number]
        spots = zip(x[number, which].tolist(), y[number, which].tolist(), boxes[number, which].tolist(), strict=True)
        found[cross] = [((text, (at_x, at_y)), (x0, y0, x1, y1)) for at_x, at_y, (x0, y0, x1, y1) in spots]
    return found


def _first(choices: Sequence[_Choice], window: Box, cell: Box) -> Label | None:
    """The first choice whole on the tile, best where the trimming knife and the neighbour leave it in sight."""
    whole = [choice for choice in choices if holds(window, choice[1])]
    in_sight = [choice for choice in whole if holds(cell, choice[1])]
    best = next(iter(in_sight or whole), None)
    return None if best is None else Label(best[0][0], best[0][1], SIZE, layer="sheet")
