"""Prick points: where the awl goes through the paper, close enough that a batten through them makes the line."""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass
from itertools import pairwise

import numpy as np

from patterns.drawing.beside import beside, line_gap, point_at, steps
from patterns.drawing.marks import Cross, Ink, Stroke
from patterns.drawing.placing import Request
from patterns.geometry.arrays import Floats, run_along, unit
from patterns.parts.part import Part

FARTHEST = 150.0  # mm (6 in) apart at the most; common practice
CHORD = 0.5  # mm; no line leaves the straight from prick to prick by more
SHARP = np.deg2rad(12.0)  # rad; a line that turns more at one place has a corner there
RING = 1.0  # mm, radius of the ring round a prick
SIZE = 2.5  # mm, capitals of its number
SMALL_HOLE = 40.0  # mm across; a smaller one is bored from its centre
CENTRE_ARM = 3.0  # mm
_TURN = np.linspace(0.0, 2 * np.pi, 13)[:-1]
_CIRCLE = RING * np.column_stack([np.cos(_TURN), np.sin(_TURN)])


@dataclass(frozen=True, slots=True)
class Prick:
    """One numbered prick on a line."""

    number: int
    line: Floats  # (n, 2) mm
    along: float  # mm

    @property
    def at(self) -> tuple[float, float]:
        x, y = point_at(self.line, np.array([self.along]))[0].tolist()
        return x, y


def pricks_of(part: Part) -> tuple[Prick, ...]:
    """The numbered pricks of a pattern, counter-clockwise along its edges, then round its larger holes.

    Corners have crosses and are not numbered.
    """
    places = []
    for edge in part.edges:
        corners = corner_runs(edge.points)
        places += [(edge.points, along) for along in prick_runs(edge.points) if along not in corners]
    for hole in part.holes:
        if not bored(hole):
            ring = np.concatenate([hole, hole[:1]])
            places += [(ring, along) for along in prick_runs(ring)[:-1]]
    return tuple(Prick(number, line, along) for number, (line, along) in enumerate(places, 1))


def prick_runs(line: Floats, *, farthest: float = FARTHEST) -> list[float]:
    """Running lengths along (n, 2) ``line`` to prick: its corners, and as few between as will do, mm."""
    run = run_along(line)
    runs = [0.0]
    for low, high in pairwise(corner_runs(line)):
        count = max(1, int(np.ceil((high - low) / farthest - 1e-9)))
        for start, end in pairwise(np.linspace(low, high, count + 1).tolist()):
            runs += _closer_where_curved(line, run, start, end)
    return runs


def _closer_where_curved(line: Floats, run: Floats, start: float, end: float) -> list[float]:
    """Running lengths to prick up to the end of a stretch, evenly as many as its own curve needs.

    A long edge with one rounded corner has them close together in that corner only.
    """
    count = 1
    while not _near_straight(line, run, np.linspace(start, end, count + 1)):
        count += 1
    return [float(along) for along in np.linspace(start, end, count + 1)[1:]]


def corner_runs(line: Floats) -> list[float]:
    """Running lengths along (n, 2) ``line`` of its ends and of every place it turns sharply, mm."""
    run, ahead = run_along(line), unit(np.diff(line, axis=0))
    sharp = np.flatnonzero((ahead[1:] * ahead[:-1]).sum(axis=1) < np.cos(SHARP)) + 1
    return [0.0, *run[sharp].tolist(), float(run[-1])]


def corners_of(part: Part) -> list[tuple[float, float]]:
    """Where a pattern's outline turns sharply, and where its edges meet, mm."""
    return [
        (x, y)
        for edge in part.edges
        for x, y in point_at(edge.points, np.array(corner_runs(edge.points)[:-1])).tolist()
    ]


def _near_straight(line: Floats, run: Floats, stops: Floats) -> bool:
    """Whether a line stays within `CHORD` of the straight from each stop to the next."""
    ends = np.column_stack([np.interp(stops, run, line[:, axis]) for axis in (0, 1)])
    inside = (run > stops[0]) & (run < stops[-1])
    between = np.clip(np.searchsorted(stops, run[inside], side="right") - 1, 0, len(stops) - 2)
    chord = ends[between + 1] - ends[between]
    away = line[inside] - ends[between]
    apart = np.abs(chord[:, 0] * away[:, 1] - chord[:, 1] * away[:, 0])
    return bool(np.all(apart <= CHORD * np.maximum(np.hypot(*chord.T), 1e-9)))


def bored(hole: Floats) -> bool:
    return bool(np.ptp(hole, axis=0).max() < SMALL_HOLE)


def prick_ink(part: Part, pricks: tuple[Prick, ...]) -> Iterator[Ink]:
    """A ring round every prick and round the places that fix each mark, and a cross to bore each small hole from."""
    places = [prick.at for prick in pricks]
    for mark in part.marks:
        ends = prick_runs(mark.points, farthest=np.inf)
        # A straight mark is struck with a straightedge from end to end.
        along = np.array(ends if len(ends) == 2 else prick_runs(mark.points))
        places += [(x, y) for x, y in point_at(mark.points, along).tolist()]
    for place in places:
        yield Stroke(_CIRCLE + place, "mark", closed=True)
    for hole in part.holes:
        if bored(hole):
            x, y = ((hole.min(axis=0) + hole.max(axis=0)) / 2).tolist()
            yield Cross((x, y), CENTRE_ARM, "drill")


def prick_request(prick: Prick) -> Request:
    """The number of a prick, close beside it, inside the line if there is room."""
    text = str(prick.number)
    close = line_gap(text, SIZE)
    gaps = [side * (close + step) for step in (0.0, 1.5, 3.5) for side in (1.0, -1.0)]
    places = beside(prick.line, text, size=SIZE, along=prick.along, offsets=steps(gaps, (0.0, 3.5, -3.5, 7.0, -7.0)))
    return Request(text, SIZE, places, prick.at, rank=2)


def prick_words(part: Part, pricks: tuple[Prick, ...]) -> str:
    """The count, to be counted again on the wood."""
    corners = f"crosses at {len(corners_of(part))} corners"
    marks = "; rings without a number fix the marks" if part.marks else ""
    return f"pricks: {len(pricks)} numbered rings, {corners}{marks}" if pricks else f"pricks: {corners}{marks}"
