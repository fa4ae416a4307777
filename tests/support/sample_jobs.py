"""Every sample boat, read and lofted once for all tests that look at it."""

from __future__ import annotations

from dataclasses import replace
from functools import cache

from commanded import ROOT

from patterns.parts.asked.rules import Building, Way
from patterns.parts.whole import Job, loft
from patterns.reading.boat.boat_toml import BoatFile, read_boat

# Lofted whole and held together by one test each; whatever else is asked of patterns is asked of the other boats.
LOFTED_ONCE = ("fennel", "marram", "sandlark", "windrow", "withywater")
FOLDERS = {folder.name: folder for folder in sorted((ROOT / "samples").iterdir()) if (folder / "boat.toml").is_file()}
SAMPLES = tuple(name for name in FOLDERS if name not in LOFTED_ONCE)


@cache
def sample(name: str) -> tuple[BoatFile, Job]:
    read = read_boat(ROOT / "samples" / name)
    return read, loft(read.boat)


@cache
def built(name: str, way: Way) -> Job:
    """A sample as it is set up one way or the other, whatever its own boat.toml says."""
    read, job = sample(name)
    top = max(float(line.height.faired.max()) for line in job.lines) + 150.0
    building = Building(way, top if way is Way.UPSIDE_DOWN else 0.0, spall=None)
    return loft(replace(read.boat, building=building))
