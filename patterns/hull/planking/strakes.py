"""A strake: one run of planking between two lines, with a face on either side; and where the faces of two meet."""

from __future__ import annotations

from dataclasses import dataclass
from functools import cached_property

import numpy as np

from patterns.errors import ShapeError
from patterns.geometry.arrays import Floats, crossed, dots, held_between, interpolated, lengths, unit
from patterns.geometry.development import Flat, develop
from patterns.geometry.ruled import NO_EDGE, EdgeLostError, Ruled
from patterns.geometry.short_repr import brief
from patterns.hull.build import Joint, KeelJoint, Planking

FOUND_WITHIN = 12.0
"""Thicknesses of both faces' planking within which they meet off the given corner: 5 degrees between the faces.
Further off it is some other place, out where both skins are only carried on."""

LEAST_LEAN = 0.05  # sine of the angle between ruling and line; rulings that lean more run along the edge
ONE_SURFACE = np.radians(2.0)  # rad; strakes that turn less into each other are joined as if they were one surface
FARTHEST = 1e6  # mm; beyond it no place of a boat lies
LIKELY = 3.0  # times what plane faces would give, and thicknesses more, within which curved ones meet
ROUNDS = 4  # steps to the place on a ruling before a line; the second is within a thousandth of a millimetre
RUNS_ALONG = 1e-6  # sine of the angle between a ruling and an edge that it never leaves


@dataclass(frozen=True, eq=False)
class Face:
    """One face of a strake, or of wood along it: its depth and its upper and lower edges, as t on each ruling."""

    depth: float  # mm from the rulings, outward positive
    upper: Floats  # (n,) mm
    lower: Floats

    __repr__ = brief


@dataclass(frozen=True, eq=False)
class Strake:
    """One run of planking on the starboard side, between two lines: rulings, and a face on either side of it.

    A strake that lies athwart runs from its line on the starboard side right across to the image of it.
    """

    name: str  # "side", "bottom"
    upper: str  # the line along its upper edge: "sheer"
    lower: str  # and along its lower one; of a strake athwart, the same line
    ruled: Ruled
    planking: Planking
    inside: float  # mm, depth of the inside face from the rulings, outward positive
    outside: float  # mm
    pointed: tuple[bool, bool] = (False, False)  # whether it begins in a point fore, and ends in one aft
    unplaned: Ruled | None = None  # of a lapped strake, its rulings before it was brought flush at the ends by planing

    __repr__ = brief

    @property
    def athwart(self) -> bool:
        """Whether it lies right across the boat, one panel for both hands."""
        return self.upper == self.lower

    @property
    def panel(self) -> str:
        """What its panel is called."""
        return f"{self.name} panel"

    def unrolled(self) -> Flat:
        """It laid flat on its mid-thickness. A lapped one as it was bent, not as it was planed away at the ends."""
        if self.unplaned is None:
            return develop(self.ruled, depth=self.middle)
        flat = develop(self.unplaned, depth=self.middle)
        return Flat(self.ruled, flat.middle, flat.along * (self.unplaned.reach / self.ruled.reach)[:, None])

    @property
    def middle(self) -> float:
        """Depth of the mid-thickness surface, whose length bending keeps."""
        return (self.inside + self.outside) / 2


@dataclass(frozen=True, eq=False)
class Corner:
    """Where two strakes meet along a line. Every edge is (n,) mm along the rulings of the strake it belongs to."""

    line: str  # "chine"
    above: Strake
    below: Strake
    joint: Joint

    __repr__ = brief

    @property
    def over(self) -> bool:
        """Whether the strake below laps over the edge of the one above."""
        return self.joint is Joint.LOWER_OVER

    @property
    def above_runs_on(self) -> bool:
        """Whether the strake above runs on past the inside of the one below, which is then a line on its panel."""
        return self.joint is Joint.UPPER_OVER

    @property
    def below_runs_on(self) -> bool:
        """Whether the strake below runs on past the inside of the one above; one athwart has that as a line anyway."""
        return self.over or self.below.athwart

    @property
    def mitred(self) -> bool:
        """Whether both edges are planed to the half angle, so that each ends where the other does."""
        return self.joint is Joint.HALF_ANGLE

    @cached_property
    def above_inside(self) -> Floats:
        """Lower edge of the strake above, on its inside face."""
        return self._edge_above(self.above.inside)

    @cached_property
    def above_outside(self) -> Floats:
        return self._edge_above(self.above.outside)

    @cached_property
    def below_inside(self) -> Floats:
        """Upper edge of the strake below, on its inside face; where it lies athwart, the starboard one."""
        return self._edge_below(self.below.inside)

    @cached_property
    def below_outside(self) -> Floats:
        return self._edge_below(self.below.outside)

    @cached_property
    def on_above(self) -> Floats:
        """Where the inside faces meet, on the strake above."""
        if self.over or self.mitred:
            return self.above_inside
        if self.lapped:
            return self.free_of_lap
        return inside_corner(self.above, self.below)

    @cached_property
    def on_below(self) -> Floats:
        """Where the inside faces meet, on the strake below."""
        if self.mitred or self.lapped:
            return self.below_inside
        return inside_corner(self.below, self.above, start=-1.0)

    @property
    def points(self) -> Floats:
        """(n, 3) mm, where the inside faces meet, on each ruling of the strake above."""
        return self.above.ruled.points(self.on_above, self.above.inside)

    @property
    def points_on_below(self) -> Floats:
        """(n, 3) mm, the same on each ruling of the strake below."""
        return self.below.ruled.points(self.on_below, self.below.inside)

    @property
    def lapped(self) -> bool:
        """Whether the strake above lies on the outside of the one below."""
        return self.joint is Joint.LAPPED

    @cached_property
    def free_of_lap(self) -> Floats:
        """(n,) mm along the rulings of a lapped strake above, where its inside stands square before the lower's edge.

        From there down it lies on the lap; from there up wood inside the boat can lie on it.
        """
        return before_line(self.above, self.below)

    @cached_property
    def turn(self) -> Floats:
        """(n,) rad, how far the strake below turns inward from the one above, on each ruling of that one.

        Square to the line where their inside faces meet; negative where they meet in a hollow.
        """
        points, normal = self.points, self.above.ruled.normal
        with np.errstate(invalid="ignore", divide="ignore"):
            up = crossed(unit(np.gradient(points, axis=0)), normal)
            below = _normals_along(self.below, -1.0, points[:, 0])
            return np.asarray(np.arctan2(-dots(below, up), dots(below, normal)))

    @property
    def line_and_turn(self) -> tuple[Floats, Floats]:
        """(n, 3) mm, the line between them on each ruling of the strake above, and (n,) the cosine of their turn."""
        ruled = self.above.ruled
        line = ruled.points(ruled.reach, 0.0)
        return line, np.clip(dots(ruled.normal, _normals_along(self.below, -1.0, line[:, 0])), -1.0, 1.0)

    def _edge_above(self, depth: float) -> Floats:
        if self.lapped:
            return self.above.ruled.reach
        if self.mitred:
            inside = depth == self.above.inside
            return mitre(self.above, depth, self.below, self.below.inside if inside else self.below.outside)
        if self.over and depth == self.above.inside:
            return inside_corner(self.above, self.below)
        return meeting(self.above, depth, self.below, self.below.inside if self.over else self.below.outside)

    def _edge_below(self, depth: float) -> Floats:
        if self.lapped:
            return -self.below.ruled.reach
        if self.mitred:
            inside = depth == self.below.inside
            other = self.above.inside if inside else self.above.outside
            return mitre(self.below, depth, self.above, other, start=-1.0)
        other = self.above.outside if self.over else self.above.inside
        return meeting(self.below, depth, self.above, other, start=-1.0)


@dataclass(frozen=True, eq=False)
class KeelSeam:
    """Where the lowest strakes of a V bottom end along the centre line, keel and stem in one."""

    strake: Strake
    joint: KeelJoint
    half: float  # mm off the centre plane, where its lines end

    __repr__ = brief

    def edge(self, depth: float) -> Floats:
        """(n,) mm along the strake's rulings, its lower edge on a face.

        Planed to the centre plane, or to the side of a keel, both faces end on one upright plane; in a rabbet the edge
        is square.
        """
        ruled = self.strake.ruled
        if self.joint is KeelJoint.RABBET:
            return ruled.reach
        return ruled.at_half_breadth(self.half, depth)


def meeting(strake: Strake, depth: float, other: Strake, other_depth: float, *, start: float = 1.0) -> Floats:
    """(n,) mm along a strake's rulings to a face of another; sought from the lower edge, or from the upper (-1).

    NaN where they meet nowhere near the line between them.
    """
    ruled = strake.ruled
    from_middle = start * ruled.reach
    further = other.ruled.pierced_by(ruled.points(from_middle, depth), ruled.along, other_depth)
    # Square to the line: a ruling that leans far along it reaches the other face that much later.
    line = ruled.points(from_middle, 0.0)
    leaning = np.maximum(lengths(crossed(ruled.along, unit(np.gradient(line, axis=0)))), LEAST_LEAN)
    within = FOUND_WITHIN * (strake.planking.thickness + other.planking.thickness) / leaning
    further = np.where(np.abs(further) < within, further, np.nan)
    if any(other.pointed):
        # Past its point a strake is known a little way only; the one beside it runs on there, to be cut by the end.
        own = other.ruled.points(-start * other.ruled.reach, 0.0)[other.ruled.reach > 0, 0]
        past = ((line[:, 0] < own.min()) & other.pointed[0]) | ((line[:, 0] > own.max()) & other.pointed[1])
        carried = _as_planes(strake, depth, other, other_depth, start)[0]
        further = np.where(past & np.isnan(further) & (np.abs(carried) < within), carried, further)
    return from_middle + further


def inside_corner(strake: Strake, other: Strake, *, start: float = 1.0) -> Floats:
    """(n,) mm along a strake's rulings to where its inside meets that of another.

    Where they turn too little to meet cleanly both are mitred, and the place is taken that a mitre has.
    """
    found = meeting(strake, strake.inside, other, other.inside, start=start)
    return np.where(np.isnan(found), mitre(strake, strake.inside, other, other.inside, start=start), found)


def tip_of(strake: Strake, face: Face, *, aft: bool) -> float:
    """The ruling number where a pointed strake's edges come together on a face.

    Raises
    ------
    ShapeError
        Edges that do not come together.
    """
    width = face.lower - face.upper
    grown = width[:-1] > 0 if aft else width[:-1] <= 0
    found = np.flatnonzero(np.isfinite(width[:-1] + width[1:]) & grown & ((width[1:] <= 0) if aft else (width[1:] > 0)))
    if not len(found):
        end = "after" if aft else "fore"
        raise ShapeError(
            f"its {strake.upper} edge and its {strake.lower} edge do not come together in a point at its {end} end; "
            f"expected {strake.upper} and {strake.lower} that end in one place on the timber there, and planking that "
            'turns enough for its joint: chine_joint = "half angle" always does'
        )
    # Outward from midship the first: further out the edges are only carried on.
    middle = len(width) // 2
    own = found[found >= middle] if aft else found[found < middle][::-1]
    i = int(own[0] if len(own) else found[-1 if aft else 0])
    return i + float(width[i] / (width[i] - width[i + 1]))


def before_line(above: Strake, below: Strake) -> Floats:
    """(n,) mm along a strake's rulings, where its inside stands square before the upper line of the one below."""
    ruled, other = above.ruled, below.ruled
    line = other.points(-other.reach, 0.0)
    square = unit(crossed(unit(np.gradient(line, axis=0)), other.normal))
    base = ruled.middle + above.inside * ruled.normal
    t = ruled.reach.copy()
    for _ in range(ROUNDS):
        points = base + t[:, None] * ruled.along
        there, facing = (interpolated(points[:, 0], line[:, 0], rows) for rows in (line, square))
        with np.errstate(divide="ignore", invalid="ignore"):
            t = t - dots(points - there, facing) / dots(ruled.along, facing)
    return np.where(np.isfinite(t), t, np.nan)


def mitre(strake: Strake, depth: float, other: Strake, other_depth: float, *, start: float = 1.0) -> Floats:
    """(n,) mm along a strake's rulings to where its face meets the like face of another, both planed to the half angle.

    Faces that turn into each other ever less meet ever less surely: under two degrees, and where they meet nowhere
    near, the place is taken that two planes through the line would give. In the span of both normals a point square
    to the line that lies at depths d, e off the two faces is x = a n + b m with b = (e - d c) / (1 - c^2), c = n.m;
    for equal depths b = d / (1 + c), which stays regular as the faces become one.
    """
    ruled = strake.ruled
    from_middle = start * ruled.reach
    if depth == other_depth == 0.0:  # the faces the lines are drawn to
        return from_middle
    thick = strake.planking.thickness + other.planking.thickness
    plain, alike, cosine, along = _as_planes(strake, depth, other, other_depth, start)
    further = other.ruled.pierced_by(ruled.points(from_middle, depth), ruled.along, other_depth)
    # From two degrees to four the one gives way to the other, so that the edge has no step.
    surely = held_between(np.arccos(cosine) / ONE_SURFACE - 1.0, 0.0, 1.0)
    with np.errstate(over="ignore", invalid="ignore"):
        guess = np.where(np.abs(plain * along) < LIKELY * thick, plain, alike)
        found = np.abs(further) < LIKELY * (np.minimum(np.abs(np.nan_to_num(guess)), FARTHEST) + thick)
        edge = from_middle + np.where(found & (surely > 0), guess + surely * (further - guess), guess)
    if not np.isfinite(edge).all() or np.abs(edge).max() > FARTHEST:
        raise EdgeLostError(NO_EDGE)
    return np.asarray(edge)


def _as_planes(
    strake: Strake, depth: float, other: Strake, other_depth: float, start: float
) -> tuple[Floats, Floats, Floats, Floats]:
    """How far along its rulings from the line a face meets another if both are planes through it, mm (n,).

    Also the same for equal depths, which is regular however little they turn; the cosine of their turn; and what a
    millimetre along a ruling is square to the line.
    """
    ruled = strake.ruled
    line = ruled.points(start * ruled.reach, 0.0)
    normal = _normals_along(other, -start, line[:, 0])
    cosine = np.clip(dots(ruled.normal, normal), -1.0, 1.0)
    with np.errstate(divide="ignore", invalid="ignore"):
        inward = unit(crossed(unit(np.gradient(line, axis=0)), ruled.normal))
        along = dots(ruled.along, inward)
        leaning = np.where(np.abs(along) > RUNS_ALONG, dots(normal, inward) / along, np.nan)
        plain = (other_depth - depth * cosine) / (1 - cosine**2) * leaning
        alike = (depth + other_depth) / 2 / (1 + cosine) * leaning
    return plain, alike, cosine, along


def _normals_along(strake: Strake, start: float, x: Floats) -> Floats:
    """(n, 3) unit, normals of a strake along its lower line (1) or its upper one (-1) at distances from FP."""
    there = strake.ruled.points(start * strake.ruled.reach, 0.0)[:, 0]
    return unit(interpolated(x, there, strake.ruled.normal))
