"""Pieces on one sheet pushed about all at once: together, or apart where they overlap.

Where two convex parts lie, one direction parts them best. Held to that direction, "these two do not overlap" is a linear
inequality in their places, and the best of all moves follows from a linear program; then the directions are chosen
again (Z. Li and V. Milenkovic, "Compaction and separation algorithms for non-convex polygons", European Journal of
Operational Research 84, 1995).
"""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass

import numpy as np
from scipy.optimize import linprog
from scipy.sparse import csr_array

from patterns.geometry.arrays import Floats
from patterns.shop.nest.bodies import Bodies, Body, Numbers

STEP = 40.0  # mm a piece moves at most at a time, along and up
LEFTWARD = 0.15  # of a mm of reach that all pieces a mm further left, weighed by their areas, are worth
HAIR = 1e-6  # mm; what the solver may leave


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

    def pushed(self, board: Board, weights: Floats | None) -> int:
        """Move all at once: as far left as they go or, where there are ``weights``, apart as far as may be.

        Parameters
        ----------
        weights : (n, n), optional
            What a mm of overlap between two bodies counts.

        Returns
        -------
        int
            Inequalities there were: what it cost.
        """
        first, second = self._near(STEP)
        ways, least, apart = self._apart(first, second)
        near = apart < 2 * np.sqrt(2) * STEP
        first, second, ways, least, apart = (rows[near] for rows in (first, second, ways, least, apart))
        one, other = self._owner[first], self._owner[second]
        pairs, count = len(one), len(self.bodies)
        low, high = self._limits(board)
        rows = np.repeat(np.arange(pairs), 4)
        columns = np.stack([2 * other, 2 * other + 1, 2 * one, 2 * one + 1], axis=1).ravel()
        values = np.concatenate([-ways, ways], axis=1).ravel()
        if weights is None:
            # Each box ends before the reach, which is one more unknown.
            free = np.arange(self.free)
            rows = np.concatenate([rows, np.repeat(pairs + free, 2)])
            ends = np.stack([2 * free, np.full(self.free, 2 * count)], axis=1).ravel()
            columns, values = np.concatenate([columns, ends]), np.concatenate([values, np.tile([1.0, -1.0], self.free)])
            most = np.concatenate([-(least + np.minimum(apart, 0.0)), -self.sizes[: self.free, 0]])
            area = self.sizes.prod(axis=1)
            price = np.zeros(2 * count + 1)
            price[0:-1:2], price[-1] = LEFTWARD * area / area.sum(), 1.0
            more_low, more_high = np.zeros(1), np.full(1, np.inf)
        else:
            # Each pair may overlap by an unknown of its own.
            rows = np.concatenate([rows, np.arange(pairs)])
            columns = np.concatenate([columns, 2 * count + np.arange(pairs)])
            values, most = np.concatenate([values, -np.ones(pairs)]), -least
            price = np.concatenate([np.zeros(2 * count), weights[one, other]])
            more_low, more_high = np.zeros(pairs), np.full(pairs, np.inf)
        bounds = np.stack(
            [np.concatenate([low.ravel(), more_low]), np.concatenate([high.ravel(), more_high])], axis=1
        )
        table = csr_array((values, (rows, columns)), shape=(len(most), len(price)))
        solved = linprog(price, table, most, bounds=bounds, method="highs-ds")
        if solved.x is not None:
            self.places = np.minimum(np.maximum(solved.x[: 2 * count].reshape(-1, 2), low), high)
        return len(most)

    def _limits(self, board: Board) -> tuple[Floats, Floats]:
        """(n, 2) twice: where each place may go in one move."""
        low = np.maximum(self.places - STEP, board.low)
        high = np.maximum(np.minimum(self.places + STEP, board.high - self.sizes), low)
        low[self.free :] = high[self.free :] = self.places[self.free :]
        return low, high
