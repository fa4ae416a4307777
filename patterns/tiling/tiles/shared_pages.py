"""Small patterns laid together, so that a knee does not take a page of its own."""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from dataclasses import replace

from patterns.drawing.marks import Drawing, Ink
from patterns.drawing.moved_marks import placed
from patterns.drawing.turning import extent
from patterns.tiling.paper.paper import PaperSetup
from patterns.tiling.seams.grid import SHIFT
from patterns.tiling.tiles.title_blocks import FROM_SEAM

APART = 12.0  # mm between patterns on one page: room for scissors

Size = tuple[float, float]  # mm across and up


def shared(drawings: Sequence[Drawing], paper: PaperSetup) -> tuple[Drawing, ...]:
    """The drawings, those that fit on a part of a page put together on as few as may be, after the others.

    A page filled by one pattern alone keeps the pattern's own name, and its place among the others.
    """
    rooms = [_room(setup) for setup in (paper, paper.turned())]
    sizes = [_size(drawing) for drawing in drawings]
    small = [drawing for drawing, size in zip(drawings, sizes, strict=True) if any(_fits(size, r) for r in rooms)]
    ways = [_sheets(small, room) for room in rooms if all(_fits(_size(drawing), room) for drawing in small)]
    if not ways:
        return tuple(drawings)
    together = [sheet for sheet in min(ways, key=len) if len(sheet) > 1]
    gone = {drawing.file_name for sheet in together for drawing, _ in sheet}
    alone = tuple(drawing for drawing in drawings if drawing.file_name not in gone)
    return (*alone, *(_joined(sheet, number) for number, sheet in enumerate(together, 1)))


def on_one_sheet(drawing: Drawing, paper: PaperSetup) -> bool:
    """Whether a whole drawing goes on one page, upright or on its side."""
    return any(_fits(_size(drawing), _room(setup)) for setup in (paper, paper.turned()))


def _room(paper: PaperSetup) -> Size:
    """What one page holds clear of its crosses, however the grid falls."""
    across, up = paper.step
    return across - 2 * FROM_SEAM - SHIFT, up - 2 * FROM_SEAM - SHIFT


def _size(drawing: Drawing) -> Size:
    left, bottom, right, top = extent(drawing.marks)
    return right - left, top - bottom


def _fits(size: Size, room: Size) -> bool:
    return size[0] <= room[0] and size[1] <= room[1]


def _sheets(drawings: Sequence[Drawing], room: Size) -> list[list[tuple[Drawing, Size]]]:
    """Drawings on shelves, the highest first: each with where its lower left corner comes to lie, page by page."""
    sheets: list[list[tuple[Drawing, Size]]] = []
    x = y = shelf = 0.0
    for drawing in sorted(drawings, key=lambda drawing: (-_size(drawing)[1], drawing.file_name)):
        across, up = _size(drawing)
        if x + across > room[0]:
            x, y, shelf = 0.0, y + shelf + APART, 0.0
        if not sheets or y + up > room[1]:
            sheets.append([])
            x = y = shelf = 0.0
        sheets[-1].append((drawing, (x, y)))
        x, shelf = x + across + APART, max(shelf, up)
    return sheets


def _joined(sheet: Sequence[tuple[Drawing, Size]], number: int) -> Drawing:
    titles = tuple(drawing.title for drawing, _ in sheet)
    marks = tuple(mark for drawing, corner in sheet for mark in _set_down(drawing, corner))
    return replace(
        sheet[0][0],
        title=f"small patterns {number}: {', '.join(titles)}",
        file_name=f"small-patterns-{number}",
        body=marks,
        block=None,
        foot="each shows its face and bow",
        pointer=None,
        holds=titles,
    )


def _set_down(drawing: Drawing, corner: Size) -> Iterator[Ink]:
    left, bottom, _, _ = extent(drawing.marks)
    return (placed(mark, (corner[0] - left, corner[1] - bottom)) for mark in drawing.marks)
