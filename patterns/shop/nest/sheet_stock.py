"""Sheets the builder has, and what the cutter needs kept clear round every part."""

from __future__ import annotations

from dataclasses import dataclass
from enum import StrEnum

from patterns.parts.materials import Plywood, plain

BESIDE_STRIP = 17.0  # mm beside a forbidden strip that the cells of the nesting may cost a piece, two of them
SAME_THICKNESS = 0.2  # mm; callipers read no two places of one sheet nearer than this, common practice
GRAIN_WITHIN = 0.5  # degrees a piece may be turned off the grain; no sheet's own veneer runs truer
ROUNDING = 1e-6  # mm; what a length may gain or lose as it is read and converted


class SheetGrain(StrEnum):
    """Which way the outer veneer's grain runs on a sheet."""

    LENGTH = "length"
    WIDTH = "width"
    NONE = "none"


@dataclass(frozen=True, slots=True)
class Strip:
    """A rectangle of a sheet that no part may touch: a clamp's place, a knot, a torn edge."""

    left: float  # mm from the sheet's left end
    bottom: float  # mm from its lower edge
    length: float  # mm, along the sheet's length
    width: float  # mm

    @property
    def box(self) -> tuple[float, float, float, float]:
        """mm: left, bottom, right, top."""
        return self.left, self.bottom, self.left + self.length, self.bottom + self.width


@dataclass(frozen=True, slots=True)
class SheetStock:
    """One size of sheet: its length lies along x, its width along y, the corner at 0, 0."""

    length: float  # mm
    width: float  # mm
    thickness: float | None = None  # mm as measured; None where it stands for every thickness the boat uses
    material: str | None = None  # None where it stands for every plywood the boat uses
    count: int | None = None  # None where as many are bought as are needed
    grain: SheetGrain = SheetGrain.LENGTH
    forbidden: tuple[Strip, ...] = ()
    price: float | None = None  # of one, in the builder's money

    def holds(self, material: str, thickness: float, plywood: Plywood) -> bool:
        """Whether a part of this material and thickness (mm) is cut from this sheet."""
        fits = self.thickness is None or same_thickness(self.thickness, thickness)
        return fits and self.is_of(material, plywood)

    def is_of(self, material: str, plywood: Plywood) -> bool:
        """Whether this sheet is of a material, or stands for it."""
        return material in plywood if self.material is None else plain(self.material) == plain(material)


@dataclass(frozen=True, slots=True)
class Clearances:
    """What is kept free on a sheet."""

    margin: float  # mm, between a part and the sheet's edges
    gap: float  # mm, between two parts, and between a part and a forbidden strip
    off_grain: float = GRAIN_WITHIN  # degrees a part may be turned off the grain of its sheet


@dataclass(frozen=True, slots=True)
class SheetRoom:
    """Every sheet the builder has, and how they may be filled."""

    sheets: tuple[SheetStock, ...]
    clearances: Clearances
    plywood: Plywood = Plywood()
    solid: frozenset[str] = frozenset()  # materials of the builder's boards

    def sheets_for(self, material: str, thickness: float) -> tuple[SheetStock, ...]:
        return tuple(sheet for sheet in self.sheets if sheet.holds(material, thickness, self.plywood))

    def sheets_of(self, material: str) -> tuple[SheetStock, ...]:
        """Sheets of a material, whatever their thickness."""
        return tuple(sheet for sheet in self.sheets if sheet.is_of(material, self.plywood))

    def is_sheet_material(self, material: str) -> bool:
        return material in self.plywood or bool(self.sheets_of(material))

    def longest_run(self, material: str, thickness: float) -> float:
        """mm; the longest part, its grain kept, that any sheet of this kind holds; 0 where there is no such sheet."""
        return max((self._run(sheet) for sheet in self.sheets_for(material, thickness)), default=0.0)

    def _run(self, sheet: SheetStock) -> float:
        along, across = self._clear(sheet, 0), self._clear(sheet, 1)
        way = {SheetGrain.LENGTH: along, SheetGrain.WIDTH: across, SheetGrain.NONE: max(along, across)}
        return way[sheet.grain]

    def _clear(self, sheet: SheetStock, axis: int) -> float:
        """mm; the longest stretch of a sheet along an axis that no forbidden strip cuts right across."""
        margin, keep = self.clearances.margin, self.clearances.gap + BESIDE_STRIP
        sides = sheet.length, sheet.width
        longest, begun = 0.0, margin
        for strip in sorted(sheet.forbidden, key=lambda strip: strip.box[axis]):
            low, high = strip.box[1 - axis], strip.box[3 - axis]
            if low <= margin and high >= sides[1 - axis] - margin:
                longest = max(longest, strip.box[axis] - keep - begun)
                begun = max(begun, strip.box[axis + 2] + keep)
        return max(longest, sides[axis] - margin - begun)


def same_thickness(one: float, other: float) -> bool:
    """Whether callipers do not tell two thicknesses (mm) apart."""
    return abs(one - other) <= SAME_THICKNESS + ROUNDING
