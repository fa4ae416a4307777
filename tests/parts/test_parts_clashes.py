"""Pieces that would lie in one place are told, with both names and the place; pieces beside each other are not."""

from __future__ import annotations

import re
from dataclasses import replace
from functools import cache

import numpy as np
from hypothesis import given, settings
from hypothesis import strategies as st
from level_hulls import LOG
from two_chines import two_chined

from patterns.hull.build import Joint
from patterns.parts.asked.fitting_rules import ThwartRules
from patterns.parts.asked.long_rules import LongAsked, StringerRules
from patterns.parts.clashes import APART, DEEP, clashes
from patterns.parts.long.long_pieces import LongPiece
from patterns.parts.long.longitudinals import long_pieces

UPPER_LOG = replace(LOG, at="chine 1")
FORE, WIDE, THICK = 1500.0, 240.0, 20.0


@cache
def logs() -> tuple[LongPiece, ...]:
    return long_pieces(
        two_chined((Joint.HALF_ANGLE, Joint.LOWER_OVER)), LongAsked(chine_logs=(UPPER_LOG,)), (), show="mm"
    )


def heights(log: LongPiece, x: float) -> tuple[float, float]:
    """mm above base, between which a log's corners lie at a station."""
    z = [float(np.interp(x, line[:, 0], line[:, 2])) for line in log.solid.corners]
    return min(z), max(z)


@given(top=st.floats(40.0, 420.0))
@settings(max_examples=60, deadline=None)
def test_a_thwart_is_told_to_run_into_just_the_logs_at_its_height(top: float) -> None:
    thwart = ThwartRules("thwart 1", FORE, WIDE, top, THICK, "pine")
    told = {one.where: one.text for one in clashes(logs(), (), (thwart,), show="mm")}
    for log in (one for one in logs() if one.part.hand == "starboard"):
        spans = [heights(log, x) for x in np.linspace(FORE, FORE + WIDE, 40)]
        deep = [min(top, high) - max(top - THICK, low) for low, high in spans]
        # A corner of a log that only comes into the slab is not so deep across as upright.
        if max(deep) > 8 * DEEP:
            assert "runs into thwart 1 from" in told[log.name]
        if max(deep) < DEEP / 2:
            assert log.name not in told


def test_the_place_is_where_both_lie_together() -> None:
    log = next(one for one in logs() if one.name == "chine 1 log" and one.part.hand == "starboard")
    low, high = heights(log, FORE + WIDE / 2)
    thwart = ThwartRules("thwart 1", FORE, WIDE, (low + high) / 2 + THICK / 2, THICK, "pine")
    (told,) = clashes(logs(), (), (thwart,), show="mm")
    first, last = (float(mm) for mm in re.findall(r"([\d.]+) mm", told.text)[:2])
    assert FORE <= first < last <= FORE + WIDE
    assert last - first > WIDE - 2 * APART
    assert "cut its ends round the chine 1 log" in told.text


def test_a_stringer_clear_of_the_logs_is_not_told_and_one_in_a_corner_is() -> None:
    hull = two_chined((Joint.HALF_ANGLE, Joint.LOWER_OVER))

    def with_stringer(below: float) -> list[str]:
        stringer = StringerRules("lath", 15.0, 25.0, "fir", 1.6, below_sheer=below)
        pieces = long_pieces(hull, LongAsked(chine_logs=(UPPER_LOG,), stringers=(stringer,)), (), show="mm")
        return [f"{one.where} {one.text}" for one in clashes(pieces, (), (), show="mm")]

    assert with_stringer(100.0) == []
    (told,) = with_stringer(320.0)
    assert told.startswith("chine 1 log it runs into the lath from")
