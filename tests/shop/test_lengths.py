"""One length, one figure: whatever tells a part's length tells the same by its name; what is on hand is not bought."""

from __future__ import annotations

import csv
import io
import json
import random
import re
import tempfile
from collections import Counter, defaultdict
from collections.abc import Iterator, Sequence
from dataclasses import replace
from functools import cache
from math import cos, fsum, pi, prod, sin
from pathlib import Path

import numpy as np
import pytest
from commanded import ROOT
from sample_jobs import SAMPLES, sample

from patterns.cli.job_words import tell
from patterns.drawing.marks import Drawing, Label
from patterns.geometry.arrays import Floats
from patterns.geometry.development import develop
from patterns.geometry.ruled import Ruled
from patterns.job.shared.bench_words import at_saw
from patterns.parts.part import Edge, Part
from patterns.parts.role import Role
from patterns.parts.whole import Job, loft
from patterns.plates.bench.bench_pages import bench_sheets
from patterns.plates.pattern.halves import halves
from patterns.plates.pattern.plate import Printing, plate
from patterns.plates.words.length_words import length_cells
from patterns.reading.boat.boat_toml import BoatFile, read_boat
from patterns.shop.fit.bent_edges import _turn, bent_edges
from patterns.shop.fit.meetings import bent
from patterns.shop.nest.nesting import Effort
from patterns.shop.nest.sheets import Piece, SheetPlan, fill_sheets
from patterns.shop.router.router_parts import ready_to_cut
from patterns.shop.saw.long_bench import BenchPiece, bench
from patterns.shop.saw.saw_rules import Board
from patterns.shop.stock.cut_list import BoardPiece, board_pieces, off_sheets, with_waste
from patterns.shop.stock.lengths import Lengths, finished_size, lengths_by_title, lengths_of
from patterns.shop.stock.yard import BOARD_FOOT
from patterns.tiling.paper.page import Page
from patterns.tiling.paper.paper import PaperSetup
from patterns.tiling.tiles.tiles import tile
from patterns.units.lengths import shown_step, write_length
from patterns.units.papers import paper_size
from patterns.writing.book.book_bench import saw_section
from patterns.writing.book.book_wood import wood_section
from patterns.writing.book.job_book import Told, book
from patterns.writing.job_json.job_text import job_text
from patterns.writing.report.joint_words import joints_told
from patterns.writing.report.report_blocks import Bullets, Facts, Section, Table
from patterns.writing.tables.cut_list_csv import cut_list_csv

pytestmark = pytest.mark.slow

LENGTH = r"((?:\d+' )?[\d /.]+(?:\"| mm| cm| m\b)|\d+')"
TOLD = {
    "finished": re.compile(rf"[Ff]inished length {LENGTH}"),
    "sawn": re.compile(rf", sawn {LENGTH}"),
    "stock": re.compile(rf", stock {LENGTH}|(?:stock|stock of|board is) {LENGTH} by "),
}
SIZES = re.compile(r'^((?:sided|moulded|planing|below_sheer|width)\s*=\s*)("[^"\n]+"|[\d.]+)(.*)$', re.MULTILINE)
KEYED = ("chine log, port", "frame 3", "transom")
VARIANTS = tuple((name, seed) for seed, name in enumerate(SAMPLES, 1))
SCALES = (0.8, 0.9, 1.1, 1.25)


# --- Boats ---


@cache
def boat(name: str, seed: int) -> tuple[BoatFile, Job, tuple[BenchPiece, ...], SheetPlan]:
    """A sample as it is (seed 0), or with sizes of its long pieces and timbers changed at random."""
    read, job = _variant(name, seed) if seed else sample(name)
    made = bench(job.long_pieces, read.bench)
    plan = SheetPlan()
    if read.sheets and not seed:
        contours = ready_to_cut(job.to_cut, read.router, boat=job.boat.name, show=job.boat.show)
        known = {one.title: one for one in contours}
        plan = fill_sheets([Piece(part, known[part.title]) for part in job.to_cut], read.sheets, Effort.QUICK)
    return read, job, made, plan


def _variant(name: str, seed: int) -> tuple[BoatFile, Job]:
    chance = random.Random(seed)
    source = ROOT / "samples" / name

    def resized(found: re.Match[str]) -> str:
        written, scale = found[2].strip('"'), chance.choice(SCALES)
        digits = re.match(r"[\d.]+(?: \d+/\d+|/\d+)?", written)
        assert digits is not None
        value = fsum(_fraction(word) for word in digits[0].split())
        rest = written[digits.end() :]
        return (
            f'{found[1]}"{value * scale:.4f}{rest}"{found[3]}' if rest else f"{found[1]}{value * scale:.3f}{found[3]}"
        )

    with tempfile.TemporaryDirectory() as where:
        text = SIZES.sub(resized, (source / "boat.toml").read_text(encoding="utf-8"))
        (Path(where) / "boat.toml").write_text(text, encoding="utf-8")
        (Path(where) / "offsets.csv").write_bytes((source / "offsets.csv").read_bytes())
        read = read_boat(Path(where))
    return read, loft(read.boat)


def _fraction(word: str) -> float:
    over, _, under = word.partition("/")
    return float(over) / float(under or 1)


BOATS = [pytest.param((name, 0), id=name) for name in SAMPLES]
DRAWN = [*BOATS, pytest.param(VARIANTS[-1], id="-".join(map(str, VARIANTS[-1])))]  # every plate of a boat takes a while
BOATS += [pytest.param(one, id=f"{one[0]}-{one[1]}") for one in VARIANTS]


# --- Every output ---


def _words(marks: Drawing | Page) -> str:
    return " ".join(mark.text for mark in marks.marks if isinstance(mark, Label)).replace("\u00a0", " ")


def _readings(words: str) -> Iterator[tuple[str, str]]:
    for name, pattern in TOLD.items():
        for found in pattern.finditer(words):
            yield name, next(figure for figure in found.groups() if figure)


def _tables(section: Section) -> Iterator[Table]:
    for block in section.blocks:
        if isinstance(block, Table):
            yield block
    for part in section.parts:
        yield from _tables(part)


def _of_tables(tables: Sequence[Table]) -> Iterator[tuple[str, str, str]]:
    """Title, name and figure of each cell under the heads finished, sawn and stock."""
    for table in tables:
        for row in table.rows:
            title = row[0].partition(": ")[0]
            for head, cell in zip(table.columns, row, strict=True):
                if head in TOLD and cell:
                    yield title, head, cell


def _last_hand(title: str) -> str:
    name, _, hands = title.lower().partition(", ")
    hand = hands.rpartition(" and ")[2]
    return f"{name}, {hand}" if hand else name


def _told(
    read: BoatFile, job: Job, made: tuple[BenchPiece, ...], plan: SheetPlan
) -> Iterator[tuple[str, str, str, str]]:
    """Output, part's title, name of a length, and figure: everything that a builder can read."""
    show = job.boat.show
    whole = book(job, Told(form=read.table, defaults=(), plan=plan, parts={}, sheets=(), worked=made))
    sections = {section.title: section for section in whole.sections}
    for title, name, figure in _of_tables(tuple(_tables(sections["Cut list"]))):
        yield "book, cut list", title, name, figure
    for section in sections["Parts"].parts:
        said = dict(next(block.entries for block in section.blocks if isinstance(block, Facts)))
        for kind, figure in _readings(said["size"]):
            yield "book, parts", _last_hand(section.title), kind, figure
        for table in (table for table in _tables(section) if table.columns[0] == "piece"):
            for row in (dict(zip(table.columns, row, strict=True)) for row in table.rows):
                yield "book, parts", _last_hand(f"{section.title} {row['piece']}"), "finished", row["finished"]
    lengths = lengths_by_title(job.parts, made)
    paper = PaperSetup(*paper_size("letter"), 12.7, 15.0, "letter")
    for part in job.parts:
        drawing = plate(part, Printing("A boat", show), lengths=lengths[part.title])
        for kind, figure in _readings(_words(drawing)):
            yield "title block", part.title.lower(), kind, figure
        # A key plan is the same work for any part: one panel, one end, one frame, one long piece.
        if part.title in KEYED:
            tiling = tile(drawing, paper, show=show)
            [key] = [one.page for one in tiling.tiles if one.label == tiling.key_on] or [tiling.key]
            assert key is not None
            for kind, figure in _readings(_words(key)):
                yield "key plan", part.title.lower(), kind, figure
    for one in made:
        for kind, figure in _readings(" ".join(_words(sheet) for sheet in bench_sheets(one, boat="A boat", show=show))):
            yield "saw sheets", one.title.lower(), kind, figure
    if made:
        for row in (
            row for table in _tables(saw_section(made, (), show)) if "board" in table.columns for row in table.rows
        ):
            for kind, figure in _readings(row[-1]):
                hands = [one.title for one in made if one.piece.name == row[0]]
                yield "book, saw set-ups", hands[-1].lower(), kind, figure


@pytest.mark.parametrize("which", DRAWN)
def test_a_parts_length_reads_as_one_figure_wherever_it_stands(which: tuple[str, int]) -> None:
    read, job, made, plan = boat(*which)
    figures: defaultdict[tuple[str, str], set[str]] = defaultdict(set)
    outputs: defaultdict[str, set[str]] = defaultdict(set)
    for output, title, name, figure in _told(read, job, made, plan):
        figures[title.lower(), name].add(figure)
        outputs[output].add(title.lower())
    assert {key: found for key, found in figures.items() if len(found) > 1} == {}
    # Nothing is one figure because it is not told.
    titles = {part.title.lower() for part in job.parts}
    assert outputs["title block"] == titles
    assert outputs["key plan"] == titles.intersection(KEYED)
    assert outputs["book, cut list"] == {part.title.lower() for part in job.to_cut}
    assert outputs["book, parts"] == {part.title.lower() for part in job.parts if part.hand != "port"}
    assert outputs["saw sheets"] == {one.title.lower() for one in made}
    assert all({(one.title.lower(), name) in figures for name in TOLD} == {True} for one in made)


@pytest.mark.parametrize("which", BOATS)
def test_files_for_programs_and_words_on_the_screen_have_the_same_figures(
    which: tuple[str, int], capsys: pytest.CaptureFixture[str]
) -> None:
    _, job, made, plan = boat(*which)
    show, step = job.boat.show, shown_step(job.boat.show)
    data = json.loads(job_text(job, {}, plan, made))
    lengths = lengths_by_title((*job.parts, *job.pieces), made)
    for told in (*data["patterns"], *data["pieces"]):
        title = told["name"] if told["hand"] == "none" else f"{told['name']}, {told['hand']}"
        assert told["finished_length"] == lengths[title].finished
        assert (told["sawn_length"], told["stock_length"]) == (lengths[title].sawn, lengths[title].stock)
    for told in data["cut_list"]:
        assert told["finished_length"] == lengths[told["part"]].finished
        assert (told["sawn_length"], told["stock_length"]) == (lengths[told["part"]].sawn, lengths[told["part"]].stock)
    rows = _csv_rows(cut_list_csv(job.to_cut, plan, made, show))
    assert {row["part"] for row in rows} == {part.title for part in job.to_cut}
    for row in rows:
        own = lengths[row["part"]]
        assert row["finished"] == write_length(own.finished, show)
        assert float(row["finished_mm"]) == pytest.approx(own.finished, abs=1e-6)
        for name in ("sawn", "stock"):
            mm = getattr(own, name)
            assert bool(row[name]) == (mm is not None)
            assert not row[name] or float(row[f"{name}_mm"]) == pytest.approx(mm, abs=1e-6)
    capsys.readouterr()
    for news in at_saw(made, show):
        tell(news, show)
    screen = " ".join(capsys.readouterr().out.split())
    for one in made:
        if one.piece.part.hand != "starboard" and f"{one.piece.name}: " in screen:
            said = screen.partition(f"{one.piece.name}: ")[2].partition(" Bench ")[0]
            found = TOLD["stock"].search(said)
            whole_mm = f"{np.ceil(one.least.length - 1e-6):.0f} mm"
            rounded_up = (
                whole_mm if show == "mm" else write_length(np.ceil(one.least.length / step - 1e-6) * step, show)
            )
            assert one.place or (found and rounded_up in found.groups())
    pieces = [piece for joined in job.long_panels.joined for piece in joined.pieces]
    for told in joints_told(job):
        assert any(write_length(finished_size(piece)[0], show) in told for piece in pieces)


def _csv_rows(text: str) -> list[dict[str, str]]:
    lines = list(csv.reader(io.StringIO(text)))
    head = lines.index([])
    return [dict(zip(lines[head + 1], row, strict=True)) for row in lines[head + 2 :]]


# --- What each length is ---


def _least_rectangle(points: Floats) -> tuple[float, float]:
    """Sides of the least rectangle round points: turned by every tenth of a degree, then ever finer about the best."""

    def sides(turn: float) -> tuple[float, float]:
        way = np.array([[cos(turn), -sin(turn)], [sin(turn), cos(turn)]])
        long, wide = np.ptp(points @ way, axis=0).tolist()
        return max(long, wide), min(long, wide)

    best, step = 0.0, pi / 1800
    turns = [k * step for k in range(900)]
    while step > 1e-8:
        best = min(turns, key=lambda turn: prod(sides(turn)))
        turns = [best + (k - 10) * step / 10 for k in range(21)]
        step /= 10
    return sides(best)


@pytest.mark.parametrize("name", SAMPLES)
def test_finished_length_is_the_long_side_of_the_least_rectangle_round_both_faces(name: str) -> None:
    for part in sample(name)[1].to_cut:
        twin = _least_rectangle(np.concatenate([line for edge in part.edges for line in (edge.points, edge.far)]))
        length, width = finished_size(part)
        assert length * width == pytest.approx(prod(twin), rel=1e-5)
        # Two rectangles may be the least to a hundred-thousandth of their area, and a tape's hair longer or shorter.
        assert (length, width) == pytest.approx(twin, abs=0.3)


def _triangle(turn: float, *, mirrored: bool) -> Part:
    corners = np.array([[0.0, 0.0], [300.0, 40.0], [90.0, 170.0]])
    if mirrored:
        corners = (corners * (-1.0, 1.0))[::-1]
    corners = corners @ np.array([[cos(turn), sin(turn)], [-sin(turn), cos(turn)]])
    edges = tuple(
        Edge(str(k), line, line, ()) for k, line in enumerate(np.stack([corners, np.roll(corners, -1, axis=0)], axis=1))
    )
    return Part("knee", "none", 19.0, "oak", "either face", edges, role=Role.KNEE)


@pytest.mark.parametrize("turn", np.linspace(0.0, 3.0, 7))
def test_a_triangles_length_is_its_longest_side_however_it_is_drawn(turn: float) -> None:
    """Three rectangles round a triangle are as small as each other: rounding must not choose among them."""
    for mirrored in (False, True):
        length, width = finished_size(_triangle(turn, mirrored=mirrored))
        assert length == pytest.approx(np.hypot(300.0, 40.0))
        assert length * width / 2 == pytest.approx((300.0 * 170.0 - 90.0 * 40.0) / 2)


@pytest.mark.parametrize("which", BOATS)
def test_both_hands_are_as_long_and_sawn_is_finished_with_both_ends_left_long(which: tuple[str, int]) -> None:
    _, job, made, _ = boat(*which)
    by_name: defaultdict[str, list[float]] = defaultdict(list)
    for part in job.to_cut:
        by_name[part.name].append(finished_size(part)[0])
    assert all(max(found) - min(found) < 1e-6 for found in by_name.values())
    for one in made:
        lengths = lengths_of(one.piece.part, one)
        assert lengths.sawn is not None
        assert lengths.stock is not None
        assert lengths.sawn == pytest.approx(lengths.finished + 150.0, abs=0.2)
        assert lengths.sawn - 0.05 <= lengths.stock <= lengths.sawn + 5.0
        if one.scarfs:
            assert one.scarfs.gross - len(one.scarfs.scarfs) * one.scarfs.length >= lengths.sawn


def test_a_half_pattern_tells_the_length_of_the_whole_and_else_none() -> None:
    _, job, _, _ = boat("saltmeadow", 0)
    part = next(part for part in job.parts if part.name == "frame 3")
    pair = halves(part)
    assert pair is not None
    own = write_length(finished_size(part)[0], "mm")
    told = _words(plate(pair[0].part, Printing("A", "mm"), half=pair[0], lengths=lengths_of(part)))
    assert f"finished length {own}, of the whole" in told
    assert "finished length" not in _words(plate(pair[0].part, Printing("A", "mm"), half=pair[0]))


# --- Edges of sprung parts ---


def test_a_face_off_the_middle_of_a_cylinder_is_longer_by_its_turn_times_the_distance() -> None:
    """A strip 0.9 rad round a cylinder: each face is as long as its own radius times the turn."""
    turn = np.linspace(0.0, 0.9, 200)
    normal = np.stack([np.sin(turn), np.cos(turn), 0 * turn], axis=1)
    ruled = Ruled(1500.0 * normal, np.tile([0.0, 0.0, -1.0], (200, 1)), normal, np.full(200, 50.0), np.zeros(200))
    flat = develop(ruled, depth=0.0)
    s = np.linspace(0.5, 198.4, 100)
    for depth in (-12.0, 12.0):
        line = bent(flat, depth, flat.point(s, np.full(100, 20.0)))
        drawn, in_boat = (fsum(np.hypot.reduce(np.diff(points, axis=0), axis=1)) for points in (line.drawn, line.bent))
        assert _turn(flat, line) == pytest.approx(drawn / 1500.0, rel=1e-3)
        assert in_boat - drawn == pytest.approx(depth * drawn / 1500.0, rel=1e-3)


@pytest.mark.parametrize("name", SAMPLES)
def test_an_edge_in_the_boat_is_longer_than_drawn_by_its_turn_times_half_the_thickness(name: str) -> None:
    job = sample(name)[1]
    found = bent_edges(job)
    for piece in (piece for piece in job.long_pieces if piece.part.hand != "port"):
        for edge, arris in (("lower", piece.arrises.lower), ("upper", piece.arrises.upper)):
            own = found[piece.name][edge]
            assert own.in_boat == pytest.approx(arris, abs=0.05)
            assert own.off_middle == pytest.approx(piece.thickness / 2)
            assert own.in_boat - own.drawn == pytest.approx(own.by_bending, abs=0.05)
        # The turn again, from the few marks along the piece: how far the face leans toward where it runs.
        out, aft = (np.array([getattr(place, key) for place in piece.places]) for key in ("out", "aft"))
        way = (aft[1:] + aft[:-1]) / 2
        turned = float((np.diff(out, axis=0) * way).sum()) * (1 if piece.inside else -1)
        assert found[piece.name]["lower"].turn == pytest.approx(turned, rel=0.03, abs=0.01)
    for part in job.parts:
        for told in found.get(part.name, {}).values():
            assert told.in_boat - told.drawn == pytest.approx(told.by_bending, abs=0.05)


@pytest.mark.parametrize("name", SAMPLES)
def test_where_an_edge_in_the_boat_reads_otherwise_than_drawn_its_reason_stands_beside_it(name: str) -> None:
    read, job, made, plan = boat(name, 0)
    show, found, reasons = job.boat.show, bent_edges(job), 0
    whole = book(job, Told(form=read.table, defaults=(), plan=plan, parts={}, sheets=(), worked=made))
    parts = next(section for section in whole.sections if section.title == "Parts")
    for section in parts.parts:
        part = next(part for part in job.parts if section.title.lower().partition(", ")[0] == part.name.lower())
        changed = {
            edge: own
            for edge, own in found.get(part.name, {}).items()
            if abs(own.in_boat - own.drawn) >= shown_step(show) / 2
        }
        tables = [table for table in _tables(section) if table.caption.startswith("Edges")]
        rows = {row[0]: dict(zip(table.columns, row, strict=True)) for table in tables for row in table.rows}
        for edge, own in changed.items():
            if part.role is Role.PANEL:
                row = rows[edge]
                assert row["drawn"] == write_length(own.drawn, show)
                assert row["in the boat"] == write_length(own.in_boat, show)
                assert ("outside" if own.in_boat > own.drawn else "inside") in row["why"]
            else:  # a long piece says so in words
                told = next(remark for remark in part.remarks if remark.startswith("Shoulder to shoulder"))
                assert write_length(own.in_boat, show) in told
                assert write_length(own.drawn, show) in told
                assert f"{'outside' if own.in_boat > own.drawn else 'inside'} the middle" in told
            reasons += 1
        assert set(rows) <= set(changed)
    assert reasons >= 4


# --- On hand and to buy ---

RED, WHITE = "red oak", "white oak"
HAVES: dict[str, tuple[Board, ...]] = {
    "none": (),
    "one log": (Board(4876.8, 184.15, 41.275, 1, RED),),
    "both logs": (Board(4876.8, 184.15, 41.275, 2, RED),),
    "both side by side": (Board(4876.8, 280.0, 41.275, 1, RED),),
    "lengths for one log and a half": (Board(2743.2, 203.2, 41.275, 3, RED),),
    "one length": (Board(2743.2, 203.2, 41.275, 1, RED),),
    "some of the white oak": (Board(4876.8, 184.15, 41.275, 1, RED), Board(4900.0, 120.0, 19.05, 1, WHITE)),
    "no use": (Board(4876.8, 184.15, 19.05, 4, RED), Board(900.0, 300.0, 41.275, 1, RED)),
}


def _from(case: str) -> tuple[Job, tuple[BenchPiece, ...], tuple[BoardPiece, ...]]:
    read, job = sample("saltmeadow")
    made = bench(job.long_pieces, replace(read.bench, boards=HAVES[case]))
    return job, made, board_pieces(off_sheets(job.to_cut, SheetPlan()), made)


@pytest.mark.parametrize("case", HAVES)
def test_what_is_bought_and_what_is_on_hand_are_together_what_is_needed(case: str) -> None:
    job, made, pieces = _from(case)
    need = {one.title: one.board_feet for one in board_pieces(job.to_cut)}
    for one in pieces:
        share = one.on_hand.share if one.on_hand else 0.0
        assert one.to_buy + share * one.board_feet == pytest.approx(need[one.title])
    # Laid out again by hand: what each piece takes of each kind of board, against what there is.
    taken: defaultdict[int, float] = defaultdict(float)
    for at_bench in made:
        of = next(one for one in pieces if one.title == at_bench.title).on_hand
        assert (of is not None) == (
            at_bench.place is not None or at_bench.with_other is not None or bool(of and of.lengths)
        )
        if of is None:
            continue
        if of.lengths:
            assert at_bench.scarfs is not None
            assert sorted((*of.lengths, *of.missing)) == sorted(at_bench.scarfs.boards)
            taken[of.board] += fsum(of.lengths)
        elif at_bench.place:
            first, last = at_bench.place.taken
            taken[of.board] += last - first
    for number, board in enumerate(HAVES[case], 1):
        assert taken[number] <= board.count * board.length


@pytest.mark.parametrize(
    ("case", "from_board", "partly"),
    [
        ("none", 0, 0),
        ("one log", 1, 0),
        ("both logs", 2, 0),
        ("both side by side", 2, 0),
        ("lengths for one log and a half", 2, 1),
        ("one length", 1, 1),
        ("some of the white oak", 2, 0),
        ("no use", 0, 0),
    ],
)
def test_book_csv_and_job_file_buy_only_what_no_board_on_hand_gives(case: str, from_board: int, partly: int) -> None:
    job, made, pieces = _from(case)
    show = job.boat.show
    assert sum(one.on_hand is not None for one in pieces) == from_board
    assert sum(bool(one.on_hand and one.on_hand.missing) for one in pieces) == partly
    tables = list(_tables(wood_section(job.to_cut, SheetPlan(), made, show, (), job.boat.plywood)))
    [hand] = [table for table in tables if table.caption.startswith("From your boards")] or [None]
    bought = {row[0] for table in tables if "board feet" in table.columns for row in table.rows}
    whole = {one.title for one in pieces if one.on_hand and not one.on_hand.missing}
    assert {row[0] for row in hand.rows} if hand else set() == {one.title for one in pieces if one.on_hand}
    assert not {title for title in whole for row in bought if row.startswith(title)}
    rows = {row["part"]: row for row in _csv_rows(cut_list_csv(job.to_cut, SheetPlan(), made, show))}
    data = {one["part"]: one for one in json.loads(job_text(job, {}, SheetPlan(), made))["cut_list"]}
    for one in pieces:
        board = one.on_hand.board if one.on_hand else None
        assert data[one.title]["from_board"] == board
        assert rows[one.title]["from"] == (f"board {board}" if board else "")
        assert (rows[one.title]["to buy"] == "nothing") == (one.title in whole)
        assert data[one.title]["wood_to_buy"] == pytest.approx(one.to_buy * BOARD_FOOT)
        assert float(rows[one.title]["wood_to_buy_mm3"]) == pytest.approx(one.to_buy * BOARD_FOOT)
    net = fsum(one.to_buy for one in pieces if one.material == RED)
    said = [table.caption for table in tables if table.caption.startswith("Red oak")]
    assert said == ([f"Red oak: {net:.1f} board feet net, {with_waste(net):.1f} to buy"] if net else [])


def test_what_lies_on_a_sheet_is_not_bought_again() -> None:
    _, job, made, plan = boat("saltmeadow", 0)
    rows = {row["part"]: row for row in _csv_rows(cut_list_csv(job.to_cut, plan, made, job.boat.show))}
    lying = {placement.name for sheet in plan.sheets for placement, _ in sheet.lying}
    assert len(lying) == 31  # six panels, the transom and two gussets on each side of each frame
    on_sheets = {name.partition(", 1 of ")[0] for name in lying if " of 4" not in name or ", 1 of 4" in name}
    assert {title for title, row in rows.items() if row["from"].startswith("sheet")} == on_sheets
    assert all(float(rows[title]["wood_to_buy_mm3"]) == 0.0 for title in on_sheets)


@pytest.mark.parametrize("counted", [None, 1])
def test_sheets_that_the_builder_counts_none_of_are_to_be_bought(counted: int | None) -> None:
    """One size with no count stands for as many as are needed, and none is on hand."""
    _, job, made, plan = boat("saltmeadow", 0)
    sheets = tuple(replace(sheet, stock=replace(sheet.stock, count=counted)) for sheet in plan.sheets)
    plan, show = replace(plan, sheets=sheets), job.boat.show
    rows = [row for row in _csv_rows(cut_list_csv(job.to_cut, plan, made, show)) if row["from"].startswith("sheet")]
    assert len(rows) == 13  # six panels, the transom and six rows of gussets
    assert {row["to buy"] == row["from"] for row in rows} == {counted is None}
    assert {row["to buy"] == "nothing" for row in rows} == {counted is not None}
    blocks = wood_section(job.to_cut, plan, made, show, (), job.boat.plywood).blocks
    told = [item for block in blocks if isinstance(block, Bullets) for item in block.entries if ": sheet" in item]
    of_each = Counter(sheet.thickness for sheet in plan.sheets)
    counts = [of_each[thickness] for thickness in (9.525, 12.7, 19.05)]
    bought = [
        f"{n} of 8' 0\" x 4' 0\", {size} marine plywood"
        for n, size in zip(counts, ('3/8"', '1/2"', '3/4"'), strict=True)
    ]
    assert sorted(item.partition(": sheet")[0] for item in told) == (sorted(bought) if counted is None else [])


@pytest.mark.parametrize("name", SAMPLES)
def test_a_board_as_long_and_wide_as_the_cut_list_says_holds_the_piece_as_sawn(name: str) -> None:
    """Length and width are of one board: whoever buys by them finds both kerfs and the wood to hold on it."""
    _, job, made, plan = boat(name, 0)
    show = job.boat.show
    rows = {row["part"]: row for row in _csv_rows(cut_list_csv(job.to_cut, plan, made, show))}
    section = wood_section(job.to_cut, plan, made, show, (), job.boat.plywood)
    on_paper = {
        row[0]: dict(zip(table.columns, row, strict=True))["wide"]
        for table in _tables(section)
        if "stock" in table.columns
        for row in table.rows
    }
    for one in made:
        row, least = rows[one.title], f"{one.least.width:.3f}"
        assert f"{float(row['wide_mm']):.3f}" == least
        assert row["wide"] == on_paper[one.title]
        words = " ".join(_words(page) for page in bench_sheets(one, boat="A", show=show))
        assert f"is {row['stock']} by {row['wide']} by " in re.sub(r"\s+", " ", words)


def test_sawn_and_stock_are_whole_millimetres_rounded_up_and_inches_stay_as_fine_as_the_tape() -> None:
    assert length_cells(Lengths(4071.26, 4221.04, 4222.0), "mm") == ("4071.3 mm", "4222 mm", "4222 mm")
    assert length_cells(Lengths(4071.26, 4221.04, None), "in-16ths") == ('160 5/16"', '166 3/16"', "")
