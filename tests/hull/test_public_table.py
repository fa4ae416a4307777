"""A table printed in 1889, read, doubted and faired: W. P. Stephens, Canoe and Boat Building, Plate XI.

Its source stands in the file, `shared/offsets/american_cruising_canoe_1883.csv`. The ends are taken upright at stations
0 and 14, for the table gives no profile of stem and sternpost.
"""

from __future__ import annotations

from functools import cache

import numpy as np
import pytest
from boats import EIGHTH

from patterns.hull.build import Stem
from patterns.hull.doubts.judged_rows import Suspect
from patterns.hull.doubts.misreadings import Slip
from patterns.hull.doubts.suspects import suspects
from patterns.hull.fairing import FairedView, fair, fair_cuts
from patterns.hull.fairing_rules import HALF_BREADTH, FairingRule
from patterns.hull.offsets import Offsets
from patterns.hull.round.fair_round import fair_round
from patterns.hull.round.figures import RoundLines
from patterns.reading.offsets.offsets_csv import read_offsets
from patterns.units.shared_data import shared_file

FOOT = 304.8  # mm


def post(from_fp: float) -> Stem:
    return Stem(np.array([[from_fp, 1.5 * FOOT], [from_fp, 0.0]]), sided=25.0, moulded=50.0)


FORE, AFT = post(0.0), post(14 * FOOT)


@cache
def canoe() -> Offsets:
    return read_offsets(shared_file("offsets/american_cruising_canoe_1883.csv"), "in")[0]


@cache
def doubted() -> dict[tuple[str, str], Suspect]:
    found = suspects(canoe(), fore=FORE, aft=AFT)
    assert all(one.view == HALF_BREADTH for one in found)
    return {(one.line, one.column): one for one in found}


def test_the_table_reads_as_printed() -> None:
    offsets = canoe()
    assert offsets.columns == ("stem", *"123456", "X", "8", "9", "10", "11", "12", "13", "sternpost")
    assert offsets.height("sheer").values[[0, 7, -1]] == pytest.approx([18 * 25.4, 11 * 25.4, 16 * 25.4])
    assert sum(int(np.isfinite(row.values).sum()) for row in (*offsets.heights, *offsets.half_breadths)) == 78
    assert offsets.rounding == EIGHTH


def test_the_misprint_in_its_sheer_is_named_before_all_else() -> None:
    """Two more stand in its waterlines, at 3 and at the stem: only the surface that ties the cuts can judge them."""
    assert list(doubted()) == [
        # A deck narrower than the waterline below it, 0-2-6: 0-4-0 with its figures changed about.
        ("sheer", "13"),
        # Not among the three doubted when the table was copied, yet the deck widens by 22, 37, 22 and 16 eighths in
        # the first four feet: with an inch more here it would by 30, 29, 22 and 16.
        ("sheer", "1"),
    ]


def test_what_was_meant_is_offered_where_a_slip_explains_it() -> None:
    deck = doubted()["sheer", "13"]
    assert (deck.slip, deck.meant) == (Slip.SWAPPED_DIGITS, pytest.approx(4 * 25.4))


def test_it_is_faired_within_its_own_rounding_where_the_plan_is_fair() -> None:
    # 0-2-3, 0-0-4, 0-6-6: a lost digit turns 0-4-4 into 0-0-4. And wider at the stem's face than the deck above it.
    astray = (*doubted(), ("waterline 2 in", "3"), ("waterline 6 in", "stem"))
    out = tuple(FairingRule(line, HALF_BREADTH, column, float("nan")) for line, column in astray)
    (sheer,) = fair(canoe(), fore=FORE, aft=AFT, within=EIGHTH, rules=out)
    cuts = fair_cuts(canoe(), within=EIGHTH, rules=out)
    views: dict[str, FairedView] = {f"{cut.name}": cut.view for cut in cuts}
    views |= {"sheer height": sheer.height, "sheer half-breadth": sheer.half_breadth}
    for name, view in views.items():
        kept = np.array([column not in view.left_out for column in view.columns])
        assert np.abs(view.moved[kept]).max() < EIGHTH + 1e-9, name
        assert np.median(np.abs(view.moved[kept])) < EIGHTH / 2, name
    assert {name: view.held for name, view in views.items() if view.held} == {}


def test_the_surface_names_all_three_known_suspects_with_the_slips_that_explain_them() -> None:
    """One on the stem, one in the deck, one in a waterline; and the deck at 1, as its own row says too."""
    hull = fair_round(RoundLines(canoe(), FORE, AFT, within=EIGHTH))
    named = {one.place: one for one in hull.suspects}
    known = [("sheer", "13"), ("waterline 6 in", "stem"), ("waterline 2 in", "3")]
    assert {(line, HALF_BREADTH, column) for line, column in known} <= set(named)
    assert named["sheer", HALF_BREADTH, "13"].slip is Slip.SWAPPED_DIGITS
    assert named["waterline 6 in", HALF_BREADTH, "stem"].meant == pytest.approx(25.4 / 8)
    assert set(named) - {(line, HALF_BREADTH, column) for line, column in known} <= {
        ("sheer", HALF_BREADTH, "1"),
        ("buttock 1/8 in", "height", "1"),
    }
