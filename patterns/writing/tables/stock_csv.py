"""What to buy as CSV: a row for each board or sheet to buy, then a row for each blank on a board."""

from __future__ import annotations

import csv
import io
from collections.abc import Iterator, Sequence

from patterns.plates.words.buying_words import (
    money_words,
    on_hand_words,
    rules_words,
    unused_words,
    volume_unit,
    volume_words,
)
from patterns.plates.words.length_words import along_a_board, place_on_a_board
from patterns.shop.nest.sheets import FilledSheet
from patterns.shop.stock.buying import BuyingPlan
from patterns.units.cells import shielded
from patterns.units.lengths import write_length
from patterns.writing.tables.layout_csv import unrounded

STOCK = "tables/what-to-buy.csv"
BOUGHT = ("buy", "number", "material", "thick", "wide", "long")
BOUGHT_MM = ("thick_mm", "wide_mm", "long_mm", "wood_mm3")
BLANKS = ("board", "no", "blank", "from end", "from edge", "long", "wide", "finished thick")
BLANKS_MM = ("from_end_mm", "from_edge_mm", "long_mm", "wide_mm", "finished_thick_mm")


def stock_csv(plan: BuyingPlan, sheets: Sequence[FilledSheet], show: str) -> str:
    """Words, then a table of what to buy and a table of blanks.

    Parameters
    ----------
    sheets : sequence of FilledSheet
        Those that the builder has not.
    """
    text = io.StringIO()
    out = csv.writer(text, lineterminator="\n")
    for words in rules_words(plan, show):
        out.writerow(("about", words))
    for words in on_hand_words(plan, show):
        out.writerow(("about", f"Out of boards on hand, not to be bought. {words}"))
    for words in unused_words(plan):
        out.writerow(("about", words))
    for one in plan.missing:
        out.writerow(("about", f"Not counted: {one.title}: {one.why}."))
    out.writerow(())
    out.writerow((*BOUGHT, volume_unit(show), "price", *BOUGHT_MM))
    out.writerows(tuple(row) for row in _bought(plan, show))
    out.writerows(tuple(row) for row in _sheets(sheets, show))
    out.writerow(())
    out.writerow((*BLANKS, *BLANKS_MM))
    out.writerows(tuple(row) for row in _blanks(plan, show))
    return text.getvalue()


def _bought(plan: BuyingPlan, show: str) -> Iterator[Iterator[object]]:
    for one in plan.boards:
        board = one.board
        sizes = board.thickness, board.width, board.length
        yield iter(
            (
                "board",
                one.number,
                shielded(board.material),
                *(write_length(mm, show) for mm in sizes),
                volume_words(board.volume, show),
                money_words(board.costs, ""),
                *(unrounded(mm) for mm in (*sizes, board.volume)),
            )
        )


def _sheets(sheets: Sequence[FilledSheet], show: str) -> Iterator[Iterator[object]]:
    for sheet in sheets:
        sizes = sheet.thickness, sheet.stock.width, sheet.stock.length
        words = (write_length(mm, show) for mm in sizes)
        price = money_words(sheet.stock.price, "")
        yield iter(("sheet", sheet.number, shielded(sheet.material), *words, "", price, *map(unrounded, sizes), ""))


def _blanks(plan: BuyingPlan, show: str) -> Iterator[Iterator[object]]:
    for one in plan.boards:
        for number, cut in enumerate(one.cuts, start=1):
            blank = cut.blank
            sizes = cut.left, cut.bottom, blank.length, blank.width, blank.thickness
            words = (
                place_on_a_board(cut.left, show),
                place_on_a_board(cut.bottom, show),
                along_a_board(blank.length, show),
                along_a_board(blank.width, show),
                write_length(blank.thickness, show),
            )
            yield iter((one.number, number, shielded(blank.name), *words, *map(unrounded, sizes)))
