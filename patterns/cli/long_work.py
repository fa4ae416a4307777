"""What is said of long pieces at the bench, and their sheets as PDF."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import replace

import numpy as np

from patterns.cli.screen import in_rows
from patterns.cli.sheets import ISO, Wishes
from patterns.drawing.marks import Drawing
from patterns.drawing.moved_marks import placed
from patterns.parts.cautions import Caution
from patterns.parts.part import Part
from patterns.plates.bench.bench_page import HEIGHT, WIDTH
from patterns.plates.bench.bench_pages import bench_sheets
from patterns.plates.words.board_words import stock_size
from patterns.shop.saw.long_bench import BenchPiece, bench_cautions
from patterns.tiling.paper.page import Page, first_pages
from patterns.tiling.paper.paper import PaperSetup
from patterns.units.lengths import write_length
from patterns.units.papers import paper_size
from patterns.writing.ink.pdf import pdf_bytes

SAW_SET_UPS = "paper/saw-set-ups.pdf"
TO_SCALE = "bench sheets, drawings to the scales they state"
MARGIN = 12.7  # mm (1/2 in); with more, letter or A4 do not take the bench sheets
WIDE = 80  # columns of a terminal
UNDER = " " * 7


def cautions_of_bench(made: Sequence[BenchPiece], show: str) -> tuple[Caution, ...]:
    return tuple(Caution(where, text) for where, text in bench_cautions(made, show))


def with_verdicts(parts: Sequence[Part], made: Sequence[BenchPiece], show: str) -> tuple[Part, ...]:
    """The parts, each long piece's sheet saying how it is to be bent."""
    said = {one.piece.part.title: f"Bending: {_verdict(one, show)}." for one in made}
    return tuple(
        replace(part, remarks=(*part.remarks, said[part.title])) if part.title in said else part for part in parts
    )


def tell_bench(made: Sequence[BenchPiece], show: str) -> None:
    """A paragraph for each long piece: how it bends, what it is sawn from, and at what tilts."""
    for one in (one for one in made if one.piece.part.hand != "starboard"):
        words = f"{one.piece.name}: {' '.join(_told(one, show))}"
        print("Bench  " + "\n".join(in_rows(words, WIDE - len(UNDER), under=UNDER)))


def _told(one: BenchPiece, show: str) -> list[str]:
    told = [f"{_verdict(one, show)};"]
    if one.setup:
        tilts = [float(np.degrees(rip.setting.tilt)) for rip in one.setup.rips]
        rips = [f"{rip.edge.name} edge at {tilt:.1f}°" for rip, tilt in zip(one.setup.rips, tilts, strict=True)]
        told.append(f"rip {', then '.join(rips)};" if any(tilts) else "rip both edges square;")
    told.append(_board(one, show))
    return told


def _verdict(one: BenchPiece, show: str) -> str:
    bend = one.bend
    if not np.isfinite(bend.flat_radius):
        return bend.way.value
    return f"{bend.way.value} (radius {write_length(bend.flat_radius, show)}, {bend.flat_ratio:.0f} thicknesses)"


def _board(one: BenchPiece, show: str) -> str:
    if one.place:
        twin = one.place.pair is not None or any(other.title.startswith(one.piece.name) for other in one.beside)
        hands = ", both hands" if twin else ""
        grain = f"grain 1 in {one.place.one_in:.0f}" if np.isfinite(one.place.one_in) else "grain straight"
        return f"from board {one.place.number}{hands}, {grain}."
    scarfs = f" in {len(one.scarfs.boards)} lengths of board {one.lengths_of}, scarfed" if one.scarfs else ""
    scarfs += f", {len(one.missing)} more than you have left" if one.missing else ""
    return f"needs stock of {stock_size(one, show)}{scarfs}."


def at_bench(wishes: Wishes) -> Wishes:
    """The wishes for what is used at the bench: on letter or A4, as they come, where the job's paper is too small."""
    room, least = wishes.room, min(wishes.paper.margin, MARGIN)
    if room.width - 2 * room.margin >= WIDTH and room.height - 2 * room.margin >= HEIGHT:
        return wishes
    enough = "a4" if ISO.fullmatch(wishes.paper.name.lower()) else "letter"
    paper = PaperSetup(*paper_size(enough), least, wishes.paper.overlap, enough)
    return replace(wishes, paper=paper, correction=None)


def bench_pdf(made: Sequence[BenchPiece], wishes: Wishes, *, boat: str) -> tuple[bytes, dict[str, tuple[int, int]]]:
    """Every bench sheet of every long piece, in the order of the work, on a paper that takes them (`at_bench`).

    With it, by the titles of the pieces, the first and last page of each.
    """
    drawings = [(one.title, drawing) for one in made for drawing in bench_sheets(one, boat=boat, show=wishes.show)]
    pages = [_page(drawing, wishes.room) for _, drawing in drawings]
    data = pdf_bytes(wishes.sheets(pages), title=f"{boat}: saw set-ups", subject=TO_SCALE)
    return data, first_pages([title for title, _ in drawings], range(1, len(pages) + 1))


def _page(drawing: Drawing, paper: PaperSetup) -> Page:
    left = (paper.width - WIDTH) / 2
    at = (left, paper.height - max(paper.margin, (paper.height - HEIGHT) / 2) - HEIGHT)
    marks = tuple(placed(mark, at) for mark in drawing.marks)
    return Page(paper.width, paper.height, marks, drawing.title, entry=drawing.title)
