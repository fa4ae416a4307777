"""Tabs: short bridges of wood left standing so that a part cut free does not move."""

from __future__ import annotations

from collections.abc import Callable, Iterator, Sequence
from itertools import pairwise
from math import fsum

import numpy as np
import shapely
from numpy.typing import NDArray

from patterns.geometry.arc_lines import ArcLine
from patterns.geometry.arrays import Floats, lengths, run_along, unit
from patterns.geometry.outlines import line_strings
from patterns.parts.part import Edge, Part
from patterns.parts.role import EdgeKind
from patterns.shop.router.router_rules import RouterRules

FROM_CORNER = 10.0  # mm kept from a corner to a tab: a chisel must get at it
BESIDE = 1.0  # mm into the wood from the cut to the line that shows a tab
SHARP = 0.1  # rad
GENTLE = 6.0  # lengths of a tab; where the cut's radius is less, its bow would leave the line that shows the tab
BOW = BESIDE / 2  # mm; most that the cut may bow in the length of a tab
# Edges that another part is glued to or seats in: a tab's stump would hold it off.
SEATS = (EdgeKind.NOTCH, EdgeKind.TOOTHED, EdgeKind.SCARF, EdgeKind.BUTT, EdgeKind.TIMBERS)
MATING = (EdgeKind.CHINE, EdgeKind.LAPPING)  # edges of panels that another panel is fitted to


def is_seat(edge: Edge) -> bool:
    """Whether another part is fitted to this edge."""
    return edge.kind in SEATS


def is_mating(edge: Edge) -> bool:
    """Whether this is an edge of a panel that meets another panel: a tab's stump there holds both off."""
    return edge.kind in MATING


def tab_lines(part: Part, outer: ArcLine, rules: RouterRules) -> Iterator[ArcLine]:
    """A line as long as each tab, just inside the cut beside it: spread evenly, moved off corners and seats.

    Off mating edges too, unless the other edges have no room for all.
    """
    if not rules.tabs:
        return
    points = np.concatenate([outer.flat(), outer.points[:1]])
    run = run_along(points)
    wood = shapely.Polygon(points)
    shapely.prepare(wood)
    seats = _along_edges(part, points, is_seat)
    free = _clear_of_corners(points, run, rules.tab_length, seats)
    best = _clear_of_corners(points, run, rules.tab_length, seats | _along_edges(part, points, is_mating))
    for wanted in _wanted(best, free, run[-1], rules):
        # A part too small for so many tabs between its corners gets those it has room for.
        near = [float(np.clip(wanted, low, high)) for low, high in best or free]
        if not near:
            return
        middle = min(near, key=lambda place: abs(place - wanted))
        ends = np.array([middle - rules.tab_length / 2, middle + rules.tab_length / 2])
        line = np.stack([np.interp(ends, run, points[:, axis]) for axis in range(2)], axis=1)
        x, y = unit(line[1] - line[0])
        beside = line + BESIDE * np.array([-y, x])
        # A very long tab may still leave wood that narrows or bows: it has no place there.
        if shapely.contains(wood, shapely.LineString(beside)):
            yield ArcLine(beside, np.zeros(2), closed=False)
        best, free = (
            [room for pair in rooms for room in _without(pair, middle, rules.tab_length + FROM_CORNER)]
            for rooms in (best, free)
        )


def tabs_on_mating(part: Part, tabs: Sequence[ArcLine]) -> int:
    """How many tabs, as they lie on the part, stand on mating edges."""
    edges = [edge for edge in part.edges if is_mating(edge)]
    if not edges or not tabs:
        return 0
    return int(_nearest_to(part, np.array([line.points.mean(axis=0) for line in tabs]), is_mating).sum())


def _wanted(
    best: Sequence[tuple[float, float]], free: Sequence[tuple[float, float]], whole: float, rules: RouterRules
) -> Floats:
    """Where tabs should stand, mm along the cut: evenly along the best stretches if all have room there."""
    shares = (np.arange(rules.tabs) + 0.5) / rules.tabs
    step = rules.tab_length + FROM_CORNER
    room = fsum((high - low) // step + 1 for low, high in best)
    if list(best) == list(free) or room < rules.tabs:
        return shares * whole
    starts = np.array([low for low, _ in best])
    tops = np.concatenate([[0.0], np.cumsum([high - low for low, high in best])])
    which = np.clip(np.searchsorted(tops, shares * tops[-1], side="right") - 1, 0, len(starts) - 1)
    return np.asarray(starts[which] + shares * tops[-1] - tops[which])


def _along_edges(part: Part, points: Floats, which: Callable[[Edge], bool]) -> NDArray[np.bool_]:
    """(n - 1,) whether each chord of the cut lies along an edge of a kind."""
    return _nearest_to(part, (points[1:] + points[:-1]) / 2, which)


def _nearest_to(part: Part, places: Floats, which: Callable[[Edge], bool]) -> NDArray[np.bool_]:
    """(n,) whether an edge of a kind is the nearest to each of (n, 2) places."""
    some, others = (
        shapely.union_all(line_strings([line for edge in part.edges if which(edge) is kind for line in _faces(edge)]))
        for kind in (True, False)
    )
    if some.is_empty or others.is_empty:
        return np.full(len(places), not some.is_empty)
    shapely.prepare((some, others))
    points = shapely.points(places)
    return np.asarray(shapely.distance(points, some) <= shapely.distance(points, others))


def _faces(edge: Edge) -> tuple[Floats, Floats]:
    return edge.points, edge.far


def _clear_of_corners(points: Floats, run: Floats, length: float, seat: NDArray[np.bool_]) -> list[tuple[float, float]]:
    """Stretches along the closed line where the middle of a tab stands off corners, tight curves and seats."""
    steps = np.diff(run)
    way = unit(np.diff(points, axis=0))
    turn = lengths(way - np.roll(way, 1, axis=0))
    tight = turn > (steps + np.roll(steps, 1)) / 2 / _gentle(length)
    # Each chord of a seat is kept off from both its ends.
    kept = (turn > SHARP) | tight | seat | np.roll(seat, 1)
    corners = [0.0, *run[:-1][kept].tolist(), float(run[-1])]
    clear = length / 2 + FROM_CORNER
    middles = (run[1:] + run[:-1]) / 2
    seats = middles[seat]
    return [
        (low + clear, high - clear)
        for low, high in pairwise(corners)
        if high - low > 2 * clear and not ((seats > low) & (seats < high)).any()
    ]


def _gentle(length: float) -> float:
    """Least radius of a cut, mm, beside which a tab's straight line stays in the wood.

    The bow of a chord of length ``L`` on an arc of radius ``R`` is ``L**2 / (8 * R)``: six lengths are enough for a
    short tab, not for one of 3 in.
    """
    return max(GENTLE * length, length**2 / (8 * BOW))


def _without(pair: tuple[float, float], place: float, clear: float) -> list[tuple[float, float]]:
    low, high = pair
    halves = [(low, min(high, place - clear)), (max(low, place + clear), high)]
    return [(start, end) for start, end in halves if end > start]
