"""What to buy, as a section: whole boards of the yard, sheets, and where each blank lies on its board."""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from math import fsum

from patterns.parts.hazards import EPOXY
from patterns.plates.words.buying_words import (
    board_title,
    board_words,
    missing_words,
    money_words,
    numbers_words,
    on_hand_words,
    rules_words,
    sheet_kinds,
    sheets_cost,
    total_words,
    unused_words,
    volume_unit,
    volume_words,
)
from patterns.plates.words.length_words import along_a_board, place_on_a_board, sentence
from patterns.shop.nest.sheets import FilledSheet
from patterns.shop.stock.board_pictures import TALLER, board_picture
from patterns.shop.stock.buying import BoughtBoard, BuyingPlan
from patterns.units.lengths import unbroken, write_length
from patterns.writing.report.report_blocks import Block, Bullets, Figure, Paragraph, Section, Table

TITLE = "What to buy"


def buying_section(plan: BuyingPlan, sheets: Sequence[FilledSheet], show: str) -> Section | None:
    """Boards and sheets to buy; None where the builder names no yard.

    Parameters
    ----------
    sheets : sequence of FilledSheet
        Those that the builder has not.
    """
    if not plan.rules.boards:
        return None
    return Section(TITLE, tuple(_blocks(plan, sheets, show)))


def _blocks(plan: BuyingPlan, sheets: Sequence[FilledSheet], show: str) -> Iterator[Block]:
    if plan.boards:
        yield _boards(plan, show)
        yield Bullets(tuple(total_words(total, show, plan.rules.currency) for total in plan.totals))
    if sheets:
        yield _sheets(sheets, show, plan.rules.currency)
    if plan.on_hand:
        yield Paragraph("Out of boards that you have. Keep them for these parts and buy nothing for them:")
        yield Bullets(tuple(on_hand_words(plan, show)))
    for words in unused_words(plan):
        yield Paragraph(words)
    if plan.missing:
        yield Paragraph("These parts are not counted, and must be bought besides:", "caution")
        yield Bullets(tuple(missing_words(plan)))
    if plan.boards:
        yield Paragraph(
            f"Each board to buy is drawn as wide as the page, its width {TALLER:g} times larger than its length. A "
            "rectangle is a blank; the line in it is the finished part. End and edge are how far the blank lies from "
            "the board's left end and from its lower edge. Call either end the left one, mark it LEFT, and mark the "
            "edge that is then toward you. Thick is finished. Mark all blanks before the "
            "first cut. Begin with a cut that runs right across the board or right along it. Leave narrow blanks on "
            "the wide board until last, to hold them by."
        )
        for one in plan.boards:
            title = f"{sentence(board_title(one, show))}."
            yield Figure(board_picture(one), title, across=True, rows_below=len(one.cuts) + 1)
            yield _blanks(one, show)
        yield Bullets(tuple(rules_words(plan, show)))
        if any(not cut.blank.outlines for one in plan.boards for cut in one.cuts):
            # Strips, layers and lengths are glued up to a part.
            yield Paragraph(EPOXY, "caution")


def _boards(plan: BuyingPlan, show: str) -> Table:
    priced = any(board.costs is not None for board, _ in plan.kinds)
    unit = volume_unit(show)
    rows = tuple(
        (
            str(len(some)),
            board_words(board, show),
            numbers_words([one.number for one in some], "board"),
            volume_words(len(some) * board.volume, show),
            *([money_words(None if board.costs is None else len(some) * board.costs, plan.rules.currency)] * priced),
        )
        for board, some in plan.kinds
    )
    columns = ("buy", "thick x wide x long, as sold", "number", unit, *(["price"] * priced))
    cost = f": {money_words(plan.cost, plan.rules.currency)}" if priced and plan.cost is not None else ""
    return Table(f"Boards to buy{cost}", columns, rows, frozenset((unit, "price")))


def _sheets(sheets: Sequence[FilledSheet], show: str, currency: str) -> Table:
    priced = any(sheet.stock.price is not None for sheet in sheets)
    rows = tuple(
        (
            str(len(alike)),
            kind,
            numbers_words([sheet.number for sheet in alike], "sheet"),
            f"{100 * fsum(sheet.used for sheet in alike) / len(alike):.0f} %",
            *([money_words(sheets_cost(alike), currency)] * priced),
        )
        for kind, alike in sheet_kinds(sheets, show).items()
    )
    columns = ("buy", "sheet", "number", "becomes parts", *(["price"] * priced))
    return Table("Sheets to buy", columns, rows, frozenset(("becomes parts", "price")))


def _blanks(one: BoughtBoard, show: str) -> Table:
    rows = tuple(
        (
            str(number),
            cut.blank.name,
            unbroken(place_on_a_board(cut.left, show)),
            unbroken(place_on_a_board(cut.bottom, show)),
            along_a_board(cut.blank.length, show),
            along_a_board(cut.blank.width, show),
            unbroken(write_length(cut.blank.thickness, show)),
        )
        for number, cut in enumerate(one.cuts, start=1)
    )
    columns = ("no", "blank", "end", "edge", "long", "wide", "thick")
    return Table("", columns, rows, frozenset(columns[2:]))
