"""The page of the cut that frees a piece: how board, strip and piece are held, one drawing for each way to do it."""

from __future__ import annotations

from collections.abc import Iterator, Sequence

from patterns.drawing.marks import Drawing
from patterns.parts.hazards import RIPPING
from patterns.plates.bench.bench_page import WIDTH, Block, Heading, bench_pages, paragraph, stacked
from patterns.plates.bench.saw_plan import hold_plan
from patterns.plates.words.bench_words import HOLDING_PAGE, end_words, holding_words
from patterns.shop.saw.guide_room import board_edges, screws_clear
from patterns.shop.saw.long_bench import BenchPiece


def holding_sheet(worked: Sequence[BenchPiece], *, boat: str, show: str) -> list[Drawing]:
    """One page for all last cuts of a boat; nothing where no saw is set up."""
    sawn = [one for one in worked if one.setup]
    if not sawn:
        return []
    heading = Heading(boat, HOLDING_PAGE, "For rip 2 of every piece. Read it before the first cut.")
    blocks = [*(paragraph(text) for text in holding_words(show)), paragraph(RIPPING)]
    for screws in (True, False):
        blocks += _kind([one for one in sawn if one.setup and screws_clear(one.setup) is screws], screws, show)
    return bench_pages(heading, blocks, name="holding")


def _kind(pieces: Sequence[BenchPiece], screws: bool, show: str) -> Iterator[Block]:
    """The drawing of one way to hold the ends, of the first piece held so."""
    if not pieces:
        return
    first = pieces[0]
    assert first.setup is not None
    last = first.setup.rips[1]
    board = board_edges(last, first.place) if first.place else None
    names = ", ".join(dict.fromkeys(one.piece.name for one in pieces))
    words = stacked([paragraph(f"{end_words(screws=screws, show=show)} So are held: {names}.")])
    yield stacked([words, hold_plan(first.setup, last, board, width=WIDTH, screws=screws)], gap=1.0)
