"""How far a round hull's skin may be out, 19 times of 20."""

from __future__ import annotations

import numpy as np

from patterns.geometry.arrays import Floats
from patterns.geometry.one_thread import one_thread
from patterns.hull.round.fit_skin import FINE, SkinFit
from patterns.hull.round.round_hull import Band

NINETEEN_OF_20 = 1.96  # standard deviations
INNER, END = 1.25, 1.5
INNER_FINE, END_FINE = 1.8, 2.1
"""Times the spread that the equations leave: it takes the chosen stiffness for certain and a hull for alike all along,
which tells most where little rounding is left, and in the end bays. Set on random hulls of `tests/bench/bench_round.py`
with seeds under 1000, and judged on others there."""


def skin_band(fit: SkinFit) -> Band:
    """The band of a fitted skin: how far it may be out (n,) mm, at u and v (n,), in directions (n, 2) of y and z."""
    fine = fit.asked.offsets.rounding < FINE
    inner, end = (INNER_FINE, END_FINE) if fine else (INNER, END)
    first, last = _end_bays(fit)

    def band(u: Floats, v: Floats, ways: Floats) -> Floats:
        u, v = np.clip(u, 0.0, 1.0), np.clip(v, 0.0, 1.0)
        with one_thread():
            spread = fit.solution.spread(u, v, ways)
        x = _at(fit, u, v)
        return NINETEEN_OF_20 * spread * np.where((x < first) | (x > last), end, inner)

    return band


def _at(fit: SkinFit, u: Floats, v: Floats) -> Floats:
    fore, aft = fit.skin.x_ends(v)
    return np.asarray((1 - u) * fore + u * aft)


def _end_bays(fit: SkinFit) -> tuple[float, float]:
    """mm from FP: up to where, and from where, the skin lies nearer to an end than to two stations on either side."""
    x = [x for _, x in fit.asked.offsets.stations]
    return (x[0] + 2 * x[1]) / 3, (x[-1] + 2 * x[-2]) / 3


def covariance(fit: SkinFit, u: Floats, v: Floats, ways: Floats) -> Floats:
    """(n, n) mm^2, how the places of a skin may be out together."""
    with one_thread():
        return fit.solution.joint(np.clip(u, 0.0, 1.0), np.clip(v, 0.0, 1.0), ways)
