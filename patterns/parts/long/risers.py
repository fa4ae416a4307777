"""Risers: level rails on the inside of the side that thwarts rest on."""

from __future__ import annotations

import numpy as np

from patterns.errors import ShapeError, while_making
from patterns.geometry.arrays import Floats
from patterns.geometry.cuts import station_plane
from patterns.geometry.development import develop
from patterns.geometry.parallels import parallel_on
from patterns.hull.build import end_word
from patterns.hull.planking.skin import Hull
from patterns.hull.planking.strakes import Face
from patterns.parts.asked.long_rules import RiserRules
from patterns.parts.long.long_ends import inner_face
from patterns.parts.long.stick import Cut, Stick
from patterns.units.lengths import write_length

FREE = "open, a free end"


def riser(hull: Hull, rules: RiserRules) -> Stick:
    """A rail on the inside of the side whose upper edge lies level; both edges square to the side."""
    strake = hull.sheer_strake
    ruled, near, within = strake.ruled, strake.inside, hull.between_corners(strake)
    base = ruled.middle + near * ruled.normal
    with np.errstate(divide="ignore", invalid="ignore"):
        upper: Floats = (rules.height - base[:, 2]) / ruled.along[:, 2]
    upper = np.where((upper > within.upper) & (upper < within.lower), upper, np.nan)
    with while_making(rules.name):
        _check_reach(hull, rules, base + upper[:, None] * ruled.along)
    far = near - rules.sided
    lower = parallel_on(develop(ruled, depth=(near + far) / 2), upper, -rules.moulded)
    return Stick(strake, Face(near, upper, lower), Face(far, upper, lower), rules.moulded)


def _check_reach(hull: Hull, rules: RiserRules, edge: Floats) -> None:
    """See that a riser runs clear of both ends of the boat.

    Parameters
    ----------
    edge : (n, 3) mm
        Its upper edge, NaN where the side is not so high.

    Raises
    ------
    ShapeError
        Where it does not.
    """
    edge = edge[np.isfinite(edge).all(axis=1)]
    if not len(edge):
        raise ShapeError("no part of the side is as high as {} above base", rules.height)
    edge = edge[edge[:, 0].argsort()]
    for x, aft in ((rules.start, False), (rules.end, True)):
        end = np.array([[x, np.interp(x, edge[:, 0], edge[:, 1]), rules.height]])
        past = float(inner_face(hull, aft=aft).signed(end)[0]) * (1.0 if aft else -1.0)
        if past > 0 or not edge[0, 0] <= x <= edge[-1, 0]:
            end_name = end_word(hull.aft if aft else hull.fore, aft=aft)
            raise ShapeError(
                f"would run from {{}} to {{}} aft of FP, past the {end_name}: move the thwart it carries, or give from "
                "and to in [riser]",
                *(rules.start, rules.end),
            )


def riser_ends(rules: RiserRules) -> tuple[Cut, Cut]:
    """Ends square to the boat at two distances from FP."""
    fore, aft = (station_plane(x, facing_aft=True).signed for x in (rules.start, rules.end))
    return Cut(fore, FREE), Cut(aft, FREE)


def riser_words(rules: RiserRules, show: str) -> str:
    """Where it stands in the boat."""
    height, start, end = (write_length(mm, show) for mm in (rules.height, rules.start, rules.end))
    return (
        f"On the inside of the side, its upper edge level under the thwarts, {height} above base, from {start} to "
        f"{end} aft of FP; both edges square to the side."
    )
