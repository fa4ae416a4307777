"""Stringers below the sheer, on whichever strake lies there."""

from __future__ import annotations

import re

import numpy as np
import pytest
from boats import Flat, Floats
from hypothesis import given, settings
from hypothesis import strategies as st
from two_chines import LOWER, THICK, UPPER, two_chined

from patterns.errors import ShapeError
from patterns.hull.build import Joint
from patterns.parts.asked.long_rules import LongAsked, StringerRules
from patterns.parts.long.long_pieces import LongPiece
from patterns.parts.long.longitudinals import long_pieces

HULL = two_chined((Joint.HALF_ANGLE, Joint.LOWER_OVER))
ON = 0.02  # mm
MOULDED = 30.0
X = np.linspace(100.0, 3350.0, 3251)


def stringer(below: float) -> LongPiece:
    asked = LongAsked(stringers=(StringerRules("stringer", 15.0, MOULDED, "fir", 1.6, below_sheer=below),))
    return next(one for one in long_pieces(HULL, asked, (), show="mm") if one.part.hand == "starboard")


def inside(plane: Flat, thickness: float, points: Floats) -> Floats:
    return (points - plane.origin) @ plane.outward + thickness


def both(first: Flat, second: Flat) -> Floats:
    """(n, 3) mm, where the insides of both strakes meet, at ``X``."""
    found = []
    for x in X:
        rows = np.stack([first.outward, second.outward, [1.0, 0.0, 0.0]])
        right = [first.origin @ first.outward - THICK[0], second.origin @ second.outward - THICK[1], x]
        found.append(np.linalg.solve(rows, right))
    return np.array(found)


def sheer() -> Floats:
    """(n, 3) mm, the sheer's inside edge: the line drawn, brought in square to the side."""
    curve = HULL.lines[0].curve
    x = np.linspace(curve.first - 30.0, curve.last + 30.0, 6001)
    return np.asarray(curve.point(x) - THICK[0] * UPPER.outward)


def to_line(places: Floats, line: Floats) -> tuple[Floats, Floats]:
    """Distances (n,) mm of places from the chords of a line, and the nearest places on it; every chord measured."""
    start, way = line[:-1], np.diff(line, axis=0)
    away = places[:, None] - start
    share = np.clip((away * way).sum(axis=2) / (way * way).sum(axis=1), 0.0, 1.0)
    nearest = start + share[..., None] * way
    off = np.linalg.norm(places[:, None] - nearest, axis=2)
    best = off.argmin(axis=1)
    rows = np.arange(len(places))
    return off[rows, best], nearest[rows, best]


def test_on_strake_2_it_lies_so_far_down_square_to_the_chine_and_then_to_the_sheer() -> None:
    """By planes: from its upper edge square to the chine, from there square to the sheer."""
    below = 430.0
    piece = stringer(below)
    assert piece.strake.name == "strake 2"
    upper = piece.solid.corners[2][20:-20:40]
    assert np.abs(inside(LOWER, THICK[1], upper)).max() < ON
    to_chine, foot = to_line(upper, both(UPPER, LOWER))
    to_sheer, _ = to_line(foot, sheer())
    assert to_chine + to_sheer == pytest.approx(below, abs=0.05)
    lower = piece.solid.corners[0][20:-20:40]
    assert np.abs(inside(LOWER, THICK[1], lower)).max() < ON
    assert to_line(lower, piece.solid.corners[2])[0] == pytest.approx(MOULDED, abs=0.05)


def test_its_page_names_the_strake_and_how_it_is_measured() -> None:
    assert any(
        "On the inside of strake 2, its upper edge 430.0 mm below the sheer" in one
        for one in stringer(430.0).part.remarks
    )
    assert any("On the inside of the side" in one for one in stringer(60.0).part.remarks)


@given(below=st.floats(0.0, 700.0))
@settings(max_examples=25, deadline=None)
def test_whatever_is_asked_it_lies_on_one_strake_or_the_distances_that_would_do_are_told(below: float) -> None:
    try:
        piece = stringer(below)
    except ShapeError as error:
        told = re.findall(r"([\d.]+) mm to ([\d.]+) mm, on (the side|strake 2)", str(error))
        assert [where for _, _, where in told] == ["the side", "strake 2"]
        assert not any(float(low) <= below <= float(high) for low, high, _ in told)
        for low, high, where in told:
            for told_limit in (low, high):
                assert stringer(float(told_limit)).strake.name == where.removeprefix("the ")
        return
    plane, thickness = (UPPER, THICK[0]) if piece.strake.name == "side" else (LOWER, THICK[1])
    for line in piece.solid.corners[:3]:
        assert np.abs(inside(plane, thickness, line)).max() < ON
    # Inside the planking: no corner passes through the strake beside it.
    other, thick = (LOWER, THICK[1]) if plane is UPPER else (UPPER, THICK[0])
    middle = piece.solid.corners[:, 20:-20]
    assert (inside(other, thick, middle) < ON).all()
