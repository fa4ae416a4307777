"""Register crosses on the seams, lettered with where on the pattern they stand."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass

import numpy as np

from patterns.drawing.marks import Cross, Label
from patterns.drawing.obstacles import Obstacles
from patterns.drawing.text import label_box, text_reach, text_width
from patterns.tiling.clip import Box
from patterns.tiling.grid import SHIFT, Cell, Grid, holds

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


def lettered_crosses(grid: Grid, kept: Sequence[Cell], taken: Obstacles) -> dict[Cell, Lettered]:
    """The crosses on every tile. A cross's letters keep clear of the pattern, on at least one tile they stand."""
    by_tile = {place: _places(grid.cell(place)) for place in kept}
    unique = sorted({cross for crosses in by_tile.values() for cross in crosses})
    choices = {cross: _choices(cross) for cross in unique}
    clear = taken.free(np.array([label_box(label) for cross in unique for label in choices[cross]]).reshape(-1, 4, 2))
    # The letters' own cross was not asked about: their gaps keep them clear of it.
    free = dict(zip(unique, clear.reshape(-1, len(GAPS) * len(QUADRANTS)).tolist(), strict=True))
    found: dict[Cell, Lettered] = {}
    lettered: set[Place] = set()
    for place, crosses in by_tile.items():
        labels = []
        for cross in crosses:
            label = _first(choices[cross], free[cross], grid.window(place), grid.cell(place))
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


def _choices(cross: Place) -> list[Label]:
    text = written(cross)
    above, below = text_reach(text, SIZE)
    half = text_width(text, SIZE) / 2
    labels = []
    for gap in GAPS:
        for right, up in QUADRANTS:
            x = cross[0] + right * (gap + half)
            y = cross[1] + (gap + below if up > 0 else -gap - above)
            labels.append(Label(text, (x, y), SIZE, layer="sheet"))
    return labels


def _first(choices: Sequence[Label], free: Sequence[bool], window: Box, cell: Box) -> Label | None:
    """The first free choice whole on the tile, best where the trimming knife and the neighbour leave it in sight."""
    whole = [
        label for label, clear in zip(choices, free, strict=True) if clear and holds(window, _box(label))
    ]  # fmt: skip
    in_sight = [label for label in whole if holds(cell, _box(label))]
    return next(iter(in_sight or whole), None)


def _box(label: Label) -> Box:
    corners = label_box(label)
    return float(corners[0, 0]), float(corners[0, 1]), float(corners[2, 0]), float(corners[2, 1])


def _none_without(
    found: dict[Cell, Lettered], choices: dict[Place, list[Label]], lettered: set[Place], grid: Grid
) -> dict[Cell, Lettered]:
    """Crosses in the thick of the pattern get their letters over it, on the first tile that has room."""
    for place, tile in found.items():
        extra = []
        for cross in tile.crosses:
            if cross.at in lettered:
                continue
            label = _first(choices[cross.at], [True] * len(choices[cross.at]), grid.window(place), grid.cell(place))
            if label is not None:
                extra.append(label)
                lettered.add(cross.at)
        if extra:
            found[place] = Lettered(tile.crosses, (*tile.labels, *extra))
    return found
