"""Where planking of both hands comes together along the centre plane: down a stem, along a keel, and wood behind it."""

from __future__ import annotations

from collections.abc import Iterator
from contextlib import suppress
from dataclasses import dataclass, replace
from itertools import pairwise

import numpy as np

from patterns.errors import ShapeError
from patterns.geometry.arrays import Floats, crossed, lengths, run_along, unit
from patterns.geometry.ruled import numbers_between
from patterns.geometry.short_repr import brief
from patterns.hull.build import Stem
from patterns.hull.planking.half_siding import half_siding_cut
from patterns.hull.planking.skin import Hull
from patterns.hull.planking.strakes import Face, Strake, tip_of

LANES = 129
APART = 0.5  # mm; points of a line nearer to each other than this tell nothing more
TOGETHER = 0.05  # mm that planking ending on one upright plane may stand off it
SHORT = 2.0  # thicknesses; shorter rulings beside a point tell no angle
SLOPE_OVER = 60.0  # mm along the line over which the angle's change is taken
ABOVE_SHEER = 40.0  # mm a line is carried on above the sheer, so that wood can be cut level there


@dataclass(frozen=True, eq=False)
class CentreRun:
    """One strake's part of the line where a face of both hands comes together, in profile; from the sheer down.

    On the centre plane, or on both sides of a keel.
    """

    strake: str
    points: Floats  # (n, 2) mm: from FP, height above base
    half: Floats  # (n,) mm off the centre plane
    angle: Floats  # (n,) rad, between the planking and the centre plane, square to the line

    __repr__ = brief

    def down_to(self, along: float) -> CentreRun:
        """The same as far as a running length from its upper end."""
        run = run_along(self.points)
        inner = run < along - APART
        at = np.append(run[inner], along)
        x, z, half, angle = (np.interp(at, run, each) for each in (*self.points.T, self.half, self.angle))
        return CentreRun(self.strake, np.stack([x, z], axis=1), half, angle)

    def ended_at(self, place: Floats) -> CentreRun:
        """The same, carried on from its lower end to a place near it."""
        kept = len(self.points) - (float(lengths(self.points[-1] - place)) < APART)
        points = np.concatenate([self.points[:kept], place[None]])
        half, angle = (np.append(each[:kept], each[-1]) for each in (self.half, self.angle))
        return replace(self, points=points, half=half, angle=angle)


def down_stem(hull: Hull, *, aft: bool, outside: bool = False) -> tuple[CentreRun, ...]:
    """The line where the insides come together, or the outsides, a run for each strake.

    That of a V bottom goes on along the keel.
    """
    runs: list[CentreRun] = []
    for strake in hull.paired:
        face = hull.outside(strake) if outside else hull.between_corners(strake)
        if strake.pointed[aft]:
            runs.append(_garboard(strake, face, aft=aft))
        else:
            runs.append(_run(strake, face, *hull.end_places(strake, face, aft=aft, lanes=LANES)))
    # Both skins were brought to the corner; one of them has to name it, so that the line goes through.
    for index, (above, below) in enumerate(pairwise(runs), start=1):
        runs[index] = replace(below, points=np.concatenate([above.points[-1:], below.points[1:]]))
    return tuple(runs)


def carried_up(hull: Hull, *, aft: bool) -> Floats:
    """(n, 2) mm, the topmost of these lines carried on above the sheer, from the top down to it."""
    strake = hull.sheer_strake
    face = hull.between_corners(strake)
    beyond = Face(face.depth, face.upper - ABOVE_SHEER, face.lower)
    run = _run(strake, face, *hull.end_places(strake, face, aft=aft, lanes=LANES))
    straight = run.points[0] + np.array([[ABOVE_SHEER], [0.0]]) * unit(run.points[0] - run.points[1])
    with suppress(ShapeError):
        higher = _run(strake, beyond, *hull.end_places(strake, beyond, aft=aft, lanes=LANES)).points
        above = higher[higher[:, 1] > run.points[0, 1] + APART]
        if len(above):
            return np.asarray(np.concatenate([above, run.points[:1]]))
    return np.asarray(straight)


def along_keel(hull: Hull, face: Face) -> CentreRun:
    """The line of a V bottom's face along stem and keel, from where it begins to where it ends."""
    strake = hull.floor
    first, last = (
        tip_of(strake, face, aft=aft)
        if strake.pointed[aft]
        else float(hull.end_places(strake, face, aft=aft, lanes=2)[0][-1])
        for aft in (False, True)
    )
    s = numbers_between(first, last)
    t = strake.ruled.at(face.lower, s)
    known = np.isfinite(t)
    return _run(strake, face, s[known], t[known])


def behind_stem(hull: Hull, end: Stem, *, aft: bool) -> tuple[Floats, ...]:
    """(n, 2) mm each, in profile: where the insides of the strakes stand half the siding off, from the sheer down."""
    return tuple(_beside(hull, strake, end, aft=aft) for strake in hull.paired)


def off_center(strake: Strake, face: Face, half: float) -> tuple[Floats, Floats]:
    """Places (s, t) where a face of one half of a V bottom stands so far off the centre plane, from edge to edge."""
    ruled = strake.ruled
    t = ruled.at_half_breadth(half, face.depth)
    room = np.minimum(t - face.upper, face.lower - t)
    here = np.isfinite(room) & (room > 0)
    if not here.any():
        return np.empty(0), np.empty(0)
    inner = np.flatnonzero(here)
    # The longest run that hangs together: past the ends of the boat both lines are only carried on.
    inner = max(np.split(inner, np.flatnonzero(np.diff(inner) > 1) + 1), key=len)
    s = inner.astype(np.float64)
    for i, way in ((int(inner[0]), -1), (int(inner[-1]), 1)):
        if 0 <= i + way < len(t) and np.isfinite(room[i + way]):
            place = i + way * room[i] / (room[i] - room[i + way])
            s = np.concatenate([[place], s]) if way < 0 else np.append(s, place)
    return s, ruled.at(t, s)


def _beside(hull: Hull, strake: Strake, end: Stem, *, aft: bool) -> Floats:
    face, ruled = hull.between_corners(strake), strake.ruled
    if not strake.pointed[aft]:
        s, t = ruled.crossing(half_siding_cut(hull, end, aft=aft), face.upper, face.lower, face.depth, lanes=LANES)
        return ruled.point(s, t, face.depth)[:, [0, 2]]
    s, t = off_center(strake, face, end.sided / 2)
    nearer = s > len(ruled) / 2 if aft else s < len(ruled) / 2
    points = ruled.point(s[nearer], t[nearer], face.depth)[:, [0, 2]]
    return points[::-1] if aft else points


def _garboard(strake: Strake, face: Face, *, aft: bool) -> CentreRun:
    tip, middle = tip_of(strake, face, aft=aft), float(len(strake.ruled) // 2)
    s = numbers_between(middle, tip)[::-1] if aft else numbers_between(tip, middle)
    t = strake.ruled.at(face.lower, s)
    known = np.isfinite(t)
    return _run(strake, face, s[known], t[known])


def _run(strake: Strake, face: Face, s: Floats, t: Floats) -> CentreRun:
    points = strake.ruled.point(s, t, face.depth)
    keep = np.array(list(_spaced(points[:, [0, 2]])))
    points, s = points[keep], s[keep]
    normal = unit(strake.ruled.at(strake.ruled.normal, s))
    along = unit(np.gradient(points[:, [0, 2]], axis=0))
    trace = crossed(normal, np.stack([along[:, 0], np.zeros(len(along)), along[:, 1]], axis=1))
    # Where both hands meet the line lies in the planking, and no slope of it is needed to tell the angle.
    together = np.ptp(points[:, 1]) < TOGETHER
    angle = (
        np.arccos(np.abs(normal[:, 1]))
        if together
        else np.arctan2(np.abs(trace[:, 1]), np.hypot(trace[:, 0], trace[:, 2]))
    )
    if any(strake.pointed):
        angle = _smoothed_at_points(angle, strake.ruled.at(strake.ruled.reach, s), points, strake.planking.thickness)
    half = np.full(len(points), points[:, 1].mean().round(2)) if together else points[:, 1]
    return CentreRun(strake.name, points[:, [0, 2]], np.abs(half), angle)


def _smoothed_at_points(angle: Floats, reach: Floats, points: Floats, thickness: float) -> Floats:
    """Angles, beside a point carried on from where the rulings are longer than the wood is thick.

    Shorter ones turn about at the rounding of the lines.
    """
    known = np.flatnonzero(reach > SHORT * thickness)
    if len(known) < 2:
        return angle
    run, told = run_along(points), angle.copy()
    for end, inward in ((int(known[0]), 1), (int(known[-1]), -1)):
        beyond = np.arange(end) if inward > 0 else np.arange(end + 1, len(angle))
        apart = inward * (run - run[end])
        other = int(
            np.flatnonzero((apart > SLOPE_OVER) | (np.arange(len(run)) == known[-1 if inward > 0 else 0]))[
                0 if inward > 0 else -1
            ]
        )
        told[beyond] = angle[end] + (angle[other] - angle[end]) * (run[beyond] - run[end]) / (run[other] - run[end])
    return told


def _spaced(points: Floats) -> Iterator[int]:
    """Numbers of points no nearer to each other than ``APART``, first and last among them."""
    last = len(points) - 1
    kept = 0
    yield 0
    for i in range(1, last):
        if float(lengths(points[i] - points[kept])) > APART and float(lengths(points[i] - points[last])) > APART:
            kept = i
            yield i
    yield last
