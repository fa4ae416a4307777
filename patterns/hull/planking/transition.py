"""Where the bottom can no longer lap over the side's edge and must butt or mitre against it, near the bow.

Landed over the side, the bottom asks the side's edge to be planed off square by what the corner of their inside faces
opens past a right angle. Past half a right angle more wood is planed off the edge than is left across it and the lap's
own rim comes sharper than a bevel holds: from there forward both edges are planed to the half angle instead. That the
lap ends at 45 degrees is common practice, no single source; the angles are geometry.
"""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from contextlib import contextmanager
from dataclasses import dataclass, replace

import numpy as np
from numpy.typing import NDArray

from patterns.errors import ShapeError
from patterns.geometry.arrays import Floats, crossed, dots, interpolated, lengths, run_along, unit
from patterns.geometry.ruled import EdgeLostError, Ruled
from patterns.geometry.short_repr import brief
from patterns.hull.build import Joint
from patterns.hull.planking.skin import Hull
from patterns.hull.planking.strakes import ONE_SURFACE, Corner, Face, Strake

LEAST_TURN = np.radians(15.0)  # rad; strakes that turn less cannot lap: the planed edge runs out to nothing, judgement
STEEPEST_LAP = np.radians(45.0)  # rad off square, of an edge that is lapped over
STEEP_MITRE = np.radians(60.0)  # rad off square, past which an edge mitred to one of another thickness is warned of
STEEPEST_MITRE = np.radians(75.0)  # rad off square, of an edge mitred to one of another thickness, judgement

TRIMMED = 3.0  # mm left past what the half angle needs of a rim, to be trimmed when it hangs


@dataclass(frozen=True, slots=True)
class ChineJoint:
    """How the edges of two strakes meet at one place, square to the chine."""

    from_fp: float  # mm
    along: float  # mm along the corner from the fore end
    opening: float  # rad, between the inside faces
    lap: float  # rad off square, from the inside faces, of the upper strake's edge and of the rim lapping over it
    mitre: float  # rad off square, from the inside faces, of both edges planed to the half angle; standing +, under -


@dataclass(frozen=True, slots=True)
class Transition:
    """The place along a chine where lap turns to mitre, and the joint on either side of it."""

    above: str  # the strake above, and the one below
    below: str
    lapped: bool  # whether the one below is to lap over the one above at all
    at: ChineJoint | None  # where, going aft, the lap begins; None where it may run from end to end, or is none
    widest: ChineJoint  # where the corner opens most
    joints: tuple[ChineJoint, ...]  # all along, fore to aft
    line: str = "chine"
    joint: Joint = Joint.LOWER_OVER

    __repr__ = brief

    @property
    def hardly_turned(self) -> tuple[ChineJoint, ChineJoint] | None:
        """The first and the last place where both strakes are as good as one surface; None where they never are."""
        flat = [one for one in self.joints if np.pi - one.opening < ONE_SURFACE]
        return (flat[0], flat[-1]) if flat else None

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

    def turn(self, x: float) -> float:
        """rad, how far the strake below turns from the one above so far from FP, mm."""
        return float(np.pi - np.interp(x, [one.from_fp for one in self.joints], [one.opening for one in self.joints]))

    def mitre(self, x: Floats) -> Floats:
        """rad off square, standing, of both edges planed to the half angle so far from FP, mm."""
        return np.interp(x, [one.from_fp for one in self.joints], [one.mitre for one in self.joints])


def transition(hull: Hull, corner: Corner) -> Transition:
    """A chine looked at from the fore end aft."""
    joints = tuple(_joints(hull, corner))
    steep = np.array([abs(joint.lap) > STEEPEST_LAP for joint in joints])
    begins = min(int(np.flatnonzero(steep).max(initial=-1)) + 1, len(joints) - 1)
    widest = max(joints, key=lambda joint: joint.opening)
    names = corner.above.name, corner.below.name
    at = joints[begins] if corner.over and begins else None
    return Transition(*names, corner.over, at, widest, joints, corner.line, corner.joint)


def refuse_edges_without_turn(hull: Hull, corner: Corner, chine: Transition) -> None:
    """Refuse a chine that turns too little for the joint it is given.

    An upper strake cannot lap over a lower one that hardly turns from it. Nor can the edges of strakes of two
    thicknesses be planed to each other: both edges lie in the plane from the corner of the outsides to that of the
    insides, and the less the strakes turn, the further these corners part.

    Raises
    ------
    ShapeError
    """
    turns = np.pi - np.array([joint.opening for joint in chine.joints])
    turn = float(np.median(turns))
    if corner.joint is Joint.UPPER_OVER and turn < LEAST_TURN:
        raise ShapeError(_too_flat(corner, turn))
    _refuse_two_thicknesses(hull, corner)


@contextmanager
def while_edges_meet(chines: Sequence[tuple[Corner, Transition]]) -> Iterator[None]:
    """Name the chine, and what cures it, where an edge is lost because its strakes hardly turn from each other."""
    try:
        yield
    except EdgeLostError as error:
        for corner, chine in chines:
            if error.at is not None and not corner.mitred and (turn := chine.turn(error.at)) < LEAST_TURN:
                raise ShapeError(_too_flat(corner, turn), at=error.at) from error
        raise


def _too_flat(corner: Corner, turn: float) -> str:
    return (
        f"{corner.line}: {corner.above.name} and {corner.below.name} turn only {np.degrees(turn):.0f}° from each "
        f'other, too little for "{corner.joint}": the planed edge would run out to nothing; expected chine_joint = '
        f'"{Joint.HALF_ANGLE}" in {joint_table(corner)}'
    )


def joint_table(corner: Corner) -> str:
    """The table of boat.toml that says how a corner's edges meet."""
    return f"[planking.{corner.below.name.replace(' ', '_')}]"


@dataclass(frozen=True, slots=True)
class SteepEdge:
    """Where strakes of two thicknesses turn least from each other, and an edge mitred to the other is steepest."""

    from_fp: float  # mm
    turn: float  # rad, between the strakes
    off_square: float  # rad, of the steeper of both edges


def steepest_edge(hull: Hull, corner: Corner) -> SteepEdge | None:
    """The steepest edge of a mitred chine between strakes of two thicknesses; None where both are as thick.

    Of faces that turn by b, thicknesses t and u apart, the edge of the first is off square by (u - t cos b)/sin b in
    t, plane geometry.
    """
    thick = corner.above.planking.thickness, corner.below.planking.thickness
    if not corner.mitred or thick[0] == thick[1]:
        return None
    points, cosine = corner.line_and_turn
    inside = (hull.fore_cut.signed(points) > 0) & (hull.aft_cut.signed(points) < 0)
    points, cosine = points[inside], cosine[inside]
    sine = np.sqrt(np.maximum(1 - cosine**2, np.finfo(np.float64).tiny))
    slopes = np.maximum(*(np.abs(other - own * cosine) / sine / own for own, other in (thick, thick[::-1])))
    worst = int(slopes.argmax())
    return SteepEdge(float(points[worst, 0]), float(np.arccos(cosine[worst])), float(np.arctan(slopes[worst])))


def _refuse_two_thicknesses(hull: Hull, corner: Corner) -> None:
    steep = steepest_edge(hull, corner)
    if steep and steep.off_square > STEEPEST_MITRE:
        raise ShapeError(
            f"{corner.line}: {corner.above.name} is {{}} thick and {corner.below.name} {{}}, and they turn only "
            f"{np.degrees(steep.turn):.0f}° from each other: an edge would be planed "
            f"{np.degrees(steep.off_square):.0f}° off square before their insides meet; expected both of one "
            "thickness, or lines that turn more there",
            corner.above.planking.thickness,
            corner.below.planking.thickness,
            at=steep.from_fp,
        )


def _joints(hull: Hull, corner: Corner) -> list[ChineJoint]:
    points = corner.points
    kept = np.isfinite(points).all(axis=1)
    points, normals = points[kept], _as_bent(corner, corner.above).normal[kept]
    inside = (hull.fore_cut.signed(points) > 0) & (hull.aft_cut.signed(points) < 0)
    points, normals = points[inside], normals[inside]
    if not len(points) or not np.isfinite(corner.on_below).any():
        raise ShapeError(
            f"{corner.above.name} and {corner.below.name} planking: their inside faces meet nowhere; expected a "
            f"{corner.above.name} that stands up from the {corner.below.name}: see whether {corner.line} heights were "
            f"copied from the {corner.above.upper}'s"
        )
    opening = np.pi - np.arccos(np.clip(dots(normals, _normals_below(corner, points[:, 0])), -1.0, 1.0))
    along = run_along(points)
    return [
        ChineJoint(float(x), float(run), float(angle), float(np.pi / 2 - angle), float(np.pi / 2 - angle / 2))
        for x, run, angle in zip(points[:, 0], along, opening, strict=True)
    ]


def _normals_below(corner: Corner, x: Floats) -> Floats:
    """(n, 3) normals of the strake below where its inside corner stands so far from FP."""
    kept = np.isfinite(corner.on_below)
    there, normals = corner.points_on_below[kept], _as_bent(corner, corner.below).normal[kept]
    return unit(interpolated(x, there[:, 0], normals))


def _as_bent(corner: Corner, strake: Strake) -> Ruled:
    """A strake's rulings; at a lap as they were before it fades, for what it is planed by besides is told apart."""
    return strake.unplaned if corner.lapped and strake.unplaned else strake.ruled


def outside_above(hull: Hull, corner: Corner, chine: Transition) -> Face:
    """The outside face of the strake above: its lower edge planed for the lap, or to the half angle.

    The plane that halves the corner leaves the outside face ``thickness * tan(mitre)`` further out than the corner,
    square to the chine.
    """
    strake, points, face = corner.above, corner.points, hull.outside(corner.above)
    ways = unit(np.gradient(points, axis=0))
    across = lengths(crossed(strake.ruled.along, ways))
    x = points[:, 0]
    further = strake.planking.thickness * np.tan(chine.mitre(x)) / across
    outward = np.sign(corner.on_above - face.upper)
    lower = np.where(chine.mitred(x), corner.on_above + outward * further, corner.above_outside)
    return replace(face, lower=lower)


def overhang(corner: Corner, chine: Transition) -> Floats:
    """(n,) mm, on each ruling of the strake below: how far its rim is left past the corner, square to the chine.

    Where both edges are planed to the half angle. As far as a lap would reach at its steepest, so that both run on into
    each other where the lap begins; and never less than the half angle needs of it.
    """
    x = corner.points_on_below[:, 0]
    lap = corner.above.planking.thickness / np.sin(STEEPEST_LAP)
    needed = corner.below.planking.thickness * np.tan(chine.mitre(x)) + TRIMMED
    return np.asarray(np.maximum(lap, needed))


def inside_below(hull: Hull, corner: Corner, chine: Transition) -> Face:
    """The inside face of the strake below: its rim as it laps over, or so far past the corner as the plane needs."""
    strake, face = corner.below, hull.inside(corner.below)
    if not corner.over:
        return face
    ways = unit(np.gradient(corner.points_on_below, axis=0))
    across = lengths(crossed(strake.ruled.along, ways))
    outward = np.sign(face.upper - corner.on_below)
    short = corner.on_below + outward * overhang(corner, chine) / across
    nearer = np.where(outward < 0, np.fmax(short, face.upper), np.fmin(short, face.upper))
    rim = np.where(chine.mitred(corner.points_on_below[:, 0]), nearer, face.upper)
    return replace(face, upper=rim, lower=-rim if strake.athwart else face.lower)


def inside_as_cut(hull: Hull, strake: Strake) -> Face:
    """The inside face of a strake as its panel is cut, with what is left along its upper edge for the plane."""
    above = hull.corner_above(strake)
    return inside_below(hull, above, transition(hull, above)) if above else hull.inside(strake)


def outside_below(hull: Hull, corner: Corner, chine: Transition) -> Face:
    """The outside face of the strake below: its rim planed for the lap, or square, its overhang left."""
    x = corner.points_on_below[:, 0]
    rim = np.where(chine.mitred(x), inside_below(hull, corner, chine).upper, corner.below_outside)
    face = hull.outside(corner.below)
    return replace(face, upper=rim, lower=-rim if corner.below.athwart else face.lower)
