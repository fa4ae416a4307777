"""Half patterns: both halves together are the whole, and where they are alike one is printed, to be turned over."""

from __future__ import annotations

from dataclasses import replace
from functools import cache

import numpy as np
import pytest
from boats import saltmeadow
from sample_jobs import sample
from shapely import LineString, Polygon

from patterns.drawing.marks import Cross, Drawing, Label, Stroke
from patterns.job.shared.drafting import drafting
from patterns.job.wishes.wishes import Wishes
from patterns.parts.asked.end_rules import ScullingNotch, TransomWork
from patterns.parts.part import Part
from patterns.parts.whole import Job, loft
from patterns.plates.pattern.halves import Half, half_to_turn, halves
from patterns.plates.pattern.plate import Printing, plate
from patterns.tiling.paper.paper import PaperSetup
from patterns.units.papers import paper_size

NAMES = ("saltmeadow", "duckweed", "reedling")


def both(part: Part) -> tuple[Half, Half]:
    found = halves(part)
    assert found is not None
    return found


def parted(job: Job) -> list[tuple[Part, tuple[Half, Half]]]:
    return [(part, found) for part in job.parts if (found := halves(part))]


@pytest.mark.slow
@pytest.mark.parametrize("name", NAMES)
def test_halves_together_are_the_whole_on_both_faces(name: str) -> None:
    cases = parted(sample(name)[1])
    titles = {part.name for part, _ in cases}
    assert {"bottom panel"} < titles
    assert any(title.startswith("frame") for title in titles)
    for part, pair in cases:
        for face in ("outline", "far_outline"):
            whole = Polygon(getattr(part, face))
            one, other = (Polygon(getattr(half.part, face)) for half in pair)
            assert whole.symmetric_difference(one.union(other)).area < 1e-3
            assert one.intersection(other).area < 1e-6


@pytest.mark.slow
@pytest.mark.parametrize("name", NAMES)
def test_a_floor_timbers_starboard_half_lies_right_seen_from_aft_and_left_from_ahead(name: str) -> None:
    for part in sample(name)[1].parts:
        if part.name.endswith("floor timber"):
            starboard, _ = both(part)
            assert starboard.part.title.endswith("starboard half")
            middle = float(starboard.part.outline[:, 0].mean())
            assert (middle > 0) == (part.marked_face == "after face")


@pytest.mark.parametrize("name", NAMES)
def test_each_half_has_the_hand_its_edges_and_words_say(name: str) -> None:
    for part, pair in parted(sample(name)[1]):
        for half, hand, other in zip(pair, ("starboard", "port"), ("port", "starboard"), strict=True):
            assert half.part.title == f"{part.name}, {hand} half"
            assert not [edge.name for edge in half.part.edges if edge.name.endswith(other)]
            notes = {note.text for note in half.part.notes}
            assert other.upper() not in notes
            if {note.text for note in part.notes} & {"PORT", "STARBOARD"}:
                assert hand.upper() in notes


def test_bevels_of_a_half_are_those_of_the_whole_at_the_same_places() -> None:
    transom = next(part for part in sample("saltmeadow")[1].parts if part.name == "transom")
    for half in both(transom):
        for edge in half.part.edges:
            whole = next(one for one in transom.edges if one.name == edge.name)
            start = LineString(whole.points).project(LineString(edge.points).interpolate(0.0))
            along = [bevel.along for bevel in whole.bevels]
            for bevel in edge.bevels:
                known = np.interp(start + bevel.along, along, [one.angle for one in whole.bevels])
                assert bevel.angle == pytest.approx(known, abs=1e-6)


def drawn(half: Half) -> Drawing:
    return plate(half.part, Printing("Saltmeadow", "mm"), half=half)


@pytest.mark.parametrize("name", NAMES)
def test_a_half_to_turn_is_the_whole_with_its_image_and_says_face_and_turning(name: str) -> None:
    found = [(part, half) for part in sample(name)[1].parts if (half := half_to_turn(part))]
    assert any(part.name.startswith(("frame", "mould")) for part, _ in found)
    for part, half in found:
        axis = int(np.ptp(half.fold[:, 0]) > 0)
        flip = np.where(np.arange(2) == axis, -1.0, 1.0)
        for face in ("outline", "far_outline"):
            one = Polygon(getattr(half.part, face))
            image = Polygon(getattr(half.part, face) * flip)
            assert Polygon(getattr(part, face)).symmetric_difference(one.union(image)).area < 1.0
        said = " ".join(half.part.remarks)
        assert part.marked_face in said
        assert "Turn the paper over" in said
        assert "printed side down" in said
        # Both lines it is laid by stand square to each other and cross on the centre line.
        along, across = np.diff(half.fold, axis=0)[0], np.diff(half.square, axis=0)[0]
        assert along @ across == pytest.approx(0.0, abs=1e-6)
        assert np.abs(half.square[0, axis]) < 1e-6
        assert np.hypot(*across) > 60.0


def test_a_pattern_that_differs_side_from_side_has_no_half_to_turn() -> None:
    assert half_to_turn(sculled()) is None
    assert half_to_turn(next(part for part in sample("saltmeadow")[1].parts if part.name == "transom")) is not None


def test_both_halves_carry_the_same_crosses_on_the_centre_line_and_no_finished_line_along_it() -> None:
    frame = next(part for part in sample("saltmeadow")[1].parts if part.name == "frame 3")
    on_it = []
    for half in both(frame):
        drawing = drawn(half)
        on_it.append(
            {mark.at for mark in drawing.marks if isinstance(mark, Cross) and mark.at[0] == 0 and mark.arm > 4}
        )
        net = next(mark for mark in drawing.marks if isinstance(mark, Stroke) and mark.layer == "cut-outside")
        assert not net.closed
        assert np.abs(net.points[[0, -1], 0]).max() < 1e-6
        lone = (np.abs(net.points[1:, 0]) < 1e-6) & (np.abs(net.points[:-1, 0]) < 1e-6)
        assert not lone.any()
        # Text reads as text: drawn for its own side, never a mirror image.
        assert any(mark.text.startswith("Frame 3") for mark in drawing.marks if isinstance(mark, Label))
    assert on_it[0] == on_it[1]
    assert len(on_it[0]) >= 3


def test_a_saw_line_stops_at_the_joining_line() -> None:
    transom = next(part for part in sample("saltmeadow")[1].parts if part.name == "transom")
    whole = {name: drawn(half) for name, half in zip("sp", both(replace(transom, saw_allowance=3.0)), strict=True)}
    for drawing, side in zip(whole.values(), (1.0, -1.0), strict=True):
        saws = [mark for mark in drawing.marks if isinstance(mark, Stroke) and mark.layer == "saw"]
        assert saws
        assert all((side * mark.points[:, 0]).min() > -1e-6 for mark in saws)


@cache
def sculled() -> Part:
    work = TransomWork(sculling=ScullingNotch(50.0, 60.0, 200.0))
    return next(part for part in loft(replace(saltmeadow(), aft_work=work)).parts if part.name == "transom")


def test_what_stands_on_one_side_only_is_on_that_half_only() -> None:
    starboard, port = both(sculled())
    assert "sculling notch" in [edge.name for edge in starboard.part.edges]
    assert "sculling notch" not in [edge.name for edge in port.part.edges]


def test_pieces_that_go_on_one_sheet_and_pieces_of_one_hand_stay_whole() -> None:
    job = sample("saltmeadow")[1]
    some = replace(job, parts=tuple(p for p in job.parts if p.name in ("frame 3", "stem", "frame 3 gusset")))
    drafts = drafting(some, (), Wishes())
    drawings = drafts.all_drawn()
    letter, vast = PaperSetup(*paper_size("letter"), 12.0, 16.0, "letter"), PaperSetup(5e3, 5e3, 12.0, 16.0, "vast")
    assert set(drafts.halved(drawings, letter)) == {"frame 3"}
    assert drafts.halved(drawings, vast) == {}
