"""The cut list as CSV: every piece of wood with its lengths, what it is cut from, and what of it is to be bought."""

from __future__ import annotations

import csv
import io
from collections.abc import Iterator, Sequence

from patterns.parts.part import Part
from patterns.plates.length_words import EXPLAINED, NAMES, length_cells
from patterns.shop.cut_list import BOARD_FOOT, BoardPiece, board_pieces, sheets_of
from patterns.shop.long_bench import BenchPiece
from patterns.shop.sheets import SheetPlan
from patterns.units.cells import shielded
from patterns.units.lengths import write_length
from patterns.writing.layout_csv import unrounded

COLUMNS = ("part", "make", "material", "thick", *NAMES, "wide", "from", "to buy")
UNROUNDED = ("thick_mm", *(f"{name}_mm" for name in NAMES), "wide_mm", "wood_mm3", "wood_to_buy_mm3")
CUT_LIST = "tables/cut-list.csv"


def cut_list_csv(parts: Sequence[Part], plan: SheetPlan, made: Sequence[BenchPiece], show: str) -> str:
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
    out.writerow(())
    out.writerow((*COLUMNS, *UNROUNDED))
    sheets = sheets_of(plan)
    out.writerows(tuple(_row(one, sheets.get(one.title, ()), show)) for one in board_pieces(parts, made))
    return text.getvalue()


def _row(one: BoardPiece, sheets: Sequence[int], show: str) -> Iterator[object]:
    hand = one.on_hand
    bought = 0.0 if sheets else one.to_buy
    yield from (shielded(one.title), one.count, shielded(one.material), write_length(one.thickness, show))
    yield from (*length_cells(one.lengths, show), write_length(one.width, show))
    yield f"sheet {', '.join(map(str, sheets))}" if sheets else f"board {hand.board}" if hand else ""
    missing = ", ".join(write_length(length, show) for length in hand.missing) if hand else ""
    yield missing or ("all" if bought else "nothing")
    lengths = (one.thickness, one.lengths.finished, one.lengths.sawn, one.lengths.stock, one.width)
    yield from ("" if mm is None else unrounded(mm) for mm in lengths)
    yield from (unrounded(feet * BOARD_FOOT) for feet in (one.board_feet, bought))
