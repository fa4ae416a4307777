"""Boards to cut pieces from, held against a search of every cut there is."""

from __future__ import annotations

from collections.abc import Sequence
from functools import cache
from itertools import combinations, permutations, product

import numpy as np
import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from patterns.geometry.board_filling import BoardKind, Wanted
from patterns.geometry.cutting_stock import CutBoards, cut_boards, most_of

Sizes = tuple[tuple[int, int], ...]


@cache
def _can_be_cut(long: int, wide: int, pieces: Sizes) -> bool:
    """By trying a saw at every whole number along and across, and every way to part the pieces there."""
    if not pieces:
        return True
    if len(pieces) == 1:
        return pieces[0][0] <= long and pieces[0][1] <= wide
    for many in range(1, len(pieces)):
        for places in combinations(range(len(pieces)), many):
            one = tuple(pieces[k] for k in places)
            other = tuple(pieces[k] for k in range(len(pieces)) if k not in places)
            if any(_can_be_cut(at, wide, one) and _can_be_cut(long - at, wide, other) for at in range(1, long)):
                return True
            if any(_can_be_cut(long, at, one) and _can_be_cut(long, wide - at, other) for at in range(1, wide)):
                return True
    return False


def _least_cost(pieces: Sizes, kinds: Sequence[BoardKind]) -> float:
    """By trying every way to part the pieces among boards, and every kind of board for each."""

    def of_one(some: Sizes) -> float:
        fits = (kind.cost for kind in kinds if _can_be_cut(int(kind.length), int(kind.width), tuple(sorted(some))))
        return min(fits, default=np.inf)

    def of_all(rest: Sizes) -> float:
        if not rest:
            return 0.0
        first, others = rest[0], rest[1:]
        found = []
        for many in range(len(rest)):
            for places in combinations(range(len(others)), many):
                with_first = (first, *(others[k] for k in places))
                without = tuple(others[k] for k in range(len(others)) if k not in places)
                cost = of_one(with_first)
                found += [cost + of_all(without)] if np.isfinite(cost) else []
        return min(found, default=np.inf)

    return of_all(pieces)


def _cost(cut: CutBoards, kinds: Sequence[BoardKind]) -> float:
    return sum(kinds[one.kind].cost for one in cut.boards)


@pytest.mark.parametrize("seed", range(12))
def test_few_pieces_cost_no_more_than_the_best_of_every_way_to_cut_them(seed: int) -> None:
    chance = np.random.default_rng(seed)
    pieces = tuple((int(a), int(b)) for a, b in zip(chance.integers(2, 9, 5), chance.integers(1, 4, 5), strict=True))
    kinds = [BoardKind(float(a), float(b), float(a * b) ** 0.9) for a, b in ((8, 3), (10, 4), (12, 3))]
    found = cut_boards([Wanted(float(a), float(b)) for a, b in pieces], kinds, kerf=0.0)
    assert not found.left_out
    assert _cost(found, kinds) == pytest.approx(_least_cost(pieces, kinds))


def test_lengths_that_a_rule_by_size_leaves_out_find_their_boards() -> None:
    """Hand-worked: 6 + 3 + 3 and 4 + 4 + 4 fill two boards of 12; laid longest first, 6 + 4 leaves no room for a 3."""
    lengths = [6.0, 3.0, 3.0, 4.0, 4.0, 4.0]
    kind = BoardKind(12.0, 1.0, 1.0)
    assert len(cut_boards([Wanted(one, 1.0) for one in lengths], [kind], kerf=0.0).boards) == 2
    assert None not in most_of(lengths, [12.0, 12.0], 0.0)
    assert len(cut_boards([Wanted(one, 1.0) for one in lengths], [kind], kerf=0.01).boards) == 3  # a kerf too long


@pytest.mark.parametrize("seed", range(10))
def test_as_much_length_is_found_as_any_order_of_cutting_finds(seed: int) -> None:
    chance = np.random.default_rng(seed)
    lengths, rooms, between = chance.integers(20, 70, 5).astype(float), chance.integers(60, 120, 2).astype(float), 3.0
    best = 0.0
    for places in product((None, 0, 1), repeat=5):
        used = [[length for length, at in zip(lengths, places, strict=True) if at == room] for room in (0, 1)]
        if all(sum(some) + between * (len(some) - 1) <= room for some, room in zip(used, rooms, strict=True)):
            best = max(best, sum(map(sum, used)))
    found = most_of(lengths.tolist(), rooms.tolist(), between)
    assert sum(length for length, at in zip(lengths, found, strict=True) if at is not None) == pytest.approx(best)


@settings(max_examples=15, deadline=None)
@given(
    st.lists(st.tuples(st.integers(200, 2000), st.integers(40, 140)), min_size=1, max_size=12),
    st.sampled_from([0.0, 1.6, 3.2]),
)
def test_every_piece_lies_once_inside_its_board_a_kerf_from_the_others(
    sizes: list[tuple[int, int]], kerf: float
) -> None:
    wanted = [Wanted(float(a), float(b)) for a, b in sizes]
    kinds = [BoardKind(2400.0, 150.0, 3.6), BoardKind(3600.0, 200.0, 7.2)]
    found = cut_boards(wanted, kinds, kerf)
    assert sorted(laid.piece for one in found.boards for laid in one.laid) == list(range(len(sizes)))
    for one in found.boards:
        boxes = [
            (laid.left, laid.bottom, laid.left + wanted[laid.piece].length, laid.bottom + wanted[laid.piece].width)
            for laid in one.laid
        ]
        assert all(
            a >= 0 and b >= 0 and c <= kinds[one.kind].length and d <= kinds[one.kind].width for a, b, c, d in boxes
        )
        for (a, b, c, d), (e, f, g, h) in combinations(boxes, 2):
            assert max(e - c, a - g, f - d, b - h) >= kerf - 1e-6


def test_boards_that_run_out_leave_pieces_out_and_dear_ones_are_left_alone() -> None:
    piece = Wanted(1000.0, 90.0)
    two = [BoardKind(1100.0, 100.0, 1.0, count=1), BoardKind(1200.0, 100.0, 5.0, count=1)]
    assert cut_boards([piece], two, 3.0).boards[0].kind == 0
    assert cut_boards([piece] * 3, two, 3.0).left_out != ()
    assert cut_boards([Wanted(1300.0, 90.0)], two, 3.0).left_out == (0,)


def test_the_same_pieces_in_another_order_cost_the_same() -> None:
    pieces = [Wanted(1500.0, 60.0), Wanted(700.0, 60.0), Wanted(900.0, 130.0)]
    kinds = [BoardKind(2400.0, 150.0, 2.0), BoardKind(1800.0, 140.0, 1.6)]
    costs = {round(_cost(cut_boards(list(order), kinds, 3.0), kinds), 6) for order in permutations(pieces)}
    assert len(costs) == 1
