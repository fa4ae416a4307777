"""Sheets our nesting needs, side by side with the parts' bare area and with a strip-packing library.

    python tests/bench/bench_nesting.py [quick|hard] [seconds of the library for a sheet, 0 for none] [sets] [small]

With ``small``, many small parts that all find room on one sheet: how much of it they take.

The library (optional extra ``nest``) fills one endless strip, so it is given the parts sheet by sheet, largest first:
a part stays on a sheet if the library still finds a strip no longer than it. Same gap, margin, grain and quarter turns.
Its outcome hangs on the clock and differs a little from run to run.
"""

from __future__ import annotations

import sys
import time
from collections.abc import Sequence
from pathlib import Path

import numpy as np

HOME = Path(__file__).parents[2]
sys.path[:0] = [str(HOME), str(HOME / "tests" / "support")]

from part_sets import part_set, small_part_set  # noqa: E402

from patterns.shop.nest.blanks import Blank, Layout, laid  # noqa: E402
from patterns.shop.nest.nest_proof import prove  # noqa: E402
from patterns.shop.nest.nesting import Effort, nest  # noqa: E402
from patterns.shop.nest.sheet_stock import Clearances, SheetStock  # noqa: E402

SHEET = SheetStock(2440.0, 1220.0)
AREA = SHEET.length * SHEET.width
CLEAR = Clearances(margin=10.0, gap=8.0)
SHARE = 0.6  # of a sheet that small parts come to
FULL = 0.97  # share of a sheet no set of parts with gaps between them reaches: not worth a trial


def sheets_used(layout: Layout, blanks: Sequence[Blank]) -> float:
    """Whole sheets, and of the one that ends soonest the length used."""
    shapes = {blank.name: blank.shape for blank in blanks}
    ends = [
        max(laid(shapes[p.name], p).bounds[2] for p in layout.placements if p.sheet == number) + CLEAR.margin
        for number in range(len(layout.sheets))
    ]
    return len(ends) - 1 + min(ends) / SHEET.length


def strip_length(blanks: Sequence[Blank], seconds: int) -> float:
    """mm of sheet the library needs for all of them."""
    import spyrrow

    items = [
        spyrrow.Item(
            str(number),
            [(float(x), float(y)) for x, y in np.asarray(blank.shape.exterior.coords)[:-1]],
            1,
            [0, 90, 180, 270] if blank.grain is None else [0, 180],
        )
        for number, blank in enumerate(blanks)
    ]
    # The library keeps its gap from the strip's edges as well.
    extra = 2 * (CLEAR.gap - CLEAR.margin)
    config = spyrrow.StripPackingConfig(
        min_items_separation=CLEAR.gap, total_computation_time=seconds, num_workers=1, seed=1
    )
    return float(spyrrow.StripPackingInstance("sheet", SHEET.width + extra, items).solve(config).width - extra)


def library_sheets(blanks: Sequence[Blank], seconds: int) -> float:
    rest = sorted(blanks, key=lambda blank: -blank.shape.area)
    ends: list[float] = []
    while rest:
        on_sheet: list[Blank] = []
        later: list[Blank] = []
        for blank in rest:
            trial = [*on_sheet, blank]
            crowded = sum(one.shape.area for one in trial) > FULL * AREA
            length = np.inf if crowded else strip_length(trial, seconds if len(trial) > 2 else 1)
            if length <= SHEET.length:
                on_sheet, end = trial, length
            else:
                later.append(blank)
        ends.append(end)
        rest = later
    return len(ends) - 1 + min(ends) / SHEET.length


def main() -> None:
    effort = Effort[(sys.argv[1:2] or ["quick"])[0].upper()]
    seconds = int((sys.argv[2:3] or ["2"])[0])
    count = int((sys.argv[3:4] or ["20"])[0])
    small = sys.argv[4:5] == ["small"]
    ratios = []
    print("set  parts  bare area  ours (sheets)  seconds  library  ours/library")
    for seed in range(count):
        blanks = small_part_set(seed, SHARE) if small else part_set(seed)
        began = time.process_time()
        layout = nest(blanks, [SHEET], CLEAR, effort)
        took = time.process_time() - began
        assert not prove(layout, blanks, [SHEET], CLEAR)
        ours, bare = sheets_used(layout, blanks), sum(blank.shape.area for blank in blanks) / AREA
        theirs = np.nan
        if seconds:
            theirs = strip_length(blanks, seconds) / SHEET.length if small else library_sheets(blanks, seconds)
        ratios.append(ours / theirs)
        print(f"{seed:3}  {len(blanks):5}  {bare:9.2f}  {ours:13.2f}  {took:7.2f}  {theirs:7.2f}  {ratios[-1]:12.2f}")
    if seconds:
        within = ", ".join(f"within {share:.0%}: {sum(r <= 1 + share for r in ratios)}" for share in (0.05, 0.07, 0.15))
        print(f"ours/library: mean {np.mean(ratios):.3f}, most {max(ratios):.3f}; {within} of {count}")


if __name__ == "__main__":
    main()
