"""The grid of seams held against the plainest way to find it: every shift tried, one by one."""

from __future__ import annotations

from itertools import product

import numpy as np
import pytest

from patterns.drawing.marks import Stroke
from patterns.geometry.arrays import Floats
from patterns.tiling.seams.clip import segments
from patterns.tiling.seams.grid import SHIFT, Grid, best_grid, inked_places

STEP = (180.0, 240.0)  # mm
OVERLAP = 12.0  # mm


@pytest.mark.parametrize("seed", range(6))
def test_no_shift_of_the_grid_takes_fewer_sheets_or_cuts_fewer_labels_on_a_grid_as_good(seed: int) -> None:
    random = np.random.default_rng(seed)
    corners = random.uniform((-400.0, -250.0), (500.0, 350.0), (6, 2))
    ink = segments([Stroke(corners, "cut-outside")])
    low = random.uniform((-380.0, -230.0), (400.0, 300.0), (30, 2))
    labels = np.hstack([low, low + np.array([45.0, 6.0])])
    places = inked_places(ink)
    found = best_grid(places, labels, step=STEP, overlap=OVERLAP)
    every = [_rank(_shifted(found, shift), places, labels) for shift in product(range(18), range(24))]
    assert _rank(found, places, labels) == min(every)


def _shifted(grid: Grid, shift: tuple[int, int]) -> Grid:
    """A grid wide enough for all ink, its seams so many tens on from a far corner."""
    x, y = (origin - 5 * step + SHIFT * by for origin, step, by in zip(grid.origin, STEP, shift, strict=True))
    return Grid((x, y), STEP, 12, 12, OVERLAP)


def _rank(grid: Grid, places: Floats, labels: Floats) -> tuple[int, int, int, int]:
    """Sheets with ink, seams on an axis, cells of the level box of the sheets, labels cut."""
    outermost = (places.min(axis=0) + OVERLAP / 2, places.max(axis=0) - OVERLAP / 2 - 1e-9)
    inner = np.clip(places, *outermost)
    cells = {tuple(cell) for cell in np.floor((inner - grid.origin) / STEP).astype(int).tolist()}
    columns, rows = ({cell[axis] for cell in cells} for axis in (0, 1))
    first = np.array([min(columns), min(rows)])
    seams = np.array(grid.origin) + first * STEP
    on_axis = sum(
        abs((edge + SHIFT / 2) % step - SHIFT / 2) < SHIFT / 2 for edge, step in zip(seams, STEP, strict=True)
    )
    across, up = max(columns) - min(columns) + 1, max(rows) - min(rows) + 1
    ends = np.floor((labels.reshape(-1, 2, 2) - grid.origin) / STEP)
    cut = int((ends[:, 0] != ends[:, 1]).any(axis=1).sum())
    return len(cells), int(on_axis), across * up, cut
