"""Sets each frame of each sample out by so much, and measures what becomes of lines, corners and panels."""

from __future__ import annotations

import sys
from pathlib import Path

import numpy as np

ROOT = Path(__file__).parents[2]
sys.path.insert(0, str(ROOT))

from patterns.errors import PatternsError  # noqa: E402
from patterns.parts.asked.built_rules import BuiltAsked, BuiltFigure, Measure  # noqa: E402
from patterns.parts.whole import Job, loft  # noqa: E402
from patterns.reading.boat.boat_toml import read_boat  # noqa: E402
from patterns.shop.built.as_built import as_built  # noqa: E402
from patterns.shop.fit.fit_report import fit_report  # noqa: E402
from patterns.shop.layout.setting_up import ON_CENTRE, Standing, setting_up  # noqa: E402

FULL, UP = 6.0, 2.0  # mm


def main() -> None:
    """One line a frame: how far lines moved past two stations, corners missed, and panels miss frames."""
    for folder in sorted((ROOT / "samples").iterdir()):
        if sys.argv[1:] and folder.name not in sys.argv[1:]:
            continue
        job = loft(read_boat(folder).boat)
        for frame in setting_up(job).frames:
            try:
                print(f"{folder.name:<12} {frame.name:<10} {_judged(job, frame)}", flush=True)
            except PatternsError as error:
                print(f"{folder.name:<12} {frame.name:<10} refused: {error}", flush=True)


def _judged(job: Job, frame: Standing) -> str:
    place = frame.name.partition(" ")[2]
    figures = []
    for corner in frame.corners:
        two = corner.half > ON_CENTRE
        for side in ("port", "starboard") if two else ("",):
            figures.append(BuiltFigure("", place, corner.line, side, Measure.HEIGHT, corner.height + UP))
            if two:
                figures.append(BuiltFigure("", place, corner.line, side, Measure.HALF_BREADTH, corner.half + FULL))
    built = as_built(job, BuiltAsked("built.csv", tuple(figures), 1.6, ()))
    stations = sorted(x for _, x in job.boat.offsets.stations)
    near = int(np.abs(np.array(stations) - frame.running).argmin())
    low = stations[near - 2] if near >= 2 else -np.inf
    high = stations[near + 2] if near + 2 < len(stations) else np.inf
    beyond = 0.0
    for was, now in zip(job.lines, built.job.lines, strict=True):
        x = np.linspace(was.curve.first, was.curve.last, 1500)
        moved = np.linalg.norm(now.curve.point(x) - was.curve.point(x), axis=1)
        beyond = max(beyond, float(moved[(x < low) | (x > high)].max(initial=0.0)))
    now = next(one for one in setting_up(built.job).frames if one.name == frame.name)
    missed = max(
        max(abs(b.half - a.half - (FULL if a.half > ON_CENTRE else 0.0)), abs(b.height - a.height - UP))
        for a, b in zip(frame.corners, now.corners, strict=True)
    )
    fits = [max((one.gap for one in fit_report(each).meetings), default=0.0) for each in (job, built.job)]
    return f"beyond two stations {beyond:.4f}, corners {missed:.3f}, edges meet {fits[0]:.3f} -> {fits[1]:.3f} mm"


if __name__ == "__main__":
    main()
