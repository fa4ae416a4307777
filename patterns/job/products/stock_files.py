"""What to buy: the list with a picture of every board, as pages and as CSV."""

from __future__ import annotations

from collections.abc import Iterator

from patterns.job.boat_job import BoatJob
from patterns.job.products.made import Made
from patterns.job.products.report_paper import on_paper
from patterns.job.told import ToBuy
from patterns.plates.words.buying_words import board_words, missing_words, money_words, sheet_kinds, total_words
from patterns.shop.stock.cut_list import to_be_bought
from patterns.writing.tables.marked_csv import marked_csv
from patterns.writing.tables.stock_csv import STOCK, stock_csv

STOCK_PDF = "paper/what-to-buy.pdf"


def stock_files(job: BoatJob) -> Iterator[str]:
    """Two, where the builder names his yard's boards."""
    if job.read.yard.boards:
        yield from (STOCK_PDF, STOCK)


def make_stock(job: BoatJob) -> Made:
    """Boards and sheets to buy."""
    from patterns.writing.book.book_buying import TITLE, buying_section
    from patterns.writing.report.report_blocks import Paragraph

    sheets = to_be_bought(job.plan)
    section = buying_section(job.buying, sheets, job.show)
    if section is None:
        return Made({})
    lead = (Paragraph("Take this list to the yard. The layouts are for the bench."),)
    pdf = on_paper(job, f"{job.name}: {TITLE.lower()}", lead, (section,))
    table = marked_csv(stock_csv(job.buying, sheets, job.show), job.run_mark)
    return Made({STOCK_PDF: pdf, STOCK: table}, tuple(stock_told(job)))


def stock_told(job: BoatJob, *, alone: bool = False) -> Iterator[ToBuy]:
    """Boards, totals and what is missing, in words; nothing where no yard is named.

    ``alone``: whether nothing else of the job is told. Otherwise a warning of the sheets says what material is not
    stated, and under which key.
    """
    plan, show, currency = job.buying, job.show, job.read.yard.currency
    if not plan.rules.boards:
        return
    boards = (
        f"{len(some)} of {board_words(board, show)}{_price(board.costs, len(some), currency)}"
        for board, some in plan.kinds
    )
    sheets = (f"{len(alike)} of {kind}" for kind, alike in sheet_kinds(to_be_bought(job.plan), show).items())
    totals = (total_words(total, show, currency) for total in plan.totals)
    yield ToBuy(
        (*boards, *sheets), tuple(totals), tuple(missing_words(plan, unstated=alone or job.read.sheets is None))
    )


def _price(each: float | None, count: int, currency: str) -> str:
    return "" if each is None else f": {money_words(count * each, currency)}"
