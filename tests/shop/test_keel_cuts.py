"""Keel batten and keelson of a V bottom at the bench: their bevels, their cuts, and how they fit the garboards."""

from __future__ import annotations

from functools import cache

import numpy as np
import pytest
from sample_jobs import sample
from v_planes import ANGLE, v_of_planes

from patterns.drawing.marks import Label
from patterns.hull.build import KeelJoint
from patterns.parts.asked.long_rules import LongAsked, LongRules
from patterns.parts.long.v_keel import VKeel, v_keels
from patterns.parts.whole import Job
from patterns.plates.bench.keel_pages import keel_sheet
from patterns.shop.fit.fit_report import fit_report
from patterns.shop.layout.bevel_boards import bevel_boards
from patterns.shop.saw.keel_cuts import KeelBench, keel_bench
from patterns.shop.saw.saw_rules import Leans, SawRules

TESTED = tuple((float(np.radians(tilt)), 136.0 - tilt / 3) for tilt in range(0, 31, 5))
PLANING = 1.6


def saw(leans: Leans = Leans.UNDER, *, tested: int = 7, deepest: float | None = None) -> SawRules:
    return SawRules(1.6, 1.0, 184.0, 280.0, TESTED[:tested], leans, float(np.radians(45)), deepest, None, None)


@cache
def sandlark() -> Job:
    return sample("sandlark")[1]


def planed(rules: LongRules, *, half: float = 0.0) -> VKeel:
    joint = KeelJoint.ON_KEEL if half else KeelJoint.HALF_ANGLE
    hull = v_of_planes(keel=joint, half=half, sided=60.0).hull
    return v_keels(hull, LongAsked(keelson=rules), (), show="mm")[0]


def worked(leans: Leans = Leans.UNDER) -> KeelBench:
    return keel_bench(sandlark().keels, saw(leans))[0]


@pytest.mark.parametrize("leans", list(Leans))
def test_no_cut_takes_wood_that_the_finished_half_needs(leans: Leans) -> None:
    """In the section square to the piece, on its side: the blade's line against the finished half, both drawn anew."""
    made = worked(leans)
    halves = [cut for cut in made.cuts if cut.line == "bevel line"]
    assert [cut.port_up for cut in halves] == [True, False]
    for cut in halves:
        lean = np.tan(cut.setting.tilt) * cut.depth
        beyond = cut.setting.at(cut.x, cut.setting.beyond)
        for off, place in zip(beyond, made.keel.places, strict=True):
            finished, blade = np.array([[0.0, 0.0], [cut.depth, place.rise]]), [off, off + lean]
            square = np.array([-place.rise, cut.depth]) / np.hypot(place.rise, cut.depth)
            left = [(np.array([x, y]) - finished[0]) @ square for x, y in zip((0.0, cut.depth), blade, strict=True)]
            assert min(left) > PLANING - 0.1
            assert min(left) < PLANING + 1.0


@pytest.mark.parametrize("leans", list(Leans))
def test_the_guide_lies_where_a_tilted_blade_leans_away_from_the_piece_and_comes_free_last(leans: Leans) -> None:
    made = worked(leans)
    under = leans is Leans.UNDER
    for cut in made.cuts:
        if cut.line == "bevel line":
            assert cut.setting.outward
            assert cut.guide_on_piece is not under
    assert made.cuts[-1].guide_on_piece is False
    assert made.cuts[0].guide_on_piece is True


def test_halves_of_planes_are_sawn_at_their_own_bevel() -> None:
    keel = planed(LongRules("keelson", 50.0, 60.0, "oak", PLANING))
    (made,) = keel_bench([keel], saw())
    own = np.pi / 2 - ANGLE["bottom"]
    for cut in made.cuts:
        expected = own if cut.line == "bevel line" else 0.0
        assert cut.setting.tilt == pytest.approx(expected, abs=np.radians(0.25) + 1e-6)
    assert made.radius > 1e5
    assert made.width == pytest.approx(60.0 + 2 * PLANING, abs=0.5)


def test_over_a_keel_the_flat_between_the_halves_is_sawn_square() -> None:
    half = 12.0
    keel = planed(LongRules("keelson", 50.0, 60.0, "oak", PLANING), half=half)
    assert keel.ridge.half == pytest.approx(half, abs=0.01)
    (made,) = keel_bench([keel], saw())
    assert [cut.line for cut in made.cuts] == ["upper edge", "bevel line", "bevel line", "lower edge"]
    assert made.cuts[1].depth == pytest.approx(25.0 - half, abs=0.01)
    rises = [place.rise for place in keel.places]
    assert rises == pytest.approx([(25.0 - half) / np.tan(ANGLE["bottom"])] * len(rises), abs=0.02)


def test_a_saw_that_cannot_cut_to_the_middle_is_said_in_one_sentence() -> None:
    (made,) = keel_bench(sandlark().keels, saw(deepest=20.0))
    assert not made.cuts
    pages = keel_sheet(made, saw(), boat="b", show="mm")
    words = " ".join(mark.text for page in pages for mark in page.marks if isinstance(mark, Label))
    assert "does not cut so deep as the middle" in words
    assert "band saw" in words


def test_a_tilt_past_the_test_cuts_is_told() -> None:
    (made,) = keel_bench(sandlark().keels, saw(tested=3))
    halves = [cut for cut in made.cuts if cut.line == "bevel line"]
    assert all(cut.short for cut in halves)
    assert all(np.degrees(cut.setting.tilt) <= 10.0 + 1e-9 for cut in halves)


def test_the_bevels_of_both_halves_stand_on_a_bevel_board_off_the_sides() -> None:
    board = next(one for one in bevel_boards(sandlark().parts, show="mm") if one.name == "keelson")
    (edge,) = board.edges
    assert edge.face == "side of the keelson"
    assert {"frame 2", "frame 4", "frame 6", "frame 8"} <= {line.place for line in edge.lines}
    for line in edge.lines:
        assert line.angle > 0
        assert edge.over * np.tan(line.angle) == pytest.approx(line.run, rel=0.03)


def test_a_keelson_meets_both_garboards_at_every_frame() -> None:
    report = fit_report(sandlark())
    meetings = [one for one in report.meetings if "keelson" in one.b]
    assert [one.line_b.line for one in meetings] == ["lower", "bevel line"]
    for one in meetings:
        assert one.gap < 0.02
        assert [mark.name for mark in one.marks] == ["frame 2", "frame 4", "frame 6", "frame 8"]
        assert max(mark.apart for mark in one.marks) < 0.02
    assert "keelson" not in report.unheld
