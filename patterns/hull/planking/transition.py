"""Where the bottom can no longer lap over the side's edge and must butt or mitre against it, near the bow.

Landed over the side, the bottom asks the side's edge to be planed off square by what the corner of their inside faces
opens past a right angle. Past half a right angle more wood is planed off the edge than is left across it and the lap's
own rim comes sharper than a bevel holds: from there forward both edges are planed to the half angle instead. That the
lap ends at 45 degrees is common practice, no single source; the angles are geometry.
"""

from __future__ import annotations

from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray

from patterns.errors import ShapeError
from patterns.geometry.arrays import Floats, crossed, dots, lengths, run_along, unit
from patterns.hull.build import Laps
from patterns.hull.planking.skin import Hull

STEEPEST_LAP = np.radians(45.0)  # rad off square, of an edge that is lapped over


@dataclass(frozen=True, slots=True)
class ChineJoint:
    """How the edges of side and bottom meet at one place, square to the chine."""

    from_fp: float  # mm
    along: float  # mm along the corner from the fore end
    opening: float  # rad, between the inside faces
    lap: float  # rad off square, from the inside faces, of the side's edge and the bottom's rim where it laps over
    mitre: float  # rad off square, from the inside faces, of both edges planed to the half angle; standing +, under -


@dataclass(frozen=True, slots=True)
class Transition:
    """The place along the chine where lap turns to mitre, and the joint on either side of it."""

    lapped: bool  # whether the bottom is to lap over the sides at all
    at: ChineJoint | None  # where, going aft, the lap begins; None where it may run from end to end, or is none
    widest: ChineJoint  # where the corner opens most
    joints: tuple[ChineJoint, ...]  # all along, fore to aft

    @property
    def stem(self) -> ChineJoint:
        """At the fore end."""
        return self.joints[0]

    @property
    def aft(self) -> ChineJoint:
        """At the after end."""
        return self.joints[-1]

    @property
    def nowhere(self) -> bool:
        """Whether the lap cannot begin before the after end."""
        return self.at is self.aft

    def mitred(self, x: Floats) -> NDArray[np.bool_]:
        """Whether both edges are planed to the half angle so far from FP, mm."""
        ends = -np.inf if self.at is None else np.inf if self.nowhere else self.at.from_fp
        return np.asarray(x < ends)

    def mitre(self, x: Floats) -> Floats:
        """rad off square, standing, of both edges planed to the half angle so far from FP, mm."""
        return np.interp(x, [one.from_fp for one in self.joints], [one.mitre for one in self.joints])


def transition(hull: Hull) -> Transition:
    """The chine looked at from the fore end aft."""
    joints = tuple(_joints(hull))
    steep = np.array([abs(joint.lap) > STEEPEST_LAP for joint in joints])
    lapped = hull.skin.laps is Laps.OVER
    begins = min(int(np.flatnonzero(steep).max(initial=-1)) + 1, len(joints) - 1)
    widest = max(joints, key=lambda joint: joint.opening)
    return Transition(lapped, joints[begins] if lapped and begins else None, widest, joints)


def corner_points(hull: Hull) -> Floats:
    """(n, 3) mm, the inside corner of side and bottom on each ruling of the side."""
    side = hull.side.ruled
    return np.asarray(side.middle + hull.side.inside * side.normal + hull.corner[:, None] * side.along)


def _joints(hull: Hull) -> list[ChineJoint]:
    side = hull.side.ruled
    points = corner_points(hull)
    kept = np.isfinite(points).all(axis=1)
    points, normals = points[kept], side.normal[kept]
    inside = (hull.fore_cut.signed(points) > 0) & (hull.aft_cut.signed(points) < 0)
    points, normals = points[inside], normals[inside]
    if not len(points) or not np.isfinite(hull.corner_on_bottom).any():
        raise ShapeError(
            "side and bottom planking: their inside faces meet nowhere; wanted a side that stands up from the bottom: "
            "see whether chine heights were copied from the sheer's"
        )
    opening = np.pi - np.arccos(np.clip(dots(normals, _bottom_normals(hull, points[:, 0])), -1.0, 1.0))
    along = run_along(points)
    return [
        ChineJoint(float(x), float(run), float(angle), float(np.pi / 2 - angle), float(np.pi / 2 - angle / 2))
        for x, run, angle in zip(points[:, 0], along, opening, strict=True)
    ]


def _bottom_normals(hull: Hull, x: Floats) -> Floats:
    """(n, 3) the bottom's normals where its inside corner stands so far from FP."""
    ruled = hull.bottom.ruled
    edge = hull.corner_on_bottom
    kept = np.isfinite(edge)
    there = (ruled.middle + hull.bottom.inside * ruled.normal + edge[:, None] * ruled.along)[kept]
    normals = ruled.normal[kept]
    order = there[:, 0].argsort()
    return unit(np.stack([np.interp(x, there[order, 0], normals[order, axis]) for axis in range(3)], axis=1))


def mitred_side(hull: Hull, chine: Transition) -> Floats:
    """t on each of the side's rulings of its lower edge on the outside: planed for the lap, or to the half angle.

    The plane that halves the corner leaves the side's outside face ``thickness * tan(mitre)`` further out than the
    corner, square to the chine.
    """
    points = corner_points(hull)
    ways = unit(np.gradient(points, axis=0))
    across = lengths(crossed(hull.side.ruled.along, ways))
    x = points[:, 0]
    further = hull.side.planking.thickness * np.tan(chine.mitre(x)) / across
    outward = np.sign(hull.corner - hull.sheer_edge)
    return np.where(chine.mitred(x), hull.corner + outward * further, hull.side_lower_outside)


def overhanging_bottom(hull: Hull, chine: Transition) -> Floats:
    """t on each of the bottom's rulings of its rim on the outside: planed for the lap, or square, its overhang left."""
    ruled, edge = hull.bottom.ruled, hull.corner_on_bottom
    x = (ruled.middle + hull.bottom.inside * ruled.normal + edge[:, None] * ruled.along)[:, 0]
    return np.where(chine.mitred(x), hull.bottom_edge_inside, hull.bottom_edge_outside)
