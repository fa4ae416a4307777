"""Sheets of plywood filled with the boat's parts: what lies where, what is left off and why, what is left over.

What goes on sheets is told by material: what [stock] says comes in sheets. Parts of solid wood are left off and named;
what is on no sheet and should be is a warning (`off_sheets`).
"""

from __future__ import annotations

from collections.abc import Iterator, Mapping, Sequence
from dataclasses import dataclass
from math import fsum

import numpy as np
import shapely

from patterns.drawing.engraving import in_file_name
from patterns.errors import ShapeError
from patterns.geometry.short_repr import brief
from patterns.parts.materials import plain
from patterns.parts.part import Part
from patterns.shop.nest.blanks import Blank, Layout, Placement, laid, turned_by, turns
from patterns.shop.nest.nest_proof import Fault, prove
from patterns.shop.nest.nesting import Effort, nest
from patterns.shop.nest.off_sheets import Named, WhyOff, named, solid_words, why_off
from patterns.shop.nest.offcuts import Offcut, offcuts
from patterns.shop.nest.sheet_stock import BESIDE_STRIP, SheetGrain, SheetRoom, SheetStock, same_thickness
from patterns.shop.router.contours import Contours
from patterns.shop.router.router_parts import LONGEST_WORD

NO_ROOM = "too few sheets or too little free room on them"


@dataclass(frozen=True, slots=True, eq=False)
class Piece:
    """One part to be cut, as the router takes it."""

    part: Part
    contours: Contours

    __repr__ = brief


@dataclass(frozen=True, slots=True, eq=False)
class FilledSheet:
    """One sheet and the pieces on it."""

    number: int  # from 1
    stock: SheetStock
    material: str
    thickness: float  # mm, of the parts
    lying: tuple[tuple[Placement, Contours], ...]  # each placed
    left: tuple[Offcut, ...]  # the largest rectangles left, largest first
    grains: Mapping[str, float | None]  # by name, degrees from a part's own x to its grain; None: any way

    __repr__ = brief

    def grain_of(self, placement: Placement) -> float | None:
        """Degrees from the sheet's x to a part's grain as it lies; None where neither part nor sheet has any."""
        own = self.grains[placement.name]
        if own is not None:
            return own + placement.turn
        # What may lie any way has the grain of its sheet.
        return {SheetGrain.LENGTH: 0.0, SheetGrain.WIDTH: 90.0, SheetGrain.NONE: None}[self.stock.grain]

    def file_name(self, boat: str) -> str:
        """``sheet-1-saltmeadow-marine-plywood-9.5mm``: what the shop reads before it opens the file."""
        words = f"{boat[:LONGEST_WORD]} {self.material[:LONGEST_WORD]}"
        return in_file_name(f"sheet {self.number} {words} {self.thickness:.4g}mm")

    @property
    def cut_from(self) -> float:
        """mm, the sheet's own thickness; that of the parts where none is named."""
        return self.thickness if self.stock.thickness is None else self.stock.thickness

    @property
    def used(self) -> float:
        """Share of the sheet that becomes parts."""
        wood = fsum(contours.wood.area for _, contours in self.lying)
        return float(wood / (self.stock.length * self.stock.width))


@dataclass(frozen=True, slots=True)
class SheetPlan:
    """All sheets of a job."""

    sheets: tuple[FilledSheet, ...] = ()
    left_off: tuple[tuple[Named, str], ...] = ()  # of solid wood or without room: a part, and why it is on no sheet

    __repr__ = brief


@dataclass(frozen=True, slots=True, eq=False)
class _Lot:
    """The pieces of one material and thickness, and the sheets for them."""

    material: str
    thickness: float
    kinds: tuple[SheetStock, ...]
    blanks: tuple[Blank, ...]
    pieces: dict[str, Piece]  # by the blank's name

    def named(self, blank: Blank) -> Named:
        return named(self.pieces[blank.name].part, blank.name)


def fill_sheets(pieces: Sequence[Piece], room: SheetRoom, effort: Effort) -> SheetPlan:
    """Nest all pieces that sheets are cut for, and prove it.

    Raises
    ------
    RuntimeError
        A layout that does not pass the proof, which is a fault of the program's.
    """
    lots, left_off = _lots(pieces, room)
    layouts = [nest(lot.blanks, lot.kinds, room.clearances, effort) for lot in lots]
    faults = [
        fault
        for lot, layout in zip(lots, layouts, strict=True)
        for fault in prove(layout, lot.blanks, lot.kinds, room.clearances)
    ]
    if faults:
        raise RuntimeError("the nesting is not sound: " + "; ".join(map(str, faults)))
    return _plan(lots, layouts, left_off)


def too_large(pieces: Sequence[Piece], room: SheetRoom) -> SheetPlan:
    """A plan of no sheets that names the pieces no sheet of theirs holds, even if there is nothing else on it."""
    lots, _ = _lots(pieces, room)
    alone = [(lot, blank) for lot in lots for blank in lot.blanks if not _fits(blank, lot.kinds, room)]
    return SheetPlan(left_off=tuple((lot.named(blank), NO_ROOM) for lot, blank in alone))


def _fits(blank: Blank, kinds: Sequence[SheetStock], room: SheetRoom) -> bool:
    return any(_fits_easily(blank, sheet, room) for sheet in kinds) or not (
        nest((blank,), kinds, room.clearances, Effort.QUICK).left_over
    )


def _fits_easily(blank: Blank, sheet: SheetStock, room: SheetRoom) -> bool:
    """Whether a piece's box leaves more of a whole sheet than the cells of the nesting may cost it."""
    boxes = [turned_by(blank.shape, turn).bounds for turn in turns(blank, sheet)]
    sides = [size - 2 * room.clearances.margin - BESIDE_STRIP for size in (sheet.length, sheet.width)]
    return not sheet.forbidden and any(x - a < sides[0] and y - b < sides[1] for a, b, x, y in boxes)


@dataclass(frozen=True, slots=True)
class PlacedSheets:
    """Sheets in their order and what lies on them, as a placement file has it."""

    file: str
    sheets: tuple[SheetStock, ...]
    stated: tuple[tuple[str, float], ...]  # of each sheet: material, thickness (mm)
    placements: tuple[Placement, ...]


def fill_as_placed(pieces: Sequence[Piece], room: SheetRoom, placed: PlacedSheets) -> SheetPlan:
    """Sheets as the builder has them in a placement file, proved.

    Raises
    ------
    ShapeError
        Every fault, with the file, its sheet, the part and the amount.
    """
    sheets, placements = placed.sheets, placed.placements
    lots, left_off = _lots(pieces, room)
    layouts: list[Layout] = []
    faults: list[Fault] = []
    known = {name for lot in lots for name in lot.pieces}
    faults += [
        Fault(
            placement.name,
            placement.sheet,
            "no part of the job that is cut from sheets has this name, expected one that does",
        )
        for placement in placements
        if placement.name not in known
    ]
    for lot in lots:
        mine = [placement for placement in placements if placement.name in lot.pieces]
        layout = Layout(tuple(sheets), tuple(mine), ())
        used = {placement.sheet for placement in mine}
        faults += prove(layout, lot.blanks, lot.kinds, room.clearances, sheets=used)
        layouts.append(layout)
    shared = _mixed(lots, layouts)
    faults += [
        Fault("the sheet itself", sheet, f"holds parts of {words}, expected parts of one thickness and material")
        for sheet, words in shared.items()
    ]
    faults += _misstated(lots, layouts, placed.stated)
    if faults:
        raise ShapeError("\n".join(_in_file(fault, placed.file) for fault in faults))
    return _plan(lots, layouts, left_off)


def _misstated(lots: Sequence[_Lot], layouts: Sequence[Layout], stated: Sequence[tuple[str, float]]) -> Iterator[Fault]:
    """Sheets the file gives another material or thickness than the parts on them have."""
    for lot, layout in zip(lots, layouts, strict=True):
        for sheet in sorted({placement.sheet for placement in layout.placements}):
            material, thickness = stated[sheet]
            if plain(material) != plain(lot.material) or not same_thickness(thickness, lot.thickness):
                has, wants = (f"{mm:.4g} mm {of}" for of, mm in ((material, thickness), (lot.material, lot.thickness)))
                yield Fault("the sheet itself", sheet, f"is {has}, expected {wants} for the parts on it")


def _in_file(fault: Fault, file: str) -> str:
    where = file if fault.sheet is None else f"{file}, [[sheet]] {fault.sheet + 1}"
    return f"{where}, {fault.part}: {fault.what}"


def _mixed(lots: Sequence[_Lot], layouts: Sequence[Layout]) -> dict[int, str]:
    """Sheets on which parts of two materials or thicknesses lie."""
    kinds: dict[int, list[str]] = {}
    for lot, layout in zip(lots, layouts, strict=True):
        for sheet in sorted({placement.sheet for placement in layout.placements}):
            kinds.setdefault(sheet, []).append(f"{lot.thickness:.4g} mm {lot.material}")
    return {sheet: " and of ".join(words) for sheet, words in kinds.items() if len(words) > 1}


def _lots(pieces: Sequence[Piece], room: SheetRoom) -> tuple[list[_Lot], list[tuple[Named, str]]]:
    """Pieces sorted by material and thickness; those of solid wood, with the reason."""
    found: dict[tuple[str, float], list[Piece]] = {}
    left_off: list[tuple[Named, str]] = []
    for piece in pieces:
        part = piece.part
        if room.sheets_for(part.material, part.thickness):
            found.setdefault((plain(part.material), part.thickness), []).append(piece)
        elif why_off(part, room) is WhyOff.SOLID:
            left_off.append((named(part), solid_words(part.material)))
    return [_lot(some, room) for some in _of_one_sheet(found, room)], left_off


def _of_one_sheet(found: dict[tuple[str, float], list[Piece]], room: SheetRoom) -> list[list[Piece]]:
    """Thicknesses that callipers do not tell apart, and for which the same sheets are there, are cut from one."""
    lots: list[list[Piece]] = []
    first: dict[tuple[str, tuple[SheetStock, ...]], tuple[float, list[Piece]]] = {}
    for (material, thickness), pieces in sorted(found.items()):
        key = material, room.sheets_for(material, thickness)
        if key in first and same_thickness(thickness, first[key][0]):
            first[key][1].extend(pieces)
        else:
            first[key] = thickness, list(pieces)
            lots.append(first[key][1])
    order = list(found.values())
    return sorted(lots, key=lambda lot: min(n for n, pieces in enumerate(order) if pieces[0] in lot))


def _lot(pieces: Sequence[Piece], room: SheetRoom) -> _Lot:
    # Known by the thickness of most of its wood.
    wood: dict[float, float] = {}
    for piece in pieces:
        area = piece.part.count * piece.contours.wood.area
        wood[piece.part.thickness] = wood.get(piece.part.thickness, 0.0) + area
    most = max(wood, key=wood.__getitem__)
    part = next(piece.part for piece in pieces if piece.part.thickness == most)
    copies = [(name, piece) for piece in pieces for name in _copies(piece.part)]
    return _Lot(
        part.material,
        part.thickness,
        room.sheets_for(part.material, part.thickness),
        tuple(Blank(name, piece.contours.wood, _grain(piece.part), piece.part.grain_square) for name, piece in copies),
        dict(copies),
    )


def _copies(part: Part) -> Iterator[str]:
    if part.count == 1:
        yield part.title
    else:
        yield from (f"{part.title}, {number} of {part.count}" for number in range(1, part.count + 1))


def _grain(part: Part) -> float | None:
    """Degrees from x to a part's grain, None where it may lie any way."""
    along = part.grain_along
    return None if along is None else float(np.degrees(along) % 180.0)


def _plan(lots: Sequence[_Lot], layouts: Sequence[Layout], left_off: list[tuple[Named, str]]) -> SheetPlan:
    sheets: list[FilledSheet] = []
    for lot, layout in zip(lots, layouts, strict=True):
        for number, stock in enumerate(layout.sheets):
            lying = [placement for placement in layout.placements if placement.sheet == number]
            if lying:
                sheets.append(_filled(len(sheets) + 1, stock, lot, lying))
        left_off += [(lot.named(blank), NO_ROOM) for blank in lot.blanks if blank.name in layout.left_over]
    return SheetPlan(tuple(sheets), tuple(left_off))


def _filled(number: int, stock: SheetStock, lot: _Lot, lying: Sequence[Placement]) -> FilledSheet:
    placed = tuple((placement, _placed(lot.pieces[placement.name].contours, placement)) for placement in lying)
    shapes = {blank.name: blank.shape for blank in lot.blanks}
    taken = [laid(shapes[placement.name], placement) for placement in lying]
    strips = [shapely.box(*strip.box) for strip in stock.forbidden]
    return FilledSheet(
        number,
        stock,
        lot.material,
        lot.thickness,
        placed,
        offcuts(stock.length, stock.width, [*taken, *strips]),
        {blank.name: blank.grain for blank in lot.blanks},
    )


def _placed(contours: Contours, placement: Placement) -> Contours:
    """Contours where their blank lies."""
    foot = turned_by(contours.wood, placement.turn).bounds
    return contours.placed(float(np.radians(placement.turn)), (placement.left - foot[0], placement.bottom - foot[1]))
