"""Every piece of wood that is on no sheet, by the board it is cut from: what is on hand and what is to be bought."""

from __future__ import annotations

import re
from collections import defaultdict
from collections.abc import Mapping, Sequence
from dataclasses import dataclass
from math import ceil, fsum

import numpy as np

from patterns.parts.part import Part
from patterns.shop.nest.sheets import FilledSheet, SheetPlan
from patterns.shop.saw.long_bench import BenchPiece
from patterns.shop.stock.lengths import Lengths, finished_size, lengths_of
from patterns.shop.stock.yard import BOARD_FOOT, YardBoard
from patterns.shop.woods import same_wood
from patterns.units.lengths import INCH

ROUGH = tuple(quarters * INCH / 4 for quarters in (4, 5, 6, 8, 10, 12, 16))
"""mm; rough thicknesses boards are sold in, by quarters of an inch."""
SURFACED_LESS = ((2 * INCH, 3 / 16 * INCH), (np.inf, 1 / 4 * INCH))
"""mm; what planing both faces takes off boards up to so thick and over: surfaced thicknesses of the National Hardwood
Lumber Association's grading rules (13/16 in of 4/4, 1 3/4 in of 8/4), from memory."""
WASTE = 0.25  # share of the boards bought; hardwood 15 to 20 % and 5 to 10 % more for curves, woodworking texts
_COPY = re.compile(r", [0-9]+ of [0-9]+$")  # after a part's name, of one of several alike


@dataclass(frozen=True, slots=True)
class OnHand:
    """What of a piece comes out of a board the builder has."""

    board: int  # its number in the builder's list, from 1
    lengths: tuple[float, ...]  # mm, to be scarfed, that find a board; none where the piece comes out of one whole
    missing: tuple[float, ...]  # mm, those for which no board is left

    @property
    def share(self) -> float:
        """Of the piece."""
        return fsum(self.lengths) / fsum((*self.lengths, *self.missing)) if self.missing else 1.0


@dataclass(frozen=True, slots=True)
class BoardPiece:
    """One kind of piece and the rectangle of wood it goes in."""

    title: str
    count: int
    material: str
    thickness: float  # mm, finished, to the top of a crown
    lengths: Lengths
    width: float  # mm, finished
    rough: float | None  # mm, the thinnest rough board it can be planed from; None where it must be built up
    on_hand: OnHand | None = None
    stock_width: float | None = None  # mm, of the least board; None where no stock is worked out

    @property
    def board_feet(self) -> float:
        """Net, all alike counted: rough thickness, or the finished one of what is built up."""
        return self.count * (self.rough or self.thickness) * self.lengths.finished * self.width / BOARD_FOOT

    @property
    def to_buy(self) -> float:
        """Board feet, net, that come out of no board on hand."""
        return self.board_feet * (1.0 - self.on_hand.share) if self.on_hand else self.board_feet


def off_sheets(parts: Sequence[Part], plan: SheetPlan) -> tuple[Part, ...]:
    """The parts that lie on none of the builder's sheets."""
    on_sheets = sheets_of(plan)
    return tuple(part for part in parts if part.title not in on_sheets)


def sheets_of(plan: SheetPlan) -> Mapping[str, tuple[int, ...]]:
    """The numbers of the sheets a part lies on, by its title: one of several alike is called by its number there."""
    found: defaultdict[str, set[int]] = defaultdict(set)
    for sheet in plan.sheets:
        for placement, _ in sheet.lying:
            found[_COPY.sub("", placement.name)].add(sheet.number)
    return {title: tuple(sorted(numbers)) for title, numbers in found.items()}


def board_pieces(
    parts: Sequence[Part], made: Sequence[BenchPiece] = (), yard: Sequence[YardBoard] = ()
) -> tuple[BoardPiece, ...]:
    """Every part by the least rectangle that holds both its faces, thickest and longest first in each material.

    Parameters
    ----------
    made : sequence of BenchPiece
        The long pieces at the bench, laid on the builder's boards.
    yard : sequence of YardBoard
        What the yard sells: rough thickness is that of its boards, where it has some of the wood.
    """
    at_bench = {one.title: one for one in made}
    pieces = [_board_piece(part, at_bench.get(part.title), yard) for part in parts]
    return tuple(
        sorted(pieces, key=lambda one: (one.material, -one.thickness, -round(one.lengths.finished, 3), one.title))
    )


def to_be_bought(plan: SheetPlan) -> tuple[FilledSheet, ...]:
    """The sheets that the builder counts none of, and so has not: as many are bought as are needed."""
    return tuple(sheet for sheet in plan.sheets if sheet.stock.count is None)


def with_waste(net: float) -> float:
    return net / (1 - WASTE)


def _board_piece(part: Part, made: BenchPiece | None, yard: Sequence[YardBoard]) -> BoardPiece:
    thick = part.thickness + part.crown
    sold = sorted((board.thickness, board.dressed) for board in yard if same_wood(board.material, part.material))
    sizes = sold or [(size, dressed_from(size)) for size in ROUGH]
    rough = next((size for size, dressed in sizes if dressed >= thick - 0.01), None)
    return BoardPiece(
        title=part.title,
        count=part.count,
        material=part.material,
        thickness=thick,
        lengths=lengths_of(part, made),
        width=finished_size(part)[1],
        rough=rough,
        on_hand=on_hand(made) if made else None,
        stock_width=made.least.width if made else None,
    )


def on_hand(made: BenchPiece) -> OnHand | None:
    """A whole board, the one its other hand comes out of too, or lengths that are scarfed; None where there is none."""
    beside = made.with_other.place if made.with_other else None
    whole = made.place or beside
    if whole:
        return OnHand(whole.number, (), ())
    if made.scarfs is None or made.lengths_of is None:
        return None
    found = list(made.scarfs.boards)
    for length in made.missing:
        found.remove(length)
    return OnHand(made.lengths_of, tuple(found), made.missing) if found else None


def dressed_from(rough: float) -> float:
    """mm that a rough board planes clean to."""
    return rough - next(less for below, less in SURFACED_LESS if rough < below)


def quarters(rough: float) -> str:
    """A rough thickness as yards name it: ``8/4``."""
    return f"{ceil(4 * rough / INCH - 0.01)}/4"
