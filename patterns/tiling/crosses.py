"""Register crosses on the seams, lettered with where on the pattern they stand."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass

import numpy as np

from patterns.drawing.marks import Cross, Label
from patterns.drawing.obstacles import Obstacles
from patterns.drawing.text import text_reach, text_width
from patterns.tiling.clip import Box
from patterns.tiling.grid import SHIFT, Cell, Grid, holds
from patterns.tiling.lettering import free_of

ARM = 4.0  # mm; less than half the least overlap, so that every cross is whole on both sheets
PITCH = 150.0  # mm; crosses on a seam stand no further apart
SIZE = 1.8  # mm; small, for reading at arm's length while taping
GAPS = (1.2, ARM + 1.0)  # mm from the cross's lines to its letters: within the arms' corner, else past their ends
QUADRANTS = ((1, 1), (-1, 1), (1, -1), (-1, -1))

Place = tuple[float, float]  # mm


@dataclass(frozen=True, slots=True)
class Lettered:
    """The crosses of one tile and the letters beside them, where they stand on the pattern."""

    crosses: tuple[Cross, ...]
    labels: tuple[Label, ...]


def lettered_crosses(grid: Grid, kept: Sequence[Cell], taken: Sequence[Obstacles]) -> dict[Cell, Lettered]:
    """The crosses on every tile. A cross's letters keep clear of the pattern, on at least one tile they stand."""
    by_tile = {place: _places(grid.cell(place)) for place in kept}
    unique = sorted({cross for crosses in by_tile.values() for cross in crosses})
    choices = {cross: _choices(cross) for cross in unique}
    # The letters' own cross is not among what is taken: their gaps keep them clear of it.
    free = iter(free_of(taken, [label for cross in unique for label, _ in choices[cross]]))
    clear = {cross: [choice for choice in choices[cross] if next(free)] for cross in unique}
    found: dict[Cell, Lettered] = {}
    lettered: set[Place] = set()
    for place, crosses in by_tile.items():
        labels = []
        for cross in crosses:
            label = _first(clear[cross], grid.window(place), grid.cell(place))
            if label is not None:
                labels.append(label)
                lettered.add(cross)
        found[place] = Lettered(tuple(Cross(cross, ARM, "sheet") for cross in crosses), tuple(labels))
    return _none_without(found, choices, lettered, grid)


def stops(step: float) -> list[float]:
    """Where along a seam crosses stand from one corner to the next, mm: both corners and whole tens between."""
    count = max(2, int(np.ceil(step / PITCH)))
    return [float(stop) for stop in np.round(np.linspace(0.0, step, count + 1) / SHIFT) * SHIFT]


def _places(cell: Box) -> tuple[Place, ...]:
    left, bottom, right, top = cell
    across = [left + stop for stop in stops(right - left)]
    up = [bottom + stop for stop in stops(top - bottom)]
    sides = {(x, y) for x in (left, right) for y in up} | {(x, y) for x in across for y in (bottom, top)}
    return tuple(sorted(sides))


def written(cross: Place) -> str:
    """``320, 440``."""
    return f"{cross[0]:.0f}, {cross[1]:.0f}"


def _choices(cross: Place) -> list[tuple[Label, Box]]:
    """The letters in every place beside a cross, with the boxes round them."""
    text = written(cross)
    above, below = text_reach(text, SIZE)
    half = text_width(text, SIZE) / 2
    choices = []
    for gap in GAPS:
        for right, up in QUADRANTS:
            x = cross[0] + right * (gap + half)
            y = cross[1] + (gap + below if up > 0 else -gap - above)
            choices.append((Label(text, (x, y), SIZE, layer="sheet"), (x - half, y - below, x + half, y + above)))
    return choices


def _first(choices: Sequence[tuple[Label, Box]], window: Box, cell: Box) -> Label | None:
    """The first choice whole on the tile, best where the trimming knife and the neighbour leave it in sight."""
    whole = [choice for choice in choices if holds(window, choice[1])]
    in_sight = [choice for choice in whole if holds(cell, choice[1])]
    label, _ = next(iter(in_sight or whole), (None, None))
    return label


def _none_without(
    found: dict[Cell, Lettered], choices: dict[Place, list[tuple[Label, Box]]], lettered: set[Place], grid: Grid
) -> dict[Cell, Lettered]:
    """Crosses in the thick of the pattern get their letters over it, on the first tile that has room."""
    for place, tile in found.items():
        extra = []
        for cross in tile.crosses:
            if cross.at in lettered:
                continue
            label = _first(choices[cross.at], grid.window(place), grid.cell(place))
            if label is not None:
                extra.append(label)
                lettered.add(cross.at)
        if extra:
            found[place] = Lettered(tile.crosses, (*tile.labels, *extra))
    return found
