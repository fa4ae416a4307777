"""A strake: one run of planking between two lines, with a face on either side; and where the faces of two meet."""

from __future__ import annotations

from dataclasses import dataclass
from functools import cached_property

import numpy as np

from patterns.geometry.arrays import Floats
from patterns.geometry.ruled import Ruled
from patterns.geometry.short_repr import brief
from patterns.hull.build import Joint, Planking

FOUND_WITHIN = 12.0
"""Thicknesses of both faces' planking within which they meet off the given corner: 5 degrees between the faces.
Further off it is some other place, out where both skins are only carried on."""


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

    __repr__ = brief

    @property
    def athwart(self) -> bool:
        """Whether it lies right across the boat, one panel for both hands."""
        return self.upper == self.lower

    @property
    def panel(self) -> str:
        """What its panel is called."""
        return f"{self.name} panel"

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
        return self.above_inside if self.over else meeting(self.above, self.above.inside, self.below, self.below.inside)

    @cached_property
    def on_below(self) -> Floats:
        """Where the inside faces meet, on the strake below."""
        return meeting(self.below, self.below.inside, self.above, self.above.inside, start=-1.0)

    @property
    def points(self) -> Floats:
        """(n, 3) mm, where the inside faces meet, on each ruling of the strake above."""
        return self.above.ruled.points(self.on_above, self.above.inside)

    @property
    def points_on_below(self) -> Floats:
        """(n, 3) mm, the same on each ruling of the strake below."""
        return self.below.ruled.points(self.on_below, self.below.inside)

    def _edge_above(self, depth: float) -> Floats:
        return meeting(self.above, depth, self.below, self.below.inside if self.over else self.below.outside)

    def _edge_below(self, depth: float) -> Floats:
        other = self.above.outside if self.over else self.above.inside
        return meeting(self.below, depth, self.above, other, start=-1.0)


def meeting(strake: Strake, depth: float, other: Strake, other_depth: float, *, start: float = 1.0) -> Floats:
    """(n,) mm along a strake's rulings to a face of another; sought from the lower edge, or from the upper (-1).

    NaN where they meet nowhere near the line between them.
    """
    ruled = strake.ruled
    from_middle = start * ruled.reach
    further = other.ruled.pierced_by(ruled.points(from_middle, depth), ruled.along, other_depth)
    within = FOUND_WITHIN * (strake.planking.thickness + other.planking.thickness)
    return from_middle + np.where(np.abs(further) < within, further, np.nan)
