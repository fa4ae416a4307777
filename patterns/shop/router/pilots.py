"""Pilot holes in planking, where its fastenings go: along chines, ends and frames."""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from dataclasses import dataclass

import numpy as np
import shapely

from patterns.geometry.arrays import Floats, lengths, run_along
from patterns.geometry.outlines import parallel
from patterns.geometry.short_repr import brief
from patterns.parts.part import Edge, Mark, Part
from patterns.parts.role import EdgeKind, MarkKind, Role
from patterns.shop.router.contours import Drilled
from patterns.shop.router.router_rules import RouterRules

PLANKING = (Role.PANEL, Role.PANEL_PIECE)
WOOD = "X"  # the note on the side of a frame's line its wood lies
GLUED = (EdgeKind.SCARF, EdgeKind.TOOTHED)  # ends joined without fastenings
CLEAR = 0.99  # of the distance from an edge that is asked: a fastening on its own line is clear of the edge
HAIR = 0.1  # mm, about an edge: a face's outline runs within it
APART = 12.0  # mm; two holes nearer each other split the wood between them, common practice


def pilot_holes(
    part: Part, rules: RouterRules, wood: shapely.Polygon, places: Floats | None = None
) -> Iterator[Drilled]:
    """Holes bored through a panel into what it is fastened to; none in parts that are not planking.

    A butt block is bored through the panel once it lies there.

    Parameters
    ----------
    places : (n, 2) mm, optional
        Where the boat's seams have their fastenings on it, or on the panel it is a piece of; else a part is bored by
        itself, evenly along all its lines.
    """
    if rules.pilot is None or part.role not in PLANKING:
        return
    if places is None:
        found = [one.places for one in fastened(part, rules, wood, rows(part, rules))]
        places = np.concatenate([np.zeros((0, 2)), *found])
    safe = held_in(part, rules, wood)
    yield from (Drilled((x, y), rules.pilot) for x, y in places.tolist() if shapely.contains_xy(safe, x, y))


@dataclass(frozen=True, slots=True, eq=False)
class Row:
    """One line of a panel along which it may be fastened, and where fastenings are meant to stand on it."""

    of: Edge | Mark  # the edge or the mark it runs along
    line: Floats  # (n, 2) mm
    spacing: float  # mm, no further apart than this
    meant: Floats  # (k, 2) mm

    __repr__ = brief


@dataclass(frozen=True, slots=True, eq=False)
class Fastened:
    """A row as it can be: its fastenings where wood is left to hold them."""

    row: Row
    places: Floats  # (k, 2) mm: clear of notches, of what is planed away and of each other
    clear: shapely.Geometry  # the runs of the line where a fastening may stand

    __repr__ = brief


def rows(part: Part, rules: RouterRules) -> list[Row]:
    """Every line along which a panel may be fastened, each divided evenly."""
    return [Row(of, line, spacing, spaced(line, spacing)) for of, line, spacing in _lines(part, rules)]


def fastened(part: Part, rules: RouterRules, wood: shapely.Geometry, meant: Sequence[Row]) -> Iterator[Fastened]:
    """Rows with the places that can be fastened; of `wood` nothing is outside."""
    safe = held_in(part, rules, wood)
    apart = max(APART, 2 * (rules.pilot or 0.0))
    bored = np.zeros((0, 2))
    for row in meant:
        first = len(bored)
        for place in row.meant:
            # A hole beside another, or out where the wood ends, belongs to a neighbouring line.
            if (len(bored) and lengths(bored - place).min() < apart) or not shapely.contains_xy(safe, *place):
                continue
            bored = np.concatenate([bored, place[None]])
        yield Fastened(row, bored[first:], shapely.LineString(row.line).intersection(safe))


def held_in(part: Part, rules: RouterRules, wood: shapely.Geometry) -> shapely.Geometry:
    """Where a fastening has wood all round it: pilot_edge, or less along an end that has a thin transom behind it."""
    finished = _finished(part, wood)
    safe: shapely.Geometry = shapely.buffer(finished, -rules.pilot_edge * CLEAR)
    for edge in part.edges:
        near = rules.from_edge(edge.either_hand)
        if near < rules.pilot_edge:
            own = shapely.union_all([shapely.LineString(line).buffer(HAIR) for line in (edge.points, edge.far)])
            others = shapely.buffer(shapely.boundary(finished).difference(own), rules.pilot_edge * CLEAR)
            nearer = shapely.difference(shapely.buffer(finished, -near * CLEAR), others)
            safe = shapely.union(safe, nearer)
    return shapely.difference(safe, _scarfs(part))


def _finished(part: Part, wood: shapely.Geometry) -> shapely.Geometry:
    """What both faces have when the edges are planed: a hole beyond it would run out through an edge."""
    faces = (shapely.Polygon(face).buffer(0) for face in (part.outline, part.far_outline))
    return shapely.intersection_all([wood, *faces])


def _lines(part: Part, rules: RouterRules) -> Iterator[tuple[Edge | Mark, Floats, float]]:
    """Where fastenings stand, and how far apart along it: 2-3 in at chines, 4-6 in at frames, common practice."""
    middle = part.outline.mean(axis=0)
    for mark in part.marks:
        if mark.kind is MarkKind.LAPPED:
            yield mark, _toward(mark.points, middle, rules.pilot_edge + _lost(part, mark)), rules.pilot_spacing
    # By name, so that in a corner the same line has the place on port and on starboard.
    for edge in sorted(part.edges, key=lambda edge: edge.either_hand):
        # Where a panel laps over another, its fastenings stay inboard of that one's inside.
        if edge.kind not in (EdgeKind.LAPPING, *GLUED):
            yield edge, _inside(edge, rules.from_edge(edge.either_hand)), rules.pilot_spacing
    woods = np.array([note.at for note in part.notes if note.text == WOOD]).reshape(-1, 2)
    for mark in part.marks:
        if mark.kind is MarkKind.FRAME and len(woods):
            yield mark, _in_frame(mark, woods, rules.frame_sided / 2), rules.frame_spacing


def _lost(part: Part, lap: Mark) -> float:
    """mm inboard of a lap's mark that one face does not have: a bottom between the sides is planed in from there."""
    line = shapely.LineString(lap.points)
    edges = [edge for edge in part.edges if edge.kind is EdgeKind.LAPPING]
    if not edges:
        return 0.0
    edge = min(edges, key=lambda edge: line.distance(shapely.LineString(edge.points)))
    planed = max((-bevel.run for bevel in edge.bevels), default=0.0)
    return float(max(0.0, planed - line.distance(shapely.LineString(edge.points))))


def _scarfs(part: Part) -> shapely.Geometry:
    """Where a piece is tapered for a scarf: the panel is bored there when both pieces are one."""
    ends = [edge.points for edge in part.edges if edge.kind is EdgeKind.SCARF]
    begun = [mark.points for mark in part.marks if mark.kind is MarkKind.SCARF]
    tapers = [
        shapely.MultiPoint(np.concatenate([end, min(begun, key=lambda line: np.abs(line[:, 0].mean() - end[0, 0]))]))
        for end in ends
        if begun
    ]
    return shapely.union_all([taper.convex_hull.buffer(APART) for taper in tapers])


def _inside(edge: Edge, distance: float) -> Floats:
    """A line along an edge, so far inside whichever face is the smaller: what is planed away holds no fastening."""
    planed = max(0.0, *(-bevel.run for bevel in edge.bevels), 0.0)
    return parallel(edge.points, distance + planed)


def _in_frame(mark: Mark, woods: Floats, distance: float) -> Floats:
    nearest = lengths(woods[:, None] - mark.points[None]).min(axis=1).argmin()
    return _toward(mark.points, woods[nearest], distance)


def _toward(line: Floats, place: Floats, distance: float) -> Floats:
    """A line moved square to itself to the side a place lies on."""
    at = int(lengths(line - place).argmin())
    way = line[min(at + 1, len(line) - 1)] - line[max(at - 1, 0)]
    gap = place - line[at]
    return parallel(line, distance if way[0] * gap[1] - way[1] * gap[0] > 0 else -distance)


def spaced(line: Floats, spacing: float, *, begun: float = 0.5) -> Floats:
    """(k, 2) mm, evenly along a line; the first ``begun`` of a space from its first end."""
    run = run_along(line)
    count = max(1, int(np.ceil(run[-1] / spacing)))
    at = (np.arange(count) + begun) * run[-1] / count
    return np.stack([np.interp(at, run, line[:, axis]) for axis in range(2)], axis=1)
