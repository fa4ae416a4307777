"""Edges that meet in the boat: their lengths in the flat, and how much of the difference is thickness."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass

import numpy as np

from patterns.errors import while_making
from patterns.geometry.arrays import Floats, dots, lengths, run_along
from patterns.geometry.outlines import met
from patterns.geometry.ruled import numbers_between
from patterns.hull.planking.laps import lap_below_edge
from patterns.hull.planking.sections import LANES
from patterns.hull.planking.skin import Hull
from patterns.hull.planking.strakes import Corner, Face, Strake, tip_of
from patterns.hull.planking.transition import inside_as_cut
from patterns.parts.frames.frame import FrameShape
from patterns.parts.panels.lap_marks import LAP_LINE
from patterns.parts.panels.panels import inside_of
from patterns.parts.part import Part


@dataclass(frozen=True, slots=True)
class Mating:
    """Two edges that meet in the boat, and their lengths.

    A panel is unrolled on the middle of its thickness, so a line on its inside face is drawn as long as the line
    straight above it there. A line that bends outward is that much longer: half the thickness times the angle it
    turns out of the flat (trade_geometry.toml, [neutral_layer]).
    """

    a: str
    b: str
    length_a: float  # mm
    length_b: float  # mm
    by_thickness: float  # mm of ``length_a - length_b`` that the thickness of bent panels accounts for

    @property
    def left(self) -> float:
        """mm of the difference that nothing accounts for."""
        return self.length_a - self.length_b - self.by_thickness


def matings(hull: Hull, panels: Sequence[Part], frames: Sequence[FrameShape]) -> tuple[Mating, ...]:
    """Neighbouring strakes along their inside corners, each frame's sides and the lines they stand on.

    Parameters
    ----------
    panels : sequence of Part
        Those of the starboard side and those athwart, one for each strake, from the sheer down.
    """
    of = {strake.name: panel for strake, panel in zip(hull.strakes, panels, strict=True)}
    return (
        *(_corner_mating(hull, corner, of[corner.above.name], of[corner.below.name]) for corner in hull.corners),
        *(
            _frame_mating(hull, strake, of[strake.name], frame)
            for frame in frames
            for strake in hull.standing
            if not hull.laps_below(strake)
        ),
    )


def _corner_mating(hull: Hull, corner: Corner, above: Part, below: Part) -> Mating:
    """Two strakes along the corner of their inside faces, or of lapped ones along the line they lap to."""
    if corner.lapped:
        return _lap_mating(hull, corner, above, below)
    with while_making(corner.above.panel):
        gained = _gained(hull, corner.above, corner.on_above) - _gained(hull, corner.below, corner.on_below)
    edge = inside_of(corner.below) if corner.above_runs_on else f"{corner.line}, inside face"
    hand = "starboard" if corner.below.athwart else ""
    mark = inside_of(corner.above, hand)
    bears = corner.below_runs_on
    return Mating(
        f"{above.title}: {edge}",
        f"{below.title}: {mark if bears else f'{corner.line}, inside face'}",
        _length(_lower_line(corner, above)),
        _length(below.mark(mark).points if bears else below.edge(corner.line).points),
        gained,
    )


def _lap_mating(hull: Hull, corner: Corner, above: Part, below: Part) -> Mating:
    """The lower edge of a lapped strake's inside, and the line it lies on, on the outside of the strake below."""
    assert hull.lap is not None
    with while_making(corner.above.panel):
        down = lap_below_edge(corner.below, hull.lap)
        gained = _gained(hull, corner.above, corner.above_inside)
        gained -= _gained(hull, corner.below, down, outside=True)
    return Mating(
        f"{above.title}: {corner.line}, inside face",
        f"{below.title}: {LAP_LINE}",
        _length(above.edge(corner.line).points),
        _length(below.mark(LAP_LINE).points),
        gained,
    )


def _lower_line(corner: Corner, above: Part) -> Floats:
    """(n, 2) mm, the line along the inside of the strake below on the panel of the one above."""
    if corner.above_runs_on:
        return above.mark(inside_of(corner.below)).points
    return above.edge(corner.line).points


def _frame_mating(hull: Hull, strake: Strake, panel: Part, frame: FrameShape) -> Mating:
    """A frame's edge as it lies on a strake, before notches are cut in it, and its line on the panel."""
    stand = frame.stand
    mark = panel.mark(stand.line).points
    ruled, within = strake.ruled, hull.between_corners(strake)
    below = hull.corner_below(strake)
    with while_making(frame.name):
        # Where the strake runs on past the inside of the one below, the frame does not.
        if below and below.above_runs_on:
            mark, _ = met(mark, _lower_line(below, panel))
        s, t = ruled.crossing(stand.face.signed, within.upper, within.lower, within.depth, lanes=LANES)
    turned = _turned(ruled.point(s, t, within.depth), ruled.at(ruled.normal, s))
    return Mating(
        f"{frame.name}: {strake.name} starboard",
        f"{panel.name}: {stand.line}",
        _length(frame.outer.run(strake.name)),
        _length(mark),
        -strake.planking.thickness / 2 * turned,
    )


def _length(points: Floats) -> float:
    return float(run_along(points)[-1])


def _gained(hull: Hull, strake: Strake, edge: Floats, *, outside: bool = False) -> float:
    """How much longer than itself a line on a strake's face is drawn, from end to end of the boat, mm."""
    ruled, along = strake.ruled, Face(strake.inside, edge, edge + 1.0)
    depth = strake.outside if outside else strake.inside
    fore, aft = (_end(hull, strake, along, aft=aft) for aft in (False, True))
    s = numbers_between(fore, aft)
    points = ruled.point(s, ruled.at(edge, s), depth)
    return (strake.middle - depth) * _turned(points, ruled.at(ruled.normal, s))


def _end(hull: Hull, strake: Strake, line: Face, *, aft: bool) -> float:
    """The ruling number where a line on a strake's inside ends."""
    if strake.pointed[aft]:
        return tip_of(strake, inside_as_cut(hull, strake), aft=aft)
    return float(hull.end_places(strake, line, aft=aft, lanes=2)[0][0])


def _turned(points: Floats, normals: Floats) -> float:
    """Angle, rad, that a line (n, 3) on a face turns out of the flat: the sum of its normal curvature by its length."""
    chord = np.diff(points, axis=0)
    return float((dots(chord, np.diff(normals, axis=0)) / lengths(chord)).sum())
