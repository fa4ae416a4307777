"""What boards to buy: every piece of solid wood by the board it is cut from."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
from math import ceil

import numpy as np
import shapely

from patterns.parts.part import Part
from patterns.units.lengths import INCH

ROUGH = tuple(quarters * INCH / 4 for quarters in (4, 5, 6, 8, 10, 12, 16))
"""mm; rough thicknesses boards are sold in, by quarters of an inch."""
SURFACED_LESS = ((2 * INCH, 3 / 16 * INCH), (np.inf, 1 / 4 * INCH))
"""mm; what planing both faces takes off boards up to so thick and over: surfaced thicknesses of the National Hardwood
Lumber Association's grading rules (13/16 in of 4/4, 1 3/4 in of 8/4), from memory."""
WASTE = 0.25  # share of the boards bought; hardwood 15 to 20 % and 5 to 10 % more for curves, woodworking texts
BOARD_FOOT = 144.0 * INCH**3  # mm3


@dataclass(frozen=True, slots=True)
class BoardPiece:
    """One kind of piece and the rectangle of wood it goes in."""

    title: str
    count: int
    material: str
    thickness: float  # mm, finished, to the top of a crown
    length: float  # mm, along the rectangle
    width: float  # mm, across it
    rough: float | None  # mm, the thinnest rough board it can be planed from; None where it must be built up

    @property
    def board_feet(self) -> float:
        """Net, all alike counted: rough thickness, or the finished one of what is built up."""
        return self.count * (self.rough or self.thickness) * self.length * self.width / BOARD_FOOT


def board_pieces(parts: Sequence[Part]) -> tuple[BoardPiece, ...]:
    """Every part by the least rectangle that holds both its faces, thickest and longest first in each material."""
    pieces = [_board_piece(part) for part in parts]
    return tuple(sorted(pieces, key=lambda one: (one.material, -one.thickness, -one.length, one.title)))


def with_waste(net: float) -> float:
    return net / (1 - WASTE)


def _board_piece(part: Part) -> BoardPiece:
    both_faces = shapely.MultiPoint(np.concatenate([part.outline, part.far_outline]))
    corners = shapely.get_coordinates(shapely.minimum_rotated_rectangle(both_faces))
    sides = np.hypot(*np.diff(corners[:3], axis=0).T)
    thick = part.thickness + part.crown
    rough = next((size for size in ROUGH if size - _taken_off(size) >= thick - 0.01), None)
    return BoardPiece(part.title, part.count, part.material, thick, float(sides.max()), float(sides.min()), rough)


def _taken_off(rough: float) -> float:
    return next(less for below, less in SURFACED_LESS if rough < below)


def quarters(rough: float) -> str:
    """A rough thickness as yards name it: ``8/4``."""
    return f"{ceil(4 * rough / INCH - 0.01)}/4"
