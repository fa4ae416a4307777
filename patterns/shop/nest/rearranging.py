"""Pieces that overlap, moved until none does: on a sheet one piece more, or a sheet that is made shorter.

All pieces are pushed apart at once (`pushing`). Those that still overlap are taken up one by one and laid where they
overlap least, on a coarse picture of the sheet; what two pieces that keep overlapping cost grows, so that the same two
are not laid on each other for ever (guided local search, J. Egeblad, B. Nielsen and A. Odgaard, "Fast neighborhood
search for two- and three-dimensional nesting problems", European Journal of Operational Research 183, 2007).
"""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass

import numpy as np
import shapely
from numpy.typing import NDArray
from scipy.fft import irfft2, next_fast_len, rfft2

from patterns.geometry.arrays import Floats
from patterns.shop.nest.bodies import Body
from patterns.shop.nest.pushing import Board, Heap

CELL = 12.0  # mm of the coarse picture
PAD = 2  # cells round it
APART = 5e-4  # mm of overlap that are none: much less than a body is grown too much
ROUNDS = 32  # of pushing apart and laying anew before a try is given up
AT_ONCE = 10  # pieces laid anew in one round
DEARER = 0.6  # what the worst overlap of a round adds to its own weight, of that weight
DEARER_ANYWAY = 0.2  # and every other overlap
FORGOTTEN = 0.97  # what weights shrink by where nothing overlaps any more
DEAREST = 50.0
CHANCE = 2.0  # cells of overlap that chance decides by
TURN = 60  # what laying a piece anew costs for each of its turns, counted in inequalities of a push
PUSH = 200  # what a push costs beside its inequalities
ENOUGH = 0.5  # mm gained; less ends a run of pushes together

Picture = NDArray[np.float64]


class Budget:
    """Work that may still be done, in inequalities of pushes. A count: every machine stops at the same place."""

    def __init__(self, left: float) -> None:
        self.left = left

    def spend(self, work: float) -> None:
        self.left -= work


@dataclass(frozen=True, slots=True, eq=False)
class _Seen:
    """A body in cells."""

    corner: Floats  # (2,) mm, of the cells from the body's place
    cells: NDArray[np.float32]
    spectrum: NDArray[np.complex64]


class Rearranging:
    """One sheet's heap, with the turns each piece may take there."""

    def __init__(self, heap: Heap, turns: Sequence[Sequence[Body]], board: Board, budget: Budget) -> None:
        self.heap, self.turns, self.board, self.budget = heap, tuple(turns), board, budget
        self._chance = np.random.default_rng(len(heap.bodies))
        cells = np.ceil(board.high / CELL).astype(int) + 2 * PAD
        self._size = (next_fast_len(int(cells[0]), real=True), next_fast_len(int(cells[1]), real=True))
        self._seen: dict[Body, _Seen] = {}

    def close_up(self) -> None:
        """Push all pieces left until nothing is gained."""
        reach = self.heap.reach
        while self.budget.left > 0:
            self.budget.spend(PUSH + self.heap.closed_up(self.board))
            if self.heap.reach > reach - ENOUGH:
                return
            reach = self.heap.reach

    def lay_anew(self, number: int) -> None:
        """Lay a piece where it overlaps others least."""
        self._lay_anew(number, self.board, np.ones(len(self.heap.bodies)))

    def part(self, end: float | None = None) -> bool:
        """Move pieces until none overlaps, all on the board as far as ``end`` (mm); whether that was reached."""
        board = self.board if end is None else self.board.shortened(end)
        heap, free = self.heap, self.heap.free
        if (heap.sizes[:free] > board.high - board.low).any():
            self.budget.spend(PUSH)
            return False
        heap.places[:free] = board.held(heap.places, heap.sizes)[:free]
        weights = np.ones((len(heap.bodies),) * 2)
        for _ in range(ROUNDS):
            if self.budget.left <= 0:
                return False
            self.budget.spend(PUSH + heap.pushed_apart(board, weights))
            overlaps = heap.overlaps()
            if (most := overlaps.max()) < APART:
                return True
            dearer = weights * (1 + DEARER_ANYWAY + DEARER * overlaps / most)
            weights = np.minimum(np.where(overlaps > APART, dearer, np.maximum(1.0, weights * FORGOTTEN)), DEAREST)
            for number in self._worst(overlaps, weights):
                self._lay_anew(number, board, weights[number])
        return False

    def _worst(self, overlaps: Floats, weights: Floats) -> list[int]:
        """The pieces that overlap most, about."""
        costs = (overlaps * weights).sum(axis=1)[: self.heap.free]
        costs = costs * (0.5 + self._chance.random(len(costs)))
        order = np.argsort(-costs, kind="stable")[:AT_ONCE]
        return [int(number) for number in order if costs[number] > APART]

    def _lay_anew(self, number: int, board: Board, weights: Floats) -> None:
        """Lay a piece where it overlaps others least, in any of its turns."""
        full = np.zeros(self._size)
        for other, (body, place) in enumerate(zip(self.heap.bodies, self.heap.places, strict=True)):
            if other != number:
                self._draw(full, body, place, weights[other])
        spectrum = rfft2(full.astype(np.float32))
        best, found = np.inf, None
        for body in self.turns[number]:
            self.budget.spend(TURN)
            seen = self._in_cells(body)
            low = np.ceil((board.low + seen.corner) / CELL).astype(int) + PAD
            high = np.floor((board.high - body.size + seen.corner) / CELL).astype(int) + PAD + 1
            if (low >= high).any():
                continue
            shared = irfft2(spectrum * seen.spectrum, s=self._size)[low[0] : high[0], low[1] : high[1]]
            cost = shared + CHANCE * self._chance.random(shared.shape)
            at = int(cost.argmin())
            if cost.flat[at] < best:
                best = float(cost.flat[at])
                cell = np.array(divmod(at, cost.shape[1])) + low - PAD
                found = body, board.held(cell * CELL - seen.corner, body.size)
        if found:
            self.heap.put(number, *found)

    def _draw(self, full: Picture, body: Body, place: Floats, weight: float) -> None:
        seen = self._in_cells(body)
        at = np.round((place + seen.corner) / CELL).astype(int) + PAD
        low = np.maximum(at, 0)
        cells = seen.cells[low[0] - at[0] :, low[1] - at[1] :]
        here = full[low[0] : low[0] + cells.shape[0], low[1] : low[1] + cells.shape[1]]
        here += weight * cells[: here.shape[0], : here.shape[1]]

    def _in_cells(self, body: Body) -> _Seen:
        if body not in self._seen:
            left, bottom, right, top = body.grown.bounds
            corner = np.array([left, bottom])
            count = np.ceil((np.array([right, top]) - corner) / CELL).astype(int)
            across, up = ((np.arange(n) + 0.5) * CELL + start for n, start in zip(count, corner, strict=True))
            shapely.prepare(body.grown)
            within = shapely.contains_xy(body.grown, *np.meshgrid(across, up, indexing="ij"))
            # A strip narrower than a cell can lie between all middles.
            cells = np.asarray(within if within.any() else np.ones_like(within), dtype=np.float32)
            self._seen[body] = _Seen(corner, cells, np.asarray(np.conj(rfft2(cells, s=self._size))))
        return self._seen[body]
