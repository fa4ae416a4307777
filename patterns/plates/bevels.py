"""Bevels printed along the edges of a pattern: how far off square, which way, and the run."""

from __future__ import annotations

from collections.abc import Iterator
from itertools import groupby

import numpy as np

from patterns.drawing.beside import beside, left_of, line_gap, point_at
from patterns.drawing.marks import Stroke
from patterns.drawing.placing import Request
from patterns.drawing.text import text_width
from patterns.geometry.arrays import Floats
from patterns.parts.part import Bevel, Edge
from patterns.units.lengths import write_length

SIZE = 3.0  # mm, capitals read at arm's length in a cold shop
TICK = 3.0  # mm, from the net line into the wood
FARTHEST_APART = 300.0  # mm (12 in): the trade marks a bevel at least so often, common practice
SQUARE_WITHIN = 0.05  # degrees; nearer, the tenths read 0.0
_STEPS = (0.0, 1.6, 3.2, 5.0, 8.0, 12.0)  # mm, growing distances from the edge


def bevel_text(bevel: Bevel, show: str) -> str:
    """A bevel as the trade says it: degrees off square, which way, and the run over the stock's thickness."""
    degrees = np.rad2deg(abs(bevel.angle))
    if degrees < SQUARE_WITHIN:
        return "square"
    word = "standing" if bevel.angle > 0 else "under"
    return f"{degrees:.1f}° {word}, {write_length(abs(bevel.run), show)}"


def bevels_to_print(edge: Edge, show: str) -> tuple[Bevel, ...]:
    """An edge's bevels without those that repeat the one before and the one after within reach of the eye.

    The first and last of a run of equal bevels stay, so that the builder sees where the bevel starts to change.
    """
    kept: list[Bevel] = []
    for _, run in groupby(edge.bevels, key=lambda bevel: bevel_text(bevel, show)):
        equal = list(run)
        if len(equal) == len(edge.bevels) and equal[-1].along - equal[0].along <= FARTHEST_APART:
            return (equal[len(equal) // 2],) if len(equal) != 2 else (equal[0],)
        kept.extend(_ends_and_between(equal))
    return tuple(kept)


def _ends_and_between(equal: list[Bevel]) -> Iterator[Bevel]:
    last = -np.inf
    for number, bevel in enumerate(equal):
        end = number == len(equal) - 1
        if end or equal[number + 1].along - last > FARTHEST_APART:
            yield bevel
            last = bevel.along


def tick(edge: Edge, bevel: Bevel) -> Stroke:
    """A short stroke into the wood at the exact place a bevel belongs to."""
    at = np.array([bevel.along])
    return Stroke(np.concatenate([_on(edge, at), _on(edge, at) + TICK * left_of(edge.points, at)]), "mark")


def bevel_request(edge: Edge, bevel: Bevel, show: str) -> Request:
    """A bevel's lettering beside its tick: in the wood if there is room, else outside the net line."""
    text = bevel_text(bevel, show)
    close, past_tick = line_gap(text, SIZE), line_gap(text, SIZE) + TICK
    aside = text_width(text, SIZE) / 2 + 2.0
    run = abs(bevel.run)
    centred = _gaps(past_tick, run)
    outside = [-gap for gap in _gaps(close, run)]
    places = [
        _beside(edge, bevel, text, centred[:3], (0.0, aside, -aside)),
        _beside(edge, bevel, text, _gaps(close, run)[:3], (aside, -aside)),
        _beside(edge, bevel, text, outside[:3], (0.0, aside, -aside)),
        _beside(edge, bevel, text, centred[3:], (0.0, aside, -aside)),
        _beside(edge, bevel, text, outside[3:], (0.0, aside, -aside)),
    ]
    home = _on(edge, np.array([bevel.along]))[0]
    return Request(text, SIZE, np.concatenate(places), (float(home[0]), float(home[1])), rank=1)


def _gaps(first: float, run: float) -> list[float]:
    """Distances from the net line, those just past the far face's line among them."""
    return sorted({first + step for step in _STEPS} | {max(first, first - TICK + run)})


def _beside(edge: Edge, bevel: Bevel, text: str, gaps: list[float], shifts: tuple[float, ...]) -> Floats:
    return beside(edge.points, text, size=SIZE, along=bevel.along, gaps=gaps, shifts=shifts)


def _on(edge: Edge, along: Floats) -> Floats:
    return point_at(edge.points, along)
