"""Which boxes and straight lines touch, pair by pair: many small shapes at once, for lettering to keep clear of ink.

Two convex shapes are apart if and only if they are so seen along a side of one of them (the separating axis theorem).
A box is (4, 2) corners in order round a rectangle, at any angle; a line is (2, 2) ends. Touching counts as meeting.
"""

from __future__ import annotations

import numpy as np
from numpy.typing import NDArray

from patterns.geometry.arrays import Floats, unit

Answers = NDArray[np.bool_]


def level_bounds(shapes: Floats) -> Floats:
    """Left, bottom, right and top of (n, k, 2) shapes, (n, 4) mm."""
    places = _by_corner(shapes)
    return np.concatenate([places.min(axis=1), places.max(axis=1)]).T


def near_pairs(shapes: Floats, others: Floats) -> tuple[NDArray[np.intp], NDArray[np.intp]]:
    """Numbers of those of a few (n, k, 2) shapes and (m, j, 2) others whose level boxes meet, pair by pair."""
    if not len(others) or not len(shapes):
        return np.empty(0, dtype=np.intp), np.empty(0, dtype=np.intp)
    which, number = np.nonzero(near_bounds(level_bounds(shapes), level_bounds(others)))
    return which, number


def near_bounds(bounds: Floats, others: Floats) -> Answers:
    """Which of (n, 4) level bounds meet which of (m, 4) others, (n, m)."""
    left, bottom, right, top = bounds.T[..., None]
    to_left, below, to_right, above = others.T
    near: Answers = left <= to_right
    near &= right >= to_left
    near &= bottom <= above
    near &= top >= below
    return near


def box_meets_box(boxes: Floats, others: Floats) -> Answers:
    """Pair by pair of two (n, 4, 2), (n,)."""
    return ~(_apart_by_sides(boxes, others) | _apart_by_sides(others, boxes))


def box_meets_line(boxes: Floats, lines: Floats) -> Answers:
    """Pair by pair of (n, 4, 2) and (n, 2, 2), (n,)."""
    return ~(_apart_by_sides(boxes, lines) | _to_one_side(lines, boxes))


def banded(lines: Floats, by: float) -> Floats:
    """(n, 2, 2) lines as boxes wider by so many mm on every side, (n, 4, 2)."""
    ahead = by * unit(lines[:, 1] - lines[:, 0])
    aside = np.column_stack([-ahead[:, 1], ahead[:, 0]])
    start, end = lines[:, 0] - ahead, lines[:, 1] + ahead
    return np.stack([start - aside, end - aside, end + aside, start + aside], axis=1)


def lines_meet(lines: Floats, others: Floats) -> Answers:
    """Pair by pair of two (n, 2, 2) whose level boxes meet, (n,)."""
    return ~(_to_one_side(lines, others) | _to_one_side(others, lines))


def _apart_by_sides(boxes: Floats, shapes: Floats) -> Answers:
    """Whether (n, k, 2) shapes lie beyond one side of their boxes."""
    apart = np.zeros(len(boxes), dtype=np.bool_)
    (left, bottom), (x, y) = _by_corner(boxes), _by_corner(shapes)
    x, y = x - left[0], y - bottom[0]
    for corner in (1, 3):
        side_x, side_y = left[corner] - left[0], bottom[corner] - bottom[0]
        along = x * side_x + y * side_y
        apart |= (along.max(axis=0) < 0.0) | (along.min(axis=0) > side_x * side_x + side_y * side_y)
    return apart


def _to_one_side(lines: Floats, shapes: Floats) -> Answers:
    """Whether (n, k, 2) shapes lie wholly to the left or wholly to the right of their lines, run on both ways."""
    (from_x, to_x), (from_y, to_y) = _by_corner(lines)
    x, y = _by_corner(shapes)
    left = (to_x - from_x) * (y - from_y) - (to_y - from_y) * (x - from_x)
    apart: Answers = (left.min(axis=0) > 0.0) | (left.max(axis=0) < 0.0)
    return apart


def _by_corner(shapes: Floats) -> Floats:
    """(n, k, 2) shapes as (2, k, n): numpy finds the least of many rows at once far sooner than of many short ones."""
    return np.ascontiguousarray(shapes.T)
