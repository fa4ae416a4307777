"""Pieces as sheets are filled with them: what each takes, how it may be turned, where it lies."""

from __future__ import annotations

from dataclasses import dataclass

import numpy as np
import shapely
import shapely.affinity

from patterns.shop.nest.sheet_stock import SheetGrain, SheetStock

WORTH_TURNING = 1.0  # degrees; a smaller turn off the grain saves no wood
DIGITS = 3  # of a mm and of a degree, that placements are told to


@dataclass(frozen=True, slots=True, eq=False)
class Blank:
    """What one piece takes of a sheet."""

    name: str
    shape: shapely.Polygon  # mm, the larger face, openings that go right through as holes
    grain: float | None  # degrees from x to the grain it must have; None where it may lie any way
    square: bool = False  # of such a piece: along x or across it


@dataclass(frozen=True, slots=True)
class Placement:
    """Where a piece lies on its sheet."""

    name: str
    sheet: int  # number of the sheet, from 0
    turn: float  # degrees counter-clockwise
    left: float  # mm, the foot of the turned piece's box from the sheet's left end
    bottom: float  # mm, and from its lower edge


@dataclass(frozen=True, slots=True)
class Layout:
    """Pieces on sheets."""

    sheets: tuple[SheetStock, ...]  # those used, in the order they are numbered
    placements: tuple[Placement, ...]
    left_over: tuple[str, ...]  # pieces no sheet had room for


def laid(shape: shapely.Polygon, placement: Placement) -> shapely.Polygon:
    """A piece's outline as it lies on its sheet."""
    turned = turned_by(shape, placement.turn)
    left, bottom, _, _ = turned.bounds
    return shapely.affinity.translate(turned, placement.left - left, placement.bottom - bottom)


def turned_by(shape: shapely.Polygon, degrees: float) -> shapely.Polygon:
    """A shape turned about its own origin; quarter turns without rounding."""
    cos, sin = np.cos(np.radians(degrees)), np.sin(np.radians(degrees))
    if degrees % 90.0 == 0.0:
        cos, sin = np.round(cos), np.round(sin)
    return shapely.affinity.affine_transform(shape, [cos, -sin, sin, cos, 0.0, 0.0])


def turns(blank: Blank, sheet: SheetStock, off_grain: float = 0.0) -> tuple[float, ...]:
    """Degrees a piece may be turned by on a sheet: along its grain and, if it may, ``off_grain`` to either side."""
    if blank.grain is None or sheet.grain is SheetGrain.NONE:
        return 0.0, 180.0, 90.0, 270.0
    along = round(((0.0 if sheet.grain is SheetGrain.LENGTH else 90.0) - blank.grain) % 180.0, DIGITS)
    aside = (off_grain, -off_grain) if off_grain >= WORTH_TURNING else ()
    return tuple(half + along + by for by in (0.0, *aside) for half in (0.0, 180.0))
