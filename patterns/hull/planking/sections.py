"""What a plane across the boat finds inside the planking: the shape frames and transoms are cut to."""

from __future__ import annotations

from dataclasses import dataclass

import numpy as np

from patterns.geometry.arrays import Floats
from patterns.geometry.cuts import Plane
from patterns.hull.planking.skin import Hull

LANES = 65  # places along the side, and along half the bottom
ABOVE_SHEER = 120.0  # mm the side is carried on above its top edge, so that slanting tops can be trimmed to length


@dataclass(frozen=True, eq=False)
class Section:
    """The inside of the planking on the starboard side, in space, where a plane cuts it."""

    side: Floats  # (n, 3) mm, from the corner with the bottom up to the sheer
    above: Floats  # (m, 3) mm, the same carried on above the sheer
    bottom: Floats  # (k, 3) mm, from port corner to starboard corner


def cut_inside(hull: Hull, plane: Plane) -> Section:
    """The inside of the planking cut by a plane.

    Raises
    ------
    ShapeError
        Where the plane misses the planking.
    """
    side, bottom = hull.side, hull.bottom
    cut = plane.signed
    s, t = side.ruled.crossing(cut, hull.sheer_edge, hull.corner, side.inside, lanes=LANES)
    up = side.ruled.point(s, t, side.inside)[::-1]
    s, t = side.ruled.crossing(cut, hull.sheer_edge - ABOVE_SHEER, hull.sheer_edge, side.inside, lanes=LANES)
    above = side.ruled.point(s, t, side.inside)[::-1]
    s, t = bottom.ruled.crossing(cut, -hull.corner_on_bottom, hull.corner_on_bottom, bottom.inside, lanes=2 * LANES - 1)
    across = bottom.ruled.point(s, t, bottom.inside)
    # Both skins were brought to the corner; one of them has to name it, so that outlines close.
    corner = up[0]
    across[-1], across[0] = corner, corner * (1.0, -1.0, 1.0)
    return Section(up, above[1:], across)


def in_view(plane: Plane, section: Section) -> tuple[Floats, Floats, Floats]:
    """Side, side above the sheer, and bottom from left to right, of whichever side lies on the right of the view."""
    # The starboard half stands for both: whichever hand lies on the right, the boat is alike on both.
    sides = (section.side, section.above, section.bottom)
    side, above, bottom = (plane.flat(points) * (np.sign(plane.right[1]), 1.0) for points in sides)
    return side, above, bottom


def over(points: Floats) -> Floats:
    """Points on the other side of the centre line."""
    return np.asarray(points * (-1.0, 1.0))
