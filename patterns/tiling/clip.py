"""Strokes cut to a rectangle, exactly, each piece knowing how far along its stroke it begins."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
from itertools import pairwise

import numpy as np
from numpy.typing import NDArray

from patterns.drawing.marks import Stroke
from patterns.geometry.arrays import Floats, lengths

Box = tuple[float, float, float, float]  # mm: left, bottom, right, top

LEVEL = 1e-12  # mm; a segment that gains less across or up runs level: dividing by less overflows


@dataclass(frozen=True, slots=True, eq=False)
class Segments:
    """Every straight segment of some strokes, in order."""

    strokes: tuple[Stroke, ...]
    start: Floats  # (n, 2) mm
    end: Floats  # (n, 2) mm
    run: Floats  # (n,) mm along the stroke where the segment begins
    owner: NDArray[np.intp]  # (n,) number of the stroke
    count: NDArray[np.intp]  # (strokes,) segments of each

    def within(self, box: Box) -> tuple[Stroke, ...]:
        """The strokes' pieces inside ``box``, its edges included, in order. A closed stroke cut is open."""
        near = _near(self, box)
        enter, leave = spans(self.start[near], self.end[near], box)
        inside = leave > enter
        kept, enter, leave = near[inside], enter[inside], leave[inside]
        if not len(kept):
            return ()
        along = self.end[kept] - self.start[kept]
        begin = self.start[kept] + enter[:, None] * along
        end = np.where(leave[:, None] == 1.0, self.end[kept], self.start[kept] + leave[:, None] * along)
        run = self.run[kept] + enter * lengths(along)
        joins = (np.diff(kept) == 1) & (np.diff(self.owner[kept]) == 0) & (leave[:-1] == 1.0) & (enter[1:] == 0.0)
        pieces = []
        for low, high in pairwise([0, *(np.flatnonzero(~joins) + 1).tolist(), len(kept)]):
            number = int(self.owner[kept[low]])
            stroke = self.strokes[number]
            if stroke.closed and high - low == self.count[number] and enter[low] == 0.0 and leave[high - 1] == 1.0:
                pieces.append(stroke)
            else:
                points = np.concatenate([begin[low : low + 1], end[low:high]])
                pieces.append(Stroke(points, stroke.layer, run=float(run[low]), dashes=stroke.dashes))
        return tuple(pieces)


def segments(strokes: Sequence[Stroke]) -> Segments:
    """The straight segments of strokes; a point given twice running makes none."""
    starts, ends, runs, owners = [], [], [], []
    for number, stroke in enumerate(strokes):
        points = np.concatenate([stroke.points, stroke.points[:1]]) if stroke.closed else stroke.points
        steps = lengths(np.diff(points, axis=0))
        real = steps > 0.0
        starts.append(points[:-1][real])
        ends.append(points[1:][real])
        runs.append(stroke.run + (np.cumsum(steps) - steps)[real])
        owners.append(np.full(np.count_nonzero(real), number, dtype=np.intp))
    none = np.empty((0, 2))
    owner = np.concatenate([np.empty(0, dtype=np.intp), *owners])
    count = np.bincount(owner, minlength=len(strokes)).astype(np.intp)
    return Segments(
        strokes=tuple(strokes),
        start=np.concatenate([none, *starts]),
        end=np.concatenate([none, *ends]),
        run=np.concatenate([none[:, 0], *runs]),
        owner=owner,
        count=count,
    )


def spans(start: Floats, end: Floats, box: Box) -> tuple[Floats, Floats]:
    """Where segments enter and leave a box, as parts of their length; leave < enter where they miss it.

    Source: Liang and Barsky, A new concept and method for line clipping, 1984.
    """
    along = end - start
    low, high = np.array(box[:2]), np.array(box[2:])
    level = np.abs(along) < LEVEL
    step = np.where(level, 1.0, along)
    one, other = (low - start) / step, (high - start) / step
    outside = level & ((start < low) | (start > high))
    enter = np.where(level, np.where(outside, np.inf, -np.inf), np.minimum(one, other)).max(axis=1, initial=0.0)
    leave = np.where(level, np.where(outside, -np.inf, np.inf), np.maximum(one, other)).min(axis=1, initial=1.0)
    return enter, leave


def _near(pool: Segments, box: Box) -> NDArray[np.intp]:
    left, bottom, right, top = box
    (x0, y0), (x1, y1) = pool.start.T, pool.end.T
    near = np.maximum(x0, x1) >= left
    near &= np.minimum(x0, x1) <= right
    near &= np.maximum(y0, y1) >= bottom
    near &= np.minimum(y0, y1) <= top
    return np.flatnonzero(near)
