"""Risers: level rails on the inside of the side that thwarts rest on."""

from __future__ import annotations

import numpy as np

from patterns.errors import ShapeError, while_making
from patterns.geometry.arrays import Floats, dots, unit
from patterns.geometry.cuts import station_plane
from patterns.hull.skin import Hull
from patterns.parts.long_rules import RiserRules
from patterns.parts.panels import Face
from patterns.parts.stick import Cut, Stick

FREE = "open, a free end"


def riser(hull: Hull, rules: RiserRules) -> Stick:
    """A rail on the inside of the side whose upper edge lies level; both edges square to the side."""
    ruled, near = hull.side.ruled, hull.side.inside
    base = ruled.middle + near * ruled.normal
    with np.errstate(divide="ignore", invalid="ignore"):
        upper: Floats = (rules.height - base[:, 2]) / ruled.along[:, 2]
    upper = np.where((upper > hull.sheer_edge) & (upper < hull.corner), upper, np.nan)
    if np.isnan(upper).all():
        with while_making(rules.name):
            raise ShapeError("no part of the side is as high as {} above base", rules.height)
    lower = _below(ruled.middle + upper[:, None] * ruled.along, ruled.along, upper, rules.moulded)
    far = near - rules.sided
    return Stick(ruled, Face(near, upper, lower), Face(far, upper, lower))


def _below(line: Floats, along: Floats, upper: Floats, moulded: float) -> Floats:
    """t of the lower edge, so far from a line measured square to it in the side."""
    way = np.gradient(line, axis=0)
    lean = dots(unit(way), along)
    return np.asarray(upper + moulded / np.sqrt(1.0 - lean**2))


def riser_ends(rules: RiserRules) -> tuple[Cut, Cut]:
    """Ends square to the boat at two distances from FP."""
    fore, aft = (station_plane(x, facing_aft=True).signed for x in (rules.start, rules.end))
    return Cut(fore, FREE), Cut(aft, FREE)
