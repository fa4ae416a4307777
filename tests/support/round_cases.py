"""The closed-form round hulls of shared/round_hulls: read as a builder writes them, and held to what is known."""

from __future__ import annotations

import json
from dataclasses import dataclass
from pathlib import Path
from typing import Any

import numpy as np
import shapely

from patterns.geometry.arrays import Floats
from patterns.geometry.cuts import station_plane
from patterns.hull.planking.skin import Hull
from patterns.hull.round.planked import plank_round
from patterns.parts.asked.rules import Boat
from patterns.parts.faired import fair_hull
from patterns.reading.boat.boat_toml import read_boat

CASES = Path(__file__).parents[2] / "shared" / "round_hulls"
NAMES = tuple(sorted(folder.name for folder in CASES.iterdir() if folder.is_dir()))


@dataclass(frozen=True)
class Case:
    boat: Boat
    hull: Hull
    expected: dict[str, Any]


def case(name: str) -> Case:
    """A case faired and planked."""
    boat = read_boat(CASES / name).boat
    hull = plank_round(fair_hull(boat), skin=boat.skin, fore=boat.fore, aft=boat.aft)
    return Case(boat, hull, json.loads((CASES / name / "expected.json").read_text()))


def known_moulds(one: Case, group: str) -> dict[float, Floats]:
    """By distance from FP, (n, 3): half-breadth, height, mm, and bevel, degrees, of the inside from sheer to rabbet."""
    table = one.boat.offsets
    return {
        float(table.from_fp[table.columns.index(key)]) if group == "moulds" else float(key): np.array(points)
        for key, points in one.expected[group].items()
    }


def off(one: Case, x: float, known: Floats) -> tuple[float, float]:
    """mm and degrees, the most that a section of the faired hull is off what is known."""
    assert one.hull.smooth is not None
    section = one.hull.smooth.section(station_plane(x, facing_aft=True), one.expected["planking"])
    points = section.cut.points[:, 1:]
    kept = known[known[:, 0] > section.half + 0.5]
    line = shapely.LineString(np.concatenate([points, section.above[:, 1:]]))
    apart = shapely.distance(shapely.points(kept[:, :2]), line)
    nearest = np.hypot(*(kept[:, None, :2] - points[None]).transpose(2, 0, 1)).argmin(axis=1)
    return float(apart.max()), float(np.abs(np.degrees(section.cut.bevels[nearest]) - kept[:, 2]).max())
