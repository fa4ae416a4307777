"""A round double-ender on a keel of one siding: an invented boat, her figures by formula, written to 1 mm."""

from __future__ import annotations

from dataclasses import replace
from pathlib import Path

import numpy as np
import pytest
from shapely import LineString, Point

from patterns.geometry.arrays import run_along
from patterns.parts.part import Part
from patterns.parts.whole import Job, loft
from patterns.reading.boat.boat_toml import read_boat
from patterns.shop.fit.skin_checks import A_SHAVING, skin_cautions, skin_checks

BOAT = """[boat]
name = "Rushlight"
units = "mm"
offsets = "offsets.csv"
lines_to = "outside of planking"

[diagonals.A]
height = 520.0
angle = 30

[stem]
profile = [
    [0.0, 720.0], [28.8, 658.1], [72.0, 572.6], [144.0, 449.0],
    [230.4, 329.9], [331.2, 227.4], [446.4, 152.1], [576.0, 110.4],
    [720.0, 99.2],
]
sided = 32.0
moulded = 70.0
planks_end = "in a rabbet"
false_moulded = 25.0

[sternpost]
profile = [
    [4500.0, 600.0], [4471.2, 550.1], [4428.0, 481.3], [4356.0, 381.8],
    [4269.6, 285.9], [4168.8, 203.3], [4053.6, 142.4], [3924.0, 108.5],
    [3780.0, 99.2],
]
sided = 32.0
moulded = 70.0
planks_end = "in a rabbet"
false_moulded = 25.0

[keel]
sided = 32.0
moulded = 65.0
below = 30.0

[planking.side]
thickness = 10.0
material = "cedar"

[frames]
stations = ["1", "2", "3", "4", "5", "6", "7", "8"]
kind = "mould"
mould = "open"
sided = 18.0
side_moulded = 80.0
floor_moulded = 100.0
station_face = "end-ward"
material = "plywood"

[building]
way = "upside down"
strongback = 900.0
"""
TABLE = """Rushlight,stem,1,2,3,4,5,6,7,8,sternpost
from FP,,500,1000,1500,2000,2500,3000,3500,4000,
heights,,,,,,,,,,
sheer,,615,533,475,441,430,441,474,526,
keel,,,96,92,90,90,92,96,,
buttock 200,,373,153,114,103,103,112,145,326,
buttock 400,,,340,189,152,150,181,307,,
half-breadths,,,,,,,,,,
sheer,16,269,462,599,671,671,599,462,269,16
keel,16,,16,16,16,16,16,16,,16
waterline 180,,80,245,383,467,473,398,263,95,
waterline 270,,146,347,508,599,604,524,370,166,
waterline 360,,194,412,573,657,660,584,432,217,
waterline 440,,227,446,597,671,,599,459,250,
diagonal A,,244,433,554,612,615,564,452,266,
"""
SIDED = 32.0  # mm

pytestmark = pytest.mark.slow


@pytest.fixture(scope="module")
def job(tmp_path_factory: pytest.TempPathFactory) -> Job:
    folder: Path = tmp_path_factory.mktemp("rushlight")
    (folder / "boat.toml").write_text(BOAT, encoding="utf-8")
    (folder / "offsets.csv").write_text(TABLE, encoding="utf-8")
    return loft(read_boat(folder).boat)


def test_the_planking_ends_on_the_side_of_a_keel_whose_figures_are_all_alike(job: Job) -> None:
    """Between the figures and by the posts too: a keel is planed to one siding."""
    assert job.surface is not None
    u = np.linspace(0.0, 1.0, 101)
    assert np.abs(job.surface.skin.at(u, np.zeros(101))[:, 1] - SIDED / 2).max() < 0.2


def test_both_posts_and_the_keel_are_made(job: Job) -> None:
    titles = {part.title for part in job.parts}
    assert titles >= {"stem", "sternpost", "keel", "mould 1", "mould 8"}


def test_a_mould_that_would_push_the_planking_out_is_told_by_name_with_its_place(job: Job) -> None:
    """None of hers does; one that is sawn a hundredth too large does."""
    assert list(skin_cautions(skin_checks(job), "mm")) == []
    grown = replace(job, parts=tuple(_grown(part) if part.name == "mould 7" else part for part in job.parts))
    checks = skin_checks(grown)
    told = {one.where: one.text for one in skin_cautions(checks, "mm")}
    assert set(told) == {one.part for one in checks if one.into > A_SHAVING} == {"mould 7"}
    (one,) = [one for one in checks if one.part == "mould 7"]
    assert f"{one.deepest:.1f} mm above base" in told["mould 7"]


def _grown(part: Part) -> Part:
    edges = tuple(replace(edge, points=edge.points * (1.01, 1.0), far=edge.far * (1.01, 1.0)) for edge in part.edges)
    return replace(part, edges=edges)


def test_a_stem_that_runs_on_level_into_the_keel_runs_fair_through_its_points(job: Job) -> None:
    """By heights a batten swings from side to side of such a line: its rabbet bends one way only."""
    for title, forward in (("stem", 1.0), ("sternpost", -1.0)):
        rabbet = job.part(title).mark("rabbet line").points
        along = run_along(rabbet)
        even = np.linspace(0.0, along[-1], 40)
        x, z = (np.interp(even, along, rabbet[:, i]) for i in (0, 1))
        turns = np.diff(np.unwrap(np.arctan2(np.diff(z), forward * np.diff(x))))
        assert np.sign(turns[1:-1]).sum() * np.sign(turns[len(turns) // 2]) == len(turns) - 2
        peak = int(np.abs(turns).argmax())
        assert np.abs(turns).max() < 0.1, peak
        given = job.boat.fore.profile if title == "stem" else job.boat.aft.profile
        line = LineString(rabbet)
        assert max(line.distance(Point(place)) for place in given) < 0.3
