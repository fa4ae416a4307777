"""Boxes and lines told apart many at once, against a general geometry library one by one."""

from __future__ import annotations

import numpy as np
import shapely

from patterns.drawing.overlaps import box_meets_box, box_meets_line, level_bounds, lines_meet, near_pairs
from patterns.drawing.words_set import Taken
from patterns.geometry.arrays import Floats

COUNT = 2000


def _boxes(random: np.random.Generator) -> Floats:
    angle, half = random.uniform(0, 2 * np.pi, COUNT), random.uniform(0.1, 4.0, (COUNT, 2))
    way = np.stack([np.cos(angle), np.sin(angle)], axis=1)
    across, up = way * half[:, :1], np.stack([-way[:, 1], way[:, 0]], axis=1) * half[:, 1:]
    middle = random.uniform(0, 10, (COUNT, 2))
    return np.stack([middle - across - up, middle + across - up, middle + across + up, middle - across + up], axis=1)


def _lines(random: np.random.Generator) -> Floats:
    return random.uniform(0, 10, (COUNT, 2, 2))


def test_boxes_meet_boxes_and_lines_where_a_geometry_library_says_so() -> None:
    random = np.random.default_rng(7)
    one, other, lines = _boxes(random), _boxes(random), _lines(random)
    polygons = shapely.polygons(one)
    assert (box_meets_box(one, other) == shapely.intersects(polygons, shapely.polygons(other))).all()
    assert (box_meets_line(one, lines) == shapely.intersects(polygons, shapely.linestrings(lines))).all()


def test_lines_near_each_other_meet_where_a_geometry_library_says_so() -> None:
    random = np.random.default_rng(11)
    one, other = _lines(random), _lines(random)
    which, number = near_pairs(one[:200], other[:200])
    wanted = shapely.intersects(shapely.linestrings(one[which]), shapely.linestrings(other[number]))
    assert (lines_meet(one[which], other[number]) == wanted).all()
    assert 0 < wanted.sum() < len(wanted)


def test_pairs_left_out_as_far_apart_do_not_meet() -> None:
    random = np.random.default_rng(13)
    one, other = _boxes(random)[:60], _boxes(random)[:60]
    meets = shapely.intersects(shapely.polygons(one)[:, None], shapely.polygons(other))
    near = np.zeros_like(meets)
    near[near_pairs(one, other)] = True
    assert not (meets & ~near).any()
    assert not near.all()


def test_shapes_that_only_touch_meet() -> None:
    box = np.array([[[0.0, 0.0], [2.0, 0.0], [2.0, 1.0], [0.0, 1.0]]])
    assert box_meets_box(box, box + np.array([2.0, 0.0])).all()
    assert box_meets_line(box, np.array([[[2.0, -1.0], [2.0, 3.0]]])).all()
    assert not box_meets_line(box, np.array([[[2.1, -1.0], [2.1, 3.0]]])).any()
    assert level_bounds(box).tolist() == [[0.0, 0.0, 2.0, 1.0]]


def test_room_for_a_word_beside_those_set_down_is_what_a_geometry_library_finds() -> None:
    random = np.random.default_rng(17)
    one, other, lines = _boxes(random)[:4] * 0.5, _boxes(random)[:60], _lines(random)[:2]
    taken = Taken(one[:2])
    for box, bounds in zip(one[2:], level_bounds(one[2:]), strict=True):
        taken.add_word(box, bounds)
    for line in lines:
        taken.add_leader(line)
    ink = shapely.union_all([*shapely.polygons(one), *shapely.linestrings(lines)])
    free = ~shapely.intersects(shapely.polygons(other), ink)
    bounds = level_bounds(other)
    assert (taken.clear_boxes(other, bounds) == free).all()
    firsts = [taken.first_clear(other[start:], bounds[start:]) for start in range(len(other))]
    assert firsts == [next((n for n, clear in enumerate(free[start:]) if clear), None) for start in range(len(other))]
    assert 0 < free.sum() < len(free)
