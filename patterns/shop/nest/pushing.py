"""Pieces on one sheet pushed about all at once: together, or apart where they overlap.

Where two convex parts lie, one direction parts them best. Held to that direction, "these two do not overlap" is a
linear inequality in their places, and the best of all moves follows from a linear program; then the directions are
chosen again (Z. Li and V. Milenkovic, "Compaction and separation algorithms for non-convex polygons", European Journal
of Operational Research 84, 1995).
"""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass

import numpy as np
from scipy.optimize import Bounds, LinearConstraint, milp
from scipy.sparse import csr_array

from patterns.geometry.arrays import Floats
from patterns.shop.nest.bodies import Bodies, Body, Numbers

STEP = 40.0  # mm a piece moves at most at a time, along and up
LEFTWARD = 0.15  # of a mm of reach that all pieces a mm further left, weighed by their areas, are worth

_Entries = tuple[Numbers, Numbers, Floats]  # rows, columns and values of a thin matrix


@dataclass(frozen=True, slots=True)
class Board:
    """The part of a sheet that boxes of pieces may lie on."""

    low: Floats  # (2,) mm
    high: Floats  # (2,) mm

    def held(self, places: Floats, sizes: Floats) -> Floats:
        """Places moved inwards where a box would stick out."""
        return np.maximum(np.minimum(places, self.high - sizes), self.low)

    def shortened(self, end: float) -> Board:
        return Board(self.low, np.array([end, self.high[1]]))


@dataclass(frozen=True, slots=True)
class _Pairs:
    """Pairs of convex parts near each other: inequalities in the places of the bodies they are of."""

    one: Numbers  # (p,) of bodies
    other: Numbers
    table: list[_Entries]
    most: Floats  # (p,) mm that a row of the table times all places may come to
    now: Floats  # (p,) mm; less what it comes to


class Heap:
    """Bodies and their places on one sheet. The last ``fixed`` of them stay where they are."""

    def __init__(self, known: Bodies, bodies: Sequence[Body], places: Floats, fixed: int = 0) -> None:
        self.known, self.fixed = known, fixed
        self.bodies, self.places = list(bodies), np.array(places, dtype=float).reshape(-1, 2)
        self._laid_out()

    def _laid_out(self) -> None:
        self.sizes = np.array([body.size for body in self.bodies]).reshape(-1, 2)
        self._parts = np.concatenate([body.parts for body in self.bodies])
        self._owner = np.repeat(np.arange(len(self.bodies)), [len(body.parts) for body in self.bodies])

    def copy(self) -> Heap:
        return Heap(self.known, self.bodies, self.places, self.fixed)

    @property
    def free(self) -> int:
        """How many of the bodies may be moved: the first."""
        return len(self.bodies) - self.fixed

    @property
    def reach(self) -> float:
        """mm from the sheet's left end to where the last piece ends."""
        return float((self.places + self.sizes)[: self.free, 0].max())

    def put(self, number: int, body: Body, place: Floats) -> None:
        self.bodies[number], self.places[number] = body, place
        self._laid_out()

    def overlaps(self) -> Floats:
        """(n, n) mm by which bodies overlap, summed over their convex parts; 0 where they do not."""
        first, second = self._near(0.0)
        found = np.zeros((len(self.bodies), len(self.bodies)))
        if len(first):
            _, _, apart = self._apart(first, second)
            np.add.at(found, (self._owner[first], self._owner[second]), np.maximum(-apart, 0.0))
        return found + found.T

    def _near(self, reach: float) -> tuple[Numbers, Numbers]:
        """Pairs of convex parts of different bodies whose boxes are less than twice a reach (mm) apart."""
        low, high = (corner[self._parts] + self.places[self._owner] for corner in self.known.boxes)
        low, high = low - reach, high + reach
        meet = (low[:, None, 0] < high[None, :, 0]) & (low[:, None, 1] < high[None, :, 1])
        first, second = np.nonzero(np.triu(meet & meet.T, 1))
        apart = self._owner[first] != self._owner[second]
        apart &= self._owner[first] < self.free  # the lower number: of two fixed ones neither moves
        return first[apart], second[apart]

    def _apart(self, first: Numbers, second: Numbers) -> tuple[Floats, Floats, Floats]:
        way = self.places[self._owner[second]] - self.places[self._owner[first]]
        return self.known.apart(self._parts[first], self._parts[second], way)

    def closed_up(self, board: Board) -> int:
        """Move all at once, as far left as they go; the inequalities there were, which are what it cost."""
        pairs = self._pairs()
        count, free = len(self.bodies), np.arange(self.free)
        # Each box ends before the reach, which is one more unknown.
        ends = np.stack([2 * free, np.full(self.free, 2 * count)], axis=1)
        table = [*pairs.table, _entries(len(pairs.most) + np.arange(self.free), ends, np.array([1.0, -1.0]))]
        most = np.concatenate([np.maximum(pairs.most, -pairs.now), -self.sizes[: self.free, 0]])
        area = self.sizes.prod(axis=1)
        price = np.zeros(2 * count + 1)
        price[0:-1:2], price[-1] = LEFTWARD * area / area.sum(), 1.0
        self._move(price, table, most, board)
        return len(most)

    def pushed_apart(self, board: Board, weights: Floats) -> int:
        """Move all at once so that they overlap least; the inequalities there were, which are what it cost.

        Parameters
        ----------
        weights : (n, n)
            What a mm of overlap between two bodies counts.
        """
        pairs = self._pairs()
        count, each = 2 * len(self.bodies), np.arange(len(pairs.most))
        # Each pair may overlap by an unknown of its own.
        table = [*pairs.table, _entries(each, (count + each)[:, None], np.array([-1.0]))]
        price = np.concatenate([np.zeros(count), weights[pairs.one, pairs.other]])
        self._move(price, table, pairs.most, board)
        return len(pairs.most)

    def _pairs(self) -> _Pairs:
        """What keeps apart all convex parts that one move may bring together."""
        first, second = self._near(STEP)
        ways, least, apart = self._apart(first, second)
        near = apart < 2 * np.sqrt(2) * STEP
        one, other = self._owner[first[near]], self._owner[second[near]]
        ways, least, apart = ways[near], least[near], apart[near]
        columns = np.stack([2 * other, 2 * other + 1, 2 * one, 2 * one + 1], axis=1)
        table = _entries(np.arange(len(one)), columns, np.concatenate([-ways, ways], axis=1))
        return _Pairs(one, other, [table], -least, least + apart)

    def _move(self, price: Floats, table: list[_Entries], most: Floats, board: Board) -> None:
        low, high = self._limits(board)
        more = len(price) - low.size  # unknowns that are no places
        rows, columns, values = (np.concatenate(each) for each in zip(*table, strict=True))
        matrix = csr_array((values, (rows, columns)), shape=(len(most), len(price)))
        solved = milp(
            price,
            bounds=Bounds(np.append(low.ravel(), np.zeros(more)), np.append(high.ravel(), np.full(more, np.inf))),
            constraints=LinearConstraint(matrix, ub=most),
        )
        if solved.x is not None:
            self.places = np.minimum(np.maximum(solved.x[: low.size].reshape(-1, 2), low), high)

    def _limits(self, board: Board) -> tuple[Floats, Floats]:
        """(n, 2) twice: where each place may go in one move."""
        low = np.maximum(self.places - STEP, board.low)
        high = np.maximum(np.minimum(self.places + STEP, board.high - self.sizes), low)
        low[self.free :] = high[self.free :] = self.places[self.free :]
        return low, high


def _entries(rows: Numbers, columns: Numbers, values: Floats) -> _Entries:
    """Some entries of each row: (r,) rows, (r, k) columns, (r, k) values or (k,) the same for all."""
    return np.repeat(rows, columns.shape[1]), columns.ravel(), np.broadcast_to(values, columns.shape).ravel()
