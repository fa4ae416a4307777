"""Long pieces on the builder's boards: both hands on one, wood for the guide, scarfs drawn, boards refused."""

from __future__ import annotations

from dataclasses import replace

import numpy as np
import pytest
import shapely
from sample_jobs import SAMPLES, sample

from patterns.drawing.marks import Drawing, Label, Stroke
from patterns.geometry.bending import bending_along
from patterns.parts.long.long_pieces import Bends, LongPiece
from patterns.plates.bench.bench_page import Block
from patterns.plates.bench.bench_pages import bench_sheets
from patterns.plates.bench.saw_plan import turned_board_plan
from patterns.plates.bench.scarf_drawing import scarf_drawing
from patterns.plates.words.bench_words import no_more
from patterns.shop.router.cut_lines import cut_edges
from patterns.shop.saw.bend_verdict import bend_verdict
from patterns.shop.saw.board_layout import BETWEEN, BoardPlace, edges_as_laid
from patterns.shop.saw.board_stock import Lack
from patterns.shop.saw.guide_room import BATTEN, guide_room
from patterns.shop.saw.long_bench import BenchPiece, bench
from patterns.shop.saw.saw_rules import BenchRules, Board, Sweep
from patterns.shop.saw.scarfs import ScarfPlan

RED_OAK = {"thickness": 41.275, "count": 1, "material": "red oak"}


def _saltmeadow() -> tuple[tuple[LongPiece, ...], BenchRules]:
    read, job = sample("saltmeadow")
    return job.long_pieces, read.bench


def _made(*boards: Board, pieces: int = 2) -> list[BenchPiece]:
    long, rules = _saltmeadow()
    return list(bench(long[:pieces], replace(rules, boards=boards)))


def _placed(one: BenchPiece) -> BoardPlace:
    assert one.place is not None
    return one.place


def _words(drawings: list[Drawing]) -> str:
    return " ".join(mark.text for drawing in drawings for mark in drawing.marks if isinstance(mark, Label))


def _sheets(one: BenchPiece) -> list[Drawing]:
    return bench_sheets(one, boat="Saltmeadow", show="ft-in-16ths")


def _on_board(one: BenchPiece) -> shapely.Polygon:
    """The stock in the board's own measure: its left end at 0, its lower edge as the builder measured it."""
    place = _placed(one)
    return shapely.Polygon(place.measured(place.laid(one.takes.ring())))


# --- Both hands on one board ---


@pytest.mark.slow
@pytest.mark.parametrize("sweep", [None, Sweep(50.0, 8500.0)])
def test_port_and_starboard_come_end_to_end_out_of_one_long_board(sweep: Sweep | None) -> None:
    """Too narrow for both side by side (least 210 mm), long enough for one beyond the other."""
    board = Board(9144.0, 184.15, sweep=sweep, avoid=(12.7, 0.0), **RED_OAK)  # type: ignore[arg-type]
    port, starboard = _made(board)
    assert _placed(port).same_board == _placed(starboard).same_board == (1, 1)
    assert not _on_board(port).intersects(_on_board(starboard))
    (_, first), (last, _) = sorted((_placed(port).taken, _placed(starboard).taken))
    assert last - first >= BETWEEN
    low, high = _as_measured(board)
    # Of the inches left long, a corner of stock laid askew may lean over the board's own end.
    low[[0, -1], 0], high[[0, -1], 0] = (-3.0, board.length + 3.0), (-3.0, board.length + 3.0)
    sound = shapely.Polygon(np.concatenate([np.add(low, (0, 12.2)), np.add(high, (0, 0.5))[::-1]]))
    assert sound.contains(_on_board(port))
    assert sound.contains(_on_board(starboard))
    assert "chine log, starboard" in _words(_sheets(port))
    assert "chine log, port" in _words(_sheets(starboard))


def _as_measured(board: Board) -> tuple[np.ndarray, np.ndarray]:
    x = np.linspace(0, board.length, 400)
    curve = np.zeros(len(x))
    if board.sweep:
        radius = board.sweep.over**2 / (8 * board.sweep.sag) + board.sweep.sag / 2
        curve = radius - np.sqrt(radius**2 - (x - board.length / 2) ** 2)
    return np.column_stack([x, curve]), np.column_stack([x, curve + board.width])


def test_the_two_hands_on_one_board_are_mirror_images_and_not_two_of_a_kind() -> None:
    """A port log cannot be slid or turned in its plane on to a starboard one: their marked faces lie on either side."""
    port, starboard = _made(Board(9144.0, 184.15, **RED_OAK))  # type: ignore[arg-type]
    rings = [one.takes.ring() for one in (port, starboard)]
    starboard_shape = shapely.Polygon(rings[1])
    for turn, alike in ((np.diag([1.0, -1.0]), True), (np.diag([-1.0, -1.0]), False), (np.eye(2), False)):
        shape = shapely.Polygon(rings[0] @ turn)
        move = np.subtract(starboard_shape.centroid.coords[0], shape.centroid.coords[0])
        apart = shapely.affinity.translate(shape, *move).symmetric_difference(starboard_shape).area
        assert (apart < 50.0) is alike


def test_the_second_of_two_side_by_side_is_drawn_on_the_board_turned_over() -> None:
    port, starboard = _made(Board(4876.8, 280.0, sweep=Sweep(20.0, 4500.0), **RED_OAK))  # type: ignore[arg-type]
    place = _placed(port)
    assert starboard.place is None
    assert place.pair is not None
    told = _words(_sheets(starboard))
    assert "then turn the board over about its length" in told
    assert "turned over about its length; heavy" in told
    # Its own stock, laid on the board so turned, is what the other sheet shows dashed and this one heavy.
    block = turned_board_plan(port, place, width=180.0)
    (heavy,) = (mark.points for mark in block.marks if isinstance(mark, Stroke) and mark.layer == "cut-outside")
    (board,) = (mark.points for mark in block.marks if isinstance(mark, Stroke) and mark.layer == "cut-inside")
    across, along = (np.ptp(_turned_edges(place)[:, k]) / np.ptp(board[:, k]) for k in (1, 0))
    drawn = shapely.Polygon(heavy * (along, across))
    own = shapely.Polygon(starboard.takes.ring())
    move = np.subtract(drawn.centroid.coords[0], own.centroid.coords[0])
    turned = shapely.affinity.rotate(shapely.affinity.translate(own, *move), -place.turn, "centroid", use_radians=True)
    assert turned.symmetric_difference(drawn).area < 50.0
    assert shapely.Polygon(board).buffer(1e-6).contains(shapely.Polygon(heavy))


def _turned_edges(place: BoardPlace) -> np.ndarray:
    return np.concatenate(edges_as_laid(place)) * (1.0, -1.0)


def test_of_boards_that_are_alike_each_hand_names_its_own() -> None:
    port, starboard = _made(Board(4876.8, 184.15, **{**RED_OAK, "count": 2}))  # type: ignore[arg-type]
    assert {_placed(port).same_board, _placed(starboard).same_board} == {(1, 1), (1, 2)}
    assert "number 1 of 2 alike" in _words(_sheets(port))
    assert "number 2 of 2 alike" in _words(_sheets(starboard))


def test_on_board_and_back_is_where_it_was() -> None:
    port, _ = _made(Board(9144.0, 184.15, sweep=Sweep(50.0, 8500.0), **RED_OAK))  # type: ignore[arg-type]
    ring, place = port.takes.ring(), _placed(port)
    assert place.on_piece(place.laid(ring)) == pytest.approx(ring, abs=1e-9)
    assert place.measured(place.measured(ring)) == pytest.approx(ring, abs=1e-9)


# --- Boards that will not do ---


def test_every_board_that_will_not_do_is_told_with_its_reason() -> None:
    [port] = _made(
        Board(5000.0, 200.0, 41.0, 1, "white oak"),
        Board(5000.0, 200.0, 25.0, 1, "red oak"),
        Board(5000.0, 80.0, 41.0, 1, "red oak"),
        Board(1000.0, 200.0, 41.0, 1, "red oak"),
        pieces=1,
    )
    assert [one.lack for one in port.refused] == [Lack.WOOD, Lack.THIN, Lack.NARROW, Lack.SHORT]
    words = _words(_sheets(port))
    for said in ("board 2 is too thin", "board 3 is too narrow", "board 4 is too short"):
        assert said in words.replace("  ", " ")


def test_a_board_between_the_piece_and_its_stock_in_length_is_offered_with_less_to_spare_and_scarfed() -> None:
    """By hand: stock has 75 mm beyond each end of the piece; a board 80 mm shorter leaves 35 mm."""
    [port] = _made(Board(4876.8, 184.15, **RED_OAK), pieces=1)  # type: ignore[arg-type]
    length = port.least.length - 80.0
    assert length > port.piece.places[-1].along
    [short] = _made(Board(length, 184.15, **{**RED_OAK, "count": 2}), pieces=1)  # type: ignore[arg-type]
    assert short.place is None
    assert short.scarfs is not None
    assert len(short.scarfs.boards) == 2
    assert max(short.scarfs.boards) <= length
    assert short.missing == ()
    words = _words(_sheets(short)).replace("  ", " ")
    assert "board 1 is too short" in words
    assert f"with {no_more(35.0, 'ft-in-16ths')} to spare at each end, if you trace it" in words
    [shorter] = _made(Board(length - 60.0, 184.15, **RED_OAK), pieces=1)  # type: ignore[arg-type]
    assert "if you trace it" not in _words(_sheets(shorter))


def test_lengths_to_be_scarfed_are_taken_from_the_boards_there_are() -> None:
    board = Board(2743.2, 203.2, 41.275, 3, "red oak")
    port, starboard = _made(board)
    assert port.scarfs is not None
    assert starboard.scarfs is not None
    assert (len(port.scarfs.boards), len(starboard.scarfs.boards)) == (2, 2)
    assert (len(port.missing), len(starboard.missing)) == (0, 1)
    assert "1 MORE OF IT THAN YOU HAVE LEFT" in _words(_sheets(starboard))


# --- Wood for the guide ---


def test_where_the_board_ends_short_of_the_guide_a_strip_is_asked_for() -> None:
    """By hand: what the board has past the saw line, against the guide's distance and a batten 40 mm wide."""
    [port] = _made(Board(4876.8, 184.15, **RED_OAK), pieces=1)  # type: ignore[arg-type]
    assert port.setup is not None
    place = _placed(port)
    for rip in port.setup.rips:
        room = guide_room(rip, place)
        assert room is not None
        assert rip.setting.distance is not None
        assert room.wants == pytest.approx(rip.setting.distance + BATTEN, abs=1.0)
        saw_line = np.column_stack([rip.x, np.interp(rip.x, *rip.setting.saw_line.T)])
        y = place.laid(saw_line)[:, 1]
        low, high = edges_as_laid(place)
        has = (high[:, 1].max() - y if rip.guide_side > 0 else y - low[:, 1].min()).min()
        assert room.has == pytest.approx(has, abs=1.0)
        assert room.short == pytest.approx(room.wants - has, abs=2.0)
    assert _words(_sheets(port)).count("THE BOARD REACHES ONLY") == 2


def test_a_board_that_carries_the_guide_wants_no_strip() -> None:
    [port] = _made(Board(4876.8, 900.0, **RED_OAK), pieces=1)  # type: ignore[arg-type]
    assert port.setup is not None
    assert all(not guide_room(rip, port.place).short for rip in port.setup.rips)  # type: ignore[union-attr]
    assert "lay a strip" not in _words(_sheets(port))


# --- Bending between the marks, and scarfs as drawn ---


def test_the_tightest_bend_is_found_between_two_marks() -> None:
    port = _saltmeadow()[0][0]
    along = port.bends.along
    kink = 1 / 9000.0 + (1 / 1500.0) * np.exp(-(((along - 2020.0) / 40.0) ** 2))
    assert min(abs(place.along - 2020.0) for place in port.places) > 80.0
    bent = replace(port, bends=Bends(along, kink, port.bends.edgewise, port.bends.twist))
    verdict = bend_verdict(bent)
    assert verdict.flat_radius == pytest.approx(1 / kink.max())
    assert verdict.flat_at.along == pytest.approx(2020.0, abs=25.0)
    assert verdict.flat_at.name == ""


@pytest.mark.parametrize("name", SAMPLES)
def test_bending_all_along_goes_through_what_the_marks_say(name: str) -> None:
    for piece in sample(name)[1].long_pieces:
        edgewise = [np.interp(place.along, piece.bends.along, piece.bends.edgewise) for place in piece.places[1:-1]]
        told = [place.edgewise for place in piece.places[1:-1]]
        assert edgewise == pytest.approx(told, abs=2e-6)


def test_a_strip_on_a_cylinder_bends_by_its_radius_at_every_place() -> None:
    turn = np.linspace(0.0, 1.2, 400)
    points = 2000.0 * np.column_stack([np.sin(turn), np.cos(turn), 0 * turn])
    bent = bending_along(points, points / 2000.0, np.linspace(50.0, 2300.0, 90))
    assert 1 / np.abs(bent.flatwise) == pytest.approx(2000.0, rel=1e-3)


def _scarf(plan: ScarfPlan) -> Block:
    return scarf_drawing(plan, 38.1, "mm", width=180.0)


def test_a_scarf_is_drawn_from_full_depth_to_nothing_and_the_two_boards_close_to_one() -> None:
    [port] = _made(Board(2743.2, 203.2, 41.275, 3, "red oak"), pieces=1)
    assert port.scarfs is not None
    boards = [mark.points for mark in _scarf(port.scarfs).marks if isinstance(mark, Stroke) and mark.closed]
    scale = 38.1 / float(np.ptp(boards[0][:, 1]))
    fore, after = (points * scale for points in boards)
    # Slid up into each other, they leave neither gap nor overlap: one stick of full depth.
    after = np.add(after, (0.0, fore[:, 1].max() - after[:, 1].max()))
    joined = shapely.union_all([shapely.Polygon(fore), shapely.Polygon(after)])
    assert shapely.Polygon(fore).intersection(shapely.Polygon(after)).area < 1.0
    assert joined.area == pytest.approx(joined.envelope.area, rel=1e-6)
    # The fore board's tip lies on the face away from the planking, the lower one as drawn, a taper further aft.
    top, foot = fore[fore[:, 1] > fore[:, 1].mean()], fore[fore[:, 1] < fore[:, 1].mean()]
    assert foot[:, 0].max() - top[:, 0].max() == pytest.approx(port.scarfs.length)
    for one in port.scarfs.scarfs:
        assert one.after_tip - one.fore_tip == pytest.approx(port.scarfs.length)
    assert "fore board: plane its face against the planking" in _words(_sheets(port))


# --- The router's larger face ---


@pytest.mark.parametrize("name", SAMPLES)
def test_a_routers_log_holds_both_faces_and_is_more_only_where_its_edges_run_on_to_meet(name: str) -> None:
    read, job = sample(name)
    for part in (piece.part for piece in job.long_pieces if piece.name == "chine log"):
        contour = shapely.Polygon(np.concatenate(cut_edges(part, read.router)))
        faces = shapely.union_all([shapely.Polygon(line).buffer(0) for line in (part.outline, part.far_outline)])
        assert faces.difference(contour.buffer(0.01)).area < 1e-3
        fore, after = (
            np.concatenate([line[:, 0] for edge in part.edges if edge.name == end for line in (edge.points, edge.far)])
            for end in ("fore end", "after end")
        )
        between = shapely.box(fore.max() + 1.0, -1e4, after.min() - 1.0, 1e4)
        assert contour.difference(faces.buffer(0.01)).intersection(between).area < 1e-3


@pytest.mark.slow
@pytest.mark.parametrize("name", SAMPLES)
def test_run_out_steeper_than_sprung_stock_bears_is_told_where_no_board_is_at_hand_too(name: str) -> None:
    read, job = sample(name)
    rules = replace(read.bench, boards=())
    for one in bench(job.long_pieces, rules):
        told = "Steeper than 1 in 12" in _words(_sheets(one))
        assert told == (one.least.one_in < 11.9), one.title
