"""What a job tells while it is made, in words for the screen."""

from __future__ import annotations

from collections.abc import Iterator
from typing import assert_never

from patterns.cli.loft_words import warnings_in_words
from patterns.cli.screen import INDENT, WARNING, WIDE, in_rows, paragraph
from patterns.job.told import (
    Assumed,
    AtSaw,
    BenchPaper,
    FitChecked,
    Joint,
    ModelPrinted,
    Moved,
    Moves,
    OnNoSheet,
    OnSheet,
    RollPrinted,
    Stage,
    TilesPrinted,
    Told,
    Warned,
)
from patterns.units.lengths import write_length

STAGES = {
    Stage.FAIRING: "Fairing the lines, laying the planking, shaping the parts",
    Stage.CUTTING: "Making ready for saw and router",
    Stage.DRAWING: "Drawing the patterns",
    Stage.ON_SHEETS: "Laying parts on sheets",
    Stage.ON_PAPER: "Laying the patterns on paper",
    Stage.BOOK: "Writing the job book",
}


def tell(news: Told, show: str) -> None:
    """Print one thing a job tells, lengths as ``show`` has them."""
    for line in _lines(news, show):
        print(line)


def _lines(news: Told, show: str) -> Iterator[str]:
    match news:
        case Moves():
            yield from _moves(news, show)
        case Joint():
            yield paragraph("Joined", news.words)
        case AtSaw():
            words = f"{news.name}: {_at_saw(news)}"
            yield "Bench  " + "\n".join(in_rows(words, WIDE - len(INDENT), under=INDENT))
        case OnSheet():
            left = " x ".join(write_length(mm, show) for mm in news.left or ())
            yield paragraph("", f"{news.title}; largest piece left {left}" if left else news.title)
        case OnNoSheet():
            named = "; ".join(news.names)
            yield paragraph(WARNING if news.no_room else "", f"on no sheet, because {news.why}: {named}")
        case FitChecked():
            for words in news.words:
                yield from in_rows(words, WIDE, under=INDENT)
        case Assumed():
            yield from in_rows(news.words, WIDE, first=INDENT, under=INDENT)
        case BenchPaper():
            yield (
                f"{INDENT}{news.small} is too small for bench pages, bevel boards and setting up: they are on "
                f"{news.taken}."
            )
        case TilesPrinted() | RollPrinted() | ModelPrinted():
            yield from _printed(news)
        case Warned():
            yield from warnings_in_words(news.cautions)
        case _:
            assert_never(news)


def _moves(news: Moves, show: str) -> Iterator[str]:
    """Every movement over a printable step; the rest is in job.json."""
    yield f"Faired within {write_length(news.within, show)}; moved:"
    for one in news.moved:
        yield paragraph("", f"{one.line} {one.view}: {_moved(one, show)}")


def _moved(one: Moved, show: str) -> str:
    told = [
        f"{column} {'+' if moved > 0 else '-'}{write_length(abs(moved), show)}"
        for column, moved in zip(one.columns, one.by, strict=True)
        if write_length(abs(moved), show) != write_length(0.0, show)
    ]
    return ", ".join(told) if told else _too_little(max(map(abs, one.by)))


def _too_little(most: float) -> str:
    """Moves that no figure of the bench would show."""
    return f"nothing to measure, {most:.2f} mm at most" if most >= 0.005 else "nothing"


def _at_saw(news: AtSaw) -> str:
    """How a long piece bends, what it is sawn from, and at what tilts."""
    told = [f"{news.bending};"]
    if news.rips:
        rips = [f"{edge} edge at {tilt:.1f}°" for edge, tilt in news.rips]
        told.append(f"rip {', then '.join(rips)};" if any(tilt for _, tilt in news.rips) else "rip both edges square;")
    return " ".join((*told, news.stock))


def _printed(news: TilesPrinted | RollPrinted | ModelPrinted) -> Iterator[str]:
    match news:
        case TilesPrinted():
            yield f"Tiles  {news.pages} pages of {news.paper}."
            yield from (f"{INDENT}{words}" for words in news.left_off)
        case RollPrinted():
            yield f"Roll   {news.length}."
            if news.too_long:
                long = "a page is over 5 m long. Some programs refuse it, crop it or shrink it without a word."
                yield f"{WARNING} roll: {long}"
        case ModelPrinted():
            pages = "1 page" if news.pages == 1 else f"{news.pages} pages"
            yield f"Model  1:{news.scale} on {pages} of {news.card} card. Cut no wood to it."
            if news.card != news.paper:
                smaller = f"; 1:{news.largest} does." if news.largest else ", at any scale."
                yield f"{INDENT}At 1:{news.scale} it does not go on 2 pages of {news.paper}{smaller}"
