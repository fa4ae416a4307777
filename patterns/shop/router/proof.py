"""Whether contours are fit to cut: asked of everything before it is written. What fails here is this program's bug."""

from __future__ import annotations

from collections.abc import Iterator, Sequence

import numpy as np
import shapely

from patterns.geometry.arc_lines import ArcLine
from patterns.geometry.arrays import Floats, lengths
from patterns.geometry.biarcs import FIT_WITHIN, LEAST_RUN, smooth_runs
from patterns.geometry.outlines import line_strings
from patterns.shop.router.contours import Contours
from patterns.shop.router.index_holes import IndexHoles, Pinned

KINK = 5e-4  # rad between arcs of a smooth curve; rounding to 0.0001 mm makes so much on a run of LEAST_RUN's tenfold
NEAR = 1e-3  # mm, beyond the fit's own limit, for chords that stand for arcs while measuring


RIM = 2.0  # mm of wood at least between an index hole and whatever is cut beside it
PINNED_WITHIN = 0.01  # mm that the two holes of one part may be nearer or farther apart than their mates


class NotFitToCutError(Exception):
    """Contours this program made and must not write."""


def prove(part: Contours) -> Contours:
    """The part itself, if nothing is wrong with it.

    Raises
    ------
    NotFitToCutError
        Naming every fault.
    """
    faults = list(faults_of(part))
    if faults:
        raise NotFitToCutError(f"{part.title}: {'; '.join(faults)}")
    return part


def faults_of(part: Contours) -> Iterator[str]:
    """What a router or its programmer would stumble over."""
    rings = (part.wood.exterior, *part.wood.interiors)
    contours = (("outline", part.outer, 1.0), *(("hole", hole, -1.0) for hole in part.inner))
    for (what, line, sign), flat in zip(contours, rings, strict=True):
        yield from (f"{what}: {fault}" for fault in _contour_faults(line, flat, sign))
    if not part.wood.is_valid:
        yield f"holes cross the outline or each other ({shapely.is_valid_reason(part.wood)})"
    lines = [part.outer, *part.inner, *(score.line for score in part.scored)]
    if len({line.points.round(3).tobytes() for line in lines}) < len(lines):
        yield "a line is drawn twice"
    for score in part.scored:
        if score.line.closed or len(score.line.points) < 2 or score.line.chords.min() < LEAST_RUN:
            yield f"a line on layer {score.layer} has a run of no length"
    yield from _index_faults(part)
    if part.lettering.counts and min(part.lettering.counts) < 2:
        yield "a letter has a stroke of no length"
    # Along its arcs: chords through the vertices of a line that bends in hollow wood leave the wood.
    scored = line_strings([score.line.flat() for score in part.scored])
    places = np.concatenate([part.lettering.points, np.array([hole.at for hole in part.drilled]).reshape(-1, 2)])
    shapely.prepare(part.wood)
    if shapely.contains(part.wood, scored).all() and shapely.contains_xy(part.wood, *places.T).all():
        return
    edge = part.wood.buffer(LEAST_RUN)
    shapely.prepare(edge)
    if not shapely.contains(edge, scored).all():
        yield "something is scored beside the wood"
    if not shapely.contains_xy(edge, *places.T).all():
        yield "something is engraved or bored beside the wood"


def prove_pinned(made: Sequence[Contours], index: IndexHoles) -> None:
    """Index holes as they were made: two parts that are pinned together must have theirs equally far apart.

    Raises
    ------
    NotFitToCutError
        Naming the parts.
    """
    known = {part.title: part for part in made}
    faults = [fault for pin in index.pinned for fault in _pinned_faults(pin, known[pin.one], known[pin.other], index)]
    if faults:
        raise NotFitToCutError("; ".join(faults))


def _pinned_faults(pin: Pinned, one: Contours, other: Contours, index: IndexHoles) -> Iterator[str]:
    apart = []
    for part, places in ((one, pin.in_one), (other, pin.in_other)):
        bored = np.array([hole.at for hole in part.drilled if hole.index]).reshape(-1, 2)
        asked = index.places[part.title]
        if len(bored) != len(asked):
            yield f"{part.title}: {len(bored)} index holes, expected {len(asked)}"
            return
        mine = bored[[int(lengths(asked - place).argmin()) for place in places]]
        apart.append(float(lengths(mine[1:] - mine[0])[0]))
    if abs(apart[0] - apart[1]) > PINNED_WITHIN:
        yield f"{one.title} and {other.title}: index holes {apart[0]:.3f} and {apart[1]:.3f} mm apart"


def _index_faults(part: Contours) -> Iterator[str]:
    """Index holes too near an edge as it is cut, relief of its corners included, or too near another hole."""
    holes = [hole for hole in part.drilled if hole.index]
    centers = np.array([hole.at for hole in part.drilled]).reshape(-1, 2)
    for hole in holes:
        rim = part.wood.boundary.distance(shapely.Point(hole.at)) - hole.diameter / 2
        others = np.sort(lengths(centers - hole.at))[1:]
        if rim < RIM or (len(others) and others[0] < hole.diameter + RIM):
            yield f"an index hole at {hole.at[0]:.1f}, {hole.at[1]:.1f} mm is too near an edge or another hole"


def _contour_faults(line: ArcLine, flat: shapely.LinearRing, sign: float) -> Iterator[str]:
    if not line.closed:
        yield "not closed"
        return
    if line.chords.min() < LEAST_RUN:
        yield f"a run of {line.chords.min():.4f} mm"
    if not flat.is_simple:
        yield "crosses itself"
    if sign * line.area <= 0:
        yield "runs the wrong way round"


def proved_fit(line: ArcLine, points: Floats, what: str) -> ArcLine:
    """An open line laid along dense points, if it is true to them.

    Raises
    ------
    NotFitToCutError
        Where it is not.
    """
    faults = list(fit_faults(line, points)) if len(points) > 2 else []
    if faults:
        raise NotFitToCutError(f"{what}: an edge {'; '.join(faults)}")
    return line


def fit_faults(line: ArcLine, points: Floats) -> Iterator[str]:
    """Of an open line laid along dense points: how it leaves them, and where it is not smooth and they are."""
    if not _lies_along(line, points):
        yield f"leaves the true curve by {deviation(line, points):.4f} mm"
    corners = np.array([run[0] for run in smooth_runs(points)[1:]]).reshape(-1, 2)
    begin, end = line.tangents
    kinks = np.abs(begin[1:, 0] * end[:-1, 1] - begin[1:, 1] * end[:-1, 0])
    for place in line.points[1:-1][kinks > KINK]:
        if not len(corners) or np.abs(corners - place).max(axis=1).min() > NEAR:
            yield f"has a corner at {place[0]:.1f}, {place[1]:.1f} mm where the curve has none"


def _lies_along(line: ArcLine, points: Floats) -> bool:
    """Whether `deviation` is within the fit's limit: asked of every edge, and much sooner told than how far it is."""
    both = line.flat(NEAR), points
    flat, true = map(shapely.LineString, both)
    shapely.prepare((flat, true))
    return all(
        bool(shapely.dwithin(other, shapely.points(places), FIT_WITHIN).all())
        for other, places in zip((true, flat), both, strict=True)
    )


def deviation(line: ArcLine, points: Floats) -> float:
    """The farthest that an open line and the dense points it was laid along part, mm, measured both ways."""
    flat, true = shapely.LineString(line.flat(NEAR)), shapely.LineString(points)
    shapely.prepare((flat, true))
    there, back = shapely.distance(shapely.points(points), flat), shapely.distance(shapely.points(flat.coords), true)
    return float(max(there.max(), back.max()))
