"""Where the lines of a round hull cross each mould, with the bevel there: to check a mould by, or to lay it down."""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass

import numpy as np

from patterns.geometry.arrays import Floats
from patterns.hull.planking.smooth_skin import SmoothSkin
from patterns.parts.asked.rules import FrameKind, FrameRules
from patterns.parts.frames.frame import frame_name
from patterns.parts.part import Bevel
from patterns.parts.stands import FrameStand
from patterns.parts.whole import Job


@dataclass(frozen=True, slots=True)
class LinePlace:
    """Where a line of the boat crosses a mould, on the inside of what lies on it, on the marked face."""

    line: str  # "sheer", "waterline 200", "diagonal A", "keel"
    half: float  # mm off the centre line
    height: float  # mm above base
    bevel: Bevel  # off the marked face: standing where the far face would be larger


@dataclass(frozen=True, slots=True)
class MouldFigures:
    """The figures of one mould, from the sheer down."""

    name: str
    from_fp: float  # mm, of the marked face
    face: str  # "after face"
    places: tuple[LinePlace, ...]


def mould_figures(job: Job) -> tuple[MouldFigures, ...]:
    """Of each mould or frame of a round hull, in the order they are named; none of other hulls."""
    skin = job.hull.smooth
    if skin is None:
        return ()
    return tuple(
        MouldFigures(
            frame_name(rules, stand),
            float(stand.face.origin[0]),
            stand.named_face,
            tuple(_places(skin, stand, rules)),
        )
        for rules, stand in job.stands
    )


def _places(skin: SmoothSkin, stand: FrameStand, rules: FrameRules) -> Iterator[LinePlace]:
    cut = skin.section(stand.face, skin.depth_of(mould=rules.kind is FrameKind.MOULD)).cut
    points, bevels = cut.points, cut.bevels
    found = [("sheer", float(len(points) - 1)), ("keel", 0.0)]
    for level in skin.levels:
        out = level.signed(points)
        there = np.flatnonzero((out[:-1] < 0) & (out[1:] >= 0))
        if len(there):
            i = int(there[-1])
            found.append((level.name, i + float(out[i] / (out[i] - out[i + 1]))))
    found += [
        (name, float(np.abs(cut.v - corner).argmin()))
        for name, corner in zip(skin.chines, skin.surface.corners, strict=True)
    ]
    along = np.concatenate([[0.0], np.cumsum(np.hypot(*np.diff(points[:, 1:], axis=0).T))])
    for line, place in sorted(found, key=lambda one: -one[1]):
        half, height, turned, run = (_at(values, place) for values in (points[:, 1], points[:, 2], bevels, along))
        angle = -stand.wood * turned  # a hull that grows toward the wood leaves the far face larger
        yield LinePlace(line, half, height, Bevel(run, angle, rules.sided * float(np.tan(angle))))


def _at(values: Floats, place: float) -> float:
    """A value between two of a row."""
    return float(np.interp(place, np.arange(len(values)), values))
