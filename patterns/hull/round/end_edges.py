"""The fore and after edges of a round hull's skin: on the profile of a post, or on the face of a transom."""

from __future__ import annotations

from dataclasses import dataclass

import numpy as np

from patterns.geometry.arrays import Floats, run_along
from patterns.geometry.cuts import Profile
from patterns.hull.build import EndFace, StemFace, end_cut
from patterns.hull.offsets import Offsets
from patterns.hull.round.figures import keel_half, rabbet_row

FINE = 801  # places along a post
SAME_END = 1.0  # mm; a table's end height and its profile nearer than this, or than the table's step, are one


@dataclass(frozen=True, eq=False)
class EndEdge:
    """One of the two edges."""

    aft: bool
    profile: Profile
    post: tuple[Floats, Floats] | None  # of a post: (FINE,) shares of its length from the foot, and heights, mm
    halves: tuple[float, float]  # mm, half breadth there at the sheer and at the foot; NaN where the table says nothing
    turns: tuple[Floats, Floats]  # v from the rabbet, and the shares of the post's length that chines have there

    def heights(self, v: Floats) -> Floats:
        """(n,) mm, heights of a post at v (n,): v goes by its length."""
        if self.post is None:
            raise ValueError("a transom's edge is not known beforehand")
        return np.interp(np.interp(v, *self.turns), *self.post)

    def half_breadths(self, v: Floats) -> Floats:
        """(n,) mm of a post: its half siding."""
        return self.halves[1] + (self.halves[0] - self.halves[1]) * v

    def extent(self) -> Floats:
        """(n,) mm from FP, at heights from its head to its foot."""
        top, foot = self.profile.points[[0, -1], 1].tolist()
        return self.profile.at_height(np.linspace(top, foot, 9))

    def x_at(self, y: Floats, z: Floats) -> Floats:
        """(n,) mm from FP, of places on the end."""
        return self.profile.at_height(z) - self.profile.set_back(y)


def end_edge(offsets: Offsets, end: EndFace, *, aft: bool, chines: tuple[str, ...]) -> EndEdge:
    """An end's edge. ``chines`` are the lines where the skin turns hard, from the keel up."""
    place = -1 if aft else 0
    profile = end_cut(end, aft=aft)
    rabbet, sheer = rabbet_row(offsets), offsets.half_breadth("sheer")
    breadths = offsets.half_breadth("keel")
    head = float(sheer.values[place]) if sheer is not None else np.nan
    foot = float(breadths.values[place]) if breadths is not None else np.nan
    foot = keel_half(offsets) if np.isnan(foot) else foot
    halves = (foot if np.isnan(head) else head, foot)
    knots = np.linspace(0.0, 1.0, len(chines) + 2)
    if not isinstance(end, StemFace):
        return EndEdge(aft, profile, None, halves, (knots, knots))
    low = float("nan") if rabbet is None else float(rabbet.values[place])
    high = float(offsets.height("sheer").values[place])
    top, bottom = (
        _end_height(table, float(there), offsets.rounding)
        for table, there in ((high, profile.points[0, 1]), (low, profile.points[-1, 1]))
    )
    z = profile.heights_between(bottom, top, FINE)
    shares = run_along(np.column_stack([profile.at_height(z), z]))
    shares = shares / shares[-1]
    at = np.array([float(offsets.height(name).values[place]) for name in chines])
    between = np.interp(np.where(np.isnan(at), bottom + (top - bottom) * knots[1:-1], at), z, shares)
    return EndEdge(aft, profile, (shares, z), halves, (knots, np.concatenate([[0.0], between, [1.0]])))


def _end_height(table: float, profile: float, step: float) -> float:
    """Where a post ends: as its profile has it, or as the table where both plainly disagree."""
    return profile if np.isnan(table) or abs(table - profile) <= max(step, SAME_END) else table
