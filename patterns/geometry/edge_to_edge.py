"""Cuts that part a rectangle from edge to edge, as a saw does: one at a time by a rule, or every way there is."""

from __future__ import annotations

from collections.abc import Callable, Iterator, Sequence
from dataclasses import dataclass
from itertools import combinations, product
from math import fsum

HAIR = 1e-6  # mm

Free = tuple[float, float, float, float]  # mm: left, bottom, length, width, a kerf included in both
Split = Callable[[Free, float, float], tuple[Free, Free]]


@dataclass(frozen=True, slots=True)
class Laid:
    """A piece on a board, its lower left corner from the board's."""

    piece: int  # its place among the pieces wanted
    left: float  # mm
    bottom: float  # mm


class AllCuts:
    """Whether a few pieces can be cut out of a rectangle at all, each cut from edge to edge: every cut is tried."""

    def __init__(self, sizes: Sequence[tuple[float, float]]) -> None:
        self.sizes = sizes
        self.known: dict[tuple[float, float, tuple[int, ...]], tuple[Laid, ...] | None] = {}

    def lay(self, long: float, wide: float, pieces: tuple[int, ...]) -> tuple[Laid, ...] | None:
        """Where the pieces lie; None where there is no such way."""
        sizes = [self.sizes[k] for k in pieces]
        if any(length > long + HAIR or width > wide + HAIR for length, width in sizes):
            return None
        if fsum(length * width for length, width in sizes) > long * wide + HAIR:
            return None
        if len(pieces) == 1:
            return (Laid(pieces[0], 0.0, 0.0),)
        key = round(long, 6), round(wide, 6), pieces
        if key not in self.known:
            self.known[key] = next(self._ways(long, wide, pieces), None)
        return self.known[key]

    def _ways(self, long: float, wide: float, pieces: tuple[int, ...]) -> Iterator[tuple[Laid, ...]]:
        """Of every way to part the pieces by one cut those that have room; the first piece lies left or below."""
        first, others = pieces[0], pieces[1:]
        for many, ripped in product(range(len(others)), (True, False)):
            for more in combinations(others, many):
                one, other = (first, *more), tuple(k for k in others if k not in more)
                side = self._least(long, wide, one, ripped=ripped)
                if side is None:
                    continue
                here = self.lay(long, side, one) if ripped else self.lay(side, wide, one)
                there = self.lay(long, wide - side, other) if ripped else self.lay(long - side, wide, other)
                if here and there:
                    along, across = (0.0, side) if ripped else (side, 0.0)
                    yield (*here, *(Laid(laid.piece, laid.left + along, laid.bottom + across) for laid in there))

    def _least(self, long: float, wide: float, pieces: tuple[int, ...], *, ripped: bool) -> float | None:
        """mm, the narrowest strip (or the shortest length) that holds the pieces."""
        sums = {0.0}
        for k in pieces:
            sums |= {one + self.sizes[k][1 if ripped else 0] for one in sums}
        most = wide if ripped else long
        tried = (side for side in sorted(sums) if 0 < side <= most + HAIR)
        return next((s for s in tried if self.lay(*((long, s) if ripped else (s, wide)), pieces) is not None), None)


def _ripped(free: Free, length: float, width: float) -> tuple[Free, Free]:
    """Ripped all along first: a strip as wide as the piece, the rest of the width as long as before."""
    left, bottom, long, wide = free
    return (left + length, bottom, long - length, width), (left, bottom + width, long, wide - width)


def _crosscut(free: Free, length: float, width: float) -> tuple[Free, Free]:
    """Crosscut first: a length as long as the piece, the rest as wide as before."""
    left, bottom, long, wide = free
    return (left + length, bottom, long - length, wide), (left, bottom + width, length, wide - width)


def _larger(free: Free, length: float, width: float) -> tuple[Free, Free]:
    """Whichever way leaves the largest rectangle."""
    ways = _ripped(free, length, width), _crosscut(free, length, width)
    return max(ways, key=lambda way: max(one[2] * one[3] for one in way))


SPLITS: tuple[Split, ...] = (_ripped, _crosscut, _larger)
