"""Bevels printed along the edges of a pattern: how far off square, which way, and the run."""

from __future__ import annotations

from collections.abc import Iterator
from itertools import groupby, pairwise

import numpy as np

from patterns.drawing.beside import beside, left_of, line_gap, point_at, steps
from patterns.drawing.marks import Stroke
from patterns.drawing.placing import Request
from patterns.drawing.text import text_width
from patterns.geometry.arrays import run_along
from patterns.parts.part import Bevel, Edge
from patterns.units.lengths import write_length

SIZE = 3.0  # mm, capitals read at arm's length in a cold shop
TICK = 3.0  # mm, from the net line into the wood
FARTHEST_APART = 300.0  # mm (12 in): the trade marks a bevel at least so often, common practice
CORNER = 1.0  # mm; nearer an end than this, a bevel is the corner's
SQUARE_WITHIN = 0.05  # degrees; nearer, the tenths read 0.0
_STEPS = (0.0, 1.6, 3.2, 5.0, 8.0, 12.0)  # mm, growing distances from the edge


def bevel_text(bevel: Bevel, show: str) -> str:
    """A bevel as the trade says it: degrees off square, which way, and the run over the stock's thickness."""
    degrees = np.rad2deg(abs(bevel.angle))
    if degrees < SQUARE_WITHIN:
        return "square"
    word = "standing" if bevel.angle > 0 else "under"
    return f"{degrees:.1f}° {word}, {write_length(abs(bevel.run), _run_show(show))}"


def _run_show(show: str) -> str:
    """How a run is printed: a sixteenth is half of many a run, so fractions go to thirty-seconds."""
    return "in-32nds" if "in-" in show else show


def bevels_to_print(edge: Edge, show: str) -> tuple[Bevel, ...]:
    """An edge's bevels, without those that only repeat their neighbours.

    Of a run of equal bevels the first and the last stay, so that the builder sees where the bevel starts to change,
    and no two left are over 300 mm apart. Where the whole edge is equal its ends say nothing more than its middle.
    """
    runs = [list(run) for _, run in groupby(edge.bevels, key=lambda bevel: bevel_text(bevel, show))]
    if len(runs) == 1:
        return tuple(_far_enough_apart(runs[0][1:-1] or runs[0][:1]))
    return tuple(bevel for run in runs for bevel in _far_enough_apart(run))


def _far_enough_apart(equal: list[Bevel]) -> Iterator[Bevel]:
    last = -np.inf
    for bevel, following in pairwise([*equal, None]):
        if bevel is not None and (following is None or following.along - last > FARTHEST_APART):
            yield bevel
            last = bevel.along


def stands_at_corner(edge: Edge, bevel: Bevel) -> bool:
    """Whether a bevel belongs to an end of its edge, where a cross marks the place already."""
    return min(bevel.along, float(run_along(edge.points)[-1]) - bevel.along) < CORNER


def tick(edge: Edge, bevel: Bevel) -> Stroke:
    """A short stroke into the wood at the exact place a bevel belongs to."""
    at = np.array([bevel.along])
    start = point_at(edge.points, at)
    return Stroke(np.concatenate([start, start + TICK * left_of(edge.points, at)]), "mark")


def bevel_request(edge: Edge, bevel: Bevel, show: str) -> Request:
    """A bevel's lettering beside its tick: in the wood if there is room, else outside the net line."""
    text = bevel_text(bevel, show)
    close, past_tick = line_gap(text, SIZE), line_gap(text, SIZE) + TICK
    aside = text_width(text, SIZE) / 2 + 2.0
    run = abs(bevel.run)
    over, near = _gaps(past_tick, run), _gaps(close, run)
    outside = [-gap for gap in near]
    either, all_three = (aside, -aside), (0.0, aside, -aside)
    offsets = [
        steps(over[:3], all_three),
        steps(near[:3], either),
        steps(outside[:3], all_three),
        steps(over[3:], all_three),
        steps(outside[3:], all_three),
    ]
    places = beside(edge.points, text, size=SIZE, along=bevel.along, offsets=np.concatenate(offsets))
    home = point_at(edge.points, np.array([bevel.along]))[0]
    return Request(text, SIZE, places, (float(home[0]), float(home[1])), rank=1)


def _gaps(first: float, run: float) -> list[float]:
    """Distances from the net line, those just past the far face's line among them."""
    return sorted({first + step for step in _STEPS} | {max(first, first - TICK + run)})
