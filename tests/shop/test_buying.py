"""What to buy: every blank once, on boards that hold it, in figures that agree with the cut list."""

from __future__ import annotations

import csv
from dataclasses import replace
from functools import cache
from itertools import combinations
from math import fsum

import pytest
from sample_jobs import sample

from patterns.drawing.marks import Label
from patterns.parts.materials import Plywood
from patterns.plates.words.buying_words import rules_words
from patterns.shop.nest.sheets import SheetPlan
from patterns.shop.saw.long_bench import bench
from patterns.shop.stock.buying import BuyingPlan, buying_plan
from patterns.shop.stock.cut_list import board_pieces
from patterns.shop.stock.yard import BOARD_FOOT, Per, YardBoard, YardRules
from patterns.writing.book.book_buying import buying_section
from patterns.writing.job_json.job_buying import buying_figures
from patterns.writing.report.report_blocks import Bullets, Paragraph
from patterns.writing.report.report_pdf import report_pages
from patterns.writing.tables.stock_csv import stock_csv

FOOT, INCH = 304.8, 25.4


def _oak(long: float, wide: float, thick: float, dressed: float, **more: object) -> YardBoard:
    return replace(YardBoard("white oak", long * FOOT, wide * INCH, thick * INCH, dressed * INCH), **more)


YARD = YardRules(
    (_oak(16, 8, 1, 13 / 16), _oak(10, 6, 1, 13 / 16), _oak(10, 8, 1.5, 1 + 5 / 16), _oak(8, 8, 2, 1.75)),
    kerf=INCH / 8,
)


@cache
def _plan(rules: YardRules = YARD) -> BuyingPlan:
    read, job = sample("saltmeadow")
    made = bench(job.long_pieces, read.bench)
    return buying_plan(job.to_cut, SheetPlan(), made, rules, read.boat.plywood)


@pytest.mark.parametrize(
    ("board", "feet"),
    [
        (_oak(8, 6, 1, 0.8125), 4.0),  # 1 x 6 x 8 / 12
        (_oak(12, 10, 2, 1.75), 20.0),  # 2 x 10 x 12 / 12
        (_oak(10, 7.5, 1.25, 1.0), 7.8125),  # 1.25 x 7.5 x 10 / 12
    ],
)
def test_board_feet_are_thickness_times_width_in_inches_times_length_in_feet_over_twelve(
    board: YardBoard, feet: float
) -> None:
    """Hand-worked; the rule is the hardwood trade's, common practice."""
    assert board.board_feet == pytest.approx(feet)
    priced = replace(board, price=6.0)
    assert priced.costs == pytest.approx(6.0 * feet)
    assert replace(priced, per=Per.CUBIC_METRE).costs == pytest.approx(6.0 * feet * 0.002359737216)  # by definition
    assert replace(priced, per=Per.FOOT).costs == pytest.approx(6.0 * board.length / FOOT)
    assert replace(priced, per=Per.BOARD).costs == 6.0


def test_blanks_lie_within_what_is_left_of_their_boards_a_kerf_apart() -> None:
    for one in _plan().boards:
        boxes = [(c.left, c.bottom, c.left + c.blank.length, c.bottom + c.blank.width) for c in one.cuts]
        for left, bottom, right, top in boxes:
            assert left >= YARD.ends / 2 - 1e-6
            assert right <= one.board.length - YARD.ends / 2 + 1e-6
            assert bottom >= YARD.edges / 2 - 1e-6
            assert top <= one.board.width - YARD.edges / 2 + 1e-6
        for (a, b, c, d), (e, f, g, h) in combinations(boxes, 2):
            assert max(e - c, a - g, f - d, b - h) >= YARD.kerf - 1e-6


def test_every_part_of_the_yards_wood_is_on_boards_thick_enough_for_it() -> None:
    _, job = sample("saltmeadow")
    plan = _plan()
    oak = {part.title: part for part in job.to_cut if part.material == "white oak"}
    cut = [(title, c.blank, one.board) for one in plan.boards for c in one.cuts for title in c.blank.titles]
    assert {title for title, _, _ in cut} == set(oak)
    assert all(board.dressed >= blank.thickness - 0.011 for _, blank, board in cut)
    names = [c.blank.name for one in plan.boards for c in one.cuts]
    assert len(names) == len(set(names))
    assert plan.missing == ()


def test_net_wood_is_what_the_cut_list_says_and_gross_the_whole_boards() -> None:
    read, job = sample("saltmeadow")
    listed = board_pieces(job.to_cut, bench(job.long_pieces, read.bench), read.yard.boards)
    [total] = _plan().totals
    net = fsum(one.to_buy for one in listed if one.material == "white oak") * BOARD_FOOT
    assert total.net == pytest.approx(net, rel=1e-12)
    assert total.gross == pytest.approx(fsum(one.board.volume for one in _plan().boards))
    assert 0.0 < total.waste < 0.5


def test_what_is_on_hand_is_not_bought() -> None:
    """The sample's two boards of red oak make both chine logs."""
    titles = {title for one in _plan().boards for cut in one.cuts for title in cut.blank.titles}
    assert not any("chine log" in title for title in titles)
    assert not any("chine log" in one.title for one in _plan().missing)


def test_a_part_wider_than_any_board_is_glued_up_of_strips_and_a_thick_one_of_layers() -> None:
    _, job = sample("saltmeadow")
    parts = [replace(job.part(title), material="white oak") for title in ("transom", "stem")]
    plan = buying_plan(parts, SheetPlan(), (), YARD, Plywood())
    names = [cut.blank.name for one in plan.boards for cut in one.cuts]
    strips = [cut.blank for one in plan.boards for cut in one.cuts if cut.blank.name.startswith("transom, strip")]
    assert len(strips) >= 2
    both = job.part("transom").outline
    across = both[:, 1].max() - both[:, 1].min()
    assert fsum(blank.width - YARD.blank_edges for blank in strips) >= across - 1e-6
    assert {"stem, layer 1 of 2", "stem, layer 2 of 2"} <= set(names)  # 2 1/2 in of 1 3/4 in boards


def test_a_rail_longer_than_the_yards_boards_is_bought_in_lengths_to_scarf() -> None:
    rules = replace(YARD, boards=(_oak(10, 8, 1, 13 / 16), _oak(10, 8, 1.5, 1.3)))
    blanks = [c.blank for one in _plan(rules).boards for c in one.cuts]
    lengths = [blank for blank in blanks if blank.name.startswith("inwale, port, length")]
    assert len(lengths) == 2
    _, job = sample("saltmeadow")
    piece = next(one for one in job.long_pieces if one.part.title == "inwale, port")
    taper = rules.scarf * piece.thickness
    assert fsum(blank.length for blank in lengths) >= piece.places[-1].along + taper


def test_a_dear_size_is_not_bought_where_a_cheap_one_does() -> None:
    dear = replace(_oak(16, 8, 1, 13 / 16), price=90.0)
    cheap = replace(_oak(16, 10, 1, 13 / 16), price=9.0)
    thick = replace(_oak(8, 8, 2, 1.75), price=9.0)
    plan = _plan(replace(YARD, boards=(dear, cheap, thick), currency="$"))
    assert not any(one.board == dear for one in plan.boards)
    assert plan.cost == pytest.approx(fsum(one.board.costs or 0.0 for one in plan.boards))


def test_too_few_boards_are_told() -> None:
    few = tuple(replace(board, count=1) for board in YARD.boards)
    plan = _plan(replace(YARD, boards=few))
    assert len(plan.boards) <= len(few)
    assert any("too few boards" in one.why for one in plan.missing)
    assert plan.total_of("white oak") is None


def test_table_json_and_book_have_the_figures_of_one_plan() -> None:
    plan = _plan()
    rows = list(csv.reader(stock_csv(plan, [], "mm").splitlines()))
    bought = [row for row in rows if row and row[0] == "board" and row[1].isdecimal()]
    assert [float(row[-1]) for row in bought] == pytest.approx([one.board.volume for one in plan.boards])
    start = next(n for n, row in enumerate(rows) if row[:2] == ["board", "no"]) + 1
    blanks = [(row[0], row[2], float(row[-3])) for row in rows[start:]]
    assert blanks == [
        (str(one.number), cut.blank.name, pytest.approx(cut.blank.length)) for one in plan.boards for cut in one.cuts
    ]
    data = buying_figures(plan)
    assert [len(one["blanks"]) for one in data["boards"]] == [len(one.cuts) for one in plan.boards]
    assert data["woods"][0]["gross"] == pytest.approx(fsum(float(row[-1]) for row in bought))
    section = buying_section(plan, [], "in-16ths")
    assert section is not None
    told = next(block for block in section.blocks if isinstance(block, Bullets)).entries[0]
    [total] = plan.totals
    assert f"{total.gross / BOARD_FOOT:.1f} board feet to buy" in told
    assert f"{total.net / BOARD_FOOT:.1f} board feet net" in told
    assert sum(int(row[0]) for row in section.blocks[0].rows) == len(plan.boards)  # type: ignore[union-attr]


def test_what_boards_on_hand_are_kept_for_is_in_the_list_the_table_and_the_figures() -> None:
    """The sample's boards of red oak make both chine logs: whoever cuts them for something else buys them again."""
    plan = _plan()
    titles = {"chine log, port", "chine log, starboard"}
    assert {one["part"] for one in buying_figures(plan)["on_hand"]} == titles
    section = buying_section(plan, [], "in-16ths")
    assert section is not None
    kept = [entry for block in section.blocks if isinstance(block, Bullets) for entry in block.entries]
    kept = [entry for entry in kept if entry.startswith("Your board")]
    assert all(any(title in entry for entry in kept) for title in titles)
    assert all(entry in stock_csv(plan, [], "in-16ths") for entry in kept)


def test_a_boards_drawing_and_the_first_rows_of_its_table_are_on_one_page() -> None:
    section = buying_section(_plan(), [], "in-16ths")
    assert section is not None
    words = [
        [mark.text for mark in page.marks if isinstance(mark, Label)]
        for page in report_pages("what to buy", (), (section,), width=215.9, height=279.4, margin=12.0)
    ]
    assert sum(text.startswith("Board ") for page in words for text in page) >= len(_plan().boards)
    for page in words:
        drawn = [place for place, text in enumerate(page) if text.startswith("Board ") and "becomes blanks" in text]
        assert all("blank" in page[place:] for place in drawn)


def test_a_wood_of_the_yard_that_no_part_is_of_has_one_line_in_page_and_table() -> None:
    teak = [replace(YARD.boards[0], material="teak", length=feet * FOOT) for feet in (8, 12)]
    plan = _plan(replace(YARD, boards=(*YARD.boards, *teak)))
    assert plan.unused == ("teak",)
    assert not _plan().unused
    section = buying_section(plan, (), "in")
    assert section is not None
    told = [block.text for block in section.blocks if isinstance(block, Paragraph)]
    for lines in (told, stock_csv(plan, (), "in").splitlines()):
        assert sum("The yard also has teak" in line for line in lines) == 1


def test_a_metric_boats_rules_name_no_inches_and_no_board_feet() -> None:
    words = " ".join(rules_words(_plan(), "mm"))
    assert "Cubic meters" in words
    assert "inches" not in words
    assert "Board feet" not in words
