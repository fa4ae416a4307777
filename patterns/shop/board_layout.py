"""Sawing to the grain: where on a board a piece lies so that its grain runs out least."""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from dataclasses import dataclass, replace
from itertools import permutations

import numpy as np

from patterns.geometry.arrays import Floats
from patterns.parts.long_pieces import LongPiece
from patterns.shop.edge_views import FAR, NEAR, OVERTURNED, edge_view, stock_ends
from patterns.shop.saw_rules import Board
from patterns.shop.saw_setup import SawSetup
from patterns.shop.woods import strength_left

POINTS = 61  # along a piece, where it is held against the board
TURNS = 41  # of the piece on the board, tried at a time
SHIFTS = 9  # places along the board
RUN_OUT_LIMIT = 1 / 12  # common practice: flatter than 1 in 12 in sprung stock
BETWEEN = 3.0  # mm between two pieces beside both kerfs, for a saw that wanders
GRAIN_CURVE = 3  # degree of the curve laid through a board's measured edges: its grain has no corners
EVEN = 1e-4  # slope; nearer, two places are as good as each other


@dataclass(frozen=True, slots=True, eq=False)
class Envelope:
    """What a piece takes of a board, as sawn, seen on its face against the planking, bow to the left."""

    x: Floats  # (n,) mm, from one end of the stock, left long, to the other
    low: Floats  # (n,) mm
    high: Floats

    @property
    def length(self) -> float:
        return float(self.x[-1] - self.x[0])

    @property
    def middle(self) -> Floats:
        return np.asarray((self.low + self.high) / 2)

    def ring(self) -> Floats:
        """(2n, 2) mm, round it."""
        low, high = (np.column_stack([self.x, y]) for y in (self.low, self.high))
        return np.concatenate([low, high[::-1]])

    def of_other_hand(self) -> Envelope:
        return Envelope(self.x, -self.high, -self.low)


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
    length: float  # mm, of the stock the piece takes, left long at both ends
    fore: float  # mm, the piece's own x at the stock's fore end
    lift: float  # mm, of the middle of the piece there over its own x axis
    along: float  # mm from the board's end (the right one, end for end) to the stock's fore end
    turn: float  # rad, of the piece on the board
    across: float  # mm, of the piece's own x axis at the stock's fore end, from the board's own line
    slope: float  # steepest grain to the piece's length anywhere along it
    steepest_at: float  # mm, x of the piece there
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
        first, last = self.along, self.along + self.length
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


def envelope(piece: LongPiece, setup: SawSetup | None, *, points: int = POINTS) -> Envelope:
    """Of both faces, outside the saw cuts; where there is no saw, outside the net edges and what the plane takes."""
    first, last = stock_ends(piece)
    x = np.linspace(first, last, points)
    sides: dict[float, list[Floats]] = {1.0: [], -1.0: []}
    for line, out in _lines(piece, setup):
        sides[out].append(np.interp(x, line[:, 0], line[:, 1]))
    return Envelope(x, np.min(sides[-1.0], axis=0), np.max(sides[1.0], axis=0))


def _lines(piece: LongPiece, setup: SawSetup | None) -> Iterator[tuple[Floats, float]]:
    if setup is not None:
        for rip in setup.rips:
            over, out = (OVERTURNED, -1.0) if rip.edge.up == FAR else (np.ones(2), 1.0)
            yield rip.setting.saw_line * over, rip.edge.out * out
            yield rip.setting.foot_line * over, rip.edge.out * out
        return
    for name in ("lower", "upper"):
        view = edge_view(piece, name, NEAR)
        beyond = piece.rules.planing * np.hypot(1.0, view.run / piece.thickness) + np.maximum(view.run, 0.0)
        yield view.net + beyond[:, None] * view.outward, view.out


def least_board(piece: LongPiece, takes: Envelope, *, kerf: float) -> LeastBoard:
    turns = np.linspace(-0.06, 0.06, 241)
    x, low, high = _turned(takes, turns)
    width = (high.max(axis=-1) - low.min(axis=-1)).min()
    best = int((high.max(axis=-1) - low.min(axis=-1)).argmin())
    slope = float(np.abs(np.gradient(takes.middle, takes.x) + turns[best]).max())
    return LeastBoard(
        length=float(np.ptp(x[best])),
        width=float(width),
        pair_width=float(width + beside(takes, kerf)),
        thickness=piece.thickness,
        one_in=_one_in(slope),
    )


def _one_in(slope: float) -> float:
    return 1 / slope if slope > EVEN else float("inf")


def beside(takes: Envelope, kerf: float) -> float:
    """mm from one piece to its pair beside it, marked from the board's other face so that they lie in each other."""
    return float((takes.high - takes.low).max()) + 2 * kerf + BETWEEN


def best_place(takes: Envelope, spans: Sequence[Span], *, kerf: float, pair: bool) -> BoardPlace | None:
    """The place of least run-out on any of some boards, and of both hands on one where that is flat enough.

    Both hands lie side by side, `pair` then told, or one beyond the other: each in its own half of the length.
    """
    both = beside(takes, kerf) if pair else None
    found = [place for span in spans for place in _places(takes, span, both)]
    together = [(place.slope, place) for place in found if place.pair is not None]
    if pair:
        together += [ends for span in spans for ends in _end_to_end(takes, span, kerf)]
    flat = [(slope, place) for slope, place in together if slope <= RUN_OUT_LIMIT]
    ranked = flat or [(place.slope, place) for place in found]
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
            for room in filter(None, (pair, 1e-9)):
                place = _laid(takes, _Wood(span.board, turned_over, end_for_end), span, room)
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


def _laid(takes: Envelope, wood: _Wood, span: Span, room: float) -> BoardPlace | None:
    spare = span.length - takes.length
    if spare < 0:
        return None
    first = wood.board.length - span.last if wood.end_for_end else span.first
    steepest = (float(np.ptp(wood.high - wood.low)) + float(np.max(wood.high) - np.min(wood.low))) / takes.length
    turns, shifts = np.linspace(-steepest, steepest, TURNS), np.linspace(first, first + spare, SHIFTS)
    best = _best_of(takes, wood, turns, shifts, room)
    if best is None:
        return None
    finer = best[1] + np.linspace(-1, 1, TURNS) * (turns[1] - turns[0])
    along, turn, across, slope, at = _best_of(takes, wood, finer, np.array([best[0]]), room) or best
    return BoardPlace(
        span=span,
        turned_over=wood.turned_over,
        end_for_end=wood.end_for_end,
        length=takes.length,
        fore=float(takes.x[0]),
        lift=float(takes.middle[0]),
        along=along,
        turn=turn,
        across=across,
        slope=slope,
        steepest_at=at,
        pair=room if room > 1 else None,
    )


def _turned(takes: Envelope, turns: Floats) -> tuple[Floats, Floats, Floats]:
    """(k, n) each: the piece turned about its fore end: x along, low and high across."""
    x = takes.x - takes.x[0]
    cos, sin = np.cos(turns)[:, None], np.sin(turns)[:, None]
    along = x * cos - takes.middle * sin
    return along - along[:, :1], takes.low * cos + x * sin, takes.high * cos + x * sin


def _best_of(
    takes: Envelope, wood: _Wood, turns: Floats, shifts: Floats, room: float
) -> tuple[float, float, float, float, float] | None:
    """Along, turn, across, slope and where it is steepest, of the place with the least run-out that has the room."""
    x, low, high = _turned(takes, turns)
    at = x[None] + shifts[:, None, None]  # (s, k, n)
    least = (np.interp(at, wood.x, wood.low) - low).max(axis=2)
    most = (np.interp(at, wood.x, wood.high) - high).min(axis=2)
    own = np.gradient(takes.middle, takes.x) + turns[:, None]
    runs = np.abs(own[None] - np.interp(at, wood.x, wood.grain))
    slope = np.where(most - least >= room, runs.max(axis=2), np.inf)
    s, k = np.unravel_index(int(np.round(slope / EVEN).argmin()), slope.shape)
    if not np.isfinite(slope[s, k]):
        return None
    # A pair lies from the middle of what is spare; so does one piece alone.
    across = (least[s, k] + most[s, k] - (room if room > 1 else 0.0)) / 2
    steepest = int(runs[s, k].argmax())
    return float(shifts[s]), float(turns[k]), float(across), float(slope[s, k]), float(takes.x[steepest])
