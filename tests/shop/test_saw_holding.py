"""Rips that can be held: which side has the wood, where no screw goes, the last cut, and the page of test cuts."""

from __future__ import annotations

import re
from dataclasses import replace
from pathlib import Path

import numpy as np
import pytest
from sample_jobs import SAMPLES, sample

from patterns.drawing.marks import Drawing, Label
from patterns.geometry.arrays import Floats
from patterns.job.shared.bench_pages import saw_sheets
from patterns.parts.long.long_pieces import LongPiece
from patterns.plates.bench.bench_pages import rip_sheet
from patterns.plates.bench.saw_test_page import saw_test_sheet
from patterns.plates.words.bench_words import slope_words
from patterns.reading.boat.boat_toml import read_boat
from patterns.shop.saw.edge_views import NEAR, edge_view
from patterns.shop.saw.guide_room import CLEAR, guide_room, screw_free
from patterns.shop.saw.long_bench import bench
from patterns.shop.saw.mirrored import in_pairs, mirrored
from patterns.shop.saw.saw_rules import BenchRules, Board, Leans, SawRules
from patterns.shop.saw.saw_setup import saw_setup
from patterns.shop.saw.tested_tilts import tilts_to_test

MIRROR = {"near": "away", "away": "near"}
SALTMEADOW = Path(__file__).parents[2] / "samples" / "saltmeadow"


def _saw(**other: object) -> SawRules:
    saw = sample("saltmeadow")[0].bench.saw
    assert saw is not None
    return replace(saw, **other)  # type: ignore[arg-type]


def _labels(pages: list[Drawing]) -> list[str]:
    return [mark.text for page in pages for mark in page.marks if isinstance(mark, Label)]


def _pieces(name: str) -> list[LongPiece]:
    return [piece for piece in sample(name)[1].long_pieces if piece.part.hand != "starboard"]


@pytest.mark.parametrize("name", SAMPLES)
@pytest.mark.parametrize("pins", [None, 200.0])
def test_the_hollow_edge_is_sawn_first(name: str, pins: float | None) -> None:
    """By the area between the middle of the pattern and its chord: its sign says on which side the hollow lies."""
    for piece in _pieces(name):
        upper, lower = (edge_view(piece, edge, NEAR) for edge in ("upper", "lower"))
        line: Floats = upper.net[upper.of_piece]
        middle = (line[:, 1] + np.interp(line[:, 0], *lower.net.T)) / 2
        chord = np.interp(line[:, 0], line[[0, -1], 0], middle[[0, -1]])
        if np.abs(middle - chord).max() < 3.0:
            continue
        hollow = "lower" if (np.mean(middle - chord) > 0) == (upper.out > 0) else "upper"
        assert saw_setup(piece, _saw(pins=pins)).rips[0].edge.name == hollow, piece.part.title


def test_what_is_spare_lies_beside_the_last_cut() -> None:
    """A board 120 mm wider than the least: all of it carries the shoe; the first cut keeps what holds it, no more."""
    piece = next(one for one in _pieces("saltmeadow") if one.name == "chine log")
    [alone] = bench([piece], BenchRules(_saw(), (), 12.0))
    board = Board(alone.least.length + 50.0, alone.least.width + 120.0, alone.least.thickness, 1, "red oak")
    [made] = bench([replace(piece, part=replace(piece.part, hand="none"))], BenchRules(_saw(), (board,), 12.0))
    assert made.place is not None
    assert made.setup is not None
    first, last = made.setup.rips
    room = guide_room(last, made.place)
    assert room is not None
    assert room.has is not None
    low, high = made.takes.outer
    across = [made.place.laid(np.column_stack([made.takes.x, side]))[:, 1] for side in (low, high)]
    spare = float(across[0].min()), float(board.width - across[1].max())
    above = edge_view(piece, first.edge.name, NEAR).out > 0
    beside_first, beside_last = spare[::-1] if above else spare
    assert beside_first == pytest.approx(0.0, abs=0.2)
    assert beside_last > 45.0
    assert first.guide_on_piece
    assert not last.guide_on_piece


def test_no_screw_stands_in_the_piece_or_near_a_cut() -> None:
    """A square-edged piece, hand-worked: its width as sawn, a kerf of 1.5875 and 12.7 mm on either side."""
    piece = next(one for one in _pieces("saltmeadow") if one.name == "outwale")
    setup = saw_setup(piece, _saw())
    first, last = setup.rips
    near = 1.5875 + CLEAR
    sawn = float(setup.width.max())
    for rip in (first, last):
        free = screw_free(setup, rip)
        piece_side, rest_side = free.guide_side, free.other_side
        if rip is last:
            piece_side, rest_side = rest_side, piece_side
        assert rest_side == pytest.approx(near, abs=0.05)
        assert piece_side == pytest.approx(sawn + near, abs=0.3)
        assert free.guide_clear
    close = saw_setup(piece, _saw(guide=((0.0, 20.0),)))
    assert not screw_free(close, close.rips[0]).guide_clear, "a guide that lies over the piece is not tacked to it"


def test_tilts_to_test_reach_the_steepest_bevel_and_no_further_than_the_saw() -> None:
    pieces = _pieces("duckweed")
    steepest = max(abs(np.degrees(b)) for one in pieces for place in one.places for b in (place.lower, place.upper))
    tilts = np.degrees(tilts_to_test(pieces, None))
    assert tilts[0] == 0.0
    assert np.diff(tilts) == pytest.approx(5.0)
    assert steepest <= tilts[-1] + 1e-6 < steepest + 5.0
    assert np.degrees(tilts_to_test(pieces, _saw(tilts_to=float(np.radians(17.0))))[-1]) == pytest.approx(15.0)


def test_the_page_of_test_cuts_filled_in_is_read_back_as_the_guide(tmp_path: Path) -> None:
    """The keys as the page prints them, each blank filled in by hand."""
    [page] = saw_test_sheet(sample("saltmeadow")[1].long_pieces, _saw(), boat="Saltmeadow", show="ft-in-16ths")
    lines = [mark.text for mark in page.marks if isinstance(mark, Label)]
    [printed] = [line for line in lines if line.startswith("guide = ")]
    figures = iter(["5 7/16 in", "5 3/8 in", "5 5/16 in", "5 1/4 in", "5 3/16 in", "5 1/8 in"])
    filled = re.sub("____", lambda _: next(figures), printed)
    text = (SALTMEADOW / "boat.toml").read_text(encoding="utf-8")
    own = next(line for line in text.splitlines() if line.startswith("guide "))
    (tmp_path / "boat.toml").write_text(text.replace(own, filled), encoding="utf-8")
    (tmp_path / "offsets.csv").write_bytes((SALTMEADOW / "offsets.csv").read_bytes())
    saw = read_boat(tmp_path).bench.saw
    assert saw is not None
    assert [round(float(np.degrees(tilt)), 6) for tilt, _ in saw.guide[:3]] == [0.0, 5.0, 10.0]
    assert [mm for _, mm in saw.guide[:2]] == pytest.approx([5.4375 * 25.4, 5.375 * 25.4])
    assert any("5 3/8" in line for line in lines), "what boat.toml has now stands beside the blanks"


@pytest.mark.parametrize("name", SAMPLES)
def test_one_sheet_serves_both_hands_and_every_figure_of_starboards_own_stands_on_it(name: str) -> None:
    """Starboard drawn by itself has the same table, but for the side of its string that its guide lies on."""
    worked = bench(sample(name)[1].long_pieces, BenchRules(_saw(), (), 12.0))
    pairs = in_pairs(worked)
    assert [one.title for pair in pairs for one in pair if one] == [one.title for one in worked]
    for port, starboard in pairs:
        assert (starboard is None) == (port.piece.part.hand == "none"), port.title
        if starboard is None or port.setup is None or starboard.setup is None:
            continue
        for rip, other in zip(port.setup.rips, starboard.setup.rips, strict=True):
            shared = _labels(rip_sheet(port, port.setup, rip, boat="A", show="mm", other=starboard))
            own = _labels(rip_sheet(starboard, starboard.setup, other, boat="A", show="mm"))
            figures = [text for text in own if re.fullmatch(r"[\d.]+ mm( near| away)?", text)]
            figures = [re.sub(r"near|away", lambda word: MIRROR[word[0]], text) for text in figures]
            assert figures == [text for text in shared if re.fullmatch(r"[\d.]+ mm( near| away)?", text)]
            assert "PORT bow to your left, STARBOARD bow to your right" in re.sub(r"\s+", " ", " ".join(shared))


def test_a_pair_that_is_no_mirror_image_has_two_sheets() -> None:
    port, starboard = bench(sample("saltmeadow")[1].long_pieces[:2], BenchRules(_saw(), (), 12.0))
    other = bench([starboard.piece], BenchRules(_saw(leans=Leans.AWAY), (), 12.0))[0]
    assert mirrored(port, starboard)
    assert not mirrored(port, other)
    assert in_pairs([port, other]) == [(port, None), (other, None)]


def test_the_sample_boats_booklet_has_one_page_for_each_set_up() -> None:
    read, job = sample("saltmeadow")
    pages = saw_sheets(bench(job.long_pieces, read.bench), (), _saw(), boat="A", show="ft-in-16ths")
    rips = [page.title for _, page in pages if ": rip " in page.title]
    assert len(rips) == len(set(rips)) == 2 * len({piece.name for piece in job.long_pieces})
    assert not any("(2)" in title for title in rips)
    assert len(pages) <= 20


def test_an_angle_is_told_as_so_far_square_to_a_line() -> None:
    """tan 18.5 = 0.33460: 3.346 in 10 in, to the step 3 3/8 in; 66.9 in 200 mm."""
    assert slope_words(float(np.radians(18.5)), "in-16ths") == '3 3/8" in 10"'
    assert slope_words(float(np.radians(18.5)), "mm") == "66.9 mm in 200.0 mm"
