"""The stem (or sternpost) of a V bottom: from the sheer to the heel, where the keel takes over."""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from dataclasses import dataclass
from itertools import pairwise

import numpy as np
import shapely
from shapely import Polygon

from patterns.errors import ShapeError
from patterns.geometry.arrays import Floats, dots, lengths, run_along, unit
from patterns.geometry.cuts import Profile
from patterns.geometry.outlines import across, met, parallel, thinned, trimmed, unlooped
from patterns.hull.build import KeelJoint, Stem
from patterns.hull.planking.along_centre import CentreRun, behind_stem, carried_up, down_stem
from patterns.hull.planking.skin import Hull
from patterns.parts.asked.end_rules import PlankEnds, StemWork
from patterns.parts.ends.landings import LandingLine
from patterns.parts.part import Landing, Mark
from patterns.parts.role import MarkKind
from patterns.units.lengths import write_length

PROFILE_POINTS = 257
LEAST_WOOD = 3.0  # mm between the fore edge and the inner face; less is none
LEAST_LANDING = 5.0  # mm along the stem; less of a strake than this lands on the keel
SHARP = 0.5  # mm; a fore edge as wide as this is still sharp
PAST = 1e3  # mm, how far a line across is drawn to either side
TICK = 30.0  # mm
CHORD = 2.0  # mm of height to either side by which the way of an edge is told
SPACING = 100.0  # mm along the fore edge between figured landings
FINEST = np.radians(12.0)  # rad; finer than that no rabbet can be cut, common practice, no single source
TURN_TOLD = np.radians(8.0)  # rad; a corner of the inner face that turns less is none to the eye


@dataclass(frozen=True, eq=False)
class VStem:
    """A stem in profile: x aft, y height above base."""

    profile: Floats  # (n, 2) mm, where the outside of the planking comes together, from the heel up to the head's level
    outer: Floats  # (n, 2) mm, where the insides come together, from the foot up to the head: its fore edge
    inner: Floats  # (n, 2) mm, its moulded size behind the profile, from the foot up
    landings: tuple[LandingLine, ...]  # from the lowest strake up
    beardings: tuple[Floats, ...]  # (n, 2) mm each, from the foot up, of the strakes as they land
    half: float  # mm, of the edge the planks end on
    cornered: bool  # whether its inner face has a corner where the profile turns sharply

    @property
    def foot(self) -> Floats:
        """(2, 2) mm, from the fore edge to the inner face, square to the profile at the heel."""
        return np.stack([self.outer[0], self.inner[0]])

    @property
    def head(self) -> Floats:
        """(2, 2) mm, level, from the inner face to the fore edge."""
        return np.stack([self.inner[-1], self.outer[-1]])


def shape_v_stem(hull: Hull, stem: Stem, *, rabbet: bool, ahead: float, aft: bool) -> VStem:
    """The stem of a V bottom, whose planks end on each other, on the side of a keel, or in a rabbet.

    Parameters
    ----------
    ahead : float
        mm of a rabbeted stem's wood before the profile.

    Raises
    ------
    ShapeError
        Where no such stem can be cut.
    """
    end = hull.aft_cut if aft else hull.fore_cut
    sheer, keel = (
        line.curve.point(np.array(line.curve.last if aft else line.curve.first))
        for line in (hull.lines[0], hull.lines[-1])
    )
    head, heel = float(sheer[2]), float(keel[2])
    profile = profile_up(end, heel, head + PAST / 10, end.corners)
    inner, cornered = inner_face(profile, end.corners, stem, head, aft=aft)
    foot = square_foot(profile, aft=aft)
    runs, lost = _cut_at(down_stem(hull, aft=aft, outside=rabbet), foot)
    outer = (
        up_to_head(parallel(profile, -ahead if aft else ahead), head) if rabbet else _outer(hull, runs, head, aft=aft)
    )
    _check_wood(outer, inner, profile, stem, rabbet=rabbet)
    lines = behind_stem(hull, stem, aft=aft)
    if rabbet:
        _check_fine(runs)
    landings = tuple(
        _landing(run, line, stem, rabbet=rabbet) for run, line in zip(runs, lines[: len(runs)], strict=True)
    )[::-1]
    up = profile[1] - profile[0]
    # Of a strake that lands on the keel alone the line runs below the foot from end to end.
    reaching = [line for line in lines[: len(lines) - lost] if float(((line - profile[0]) @ up).max()) > 0]
    beardings = tuple(above_foot(line, foot)[::-1] for line in reaching)[::-1]
    half = float(max(run.half.max() for run in runs))
    return VStem(up_to_head(profile, head), outer, inner, landings, beardings, half, cornered)


def profile_up(end: Profile, low: float, high: float, corners: Sequence[float]) -> Floats:
    """From the heel up, as far as a height, its corners among the points."""
    z = np.union1d(end.heights_between(low, high, PROFILE_POINTS), [z for z in corners if low < z < high])
    return np.stack([end.at_height(z), z], axis=1)


def inner_face(profile: Floats, corners: Sequence[float], stem: Stem, head: float, *, aft: bool) -> tuple[Floats, bool]:
    """The inner face from the foot up to the head, and whether it has a corner, where the profile turns sharply."""
    legs = _legs(profile, corners)
    left = stem.moulded if aft else -stem.moulded
    try:
        line = unlooped(parallel(legs[0], left))
        for leg in legs[1:]:
            before, after = met(
                _run_on(line, stem.moulded), _run_on(unlooped(parallel(leg, left))[::-1], stem.moulded)[::-1]
            )
            line = np.concatenate([before, after[1:]])
    except ShapeError as error:
        raise ShapeError(
            "moulded {}, but its profile turns so sharply near the heel that an inner face so far behind it would run "
            "into itself; expected less moulded, or a profile that turns more gently there",
            stem.moulded,
        ) from error
    inner = up_to_head(line, head)
    way = unit(np.diff(inner, axis=0))
    return inner, bool((dots(way[:-1], way[1:]) < np.cos(TURN_TOLD)).any())


def _legs(profile: Floats, corners: Sequence[float]) -> list[Floats]:
    """The profile in pieces between its corners, from the heel up."""
    heights = profile[:, 1]
    cuts = [0, *(int(np.abs(heights - z).argmin()) for z in sorted(corners)), len(profile) - 1]
    return [profile[first : last + 1] for first, last in pairwise(cuts) if last - first > 1]


def _run_on(line: Floats, by: float) -> Floats:
    """A line carried on straight past its end."""
    return np.concatenate([line, line[-1:] + 2 * by * unit(line[-1:] - line[-2:-1])])


def up_to_head(line: Floats, head: float) -> Floats:
    return thinned(trimmed(line, lambda points: points[:, 1] - head))


def square_foot(profile: Floats, *, aft: bool) -> Floats:
    """(2, 2) mm, a line square to the profile at the heel, well past both sides."""
    up = unit(profile[1] - profile[0])
    inward = np.array([-up[1], up[0]]) if aft else np.array([up[1], -up[0]])
    return np.stack([profile[0] - PAST * inward, profile[0] + PAST * inward])


def _cut_at(runs: tuple[CentreRun, ...], foot: Floats) -> tuple[list[CentreRun], int]:
    """The runs above the foot, and how many strakes land below it only."""
    kept: list[CentreRun] = []
    line = shapely.LineString(foot)
    for run in runs:
        drawn = shapely.LineString(run.points)
        if not drawn.intersects(line):
            kept.append(run)
            continue
        along = min(drawn.project(place) for place in shapely.get_parts(drawn.intersection(line)))
        if along > LEAST_LANDING or not kept:
            kept.append(run.down_to(along))
        else:  # so little of a strake lands on the keel: the one above ends at the foot
            kept[-1] = kept[-1].ended_at(run.down_to(along).points[-1])
        return kept, len(runs) - len(kept)
    raise ShapeError(
        "its foot, square to the profile at the heel, does not meet the line where the insides of both sides come "
        "together; expected a profile that runs down to where the keel begins"
    )


def _outer(hull: Hull, runs: list[CentreRun], head: float, *, aft: bool) -> Floats:
    """The fore edge (of a sternpost the after one) from the foot up to the level of the head."""
    down = _joined(tuple(run.points for run in runs))
    up = np.concatenate([down[::-1], carried_up(hull, aft=aft)[::-1][1:]])
    return up_to_head(up, head)


def _check_fine(runs: list[CentreRun]) -> None:
    for run in runs:
        least = int(run.angle.argmin())
        if run.angle[least] < FINEST:
            raise ShapeError(
                f"the {run.strake} comes to it at {np.degrees(run.angle[least]):.1f}° off the center plane, {{}} above "
                f"base, too fine to cut a rabbet for; expected {np.degrees(FINEST):.0f}° or more, or keel_joint = "
                "'half angle' in [planking.bottom]",
                float(run.points[least, 1]),
            )


def _joined(runs: tuple[Floats, ...]) -> Floats:
    points = np.concatenate(runs)
    apart = lengths(np.diff(points, axis=0)) > SHARP / 10
    return np.asarray(points[np.concatenate([[True], apart])])


def _check_wood(outer: Floats, inner: Floats, profile: Floats, stem: Stem, *, rabbet: bool) -> None:
    behind = np.zeros(1) if rabbet else shapely.distance(shapely.points(outer), shapely.LineString(profile))
    if float(behind.max()) > stem.moulded - LEAST_WOOD or not Polygon(np.concatenate([outer, inner[::-1]])).is_valid:
        raise ShapeError(
            "moulded {} behind the profile, but the insides of both sides come together {} behind it, {} above base: "
            "no wood is left; expected more moulded",
            stem.moulded,
            float(behind.max()),
            float(outer[int(behind.argmax()), 1]),
        )


def _landing(run: CentreRun, bearding: Floats, stem: Stem, *, rabbet: bool) -> LandingLine:
    """The landing of one strake, by height, to its own bearding line."""
    points = run.points
    if (np.diff(points[:, 1]) >= 0).any():
        raise ShapeError(
            f"where the {run.strake} lands its profile does not fall all the way down to the heel; expected the keel's "
            "row to take over where the profile turns level",
        )
    # A rabbet may begin on the very side of the stem, a landing may not.
    if float(run.half.max()) > stem.sided / 2 + (LEAST_LANDING / 5 if rabbet else -SHARP):
        raise ShapeError(
            "sided {}, but port and starboard planking ends {} apart: nothing is left to land on; expected more siding",
            stem.sided,
            2 * float(run.half.max()),
        )
    along = run_along(points)
    try:
        depth = np.abs(across(points, bearding, along))
    except ShapeError as error:
        raise ShapeError(
            f"the {run.strake} comes to it, {{}} above base, in a line that turns back on itself, as where a lap ends "
            "on a stem; expected chine_joint = 'half angle' where it meets the strake above it",
            float(points[0, 1]),
        ) from error
    up = slice(None, None, -1)
    return LandingLine(
        run.strake,
        points[up, 1],
        run.angle[up],
        run.half[up],
        points[up, 1],
        depth[up],
        max(2, int(np.ceil(along[-1] / SPACING)) + 1),
    )


def above_foot(line: Floats, foot: Floats) -> Floats:
    """A line from the sheer down as far as the foot, or all of it where it does not reach so far."""
    try:
        return met(line, foot)[0]
    except ShapeError:
        return line


def landing_marks(shape: VStem, landings: tuple[Landing, ...], show: str, *, aft: bool) -> Iterator[Mark]:
    """Each landing by its height: from the fore edge in, square to it, to the bearding line.

    The topmost is left out: it comes at the head, or above it.
    """
    wood = Polygon(np.concatenate([shape.outer, shape.inner[::-1]])).buffer(0.01)
    several = len(shape.landings) > 1
    for landing in landings[:-1]:
        line = next(one for one in shape.landings if one.strake == landing.strake)
        place, up = _edge_at(shape.outer, landing.height, within=(float(line.height[0]), float(line.height[-1])))
        inward = np.array([-up[1], up[0]]) if aft else np.array([up[1], -up[0]])
        depth = np.stack([place, place + landing.depth * inward])
        # Where the bearding line lies behind the wood, a tick tells the height.
        drawn = depth if shapely.LineString(depth).within(wood) else np.stack([place, place - TICK * inward])
        told = f"{write_length(landing.height, show)} up{f', {landing.strake}' if several else ''}"
        yield Mark(f"{told}: landing {np.degrees(landing.angle):.1f}°", drawn, MarkKind.LANDING, told)


def _edge_at(edge: Floats, height: float, *, within: tuple[float, float]) -> tuple[Floats, Floats]:
    """(2,) mm and (2,) unit, a place on an edge that runs up, and the way it runs there on one strake's part of it."""

    def at(z: float) -> Floats:
        return np.array([np.interp(z, edge[:, 1], edge[:, 0]), z])

    low, high = (float(np.clip(height + step, *within)) for step in (-CHORD, CHORD))
    return at(height), unit(at(high) - at(low))


def rabbeted(hull: Hull, work: StemWork) -> bool:
    """Whether the planking of a V bottom ends in a rabbet."""
    assert hull.seam is not None
    in_rabbet = hull.seam.joint is KeelJoint.RABBET
    if work.ends is PlankEnds.RABBET and not in_rabbet:
        raise ShapeError(
            f"planks_end is 'in a rabbet', but the bottom's keel_joint is '{hull.seam.joint}': expected keel_joint = "
            "'in a rabbet' in [planking.bottom] too"
        )
    return in_rabbet


def rabbet_marks(hull: Hull, shape: VStem, *, aft: bool) -> Iterator[Mark]:
    """Rabbet line and apex line on the side of the stem, a pair for each strake that lands, from the lowest up.

    The plank's end is square, so the groove's corner lies the planking's thickness in from the rabbet line along the
    planking's normal: ahead of it by ``t sin a`` in profile, ``t cos a`` nearer to the centre plane.
    """
    inward = {run.strake: run for run in down_stem(hull, aft=aft, outside=True)}
    for line in shape.landings:
        run = inward[line.strake]
        thickness = hull.strake(line.strake).planking.thickness
        points = run.points[run.points[:, 1] >= line.height[0] - 1e-6]
        if len(points) < 2:
            continue
        way = unit(np.gradient(points, axis=0))
        behind = np.stack([way[:, 1], -way[:, 0]], axis=1) * (1.0 if aft else -1.0)
        apex = points + thickness * np.sin(run.angle[: len(points)])[:, None] * behind
        yield Mark("rabbet line", thinned(points[::-1]))
        yield Mark("apex line", thinned(apex[::-1]))


def outside_marks(shape: VStem, *, rabbet: bool, aft: bool) -> Iterator[Mark]:
    """Where the outsides of both sides come together, ahead of the wood, and where the keel takes over."""
    heel = shape.profile[0]
    inward = unit(shape.inner[0] - heel)
    if not rabbet:
        yield Mark("outside of planking", shape.profile)
    yield Mark("heel: the keel begins", np.stack([heel, heel - TICK * inward]))
