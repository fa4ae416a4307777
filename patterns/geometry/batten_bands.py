"""How far a line may be out: the half width of the band it lies in 19 times of 20.

The mixture's own spread is wider than that, because rounding has bounds and mixtures have long tails; by how much
depends on where a place lies. The factors were set on random boats (two seeds) and are judged on others by
`tests/bench/bench_lines.py`. A turn much shorter than its bay is not in the band: the figures say nothing of it.
"""

from __future__ import annotations

import numpy as np

from patterns.geometry.arrays import Floats
from patterns.geometry.batten_fits import LEAST_NOISE, RowFit
from patterns.geometry.batten_kinds import WIDE

SPREADS = 1.96  # standard deviations either side hold 95 % of a normal law
AT_FIGURE, BAY, WIDE_BAY = 0.72, 0.75, 0.95
END_BAY, END_BAY_OF_FEW = 0.85, 1.1
WIDE_END_BAY, WIDEST_END_BAY = 1.35, 1.6
FEW = 6  # figures or fewer
WIDEST = 2.5  # times the median bay
SAME_PLACE = 1e-9  # of the run


def band95(row: RowFit, at: Floats) -> Floats:
    """(m,) mm, half the width of the band at places (m,): past an end, as in the bay beside it."""
    return SPREADS * _factors(row.sites, at) * row.spread(at)


def _factors(sites: Floats, at: Floats) -> Floats:
    """(m,) by which the spread is taken, by kind of place."""
    bays = np.diff(sites)
    median = float(np.median(bays))
    wide = bays > WIDE * median
    factors = np.where(wide, WIDE_BAY, BAY)
    for end in (0, -1):
        if wide[end]:
            factors[end] = WIDE_END_BAY if bays[end] < WIDEST * median else WIDEST_END_BAY
        else:
            factors[end] = END_BAY_OF_FEW if len(sites) <= FEW else END_BAY
    bay = np.clip(np.searchsorted(sites, at, side="right") - 1, 0, len(bays) - 1)
    on_figure = np.abs(at[:, None] - sites).min(axis=1) <= SAME_PLACE * (sites[-1] - sites[0])
    return np.where(on_figure, AT_FIGURE, factors[bay])


def spread_left(row: RowFit, goal: Floats, at: Floats) -> Floats:
    """(m, k) mm, standard deviation left at goals (m,) once one more figure has been measured at one of places (k,).

    The figure is written as the others are. Source: Schur complement of a normal law (Rasmussen and Williams, A.2).
    """
    covariance = row.covariance_at(np.concatenate([goal, at]))
    own, between = np.diagonal(covariance), covariance[: len(goal), len(goal) :]
    figure = own[len(goal) :] + row.noise**2 + LEAST_NOISE**2
    return np.sqrt(np.maximum(own[: len(goal), None] - between**2 / figure, 0.0))


def band95_left(row: RowFit, goal: Floats, at: Floats) -> Floats:
    """(m, k) mm, half the width of the band at goals (m,) once one more figure is measured at one of places (k,)."""
    return SPREADS * _factors(row.sites, goal)[:, None] * spread_left(row, goal, at)
