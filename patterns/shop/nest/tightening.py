"""A layout bettered: sheets emptied one by one into the others, then the one that ends soonest made shorter.

What a grid of cells leaves between pieces is taken up, and pieces are laid anew (`rearranging`). A layout is changed
only for a better one.
"""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from dataclasses import replace
from math import fsum

import numpy as np
import shapely

from patterns.shop.nest.blanks import DIGITS, Blank, Layout, Placement, turns
from patterns.shop.nest.bodies import Bodies, Body
from patterns.shop.nest.pushing import Board, Heap
from patterns.shop.nest.rearranging import ENOUGH, Budget, Rearranging
from patterns.shop.nest.sheet_stock import Clearances, SheetStock

INWARD = 10.0**-DIGITS  # mm kept from a board's edges: what rounding a place may take
SHORTER = 0.02  # of the length a sheet's pieces take, that is tried to be saved at first
LESS = 0.7  # a try that fails is followed by one for so much of that
LEAST = 0.003  # of that length
DENSE = 0.85  # of a sheet's area that grown pieces hardly ever fill: more is not tried
EMPTYING = 0.5  # of the work goes into emptying sheets, at most


def tightened(layout: Layout, blanks: Sequence[Blank], clear: Clearances, work: float) -> Layout:
    """The same pieces on as many sheets or fewer, the sheet that ends soonest ending sooner if that can be.

    Parameters
    ----------
    work : float
        How much may be done, as `rearranging.Budget` counts.
    """
    if not layout.placements:
        return layout
    known = Bodies(clear.gap)
    by_name = {blank.name: blank for blank in blanks}
    sheets = [
        _Filled(sheet, [p for p in layout.placements if p.sheet == number], by_name, known, clear)
        for number, sheet in enumerate(layout.sheets)
    ]
    first = Budget(EMPTYING * work)
    missing = _emptied(sheets, [by_name[name] for name in layout.left_over], first)
    last = max(sheets, key=lambda sheet: sheet.offcut)
    last.shorten(Budget((1 - EMPTYING) * work + max(first.left, 0.0)))
    return Layout(
        tuple(sheet.stock for sheet in sheets),
        tuple(replace(place, sheet=number) for number, sheet in enumerate(sheets) for place in sheet.placements()),
        tuple(blank.name for blank in missing),
    )


class _Filled:
    """A sheet and the pieces on it."""

    def __init__(
        self,
        stock: SheetStock,
        placements: Sequence[Placement],
        by_name: Mapping[str, Blank],
        known: Bodies,
        clear: Clearances,
    ) -> None:
        self.stock, self.known, self.clear = stock, known, clear
        self.blanks = [by_name[placement.name] for placement in placements]
        bodies = [known.body(by_name[p.name].shape, p.turn) for p in placements]
        places = [(p.left, p.bottom) for p in placements]
        strips = [(known.body(shapely.box(*strip.box), 0.0), strip.box[:2]) for strip in stock.forbidden]
        self.heap = Heap(
            known,
            [*bodies, *(body for body, _ in strips)],
            np.array([*places, *(corner for _, corner in strips)]),
            len(strips),
        )
        edge = clear.margin + INWARD
        self.board = Board(np.full(2, edge), np.array([stock.length, stock.width]) - edge)

    @property
    def area(self) -> float:
        """mm2 of its pieces, grown."""
        return fsum(body.grown.area for body in self.heap.bodies[: self.heap.free])

    @property
    def offcut(self) -> float:
        """mm2 right across the sheet that no piece reaches."""
        return (self.stock.length - self.heap.reach) * self.stock.width

    def turned(self, blank: Blank) -> list[Body]:
        return [self.known.body(blank.shape, turn) for turn in turns(blank, self.stock, self.clear.off_grain)]

    def taken_in(self, blank: Blank, budget: Budget) -> bool:
        """Whether one more piece has found room, all others moved as they must be."""
        fits = [body for body in self.turned(blank) if (body.size <= self.board.high - self.board.low).all()]
        if not fits or not self.may_hold(self.area + fits[0].grown.area):
            return False
        places = np.concatenate([[self.board.low], self.heap.places])
        heap = Heap(self.known, [fits[0], *self.heap.bodies], places, self.heap.fixed)
        blanks = [blank, *self.blanks]
        moved = self._rearranging(heap, blanks, self.board, budget)
        moved.lay_anew(0)
        if not moved.part():
            return False
        self.heap, self.blanks = heap, blanks
        return True

    def taken_over(self, other: _Filled, budget: Budget) -> bool:
        """Whether all pieces of another sheet have found room: at first they lie beyond this sheet's end."""
        if other.stock.width > self.stock.width or not self.may_hold(self.area + other.area):
            return False
        of_other = other.heap.free
        beyond = other.heap.places[:of_other] + np.array([self.stock.length, 0.0])
        heap = Heap(
            self.known,
            [*other.heap.bodies[:of_other], *self.heap.bodies],
            np.concatenate([beyond, self.heap.places]),
            self.heap.fixed,
        )
        blanks = [*other.blanks, *self.blanks]
        turns_kept = all(set(self.turned(blank)) == set(other.turned(blank)) for blank in other.blanks)
        board = self.board.shortened(heap.reach + INWARD)
        moved = self._rearranging(heap, blanks, board, budget)
        if not turns_kept or not _shortened(moved, self.board.high[0]):
            return False
        self.heap, self.blanks = moved.heap, blanks
        return True

    def may_hold(self, area: float) -> bool:
        return area <= DENSE * self.stock.length * self.stock.width

    def shorten(self, budget: Budget) -> None:
        """Let the pieces end as soon as may be."""
        moved = self._rearranging(self.heap.copy(), self.blanks, self.board, budget)
        if moved.part():
            _shortened(moved)
            self.heap = moved.heap

    def _rearranging(self, heap: Heap, blanks: Sequence[Blank], board: Board, budget: Budget) -> Rearranging:
        return Rearranging(heap, [self.turned(blank) for blank in blanks], board, budget)

    def keep(self, stay: Sequence[Blank]) -> None:
        """Leave only these of its pieces."""
        names = {blank.name for blank in stay}
        kept = [n for n, blank in enumerate(self.blanks) if blank.name in names]
        strips = range(self.heap.free, len(self.heap.bodies))
        all_kept = [*kept, *strips]
        bodies = [self.heap.bodies[n] for n in all_kept]
        self.heap = Heap(self.known, bodies, self.heap.places[all_kept], self.heap.fixed)
        self.blanks = [self.blanks[n] for n in kept]

    def placements(self) -> list[Placement]:
        return [
            Placement(blank.name, 0, body.turn, round(float(left), DIGITS), round(float(bottom), DIGITS))
            for blank, body, (left, bottom) in zip(self.blanks, self.heap.bodies, self.heap.places, strict=False)
        ]


def _shortened(moved: Rearranging, goal: float = 0.0) -> bool:
    """Let pieces that do not overlap end as soon as may be; whether they end before a goal, where the work stops."""
    moved.close_up()
    best, share = moved.heap.copy(), SHORTER
    while best.reach > goal and moved.budget.left > 0:
        longest = best.sizes[: best.free, 0].max() + moved.board.low[0]
        if best.reach - longest < ENOUGH:  # as short as its longest piece
            break
        if moved.part(max(goal, longest, best.reach * (1 - share))):
            moved.close_up()
            best = moved.heap.copy()
        else:
            share = max(share * LESS, LEAST)
            moved.heap = best.copy()
    moved.heap = best
    return best.reach <= goal


def _emptied(sheets: list[_Filled], missing: Sequence[Blank], budget: Budget) -> list[Blank]:
    """Bring pieces without room, then those of the emptiest sheet, onto the other sheets; what still has no room."""
    left = [blank for blank in _largest_first(missing) if not _taken_in(sheets, blank, budget)]
    while len(sheets) > 1 and budget.left > 0:
        # Sheets of the kinds that come first, what is on hand, stay in use.
        emptiest = min((sheet for sheet in sheets if sheet.stock == sheets[-1].stock), key=lambda sheet: sheet.area)
        others = sorted((sheet for sheet in sheets if sheet is not emptiest), key=lambda sheet: sheet.area)
        if not any(sheet.taken_over(emptiest, budget) for sheet in others):
            stay = [blank for blank in _largest_first(emptiest.blanks) if not _taken_in(others, blank, budget)]
            if stay:
                emptiest.keep(stay)
                break
        sheets.remove(emptiest)
    return left


def _largest_first(blanks: Sequence[Blank]) -> list[Blank]:
    return sorted(blanks, key=lambda blank: (-blank.shape.area, blank.name))


def _taken_in(sheets: Sequence[_Filled], blank: Blank, budget: Budget) -> bool:
    return any(sheet.taken_in(blank, budget) for sheet in sorted(sheets, key=lambda sheet: sheet.area))
