"""Judges every page of every sample on Letter and A4: python tests/bench/bench_paper.py [SAMPLE ...].

No page of the default, whole or by halves, may be without a line to cut, prick or measure. No words may touch words or
lines. None may be set smaller than 7 point. Prints how many pages each pattern takes; ends with 1 where a page fails.
"""

from __future__ import annotations

import sys
from pathlib import Path

sys.path.insert(0, str(Path(__file__).parents[2]))
sys.path.insert(0, str(Path(__file__).parents[1] / "support"))

from pages_judged import idle, unreadable

from patterns.job.from_python import loft
from patterns.job.wishes.wishes import Wishes

SAMPLES = Path(__file__).parents[2] / "samples"


def main(names: list[str]) -> int:
    """How many pages fail."""
    faults = 0
    for name in names or sorted(folder.parent.name for folder in SAMPLES.glob("*/boat.toml")):
        for paper in ("letter", "A4"):
            for half in (False, True):
                faults += _judged(name, Wishes(paper=paper, half=half))
    print(f"{faults} faults")
    return faults


def _judged(name: str, wishes: Wishes) -> int:
    job = loft(SAMPLES / name, wishes)
    pages = job.page_set.pages
    print(f"{name}, {wishes.paper}{', half' if wishes.half else ''}: {len(pages)} pages")
    for tiling in job.tilings:
        print(f"  {'; '.join(tiling.drawing.titles)}: {len(tiling.tiles)}")
    found = [f"{page}: nothing to cut, prick or measure" for tiling in job.tilings for page in idle(tiling)]
    found += [fault for page in pages for fault in unreadable(page)]
    for fault in found:
        print(f"  FAULT {fault}")
    return len(found)


if __name__ == "__main__":
    sys.exit(1 if main(sys.argv[1:]) else 0)
