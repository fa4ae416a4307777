"""Edges that meet in the boat: their lengths in the flat, and how much of the difference is thickness."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass

import numpy as np

from patterns.errors import while_making
from patterns.geometry.arrays import Floats, dots, lengths, run_along
from patterns.geometry.outlines import met
from patterns.hull.build import Laps
from patterns.hull.planking.sections import LANES
from patterns.hull.planking.skin import Hull, Strake
from patterns.parts.frames.frame import FrameShape
from patterns.parts.panels.panels import BOTTOM_INSIDE
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


def matings(hull: Hull, side: Part, bottom: Part, frames: Sequence[FrameShape]) -> tuple[Mating, ...]:
    """Side and bottom along their inside corner, each frame's side and the line it stands on."""
    over = hull.skin.laps is Laps.OVER
    with while_making("side panel"):
        gained = _gained(hull, hull.side, hull.corner) - _gained(hull, hull.bottom, hull.corner_on_bottom)
    corner = next(e.points for e in side.edges if e.name == "chine") if over else _mark(side, BOTTOM_INSIDE)
    return (
        Mating(
            f"side panel, starboard: {'chine, inside face' if over else BOTTOM_INSIDE}",
            "bottom panel: inside of side, starboard",
            _length(corner),
            _length(_mark(bottom, "inside of side, starboard")),
            gained,
        ),
        *(_frame_mating(hull, side, frame, corner) for frame in frames),
    )


def _frame_mating(hull: Hull, side: Part, frame: FrameShape, corner: Floats) -> Mating:
    """A frame's edge as it lies on the planking, before notches are cut in it, and its line on the side."""
    stand = frame.stand
    name = f"frame {stand.place.name}"
    mark = _mark(side, name)
    ruled, depth = hull.side.ruled, hull.side.inside
    with while_making(frame.name):
        # Where the side runs on past the bottom's inside, the frame does not.
        if hull.skin.laps is not Laps.OVER:
            mark, _ = met(mark, corner)
        s, t = ruled.crossing(stand.face.signed, hull.sheer_edge, hull.corner, depth, lanes=LANES)
    turned = _turned(ruled.point(s, t, depth), ruled.at(ruled.normal, s))
    return Mating(
        f"{frame.name}: side starboard",
        f"side panel: {name}",
        _length(frame.outer.side),
        _length(mark),
        -hull.side.planking.thickness / 2 * turned,
    )


def _mark(part: Part, name: str) -> Floats:
    return next(mark.points for mark in part.marks if mark.name == name)


def _length(points: Floats) -> float:
    return float(run_along(points)[-1])


def _gained(hull: Hull, strake: Strake, edge: Floats) -> float:
    """How much longer than itself a line on a strake's inside face is drawn, from end to end of the boat, mm."""
    ruled = strake.ruled
    fore, aft = (
        ruled.crossing(cut.signed, edge, edge + 1.0, strake.inside, lanes=2)[0][0]
        for cut in (hull.fore_cut, hull.aft_cut)
    )
    s = np.concatenate([[fore], np.arange(np.floor(fore) + 1, np.ceil(aft)), [aft]])
    points = ruled.point(s, ruled.at(edge, s), strake.inside)
    return strake.planking.thickness / 2 * _turned(points, ruled.at(ruled.normal, s))


def _turned(points: Floats, normals: Floats) -> float:
    """Angle, rad, that a line (n, 3) on a face turns out of the flat: the sum of its normal curvature by its length."""
    chord = np.diff(points, axis=0)
    return float((dots(chord, np.diff(normals, axis=0)) / lengths(chord)).sum())
