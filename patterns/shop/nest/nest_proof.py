"""Whether parts lie on their sheets as they must: measured on the true outlines, not as the nesting thought of them."""

from __future__ import annotations

from collections import Counter
from collections.abc import Collection, Mapping, Sequence
from dataclasses import dataclass
from itertools import combinations

import shapely

from patterns.shop.nest.blanks import Blank, Layout, Placement, laid
from patterns.shop.nest.sheet_stock import Clearances, SheetGrain, SheetStock

BARELY = 1e-3  # degrees; what the digits of a placement file may lose
ALLOWED = 0.001  # mm; what the digits of a placement file may lose


@dataclass(frozen=True, slots=True)
class Fault:
    """One thing wrong with a layout."""

    part: str
    sheet: int | None  # number from 0; None where the part is on none
    what: str  # with its amount

    def __str__(self) -> str:
        where = "on no sheet" if self.sheet is None else f"sheet {self.sheet + 1}"
        return f"{self.part}, {where}: {self.what}"


def prove(
    layout: Layout,
    blanks: Sequence[Blank],
    kinds: Sequence[SheetStock],
    clear: Clearances,
    *,
    sheets: Collection[int] | None = None,
) -> tuple[Fault, ...]:
    """Every fault of a layout; none where all pieces lie once, on the sheets there are, clear of all they must be.

    Parameters
    ----------
    sheets : collection of int, optional
        Those of the layout's sheets that are for these pieces, where others are for other lots.
    """
    shapes = {blank.name: blank for blank in blanks}
    known = [placement for placement in layout.placements if placement.name in shapes]
    return (
        *_counted(layout, shapes),
        *_stock(layout, kinds, range(len(layout.sheets)) if sheets is None else sheets),
        *(fault for placement in known for fault in _on_sheet(placement, shapes[placement.name], layout, clear)),
        *_between(known, shapes, clear.gap),
    )


def _counted(layout: Layout, shapes: Mapping[str, Blank]) -> list[Fault]:
    faults = []
    seen = Counter(placement.name for placement in layout.placements)
    for placement in layout.placements:
        if placement.name not in shapes:
            faults.append(Fault(placement.name, placement.sheet, "no part of the job has this name"))
        if seen[placement.name] > 1:
            faults.append(Fault(placement.name, placement.sheet, f"lies {seen[placement.name]} times, expected once"))
            seen[placement.name] = 1
    missing = [name for name in shapes if name not in seen and name not in layout.left_over]
    return faults + [Fault(name, None, "is not laid out, expected once") for name in missing]


def _stock(layout: Layout, kinds: Sequence[SheetStock], numbers: Collection[int]) -> list[Fault]:
    faults = []
    mine = [number for number in sorted(numbers) if 0 <= number < len(layout.sheets)]
    for place, number in enumerate(mine):
        sheet = layout.sheets[number]
        if sheet not in kinds:
            faults.append(Fault("the sheet itself", number, "is none of [stock] for the parts on it"))
            continue
        used = sum(layout.sheets[other] == sheet for other in mine[: place + 1])
        if sheet.count is not None and used > sheet.count:
            faults.append(
                Fault("the sheet itself", number, f"is number {used} of its kind, of {sheet.count} in [stock]")
            )
    return faults


def _on_sheet(placement: Placement, blank: Blank, layout: Layout, clear: Clearances) -> list[Fault]:
    """Faults of one piece with its sheet: margin, grain, forbidden strips."""
    if not 0 <= placement.sheet < len(layout.sheets):
        return [Fault(placement.name, placement.sheet, f"there are {len(layout.sheets)} sheets")]
    sheet = layout.sheets[placement.sheet]
    shape = laid(blank.shape, placement)
    faults = []
    left, bottom, right, top = shape.bounds
    room = min(left, bottom, sheet.length - right, sheet.width - top)
    if room < clear.margin - ALLOWED:
        words = f"{room:.2f} mm from the sheet's edge" if room >= 0 else f"{-room:.2f} mm over the sheet's edge"
        faults.append(f"{words}, expected the margin of {clear.margin:.2f} mm")
    off = _off_grain(placement.turn + (blank.grain or 0.0), sheet)
    if blank.grain is not None and off > clear.off_grain + BARELY:
        faults.append(f"turned {off:.1f}° off the sheet's grain, expected {clear.off_grain:g}° at most")
    askew = min(off, 90.0 - off)
    if blank.grain is None and blank.square and askew > clear.off_grain + BARELY:
        faults.append(f"turned {askew:.1f}° askew of the sheet's grain, expected its face grain athwart or upright")
    for strip in sheet.forbidden:
        apart = shape.distance(shapely.box(*strip.box))
        if apart < clear.gap / 2 - ALLOWED:
            faults.append(f"{apart:.2f} mm from a forbidden strip, expected half the gap, {clear.gap / 2:.2f} mm")
    return [Fault(placement.name, placement.sheet, what) for what in faults]


def _off_grain(lies: float, sheet: SheetStock) -> float:
    """Degrees between a piece's grain, which lies so many from x, and its sheet's."""
    if sheet.grain is SheetGrain.NONE:
        return 0.0
    off = (lies - (90.0 if sheet.grain is SheetGrain.WIDTH else 0.0)) % 180.0
    return min(off, 180.0 - off)


def _between(placements: Sequence[Placement], shapes: Mapping[str, Blank], gap: float) -> list[Fault]:
    faults = []
    for one, other in combinations(placements, 2):
        if one.sheet != other.sheet:
            continue
        a, b = laid(shapes[one.name].shape, one), laid(shapes[other.name].shape, other)
        if (shared := a.intersection(b).area) > 0:
            what = f"overlaps {other.name} by {shared:.0f} mm², expected the gap of {gap:.2f} mm"
        elif (apart := a.distance(b)) < gap - ALLOWED:
            what = f"{apart:.2f} mm from {other.name}, expected the gap of {gap:.2f} mm"
        else:
            continue
        faults.append(Fault(one.name, one.sheet, what))
    return faults
