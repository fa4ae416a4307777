"""Pieces on the inside of the bottom: keel batten, keelson and stringers; square-edged."""

from __future__ import annotations

import numpy as np

from patterns.errors import while_making
from patterns.geometry.development import develop
from patterns.geometry.parallels import parallel_on
from patterns.hull.planking.skin import Hull
from patterns.hull.planking.strakes import Face
from patterns.parts.asked.long_rules import LongRules
from patterns.parts.long.stick import Stick


def on_bottom(hull: Hull, rules: LongRules, *, from_center: float | None = None, above: float = 0.0) -> Stick:
    """A piece lying flat on the bottom along the centre line, or so far off it on the starboard side.

    Parameters
    ----------
    from_center : float or None
        mm from the centre line to the inboard edge; None for a piece that straddles it.
    above : float
        mm of other wood between the bottom and the piece.
    """
    ruled = hull.floor.ruled
    near = hull.floor.inside - above
    far = near - rules.moulded
    # The rulings of a bottom athwart run from starboard to port: starboard is its upper edge. Half a V bottom has its
    # centre line along its lower edge.
    centre = hull.between_corners(hull.floor).lower if hull.seam else np.zeros(len(ruled))
    inboard = -rules.sided / 2 if from_center is None else from_center
    with while_making(rules.name):
        flat = develop(ruled, depth=(near + far) / 2)
        lower, upper = (parallel_on(flat, centre, away) for away in (inboard, inboard + rules.sided))
    return Stick(hull.floor, Face(near, upper, lower), Face(far, upper, lower), rules.sided)
