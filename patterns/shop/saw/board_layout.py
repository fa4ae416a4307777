"""Sawing to the grain: where on a board a piece lies so that its grain runs out least."""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from dataclasses import dataclass, replace
from itertools import permutations

import numpy as np

from patterns.geometry.arrays import Floats
from patterns.parts.long.long_pieces import LongPiece
from patterns.shop.saw.envelopes import Envelope
from patterns.shop.saw.saw_rules import Board
from patterns.shop.woods import strength_left

TURNS = 41  # of the piece on the board, tried at a time
ROUNDS = 4  # of trying turns, each between the neighbours of the best so far
HAIR = 1e-3  # mm; a size printed in full and read back differs by less
SHIFTS = 9  # places along the board
RUN_OUT_LIMIT = 1 / 12  # common practice: flatter than 1 in 12 in sprung stock
BETWEEN = 3.0  # mm between two pieces beside both kerfs, for a saw that wanders
GRAIN_CURVE = 3  # degree of the curve laid through a board's measured edges: its grain has no corners
EVEN = 1e-4  # slope; nearer, two places are as good as each other


@dataclass(frozen=True, slots=True)
class Span:
    """A free length of one of the builder's boards."""

    board: Board
    number: int  # of the board in the builder's list, from 1
    copy: int  # of boards that are alike, from 1
    first: float  # mm from the board's left end as measured
    last: float

    @property
    def length(self) -> float:
        return self.last - self.first


@dataclass(frozen=True, slots=True, eq=False)
class BoardPlace:
    """A piece on a board, which lies as the builder measured it, or turned over about its length, or end for end."""

    span: Span
    turned_over: bool
    end_for_end: bool
    reach: tuple[float, float]  # mm of board that the stock takes, from its fore end as ``along`` has it
    fore: float  # mm, the piece's own x at the stock's fore end
    lift: float  # mm, of the middle of the piece there over its own x axis
    along: float  # mm from the board's end (the right one, end for end) to the stock's fore end
    turn: float  # rad, of the piece on the board
    across: float  # mm, of the piece's own x axis at the stock's fore end, from the board's own line
    slope: float  # steepest grain to the piece's length anywhere along it
    pair: float | None  # mm from this hand to the other, side by side; None where the board takes but one

    @property
    def board(self) -> Board:
        return self.span.board

    @property
    def number(self) -> int:
        return self.span.number

    @property
    def same_board(self) -> tuple[int, int]:
        """What two places on one board have in common."""
        return self.span.number, self.span.copy

    @property
    def one_in(self) -> float:
        return _one_in(self.slope)

    @property
    def taken(self) -> tuple[float, float]:
        """mm from the board's left end as measured: the length of it that the stock takes."""
        first, last = (self.along + end for end in self.reach)
        return (self.board.length - last, self.board.length - first) if self.end_for_end else (first, last)

    def laid(self, points: Floats) -> Floats:
        """(n, 2) points of the piece, seen on its face against the planking, on the board as it is laid."""
        x, y = points[:, 0] - self.fore, points[:, 1]
        cos, sin = np.cos(self.turn), np.sin(self.turn)
        along = x * cos - (y - self.lift) * sin + self.along
        return np.column_stack([along, x * sin + y * cos + self.across])

    def on_piece(self, points: Floats) -> Floats:
        """(n, 2) points of the board as it is laid, in the piece's own axes: the way back."""
        cos, sin = np.cos(self.turn), np.sin(self.turn)
        u, v = points[:, 0] - self.along - self.lift * sin, points[:, 1] - self.across
        return np.column_stack([u * cos + v * sin + self.fore, v * cos - u * sin])

    def measured(self, points: Floats) -> Floats:
        """(n, 2) points between the board as it is laid and as the builder measured it, either way."""
        x, y = points.T
        return np.column_stack([self.board.length - x if self.end_for_end else x, -y if self.turned_over else y])

    @property
    def strength(self) -> float | None:
        """Share of bending strength left; None past the steepest that is published."""
        return strength_left(self.slope)


@dataclass(frozen=True, slots=True)
class LeastBoard:
    """The least straight-grained board a piece can be sawn out of."""

    length: float  # mm
    width: float  # mm, for one
    pair_width: float  # mm, for both hands side by side
    thickness: float  # mm, dressed
    one_in: float  # run-out along it, in straight grain
    holding: float  # mm of wood left beyond each kerf, within its width

    @property
    def bare(self) -> float:
        """mm, the width that piece and kerfs alone take."""
        return self.width - 2 * self.holding


def least_board(piece: LongPiece, takes: Envelope) -> LeastBoard:
    """The narrowest, of boards in which the grain runs out no steeper than the limit wherever that can be."""
    most = max(0.06, 2 * float(np.ptp(takes.middle)) / takes.length)
    turns = np.linspace(-most, most, 481)
    for _ in range(3):
        turned = _turned(takes, turns)
        width = turned.high.max(axis=-1) - turned.low.min(axis=-1)
        slope = np.abs(np.gradient(takes.middle, takes.x) + turns[:, None]).max(axis=-1)
        # A little flatter than the limit, so that the board is found flat enough again when it is given.
        flat = slope <= 0.99 * RUN_OUT_LIMIT
        best = int(np.where(flat | ~flat.any(), width, np.inf).argmin())
        found = turned.ends[1][best] - turned.ends[0][best], width[best], slope[best]
        turns = turns[best] + np.linspace(-1, 1, 41) * (turns[1] - turns[0])
    length, narrowest, steepest = (float(value) for value in found)
    return LeastBoard(
        length=length,
        width=narrowest,
        pair_width=narrowest + beside(takes),
        thickness=piece.thickness,
        one_in=_one_in(steepest),
        holding=takes.holding,
    )


def _one_in(slope: float) -> float:
    return 1 / slope if slope > EVEN else float("inf")


def beside(takes: Envelope) -> float:
    """mm from one piece to its pair beside it, marked from the board's other face so that they lie in each other."""
    low, high = takes.outer
    return float((high - low).max()) + BETWEEN


def best_place(takes: Envelope, spans: Sequence[Span], *, kerf: float, pair: bool) -> BoardPlace | None:
    """The place of least run-out on any of some boards, and of both hands on one where that is flat enough.

    Both hands lie side by side, `pair` then told, or one beyond the other: each in its own half of the length.
    """
    both = beside(takes) if pair else None
    found = [place for span in spans for place in _places(takes, span, both)]
    together = [(place.slope, place) for place in found if place.pair is not None]
    if pair:
        together += [ends for span in spans for ends in _end_to_end(takes, span, kerf)]
    alone = [(place.slope, place) for place in found if place.pair is None]
    flat = [(slope, place) for slope, place in together if slope <= RUN_OUT_LIMIT]
    alone_is_better = any(slope <= RUN_OUT_LIMIT for slope, _ in alone)
    ranked = flat or (alone if alone_is_better else together or alone)
    return min(ranked, key=lambda one: round(one[0] / EVEN), default=(0.0, None))[1]


def _end_to_end(takes: Envelope, span: Span, kerf: float) -> Iterator[tuple[float, BoardPlace]]:
    """This hand on either half of a length whose other half the other hand has; the steeper grain of the two."""
    for mine, other in permutations(halves(span, kerf)):
        place = _best(takes, mine)
        pair = _best(takes.of_other_hand(), other) if place else None
        if place and pair:
            yield max(place.slope, pair.slope), place


def halves(span: Span, kerf: float) -> tuple[Span, Span]:
    """A length in two, parted by a saw."""
    middle, cut = (span.first + span.last) / 2, (kerf + BETWEEN) / 2
    return replace(span, last=middle - cut), replace(span, first=middle + cut)


def _best(takes: Envelope, span: Span) -> BoardPlace | None:
    return min(_places(takes, span, None), key=lambda place: round(place.slope / EVEN), default=None)


def _places(takes: Envelope, span: Span, pair: float | None) -> Iterator[BoardPlace]:
    """The best of each way of laying the board, for both hands side by side and for one."""
    for turned_over in (False, True):
        for end_for_end in (False, True):
            for apart in (pair, None) if pair else (None,):
                place = _laid(takes, _Wood(span.board, turned_over, end_for_end), span, apart)
                if place is not None:
                    yield place


class _Wood:
    """A board's sound wood as it is laid: its edges and its grain."""

    def __init__(self, board: Board, turned_over: bool, end_for_end: bool) -> None:
        self.board, self.turned_over, self.end_for_end = board, turned_over, end_for_end
        self.x = np.linspace(0.0, board.length, 241)
        low, high = _edges(board, self.x)
        grain = np.gradient(np.polynomial.Polynomial.fit(self.x, (low + high) / 2, GRAIN_CURVE)(self.x), self.x)
        low, high = low + board.avoid[0], high - board.avoid[1]
        if turned_over:
            low, high, grain = -high, -low, -grain
        if end_for_end:
            low, high, grain = low[::-1], high[::-1], -grain[::-1]
        self.low, self.high, self.grain = low, high, grain


def edges_as_laid(place: BoardPlace) -> tuple[Floats, Floats]:
    """(n, 2) each: the lower and the upper edge of a board, bark and all, as it is laid."""
    wood = _Wood(replace(place.board, avoid=(0.0, 0.0)), place.turned_over, place.end_for_end)
    return np.column_stack([wood.x, wood.low]), np.column_stack([wood.x, wood.high])


def _edges(board: Board, x: Floats) -> tuple[Floats, Floats]:
    """(n,) each: a board's lower and upper edge across it."""
    if board.lower:
        low, high = (np.array(points) for points in (board.lower, board.upper))
        return np.interp(x, low[:, 0], low[:, 1]), np.interp(x, high[:, 0], high[:, 1])
    curve = np.zeros(len(x))
    if board.sweep and board.sweep.sag > 0:
        radius = board.sweep.over**2 / (8 * board.sweep.sag) + board.sweep.sag / 2
        away = np.minimum(np.abs(x - board.length / 2), radius)
        curve = radius - np.sqrt(radius**2 - away**2)
    return curve, curve + board.width


@dataclass(frozen=True, slots=True, eq=False)
class _Turned:
    """A piece, kerf and holding wood included, turned about its fore end by (k,) turns."""

    along_low: Floats  # (k, n) mm from the fore end of its middle
    low: Floats  # (k, n) mm
    along_high: Floats
    high: Floats

    @property
    def ends(self) -> tuple[Floats, Floats]:
        """(k,) mm each, where the first and the last of its corners come."""
        return (
            np.minimum(self.along_low[:, 0], self.along_high[:, 0]),
            np.maximum(self.along_low[:, -1], self.along_high[:, -1]),
        )


def _turned(takes: Envelope, turns: Floats) -> _Turned:
    x, lift = takes.x - takes.x[0], takes.middle[0]
    cos, sin = np.cos(turns)[:, None], np.sin(turns)[:, None]
    low, high = takes.outer
    return _Turned(
        x * cos - (low - lift) * sin, x * sin + low * cos, x * cos - (high - lift) * sin, x * sin + high * cos
    )


@dataclass(frozen=True, slots=True)
class _Lying:
    """One way a piece lies on a board."""

    along: float  # mm
    turn: float  # rad
    across: float  # mm
    slope: float
    reach: tuple[float, float]  # mm
    spare: float  # mm of board across that is left over, least along the piece; less than nothing where it lacks room


def _laid(takes: Envelope, wood: _Wood, span: Span, apart: float | None) -> BoardPlace | None:
    """The flattest place on a board as it is laid, of one piece or of two that lie so far apart.

    Turns are tried in rounds. As long as none has room, the next round closes in on the one that lacks least: a board
    that is only just wide enough has room at one turn alone.
    """
    first = wood.board.length - span.last if wood.end_for_end else span.first
    steepest = (float(np.ptp(wood.high - wood.low)) + float(np.max(wood.high) - np.min(wood.low))) / takes.length
    turns, best = np.linspace(-steepest, steepest, TURNS), None
    for _ in range(ROUNDS):
        found = _best_of(takes, wood, turns, (first, first + span.length), apart or 0.0)
        best = _better(best, found)
        if best is None:
            return None
        turns = best.turn + np.linspace(-1, 1, TURNS) * (turns[1] - turns[0])
    if best is None or best.spare < -HAIR:
        return None
    return BoardPlace(
        span=span,
        turned_over=wood.turned_over,
        end_for_end=wood.end_for_end,
        reach=best.reach,
        fore=float(takes.x[0]),
        lift=float(takes.middle[0]),
        along=best.along,
        turn=best.turn,
        across=best.across,
        slope=best.slope,
        pair=apart,
    )


def _better(one: _Lying | None, other: _Lying | None) -> _Lying | None:
    """One with room before one without; of two with room the flatter; of two without the one that lacks less."""
    if one is None or other is None:
        return one or other
    room = one.spare >= -HAIR, other.spare >= -HAIR
    if room[0] != room[1]:
        return one if room[0] else other
    worse = other.slope < one.slope if room[0] else other.spare > one.spare
    return other if worse else one


def _best_of(takes: Envelope, wood: _Wood, turns: Floats, length: tuple[float, float], apart: float) -> _Lying | None:
    """The flattest of some turns and of places along a length of board; None where no turn is short enough for it.

    Where none has room across, the one that lacks least.
    """
    turned = _turned(takes, turns)
    starts, ends = turned.ends
    earliest, latest = length[0] - starts, length[1] - ends  # (k,) of the fore end of its middle
    shifts = earliest + np.linspace(0.0, 1.0, SHIFTS)[:, None] * np.maximum(latest - earliest, 0.0)  # (s, k)
    own = np.gradient(takes.middle, takes.x) + turns[:, None]
    at_low, at_high = (x[None] + shifts[:, :, None] for x in (turned.along_low, turned.along_high))  # (s, k, n)
    least = (np.interp(at_low, wood.x, wood.low) - turned.low).max(axis=2)
    most = (np.interp(at_high, wood.x, wood.high) - turned.high).min(axis=2)
    runs = np.abs(own[None] - np.interp((at_low + at_high) / 2, wood.x, wood.grain))
    spare = np.where(latest >= earliest - HAIR, most - least - apart, -np.inf)
    slope = np.where(spare >= -HAIR, runs.max(axis=2), np.inf)
    if not np.isfinite(spare).any():
        return None
    flattest, roomiest = int(np.round(slope / EVEN).argmin()), int(spare.argmax())
    s, k = np.unravel_index(flattest if np.isfinite(slope).any() else roomiest, slope.shape)
    # What is spare lies beside the last cut: the rest of the board carries shoe and guide there, for both cuts.
    across = least[s, k] + (most[s, k] - apart - least[s, k]) * (1 + takes.first) / 2
    return _Lying(
        along=float(shifts[s, k]),
        turn=float(turns[k]),
        across=float(across),
        slope=float(slope[s, k]),
        reach=(float(starts[k]), float(ends[k])),
        spare=float(spare[s, k]),
    )
