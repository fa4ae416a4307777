"""Bevels printed along the edges of a pattern: how far off square, which way, and the run."""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from itertools import groupby, pairwise

import numpy as np

from patterns.drawing.along_lines import Course, all_beside, line_gap
from patterns.drawing.label_placing import Request
from patterns.drawing.marks import Stroke
from patterns.drawing.text import text_width
from patterns.geometry.arrays import run_along
from patterns.parts.part import Bevel, Edge
from patterns.units.lengths import write_small

SIZE = 3.0  # mm, capitals read at arm's length in a cold shop
TICK = 3.0  # mm, from the finished line into the wood, at the least
LONGEST_TICK = 15.0  # mm; one as long as the run of a steep end's bevel is taken for a line to cut
WINDING = 0.4  # mm; the far face's line may near the finished line's so much over the length of a text
FARTHEST_APART = 300.0  # mm (12 in): the trade marks a bevel at least so often, common practice
SHORT = 80.0  # mm; on a shorter edge the lettering of two bevels covers more wood than it helps
ONE_SETTING = np.radians(0.3)  # rad; a bevel gauge is not set finer, common practice
CORNER = 1.0  # mm; nearer an end than this, a bevel is the corner's
OFF_CORNER = 5.0  # mm; a leader to the corner itself would leave open which of its two edges is meant
_NEAR, _FAR = (0.0, 1.6, 3.2), (5.0, 8.0, 12.0)  # mm, growing distances from the edge
_INSIDE, _CLOSE, _OUTSIDE, _CLOSE_OUTSIDE = range(4)
_EITHER, _ALL_THREE = (1.0, -1.0), (0.0, 1.0, -1.0)  # sides of the tick; 0 is over its end
# Where a bevel's lettering is tried, best first: from where, how much further off the edge, on which side of the tick.
_TRIED = np.array(
    [(_INSIDE, step, side) for step in _NEAR for side in _ALL_THREE]
    + [(_CLOSE, step, side) for step in _NEAR for side in _EITHER]
    + [(_OUTSIDE, -step, side) for step in _NEAR for side in _ALL_THREE]
    + [(_INSIDE, step, side) for step in _FAR for side in _ALL_THREE]
    + [(_CLOSE_OUTSIDE, 0.0, side) for side in _ALL_THREE]
    + [(_OUTSIDE, -step, side) for step in _FAR for side in _ALL_THREE]
)
_FROM, _STEP, _ASIDE = _TRIED[:, 0].astype(np.intp), _TRIED[:, 1], _TRIED[:, 2]


def bevel_text(bevel: Bevel, show: str) -> str:
    """A bevel as the trade says it: degrees off square, which way, and how far the far edge is set in or out."""
    if bevel.kind == "square":
        return "square"
    return f"{np.rad2deg(abs(bevel.angle)):.1f}° {bevel.kind}, {write_small(abs(bevel.run), show)}"


def bevels_to_print(edge: Edge, show: str) -> tuple[Bevel, ...]:
    """An edge's bevels, without those that only repeat their neighbours; none where all of it is square.

    Of a run of equal bevels the first and the last stay, so that the builder sees where the bevel starts to change,
    and no two left are over 300 mm apart. Where the whole edge is equal its ends say nothing more than its middle, and
    a corner would leave open which of its two edges is meant; nor do those of a short one, such as a notch's wall,
    whose middle is within what a gauge is set to of both: two nearly alike, one over the other, read as one.
    """
    if all(bevel.kind == "square" for bevel in edge.bevels):
        return ()
    angles, length = [bevel.angle for bevel in edge.bevels], float(run_along(edge.points)[-1])
    if (
        length < SHORT
        and max(angles) - min(angles) <= 2 * ONE_SETTING
        and len({bevel.kind for bevel in edge.bevels}) == 1
    ):
        return (_in_the_middle(edge, length / 2),)
    runs = [list(run) for _, run in groupby(edge.bevels, key=lambda bevel: bevel_text(bevel, show))]
    if len(runs) == 1:
        return tuple(_far_enough_apart(runs[0][1:-1] or [_in_the_middle(edge, length / 2)]))
    return tuple(bevel for run in runs for bevel in _far_enough_apart(run))


def _in_the_middle(edge: Edge, along: float) -> Bevel:
    places = [bevel.along for bevel in edge.bevels]
    angle, run = (float(np.interp(along, places, [getattr(b, name) for b in edge.bevels])) for name in ("angle", "run"))
    return Bevel(along, angle, run)


def _far_enough_apart(equal: list[Bevel]) -> Iterator[Bevel]:
    last = -np.inf
    for bevel, following in pairwise([*equal, None]):
        if bevel is not None and (following is None or following.along - last > FARTHEST_APART):
            yield bevel
            last = bevel.along


def ticks(line: Course, bevels: Sequence[Bevel]) -> Iterator[Stroke]:
    """A short stroke into the wood at the exact place of each bevel of an edge, to the far face's line if that is near.

    None at the ends of an edge, where a cross marks the place already.
    """
    told = [bevel for bevel in bevels if min(bevel.along, line.length - bevel.along) >= CORNER]
    if told:
        at = np.array([bevel.along for bevel in told])
        start = line.at(at)
        end = start + np.array([[min(_tick_length(bevel), LONGEST_TICK)] for bevel in told]) * line.left(at)
        yield from (Stroke(ends, "mark") for ends in np.stack([start, end], axis=1))


def _tick_length(bevel: Bevel) -> float:
    return max(TICK, -bevel.run)


def bevel_requests(line: Course, bevels: Sequence[Bevel], show: str) -> Iterator[Request]:
    """The lettering of an edge's bevels beside their ticks: in the wood if it has room, else outside the line."""
    if not bevels:
        return
    texts = [bevel_text(bevel, show) for bevel in bevels]
    widths, close = np.array([(text_width(text, SIZE), line_gap(text, SIZE)) for text in texts]).T
    # Past the tick and the far face's line, which may wind away a little along the text.
    inside = close + [_tick_length(bevel) for bevel in bevels] + WINDING
    outside = -close - [max(0.0, bevel.run) for bevel in bevels] - WINDING
    gaps = np.stack([inside, close, outside, -close], axis=1)[:, _FROM] + _STEP
    shifts = (widths / 2 + 2.0)[:, None] * _ASIDE
    along = np.array([bevel.along for bevel in bevels])
    places = all_beside(line, widths, along=along, offsets=np.stack([gaps, shifts], axis=2))
    off_corner = min(OFF_CORNER, line.length / 4)
    homes = line.at(np.clip(along, off_corner, line.length - off_corner)).tolist()
    for text, spots, (x, y) in zip(texts, places, homes, strict=True):
        yield Request(text, SIZE, spots, (x, y), rank=1)
