"""Wood while it is being shaped: the outline of a face, and by name the lines its edges run along."""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from contextlib import contextmanager
from dataclasses import dataclass, replace
from functools import cached_property

import numpy as np
import shapely
from numpy.typing import NDArray
from shapely import GEOSException, LinearRing, LineString, MultiPolygon, Polygon

from patterns.errors import ShapeError
from patterns.geometry.arrays import Floats, dots, lengths, one_back, one_on, unit
from patterns.geometry.outlines import thinned
from patterns.parts.edges import make_edge, square_edge
from patterns.parts.part import Edge, Hand, joined
from patterns.parts.role import EdgeKind

SPECK = 0.05  # mm; an edge shorter than this is rounding's
CRUMB = 0.5  # mm2; a cut leaves pieces smaller than this only by rounding
SHARP = np.cos(np.radians(25.0))  # a line turning more than this in one point has a corner there
SAME = 1e-6  # mm; nearer, two points are one: where a cut begins at a corner, arithmetic leaves as much between them


@dataclass(frozen=True, eq=False)
class Line:
    """A line an outline may run along. One with corners (a notch) gives an edge for each straight of it.

    A square one is cut square to the marked face, so that both faces lie on the same line.
    """

    name: str
    points: Floats  # (n, 2) mm
    cornered: bool = False
    square: bool = False
    kind: EdgeKind = EdgeKind.NET
    hand: Hand = "none"

    @cached_property
    def drawn(self) -> LineString:
        """The line with no more points than its shape needs."""
        return LineString(thinned(self.points))


@contextmanager
def _no_crossing(name: str) -> Iterator[None]:
    """Wood whose outline crosses itself cannot be cut into: the sizes of the boat are at fault."""
    try:
        yield
    except GEOSException as error:
        raise ShapeError(
            f"its outline crosses itself, so {name} cannot be cut; expected more wood there: look at the table's "
            "figures "
            "near it, and at its sizes in boat.toml"
        ) from error


@dataclass(frozen=True, eq=False)
class Shape:
    """One face of a piece of wood."""

    ring: Polygon
    lines: tuple[Line, ...]

    def without(
        self, cut: Floats, name: str, *, square: bool = False, kind: EdgeKind = EdgeKind.NET, hand: Hand = "none"
    ) -> Shape:
        """The wood left when a closed shape (n, 2) has been cut out of it.

        Raises
        ------
        ShapeError
            Where the cut leaves more than one piece, or none.
        """
        lines = (*self.lines, Line(name, closed(cut), cornered=True, square=square, kind=kind, hand=hand))
        with _no_crossing(name):
            left = self.ring.difference(Polygon(cut))
        return replace(self, ring=_one(left, name), lines=lines)

    def squared(self) -> Shape:
        """The same face with every edge cut square."""
        return replace(self, lines=tuple(replace(line, square=True) for line in self.lines))

    def parted(self, region: Floats, name: str) -> tuple[tuple[Shape, ...], tuple[Shape, ...]]:
        """The timbers inside and those outside a closed region (n, 2), from left to right."""
        lines = (*self.lines, Line(name, closed(region), cornered=True, square=True, kind=EdgeKind.TIMBERS))
        over = Polygon(region)
        with _no_crossing(name):
            halves = (self.ring.intersection(over), self.ring.difference(over))
        inside, outside = (tuple(Shape(one, lines) for one in _pieces(half)) for half in halves)
        return inside, outside

    @cached_property
    def runs(self) -> list[tuple[Line, Floats]]:
        """The outline counter-clockwise as runs of points on one line each, from the first line it touches."""
        ring = np.asarray(self.ring.exterior.coords)[:-1]
        if not LinearRing(ring).is_ccw:
            ring = ring[::-1]
        ring = ring[np.abs(ring - one_back(ring)).max(axis=1) > SAME]
        on = self._lines_under(ring)
        starts = np.flatnonzero((on != one_back(on)) | self._corners(ring, on)).tolist()
        if not starts:
            return [(self.lines[on[0]], np.concatenate([ring, ring[:1]]))]
        ends = starts[1:] + starts[:1]
        runs = [(int(on[start]), _between(ring, start, end)) for start, end in zip(starts, ends, strict=True)]
        # Both faces of a piece must begin at the same edge, also where a line has been cut into several, and where
        # arithmetic leaves a speck of an edge on one face only: specks go first.
        runs = _without_crumbs(runs)
        lowest = min(number for number, _ in runs)
        first = min(
            (i for i, (number, _) in enumerate(runs) if number == lowest),
            key=lambda i: self.lines[lowest].drawn.project(shapely.Point(runs[i][1][0])),
        )
        return [(self.lines[number], points) for number, points in runs[first:] + runs[:first]]

    def _lines_under(self, ring: Floats) -> NDArray[np.intp]:
        """For each chord of the ring the number of the line it lies on."""
        middles = shapely.points((ring + one_on(ring)) / 2)
        away: Floats = np.stack([shapely.distance(middles, line.drawn) for line in self.lines])
        numbers: NDArray[np.intp] = np.argmin(away, axis=0)
        return numbers

    def _corners(self, ring: Floats, on: NDArray[np.intp]) -> NDArray[np.bool_]:
        """Where a line with corners turns sharply."""
        ahead = unit(one_on(ring) - ring)
        sharp = dots(one_back(ahead), ahead) < SHARP
        return np.asarray(sharp & np.array([line.cornered for line in self.lines])[on])


def shape_of(lines: Sequence[Line]) -> Shape:
    """A face from its edges, end to end counter-clockwise."""
    clean = tuple(replace(line, points=_once(line.points)) for line in lines)
    return Shape(Polygon(joined([np.asarray(line.drawn.coords) for line in clean])), clean)


def _once(points: Floats) -> Floats:
    """The same line without points that stand where the one before does."""
    return np.asarray(points[np.concatenate([[True], np.abs(np.diff(points, axis=0)).max(axis=1) > SAME])])


def check_alike(near: Shape, far: Shape) -> None:
    """See that both faces of a piece have the same edges in the same order.

    Raises
    ------
    ShapeError
        Where they do not, as when a notch comes out through one face only.
    """
    names, others = ([line.name for line, _ in face.runs] for face in (near, far))
    if names != others:
        odd = sorted(set(names) ^ set(others)) or sorted(set(names))
        raise ShapeError(f"its two faces are not of one shape: look at {', '.join(odd)}")


def edges_of(near: Shape, far: Shape, *, thickness: float) -> tuple[Edge, ...]:
    """Every edge of a piece with both its lines.

    Raises
    ------
    ShapeError
        Where the two faces are not of one shape, as when a notch comes out through one face only.
    """
    check_alike(near, far)
    return tuple(
        _edge(points, far_points, far_line, thickness)
        for (_, points), (far_line, far_points) in zip(near.runs, far.runs, strict=True)
    )


def _edge(points: Floats, far: Floats, far_line: Line, thickness: float) -> Edge:
    name, kind, hand = far_line.name, far_line.kind, far_line.hand
    if far_line.square:
        return replace(square_edge(name, points, far), kind=kind, hand=hand)
    # What is left between two cuts may be shorter on one face: its bevel is that of the whole line.
    whole = None if far_line.cornered else far_line.points
    return replace(make_edge(name, points, far, thickness=thickness, far_line=whole), kind=kind, hand=hand)


def closed(points: Floats) -> Floats:
    """A closed shape with its first point repeated."""
    return np.concatenate([points, points[:1]])


def _between(ring: Floats, start: int, end: int) -> Floats:
    stop = end if end > start else end + len(ring)
    return np.asarray(ring[np.arange(start, stop + 1) % len(ring)])


def _without_crumbs(runs: list[tuple[int, Floats]]) -> list[tuple[int, Floats]]:
    """The same runs round a ring, those too short to be cut given to the one behind them."""

    def crumb(points: Floats) -> bool:
        return len(points) == 2 and bool(lengths(points[-1] - points[0]) < SPECK)

    whole = [i for i, (_, points) in enumerate(runs) if not crumb(points)]
    kept: list[tuple[int, Floats]] = []
    for number, points in runs[whole[0] :] + runs[: whole[0]] if whole else runs:
        if kept and crumb(points):
            before, start = kept[-1]
            kept[-1] = before, np.concatenate([start[:-1], points[-1:]])
        else:
            kept.append((number, points))
    return kept


def _pieces(shape: shapely.Geometry) -> Iterator[Polygon]:
    parts = [shape] if isinstance(shape, Polygon) else list(getattr(shape, "geoms", ()))
    whole = [part for part in parts if isinstance(part, Polygon) and part.area > CRUMB]
    yield from sorted(whole, key=lambda part: part.centroid.x)


def _one(shape: Polygon | MultiPolygon | shapely.Geometry, name: str) -> Polygon:
    pieces = list(_pieces(shape))
    if len(pieces) != 1:
        raise ShapeError(f"{name}: cuts it in {len(pieces)} pieces" if pieces else f"{name}: leaves nothing of it")
    if pieces[0].interiors:
        raise ShapeError(f"{name}: lies within it, where it should open at an edge")
    return pieces[0]
