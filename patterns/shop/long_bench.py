"""All the bench work of a boat's long pieces, each with what the builder has to make it with."""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from dataclasses import dataclass

import numpy as np

from patterns.parts.long_pieces import LongPiece
from patterns.shop.bend_verdict import BendVerdict, bend_verdict
from patterns.shop.board_layout import BoardPlace, Envelope, LeastBoard, best_place, envelope, least_board
from patterns.shop.saw_rules import BenchRules, Board
from patterns.shop.saw_setup import SawSetup, saw_setup
from patterns.shop.scarfs import Scarf, ScarfPlan, scarf_plan
from patterns.shop.woods import same_wood

KERF = 3.2  # mm (1/8 in), allowed between pieces where the builder names no saw


@dataclass(frozen=True, slots=True, eq=False)
class BenchPiece:
    """One piece of one hand on its way from board to boat."""

    piece: LongPiece
    bend: BendVerdict
    setup: SawSetup | None  # None where the builder names no saw
    takes: Envelope
    least: LeastBoard
    place: BoardPlace | None  # on one of the builder's boards; None where none will do
    scarfs: ScarfPlan | None  # where every board that would do is too short

    @property
    def title(self) -> str:
        return self.piece.part.title


def bench(pieces: Sequence[LongPiece], rules: BenchRules) -> tuple[BenchPiece, ...]:
    """Every long piece, in order; boards are used up as they are laid out."""
    stock = _Stock(rules.boards)
    made: list[BenchPiece] = []
    for piece in pieces:
        other = next((one for one in made if one.piece.name == piece.name), None)
        made.append(_bench_piece(piece, rules, stock, other))
    return tuple(made)


def _bench_piece(piece: LongPiece, rules: BenchRules, stock: _Stock, other: BenchPiece | None) -> BenchPiece:
    setup = saw_setup(piece, rules.saw) if rules.saw else None
    takes = envelope(piece, setup)
    kerf = rules.saw.kerf if rules.saw else KERF
    place = stock.place(piece, takes, kerf, other)
    least = least_board(piece, takes, kerf=kerf)
    short = stock.longest(piece, least.width) if place is None else None
    taken: tuple[Scarf, ...] = other.scarfs.scarfs if other and other.scarfs else ()
    return BenchPiece(
        piece=piece,
        bend=bend_verdict(piece),
        setup=setup,
        takes=takes,
        least=least,
        place=place,
        scarfs=scarf_plan(piece, short.length, rules.scarf, taken) if short else None,
    )


class _Stock:
    """The builder's boards, and how many of each are left."""

    def __init__(self, boards: Sequence[Board]) -> None:
        self.boards = list(enumerate(boards, start=1))
        self.left = {number: board.count for number, board in self.boards}

    def suitable(self, piece: LongPiece) -> list[tuple[int, Board]]:
        """Boards of the piece's wood, thick enough."""
        return [
            (number, board)
            for number, board in self.boards
            if board.thickness >= piece.thickness
            and (not board.material or same_wood(board.material, piece.rules.material))
        ]

    def longest(self, piece: LongPiece, width: float) -> Board | None:
        """The longest of suitable boards, where every one that is wide enough is too short for the piece."""
        wide = [board for _, board in self.suitable(piece) if board.width - sum(board.avoid) >= width]
        longest = max(wide, key=lambda board: board.length, default=None)
        return longest if longest and longest.length < piece.places[-1].along else None

    def place(self, piece: LongPiece, takes: Envelope, kerf: float, other: BenchPiece | None) -> BoardPlace | None:
        if other and other.place and other.place.pair is not None:
            return None  # it lies beside the other hand, and is told there
        boards = [(number, board) for number, board in self.suitable(piece) if self.left[number]]
        found = best_place(takes, boards, kerf=kerf, pair=piece.part.hand != "none" and other is None)
        if found:
            self.left[found.number] -= 1
        return found


def bench_cautions(made: Sequence[BenchPiece]) -> Iterator[tuple[str, str]]:
    """Where and what, of all that should not be found out at the saw; both hands of a piece in one."""
    for one in made:
        if one.piece.part.hand == "starboard":
            continue
        if one.setup:
            yield from _saw_cautions(one.setup)


def _saw_cautions(setup: SawSetup) -> Iterator[tuple[str, str]]:
    for rip in setup.rips:
        where = f"saw, {setup.piece.name}, {rip.edge.name} edge"
        if rip.short:
            yield where, short_words(rip.wanted, rip.setting.tilt, tested=bool(setup.saw.guide))
        if rip.setting.blade.too_deep:
            yield where, "the blade does not come through stock of this thickness at this tilt."
        elif not rip.setting.blade.follows:
            yield where, "the blade cannot follow this curve through the whole thickness; see its sheet."


def short_words(wanted: float, given: float, *, tested: bool) -> str:
    reach = "past your test cuts or your saw's reach" if tested else "past your saw's reach"
    more = " Make a test cut there and add it to guide." if tested else ""
    return (
        f"a tilt of {np.degrees(wanted):.1f}° would leave least to plane, but lies {reach}; "
        f"set up at {np.degrees(given):.1f}°, which leaves more.{more}"
    )
