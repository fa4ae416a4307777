"""Where planes that lie nearly level cut the inside of the side: what thwarts and knees are fitted to."""

from __future__ import annotations

import numpy as np

from patterns.errors import ShapeError
from patterns.geometry.arrays import Floats, dots, unit
from patterns.geometry.cuts import Plane
from patterns.geometry.outlines import thinned
from patterns.hull.planking.skin import Hull
from patterns.hull.planking.strakes import Strake

PAST_SHEER = 60.0  # mm a face is carried on above the sheer, for pieces that follow a curved sheer straight
STEP = 5.0  # mm of length between the points of a fitted edge


def level_plane(height: float) -> Plane:
    """The level plane so high above base, seen from above: aft to the right, starboard up."""
    return Plane(np.array([0.0, 0.0, height]), np.array([1.0, 0.0, 0.0]), np.array([0.0, 1.0, 0.0]))


def plane_along(start: Floats, end: Floats) -> Plane:
    """The plane level athwart through two points (3,), the first further forward; its origin is at x = 0, y = 0."""
    way = unit((end - start) * (1.0, 0.0, 1.0))
    origin = np.array([0.0, 0.0, start[2] - start[0] * way[2] / way[0]])
    return Plane(origin, way, np.array([0.0, 1.0, 0.0]))


def side_in_plane(hull: Hull, plane: Plane, inboard: float) -> Floats:
    """(n, 2) mm, where a plane meets the starboard side, or what lies so far inboard of its inside; fore to aft.

    In the plane's axes, of every strake that it meets.
    """
    points = np.concatenate([_strake_in_plane(hull, strake, plane, inboard) for strake in hull.paired])
    if len(hull.paired) > 1:
        points = np.concatenate([points, *([] if inboard else [chines_in_plane(hull, plane)])])
        points = points[points[:, 0].argsort(kind="stable")]
    return np.asarray(points[np.diff(points[:, 0], prepend=-np.inf) > 0])


def chines_in_plane(hull: Hull, plane: Plane) -> Floats:
    """(n, 2) mm, where a plane meets the inside corners of strakes with one of each hand, in its axes."""
    found = [np.empty((0, 2))]
    for corner in hull.corners:
        points = corner.points
        between = (hull.fore_cut.signed(points) > 0) & (hull.aft_cut.signed(points) < 0)
        off = np.where(between, plane.signed(points), np.nan)
        at = np.flatnonzero(off[1:] * off[:-1] < 0)
        if len(at) and not corner.below.athwart:
            share = (off[at] / (off[at] - off[at + 1]))[:, None]
            found.append(plane.flat(points[at] + share * (points[at + 1] - points[at])))
    return np.concatenate(found)


def _strake_in_plane(hull: Hull, strake: Strake, plane: Plane, inboard: float) -> Floats:
    ruled, face = strake.ruled, hull.between_corners(strake)
    base = ruled.middle + (strake.inside - inboard) * ruled.normal
    with np.errstate(divide="ignore", invalid="ignore"):
        t = ((plane.origin - base) @ plane.facing) / dots(ruled.along, plane.facing[None, :])
    past = PAST_SHEER if strake is hull.sheer_strake else 0.0
    within = (t > face.upper - past) & (t < face.lower) & np.isfinite(t)
    return plane.flat(base[within] + t[within, None] * ruled.along[within])


def edge_between(hull: Hull, plane: Plane, inboard: float, fore: float, aft: float) -> Floats:
    """(n, 2) mm, the same from one distance along the plane to another.

    Raises
    ------
    ShapeError
        Where the side does not reach so far in that plane.
    """
    line = side_in_plane(hull, plane, inboard)
    if len(line) < 2 or line[0, 0] > fore or line[-1, 0] < aft:
        raise ShapeError("the side does not reach as far as it, fore and aft, at its height")
    x = np.linspace(fore, aft, max(2, int(np.ceil((aft - fore) / STEP)) + 1))
    if not inboard:  # where it passes a chine it turns
        turns = chines_in_plane(hull, plane)[:, 0]
        x = np.union1d(x, turns[(turns > fore) & (turns < aft)])
    return thinned(np.stack([x, np.interp(x, line[:, 0], line[:, 1])], axis=1))


def sheer_inside(hull: Hull) -> Floats:
    """(n, 3) mm, the sheer strake's top edge on its inside face."""
    strake = hull.sheer_strake
    return strake.ruled.points(hull.sheer_edge, strake.inside)


def hollowed(start: Floats, end: Floats, depth: float) -> Floats:
    """(n, 2) mm, an arc from one point to another that dips so far to the left of the straight line between them.

    Source: R = c^2/(8 s) + s/2, plane geometry (trade_geometry.toml, [sagitta]).
    """
    if depth == 0:
        return np.stack([start, end])
    chord = end - start
    length = float(np.hypot(*chord))
    along = chord / length
    left = np.array([-along[1], along[0]])
    radius = length**2 / (8 * depth) + depth / 2
    half = np.arcsin(length / 2 / radius)
    turn = np.linspace(-half, half, 129)
    x, y = radius * np.sin(turn) + length / 2, radius * np.cos(turn) - radius * np.cos(half)
    return np.asarray(start + x[:, None] * along + y[:, None] * left)
