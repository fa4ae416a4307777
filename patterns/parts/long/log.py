"""The chine log: in the corner of side and bottom, its top bevelled to shed water."""

from __future__ import annotations

from collections.abc import Sequence

import numpy as np

from patterns.errors import ShapeError, while_making
from patterns.geometry.arrays import Floats, crossed, unit
from patterns.geometry.development import develop
from patterns.geometry.parallels import parallel_on
from patterns.geometry.ruled import Ruled
from patterns.hull.planking.strakes import Corner, Face
from patterns.parts.asked.long_rules import ChineLogRules
from patterns.parts.long.long_pieces import Place
from patterns.parts.long.stick import Stick
from patterns.units.lengths import write_length

WITHIN = np.radians(0.05)  # rad; nearer to what is wanted than this, tenths of a degree read the same


def chine_log(corner: Corner, rules: ChineLogRules) -> Stick:
    """The log in a chine: on the inside of the strake above, standing on the inside of the one below.

    Its size as moulded is measured on the strake above, square to its lower edge; the top is bevelled from there.
    """
    ruled, near_depth = corner.above.ruled, corner.above.inside
    far_depth, lower = near_depth - rules.sided, corner.on_above
    with while_making(rules.name):
        far = ruled.points(lower, far_depth)
        far_lower = lower + corner.below.ruled.pierced_by(far, ruled.along, corner.below.inside)
        flat = develop(ruled, depth=(near_depth + far_depth) / 2)
        upper = parallel_on(flat, lower, rules.moulded)
        bevel = top_bevel(ruled, upper, near_depth, rules)
        far_upper = parallel_on(flat, upper, -rules.sided * np.tan(bevel))
        if (far_upper >= far_lower).any():
            raise ShapeError("its bevels leave no wood on its inner face")
    return Stick(corner.above, Face(near_depth, upper, lower), Face(far_depth, far_upper, far_lower), rules.moulded)


def top_bevel(ruled: Ruled, upper: Floats, depth: float, rules: ChineLogRules) -> Floats:
    """(n,) rad, under, of the top on each ruling.

    A line drawn down the top square to the log runs inboard along ``-out cos b - up sin b``. With the boat level it
    falls by the drain where ``out_z cos b + up_z sin b = sin drain`` (vectors; with the log level this is
    b = drain + flare).
    """
    if rules.top_bevel is not None or rules.drain is None:
        return np.full(len(ruled), rules.top_bevel or 0.0)
    points = ruled.points(upper, depth)
    with np.errstate(invalid="ignore", divide="ignore"):
        up = crossed(unit(np.gradient(points, axis=0)), ruled.normal)
        size = np.hypot(ruled.normal[:, 2], up[:, 2])
        return np.asarray(np.arcsin(np.sin(rules.drain) / size) - np.arctan2(ruled.normal[:, 2], up[:, 2]))


def water_held(places: Sequence[Place], rules: ChineLogRules, show: str) -> str | None:
    """What to tell of a log whose top does not shed water as it should, if it does not."""
    least = rules.drain - WITHIN if rules.drain else WITHIN
    poor = [place for place in places if place.slope < least]
    if not poor:
        return None
    worst = min(poor, key=lambda place: place.slope)
    slope = np.degrees(worst.slope)
    if abs(worst.slope) < WITHIN:
        lies = "lies level and holds water"
    else:
        lies = f"falls only {slope:.1f}° inboard" if slope > 0 else f"slopes {-slope:.1f}° outboard and holds water"
    wanted = f", wanted {np.degrees(rules.drain):.1f}° or more inboard" if rules.drain else ""
    at = f"{write_length(worst.along, show)} from the fore end of its lower edge"
    where = f"{worst.name}, {at}" if worst.name else at
    return f"with the boat level its top {lies} at {where}{wanted}; too little at {len(poor)} of {len(places)} marks."
