"""Random sets of parts on random sheets, with random clearances, grain and forbidden strips: every layout is proved.

    python tests/bench/sweep_nesting.py [first seed] [sets]

Told of each set: parts, (pieces without room, sheets) on the grid and bettered, seconds for each.
"""

from __future__ import annotations

import sys
import time
from dataclasses import replace
from pathlib import Path

import numpy as np

HOME = Path(__file__).parents[2]
sys.path[:0] = [str(HOME), str(HOME / "tests" / "support")]

from part_sets import part_set, small_part_set  # noqa: E402

from patterns.shop.nest.blanks import Blank, Layout  # noqa: E402
from patterns.shop.nest.nest_proof import prove  # noqa: E402
from patterns.shop.nest.nesting import Effort, nest_on_cells  # noqa: E402
from patterns.shop.nest.sheet_stock import Clearances, SheetGrain, SheetStock, Strip  # noqa: E402
from patterns.shop.nest.tightening import tightened  # noqa: E402


def random_set(chance: np.random.Generator, seed: int) -> list[Blank]:
    blanks = [*(part_set(seed) if chance.random() < 0.5 else []), *small_part_set(seed, chance.uniform(0.1, 1.0))]
    named = [replace(blank, name=f"{blank.name}, {n}") for n, blank in enumerate(blanks)]
    return [blank for blank in named if chance.random() < 0.7]


def random_sheets(chance: np.random.Generator) -> list[SheetStock]:
    on_hand = SheetStock(
        float(chance.uniform(900, 2500)),
        float(chance.uniform(500, 1300)),
        count=int(chance.integers(1, 3)),
        grain=list(SheetGrain)[int(chance.integers(3))],
        forbidden=(Strip(300, 0, 50, 200),) if chance.random() < 0.5 else (),
    )
    bought = SheetStock(
        2440.0,
        1220.0,
        count=int(chance.integers(1, 4)) if chance.random() < 0.5 else None,
        forbidden=(Strip(0, 0, 60, 60), Strip(1000, 500, 200, 200)) if chance.random() < 0.4 else (),
    )
    return [on_hand, bought]


def used(layout: Layout) -> tuple[int, int]:
    return len(layout.left_over), len(layout.sheets)


def main() -> None:
    first, count = int((sys.argv[1:2] or ["0"])[0]), int((sys.argv[2:3] or ["20"])[0])
    bad, longest = 0, 0.0
    for seed in range(first, first + count):
        chance = np.random.default_rng(seed)
        clear = Clearances(
            float(chance.uniform(0, 20)), float(chance.uniform(0, 14)), float(chance.choice([0.5, 10.0]))
        )
        sheets, blanks = random_sheets(chance), random_set(chance, seed)
        began = time.process_time()
        before = nest_on_cells(blanks, sheets, clear, Effort.QUICK)
        middle = time.process_time()
        after = tightened(before, blanks, clear, Effort.QUICK.work(len(blanks)))
        ended = time.process_time()
        faults = prove(after, blanks, sheets, clear)
        bad += bool(faults) or used(after) > used(before)
        longest = max(longest, ended - began)
        took = f"{middle - began:.1f} {ended - middle:.1f} s"
        print(seed, len(blanks), used(before), used(after), took, *map(str, faults), flush=True)
    print(f"{bad} of {count} faulty or worse than on the grid; the longest took {longest:.1f} s")


if __name__ == "__main__":
    main()
