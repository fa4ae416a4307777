"""What to buy: whole boards of the yard, and which blank lies where on each."""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from dataclasses import dataclass
from itertools import groupby
from math import fsum

from patterns.geometry.board_filling import BoardKind, Wanted
from patterns.geometry.cutting_stock import cut_boards
from patterns.geometry.short_repr import brief
from patterns.parts.materials import Plywood, plain
from patterns.parts.part import Part
from patterns.shop.nest.sheets import SheetPlan
from patterns.shop.saw.long_bench import BenchPiece
from patterns.shop.stock.blanks import Blank, BlanksOf, NotInYard
from patterns.shop.stock.cut_list import BoardPiece, board_pieces, off_sheets
from patterns.shop.stock.yard import BOARD_FOOT, YardBoard, YardRules
from patterns.shop.woods import same_wood

TOO_FEW = "yard has too few boards of its size; raise count in [stock] yard, or list more"


@dataclass(frozen=True, slots=True, eq=False)
class OnBoard:
    """A blank on a board, its lower left corner from the board's as it is bought."""

    blank: Blank
    left: float  # mm
    bottom: float  # mm


@dataclass(frozen=True, slots=True, eq=False)
class BoughtBoard:
    """One whole board to buy."""

    number: int  # from 1
    board: YardBoard
    cuts: tuple[OnBoard, ...]

    __repr__ = brief

    @property
    def used(self) -> float:
        """Share of its face that becomes blanks."""
        return fsum(cut.blank.length * cut.blank.width for cut in self.cuts) / (self.board.length * self.board.width)


@dataclass(frozen=True, slots=True)
class WoodTotal:
    """All boards of one wood together."""

    material: str
    net: float  # mm3, as the cut list counts what its pieces need bought
    gross: float  # mm3, as sold
    cost: float | None  # None where a board of it has no price

    @property
    def waste(self) -> float:
        """Share of what is bought that becomes no part."""
        return 1.0 - self.net / self.gross


@dataclass(frozen=True, slots=True)
class BuyingPlan:
    """Every board to buy, and what no board of the yard makes."""

    rules: YardRules
    boards: tuple[BoughtBoard, ...] = ()
    missing: tuple[NotInYard, ...] = ()
    totals: tuple[WoodTotal, ...] = ()
    on_hand: tuple[BoardPiece, ...] = ()  # pieces that come out of boards the builder has, whole or in part
    unused: tuple[str, ...] = ()  # woods the yard has and no part on boards is of

    __repr__ = brief

    @property
    def kinds(self) -> tuple[tuple[YardBoard, tuple[BoughtBoard, ...]], ...]:
        """Boards of one size together, in the order of their numbers."""
        return tuple((board, tuple(some)) for board, some in groupby(self.boards, key=lambda one: one.board))

    def total_of(self, material: str) -> WoodTotal | None:
        """Of one wood, where every part of it is on the boards to buy; None else."""
        if any(plain(one.material) == plain(material) for one in self.missing):
            return None
        return next((one for one in self.totals if plain(one.material) == plain(material)), None)

    @property
    def cost(self) -> float | None:
        """Of all boards; None where one has no price."""
        costs = [total.cost for total in self.totals]
        return None if None in costs else fsum(cost or 0.0 for cost in costs)


NO_YARD = BuyingPlan(YardRules())
"""Where no boards of a yard are named."""


def buying_plan(
    parts: Sequence[Part], sheets: SheetPlan, made: Sequence[BenchPiece], rules: YardRules, plywood: Plywood
) -> BuyingPlan:
    """The boards that cost least, or have least wood where the yard names no prices.

    Parameters
    ----------
    parts : sequence of Part
        Every piece to cut; joined panels by their pieces.
    sheets : SheetPlan
        The builder's sheets, filled: what lies on them comes from no board.
    made : sequence of BenchPiece
        The long pieces at the bench, laid on the boards that are on hand.
    rules : YardRules
        What the yard has.
    plywood : Plywood
        Which materials come in sheets.
    """
    if not rules.boards:
        return BuyingPlan(rules)
    pieces = board_pieces(off_sheets(parts, sheets), made, rules.boards)
    needed = {one.title: one for one in pieces if one.to_buy > 0 and one.material not in plywood}
    wanted = [part for part in parts if part.title in needed]
    found = list(BlanksOf(rules).of(wanted, {one.title: one for one in made}))
    missing = [one for one in found if isinstance(one, NotInYard)]
    blanks = [one for one in found if isinstance(one, tuple)]
    boards: list[BoughtBoard] = []
    for lot in _lots([board for board, _ in blanks]):
        of_lot = [blank for board, blank in blanks if _lot(board) == lot]
        cut, left_out = _cut(of_lot, [board for board in rules.boards if _lot(board) == lot], rules)
        boards += cut
        missing += [NotInYard(blank.name, lot[0], TOO_FEW) for blank in left_out]
    boards = [BoughtBoard(number, one.board, one.cuts) for number, one in enumerate(boards, start=1)]
    totals = _totals(boards, needed, [blank for _, blank in blanks])
    held = tuple(one for one in pieces if one.on_hand)
    return BuyingPlan(rules, tuple(boards), tuple(missing), totals, held, tuple(_unused(rules, pieces)))


def _unused(rules: YardRules, pieces: Sequence[BoardPiece]) -> Iterator[str]:
    """Woods of the yard that no piece is of, each once."""
    for material in {plain(board.material): board.material for board in rules.boards}.values():
        if not any(same_wood(material, piece.material) for piece in pieces):
            yield material


_Lot = tuple[str, float, float]  # wood, mm as sold, mm dressed


def _lot(board: YardBoard) -> _Lot:
    return plain(board.material), board.thickness, board.dressed


def _lots(boards: Sequence[YardBoard]) -> list[_Lot]:
    return sorted({_lot(board) for board in boards})


def _cut(
    blanks: Sequence[Blank], boards: Sequence[YardBoard], rules: YardRules
) -> tuple[list[BoughtBoard], list[Blank]]:
    """Boards of one wood and thickness, the largest first; and blanks that find none."""
    priced = all(board.costs is not None for board in boards)
    kinds = [
        BoardKind(
            board.length - rules.ends,
            board.width - rules.edges,
            (board.costs or 0.0) if priced else board.board_feet,
            board.count,
        )
        for board in boards
    ]
    wanted = [Wanted(blank.length, blank.width) for blank in blanks]
    found = cut_boards(wanted, kinds, rules.kerf)
    aside, up = rules.ends / 2, rules.edges / 2
    filled = [
        BoughtBoard(
            0,
            boards[one.kind],
            tuple(OnBoard(blanks[laid.piece], aside + laid.left, up + laid.bottom) for laid in one.laid),
        )
        for one in found.boards
    ]
    filled.sort(key=lambda one: (-one.board.length, -one.board.width, -one.used))
    return filled, [blanks[k] for k in found.left_out]


def _totals(
    boards: Sequence[BoughtBoard], needed: dict[str, BoardPiece], blanks: Sequence[Blank]
) -> tuple[WoodTotal, ...]:
    """By wood. Of a part that finds boards for some of its blanks alone, net is its share of them."""
    all_of = _areas(blanks)
    totals = []
    for wood in dict.fromkeys(plain(one.board.material) for one in boards):
        of_wood = [one for one in boards if plain(one.board.material) == wood]
        got = _areas([cut.blank for one in of_wood for cut in one.cuts])
        costs = [one.board.costs for one in of_wood]
        totals.append(
            WoodTotal(
                material=of_wood[0].board.material,
                net=fsum(needed[title].to_buy * area / all_of[title] for title, area in got.items()) * BOARD_FOOT,
                gross=fsum(one.board.volume for one in of_wood),
                cost=None if None in costs else fsum(cost or 0.0 for cost in costs),
            )
        )
    return tuple(totals)


def _areas(blanks: Sequence[Blank]) -> dict[str, float]:
    """mm2 of blanks, by the titles of their parts."""
    areas: dict[str, list[float]] = {}
    for blank in blanks:
        for title in blank.titles:
            areas.setdefault(title, []).append(blank.length * blank.width / len(blank.titles))
    return {title: fsum(some) for title, some in areas.items()}
