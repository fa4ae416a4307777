"""A picture of a filled sheet, small enough for a page: parts and their names, forbidden strips, what is left."""

from __future__ import annotations

from collections.abc import Iterator

import numpy as np
import shapely

from patterns.drawing.marks import Drawing, Ink, Label, Stroke
from patterns.drawing.text import text_width, without_strangers
from patterns.geometry.arrays import Floats
from patterns.shop.nest.offcuts import Offcut
from patterns.shop.nest.sheet_stock import SheetGrain, Strip
from patterns.shop.nest.sheets import FilledSheet
from patterns.shop.router.contours import Contours
from patterns.units.lengths import write_length, write_size

SCALE = 0.1
NAME_SIZE = 3.0  # mm, capitals at the picture's own size
CLEAR = 0.4  # of a capital's height, from a name to the edges of its part
LEAST_SIZE = 1.2  # mm; what is smaller nobody reads
LIST_SIZE = 2.5  # mm
NUMBER_SIZE, LEAST_NUMBER = 4.0, 1.9  # mm, of the numbers of parts
TITLE_SIZE = 4.0  # mm
BESIDE = 8.0  # mm from the sheet to its title
HATCH = 6.0  # mm between the lines over a forbidden strip
ARROW = 30.0  # mm
TOLD_APART = 0.05  # mm between a sheet and the parts on it, from which both thicknesses are told
PART_ARROW = 16.0  # mm, the longest arrow of a part's own grain
FACE_UP = "Every part lies marked face up, as on its own drawing. Turned over, it would be the part of the other side."


def sheet_picture(sheet: FilledSheet, show: str) -> Drawing:
    """One tenth of full size, the sheet's lower left corner at the origin.

    Parameters
    ----------
    show : str
        How lengths are printed: "ft-in-16ths", "in-16ths", "mm", ...
    """
    return Drawing(f"sheet {sheet.number}", f"sheet-{sheet.number}", tuple(_ink(sheet, show)))


def sheet_numbered(sheet: FilledSheet, show: str, *, width: float) -> Drawing:
    """The same ``width`` mm wide, a number on each part as the parts stand in ``sheet.lying``, and no other words."""
    share = width / (SCALE * sheet.stock.length)
    ink: list[Ink] = [
        Stroke(box_ring(0, 0, SCALE * sheet.stock.length, SCALE * sheet.stock.width), "mark", closed=True)
    ]
    for strip in sheet.stock.forbidden:
        ink += _hatched(strip)
    for number, (placement, contours) in enumerate(sheet.lying, 1):
        label = _number(number, contours.wood, share)
        ink += [*_outlines(contours), label]
        grain = sheet.grain_of(placement)
        if grain is not None:
            ink += _grain_on(contours.wood, label, grain)
    for offcut in sheet.left:
        ink += _left(offcut, show)
    return Drawing(f"sheet {sheet.number}", f"sheet-{sheet.number}", tuple(_shrunk(mark, share) for mark in ink))


def _shrunk(mark: Ink, share: float) -> Ink:
    if isinstance(mark, Stroke):
        return Stroke(share * mark.points, mark.layer, mark.closed, dashes=tuple(share * dash for dash in mark.dashes))
    assert isinstance(mark, Label)
    return mark.carried(lambda place: (share * place[0], share * place[1]), scale=share)


def _number(number: int, wood: shapely.Polygon, share: float) -> Label:
    """A part's number where it has most room, as large as fits and never too small to read."""
    circle = shapely.maximum_inscribed_circle(wood, tolerance=5.0)
    (x, y), room = circle.coords[0], SCALE * circle.length
    words = str(number)
    size = NUMBER_SIZE / share
    fits = size * 1.6 * room / max(text_width(words, size), size)
    return Label(words, (SCALE * x, SCALE * y), max(LEAST_NUMBER / share, min(size, fits)))


def sheet_title(sheet: FilledSheet, show: str) -> str:
    """What a sheet is and how well it is used, in a line."""
    return f"sheet {sheet.number}: {sheet_kind(sheet, show)}, {100 * sheet.used:.0f} % becomes parts"


def sheet_kind(sheet: FilledSheet, show: str) -> str:
    """Its size, thickness and material, as it is asked for where sheets are sold."""
    size = f"{write_length(sheet.stock.length, show)} x {write_length(sheet.stock.width, show)}"
    own = sheet.cut_from
    if abs(own - sheet.thickness) < TOLD_APART:
        return f"{size}, {write_size(sheet.thickness, show)} {sheet.material}"
    return f"{size}, {write_size(own, show)} {sheet.material} for parts drawn {write_size(sheet.thickness, show)} thick"


def _ink(sheet: FilledSheet, show: str) -> Iterator[Ink]:
    length, width = SCALE * sheet.stock.length, SCALE * sheet.stock.width
    yield Stroke(box_ring(0, 0, length, width), "mark", closed=True)
    for strip in sheet.stock.forbidden:
        yield from _hatched(strip)
    small: list[str] = []  # names of parts too small to carry them: numbered, and told under the sheet
    for placement, contours in sheet.lying:
        yield from _part(placement.name, contours, sheet.grain_of(placement), small)
    for offcut in sheet.left:
        yield from _left(offcut, show)
    yield Label(without_strangers(sheet_title(sheet, show)), (0.0, width + BESIDE), TITLE_SIZE, anchor="start")
    yield Label(FACE_UP, (0.0, width + BESIDE / 3), LIST_SIZE, anchor="start")
    yield from _grain(sheet.stock.grain)
    yield from _list(small, length)


def _part(name: str, contours: Contours, grain: float | None, small: list[str]) -> Iterator[Ink]:
    yield from _outlines(contours)
    label = _name(name, contours.wood, small)
    yield label
    if grain is not None:
        yield from _grain_on(contours.wood, label, grain)


def _outlines(contours: Contours) -> Iterator[Stroke]:
    yield Stroke(SCALE * contours.outer.flat(), "cut-outside", closed=True)
    for hole in contours.inner:
        yield Stroke(SCALE * hole.flat(), "cut-inside", closed=True)


def _grain_on(wood: shapely.Polygon, label: Label, grain: float) -> Iterator[Stroke]:
    """A double-headed arrow along a part's grain, degrees from x, where the wood has most room beside its name."""
    half = np.array([text_width(label.text, label.size), 1.4 * label.size]) / 2 / SCALE
    across, up = half if label.angle == 0.0 else half[::-1]
    x, y = np.array(label.at) / SCALE
    free = wood.difference(shapely.box(x - across, y - up, x + across, y + up))
    circle = shapely.maximum_inscribed_circle(free, tolerance=5.0)
    middle, reach = SCALE * np.array(circle.coords[0]), min(0.9 * SCALE * circle.length, PART_ARROW / 2)
    way = np.array([np.cos(np.radians(grain)), np.sin(np.radians(grain))])
    aside, barb = np.array([-way[1], way[0]]), min(1.2, reach / 2)
    yield Stroke(np.stack([middle - reach * way, middle + reach * way]), "mark")
    for end in (-1.0, 1.0):
        tip = middle + end * reach * way
        back = tip - end * barb * way
        yield Stroke(np.stack([back + 0.4 * barb * aside, tip, back - 0.4 * barb * aside]), "mark")


def _name(name: str, wood: shapely.Polygon, small: list[str]) -> Label:
    """A part's name where it has most room, along the wood, as large as fits; else a number, and the name in a list."""
    words = without_strangers(name)
    middle = shapely.maximum_inscribed_circle(wood, tolerance=5.0)
    (x, y), room = middle.coords[0], SCALE * middle.length
    for angle in (0.0, np.pi / 2):
        size = min(NAME_SIZE, 1.2 * room)
        # Shrunk until it stays on the wood.
        while size >= LEAST_SIZE:
            half = np.array([text_width(words, size) + 2 * CLEAR * size, (1 + 2 * CLEAR) * size]) / 2 / SCALE
            across, up = half if angle == 0.0 else half[::-1]
            if wood.contains(shapely.box(x - across, y - up, x + across, y + up)):
                return Label(words, (SCALE * x, SCALE * y), size, angle=angle)
            size *= 0.9
    small.append(words)
    return Label(f"{len(small)}", (SCALE * x, SCALE * y), max(LEAST_SIZE, min(NAME_SIZE, room)))


def _list(names: list[str], width: float) -> Iterator[Ink]:
    """The names of numbered parts, in lines as long as the sheet's picture is wide, under its grain."""
    line, down = "", -2 * BESIDE
    for number, name in enumerate(names, start=1):
        word = f"{number} {name}"
        if line and text_width(f"{line}; {word}", LIST_SIZE) > width:
            yield Label(f"{line};", (0.0, down), LIST_SIZE, anchor="start")
            line, down = "", down - 2 * LIST_SIZE
        line = f"{line}; {word}" if line else word
    if line:
        yield Label(line, (0.0, down), LIST_SIZE, anchor="start")


def _left(offcut: Offcut, show: str) -> Iterator[Ink]:
    inset = 10.0  # mm full size: the dashes lie clear of the parts' outlines
    box = box_ring(
        offcut.left + inset,
        offcut.bottom + inset,
        offcut.left + offcut.length - inset,
        offcut.bottom + offcut.width - inset,
    )
    yield Stroke(SCALE * box, "far-face", closed=True)
    words = f"left over {write_length(offcut.length, show)} x {write_length(offcut.width, show)}"
    upright = offcut.width > offcut.length
    room = SCALE * max(offcut.length, offcut.width) * 0.9
    size = min(NAME_SIZE, NAME_SIZE * room / text_width(words, NAME_SIZE), SCALE * min(offcut.length, offcut.width) / 3)
    at = SCALE * (offcut.left + offcut.length / 2), SCALE * (offcut.bottom + offcut.width / 2)
    if size >= LEAST_SIZE:
        yield Label(words, at, size, angle=np.pi / 2 if upright else 0.0)


def _hatched(strip: Strip) -> Iterator[Ink]:
    left, bottom, right, top = (SCALE * side for side in strip.box)
    yield Stroke(box_ring(left, bottom, right, top), "mark", closed=True)
    box = shapely.box(left, bottom, right, top)
    rise = top - bottom
    for start in np.arange(left - rise, right, HATCH):
        line = shapely.LineString([(start, bottom), (start + rise, top)]).intersection(box)
        if line.length > 0:
            yield Stroke(np.asarray(line.coords), "mark")


def _grain(grain: SheetGrain) -> Iterator[Ink]:
    """Under the sheet: which way its grain runs."""
    if grain is SheetGrain.NONE:
        yield Label("no grain", (0.0, -BESIDE), NAME_SIZE, anchor="start")
        return
    word = f"grain along the {'length' if grain is SheetGrain.LENGTH else 'width'}"
    yield Label(word, (0.0, -BESIDE), NAME_SIZE, anchor="start")
    start = np.array([text_width(word, NAME_SIZE) + BESIDE, -BESIDE])
    way = np.array([1.0, 0.0]) if grain is SheetGrain.LENGTH else np.array([0.0, 0.3])
    if grain is SheetGrain.WIDTH:
        start = start - np.array([0.0, 0.15 * ARROW])
    aside = np.array([-way[1], way[0]]) / np.hypot(*way)
    ahead = way / np.hypot(*way)
    tip = start + ARROW * way
    yield Stroke(np.stack([start, tip]), "mark")
    yield Stroke(np.stack([tip - 3 * ahead + aside, tip, tip - 3 * ahead - aside]), "mark")


def box_ring(left: float, bottom: float, right: float, top: float) -> Floats:
    """(4, 2) the corners of a rectangle, counter-clockwise."""
    return np.array([[left, bottom], [right, bottom], [right, top], [left, top]])
