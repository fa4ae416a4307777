"""A part as planned, dashed, and over it the part as the boat now has it, with the greatest difference at its place."""

from __future__ import annotations

from collections.abc import Iterator

import numpy as np
import shapely

from patterns.drawing.label_placing import Request, place
from patterns.drawing.marks import Drawing, Ink, Label, Stroke
from patterns.geometry.arrays import Floats
from patterns.plates.lines.without_doubts import DASHES
from patterns.shop.built.changed import Changed
from patterns.units.lengths import write_at_most

ROOM = (160.0, 55.0)  # mm, width and height that a part fills at the most
FIGURE, WORD = 3.0, 2.6  # mm, capitals
GAP = 3.0  # mm, from the part's end to the word
TIMES = (1, 2, 5, 10, 20)
PLAIN = 4.0  # mm on paper; a difference drawn larger than that takes the part's shape away
RING = 1.6  # mm, beyond the two ends of the greatest difference
ROUND = np.column_stack([f(np.linspace(0.0, 2 * np.pi, 24, endpoint=False)) for f in (np.cos, np.sin)])
NEAR = 10.0  # mm in the boat, between points at which a difference is drawn enlarged
AWAY = (5.0, 7.5, 10.0, 14.0, 20.0)  # mm from that place to its figure


def old_and_new(one: Changed, show: str) -> tuple[Drawing, int]:
    """The drawing, and how many times larger than the part its differences are drawn."""
    both = np.concatenate([one.planned, one.now])
    low, size = both.min(axis=0), np.ptp(both, axis=0)
    scale = float(min(ROOM[0] / size[0], ROOM[1] / size[1], 1.0))
    times = max((many for many in TIMES if scale * many * one.by <= PLAIN), default=1)

    def small(points: Floats) -> Floats:
        return np.asarray(scale * (points - low))

    now = Stroke(small(one.now), "cut-outside", closed=True)
    old = Stroke(small(enlarged(one.planned, one.now, times)), "given", closed=True, dashes=DASHES)
    ends = small(np.array([one.there, one.there + times * np.subtract(one.here, one.there)]))
    ring = Stroke(ends.mean(axis=0) + (RING + np.hypot(*np.diff(ends, axis=0)[0]) / 2) * ROUND, "mark", closed=True)
    lines = (now, old, ring, *_bow(one, *(scale * size).tolist()))
    ink = (*lines, *place([_figure(one, ring, show)], lines))
    return Drawing(f"old and new, {one.part.name}", f"old-and-new-{one.part.file_name}", ink), times


def _figure(one: Changed, ring: Stroke, show: str) -> Request:
    """How far they come apart, near the ring round the place."""
    middle = ring.points.mean(axis=0)
    radius = float(np.hypot(*(ring.points[0] - middle)))
    spots = np.concatenate([middle + (radius + away) * ROUND for away in AWAY])
    places = np.column_stack([spots, np.zeros(len(spots))])
    return Request(write_at_most(one.by, show), FIGURE, places, (float(middle[0]), float(middle[1])))


def _bow(one: Changed, width: float, height: float) -> Iterator[Ink]:
    """The word at the end that is toward the bow, of a part that lies along the boat."""
    if one.part.bow in ("left", "right"):
        left = one.part.bow == "left"
        yield Label("BOW", (-GAP if left else width + GAP, height / 2), WORD, anchor="end" if left else "start")


def enlarged(planned: Floats, now: Floats, times: int) -> Floats:
    """(n, 2) mm, the planned outline moved away from the new one, so many times as far as it lies."""
    ring = shapely.LinearRing(now)
    points = shapely.get_coordinates(shapely.segmentize(shapely.LinearRing(planned), NEAR))[:-1]
    along = shapely.line_locate_point(ring, shapely.points(points))
    foot = shapely.get_coordinates(shapely.line_interpolate_point(ring, along))
    return np.asarray(foot + times * (points - foot))
