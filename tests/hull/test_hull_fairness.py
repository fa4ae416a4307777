"""Limits of single offsets, what they leave unfair, and end columns against the profiles."""

from __future__ import annotations

from dataclasses import replace

import numpy as np
import pytest
from boats import EIGHTH, saltmeadow

from patterns.geometry.cuts import Profile
from patterns.hull.bending_along import turns
from patterns.hull.build import Stem
from patterns.hull.fairing import FairedLine, FairedView, fair
from patterns.hull.fairing_rules import HALF_BREADTH, HEIGHT, FairingRule, limits_of
from patterns.hull.fairness import EndApart, Fault, Views, ends_apart, unfair, views_of
from patterns.hull.offsets import OffsetRow, Offsets
from patterns.parts.asked.rules import Boat

OUT = float("nan")


def lumped(column: int, mm: float) -> Offsets:
    """Saltmeadow's table with one height of the sheer wrong."""
    table = saltmeadow().offsets
    values = table.heights[0].values.copy()
    values[column] += mm
    return replace(table, heights=(OffsetRow("sheer", values), *table.heights[1:]))


def faired(offsets: Offsets, *rules: FairingRule) -> tuple[FairedLine, ...]:
    boat = saltmeadow()
    return fair(offsets, fore=boat.fore, aft=boat.aft, within=EIGHTH, rules=rules)


def sprung(offsets: Offsets, *rules: FairingRule) -> Views:
    return views_of(faired(offsets, *rules))


def view(lines: tuple[FairedLine, ...], line: str, which: str) -> FairedView:
    found = next(one for one in lines if one.name == line)
    return found.height if which == HEIGHT else found.half_breadth


def test_a_locked_offset_stays_and_its_neighbours_may_move() -> None:
    lock = FairingRule("sheer", HEIGHT, "2", 0.0)
    one = view(faired(saltmeadow().offsets, lock), "sheer", HEIGHT)
    assert one.moved[2] == 0.0
    assert np.abs(one.moved[[1, 3]]).min() > 0.01
    assert np.abs(view(faired(saltmeadow().offsets, lock), "sheer", HALF_BREADTH).moved).max() > 0.1


def test_a_locked_view_stays_whole() -> None:
    lines = faired(saltmeadow().offsets, FairingRule(None, HEIGHT, None, 0.0))
    for name in ("sheer", "chine"):
        assert np.abs(view(lines, name, HEIGHT).moved).max() == 0.0
        assert np.abs(view(lines, name, HALF_BREADTH).moved).max() > 0.1


def test_of_two_rules_for_one_offset_the_later_holds() -> None:
    rules = (FairingRule("sheer", None, None, 0.0), FairingRule(None, HEIGHT, "2", 7.0))
    assert limits_of(rules, 3.0, "sheer", HEIGHT, ("1", "2", "3")).tolist() == [0.0, 7.0, 0.0]
    assert limits_of(rules, 3.0, "chine", HALF_BREADTH, ("1", "2", "3")).tolist() == [3.0, 3.0, 3.0]


def test_an_offset_left_out_keeps_its_place_and_pulls_nothing() -> None:
    out = FairingRule("sheer", HEIGHT, "3", OUT)
    wild, tame = (view(faired(lumped(3, mm), out), "sheer", HEIGHT) for mm in (300.0, -40.0))
    assert wild.left_out == ("3",)
    assert wild.given[3] == pytest.approx(tame.given[3] + 340.0)
    np.testing.assert_allclose(wild.faired, tame.faired, atol=1e-9)
    x = np.linspace(0.0, 4400.0, 301)
    np.testing.assert_allclose(wild.batten.value(x), tame.batten.value(x), atol=1e-9)


@pytest.mark.parametrize("lump", [16.0, -12.0])
def test_a_lump_is_told_with_the_room_it_needs_and_that_room_is_enough_and_no_less(lump: float) -> None:
    offsets = lumped(3, lump)
    found = [one for one in unfair(sprung(offsets)) if one.view == HEIGHT]
    assert [(one.line, one.column) for one in found] == [("sheer", "3")]
    needs, what = found[0].needs, found[0].what
    assert needs is not None
    assert needs < abs(lump)

    def left_with(room: float) -> list[Fault]:
        rule = FairingRule("sheer", HEIGHT, "3", EIGHTH + room)
        told = unfair(sprung(offsets, rule))
        return [one.what for one in told if one.view == HEIGHT]

    assert what not in left_with(needs + 0.05)
    assert what in left_with(needs - 0.05)


def test_a_lock_on_a_lump_is_named_with_the_room_it_would_need() -> None:
    offsets = lumped(3, -16.0)
    lock = FairingRule("sheer", HEIGHT, "3", 0.0)
    told = unfair(sprung(offsets, lock))
    (found,) = [one for one in told if one.view == HEIGHT]
    assert (found.column, found.locked) == ("3", True)
    assert found.needs is not None

    def left_with(room: float) -> list[Fault]:
        rule = FairingRule("sheer", HEIGHT, "3", room)
        told = unfair(sprung(offsets, rule))
        return [one.what for one in told if one.view == HEIGHT]

    # Moved so far, the line ends a little elsewhere on its profiles: a tenth of a mm or so.
    assert found.what not in left_with(found.needs + 0.25)
    assert found.what in left_with(found.needs - 0.25)


def test_a_fair_table_leaves_nothing_unfair() -> None:
    offsets = saltmeadow().offsets
    assert unfair(sprung(offsets)) == ()


def ends_of(boat: Boat, offsets: Offsets) -> list[EndApart]:
    return list(ends_apart(offsets, fore=boat.fore, aft=boat.aft, within=EIGHTH))


def test_an_end_column_that_contradicts_its_profile_is_told_with_both_figures() -> None:
    boat = saltmeadow()
    assert ends_of(boat, boat.offsets) == []
    assert ends_of(boat, lumped(0, -3.0)) == []
    (found,) = ends_of(boat, lumped(0, -10.0))
    assert (found.line, found.column, found.where) == ("sheer", "stem", "head")
    assert (found.table, found.profile) == pytest.approx((764.7, 774.7))


def test_both_views_of_every_line_end_on_the_profiles() -> None:
    boat = saltmeadow()
    assert isinstance(boat.fore, Stem)
    for line in faired(boat.offsets):
        for place, end in ((0, boat.fore), (-1, boat.aft)):
            x = Profile(end.profile).at_height(line.height.faired[[place]])[0]
            assert line.height.from_fp[place] == pytest.approx(x, abs=1e-6)
            assert line.half_breadth.from_fp[place] == line.height.from_fp[place]


def test_a_swing_as_shallow_as_its_ends_are_doubtful_is_no_turn() -> None:
    """Only the drop after the second figure turns; how the chine leaves its last figures nobody knows so finely."""
    inches = np.array([8.0, 8.0, 1.0, 0.375, 0.0, 0.0, 0.75, 4.625]) * 25.4
    boat = saltmeadow()
    rows = tuple(replace(row, values=inches) if row.name == "chine" else row for row in boat.offsets.heights)
    stem = replace(boat.fore, profile=np.array([[0.0, 774.7], [412.75, 203.2]]))
    lines = fair(replace(boat.offsets, heights=rows), fore=stem, aft=boat.aft, within=boat.fair_within)
    chine = next(line for line in lines if line.name == "chine")
    assert len(turns(chine.height)) == 1
