"""Boards filled with rectangles, by a simple rule in many orders; of a few pieces, every set that a board holds."""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from dataclasses import dataclass
from itertools import combinations, product
from math import fsum

import numpy as np

from patterns.geometry.edge_to_edge import HAIR, SPLITS, AllCuts, Free, Laid, Split

ALL_SUBSETS = 7  # pieces; every subset of so few is tried on every kind of board
ORDERS = 24  # shuffled orders in which boards are filled, beside the sorted ones


@dataclass(frozen=True, slots=True)
class Wanted:
    """A rectangle to be cut, its length along the board's."""

    length: float  # mm
    width: float  # mm


@dataclass(frozen=True, slots=True)
class BoardKind:
    """One size of board."""

    length: float  # mm
    width: float  # mm
    cost: float  # in any unit, 0 or more
    count: int | None = None  # how many there are; None for as many as are needed


@dataclass(frozen=True, slots=True)
class Filled:
    """A board and what is cut from it."""

    kind: int  # its place among the kinds of board
    laid: tuple[Laid, ...]


class BoardFilling:
    """Pieces and boards, both a kerf longer and wider: a cut between two pieces then needs no further thought."""

    def __init__(self, wanted: Sequence[Wanted], kinds: Sequence[BoardKind], kerf: float) -> None:
        self.sizes = [(one.length + kerf, one.width + kerf) for one in wanted]
        self.boards = [(kind.length + kerf, kind.width + kerf) for kind in kinds]
        self.kinds = kinds
        self.cuts = AllCuts(self.sizes)

    def holds(self, kind: int, piece: int) -> bool:
        (length, width), (long, wide) = self.sizes[piece], self.boards[kind]
        return length <= long + HAIR and width <= wide + HAIR

    def columns(self, pieces: Sequence[int]) -> list[Filled]:
        """Filled boards to choose from, no two of one kind with the same sizes on them."""
        found: dict[tuple[int, tuple[tuple[float, float], ...]], Filled] = {}
        for filled in self._fillings(pieces):
            key = filled.kind, tuple(sorted(self.sizes[laid.piece] for laid in filled.laid))
            found.setdefault(key, filled)
        return list(found.values())

    def _fillings(self, pieces: Sequence[int]) -> Iterator[Filled]:
        for order in self._orders(pieces):
            for split in SPLITS:
                yield from self._covering(order, split)
        if len(pieces) <= ALL_SUBSETS:
            for kind in range(len(self.kinds)):
                yield from self._whole_subsets(kind, pieces)

    def _orders(self, pieces: Sequence[int]) -> Iterator[tuple[int, ...]]:
        sizes = self.sizes
        sorts = (
            lambda k: (-sizes[k][0], -sizes[k][1], k),
            lambda k: (-sizes[k][1], -sizes[k][0], k),
            lambda k: (-sizes[k][0] * sizes[k][1], k),
            lambda k: (sizes[k][0], sizes[k][1], k),
        )
        for key in sorts:
            yield tuple(sorted(pieces, key=key))
        chance = np.random.default_rng(0)
        for _ in range(ORDERS if len(pieces) > 2 else 0):
            # Near the order by area: large pieces early, as a builder lays them.
            luck = {k: sizes[k][0] * sizes[k][1] * float(chance.uniform(0.3, 1.0)) for k in pieces}
            yield tuple(sorted(pieces, key=lambda k: (-luck[k], k)))

    def _covering(self, order: Sequence[int], split: Split) -> Iterator[Filled]:
        """Boards that hold all pieces of an order between them, and every other that was tried on the way."""
        rest, left = list(order), [kind.count for kind in self.kinds]
        while rest:
            tried = [
                Filled(kind, laid)
                for kind in range(len(self.kinds))
                if left[kind] != 0 and self.holds(kind, rest[0]) and (laid := self.fill(kind, rest, split))
            ]
            yield from tried
            if not tried:
                rest.pop(0)
                continue
            best = max(tried, key=self._worth)
            count = left[best.kind]
            left[best.kind] = None if count is None else count - 1
            on_it = {laid.piece for laid in best.laid}
            rest = [k for k in rest if k not in on_it]

    def _worth(self, filled: Filled) -> float:
        """Wood that becomes pieces, for what the board costs."""
        area = fsum(self.sizes[laid.piece][0] * self.sizes[laid.piece][1] for laid in filled.laid)
        return area / max(self.kinds[filled.kind].cost, 1e-9)

    def _whole_subsets(self, kind: int, pieces: Sequence[int]) -> Iterator[Filled]:
        """Every set of pieces that one board holds. A set with one too many in it holds no more by one more."""
        too_many: list[frozenset[int]] = []
        for many in range(1, len(pieces) + 1):
            for subset in combinations(pieces, many):
                known = any(one <= set(subset) for one in too_many)
                laid = None if known else self.cuts.lay(*self.boards[kind], subset)
                if laid:
                    yield Filled(kind, laid)
                else:
                    too_many.append(frozenset(subset))

    def fill_all(self, kind: int, pieces: Sequence[int]) -> tuple[Laid, ...]:
        """Every piece on one board; nothing where no order that is tried lays them all."""
        for key, split in product((0, 1), SPLITS):
            order = sorted(pieces, key=lambda k: (-self.sizes[k][key], -self.sizes[k][1 - key], k))
            laid = self.fill(kind, order, split)
            if len(laid) == len(pieces):
                return laid
        return ()

    def fill(self, kind: int, order: Sequence[int], split: Split) -> tuple[Laid, ...]:
        """As many pieces of an order as the rule finds room for on one board."""
        free: list[Free] = [(0.0, 0.0, *self.boards[kind])]
        laid: list[Laid] = []
        for k in order:
            length, width = self.sizes[k]
            room = [one for one in free if length <= one[2] + HAIR and width <= one[3] + HAIR]
            if not room:
                continue
            # Where least is left beside it across, then along.
            best = min(room, key=lambda one: (round(one[3] - width, 3), one[2] - length, one))
            free.remove(best)
            free += [one for one in split(best, length, width) if one[2] > HAIR and one[3] > HAIR]
            laid.append(Laid(k, best[0], best[1]))
        return tuple(laid)
