"""Prick points: where the awl goes through the paper, close enough that a batten through them makes the line."""

from __future__ import annotations

import math
from collections.abc import Iterable, Iterator, Sequence
from dataclasses import dataclass
from itertools import accumulate, pairwise

import numpy as np
from numpy.typing import NDArray

from patterns.drawing.along_lines import Course, all_beside, line_gap, steps
from patterns.drawing.label_placing import Request
from patterns.drawing.marks import Cross, Ink, Stroke
from patterns.drawing.text import text_width
from patterns.geometry.arrays import Floats, unit
from patterns.parts.part import Part

FARTHEST = 150.0  # mm (6 in) apart at the most; common practice
CHORD = 0.5  # mm; no line leaves the straight from prick to prick by more
SHARP = np.deg2rad(12.0)  # rad; a line that turns more at one place has a corner there
RING = 1.0  # mm, radius of the ring round a prick
SIZE = 2.5  # mm, capitals of its number
NEARER = 0.75  # of its distance from any other ring, that a number stands from its own at the most
SMALL_HOLE = 40.0  # mm across; a smaller one is bored from its centre
CENTRE_ARM = 3.0  # mm
_TURN = np.linspace(0.0, 2 * np.pi, 13)[:-1]
_CIRCLE = RING * np.column_stack([np.cos(_TURN), np.sin(_TURN)])

Cornered = tuple[Course, Sequence[float]]  # a line, and where along it its corners are, as `corner_runs` gives them


@dataclass(frozen=True, slots=True, eq=False)
class Pricked:
    """A line and its numbered pricks, in order along it."""

    line: Course
    along: Floats  # (k,) mm
    at: Floats  # (k, 2) mm
    first: int  # the number of the first


def pricks_of(part: Part, edges: Iterable[Cornered]) -> tuple[Pricked, ...]:
    """The numbered pricks of a pattern, counter-clockwise along its edges, then round its larger holes.

    Corners have crosses and are not numbered.
    """
    places = [
        (course, [along for along in prick_runs(course, corners) if along not in corners]) for course, corners in edges
    ]
    for hole in part.holes:
        if not bored(hole):
            ring = Course.of(np.concatenate([hole, hole[:1]]))
            places.append((ring, prick_runs(ring, corner_runs(ring))[:-1]))
    first = accumulate((len(runs) for _, runs in places), initial=1)
    return tuple(
        Pricked(line, np.array(runs), line.at(np.array(runs)), number)
        for (line, runs), number in zip(places, first, strict=False)
        if runs
    )


def prick_runs(line: Course, corners: Sequence[float]) -> list[float]:
    """Running lengths along a line to prick: its corners, and as few between as will do, mm."""
    stops = [0.0]
    for low, high in pairwise(corners):
        stops += _evenly(low, high, max(1, math.ceil((high - low) / FARTHEST - 1e-9)))
    straight = _near_straight(line, np.array(stops)).tolist()
    if all(straight):
        return stops
    runs = [0.0]
    for (start, end), near in zip(pairwise(stops), straight, strict=True):
        runs += [end] if near else _closer(line, start, end)
    return runs


def _evenly(start: float, end: float, count: int) -> list[float]:
    step = (end - start) / count
    return [*(start + number * step for number in range(1, count)), end]


def _closer(line: Course, start: float, end: float) -> list[float]:
    """Running lengths to prick up to the end of a curved stretch: as many as its own curve needs.

    Evenly, unless it is halved where it turns with fewer: a straight into a rounded corner is pricked closely in the
    corner only.
    """
    halved = _halved(line, start, end)
    for count in range(2, len(halved) + 1):
        evenly = _evenly(start, end, count)
        if _near_straight(line, np.array([start, *evenly])).all():
            return evenly
    return halved


def _halved(line: Course, start: float, end: float) -> list[float]:
    if _near_straight(line, np.array([start, end])).all():
        return [end]
    middle = (start + end) / 2
    return [*_halved(line, start, middle), *_halved(line, middle, end)]


def corner_runs(line: Course) -> list[float]:
    """Running lengths along a line of its ends and of every place it turns sharply, mm."""
    ahead = unit(line.points[1:] - line.points[:-1])
    sharp = np.flatnonzero((ahead[1:] * ahead[:-1]).sum(axis=1) < np.cos(SHARP)) + 1
    return [0.0, *line.run[sharp].tolist(), line.length]


def corners_of(edges: Iterable[Cornered]) -> list[tuple[float, float]]:
    """Where a pattern's outline turns sharply, and where its edges meet, mm."""
    return [(x, y) for line, corners in edges for x, y in line.at(np.array(corners[:-1])).tolist()]


def _near_straight(line: Course, stops: Floats) -> NDArray[np.bool_]:
    """Whether a line stays within `CHORD` of the straight from each stop to the next, (k - 1,) for k stops."""
    near = np.ones(len(stops) - 1, dtype=np.bool_)
    inside = (line.run > stops[0]) & (line.run < stops[-1])
    if not inside.any():
        return near
    between = np.clip(np.searchsorted(stops, line.run[inside], side="right") - 1, 0, len(stops) - 2)
    ends = line.at(stops)
    chord = ends[between + 1] - ends[between]
    away = line.points[inside] - ends[between]
    apart = np.abs(chord[:, 0] * away[:, 1] - chord[:, 1] * away[:, 0])
    near[between[apart > CHORD * np.maximum(np.hypot(*chord.T), 1e-9)]] = False
    return near


def bored(hole: Floats) -> bool:
    return bool(np.ptp(hole, axis=0).max() < SMALL_HOLE)


def prick_ink(part: Part, pricked: Sequence[Pricked]) -> Iterator[Ink]:
    """A ring round every prick and round the places that fix each mark, and a cross to bore each small hole from."""
    places = [one.at for one in pricked]
    for mark in part.marks:
        line = Course.of(mark.points)
        corners = corner_runs(line)
        # A straight mark is struck with a straightedge from end to end.
        straight = len(corners) == 2 and _near_straight(line, np.array(corners)).all()
        places.append(line.at(np.array(corners if straight else prick_runs(line, corners))))
    if places:
        yield from (Stroke(ring, "mark", closed=True) for ring in _CIRCLE + np.concatenate(places)[:, None])
    for hole in part.holes:
        if bored(hole):
            x, y = ((hole.min(axis=0) + hole.max(axis=0)) / 2).tolist()
            yield Cross((x, y), CENTRE_ARM, "drill")


def prick_requests(pricked: Pricked) -> Iterator[Request]:
    """The numbers of the pricks on a line, each nearest to its own ring, inside the line if there is room."""
    texts = [str(number) for number in range(pricked.first, pricked.first + len(pricked.along))]
    close = line_gap(texts[0], SIZE)  # digits reach alike high and low
    gaps = [side * (close + step) for step in (0.0, 1.5, 3.5, 5.0, 7.0) for side in (1.0, -1.0)]
    widths = np.array([text_width(text, SIZE) for text in texts])
    offsets = steps(gaps, (0.0, 3.5, -3.5, 7.0, -7.0))
    places = all_beside(pricked.line, widths, along=pricked.along, offsets=offsets)
    away = np.hypot(*(places[:, :, None, :2] - pricked.at).transpose(3, 0, 1, 2))  # of every place from every ring
    for number, (text, spots, (x, y)) in enumerate(zip(texts, places, pricked.at.tolist(), strict=True)):
        own = away[number, :, number]
        others = np.delete(away[number], number, axis=1).min(axis=1, initial=np.inf)
        yield Request(text, SIZE, spots[own < NEARER * others], (x, y), rank=2, of_line=False)


def prick_words(part: Part, pricked: Sequence[Pricked], *, corners: int) -> str:
    """The count, to be counted again on the wood, and that of the corners."""
    count = sum(len(one.along) for one in pricked)
    rings = f"{count} numbered pricks, " if count else ""
    return f"check: {rings}{corners} corner crosses"
