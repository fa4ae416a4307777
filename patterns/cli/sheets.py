"""The sheets of a job: tiles, roll and model, as PDF and as SVG."""

from __future__ import annotations

import re
from collections.abc import Mapping, Sequence
from dataclasses import dataclass, replace
from itertools import pairwise

import numpy as np

from patterns.cli.workers import begun, by_many_hands
from patterns.drawing.marks import Drawing
from patterns.errors import PatternsError
from patterns.parts.part import Part
from patterns.tiling.paper.correction import Correction
from patterns.tiling.paper.page import first_pages
from patterns.tiling.paper.paper import PaperSetup
from patterns.tiling.roll.card_model import LEAST, MOST, largest_scale, model
from patterns.tiling.roll.roll import rolled
from patterns.tiling.roll.roll_key import roll_pages, running_length
from patterns.tiling.seams.key_plan import called
from patterns.tiling.tiles.front_page import front_page
from patterns.tiling.tiles.shared_pages import shared
from patterns.tiling.tiles.tiles import Page, Tiling, tile
from patterns.units.papers import paper_names, paper_size
from patterns.writing.ink.pdf import pdf_bytes

Files = dict[str, bytes | str]

ROLL = "paper/roll.pdf"
ISO = re.compile(r"[ab][0-9]")  # papers of ISO 216 by their names
ISO_A = ("a4", "a3", "a2", "a1", "a0")  # those a shop keeps in card


@dataclass(frozen=True, slots=True)
class Wishes:
    """How the builder wants the sheets."""

    paper: PaperSetup
    correction: Correction | None
    roll: float  # mm, width
    one_page: bool  # the roll in one page, however long
    svg_tiles: bool  # every tile as SVG too
    scale: int | None  # a model too, one to so many
    show: str  # how lengths are printed
    left_off: tuple[str, ...] = ()  # what the front page says of patterns without sheets

    @property
    def room(self) -> PaperSetup:
        """What of the paper there is to lay patterns out on."""
        return self.correction.room(self.paper) if self.correction else self.paper

    def sheets(self, pages: Sequence[Page]) -> Sequence[Page]:
        """Pages laid out on `room` as they are to be printed."""
        return [self.correction.sheet(page, self.paper) for page in pages] if self.correction else pages


def tiles_name(paper: PaperSetup) -> str:
    return f"paper/patterns-{paper.name.lower().replace(' ', '-')}.pdf"


@dataclass(frozen=True, slots=True)
class Sheets:
    """What is printed, by its names in the job's folder, and where each pattern is found in it."""

    files: Files
    pages: dict[str, tuple[int, int]]  # by the drawing's title, its first and last page among the tiles
    on_roll: dict[str, tuple[int, int]]  # the same among the roll's


def sheet_files(
    parts: Sequence[Part],
    drawings: Sequence[Drawing],
    wishes: Wishes,
    *,
    boat: str,
    halved: Mapping[str, tuple[Drawing, ...]],
) -> Sheets:
    """Tiles, roll and what else is wished; what they take is told.

    ``halved`` has, by the titles of the whole ones, the drawings that the tiles show in halves; a roll has room.
    """
    tiled = [one for drawing in drawings for one in halved.get(drawing.title, (drawing,))]
    with begun(lambda: _roll(drawings, wishes, boat)) as roll:
        files, pages_of = _tiles(tiled, wishes, boat)
        files[ROLL], on_roll = roll()
    if wishes.scale is not None:
        files |= _model(parts, wishes.scale, wishes, boat=boat)
    for title in (drawing.title for drawing in drawings if drawing.title in halved):
        firsts, lasts = zip(*(pages_of[one.title] for one in halved[title]), strict=True)
        pages_of[title] = min(firsts), max(lasts)
    return Sheets(files, pages_of, on_roll)


def _tiles(drawings: Sequence[Drawing], wishes: Wishes, boat: str) -> tuple[Files, dict[str, tuple[int, int]]]:
    """The tiles as files, and by a drawing's title its pages; what they take is told."""
    tilings = by_many_hands(lambda drawing: tile(drawing, wishes.room, show=wishes.show), shared(drawings, wishes.room))
    front = front_page(tilings, wishes.room, boat=boat, left_off=wishes.left_off)
    pages = wishes.sheets([front, *(page for tiling in tilings for page in tiling.pages)])
    print(f"Tiles  {len(pages)} sheets of {called(wishes.paper)}.", *wishes.left_off, sep=f"\n{7 * ' '}")
    files: Files = {tiles_name(wishes.paper): pdf_bytes(pages, title=f"{boat}: {wishes.paper.name}")}
    if wishes.svg_tiles:
        files |= _svg_tiles(tilings)
    return files, _pages_of(drawings, tilings)


def _pages_of(drawings: Sequence[Drawing], tilings: Sequence[Tiling]) -> dict[str, tuple[int, int]]:
    """By a drawing's title, the pages it is on, alone or among the small ones; page 1 is in front of them all."""
    ends = np.cumsum([1, *(len(tiling.pages) for tiling in tilings)]).tolist()
    runs = {
        tiling.drawing.title: (first + 1, last) for tiling, (first, last) in zip(tilings, pairwise(ends), strict=True)
    }
    found: dict[str, tuple[int, int]] = {}
    for title in (drawing.title for drawing in drawings):
        among = re.compile(rf"(^small patterns [0-9]+: |, ){re.escape(title)}(, |$)")
        on = title if title in runs else next((name for name in runs if among.search(name)), None)
        found |= {title: runs[on]} if on else {}
    return found


def _svg_tiles(tilings: Sequence[Tiling]) -> Files:
    from patterns.writing.ink.svg import svg_page

    files: Files = {}
    for tiling in tilings:
        for one in tiling.tiles:
            name = f"{tiling.drawing.file_name}-{one.label}"
            files[f"svg/tiles/{name}.svg"] = svg_page(one.page, prefix=name)
    return files


def _roll(drawings: Sequence[Drawing], wishes: Wishes, boat: str) -> tuple[bytes, dict[str, tuple[int, int]]]:
    found = rolled(drawings, wishes.roll, show=wishes.show, one_page=wishes.one_page)
    print(f"Roll   {running_length(found)}.")
    if found.too_long:
        print("WARNING roll: a page is over 5 m long. Some programs refuse it, crop it or shrink it without a word.")
    pages = roll_pages(found)
    data = pdf_bytes(pages, title=f"{boat}: roll", any_length=wishes.one_page)
    before = len(pages) - len(found.sheets)
    # What takes several pages is called there by its title and the page's.
    where = [
        (drawing.title, number)
        for number, one in enumerate(found.sheets, before + 1)
        for drawing in drawings
        if any(title == drawing.title or title.startswith(f"{drawing.title}: ") for title in one.titles)
    ]
    return data, first_pages([title for title, _ in where], [number for _, number in where])


def _model(parts: Sequence[Part], scale: int, wishes: Wishes, *, boat: str) -> Files:
    """The card model, on the job's paper or, where that is too small, on the least of its kind that takes it; told."""
    found = model(parts, scale, [wishes.room, *larger_papers(wishes.paper)], boat=boat)
    pages: Sequence[Page] = found.pages
    sheets = "1 sheet" if len(pages) == 1 else f"{len(pages)} sheets"
    print(f"Model  1:{scale} on {sheets} of {found.paper.name} card. Cut no wood to it.")
    if found.paper.name == wishes.paper.name:
        pages = wishes.sheets(pages)
    else:
        takes = largest_scale(parts, wishes.room, over=scale)
        smaller = f"; 1:{takes} does." if takes else ", at any scale."
        print(f"       At 1:{scale} it does not go on 2 sheets of {wishes.paper.name}{smaller}")
    data = pdf_bytes(pages, title=f"{boat}: model 1:{scale}", subject="a scale model, not for wood")
    return {f"paper/model-1-{scale}.pdf": data}


def read_scale(text: str) -> int:
    """How many times smaller: 8 for ``1:8``.

    Raises
    ------
    PatternsError
        Anything else than one to a whole number, or a scale that makes no model.
    """
    match = re.fullmatch(r"\s*1\s*[:/]\s*([0-9]{1,4})\s*", text)
    if match is None:
        raise PatternsError(f"--scale: found '{text}', wanted one to a whole number, such as 1:8")
    scale = int(match[1])
    if not LEAST <= scale <= MOST:
        raise PatternsError(f"--scale: found '{text}', wanted a scale from 1:{LEAST} to 1:{MOST}, such as 1:8")
    return scale


def larger_papers(paper: PaperSetup) -> list[PaperSetup]:
    """The papers of the same standard that are larger, the least first: a shop that has one has the others."""
    iso = bool(ISO.fullmatch(paper.name))
    kept = [name for name in paper_names() if (name in ISO_A if iso else not ISO.fullmatch(name))]
    sizes = {name: paper_size(name) for name in kept}
    over = [name for name, (width, height) in sizes.items() if width * height > paper.width * paper.height]
    return [
        replace(paper, name=name, width=sizes[name][0], height=sizes[name][1])
        for name in sorted(over, key=lambda name: sizes[name][0] * sizes[name][1])
    ]
