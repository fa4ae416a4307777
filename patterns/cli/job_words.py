"""What a job tells while it is made, in words for the screen."""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from typing import assert_never

from patterns.cli.loft_words import warnings_in_words
from patterns.cli.screen import INDENT, WARNING, Screen, in_rows, paragraph, width
from patterns.job.told import (
    Assumed,
    AtSaw,
    BenchPaper,
    Built,
    Counted,
    FitChecked,
    Floating,
    Joint,
    ModelPrinted,
    Moved,
    Moves,
    OnNoSheet,
    OnSheet,
    RollPrinted,
    Stage,
    TilesPrinted,
    ToBuy,
    Told,
    Warned,
)
from patterns.units.lengths import write_length

NOTHING = 0.005  # mm; a move that is less is none

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
            yield paragraph("Bench", f"{news.name}: {_at_saw(news)}")
        case OnSheet():
            left = " x ".join(write_length(mm, show) for mm in news.left or ())
            yield paragraph("", f"{news.title}; largest piece left {left}" if left else news.title)
        case OnNoSheet():
            if not news.no_room:
                yield paragraph("", _on_none(news))
        case ToBuy():
            yield from _to_buy((*news.boards, *news.totals))
        case FitChecked():
            for words in news.words:
                yield from in_rows(words, width(), under=INDENT)
        case Assumed():
            yield paragraph("", news.words)
        case BenchPaper():
            small = f"{news.small} is too small for bench pages, bevel boards and setting up"
            yield paragraph("", f"{small}: they are on {news.taken}.")
        case TilesPrinted() | RollPrinted() | ModelPrinted():
            yield from _printed(news)
        case Floating():
            for name, words in zip(("Weight", "Afloat"), news.words, strict=False):
                yield paragraph(name, words)
        case Built():
            yield paragraph("Built", news.words)
        case Warned():
            pass  # told apart, by `warned`
        case _:
            assert_never(news)


def warned(news: Told) -> Iterator[str]:
    """What may go wrong, in words: a paragraph each."""
    match news:
        case Warned():
            yield from warnings_in_words(news.cautions)
        case OnNoSheet() if news.no_room:
            yield paragraph(WARNING, _on_none(news))
        case Floating():
            yield from (paragraph(WARNING, f"{name}: {words}") for name, words in news.swamped)
        case ToBuy():
            yield from (paragraph(WARNING, f"not among the boards to buy: {words}") for words in news.missing)
        case Built() if news.misfits:
            parts = ", ".join(f"{title} (up to {by})" for title, by in news.misfits)
            cure = "Dress the frames to the plan, or take these parts out of cut in [built] and cut them again."
            yield paragraph(WARNING, f"as cut, no longer fit the boat as it stands: {parts}. {cure}")
        case RollPrinted() if news.too_long:
            long = "a page is over 5 m long. Some programs refuse it, crop it or shrink it without a word."
            yield paragraph(WARNING, f"roll: {long}")
        case _:
            pass


def _on_none(news: OnNoSheet) -> str:
    return f"on no sheet, because {news.why}: {'; '.join(news.names)}"


def in_short(news: Told, show: str) -> Iterator[str]:
    """What is said of it where the book has the details."""
    match news:
        case Moves():
            views = [moved for one in news.moved for moved in one.by]
            seen = [abs(mm) for mm in views if write_length(abs(mm), show) != write_length(0.0, show)]
            limit = write_length(news.within, show)
            most = f", {write_length(max(seen), show)} at most" if seen else ""
            yield paragraph("Moved", f"{len(seen)} of {len(views)} offsets to fair the lines{most} (limit {limit}).")
        case ToBuy():
            yield from _to_buy(news.totals)
        case FitChecked():
            yield from in_rows(news.words[0], width(), under=INDENT) if news.words else ()
        case BenchPaper() | TilesPrinted() | RollPrinted() | ModelPrinted() | Floating() | Built():
            yield from _lines(news, show)
        case _:
            pass


def _to_buy(lines: Sequence[str]) -> Iterator[str]:
    return (paragraph("" if number else "Buy", words) for number, words in enumerate(lines))


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
    return ", ".join(told) if told else "nothing to measure" if max(map(abs, one.by)) >= NOTHING else "nothing"


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
            yield paragraph("Pages", f"{news.pages} of {news.paper}.")
            yield from (paragraph("", words) for words in news.left_off)
        case RollPrinted():
            yield paragraph("Roll", f"{news.length}.")
        case ModelPrinted():
            pages = "1 page" if news.pages == 1 else f"{news.pages} pages"
            yield paragraph("Model", f"1:{news.scale} on {pages} of {news.card} card. Cut no wood to it.")
            if news.card != news.paper:
                smaller = f"; 1:{news.largest} does." if news.largest else ", at any scale."
                yield paragraph("", f"At 1:{news.scale} it does not go on 2 pages of {news.paper}{smaller}")


def tell_progress(news: Stage | Counted, terminal: Screen) -> None:
    """A stage as it begins, and how far it is."""
    if isinstance(news, Stage):
        terminal.stage(STAGES[news])
    else:
        terminal.count(news.done, news.of)
