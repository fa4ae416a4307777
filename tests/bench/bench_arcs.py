"""How many arcs a router's edges take, how true they are and how long the fit takes.

A plain script: python tests/bench/bench_arcs.py. Aim: at most 15 ms for a 15 ft edge, within 0.02 mm.
"""

from __future__ import annotations

import sys
import time
from pathlib import Path

import numpy as np

HOME = Path(__file__).parents[2]
sys.path[:0] = [str(HOME), str(HOME / "tests" / "support")]
ROUNDS = 15
MOST_MS = 15.0


def main() -> int:
    """Print a line for every edge of every sample that is no straight line; exit 1 if the aim is missed."""
    from sample_jobs import SAMPLES, sample

    from patterns.geometry.biarcs import FIT_WITHIN, fit_arcs
    from patterns.geometry.outlines import thinned
    from patterns.shop.router.proof import deviation

    x = np.linspace(0.0, 4572.0, 1000)
    edges = [("an S 15 ft long", thinned(np.column_stack([x, 90 * np.sin(x / 900) + 2e-5 * x**2])))]
    for name in SAMPLES:
        for part in sample(name)[1].parts:
            edges.extend((f"{part.title}: {edge.name}", edge.points) for edge in part.edges if len(edge.points) > 2)
    print(f"{'edge':44} {'mm':>7} {'points':>6} {'runs':>5} {'off mm':>7} {'ms':>6}")
    met = True
    for name, points in edges:
        times = []
        for _ in range(ROUNDS):
            began = time.perf_counter()
            line = fit_arcs(points)
            times.append(time.perf_counter() - began)
        off, took = deviation(line, points), min(times) * 1e3
        print(f"{name:44} {line.length:7.0f} {len(points):6} {len(line.chords):5} {off:7.4f} {took:6.2f}")
        met &= off <= FIT_WITHIN and took <= MOST_MS
    print("met" if met else "MISSED")
    return 0 if met else 1


if __name__ == "__main__":
    sys.exit(main())
