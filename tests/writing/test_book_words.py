"""What the book tells a builder to do goes by the boat he builds."""

from __future__ import annotations

from dataclasses import replace

import numpy as np
import pytest
from sample_jobs import SAMPLES, sample

from patterns.drawing.marks import Cross, Label
from patterns.geometry.arrays import lengths
from patterns.hull.build import Joint, Stem
from patterns.parts.asked.end_rules import PlankEnds, StemWork
from patterns.parts.asked.rules import Boat, FrameKind
from patterns.parts.part import Part
from patterns.parts.role import TIMBERS
from patterns.parts.whole import loft
from patterns.plates.bench.layout_drawing import layout_drawing
from patterns.shop.fit.bent_edges import bent_edges
from patterns.shop.layout.bevel_boards import bevel_boards
from patterns.shop.layout.layout_tables import layout_table
from patterns.shop.stock.lengths import lengths_by_title
from patterns.units.lengths import SHOWS
from patterns.writing.book.book_parts import SEVERAL, KnownOfParts, parts_contents, parts_section
from patterns.writing.book.book_words import how_to_use, order_of_work
from patterns.writing.report.joint_words import joints_told
from patterns.writing.report.report_blocks import Bullets, Section


def named(boat: str, name: str) -> Part:
    return next(part for part in sample(boat)[1].parts if part.name == name)


def work(boat: Boat) -> str:
    return " ".join(f"{step.do} {step.check}" for step in order_of_work(boat))


def test_a_bottom_between_the_sides_has_no_overhang_to_trim() -> None:
    for name in SAMPLES:
        boat = sample(name)[0].boat
        between = boat.skin.joints[0] is Joint.UPPER_OVER
        bench = how_to_use(named(name, "bottom panel"), boat.skin.joints[0])
        assert ("overhang" in work(boat)) is ("overhang" in bench) is (not between)
        assert ("let it in between the sides" in work(boat)) is between


def test_the_ends_are_called_what_they_are() -> None:
    pram, double_ender, skiff = (work(sample(name)[0].boat) for name in ("duckweed", "reedling", "saltmeadow"))
    assert "then bow transom and transom. Brace" in pram
    assert "stem" not in pram
    assert "then stem and sternpost. Brace" in double_ender
    assert "then stem and transom. Brace" in skiff


def test_a_false_stem_goes_on_only_where_the_boat_has_one() -> None:
    boat = sample("reedling")[0].boat
    assert isinstance(boat.fore, Stem)
    assert "fit the false" not in work(boat)
    assert "flush with the face of the stem and the sternpost. Cover its ends" in work(boat)
    false = StemWork(ends=PlankEnds.FALSE_STEM, false_moulded=20.0)
    both = replace(boat, fore_work=false, aft_work=false)
    assert "fit the false stem and false sternpost over it" in work(both)
    one = replace(boat, fore_work=StemWork(ends=PlankEnds.RABBET), aft_work=false)
    assert "fit the false sternpost over it" in work(one)
    assert "Cover its ends" not in work(one)


def test_limbers_are_cleared_only_where_frames_have_them() -> None:
    boat = sample("saltmeadow")[0].boat
    assert boat.frames is not None
    assert "limbers" in work(boat)
    assert "limbers" not in work(replace(boat, frames=replace(boat.frames, limber=0.0, own=())))
    assert "limbers" not in work(replace(boat, frames=replace(boat.frames, kind=FrameKind.MOULD, own=())))


def test_cross_spalls_are_named_only_where_they_are_drawn() -> None:
    assert "cross spalls" not in work(sample("duckweed")[0].boat)
    assert "cross spalls" in work(sample("reedling")[0].boat)


def test_every_fitted_piece_is_measured_in_the_boat_and_not_sprung() -> None:
    laps = Joint.UPPER_OVER
    for boat, name in (
        *(("duckweed", name) for name in ("quarter knee", "bow quarter knee", "thwart 1 knee")),
        *(("reedling", name) for name in ("breasthook", "after breasthook", "thwart 1 knee")),
    ):
        assert how_to_use(named(boat, name), laps).startswith("Measure the corner in the boat first")
    assert how_to_use(named("reedling", "thwart 1"), laps).startswith("Cut the ends a little long")


def test_only_long_pieces_are_sprung_in() -> None:
    for name in SAMPLES:
        job = sample(name)[1]
        long = {piece.part.name for piece in job.long_pieces}
        assert {part.name for part in job.parts if "spring it in" in how_to_use(part, Joint.LOWER_OVER)} == long


def test_a_sternpost_is_worked_as_a_stem_is() -> None:
    stem, post = (how_to_use(named("reedling", name), Joint.UPPER_OVER) for name in ("stem", "sternpost"))
    assert stem == post
    assert "bearding line" in stem


def steps(boat: Boat) -> list[str]:
    return [step.do for step in order_of_work(boat)]


def order(told: list[str], *words: str) -> bool:
    """Whether steps with these words come one after the other."""
    found = [next(n for n, step in enumerate(told) if word in step) for word in words]
    return found == sorted(found)


def test_no_bottom_is_fitted_from_beneath() -> None:
    upright = steps(sample("reedling")[0].boat)
    assert order(
        upright, "hang them", "bottom up, with help", "Bevel the bottom's edges", "Turn the boat right side up"
    )
    assert "Leave the braces and cross spalls in it" in next(step for step in upright if "bottom up" in step)
    upside_down = steps(sample("duckweed")[0].boat)
    assert not any("bottom up, with help" in step for step in upside_down)
    assert order(upside_down, "Bevel the bottom's edges", "Turn the boat right side up", "Fit risers")


def test_what_only_held_the_boat_is_taken_away_again() -> None:
    assert any("legs of the frames off at the sheer marks" in step for step in steps(sample("duckweed")[0].boat))
    reedling = sample("reedling")[0].boat
    assert not any("legs" in step for step in steps(reedling))
    assert order(steps(reedling), "Fit risers", "Take the cross spalls out")
    assert reedling.frames is not None
    moulds = replace(reedling, frames=replace(reedling.frames, kind=FrameKind.MOULD, own=()))
    assert order(
        steps(moulds), "Turn the boat right side up", "Take the moulds out", "Fit risers", "Take the cross spalls out"
    )
    assert not any("take them out last" in step for step in steps(sample("duckweed")[0].boat))


def test_thwart_and_riser_say_where_they_stand() -> None:
    """From boat.toml of the pram: the thwart at 1080, 220 wide, its top at 240 and 18 thick; 150 past it either way."""
    thwart, riser = (" ".join(named("duckweed", name).remarks) for name in ("thwart 1", "riser"))
    assert "fore edge stands 1080.0 mm aft of FP, its top 240.0 mm above base" in thwart
    assert "222.0 mm above base, from 930.0 mm to 1450.0 mm aft of FP" in riser


def parts_of(name: str) -> Section:
    read, job = sample(name)
    known = KnownOfParts(
        {}, read.boat.show, read.boat.skin.joints[0], lengths_by_title(job.parts, ()), bent_edges(job), {}
    )
    return parts_section(job.parts, known)


def entries(section: Section) -> list[str]:
    return [entry for block in section.blocks if isinstance(block, Bullets) for entry in block.entries]


def test_a_gusset_says_that_one_shape_serves_both_hands() -> None:
    section = parts_of("duckweed")
    told = [*entries(section), *(entry for part in section.parts for entry in entries(part))]
    assert any("one shape turned over serves both" in entry for entry in told)
    assert not any("lies at the bottom" in entry for entry in told)


@pytest.mark.parametrize("name", SAMPLES)
def test_what_is_said_of_several_parts_is_said_once_and_names_them(name: str) -> None:
    section = parts_of(name)
    told = [entry for part in section.parts for entry in entries(part)]
    assert max(told.count(entry) for entry in told) < SEVERAL
    job = sample(name)[1]
    for part in job.parts:
        if part.hand == "port":
            continue
        for remark in part.remarks:
            if remark.startswith("Drawn ") or part.role in TIMBERS:
                continue
            common = [entry for entry in entries(section) if remark in entry]
            own = [entry for one in section.parts for entry in entries(one) if entry == remark]
            assert common or own, (part.title, remark)


@pytest.mark.parametrize("name", SAMPLES)
def test_every_pattern_has_its_place_among_the_parts_and_in_the_contents(name: str) -> None:
    section, job = parts_of(name), sample(name)[1]
    wholes = {part.name for part in job.parts if not part.of}
    titles = [part.title.partition(", ")[0].lower() for part in section.parts]
    assert titles == [name.lower() for name in dict.fromkeys(part.name for part in job.parts if not part.of)]
    assert len(wholes) == len(titles)
    assert [thumb.target for thumb in parts_contents(section).entries] == [f"#{part.anchor}" for part in section.parts]


def test_the_book_says_where_panels_are_joined_and_that_nobody_asked_for_it() -> None:
    told = list(joints_told(sample("reedling")[1]))
    assert len(told) == 2
    assert told[0].startswith("side panel, port; side panel, starboard: scarf (the default)")
    assert "between frame 4 and frame 5" in told[0]


def test_plywood_is_not_grown() -> None:
    for name in ("thwart 1 knee", "quarter knee", "bow quarter knee"):
        assert named("duckweed", name).grain == "face grain along the long edge"
    assert named("reedling", "thwart 1 knee").grain == "along the long edge, or a grown knee"
    assert named("reedling", "breasthook").grain == "athwart, or a grown crook"


@pytest.mark.slow
def test_a_false_stem_was_measured_by_nobody() -> None:
    boat = sample("reedling")[0].boat
    parts = loft(replace(boat, fore_work=StemWork(false_moulded=30.0))).parts
    told = {part.name: part.thickness_is for part in parts}
    assert told["false stem"] == "across at its widest, reckoned"
    assert told["stem"] == "thick as measured"


def test_defaults_in_inches_stand_in_the_units_of_a_boat_in_millimetres() -> None:
    metric = {one.key: one.value for one in sample("duckweed")[0].defaults}
    assert metric["[frames] limber"] == "12.7 mm (1/2 in)"
    assert metric["[router] gap"] == "12.7 mm (0.5 in)"
    assert metric["[frames] notch_allowance"] == "0.0 mm"
    assert metric["[printer] margin"] == "12 mm"
    assert metric["[frames] kind"] == "sawn"
    inches = {one.key: one.value for one in sample("reedling")[0].defaults}
    assert inches["[frames] limber"] == "1/2 in"
    one = next(one for one in sample("reedling")[0].defaults if one.key == "[frames] limber")
    for show in SHOWS:
        assert one.shown(show).value.startswith("1/2 in") is (show.startswith(("in", "ft")))


def test_no_bevel_board_says_end_twice() -> None:
    for name in SAMPLES:
        for board in bevel_boards(sample(name)[1].parts, show="mm"):
            for edge in board.edges:
                assert not edge.begins.endswith("end end")


@pytest.mark.parametrize("hand", ["port", "starboard"])
def test_the_number_of_a_corner_stands_nearer_that_corner_than_any_other_point(hand: str) -> None:
    log = next(p for p in sample("duckweed")[1].parts if p.name == "chine log" and p.hand == hand)
    table = layout_table(log, room=None, show="mm")
    drawing = layout_drawing(table)
    labels = {m.text: np.array(m.at) for m in drawing.marks if isinstance(m, Label)}
    crosses = np.array([m.at for m in drawing.marks if isinstance(m, Cross)])
    corners = {number for one in table.diagonals for number in (one.first, one.second)}
    assert len(corners) == 4
    for number in corners:
        assert lengths(crosses - labels[str(number)]).argmin() + 1 == number
