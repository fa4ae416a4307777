"""Strokes cut to a rectangle, exactly, each piece knowing how far along its stroke it begins."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass

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

    def within(self, box: Box, shift: tuple[float, float] = (0.0, 0.0)) -> tuple[Stroke, ...]:
        """The strokes' pieces inside ``box``, its edges included, in order, then shifted. A closed stroke cut is open.

        Parameters
        ----------
        shift : (float, float) mm
        """
        return self.within_each([box], [shift])[0]

    def within_each(
        self, boxes: Sequence[Box], shifts: Sequence[tuple[float, float]]
    ) -> tuple[tuple[Stroke, ...], ...]:
        """The same of each of some boxes, each with its own shift."""
        which, kept, enter, leave = self._cut_by(boxes)
        begin, end = self._shown(kept, enter, leave)
        run = self.run[kept] + enter * lengths(self.end[kept] - self.start[kept])
        owner = self.owner[kept]
        joins = (kept[1:] == kept[:-1] + 1) & (owner[1:] == owner[:-1]) & (which[1:] == which[:-1])
        joins &= (leave[:-1] == 1.0) & (enter[1:] == 0.0)
        first = np.flatnonzero(np.concatenate([np.ones(min(1, len(kept)), dtype=np.bool_), ~joins]))
        count = np.diff(first, append=len(kept))
        whole = (count == self.count[owner[first]]) & (enter[first] == 0.0) & (leave[first + count - 1] == 1.0)
        # All pieces' points in one array: before the ends of a piece's segments stands where its first one begins.
        points = np.insert(end, first, begin[first], axis=0)
        points += np.repeat(np.array(shifts).reshape(-1, 2)[which[first]], count + 1, axis=0)
        ends = np.cumsum(count + 1)
        columns = (which[first], owner[first], whole, run[first], ends - count - 1, ends)
        found: list[list[Stroke]] = [[] for _ in boxes]
        for box, number, entire, begun, low, high in zip(*(column.tolist() for column in columns), strict=True):
            stroke = self.strokes[number]
            if stroke.closed and entire:
                found[box].append(Stroke(stroke.points + shifts[box], stroke.layer, True, stroke.run, stroke.dashes))
            else:
                found[box].append(Stroke(points[low:high], stroke.layer, run=begun, dashes=stroke.dashes))
        return tuple(map(tuple, found))

    def bounds_within(self, boxes: Sequence[Box]) -> list[Box | None]:
        """The level boxes round all that is inside each of some boxes, None for nothing."""
        which, number, enter, leave = self._cut_by(boxes)
        begin, end = self._shown(number, enter, leave)
        shown, first = np.unique(which, return_index=True)
        bounds = np.empty((len(shown), 4))
        if len(shown):
            bounds[:, :2] = np.minimum.reduceat(np.minimum(begin, end), first)
            bounds[:, 2:] = np.maximum.reduceat(np.maximum(begin, end), first)
        found: list[Box | None] = [None] * len(boxes)
        for at, (x0, y0, x1, y1) in zip(shown.tolist(), bounds.tolist(), strict=True):
            found[at] = x0, y0, x1, y1
        return found

    def _cut_by(self, boxes: Sequence[Box]) -> tuple[NDArray[np.intp], NDArray[np.intp], Floats, Floats]:
        """Box by box, numbers of the box and of the segments that show in it, and as parts of their lengths where."""
        edges = np.array(boxes).reshape(-1, 4)
        low, high = np.minimum(self.start, self.end), np.maximum(self.start, self.end)
        near = (high[:, 0] >= edges[:, :1]) & (low[:, 0] <= edges[:, 2:3])
        near &= (high[:, 1] >= edges[:, 1:2]) & (low[:, 1] <= edges[:, 3:])
        which, number = np.nonzero(near)
        enter, leave = spans(self.start[number], self.end[number], edges[which])
        inside = leave > enter
        return which[inside], number[inside], enter[inside], leave[inside]

    def _shown(self, kept: NDArray[np.intp], enter: Floats, leave: Floats) -> tuple[Floats, Floats]:
        """Ends of what shows of segments, (n, 2) mm each."""
        start, last = self.start[kept], self.end[kept]
        along = last - start
        return start + enter[:, None] * along, np.where(leave[:, None] == 1.0, last, start + leave[:, None] * along)


def segments(strokes: Sequence[Stroke]) -> Segments:
    """The straight segments of strokes; a point given twice running makes none."""
    rings = [np.concatenate([each.points, each.points[:1]]) if each.closed else each.points for each in strokes]
    points = np.concatenate([np.empty((0, 2)), *rings])
    owner = np.repeat(np.arange(len(rings)), np.array([len(ring) for ring in rings], dtype=np.intp))
    steps = np.where(np.diff(owner) == 0, lengths(np.diff(points, axis=0)), 0.0)
    real = np.flatnonzero(steps > 0.0)
    owner = owner[real]
    count = np.bincount(owner, minlength=len(strokes)).astype(np.intp)
    before, first = np.cumsum(steps) - steps, np.cumsum(count) - count
    begun = np.array([stroke.run for stroke in strokes])
    run = begun[owner] + before[real] - before[real[first[owner]]]
    return Segments(tuple(strokes), points[real], points[real + 1], run, owner, count)


def spans(start: Floats, end: Floats, box: Floats) -> tuple[Floats, Floats]:
    """Where segments enter and leave a box, as parts of their length; leave < enter where they miss it.

    Parameters
    ----------
    box : (4,) or (n, 4) mm
        One for all, or each segment's own.

    Source: Liang and Barsky, A new concept and method for line clipping, 1984.
    """
    along = end - start
    low, high = box[..., :2], box[..., 2:]
    level = np.abs(along) < LEVEL
    step = np.where(level, 1.0, along)
    one, other = (low - start) / step, (high - start) / step
    outside = level & ((start < low) | (start > high))
    enter = np.where(level, np.where(outside, np.inf, -np.inf), np.minimum(one, other)).max(axis=1, initial=0.0)
    leave = np.where(level, np.where(outside, -np.inf, np.inf), np.maximum(one, other)).min(axis=1, initial=1.0)
    return enter, leave
