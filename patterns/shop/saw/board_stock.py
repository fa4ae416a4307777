"""The builder's boards while long pieces are laid on them: what is left of each, and why one will not do."""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from dataclasses import dataclass
from enum import StrEnum
from math import fsum

from patterns.geometry.cutting_stock import most_of
from patterns.parts.long.long_pieces import LongPiece
from patterns.shop.saw.board_layout import BETWEEN, HAIR, BoardPlace, LeastBoard, Span, best_place, halves
from patterns.shop.saw.edge_views import LONG
from patterns.shop.saw.envelopes import Envelope
from patterns.shop.saw.saw_rules import Board
from patterns.shop.saw.scarfs import ScarfPlan
from patterns.shop.woods import same_wood

USELESS = 300.0  # mm; no long piece is made from less


class Lack(StrEnum):
    """Why a board will not do for a piece."""

    WOOD = "other wood"
    THIN = "too thin"
    NARROW = "too narrow"
    HOLDING = "no wood to hold beside a cut"
    SHORT = "too short"
    USED = "used up by the pieces before"
    SHAPE = "its sweep and its sapwood or wane leave no room"


@dataclass(frozen=True, slots=True)
class Refusal:
    """One of the builder's boards, and why no place was found on it."""

    number: int
    board: Board
    lack: Lack
    wants: float  # mm, where it is a matter of size
    has: float

    @property
    def left_at_ends(self) -> float:
        """mm to spare at each end of the finished piece on a board too short for its stock; negative where it is too
        short for the piece itself."""
        return LONG - (self.wants - self.has) / 2


class BoardStock:
    """The builder's boards, and which lengths of them are still free."""

    def __init__(self, boards: Sequence[Board], kerf: float) -> None:
        self.boards, self.kerf = list(enumerate(boards, start=1)), kerf
        self.free = [
            Span(board, number, copy, 0.0, board.length)
            for number, board in self.boards
            for copy in range(1, board.count + 1)
        ]
        self.kept: dict[str, Span] = {}  # the other half of a board, for a piece's other hand

    def place(self, piece: LongPiece, takes: Envelope, *, first: bool) -> BoardPlace | None:
        """The best place that is free, which is then taken; `first` of a piece's two hands, or the only one."""
        kept = self.kept.pop(piece.name, None)
        self.free += [kept] if kept else []
        pair = first and piece.part.hand != "none"
        found = best_place(takes, [kept] if kept else self.open_to(piece), kerf=self.kerf, pair=pair)
        if found:
            self._take(found, piece.name)
        return found

    def open_to(self, piece: LongPiece) -> list[Span]:
        """What is free of boards of the piece's wood, thick enough."""
        return [span for span in self.free if _lack_of_wood(piece, span.board) is None]

    def longest(self, piece: LongPiece, least: LeastBoard) -> tuple[int, Board] | None:
        """The longest of suitable boards, where every one that is wide enough is too short for the stock."""
        wide = [
            (number, board)
            for number, board in self.boards
            if _lack_of_wood(piece, board) is None and board.width - fsum(board.avoid) >= least.width - HAIR
        ]
        longest = max(wide, key=lambda one: one[1].length, default=None)
        return longest if longest and longest[1].length < least.length - HAIR else None

    def take_lengths(self, number: int, plan: ScarfPlan) -> tuple[float, ...]:
        """Take the lengths to be scarfed from boards of a kind; mm, those of them that find no board.

        As much is found in all as can be, whatever the order.
        """
        lengths = sorted(plan.boards, reverse=True)
        room = [span for span in self.free if span.number == number]
        between = self.kerf + BETWEEN
        places = most_of(lengths, [span.length for span in room], between)
        for place, span in enumerate(room):
            out_of_it = [length for length, at in zip(lengths, places, strict=True) if at == place]
            if out_of_it:
                self._cut_out(span, span.first, span.first + fsum(out_of_it) + between * (len(out_of_it) - 1))
        return tuple(length for length, at in zip(lengths, places, strict=True) if at is None)

    def refusals(self, piece: LongPiece, takes: Envelope, least: LeastBoard) -> Iterator[Refusal]:
        for number, board in self.boards:
            lack = _lack_of_wood(piece, board)
            sound = board.width - fsum(board.avoid)
            if lack is not None:
                yield Refusal(number, board, lack, piece.thickness, board.thickness)
            elif not board.lower and not board.sweep and least.bare - HAIR <= sound < least.width - HAIR:
                yield Refusal(number, board, Lack.HOLDING, least.holding, (sound - least.bare) / 2)
            elif not board.lower and not board.sweep and sound < least.width - HAIR:
                yield Refusal(number, board, Lack.NARROW, least.width, sound)
            elif board.length < least.length - HAIR:
                yield Refusal(number, board, Lack.SHORT, least.length, board.length)
            elif all(span.length < takes.length for span in self.free if span.number == number):
                yield Refusal(number, board, Lack.USED, 0.0, 0.0)
            else:
                yield Refusal(number, board, Lack.SHAPE, 0.0, 0.0)

    def _take(self, found: BoardPlace, name: str) -> None:
        half = found.span
        whole = next(
            one
            for one in self.free
            if (one.number, one.copy) == found.same_board and one.first <= half.first and half.last <= one.last
        )
        if whole != half:
            # Two hands end to end: the other half is kept for the other hand.
            self.kept[name] = next(one for one in halves(whole, self.kerf) if one != half)
            self.free[self.free.index(whole)] = half
        self._cut_out(half, *found.taken)

    def _cut_out(self, span: Span, start: float, end: float) -> None:
        self.free.remove(span)
        room = self.kerf + BETWEEN
        ends = ((span.first, start - room), (end + room, span.last))
        self.free += [
            Span(span.board, span.number, span.copy, first, last) for first, last in ends if last - first > USELESS
        ]


def _lack_of_wood(piece: LongPiece, board: Board) -> Lack | None:
    if board.material and not same_wood(board.material, piece.rules.material):
        return Lack.WOOD
    return Lack.THIN if board.thickness < piece.thickness - HAIR else None
