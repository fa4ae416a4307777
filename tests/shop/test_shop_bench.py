"""Bending, boards and scarfs, held to published figures and to brute force; and what the bench sheets say."""

from __future__ import annotations

import json
import re
from dataclasses import replace
from functools import cache
from itertools import pairwise
from pathlib import Path

import numpy as np
import pytest
from shapely import Polygon, box

from patterns.drawing.marks import Drawing, Label, Stroke
from patterns.drawing.obstacles import obstacles
from patterns.drawing.text import LONGEST_NAME, label_box, label_boxes
from patterns.parts.long.long_pieces import Bends, LongPiece
from patterns.parts.materials import NOT_STATED
from patterns.parts.whole import loft
from patterns.plates.bench.bench_page import HEIGHT, WIDTH
from patterns.plates.bench.bench_pages import bench_sheets
from patterns.plates.bench.saw_plan import rip_plan
from patterns.reading.boat.boat_toml import read_boat
from patterns.shop.saw.bend_verdict import Way, bend_verdict, bow
from patterns.shop.saw.board_layout import Span, best_place, edges_as_laid
from patterns.shop.saw.envelopes import envelope
from patterns.shop.saw.guide_room import board_edges
from patterns.shop.saw.long_bench import BenchPiece, bench
from patterns.shop.saw.saw_rules import BenchRules, Board, Sweep
from patterns.shop.saw.saw_setup import saw_setup
from patterns.shop.saw.scarfs import scarf_plan
from patterns.shop.woods import strength_left, wood_called
from patterns.writing.job_json.job_bench import bench_figures

SALTMEADOW = Path(__file__).parents[2] / "samples" / "saltmeadow"


@cache
def _boat() -> tuple[tuple[LongPiece, ...], BenchRules]:
    read = read_boat(SALTMEADOW)
    return loft(read.boat).long_pieces, read.bench


@cache
def _bench() -> tuple[BenchPiece, ...]:
    return bench(*_boat())


def _piece(title: str) -> LongPiece:
    return next(piece for piece in _boat()[0] if piece.part.title == title)


def _bent(radius: float) -> LongPiece:
    """The starboard inwale, 19.05 mm thick, as if it bent everywhere to one radius."""
    piece = _piece("inwale, starboard")
    level = np.zeros(len(piece.bends.along))
    return replace(piece, bends=Bends(piece.bends.along, level + 1 / radius, level, level))


def _whole(board: Board) -> Span:
    return Span(board, 1, 1, 0.0, board.length)


# --- Bending ---


@pytest.mark.parametrize(
    ("ratio", "way"),
    [(101, Way.SPRING), (99, Way.TRY), (70, Way.TRY), (68, Way.STEAM), (59, Way.STEAM), (29, Way.LAMINATE)],
)
def test_radius_over_thickness_settles_how_a_piece_is_bent(ratio: float, way: Way) -> None:
    """Over 100 springs cold, 60 to 100 a sample, under 60 steam or laminate (common practice, no single source).

    At 69 thicknesses this white oak is strained to 85 % of what breaks it, so it is steamed sooner than at 60.
    """
    assert bend_verdict(_bent(ratio * 19.05)).way is way


def test_surface_strain_is_thickness_over_twice_the_radius_against_the_handbooks_breaking_strain() -> None:
    """White oak at 12 %: rupture 104.8 MPa, stiffness 12.27 GPa (Wood Handbook, FPL-GTR-282, Table 5-3b)."""
    verdict = bend_verdict(_bent(1905.0))
    assert verdict.share == pytest.approx(19.05 / (2 * 1905.0) / (104.8 / 12270.0), rel=1e-3)


def test_weak_wood_is_steamed_where_it_would_break_by_the_handbook() -> None:
    piece = _bent(62 * 19.05)
    weak = replace(piece, rules=replace(piece.rules, material="douglas-fir, coast"))
    assert bend_verdict(weak).way is Way.STEAM


def test_strain_and_run_out_are_judged_together() -> None:
    """Two thirds of the breaking strain is near the end of a wood with 72 % of its strength left."""
    piece = _bent(75 * 19.05)
    straight, winding = bend_verdict(piece), bend_verdict(piece, slope=1 / 9)
    assert straight.share == winding.share
    assert straight.share == pytest.approx(1 / 150 / (104.8 / 12270.0), rel=1e-3)
    # ANC-18, Table 2-4: 78 % left at 1 in 10, 67 % at 1 in 8.
    assert 0.67 < winding.strength < 0.78
    assert winding.strained == pytest.approx(straight.share / winding.strength)
    assert straight.way is Way.TRY
    assert winding.way is Way.STEAM


@pytest.mark.parametrize("slope", [0.0, 1 / 15, 1 / 10, 1 / 8, 1 / 5])
def test_more_run_out_never_makes_a_bend_easier(slope: float) -> None:
    hardness = list(Way)
    for ratio in (110.0, 95.0, 80.0, 65.0):
        piece = _bent(ratio * 19.05)
        assert hardness.index(bend_verdict(piece, slope).way) >= hardness.index(bend_verdict(piece).way)


def test_laminations_are_thin_enough_to_spring_cold_to_their_form_and_spring_back_by_one_over_n_squared() -> None:
    """50 thicknesses: two layers at 100, on a form of 3/4 the radius at 75; three on a form of 8/9 at 133."""
    layers = bend_verdict(_bent(50 * 19.05)).layers
    assert layers is not None
    assert layers.count == 3
    assert layers.thickness == pytest.approx(19.05 / 3)
    assert layers.springs_back == pytest.approx(bend_verdict(_bent(50 * 19.05)).depth / 9)


def test_depth_of_a_steady_bend_is_that_of_an_arc() -> None:
    """s = c^2/(8R) for a bend that is slight (geometry)."""
    along = np.array([0.0, 300.0, 700.0, 1500.0, 2000.0])
    assert bow(along, np.full(5, 1 / 20000.0)) == pytest.approx(2000.0**2 / (8 * 20000.0), rel=0.001)


def test_wood_answers_to_the_builders_name_and_of_several_the_weakest() -> None:
    red = wood_called("red oak")
    assert red is not None
    assert red.species == "oak, northern red"
    cedar = wood_called("cedar")
    assert cedar is not None
    assert cedar.breaks_at == pytest.approx(51.7 / 7650.0)  # western redcedar breaks at the least strain of them
    assert wood_called(NOT_STATED) is None


# --- Boards ---


@pytest.mark.parametrize(("one_in", "left"), [(15, 1.0), (12, 0.88), (10, 0.78), (8, 0.67), (40, 1.0)])
def test_strength_left_is_the_published_one(one_in: float, left: float) -> None:
    """ANC-18, Design of Wood Aircraft Structures (1944), Table 2-4."""
    assert strength_left(1 / one_in) == pytest.approx(left)


def test_steeper_than_the_table_no_strength_is_told() -> None:
    assert strength_left(1 / 6) is None


def test_a_piece_lies_within_its_board_and_clear_of_sapwood() -> None:
    """Brute force: the sawn outline, set down as the sheet says, against the board as a polygon."""
    piece = _piece("chine log, port")
    takes = envelope(piece, None)
    board = Board(4500.0, 190.0, 45.0, 1, "", sweep=Sweep(30.0, 4000.0), avoid=(15.0, 20.0))
    place = best_place(takes, [_whole(board)], kerf=2.0, pair=False)
    assert place is not None
    low, high = edges_as_laid(place)
    strips = board.avoid[::-1] if place.turned_over else board.avoid
    sound = Polygon(np.concatenate([low + np.array([0, strips[0]]), (high - np.array([0, strips[1]]))[::-1]]))
    x = takes.x - takes.x[0]
    ring = np.concatenate([np.column_stack([x, takes.low]), np.column_stack([x, takes.high])[::-1]])
    cos, sin = np.cos(place.turn), np.sin(place.turn)
    laid = Polygon(ring @ np.array([[cos, sin], [-sin, cos]]) + (place.along, place.across))
    assert laid.difference(sound.buffer(0.3)).intersection(box(place.along + 5, -1e4, 1e5, 1e4)).area < 1.0


def test_in_a_board_that_sweeps_as_the_piece_does_the_grain_runs_out_less() -> None:
    takes = envelope(_piece("chine log, port"), None)
    straight, swept = (
        best_place(takes, [_whole(Board(4800.0, 220.0, 45.0, 1, "", sweep=sweep))], kerf=2.0, pair=False)
        for sweep in (None, Sweep(45.0, 4000.0))
    )
    assert straight is not None
    assert swept is not None
    assert swept.one_in > 1.2 * straight.one_in


def test_run_out_of_a_straight_board_is_the_pieces_own_slope() -> None:
    takes = envelope(_piece("chine log, port"), None)
    place = best_place(takes, [_whole(Board(4800.0, 400.0, 45.0, 1, ""))], kerf=2.0, pair=False)
    assert place is not None
    slopes = np.gradient((takes.low + takes.high) / 2, takes.x)
    # Turned so that both ends of its slopes are as steep, no turn does better.
    assert place.slope == pytest.approx(float(np.ptp(slopes)) / 2, abs=2e-3)


def test_a_board_bent_the_other_way_is_turned_over() -> None:
    """Port and starboard lie the one as the board is measured, the other turned over."""
    board = Board(4800.0, 190.0, 45.0, 1, "", sweep=Sweep(45.0, 4000.0))
    found = [
        best_place(envelope(_piece(f"chine log, {hand}"), None), [_whole(board)], kerf=2.0, pair=False)
        for hand in ("port", "starboard")
    ]
    assert all(found)
    assert found[0].turned_over is not found[1].turned_over  # type: ignore[union-attr]
    assert found[0].slope == pytest.approx(found[1].slope, abs=2e-4)  # type: ignore[union-attr]


def test_both_hands_come_out_of_one_board_where_it_is_wide_enough() -> None:
    pieces, rules = _boat()
    wide = replace(rules, boards=(Board(4800.0, 260.0, 45.0, 1, "red oak"),))
    made = {one.title: one for one in bench(pieces[:2], wide)}
    place = made["chine log, port"].place
    assert place is not None
    assert place.pair is not None
    assert made["chine log, starboard"].place is None
    narrow = bench(pieces[:2], rules)
    assert [one.place is not None for one in narrow] == [True, True]


def test_a_piece_is_not_laid_on_a_board_of_other_wood_or_one_too_thin() -> None:
    pieces, rules = _boat()
    for board in (Board(5000.0, 260.0, 45.0, 9, "white oak"), Board(5000.0, 260.0, 30.0, 9, "red oak")):
        assert bench(pieces[:1], replace(rules, boards=(board,)))[0].place is None


# --- Scarfs ---


def test_straight_grain_along_a_straight_piece_does_not_run_out() -> None:
    made = next(one for one in _bench() if one.title == "keel batten")
    assert made.least.one_in == float("inf")


def test_scarfs_stand_off_frames_staggered_and_every_length_comes_out_of_a_board() -> None:
    port, starboard = (_piece(f"inwale, {hand}") for hand in ("port", "starboard"))
    first = scarf_plan(port, 3000.0, 12.0)
    assert first is not None
    second = scarf_plan(starboard, 3000.0, 12.0, first.scarfs)
    assert second is not None
    assert not {one.bay for one in first.scarfs} & {one.bay for one in second.scarfs}
    for plan, piece in ((first, port), (second, starboard)):
        assert plan.length == pytest.approx(12 * piece.thickness)
        assert max(plan.boards) <= 3000.0
        # Glued, each scarf shortens the run by ratio x thickness; what is left is the sawn length, measured along the
        # lower edge, which is longer than its chord by a hair.
        glued = plan.gross - len(plan.scarfs) * plan.length
        sawn = envelope(piece, None).length
        assert sawn <= glued <= sawn + 2.0
        frames = [place.along for place in piece.places if place.name]
        for one in plan.scarfs:
            assert one.clear
            assert all(not one.fore_tip <= frame <= one.after_tip for frame in frames)


def test_a_board_shorter_than_its_scarfs_makes_no_piece() -> None:
    assert scarf_plan(_piece("inwale, port"), 300.0, 12.0) is None


# --- Sheets ---


def _sheets(title: str) -> list[Drawing]:
    made = next(one for one in _bench() if one.title == title)
    return bench_sheets(made, boat="Saltmeadow", show="ft-in-16ths")


def test_names_on_a_plan_of_a_cut_stand_clear_of_every_line_and_of_each_other() -> None:
    """A name with a line through it, or over the wrong line, is read as that line's: a cut along the wrong edge."""
    sawn = [made for made in _bench() if made.setup is not None]
    assert sawn
    for made in sawn:
        for rip in made.setup.rips:
            board = board_edges(rip, made.place) if made.place else None
            marks = rip_plan(made.setup, rip, board, width=WIDTH).marks
            lines = obstacles(mark for mark in marks if isinstance(mark, Stroke))
            named = [mark for mark in marks if isinstance(mark, Label)]
            # Figures hang below no line of writing: a frame's number fills a slender piece from edge to edge.
            names = [replace(mark, size=mark.size * (0.7 if mark.text.isdigit() else 1.0)) for mark in named]
            assert lines.free(label_boxes(names)).all(), (made.title, rip.edge.name)
            for number, one in enumerate(named):
                assert obstacles(named[:number]).free(label_boxes([one])).all(), (made.title, one.text)


def _words(drawings: list[Drawing]) -> str:
    return " ".join(mark.text for drawing in drawings for mark in drawing.marks if isinstance(mark, Label))


def test_nothing_of_a_sheet_lies_off_its_page() -> None:
    for title in (piece.part.title for piece in _boat()[0]):
        for drawing in _sheets(title):
            for mark in drawing.marks:
                points = mark.points if isinstance(mark, Stroke) else label_box(mark)  # type: ignore[arg-type]
                assert points.min() >= -0.5, title
                assert (points.max(axis=0) <= (WIDTH + 0.5, HEIGHT + 0.5)).all(), title


@pytest.mark.slow
@pytest.mark.parametrize("show", ["ft-in-16ths", "in-16ths", "mm"])
def test_no_length_on_a_bench_sheet_is_broken_between_two_lines(show: str) -> None:
    """Read from the next line alone, 75 7/16 in is 7/16 in."""
    for made in _bench():
        for drawing in bench_sheets(made, boat="Saltmeadow", show=show):
            lines = [mark for mark in drawing.marks if isinstance(mark, Label)]
            for line, below in pairwise(lines):
                if line.at[0] - 5.0 < below.at[0] <= line.at[0] + 5.0 and 0 < line.at[1] - below.at[1] < 2 * line.size:
                    broken = re.search(r"\d'?$", line.text) and re.match(
                        r"\d+/\d|\d+ \d+/\d|(mm|cm|m|in)\b", below.text
                    )
                    assert not broken or line.anchor == "end", (line.text, below.text)


def test_the_longest_name_a_boat_or_a_stringer_can_have_stays_on_the_page() -> None:
    widest = "W" * LONGEST_NAME
    made = _bench()[0]
    named = replace(made, piece=replace(made.piece, part=replace(made.piece.part, name=widest)))
    assert named.setup is not None
    named = replace(named, setup=replace(named.setup, piece=named.piece))
    assert widest in named.title
    for drawing in bench_sheets(named, boat=widest, show="ft-in-16ths"):
        boxes = [label_box(mark) for mark in drawing.marks if isinstance(mark, Label)]
        assert max(float(box.max(axis=0)[0]) for box in boxes) <= WIDTH + 0.5
        assert any(mark.text.startswith("WWWW") for mark in drawing.marks if isinstance(mark, Label))


@pytest.mark.parametrize(("hand", "other"), [("PORT", "STARBOARD"), ("STARBOARD", "PORT")])
def test_each_sheet_names_its_hand_and_never_two_of_a_kind(hand: str, other: str) -> None:
    drawings = _sheets(f"chine log, {hand.lower()}")
    assert all(hand in drawing.title for drawing in drawings)
    words = _words(drawings)
    assert other not in words
    assert "cut two" not in words.lower()


def test_every_rip_sheet_carries_its_cautions_and_the_piece_sheet_those_of_bending() -> None:
    words = _words(_sheets("chine log, port"))
    assert words.count("Never saw freehand at a tilt") == 2
    assert "Bent stock stores energy" in words
    assert words.count("follow local codes") + words.count("local codes") >= 3


def test_the_set_up_section_of_starboard_is_that_of_port_seen_in_a_mirror() -> None:
    def heavy(title: str) -> list[np.ndarray]:
        found = [mark.points for mark in _sheets(title)[1].marks if isinstance(mark, Stroke) and mark.closed]
        return [points - points.mean(axis=0) for points in found]

    for port, starboard in zip(heavy("chine log, port"), heavy("chine log, starboard"), strict=True):
        assert sorted(np.round(port * (-1, 1), 3).tolist()) == sorted(np.round(starboard, 3).tolist())


@pytest.mark.slow
@pytest.mark.parametrize(
    ("other", "said"),
    [
        ({"plate": 1.5875}, "cuts straight lines only"),
        ({"plate": 1.56}, "THE BLADE RUBS: this cut turns to"),
        ({"blade_diameter": 60.0}, "THE BLADE DOES NOT COME THROUGH"),
        ({"guide": ()}, "No test cuts in [saw] guide"),
    ],
)
def test_a_saw_that_will_not_do_is_told_on_its_sheet(other: dict, said: str) -> None:
    pieces, rules = _boat()
    assert rules.saw is not None
    [made] = bench(pieces[:1], replace(rules, saw=replace(rules.saw, **other)))
    assert said in _words(bench_sheets(made, boat="Saltmeadow", show="mm"))
    json.dumps(bench_figures(made), allow_nan=False)


def test_figures_of_the_bench_are_json_without_infinities() -> None:
    for one in _bench():
        assert json.loads(json.dumps(bench_figures(one), allow_nan=False))["saw"][0]["order"] == 1


def test_the_blade_leaves_the_lower_face_thickness_times_the_tangent_aside() -> None:
    piece = _piece("chine log, port")
    saw = _boat()[1].saw
    assert saw is not None
    for rip in saw_setup(piece, saw).rips:
        assert abs(rip.setting.aside) == pytest.approx(piece.thickness * np.tan(rip.setting.tilt))
        gap = rip.setting.foot_line - rip.setting.saw_line
        assert np.hypot(*gap.T) == pytest.approx(abs(rip.setting.aside))
