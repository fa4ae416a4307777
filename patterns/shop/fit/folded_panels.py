"""Side and bottom panels folded back from the flat, and the lines on them that other wood is held against."""

from __future__ import annotations

from dataclasses import dataclass
from functools import cached_property

from patterns.geometry.arrays import Floats
from patterns.geometry.development import Flat
from patterns.hull.build import Laps, end_word
from patterns.hull.planking.skin import Hull, Strake
from patterns.parts.panels.panels import BOTTOM_INSIDE
from patterns.parts.part import Part
from patterns.parts.whole import Job
from patterns.shop.fit.meetings import AFT, Held, Line, bent, edge_line, marks_of

SHEER, CHINE = "sheer edge", "chine edge"  # of a side panel, where a line across it ends
INSIDE_OF_SIDE = tuple(f"inside of side, {hand}" for hand in ("port", "starboard"))
CENTRE = "centre line"


@dataclass(frozen=True, eq=False)
class Corner:
    """The inside corner of side and bottom, as both have it."""

    on_side: Held
    on_bottom: Held


def folded(hull: Hull, panel: Part, points: Floats) -> Line:
    """A line on a panel's marked face, bent to the boat."""
    flat = panel.flat
    assert flat is not None
    return bent(flat, strake_of(hull, flat).inside, points)


def strake_of(hull: Hull, flat: Flat) -> Strake:
    """The strake a panel was unrolled from."""
    return next(strake for strake in (hull.side, hull.bottom) if strake.ruled is flat.ruled)


def end_timbers(fore: str, aft: str) -> tuple[str, ...]:
    """What the marks of a panel are called where the timbers of both ends stand on it."""
    return f"{fore} bearding line", f"{fore} after face", f"{aft} bearding line", f"{aft} fore face"


@dataclass(frozen=True, eq=False)
class Panels:
    """The starboard side and the bottom, as they are folded back."""

    job: Job
    side: Part
    bottom: Part

    @property
    def hull(self) -> Hull:
        return self.job.hull

    @property
    def at_chine(self) -> tuple[str, Floats]:
        """What the side's line along the bottom's inside is called, and where it lies on the side."""
        if self.hull.skin.laps is Laps.OVER:
            return CHINE, edge_line(self.side, "chine")
        return BOTTOM_INSIDE, mark_of(self.side, BOTTOM_INSIDE)

    @cached_property
    def corner(self) -> Corner:
        """The inside corner of side and bottom, on both."""
        fore, aft = end_word(self.job.boat.fore, aft=False), end_word(self.job.boat.aft, aft=True)
        held = []
        for name, part, points in (
            ("side panel, starboard: inside corner with the bottom", self.side, self.at_chine[1]),
            (f"bottom panel: {INSIDE_OF_SIDE[1]}", self.bottom, mark_of(self.bottom, INSIDE_OF_SIDE[1])),
        ):
            line = folded(self.hull, part, points).toward(AFT)
            ends = {f"{fore} end": line.drawn[:1], f"{aft} end": line.drawn[-1:]}
            held.append(Held(name, f"the {fore}", line, ends | marks_of(part, *end_timbers(fore, aft))))
        return Corner(*held)

    def across_side(self, name: str, points: Floats) -> Held:
        """A line down the side, crossed by the sheer and by the inside of the bottom."""
        below, line = self.at_chine
        marks = {SHEER: edge_line(self.side, "sheer"), below: line}
        return Held(f"side panel, starboard: {name}", "the sheer", folded(self.hull, self.side, points), marks)

    def across_bottom(self, name: str, points: Floats) -> Held:
        """A line across the bottom, crossed by the insides of both sides and by the centre line."""
        marks = {mark.name: mark.points for mark in self.bottom.marks if mark.name in (*INSIDE_OF_SIDE, CENTRE)}
        return Held(f"bottom panel: {name}", "its port edge", folded(self.hull, self.bottom, points), marks)


def mark_of(part: Part, name: str) -> Floats:
    return next(mark.points for mark in part.marks if mark.name == name)
