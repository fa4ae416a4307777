"""Parts whose shape is no longer the planned one: the planned outline laid on the one that the boat now has."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass, replace

import numpy as np
import shapely

from patterns.geometry.arrays import Floats
from patterns.geometry.short_repr import brief
from patterns.parts.edges import as_laid
from patterns.parts.part import QUARTER_TURN, Edge, Part

SEEN = 0.5  # mm, the width of a pencil line; outlines that are nearer than that are one to the builder
ROUND = 720  # points round an outline by which it is laid on another
ROUNDS = 30  # of laying; a dozen bring most outlines to rest
STEP = 0.5  # mm to either side of a place, by which the way of the line there is known
STILL = 1e-4  # mm
CLOSE = 10.0  # mm, at most, between the points at which two outlines are held together
ALIKE = 0.05  # mm; both hands that differ from the plan by so nearly the same are drawn once

_Place = tuple[float, float]  # mm


@dataclass(frozen=True, slots=True, eq=False)
class Changed:
    """One part, or both hands of it, whose shape is not as planned."""

    part: Part  # as the boat now has it
    titles: tuple[str, ...]
    face: str  # the face on which it differs most
    edge: str  # the edge that differs most
    planned: Floats  # (n, 2) mm, the planned outline of that face, laid on the new one as well as it goes
    now: Floats  # (m, 2) mm
    by: float  # mm, the farthest that they come apart
    here: _Place  # mm, where that is on the planned outline
    there: _Place  # mm, the place on the new outline nearest to it
    full: bool  # whether the planned outline lies outside the new one there

    __repr__ = brief


def changed(planned: Sequence[Part], parts: Sequence[Part]) -> tuple[Changed, ...]:
    """Every part that differs from the planned one by more than a pencil line, both hands of it once.

    Parameters
    ----------
    planned, parts : sequence of Part
        All parts as planned, and as the boat now has them. They are told by their titles.
    """
    was = {part.title: part for part in planned}
    found: dict[str, Changed] = {}
    for part in parts:
        one = held_together(was[part.title], part) if part.title in was else None
        if one is None or one.by <= SEEN:
            continue
        twin = found.get(part.name)
        if twin and abs(twin.by - one.by) < ALIKE and twin.part.as_cut is part.as_cut:
            found[part.name] = replace(twin, titles=(*twin.titles, part.title))
        else:
            found[part.name if twin is None else part.title] = one
    return tuple(found.values())


def held_together(planned: Part, now: Part) -> Changed:
    """The planned part laid on the new one by its marked face, and where either face is farthest off."""
    title = now.title
    planned, now = as_laid(planned), as_laid(now)
    lay = _laying(planned.outline, now.outline)
    faces = (
        (now.marked_face, lay(planned.outline), now.outline, [edge.points for edge in now.edges]),
        ("far face", lay(planned.far_outline), now.far_outline, [edge.far for edge in now.edges]),
    )
    apart = [_farthest(old, new) for _, old, new, _ in faces]
    worst = 0 if apart[0][0] >= apart[1][0] - SEEN else 1  # the marked face is the one that patterns show
    (face, old, new, edges), (by, here, there) = faces[worst], apart[worst]
    full = not shapely.Polygon(new).buffer(0).contains(shapely.Point(here))
    return Changed(now, (title,), face, _edge_at(now.edges, edges, there), old, new, by, here, there, full)


def _edge_at(edges: Sequence[Edge], lines: Sequence[Floats], there: _Place) -> str:
    off = [shapely.LineString(line).distance(shapely.Point(there)) for line in lines]
    return edges[int(np.argmin(off))].name


def apart(one: Floats, other: Floats) -> float:
    """mm, the farthest that two outlines (n, 2) come apart once one is laid on the other as well as it goes."""
    return _farthest(_laying(one, other)(one), other)[0]


def _laying(one: Floats, other: Floats) -> _Laying:
    """What turns and moves an outline (n, 2) on to another, so that the squares of what lies between them are least.

    Each point is held to the line of the other outline nearest to it, and may slide along that line: where along the
    outlines their first points lie does not count.

    Source: Y. Chen and G. Medioni, Object modelling by registration of multiple range images, Image and Vision
    Computing 10 (1992), in two dimensions.
    """
    ring = shapely.LinearRing(other)
    points = _evenly_round(one)
    middle = points.mean(axis=0)
    to = _evenly_round(other)
    shift = to.mean(axis=0) - middle
    angle = _roughly_turned(points - middle, to - to.mean(axis=0))
    for _ in range(ROUNDS):
        arms = (points - middle) @ _turn(angle)
        laid = arms + middle + shift
        along = shapely.line_locate_point(ring, shapely.points(laid))
        behind, foot, ahead = (_at(ring, along + step) for step in (-STEP, 0.0, STEP))
        ways = ahead - behind
        normal = np.column_stack([ways[:, 1], -ways[:, 0]]) / np.maximum(np.hypot(*ways.T), 1e-9)[:, None]
        lever = (arms @ QUARTER_TURN * normal).sum(axis=1)  # what a turn does square to the line
        off = ((foot - laid) * normal).sum(axis=1)
        moved = np.linalg.lstsq(np.column_stack([lever, normal]), off, rcond=None)[0]
        angle, shift = angle + float(moved[0]), shift + moved[1:]
        if np.abs(moved * (np.ptp(points), 1.0, 1.0)).max() < STILL:
            break
    return _Laying(_turn(angle), middle, shift)


def _roughly_turned(a: Floats, b: Floats) -> float:
    """rad, the turn that lays points (n, 2) round an outline on those round another, wherever the two begin.

    Of all n places where the other may begin, the one at which the points come nearest to each other counts. What all n
    leave is one circular correlation, the points taken as complex numbers.
    """
    one, other = a @ (1, 1j), b @ (1, 1j)
    laid = np.fft.ifft(np.conj(np.fft.fft(one)) * np.fft.fft(other))
    return float(np.angle(laid[np.abs(laid).argmax()]))


def _turn(angle: float) -> Floats:
    """(2, 2), what turns rows counter-clockwise."""
    cos, sin = np.cos(angle), np.sin(angle)
    return np.array([[cos, sin], [-sin, cos]])


def _at(ring: shapely.LinearRing, along: Floats) -> Floats:
    """(n, 2) mm, places so far round a ring."""
    return shapely.get_coordinates(shapely.line_interpolate_point(ring, along % ring.length))


@dataclass(frozen=True, slots=True, eq=False)
class _Laying:
    turn: Floats  # (2, 2)
    about: Floats  # (2,) mm
    shift: Floats  # (2,) mm

    def __call__(self, points: Floats) -> Floats:
        return np.asarray((points - self.about) @ self.turn + self.about + self.shift)


def _farthest(old: Floats, new: Floats) -> tuple[float, _Place, _Place]:
    """mm, the farthest that two outlines come apart; where on the old one, and where on the new one."""
    rings = shapely.LinearRing(old), shapely.LinearRing(new)
    by, here, there = _off(*rings)
    also, other_there, other_here = _off(*reversed(rings))
    return (by, here, there) if by >= also else (also, other_here, other_there)


def _off(one: shapely.LinearRing, other: shapely.LinearRing) -> tuple[float, _Place, _Place]:
    """The place on one outline that is farthest from another, and the place on that one nearest to it."""
    points = shapely.get_coordinates(shapely.segmentize(one, CLOSE))
    off = np.asarray(shapely.distance(shapely.points(points), other))
    worst = shapely.Point(points[off.argmax()])
    (a, b), (c, d) = shapely.get_coordinates(shapely.shortest_line(worst, other)).tolist()
    return float(off.max()), (a, b), (c, d)


def _evenly_round(ring: Floats) -> Floats:
    """(ROUND, 2) points evenly along an outline."""
    line = shapely.LinearRing(ring)
    return shapely.get_coordinates(shapely.line_interpolate_point(line, np.arange(ROUND) / ROUND, normalized=True))
