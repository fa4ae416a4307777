"""The planking in space: faired lines, rulings between them, real thickness, corners where faces meet."""

from __future__ import annotations

from dataclasses import dataclass
from functools import cached_property

import numpy as np
from numpy.typing import NDArray

from patterns.errors import ShapeError
from patterns.geometry.arrays import Floats, lengths
from patterns.geometry.curves import BattenCurve
from patterns.geometry.cuts import Profile
from patterns.geometry.ruled import Ruled
from patterns.geometry.rulings import lay_athwart, lay_rulings
from patterns.hull.build import End, Laps, LinesTo, Planking, Skin, end_cut
from patterns.hull.fairing import FairedLine

LEAST_SIDE = 1.0  # mm from sheer to chine; a narrower side is one line written twice
FINISHED = ("sheer", "chine")  # lines of the hulls that patterns are made for
TWIST_TOLD = np.radians(0.5)  # rad; below this no sheet of plywood shows it, common practice, no single source
TWIST_BORNE = np.radians(
    30.0
)  # rad; beyond this no sheet is forced between its edges, common practice, no single source
FOUND_WITHIN = 12.0
"""Thicknesses of both faces' planking within which they meet off the given corner: 5 degrees between the faces.
Further off it is some other place, out where both skins are only carried on."""


@dataclass(frozen=True, eq=False)
class Strake:
    """One run of planking on the starboard side, between two lines: rulings, and a face on either side of it."""

    name: str
    ruled: Ruled
    planking: Planking
    inside: float  # mm, depth of the inside face from the rulings, outward positive
    outside: float  # mm

    @property
    def middle(self) -> float:
        """Depth of the mid-thickness surface, whose length bending keeps."""
        return (self.inside + self.outside) / 2


@dataclass(frozen=True, eq=False)
class Hull:
    """A flat-bottomed hull of one chine, planked.

    The edges are given on each ruling as t, mm along it: of the side from sheer to chine, of the bottom from the
    starboard edge to the port one.
    """

    lines: tuple[FairedLine, ...]  # from the sheer down
    skin: Skin
    fore: End
    aft: End
    side: Strake
    bottom: Strake

    @cached_property
    def fore_cut(self) -> Profile:
        return end_cut(self.fore, aft=False)

    @cached_property
    def aft_cut(self) -> Profile:
        return end_cut(self.aft, aft=True)

    @cached_property
    def sheer_edge(self) -> Floats:
        """(n,) mm, the side's top edge: square to its faces."""
        return -self.side.ruled.reach

    @cached_property
    def side_lower_inside(self) -> Floats:
        """(n,) mm, the side's lower edge on its inside face."""
        return self._side_lower(self.side.inside)

    @cached_property
    def side_lower_outside(self) -> Floats:
        return self._side_lower(self.side.outside)

    @cached_property
    def corner(self) -> Floats:
        """(n,) mm along the side's rulings, where the inside faces of side and bottom meet."""
        if self.skin.laps is Laps.OVER:
            return self.side_lower_inside
        return _meeting(self.side, self.side.inside, self.bottom, self.bottom.inside)

    @cached_property
    def bottom_edge_inside(self) -> Floats:
        """(n,) mm, the bottom's starboard edge on its inside face; the port edge is its image."""
        return self._bottom_edge(self.bottom.inside)

    @cached_property
    def bottom_edge_outside(self) -> Floats:
        return self._bottom_edge(self.bottom.outside)

    @cached_property
    def corner_on_bottom(self) -> Floats:
        """(n,) mm along the bottom's rulings, where the inside faces of side and bottom meet."""
        return _meeting(self.bottom, self.bottom.inside, self.side, self.side.inside, start=-1.0)

    @cached_property
    def between_ends(self) -> NDArray[np.bool_]:
        """(n,) which of the side's rulings have their middles between the ends."""
        middle = self.side.ruled.middle
        return np.asarray((self.fore_cut.signed(middle) > 0) & (self.aft_cut.signed(middle) < 0))

    @cached_property
    def worst_twist(self) -> tuple[float, float]:
        """The side's greatest twist along a ruling between the ends, rad, and how far from FP, mm."""
        ruled = self.side.ruled
        twist = np.abs(np.where(self.between_ends, ruled.twist, 0.0))
        worst = int(twist.argmax())
        return float(twist[worst]), float(ruled.middle[worst, 0])

    @cached_property
    def widest(self) -> float:
        """mm from FP, the widest section: midship."""
        return widest_at(self.lines)

    def _side_lower(self, depth: float) -> Floats:
        over = self.skin.laps is Laps.OVER
        return _meeting(self.side, depth, self.bottom, self.bottom.inside if over else self.bottom.outside)

    def _bottom_edge(self, depth: float) -> Floats:
        over = self.skin.laps is Laps.OVER
        return _meeting(self.bottom, depth, self.side, self.side.outside if over else self.side.inside, start=-1.0)


def plank(lines: tuple[FairedLine, ...], *, skin: Skin, fore: End, aft: End) -> Hull:
    """Lay the planking on faired lines.

    Raises
    ------
    ShapeError
        A hull of a kind whose patterns are not made yet, or a skin that cannot be laid.
    """
    names = tuple(line.name for line in lines)
    if names != FINISHED:
        raise ShapeError(
            f"patterns are made for flat-bottomed hulls with one chine, lines 'sheer' and 'chine'; "
            f"this table has {', '.join(names)}"
        )
    sheer, chine = (line.curve for line in lines)
    _refuse_one_line_twice(sheer, chine)
    side = _strake("side", lay_rulings(sheer, chine), skin.side, skin.lines_to)
    bottom = _strake("bottom", lay_athwart(chine), skin.bottom, skin.lines_to)
    return Hull(lines, skin, fore, aft, side, bottom)


def _refuse_one_line_twice(sheer: BattenCurve, chine: BattenCurve) -> None:
    """Between a line and the same line again no side can be laid, as when a row of the table was copied twice."""
    x = np.linspace(max(sheer.first, chine.first), min(sheer.last, chine.last), 201)[1:-1]
    apart = lengths(sheer.point(x) - chine.point(x))
    if len(x) and apart.min() < LEAST_SIDE:
        raise ShapeError(
            "side planking: the chine lies {} from the sheer, so there is no side; wanted at least {}: see whether a "
            "row of the table was copied twice",
            float(apart.min()),
            LEAST_SIDE,
            at=float(x[apart.argmin()]),
        )


def widest_at(lines: tuple[FairedLine, ...]) -> float:
    """mm from FP, where the widest of the lines is widest."""
    best = (-1.0, 0.0)
    for line in lines:
        x = np.linspace(line.curve.first, line.curve.last, 2001)
        y = line.curve.breadth.value(x)
        best = max(best, (float(y.max()), float(x[y.argmax()])))
    return best[1]


def _strake(name: str, ruled: Ruled, planking: Planking, lines_to: LinesTo) -> Strake:
    if lines_to is LinesTo.OUTSIDE:
        return Strake(name, ruled, planking, inside=-planking.thickness, outside=0.0)
    return Strake(name, ruled, planking, inside=0.0, outside=planking.thickness)


def _meeting(strake: Strake, depth: float, other: Strake, other_depth: float, *, start: float = 1.0) -> Floats:
    """(n,) mm along a strake's rulings to a face of another; sought from the lower edge, or from the upper (-1)."""
    ruled = strake.ruled
    from_middle = start * ruled.reach
    points = ruled.middle + depth * ruled.normal + from_middle[:, None] * ruled.along
    further = other.ruled.pierced_by(points, ruled.along, other_depth)
    within = FOUND_WITHIN * (strake.planking.thickness + other.planking.thickness)
    return from_middle + np.where(np.abs(further) < within, further, np.nan)
