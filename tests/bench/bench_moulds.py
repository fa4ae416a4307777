"""Moulds of every closed-form case, and chined boats written as round ones: how far each point is off, and each bevel.

    python tests/bench/bench_moulds.py

Patterns are measured too: each mould's edge, lofted from the case's own folder, against the section known there.
"""

from __future__ import annotations

import sys
from pathlib import Path

import numpy as np
import shapely

sys.path.insert(0, str(Path(__file__).parent.parent / "support"))

from chined_as_round import as_round, half_section, planked
from round_cases import CASES, NAMES, case, known_moulds, off

from patterns.geometry.cuts import station_plane
from patterns.hull.round.planked import plank_round
from patterns.parts.faired import fair_hull
from patterns.parts.role import EdgeKind
from patterns.parts.whole import loft
from patterns.reading.boat.boat_toml import read_boat

CHINED = {"fennel": (100, 150, 200, 250, 300, 350), "sandlark": (100, 200, 300, 350, 450, 550)}


def of_cases() -> None:
    for name in NAMES:
        one = case(name)
        for group in ("moulds", "between"):
            found = np.array([off(one, x, known) for x, known in known_moulds(one, group).items()])
            each = " ".join(f"{apart:.2f}" for apart in found[:, 0])
            print(f"{name:16} {group:8} {found[:, 0].max():.2f} mm ({each}), bevels {found[:, 1].max():.2f} degrees")


def of_patterns() -> None:
    """How far each pattern's edge stands off the known section at its station: outside no more than the fit is off."""
    for name in NAMES:
        one = case(name)
        job = loft(read_boat(CASES / name).boat)
        out, within = [], []
        for known, part in zip(known_moulds(one, "moulds").values(), job.parts, strict=False):
            edge = next(e for e in part.edges if e.kind is EdgeKind.PLANKED and e.hand == "starboard")
            section = known[::-1, :2]
            room = shapely.Polygon([*section, (0.0, section[-1, 1]), (0.0, section[0, 1])])
            points = np.abs(edge.points) * (1, 1)
            kept = points[(points[:, 1] > section[0, 1]) & (points[:, 1] < section[-1, 1]) & (points[:, 0] > 30)]
            out.append(float(shapely.distance(shapely.points(kept), room).max()))
            within.append(float(shapely.distance(shapely.points(kept), shapely.LineString(section)).max()))
        print(f"{name:16} patterns {max(out):.2f} mm outside, {max(within):.2f} mm off: {np.round(within, 2)}")


def of_chined() -> None:
    for name, levels in CHINED.items():
        boat = read_boat(CASES.parents[1] / "samples" / name).boat
        thickness = boat.skin.planking[0].thickness
        frames = planked(boat, thickness)
        for step in (0.01, 1.0, 3.175):
            written = as_round(boat, waterlines=tuple(map(float, levels)), buttocks=(150.0, 300.0, 400.0), step=step)
            hull = plank_round(fair_hull(written), skin=written.skin, fore=written.fore, aft=written.aft)
            assert hull.smooth is not None
            found = []
            for x in boat.offsets.from_fp[1:-1].tolist():
                frame = half_section(frames, x)
                mould = hull.smooth.section(station_plane(x, facing_aft=True), thickness).cut.points[:, 1:]
                kept = shapely.points(frame[frame[:, 0] > 3.0])
                found.append(float(shapely.distance(kept, shapely.LineString(mould)).max()))
            print(f"{name:16} as a round hull, to {step:g} mm: {max(found):.2f} mm ({np.round(found, 2)})")


if __name__ == "__main__":
    of_cases()
    of_patterns()
    of_chined()
