"""The cut list as CSV: every piece of wood with its lengths, what it is cut from, and what of it is to be bought."""

from __future__ import annotations

import csv
import io
from collections.abc import Iterator, Sequence, Set

from patterns.parts.part import Part
from patterns.plates.words.length_words import EXPLAINED, NAMES, length_cells, wide_words
from patterns.shop.nest.sheets import SheetPlan
from patterns.shop.saw.long_bench import BenchPiece
from patterns.shop.stock.cut_list import BoardPiece, board_pieces, sheets_of, to_be_bought
from patterns.shop.stock.yard import BOARD_FOOT, YardBoard
from patterns.units.cells import shielded
from patterns.units.lengths import write_length
from patterns.writing.tables.layout_csv import unrounded

COLUMNS = ("part", "make", "material", "thick", *NAMES, "wide", "from", "to buy")
UNROUNDED = ("thick_mm", *(f"{name}_mm" for name in NAMES), "wide_mm", "wood_mm3", "wood_to_buy_mm3")
WIDE = "Wide: of the board where a stock length is given, else of the finished piece."
CUT_LIST = "tables/cut-list.csv"


def cut_list_csv(
    parts: Sequence[Part], plan: SheetPlan, made: Sequence[BenchPiece], show: str, yard: Sequence[YardBoard] = ()
) -> str:
    """Words, then a row for each piece: as the book's cut list has it, and unrounded.

    Parameters
    ----------
    parts : sequence
        Every piece to cut; joined panels by their pieces.
    made : sequence of BenchPiece
        The long pieces at the bench, laid on the builder's boards.
    """
    text = io.StringIO()
    out = csv.writer(text, lineterminator="\n")
    out.writerow(("about", EXPLAINED))
    out.writerow(("about", "Columns ending in _mm and _mm3 are unrounded; wood is net, of all alike, before waste."))
    out.writerow(("about", WIDE))
    out.writerow(())
    out.writerow((*COLUMNS, *UNROUNDED))
    sheets, bought = sheets_of(plan), {sheet.number for sheet in to_be_bought(plan)}
    out.writerows(tuple(_row(one, sheets.get(one.title, ()), bought, show)) for one in board_pieces(parts, made, yard))
    return text.getvalue()


def _row(one: BoardPiece, sheets: Sequence[int], sheets_bought: Set[int], show: str) -> Iterator[object]:
    hand = one.on_hand
    new = tuple(number for number in sheets if number in sheets_bought)
    bought = 0.0 if sheets else one.to_buy
    yield from (shielded(one.title), one.count, shielded(one.material), write_length(one.thickness, show))
    yield from (*length_cells(one.lengths, show), wide_words(one.width, one.stock_width, show))
    yield _sheets(sheets) if sheets else f"board {hand.board}" if hand else ""
    missing = ", ".join(write_length(length, show) for length in hand.missing) if hand else ""
    yield (_sheets(new) if new else "") or missing or ("all" if bought else "nothing")
    lengths = (one.thickness, one.lengths.finished, one.lengths.sawn, one.lengths.stock, one.stock_width or one.width)
    yield from ("" if mm is None else unrounded(mm) for mm in lengths)
    yield from (unrounded(feet * BOARD_FOOT) for feet in (one.board_feet, bought))


def _sheets(numbers: Sequence[int]) -> str:
    return f"sheet {', '.join(map(str, numbers))}"
