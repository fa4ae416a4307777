"""Where the planking leaves the side of a stem."""

from __future__ import annotations

import numpy as np

from patterns.geometry.arrays import Floats
from patterns.geometry.ruled import Signed
from patterns.hull.build import Stem
from patterns.hull.planking.skin import Hull


def half_siding_cut(hull: Hull, end: Stem, *, aft: bool) -> Signed:
    """Where the inside of the planking leaves the side of a stem or sternpost: a cut at its half siding."""

    def signed(points: Floats) -> Floats:
        out = points[..., 1] - end.sided / 2
        if not aft:
            return np.asarray(out)
        # Forward of midship the planking lies as near the centre plane again; that is the stem's affair.
        return np.where(points[..., 0] < hull.widest, -1.0, -out)

    return signed
