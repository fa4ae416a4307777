"""From a builder's table to moulds whose every point is known; and a chined boat written as a round one."""

from __future__ import annotations

import numpy as np
import pytest
import shapely
from chined_as_round import as_round, half_section, planked
from commanded import ROOT
from round_cases import case, known_moulds, off

from patterns.geometry.cuts import station_plane
from patterns.hull.round.planked import plank_round
from patterns.parts.faired import fair_hull
from patterns.reading.boat.boat_toml import read_boat

WITHIN = {"ellipsoid_mm": 0.6, "parabolic_mm": 0.5, "hollow_mm": 1.1}  # mm, of tables written to 1 mm
BETWEEN = {"ellipsoid_mm": 0.6, "parabolic_mm": 0.5, "hollow_mm": 1.3}
BEVELS = 1.2  # degrees


@pytest.mark.parametrize("name", WITHIN)
def test_moulds_of_a_table_in_whole_mm_are_those_of_the_formula(name: str) -> None:
    """`tests/bench/bench_moulds.py` has the others and the figures of each mould."""
    one = case(name)
    for group, within in (("moulds", WITHIN[name]), ("between", BETWEEN[name])):
        found = [off(one, x, known) for x, known in known_moulds(one, group).items()]
        assert max(apart for apart, _ in found) < within
        assert max(turned for _, turned in found) < BEVELS


def test_a_chined_boat_written_with_cuts_and_a_chine_row_gives_the_frames_of_the_chined_one() -> None:
    """Fennel, her lines cut by waterlines and buttocks to 1 mm: every frame within 1 mm of the chined boat's."""
    boat = read_boat(ROOT / "samples" / "fennel").boat
    levels = tuple(np.arange(100.0, 360.0, 50.0).tolist())
    written = as_round(boat, waterlines=levels, buttocks=(150.0, 300.0, 400.0), step=1.0)
    hull = plank_round(fair_hull(written), skin=written.skin, fore=written.fore, aft=written.aft)
    thickness = boat.skin.planking[0].thickness
    chined = planked(boat, thickness)
    assert hull.smooth is not None
    for x in boat.offsets.from_fp[1:-1].tolist():
        frame = half_section(chined, x)
        mould = hull.smooth.section(station_plane(x, facing_aft=True), thickness).cut.points[:, 1:]
        kept = frame[frame[:, 0] > 3.0]  # the halves of the bottom are planed to the centre plane
        assert shapely.distance(shapely.points(kept), shapely.LineString(mould)).max() < 1.0
