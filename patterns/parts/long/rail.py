"""Rails and stringers on the side: inwale, outwale, rub rail; square-edged, along the sheer or below it."""

from __future__ import annotations

import numpy as np

from patterns.errors import ShapeError, while_making
from patterns.geometry.development import develop
from patterns.geometry.parallels import parallel_on
from patterns.hull.planking.skin import Hull
from patterns.hull.planking.strakes import Face
from patterns.parts.asked.long_rules import LongRules
from patterns.parts.long.stick import Stick


def side_rail(hull: Hull, rules: LongRules, *, below_sheer: float, inside: bool) -> Stick:
    """A rail on the inside or the outside of the side, its upper edge so far below the sheer, measured down the side.

    Both edges are square to the side, as the sheer itself is; at the sheer the rail's top is flush with it.
    """
    side, own = hull.sheer_strake, hull.inside(hull.sheer_strake)
    near = side.inside if inside else side.outside
    far = near - rules.sided if inside else near + rules.sided
    with while_making(rules.name):
        flat = develop(side.ruled, depth=(near + far) / 2)
        upper = parallel_on(flat, own.upper, -below_sheer) if below_sheer else own.upper
        lower = parallel_on(flat, upper, -rules.moulded)
        past = np.where(hull.between_ends(side), lower - own.lower, -np.inf)
        lowest = int(np.nan_to_num(past, nan=-np.inf).argmax())
        if past[lowest] > 0:
            raise ShapeError(
                "its lower edge would lie {} below the side's own; expected a smaller below_sheer or moulded",
                float(past[lowest]),
                at=float(side.ruled.middle[lowest, 0]),
            )
    return Stick(side, Face(near, upper, lower), Face(far, upper, lower), rules.moulded)
