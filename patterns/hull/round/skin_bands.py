"""How far a round hull's skin may be out, 19 times of 20."""

from __future__ import annotations

import numpy as np

from patterns.geometry.arrays import Floats
from patterns.hull.round.fit_skin import SkinFit
from patterns.hull.round.round_hull import Band

NINETEEN_OF_20 = 1.96  # standard deviations


def skin_band(fit: SkinFit) -> Band:
    """The band of a fitted skin: how far it may be out (n,) mm, at u and v (n,), in directions (n, 2) of y and z."""

    def band(u: Floats, v: Floats, ways: Floats) -> Floats:
        spread = fit.solution.spread(np.clip(u, 0.0, 1.0), np.clip(v, 0.0, 1.0), ways)
        return NINETEEN_OF_20 * spread

    return band
