"""How well misprints are found. A plain script: python tests/bench/bench_suspects.py [boats] [first seed]

Random fair boats of two unlike kinds (tests/fair_tables.py), 2.4 to 7 m, 5 to 13 stations, in eighths, sixteenths, mm
and tenths of a cm. Clean tables: no cell may be accused. Then one fault of each kind in each boat, larger than four
steps of the notation: the right cell must be named first, with the right cause. A cause counts as right where its kind
is, or where what was meant is given exactly: a 5 read as 6 inches is an inch too much as well.
"""

from __future__ import annotations

import sys
import time
from collections import defaultdict
from pathlib import Path

import numpy as np

HOME = Path(__file__).parents[2]
sys.path[:0] = [str(HOME), str(HOME / "tests" / "support")]

from fair_tables import KINDS, Plan, Seeded, by_bending, by_pins, draw_plan, seed_fault  # noqa: E402

from patterns.hull.doubts.judged_rows import Suspect  # noqa: E402
from patterns.hull.doubts.suspects import suspects  # noqa: E402

TRIES = 40
"""Cells drawn for a fault of a kind before the boat is said to have room for none."""


def main(boats: int = 150, first: int = 500_000) -> int:
    met = True
    for shaped in (by_bending, by_pins):
        began = time.perf_counter()
        plans = [draw_plan(first + i, shaped) for i in range(boats)]
        print(f"\n{shaped.__name__}: {boats} boats, seeds from {first}")
        met &= _clean(plans)
        met &= _faulty(plans, first)
        print(f"took {time.perf_counter() - began:.0f} s")
    return 0 if met else 1


def _clean(plans: list[Plan]) -> bool:
    accused = [found for plan in plans if (found := suspects(plan.offsets, fore=plan.fore, aft=plan.aft))]
    share = 1 - len(accused) / len(plans)
    print(f"clean tables with no cell accused: {share:.1%} of {len(plans)}, aim 99 %")
    for found in accused[:5]:
        print("   ", [(one.place, round(one.off, 1), round(one.odds, 1), one.cause) for one in found])
    return share >= 0.99


def _faulty(plans: list[Plan], first: int) -> bool:
    counts: dict[tuple[str, str], list[tuple[bool, bool, bool]]] = defaultdict(list)
    for kind in KINDS:
        for number, plan in enumerate(plans):
            rng = np.random.default_rng([first + number, list(KINDS).index(kind)])
            seeded = next((one for _ in range(TRIES) if (one := seed_fault(plan, kind, rng))), None)
            if seeded is None:
                continue
            found = suspects(seeded.offsets, fore=plan.fore, aft=plan.aft, most=1)
            result = _judged(plan, seeded, found)
            for group in _groups(plan, seeded):
                counts[group].append(result)
    last = ""
    for (group, name), results in sorted(counts.items(), key=lambda item: item[0][0]):
        if group != last:
            print(f"  by {group:10}                named first   right cause   of faults")
            last = group
        named, cause, _ = np.mean(results, axis=0)
        print(f"    {name:28} {named:9.1%} {cause:13.1%} {len(results):11d}")
    named, cause, _ = np.mean(counts["all", "all"], axis=0)
    return bool(named >= 0.95 and cause >= 0.8)


def _judged(plan: Plan, seeded: Seeded, found: tuple[Suspect, ...]) -> tuple[bool, bool, bool]:
    """Named first; with the right cause; anything accused at all."""
    if not found:
        return False, False, False
    first = found[0]
    named = (first.line, first.view) == (seeded.line, seeded.view) and first.column in seeded.columns
    cause = named and (first.slip in seeded.slips or _meant(plan, first))
    return named, cause, True


def _meant(plan: Plan, first: Suspect) -> bool:
    """Whether what a suspect is said to have meant is what the clean table has there."""
    column = plan.offsets.columns.index(first.column)
    if first.view == "station":
        truth = plan.offsets.from_fp[column]
    else:
        block = plan.offsets.heights if first.view == "height" else plan.offsets.half_breadths
        truth = next(row for row in block if row.name == first.line).values[column]
    return first.meant is not None and abs(first.meant - float(truth)) < plan.offsets.rounding / 2


def _groups(plan: Plan, seeded: Seeded) -> list[tuple[str, str]]:
    columns = plan.offsets.columns
    nearest = min(min(columns.index(c), len(columns) - 1 - columns.index(c)) for c in seeded.columns)
    place = ("end", "next to end")[nearest] if nearest < 2 else "inside"
    steps = seeded.size / plan.offsets.rounding
    size = next(f"{low} to {high} steps" for low, high in ((4, 8), (8, 16), (16, 64), (64, 10**9)) if steps <= high)
    stations = f"{(len(columns) - 2 - 5) // 3 * 3 + 5} stations or up to 2 more"
    return [
        ("all", "all"),
        ("kind", seeded.kind),
        ("view", seeded.view),
        ("place", place),
        ("size", size),
        ("notation", f"{plan.notation.style} of {plan.notation.step:.3f} mm"),
        ("stations", stations),
    ]


if __name__ == "__main__":
    sys.exit(main(*map(int, sys.argv[1:])))
