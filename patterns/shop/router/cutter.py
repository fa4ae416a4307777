"""A round cutter in a part's inside corners: relief for square pieces, and places it cannot reach."""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass

import numpy as np
import shapely

from patterns.geometry.arc_lines import ArcLine
from patterns.geometry.arrays import Floats, lengths
from patterns.shop.router.router_rules import Relief

EASE = 0.05  # mm a relief's radius is over the cutter's: at its very radius some machines refuse an arc
LEFT_STANDING = 0.05  # mm; less wood left in a corner than this hinders no piece from seating
LEAST_LEFT = 0.5  # mm of a side that must be left beside its reliefs
SQUARE = 1.7  # rad; a sharper corner is one by itself
NEARLY_STRAIGHT = 0.02  # bulge, of a run that may be made longer or shorter by a cutter's radius
BARELY = 0.03  # mm; slivers thinner than this are chords for arcs, not wood


@dataclass(frozen=True, slots=True)
class Unreachable:
    """A place of a contour the cutter cannot follow."""

    at: tuple[float, float]  # mm
    radius: float | None  # mm, of the contour there, 0 for a sharp corner; None for a gap too narrow to enter
    left: float  # mm2 of wood left standing


def relieved(line: ArcLine, *, cutter: float, relief: Relief) -> ArcLine:
    """A closed contour, wood on its left, with its inside corners opened for a cutter of a diameter.

    A corner keeps its sharp edge where its sides are too short for the relief, or where the relief would break
    through to another side; `unreachable` then finds it.
    """
    if relief is Relief.NONE:
        return line
    # By the corner's own turn a, the relief turns through 2 a whichever way it lies (the angle at the rim of a circle
    # is half the one at its centre, Euclid III.20), and its chord is 2 r sin a along a side, 2 r sin(a / 2) on both.
    radius = cutter / 2 + EASE
    line = _corners_made_one(line, radius)
    turn = inside_corners(line)
    wanted = np.where(radius * (1 / np.cos(turn / 2) - 1) > LEFT_STANDING, turn, 0.0)
    before, after = _cut_backs(line, wanted, radius, relief)
    fits = (_room(line, before, after) > LEAST_LEFT) & (np.roll(_room(line, before, after), 1) > LEAST_LEFT)
    opened = _opened(line, *(np.where(fits, cut, 0.0) for cut in (wanted, before, after)))
    return opened if shapely.LinearRing(opened.flat()).is_simple else line


def _corners_made_one(line: ArcLine, radius: float) -> ArcLine:
    """Two inside corners with so short a run between them that one relief serves both, where their sides meet."""
    turn, n = inside_corners(line), len(line.points)
    begin, end = line.tangents
    short = (turn > 0) & (np.roll(turn, -1) > 0) & (line.bulges == 0) & (line.chords < radius) & (turn < SQUARE)
    points, kept = line.points.copy(), np.ones(n, dtype=bool)
    for k in np.flatnonzero(short):
        into, out, gap = end[k - 1], begin[(k + 1) % n], line.ends[k] - line.starts[k]
        across = into[0] * out[1] - into[1] * out[0]
        ahead = (gap[0] * out[1] - gap[1] * out[0]) / across if across else np.inf
        straight = max(abs(line.bulges[k - 1]), abs(line.bulges[(k + 1) % n])) < NEARLY_STRAIGHT
        if straight and kept[k] and 0 < ahead < radius:
            points[k] = line.points[k] + ahead * into
            kept[(k + 1) % n] = False
    return ArcLine(points[kept], line.bulges[kept], closed=True)


def inside_corners(line: ArcLine) -> Floats:
    """(n,) rad at each point of a closed contour: how far it turns to the right there, 0 where to the left or not."""
    begin, end = line.tangents
    into = np.roll(end, 1, axis=0)
    turn = np.arctan2(begin[:, 0] * into[:, 1] - begin[:, 1] * into[:, 0], (begin * into).sum(axis=1))
    return np.asarray(np.maximum(turn, 0.0))


def _cut_backs(line: ArcLine, turn: Floats, radius: float, relief: Relief) -> tuple[Floats, Floats]:
    """(n,) mm each, by which the runs before and after each point are cut back for its relief."""
    if relief is Relief.CORNER:
        both = 2 * radius * np.sin(turn / 2)
        return both, both
    along = 2 * radius * np.sin(turn)
    longer_before = np.roll(line.chords, 1) > line.chords
    return np.where(longer_before, along, 0.0), np.where(longer_before, 0.0, along)


def _room(line: ArcLine, before: Floats, after: Floats) -> Floats:
    """(n,) mm left of the run that leaves each point."""
    return np.asarray(line.chords - after - np.roll(before, -1))


def _opened(line: ArcLine, turn: Floats, before: Floats, after: Floats) -> ArcLine:
    points: list[Floats] = []
    bulges: list[float] = []
    starts, ends = _shortened(line, after, np.roll(before, -1))
    with np.errstate(divide="ignore", invalid="ignore"):
        shorter = np.arcsin(np.clip(lengths(ends - starts) / (2 * line.radii), 0.0, 1.0)) * 2 * np.sign(line.bulges)
    kept = np.where(line.bulges == 0, 0.0, np.where(np.abs(line.bulges) < 1, np.tan(shorter / 4), line.bulges))
    untouched = (after == 0) & (np.roll(before, -1) == 0)
    for place in range(len(line.points)):
        if turn[place] > 0:
            points.append(ends[place - 1])
            bulges.append(-float(np.tan(turn[place] / 2)))
        points.append(starts[place])
        bulges.append(float(line.bulges[place] if untouched[place] else kept[place]))
    return ArcLine(np.array(points), np.array(bulges), closed=True)


def _shortened(line: ArcLine, first: Floats, last: Floats) -> tuple[Floats, Floats]:
    """Beginnings and ends of runs shortened by chords of so many mm, along their arcs."""
    begin, end = line.tangents
    starts = line.starts + first[:, None] * _leaning(begin, first, line)
    ends = line.ends - last[:, None] * _leaning(end, -last, line)
    return starts, ends


def _leaning(tangent: Floats, chord: Floats, line: ArcLine) -> Floats:
    """The way of a chord that leaves a run at a tangent: an arc's leans to its side by half what it turns."""
    lean = np.sign(line.turns) * np.arcsin(np.clip(chord / (2 * line.radii), -1.0, 1.0))
    x, y = tangent.T
    cos, sin = np.cos(lean), np.sin(lean)
    return np.stack([x * cos - y * sin, x * sin + y * cos], axis=1)


def unreachable(wood: shapely.Polygon, contours: tuple[ArcLine, ...], *, cutter: float) -> Iterator[Unreachable]:
    """Places where a cutter of a diameter must leave wood standing, in order along x."""
    radius = cutter / 2
    rolled = wood.buffer(radius, quad_segs=16).buffer(-radius, quad_segs=16)
    pieces = [piece for piece in shapely.get_parts(rolled.difference(wood)) if isinstance(piece, shapely.Polygon)]
    # Nearly all are slivers along arcs; the cheap question first.
    thick = [piece for piece in pieces if piece.area > BARELY / 8 * piece.length]
    left = [piece for piece in thick if not piece.buffer(-BARELY).is_empty]
    for piece in sorted(left, key=lambda piece: piece.bounds):
        yield _told(piece, contours, radius)


def _told(piece: shapely.Polygon, contours: tuple[ArcLine, ...], radius: float) -> Unreachable:
    near = piece.buffer(LEFT_STANDING)
    for line in contours:
        sharp = np.flatnonzero(inside_corners(line) > 0.1)
        for point in line.points[sharp]:
            if near.contains(shapely.Point(point)):
                return Unreachable((float(point[0]), float(point[1])), 0.0, piece.area)
        for k in np.flatnonzero((line.turns < 0) & (line.radii < radius)):
            middle = _middle(line, int(k))
            if near.contains(shapely.Point(middle)):
                return Unreachable((float(middle[0]), float(middle[1])), float(line.radii[k]), piece.area)
    place = piece.representative_point()
    return Unreachable((place.x, place.y), None, piece.area)


def _middle(line: ArcLine, k: int) -> Floats:
    """The middle of a run: a bulge is its bow over half its chord."""
    start, end = line.starts[k], line.ends[k]
    chord = end - start
    return np.asarray((start + end) / 2 + line.bulges[k] / 2 * np.array([chord[1], -chord[0]]))
