"""How near the boards to buy come to the best there is: random pieces on random boards, and every way to cut them.

Run: .venv/bin/python tests/bench/bench_cutting.py [CASES]. Up to seven pieces each, about a second a case. Then
larger lots, how long they take and how much of the boards becomes pieces.
"""

from __future__ import annotations

import sys
import time
from collections.abc import Sequence
from functools import cache
from itertools import combinations
from math import fsum, inf
from random import Random

from patterns.geometry.board_filling import BoardKind, Wanted
from patterns.geometry.cutting_stock import cut_boards

Sizes = tuple[tuple[float, float], ...]


@cache
def _fits(long: float, wide: float, pieces: Sizes) -> bool:
    """By every way to part the pieces with one cut, at every sum of their lengths or widths."""
    if any(a > long + 1e-6 or b > wide + 1e-6 for a, b in pieces):
        return False
    if len(pieces) <= 1:
        return True
    for many in range(1, len(pieces)):
        for places in combinations(range(len(pieces)), many):
            one = tuple(pieces[k] for k in places)
            other = tuple(pieces[k] for k in range(len(pieces)) if k not in places)
            for at in _sums([a for a, _ in one]):
                if at <= long and _fits(at, wide, one) and _fits(long - at, wide, other):
                    return True
            for at in _sums([b for _, b in one]):
                if at <= wide and _fits(long, at, one) and _fits(long, wide - at, other):
                    return True
    return False


def _sums(sizes: Sequence[float]) -> list[float]:
    sums = {0.0}
    for size in sizes:
        sums |= {one + size for one in sums}
    return sorted(sums - {0.0})


def _best(wanted: Sequence[Wanted], kinds: Sequence[BoardKind], kerf: float) -> float:
    """The least cost, by every way to share the pieces out among boards."""
    sizes = [(one.length + kerf, one.width + kerf) for one in wanted]
    sets = range(1 << len(sizes))
    alone = [inf] * len(sets)
    for some in sets[1:]:
        pieces = tuple(sorted(sizes[k] for k in range(len(sizes)) if some >> k & 1))
        fit = (kind.cost for kind in kinds if _fits(kind.length + kerf, kind.width + kerf, pieces))
        alone[some] = min(fit, default=inf)
    best = [0.0] + [inf] * (len(sets) - 1)
    for some in sets[1:]:
        first, part = some & -some, some
        while part:
            if part & first:
                best[some] = min(best[some], alone[part] + best[some ^ part])
            part = (part - 1) & some
    return best[-1]


def _small(cases: int) -> None:
    worse, left, took = 0, 0, 0.0
    for seed in range(cases):
        chance = Random(seed)
        many = chance.randint(2, 7)
        sides = [40, 50, 60, 90, 120, 150]
        wanted = [Wanted(chance.randint(3, 24) * 100.0, float(chance.choice(sides))) for _ in range(many)]
        kinds = [
            BoardKind(long, wide, long * wide / 1e5)
            for long in chance.sample([1800.0, 2400.0, 3000.0, 3600.0], 2)
            for wide in chance.sample([150.0, 175.0, 200.0], 2)
        ]
        kerf = chance.choice([0.0, 3.0])
        began = time.perf_counter()
        found = cut_boards(wanted, kinds, kerf)
        took += time.perf_counter() - began
        left += bool(found.left_out)
        worse += sum(kinds[one.kind].cost for one in found.boards) > _best(wanted, kinds, kerf) + 1e-6
        _fits.cache_clear()
    told = f"{cases} lots of up to 7 pieces: {worse} dearer than the best, {left} with pieces left out"
    print(f"{told}, {took / cases:.2f} s each")


def _large() -> None:
    kinds = [BoardKind(a, b, a * b / 1e5) for a in (2400.0, 3000.0, 3600.0, 4800.0) for b in (150.0, 200.0, 250.0)]
    for seed, many in enumerate((15, 30, 45, 70)):
        chance = Random(seed)
        wanted = [
            Wanted(round(chance.uniform(200, 1200), 1), round(chance.uniform(60, 140), 1)) for _ in range(many - 6)
        ]
        wanted += [Wanted(4400.0, 60.0)] * 4 + [Wanted(4300.0, 140.0)] * 2
        began = time.perf_counter()
        found = cut_boards(wanted, kinds, 3.2)
        took = time.perf_counter() - began
        share = fsum(one.length * one.width for one in wanted) / 1e5 / sum(kinds[one.kind].cost for one in found.boards)
        print(f"{many} pieces: {len(found.boards)} boards, {100 * share:.0f} % becomes pieces, {took:.1f} s")


if __name__ == "__main__":
    _small(int(sys.argv[1]) if len(sys.argv) > 1 else 100)
    _large()
