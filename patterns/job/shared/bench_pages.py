"""What is used at the bench on pages: bevel boards, setting up, saw set-ups."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass

from patterns.drawing.marks import Drawing
from patterns.drawing.moved_marks import placed
from patterns.geometry.short_repr import brief
from patterns.job.shared.page_finding import PageOf
from patterns.job.wishes.paper_sizes import Printed
from patterns.plates.bench.bench_page import HEIGHT, WIDTH
from patterns.plates.bench.bench_pages import bench_sheets
from patterns.plates.bench.bevel_board import bevel_strips
from patterns.plates.bench.holding_page import holding_sheet
from patterns.plates.bench.keel_pages import keel_sheet
from patterns.plates.bench.saw_test_page import NAME as TEST_CUTS
from patterns.plates.bench.saw_test_page import saw_test_sheet
from patterns.plates.bench.set_up_pages import set_up_sheets
from patterns.shop.layout.bevel_boards import BevelBoard
from patterns.shop.layout.setting_up import SettingUp
from patterns.shop.saw.keel_cuts import KeelBench
from patterns.shop.saw.long_bench import BenchPiece
from patterns.shop.saw.mirrored import in_pairs
from patterns.shop.saw.saw_rules import SawRules
from patterns.tiling.paper.page import Page, first_pages
from patterns.tiling.paper.paper import PaperSetup
from patterns.tiling.paper.stacked import room, stacked

HOLDING = "holding the last cut"
ON_BOARDS = "Lay the gauge's stock along the heavy line, the wood on its left. Set the blade along a thin line."


@dataclass(frozen=True, slots=True, eq=False)
class Booklet:
    """Pages, and by name the first and last page of each thing on them."""

    title: str
    pages: tuple[Page, ...]
    page_of: PageOf

    __repr__ = brief


def boards_laid(boards: Sequence[BevelBoard], printed: Printed, *, boat: str, show: str) -> Booklet:
    """The strips of every board, where they find room. Pages are found by the board's name."""
    width = room(printed.room)[0]
    strips = [(board.name, strip) for board in boards for strip in bevel_strips(board, width=width, show=show)]
    drawings = [strip for _, strip in strips]
    laid = stacked(drawings, printed.room, boat=boat, title="bevel boards", note=ON_BOARDS, in_order=False)
    return Booklet("bevel boards", laid.pages, first_pages([name for name, _ in strips], laid.numbers))


def steps_laid(plan: SettingUp, printed: Printed, *, boat: str) -> Booklet:
    """Setting up in its order. Pages are found by the names of the parts that are set up."""
    blocks = list(set_up_sheets(plan, width=room(printed.room)[0]))
    laid = stacked(blocks, printed.room, boat=boat, title="setting up")
    at_steps = first_pages([block.title for block in blocks], laid.numbers)
    found = {name: at_steps[f"step {step.number}"] for step in plan.steps for name in step.of}
    return Booklet("setting up", laid.pages, found)


def saw_sheets(
    worked: Sequence[BenchPiece], keels: Sequence[KeelBench], saw: SawRules | None, *, boat: str, show: str
) -> list[tuple[tuple[str, ...], Drawing]]:
    """By the titles of the pieces that it serves, every page of the long pieces, in the order of the work.

    First the page of test cuts and the one on holding the last cut; port and starboard share a page where only the side
    that the bow lies on differs.
    """
    sheets: list[tuple[tuple[str, ...], Drawing]] = []
    for one, other in in_pairs(worked):
        titles = (one.title, other.title) if other else (one.title,)
        sheets += [(titles, drawing) for drawing in bench_sheets(one, boat=boat, show=show, other=other)]
    for keel in keels:
        sheets += [((keel.keel.name,), drawing) for drawing in keel_sheet(keel, saw, boat=boat, show=show)]
    tests = saw_test_sheet([one.piece for one in worked], saw, boat=boat, show=show)
    holding = holding_sheet(worked, boat=boat, show=show)
    return [*(((TEST_CUTS,), drawing) for drawing in tests), *(((HOLDING,), drawing) for drawing in holding), *sheets]


def saw_laid(drawings: Sequence[tuple[tuple[str, ...], Drawing]], printed: Printed) -> Booklet:
    """The pages of all long pieces. They are found by the piece's title."""
    pages = tuple(bench_paper(drawing, printed.room) for _, drawing in drawings)
    found = [(title, number) for number, (titles, _) in enumerate(drawings, 1) for title in titles]
    return Booklet("saw set-ups", pages, first_pages([title for title, _ in found], [number for _, number in found]))


def bench_paper(drawing: Drawing, paper: PaperSetup) -> Page:
    """A bench page in the middle of its paper, as high up as the margins let it."""
    left = (paper.width - WIDTH) / 2
    at = (left, paper.height - max(paper.margin, (paper.height - HEIGHT) / 2) - HEIGHT)
    marks = tuple(placed(mark, at) for mark in drawing.marks)
    return Page(paper.width, paper.height, marks, drawing.title, entry=drawing.title)
