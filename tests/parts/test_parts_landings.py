"""Landings on a stem where the flare varies: angle, face and depth against sides that are known to rounding.

From the exact lines, told past their ends too, all that is left is the program's own surface. From a table of 13
columns to 0.01 mm it is also how the faired lines run between the figures and past the ends.
"""

from __future__ import annotations

from dataclasses import replace
from functools import cache

import numpy as np
import pytest
from boats import ExactHull, Floats, exact_hulls, unit
from developables import flaring_hulls

from patterns.hull.build import Stem
from patterns.hull.fairing import fair
from patterns.hull.planking.skin import plank
from patterns.parts.asked.end_rules import StemWork
from patterns.parts.asked.rules import Boat
from patterns.parts.ends.stem import cut_stem
from patterns.parts.part import Part

HULLS = {hull.name: hull for hull in (*exact_hulls(), *flaring_hulls())}
NEAR = {"lines": 0.01, "table": 0.05}  # mm
TURN = {"lines": 0.002, "table": 0.02}  # degrees


@cache
def stem_of(name: str, told: str) -> tuple[ExactHull, Boat, Part]:
    known = HULLS[name]
    boat = known.boat()
    widest = max(float(line.curve.point(np.array([line.curve.first]))[0, 1]) for line in known.lines())
    fore = Stem(known.stem, sided=2 * (widest + 30.0), moulded=90.0)
    boat = replace(boat, fore=fore)
    faired = fair(boat.offsets, fore=fore, aft=boat.aft, within=boat.fair_within)
    lines = known.lines() if told == "lines" else faired
    hull = plank(lines, skin=boat.skin, fore=fore, aft=boat.aft)  # type: ignore[arg-type]
    stem = next(part for part in cut_stem(hull, fore, StemWork(), aft=False) if part.title == "stem")
    assert len(stem.landings) >= 3
    return known, boat, stem


@pytest.mark.slow
@pytest.mark.parametrize("told", NEAR)
@pytest.mark.parametrize("name", HULLS)
def test_landings_lie_on_the_inside_of_a_side_whose_flare_varies(name: str, told: str) -> None:
    known, boat, stem = stem_of(name, told)
    (x0, z0), (x1, z1) = known.stem
    up = unit(np.array([x0 - x1, 0.0, z0 - z1]))
    square = np.array([up[2], 0.0, -up[0]])
    inside = boat.skin.planking[0].thickness
    heights = np.array([landing.height for landing in stem.landings])
    face: Floats = np.array(
        [
            [x1 + (z - z1) * (x0 - x1) / (z0 - z1), mark.half_face, z]
            for z, mark in zip(heights, stem.landings, strict=True)
        ]
    )
    assert np.abs(known.side.beyond(face) + inside).max() < NEAR[told]
    # The bearding line lies square behind, at the half siding, on the side as it is curved.
    deep = face * [1.0, 0.0, 1.0] + np.multiply.outer([mark.depth for mark in stem.landings], square)
    deep[:, 1] = stem.thickness / 2
    assert np.abs(known.side.beyond(deep) + inside).max() < NEAR[told]
    trace = np.cross(known.side.normal(face), up)
    angles = np.arctan2(np.abs(trace[:, 1]), np.hypot(trace[:, 0], trace[:, 2]))
    assert np.degrees([mark.angle for mark in stem.landings]) == pytest.approx(np.degrees(angles), abs=TURN[told])
    if name == "tangent developable":
        flat = [(stem.thickness / 2 - mark.half_face) / np.tan(mark.angle) for mark in stem.landings]
        assert np.abs(np.subtract(flat, [mark.depth for mark in stem.landings])).max() > 0.2  # flat sums miss it
