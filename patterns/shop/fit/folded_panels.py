"""Panels folded back from the flat, and the lines on them that other wood is held against."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass
from functools import cached_property

import numpy as np

from patterns.geometry.arrays import Floats
from patterns.hull.build import KeelJoint, Stem, end_word, within_sentence
from patterns.hull.planking.laps import gained, line_ends
from patterns.hull.planking.skin import Hull
from patterns.hull.planking.strakes import Corner, Strake
from patterns.parts.panels.lap_marks import LAP_LINE
from patterns.parts.panels.panels import inside_of
from patterns.parts.part import Part
from patterns.parts.whole import Job
from patterns.shop.fit.meetings import AFT, NO_MARK, Held, Line, PartLine, bent, close, edge_line, marks_of

CENTRE = "center line"
HANDS = ("port", "starboard")


@dataclass(frozen=True, eq=False)
class HeldCorner:
    """The inside corner of two strakes, as both have it."""

    on_above: Held
    on_below: Held


def folded(hull: Hull, panel: Part, points: Floats) -> Line:
    """A line on a panel's marked face, bent to the boat."""
    flat = panel.flat
    assert flat is not None
    return bent(flat, hull.strake(panel.strake).inside, points)


def end_timbers(fore: str, aft: str) -> tuple[str, ...]:
    """What the marks of a panel are called where the timbers of both ends stand on it."""
    return f"{fore} bearding line", f"{fore} after face", f"{aft} bearding line", f"{aft} fore face"


@dataclass(frozen=True, eq=False)
class Panels:
    """The panels of the starboard side and those athwart, as they are folded back."""

    job: Job
    of: Mapping[str, Part]  # by the names of their strakes

    @property
    def hull(self) -> Hull:
        return self.job.hull

    @cached_property
    def rabbeted_ends(self) -> dict[str, str]:
        """The ends of a V bottom whose planks end in a rabbet: as an edge's end is marked, and the timber."""
        seam, job = self.hull.seam, self.job
        if seam is None or seam.joint is not KeelJoint.RABBET:
            return {}
        ends = ((job.boat.fore, False), (job.boat.aft, True))
        words = [end_word(end, aft=aft) for end, aft in ends if isinstance(end, Stem)]
        return {f"{word} end": word for word in words}

    @cached_property
    def corners(self) -> dict[str, HeldCorner]:
        """By their lines, the inside corners of each two strakes, on both."""
        return {corner.line: self._held(corner) for corner in self.hull.corners}

    def _held(self, corner: Corner) -> HeldCorner:
        above, below = self.of[corner.above.name], self.of[corner.below.name]
        if corner.lapped:
            edge, lap = (PartLine(one.name, one.hand, word) for one, word in ((above, "lower edge"), (below, LAP_LINE)))
            # Frames stand on the inside of the one, and the lap lies on the outside of the other: no mark meets there.
            return HeldCorner(
                self._end_to_end(edge, above, folded(self.hull, above, edge_line(above, corner.line)), crossed=False),
                self._end_to_end(lap, below, self._lap_line(corner, below), crossed=False),
            )
        name, line = self._line_of_above(corner)
        on_above = PartLine(above.name, above.hand, f"inside corner with {within_sentence(corner.below.name)}")
        on_below = PartLine(below.name, below.hand, name, inside_of(corner.above) if below.hand == "none" else "")
        return HeldCorner(
            self._end_to_end(on_above, above, folded(self.hull, above, self._line_of_below(corner)[1])),
            self._end_to_end(on_below, below, folded(self.hull, below, line)),
        )

    def _lap_line(self, corner: Corner, panel: Part) -> Line:
        """The line a lapped strake's inside ends on: on the outside of the one below, but sunk in it over the gain."""
        flat, lap, below = panel.flat, self.hull.lap, corner.below
        assert flat is not None
        assert lap is not None
        drawn, ruled = close(panel.mark(LAP_LINE).points), flat.ruled
        s, t = flat.places(drawn)
        edge = ruled.points(-ruled.reach, 0.0)
        faded = gained(ruled.at(edge[:, 0], s), line_ends(edge, (self.hull.fore_cut, self.hull.aft_cut)), lap)
        sunk = corner.above.planking.thickness * faded[:, None] * ruled.at(ruled.normal, s)
        return Line(drawn, ruled.point(s, t, below.outside) - sunk)

    def _end_to_end(self, of: PartLine, panel: Part, line: Line, *, crossed: bool = True) -> Held:
        """A line of a panel from end to end of the boat, with what it crosses."""
        fore, aft = end_word(self.job.boat.fore, aft=False), end_word(self.job.boat.aft, aft=True)
        line = line.toward(AFT)
        ends = {f"{fore} end": line.drawn[:1], f"{aft} end": line.drawn[-1:]}
        return Held(of, f"the {fore}", line, ends | (marks_of(panel, *end_timbers(fore, aft)) if crossed else {}))

    def _line_of_below(self, corner: Corner) -> tuple[str, Floats]:
        """What the line along the inside of the strake below is called on the one above, and where it lies there."""
        panel = self.of[corner.above.name]
        if corner.above_runs_on:
            return inside_of(corner.below), panel.mark(inside_of(corner.below)).points
        return f"{corner.line} edge", edge_line(panel, corner.line)

    def _line_of_above(self, corner: Corner) -> tuple[str, Floats]:
        """The same of the line along the inside of the strake above, on the one below; on its starboard side."""
        panel = self.of[corner.below.name]
        if corner.below_runs_on:
            name = inside_of(corner.above, HANDS[1] if corner.below.athwart else "")
            return name, panel.mark(name).points
        return f"{corner.line} edge", edge_line(panel, corner.line)

    def upper(self, strake: Strake) -> tuple[str, Floats]:
        """What bounds the inside of a strake above, by its name on the panel, and where that lies."""
        corner = self.hull.corner_above(strake)
        if corner is None:
            return f"{strake.upper} edge", edge_line(self.of[strake.name], strake.upper)
        return self._line_of_above(corner)

    def lower(self, strake: Strake) -> tuple[str, Floats]:
        """What bounds the inside of a strake below; nothing that is marked where it lies on the outside of the next."""
        if self.hull.laps_below(strake):
            return NO_MARK, np.empty((0, 2))
        corner = self.hull.corner_below(strake)
        if corner is None:
            return f"{strake.lower} edge", edge_line(self.of[strake.name], strake.lower)
        return self._line_of_below(corner)

    def across(self, strake: Strake, name: str, points: Floats) -> Held:
        """A line from edge to edge of a panel, crossed by what bounds the inside of its strake.

        Of a strake athwart these are the insides of both sides; the centre line crosses it too.
        """
        panel = self.of[strake.name]
        points = self._off_lap(strake, panel, points)
        of, line = PartLine(panel.name, panel.hand, name), folded(self.hull, panel, points)
        if strake.athwart:
            marks = {mark.name: mark.points for mark in panel.marks if mark.name in (*self.insides(strake), CENTRE)}
            return Held(of, "its port edge", line, marks)
        bounds = dict((self.upper(strake), self.lower(strake)))
        bounds.pop(NO_MARK, None)
        return Held(of, f"the {strake.upper}", line, bounds)

    def _off_lap(self, strake: Strake, panel: Part, points: Floats) -> Floats:
        """As much of a line as lies off the strake below, which wood inside the boat can touch."""
        corner, flat = self.hull.corner_below(strake), panel.flat
        if corner is None or not corner.lapped:
            return points
        assert flat is not None
        points = close(points)
        s, t = flat.places(points)
        on_lap = t - flat.ruled.at(corner.on_above, s)
        free = np.flatnonzero(on_lap < 0)
        if len(free) < 2:
            return points
        # It leaves the lap between two places of the line, at either end of what is free.
        ends = [
            points[[i]] + on_lap[i] / (on_lap[i] - on_lap[j]) * (points[[j]] - points[[i]])
            if 0 <= j < len(points) and np.isfinite(on_lap[j])
            else points[[i]]
            for i, j in ((free[0], free[0] - 1), (free[-1], free[-1] + 1))
        ]
        return np.concatenate([ends[0], points[free], ends[1]])

    def insides(self, strake: Strake) -> tuple[str, ...]:
        """What the insides of the sides are called on a strake athwart, port and starboard."""
        corner = self.hull.corner_above(strake)
        return tuple(inside_of(corner.above, hand) for hand in HANDS) if corner else ()
