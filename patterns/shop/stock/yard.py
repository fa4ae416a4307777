"""The boards a yard has, as the builder lists them, and what he leaves round each piece."""

from __future__ import annotations

from dataclasses import dataclass
from enum import StrEnum

from patterns.units.lengths import INCH

BOARD_FOOT = 144.0 * INCH**3  # mm3
CUBIC_METRE = 1e9  # mm3
FOOT = 12 * INCH  # mm
METRE = 1000.0  # mm


class Per(StrEnum):
    """What a price is for."""

    BOARD_FOOT = "board foot"
    CUBIC_METRE = "cubic metre"
    FOOT = "foot"
    METRE = "metre"
    BOARD = "board"


@dataclass(frozen=True, slots=True)
class YardBoard:
    """One size of board that the yard has."""

    material: str
    length: float  # mm
    width: float  # mm
    thickness: float  # mm, as sold: what is counted and paid
    dressed: float  # mm, what both faces plane clean to
    count: int | None = None  # how many the yard has; None for as many as are needed
    price: float | None = None
    per: Per = Per.BOARD_FOOT

    @property
    def volume(self) -> float:
        """mm3, as sold."""
        return self.length * self.width * self.thickness

    @property
    def board_feet(self) -> float:
        """As sold: thickness and width in inches, length in feet, multiplied and divided by 12.

        Source: the hardwood trade's measure; the rule is common practice.
        """
        return self.volume / BOARD_FOOT

    @property
    def costs(self) -> float | None:
        """Of one board, in the builder's money."""
        if self.price is None:
            return None
        many = {
            Per.BOARD_FOOT: self.board_feet,
            Per.CUBIC_METRE: self.volume / CUBIC_METRE,
            Per.FOOT: self.length / FOOT,
            Per.METRE: self.length / METRE,
            Per.BOARD: 1.0,
        }
        return self.price * many[self.per]


@dataclass(frozen=True, slots=True)
class YardRules:
    """What the yard has, and what is left round pieces that are cut from it."""

    boards: tuple[YardBoard, ...] = ()
    ends: float = 2 * INCH  # mm cut off a board's length, both ends together
    edges: float = INCH / 4  # mm off its width, both edges together
    blank_ends: float = INCH  # mm a blank is longer than its finished piece, both ends together
    blank_edges: float = INCH / 4  # mm it is wider, both edges together
    kerf: float = INCH / 8  # mm
    scarf: float = 12.0  # length over thickness, in solid wood
    currency: str = ""  # before a price
