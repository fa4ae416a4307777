"""The drawing that belongs to a layout table: the part at a reduced scale, every point with its number."""

from __future__ import annotations

from collections.abc import Iterator

import numpy as np

from patterns.drawing.label_placing import Request, place
from patterns.drawing.marks import Cross, Drawing, Ink, Label, Stroke
from patterns.drawing.text import wrapped
from patterns.geometry.arrays import Floats, lengths
from patterns.parts.edges import as_laid
from patterns.parts.shaping import closed
from patterns.plates.view_field import SCALES
from patterns.shop.layout.layout_tables import LayoutTable, OnSheet

ROOM = (240.0, 150.0)  # mm on paper for the part, or for its sheet
NUMBER_SIZE = 1.8  # mm
WORD_SIZE = 2.4  # mm
TITLE_SIZE = 3.6  # mm
ARM = 0.8  # mm, of a point's cross
BEYOND = 8.0  # mm on paper the struck line runs past the part
STRUCK = (6.0, 1.5, 1.0, 1.5)  # mm, dashes of the struck line
APART = 3.0  # mm on paper; points nearer than this to the last that bears a number bear none
WORTH_A_SHEET = 0.5  # share of a sheet's length from which the part is shown on it


def layout_drawing(table: LayoutTable) -> Drawing:
    """One part and its points, as its pattern lies, at one to so many; the scale stands under it."""
    places = np.stack([table.place(point.number) for point in table.points])
    zero = table.plotted(np.array([[0.0, 0.0]]))
    sheet = _sheet(table, places)
    everything = np.concatenate([places, table.part.outline, zero, *([sheet] if sheet is not None else [])])
    low, high, size = everything.min(axis=0), everything.max(axis=0), np.ptp(everything, axis=0)
    scale = next(s for s in SCALES if (size / s <= ROOM).all() or s == SCALES[-1])

    def on_paper(points: Floats) -> Floats:
        return np.asarray((high - points if table.part.upside_down else points - low) / scale)

    ink: list[Ink] = [Stroke(on_paper(table.part.outline), "cut-outside", closed=True)]
    ink += [Stroke(on_paper(closed(hole)), "cut-inside") for hole in table.part.holes]
    ink += [Stroke(on_paper(_run(table, line.numbers)), "mark") for line in table.lines if not line.edge]
    if sheet is not None:
        ink.append(Stroke(on_paper(sheet), "sheet", closed=True))
    ink += _struck(table, on_paper(zero)[0], on_paper(everything))
    ink += [Cross((float(x), float(y)), ARM, "mark") for x, y in on_paper(places)]
    numbers = list(_numbers(on_paper(places), middle=on_paper(everything).mean(axis=0)))
    words = _words(table, scale)
    return Drawing(f"{table.title}: layout", f"layout-{table.part.file_name}", (*ink, *place(numbers, ink), *words))


def _run(table: LayoutTable, numbers: tuple[int, ...]) -> Floats:
    return np.stack([table.place(number) for number in numbers])


def _sheet(table: LayoutTable, places: Floats) -> Floats | None:
    """(4, 2) mm, the corners of the sheet in the pattern's axes, where the part takes up much of it."""
    sheet = table.on_sheet
    if sheet is None or np.ptp(places, axis=0).max() < WORTH_A_SHEET * sheet.length:
        return None
    return table.plotted(_corners(sheet))


def _corners(sheet: OnSheet) -> Floats:
    """(4, 2) along and off of a sheet's corners."""
    size = (sheet.length, sheet.width) if sheet.lengthwise else (sheet.width, sheet.length)
    along, off = -sheet.zero_in, -sheet.line_in
    return np.array([[along, off], [along + size[0], off], [along + size[0], off + size[1]], [along, off + size[1]]])


def _struck(table: LayoutTable, zero: Floats, everything: Floats) -> Iterator[Ink]:
    """The struck line, past the part at both ends, and its zero."""
    axis = table.axis
    first, last = (np.array(zero), np.array(zero))
    first[axis], last[axis] = everything[:, axis].min() - BEYOND, everything[:, axis].max() + BEYOND
    yield Stroke(np.stack([first, last]), "mark", dashes=STRUCK)
    # On the side of the line away from the part, so that its corners keep room for their numbers.
    middle = (everything.min(axis=0) + everything.max(axis=0)) / 2
    across = np.eye(2)[1 - axis] * (np.sign((zero - middle)[1 - axis]) or -1.0)
    yield Stroke(np.stack([zero, zero + 3.0 * across]), "given")
    x, y = (zero + (5.0 if axis == 0 else 7.0) * across).tolist()
    yield Label("zero", (x, y), WORD_SIZE)


def _numbers(places: Floats, *, middle: Floats) -> Iterator[Request]:
    """A number beside each point that has room, away from the middle of the part first."""
    shown: list[Floats] = []
    for number, spot in enumerate(places, 1):
        if any(abs(spot - other).max() < APART for other in shown):
            continue
        shown.append(spot)
        turn = np.arctan2(*(spot - middle)[::-1]) + np.radians(sorted(range(-180, 180, 15), key=abs))
        ways = np.column_stack([np.cos(turn), np.sin(turn)])
        spots = np.concatenate([spot + reach * ways for reach in (2.2, 2.6, 3.6, 5.0, 7.0, 9.0)])
        spots = _nearest_to_it(spots, spot, places)
        yield Request(str(number), NUMBER_SIZE, np.column_stack([spots, np.zeros(len(spots))]), tuple(spot.tolist()))


def _nearest_to_it(spots: Floats, spot: Floats, places: Floats) -> Floats:
    """Of the spots for a number those where no other point would be taken for the one it names."""
    others = places[lengths(places - spot) > ARM]
    if not len(others):
        return spots
    apart = lengths(spots[:, None] - others[None])
    own = spots[(apart > lengths(spots - spot)[:, None]).all(axis=1)]
    return own if len(own) else spots


def _words(table: LayoutTable, scale: int) -> Iterator[Label]:
    """Title, scale and diagonals under the drawing."""
    way = as_laid(table.part).bow
    bow = f"to the {way}" if way in ("left", "right") else way
    checks = " and ".join(f"{one.first} to {one.second}: {table.tape(one.length)}" for one in table.diagonals)
    seen = f"Seen on its {table.part.marked_face}, bow {bow}. Scale 1:{scale}."
    text = f"{seen} Dash-dot: the line to strike. Check {checks}."
    lines = wrapped(text, size=WORD_SIZE, width=ROOM[0])
    yield Label(f"{table.title}: layout", (0.0, -14.0), TITLE_SIZE, anchor="start")
    for n, line in enumerate(lines):
        yield Label(line, (0.0, -20.0 - 4.6 * n), WORD_SIZE, anchor="start")
