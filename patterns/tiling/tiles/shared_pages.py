"""Small patterns laid together, so that a knee does not take a page of its own."""

from __future__ import annotations

from collections.abc import Iterator, Mapping, Sequence
from dataclasses import replace

import numpy as np

from patterns.drawing.marks import Drawing
from patterns.drawing.turning import extent, turned
from patterns.tiling.paper.paper import PaperSetup
from patterns.tiling.paper.side_by_side import Laid, laid_marks, lay_out
from patterns.tiling.seams.grid import ROUNDED
from patterns.tiling.tiles.ink_and_labels import lean_of
from patterns.tiling.tiles.tiles import on_one_page, one_page_turns, takes_fewer_pages
from patterns.tiling.tiles.title_blocks import block_snug

APART = 7.0  # mm between patterns on one page: room for scissors
CELL = 2.5  # mm
LEAST_LEAN = np.radians(1.0)

Size = tuple[float, float]  # mm across and up
Sheets = tuple[tuple[Laid, ...], ...]


def shared(drawings: Sequence[Drawing], paper: PaperSetup) -> tuple[Drawing, ...]:
    """The drawings, those that fit on a part of a page put together on as few as may be, after the others.

    A page filled by one pattern alone keeps the pattern's own name, and its place among the others.
    """
    joined: list[Drawing] = []
    gone: set[int] = set()
    longest = max(map(max, _rooms(paper.for_pages(strips=False), pages=2)))
    snug = {number: _snug_ways(drawing, longest) for number, drawing in enumerate(drawings)}
    for strips in (False, True):
        setup = paper.for_pages(strips=strips)
        rooms = _rooms(setup)
        left = ((number, ways) for number, ways in snug.items() if number not in gone)
        small = {number: best for number, ways in left if (best := _least(ways, rooms)) is not None}
        numbers, fitting = list(small), list(small.values())
        for sheet in _laid(fitting, rooms) if len(fitting) > 1 else ():
            one = _joined(fitting, sheet, len(joined) + 1)
            # Bars and names find room between the patterns, or the page keeps strips for them.
            if len(sheet) > 1 and (strips or takes_fewer_pages(one, setup, than=2)):
                gone.update(numbers[laid.number] for laid in sheet)
                joined.append(one)
    large = [number for number in snug if number not in gone and not fits_one_page(drawings[number], paper)]
    row = _row_of({number: snug[number] for number in large}, paper)
    if row:
        one, numbers = row
        gone.update(numbers)
        joined.append(replace(one, title=f"small patterns {len(joined) + 1}"))
    return (*(drawing for number, drawing in enumerate(drawings) if number not in gone), *joined)


def _row_of(snug: Mapping[int, Sequence[Drawing]], paper: PaperSetup) -> tuple[Drawing, list[int]] | None:
    """Patterns a little too big for one page together on pages joined in a row, where that saves any."""
    setup = paper.for_pages(strips=False)
    rooms = _rooms(setup, pages=2)
    found = {number: best for number, ways in snug.items() if (best := _least(ways, rooms)) is not None}
    fitting, ways = list(found.values()), []
    for along, up in rooms if len(found) > 1 else ():
        sheets, left_over = lay_out(fitting, (along * len(found), up), gap=APART, cell=CELL)
        if len(sheets) == 1 and not left_over:
            ways.append(_joined(fitting, sheets[0], 0))
    for one in ways:
        if takes_fewer_pages(one, setup, than=2 * len(found)):
            return one, list(found)
    return None


def fits_one_page(drawing: Drawing, paper: PaperSetup) -> bool:
    """Whether a whole drawing goes on one page, upright or on its side, turned or not."""
    setup = paper.for_pages(strips=False)
    turns = (on_one_page(turned(drawing, -angle), setup) for angle in one_page_turns(drawing, setup))
    return any(one is not None for one in turns)


def _turned(drawing: Drawing) -> Iterator[Drawing]:
    """The drawing as it is, and so turned that the least box round it lies level."""
    yield drawing
    lean = lean_of(drawing.body)
    if abs(lean) > LEAST_LEAN:
        yield turned(drawing, -lean)


def _rooms(setup: PaperSetup, pages: int = 1) -> list[Size]:
    """What so many pages joined side by side hold, upright and on their sides."""
    rooms = []
    for way in (setup, setup.turned()):
        (across, up), more = way.step, way.overlap - 2 * ROUNDED
        rooms.append((pages * across + more, up + more))
    return rooms


def _snug_ways(drawing: Drawing, longest: float) -> list[Drawing]:
    """The drawing turned or not, its block set so that it takes least room; none of one that few pages cannot hold."""
    left, bottom, right, top = extent(drawing.body)
    return [] if np.hypot(right - left, top - bottom) > longest else [block_snug(one) for one in _turned(drawing)]


def _least(ways: Sequence[Drawing], rooms: Sequence[Size]) -> Drawing | None:
    """The way that takes least room; None where none fits any room."""
    fitting = [(_area(one), number) for number, one in enumerate(ways) if any(_fits(one, room) for room in rooms)]
    return ways[min(fitting)[1]] if fitting else None


def _laid(drawings: Sequence[Drawing], rooms: Sequence[Size]) -> Sheets:
    """Where the drawings lie in the room that takes them on the fewest sheets."""
    ways = [lay_out(drawings, room, gap=APART, cell=CELL) for room in rooms]
    sheets, _ = min(ways, key=lambda way: len(way[0]) + len(way[1]))
    return sheets


def _joined(drawings: Sequence[Drawing], sheet: Sequence[Laid], number: int) -> Drawing:
    titles = tuple(drawings[laid.number].title for laid in sheet)
    return Drawing(
        f"small patterns {number}",
        f"small-patterns-{number}",
        laid_marks(drawings, sheet),
        foot="each shows its face and bow",
        run=next((one.run for one in drawings), ""),
        holds=titles,
    )


def _fits(drawing: Drawing, room: Size) -> bool:
    left, bottom, right, top = extent(drawing.marks)
    sides = (right - left, top - bottom)
    return max(sides) + APART + 2 * CELL <= max(room) and min(sides) + APART + 2 * CELL <= min(room)


def _area(drawing: Drawing) -> float:
    left, bottom, right, top = extent(drawing.marks)
    return (right - left) * (top - bottom)
