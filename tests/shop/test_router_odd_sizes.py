"""Boats of sizes no sample has, each cut whole: what is scored lies in the wood, and every edge has its line."""

from __future__ import annotations

from dataclasses import replace
from pathlib import Path

import numpy as np
import pytest
import shapely
from boat_folders import changed
from boats import oblique_cone, reskinned
from sample_jobs import sample

from patterns.drawing.engraving import engraved, engraved_reach
from patterns.geometry.arc_lines import ArcLine, straight
from patterns.geometry.biarcs import LEAST_RUN
from patterns.geometry.outlines import met
from patterns.parts.asked.fitting_rules import FittingsAsked
from patterns.parts.whole import loft
from patterns.reading.boat.boat_toml import read_boat
from patterns.shop.router.contours import Contours, Scored
from patterns.shop.router.proof import faults_of
from patterns.shop.router.router_lettering import BEVEL_SIZE
from patterns.shop.router.router_parts import ready_to_cut
from patterns.shop.router.router_rules import RouterRules

RADIUS = 'crown     = "2 1/2 in"'
KNEE = "along_side    = 160\nalong_transom = 130\nthickness     = 18"
KEEL_BATTEN = "[keel_batten]\nsided = 100\nmoulded = 18\n"


def cut(folder: Path) -> tuple[Contours, ...]:
    read = read_boat(folder)
    return ready_to_cut(loft(read.boat).to_cut, read.router, boat=read.boat.name, show=read.boat.show)


@pytest.mark.slow
@pytest.mark.parametrize("radius", ["15 ft 4 in", "16 ft", "18 ft", "20 ft"])
def test_a_bowed_transom_is_scored_in_its_wood(tmp_path: Path, radius: str) -> None:
    made = cut(changed("saltmeadow", tmp_path, {RADIUS: f'{RADIUS}\nradius = "{radius}"'}))
    assert any("transom" in one.title for one in made)


@pytest.mark.slow
def test_a_quarter_knee_hollowed_deep_is_scored_in_its_wood(tmp_path: Path) -> None:
    knee = "along_side    = 515\nalong_transom = 293\nthickness     = 24\nhollow = 107"
    made = cut(changed("duckweed", tmp_path, {KNEE: knee}))
    assert any("quarter knee" in one.title for one in made)


@pytest.mark.slow
def test_a_riser_four_millimetres_deep_is_scored_in_its_wood(tmp_path: Path) -> None:
    made = cut(changed("duckweed", tmp_path, {"moulded  = 35": "moulded  = 4"}))
    assert any("riser" in one.title for one in made)


@pytest.mark.slow
@pytest.mark.parametrize("sided", [50.8, 63.5, 74.88, 76.2])
def test_thick_frames_with_limbers_are_cut(tmp_path: Path, sided: float) -> None:
    made = cut(changed("duckweed", tmp_path, {"sided         = 18": f"sided         = {sided}"}))
    assert all(len(one.outer.points) > 3 for one in made)


@pytest.mark.slow
def test_one_thick_frame_over_a_keel_batten_is_cut(tmp_path: Path) -> None:
    one = {'kind     = "sheet"': 'kind     = "sheet"\nsided    = "74.88 mm"'}
    made = cut(changed("duckweed", tmp_path, one, more=KEEL_BATTEN))
    [frame] = [one for one in made if one.title == "frame 4"]
    assert frame.thickness == 74.88


def _leaves_the_wood_by_its_chords(part: Contours) -> bool:
    """Whether a line scored on a part would lie beside the wood if its points were joined straight."""
    chords = [shapely.LineString(score.line.points) for score in part.scored]
    return not all(part.wood.buffer(LEAST_RUN).contains(chord) for chord in chords)


@pytest.mark.slow
@pytest.mark.parametrize("thickness", [3.0, 5.0, 6.5, 9.0])
def test_thin_sides_on_a_smooth_oblique_cone_are_scored_in_their_wood(thickness: float) -> None:
    """The far face's edge lies so close beside a hollow edge, in so few arcs, that chords of it leave the wood."""
    boat = oblique_cone().boat(rounding=1e-4)
    job = loft(replace(boat, frames=None, skin=reskinned(boat.skin, side=thickness / boat.skin.planking[0].thickness)))
    panels = [part for part in job.parts if part.name == "side panel"]
    made = ready_to_cut(panels, RouterRules(), boat="Cone", show="mm")
    assert [list(faults_of(panel)) for panel in made] == [[], []]
    assert any(map(_leaves_the_wood_by_its_chords, made)) or thickness > 3.0


@pytest.mark.slow
@pytest.mark.parametrize(("name", "narrowed"), [("saltmeadow", 0.75), ("duckweed", 0.75)])
def test_a_chine_log_under_a_narrowed_sheer_is_scored_in_its_wood(name: str, narrowed: float) -> None:
    read, _ = sample(name)
    breadths = tuple(
        replace(row, values=row.values * narrowed) if row.name == "sheer" else row
        for row in read.boat.offsets.half_breadths
    )
    offsets = replace(read.boat.offsets, half_breadths=breadths)
    job = loft(replace(read.boat, offsets=offsets, frames=None, fitted=FittingsAsked(), joints=None))
    logs = [part for part in job.parts if part.name == "chine log"]
    made = ready_to_cut(logs, read.router, boat=name, show="mm")
    assert [list(faults_of(log)) for log in made] == [[], []]
    assert any(map(_leaves_the_wood_by_its_chords, made))


CELL = {
    "chine height": ("reedling", "chine,0-6-2,0-5-0", "chine,0-6-2,0-9-1"),
    "chine half-breadth": ("duckweed", "486,493.5", "486,619"),
    "chine height at the sternpost": ("reedling", "0-1-5,0-3-3,0-5-0", "0-1-5,0-1-0,0-5-0"),
}


LOG = """[chine_log]
sided    = "3/4 in"
moulded  = "1 1/4 in"
drain    = 5
material = "white oak"
"""


@pytest.mark.slow
@pytest.mark.parametrize("cell", CELL)
def test_a_boat_creased_by_a_misprinted_cell_is_cut_without_jogs(tmp_path: Path, cell: str) -> None:
    # In the crease an edge's two faces lie within a few hundredths of each other, and the cut changes between them.
    sample, right, wrong = CELL[cell]
    # The crease at the sternpost is a hollow, in which no log lies.
    boat = changed(sample, tmp_path, {LOG: ""} if cell.endswith("sternpost") else {})
    table = boat / "offsets.csv"
    assert right in table.read_text(encoding="utf-8")
    table.write_text(table.read_text(encoding="utf-8").replace(right, wrong), encoding="utf-8")
    assert min(one.outer.chords.min() for one in cut(boat)) >= LEAST_RUN


@pytest.mark.slow
def test_a_stem_whose_foot_is_far_below_the_chine_is_cut(tmp_path: Path) -> None:
    made = cut(changed("reedling", tmp_path, {'["1-3-3", "0-6-2"]': '["270 mm", "65 mm"]'}))
    assert min(score.line.chords.min() for one in made for score in one.scored) >= LEAST_RUN


def _hollow(scored: ArcLine) -> Contours:
    """A board whose lower edge is hollowed 40 mm on an arc, with a line scored on it."""
    outer = ArcLine(np.array([[0.0, 0], [400, 0], [400, 80], [0, 80]]), np.array([-0.2, 0, 0, 0]), closed=True)
    return Contours(
        "board", "board", "none", "board", 9.0, "oak", "upper face", 1, outer, scored=(Scored("mark", scored),)
    )


def test_an_arc_scored_beside_a_hollow_edge_is_in_the_wood_though_its_chord_is_not() -> None:
    arc = ArcLine(np.array([[10.0, 6], [390, 6]]), np.array([-0.2, 0]), closed=False)
    part = _hollow(arc)
    assert not shapely.contains(part.wood, shapely.LineString(arc.points))
    assert not list(faults_of(part))


def test_a_chord_across_a_hollow_edge_is_beside_the_wood() -> None:
    assert list(faults_of(_hollow(straight(np.array([[10.0, 6], [390, 6]]))))) == [
        "something is scored beside the wood"
    ]


def test_an_arc_that_leaves_the_wood_between_ends_in_it_is_found() -> None:
    arc = ArcLine(np.array([[10.0, 60], [390, 60]]), np.array([-0.2, 0]), closed=False)
    assert list(faults_of(_hollow(arc))) == ["something is scored beside the wood"]


def test_lines_that_meet_twice_meet_where_asked() -> None:
    line = np.array([[0.0, 0], [0, 10], [10, 10], [10, 0]])
    other = np.array([[-5.0, 5], [15, 5]])
    first, _ = met(line, other)
    last, rest = met(line, other, nearest=np.array([10.0, 0.0]))
    assert first[-1].tolist() == [0.0, 5.0]
    assert last[-1].tolist() == [10.0, 5.0]
    assert rest.tolist() == [[10.0, 5.0], [15.0, 5.0]]


def test_bevels_engraved_on_a_slender_chine_log_keep_within_its_wood() -> None:
    """A slash and a degree sign reach past the height of the letters they stand with."""
    words = '12.5° standing 3/32"'
    reach = engraved_reach(words, BEVEL_SIZE)
    strokes, _ = engraved(words, (0.0, 0.0), size=BEVEL_SIZE)
    assert np.abs(strokes[:, 1]).max() <= max(reach, BEVEL_SIZE / 2) + 1e-6
    height = 2 * max(reach, BEVEL_SIZE / 2)
    assert height > BEVEL_SIZE
