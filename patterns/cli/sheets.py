"""The sheets of a job: tiles, roll and model, as PDF and as SVG."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass

from patterns.drawing.marks import Drawing
from patterns.tiling.correction import Correction
from patterns.tiling.paper import PaperSetup
from patterns.tiling.roll import rolled
from patterns.tiling.roll_key import roll_pages, running_length
from patterns.tiling.tiles import tile
from patterns.writing.pdf import pdf_bytes

Files = dict[str, bytes | str]

ROLL = "paper/roll.pdf"


@dataclass(frozen=True, slots=True)
class Wishes:
    """How the builder wants the sheets."""

    paper: PaperSetup
    correction: Correction | None
    roll: float  # mm, width
    one_page: bool  # the roll in one page, however long
    show: str  # how lengths are printed


def tiles_name(paper: PaperSetup) -> str:
    return f"paper/patterns-{paper.name.lower().replace(' ', '-')}.pdf"


def sheet_files(drawings: Sequence[Drawing], wishes: Wishes, *, boat: str) -> Files:
    """The PDFs of tiles and roll, by their names in the job's folder; what the roll takes is told."""
    return {tiles_name(wishes.paper): _tiles(drawings, wishes, boat), ROLL: _roll(drawings, wishes, boat)}


def _tiles(drawings: Sequence[Drawing], wishes: Wishes, boat: str) -> bytes:
    room = wishes.correction.room(wishes.paper) if wishes.correction else wishes.paper
    pages = [page for drawing in drawings for page in tile(drawing, room, show=wishes.show).pages]
    if wishes.correction:
        pages = [wishes.correction.sheet(page, wishes.paper) for page in pages]
    return pdf_bytes(pages, title=f"{boat}: {wishes.paper.name}")


def _roll(drawings: Sequence[Drawing], wishes: Wishes, boat: str) -> bytes:
    found = rolled(drawings, wishes.roll, show=wishes.show, one_page=wishes.one_page)
    print(f"Roll   {running_length(found)}.")
    if found.too_long:
        print("WARNING roll: a page is over 5 m long. Some programs refuse it, crop it or shrink it without a word.")
    return pdf_bytes(roll_pages(found), title=f"{boat}: roll", any_length=wishes.one_page)
