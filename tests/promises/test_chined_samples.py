"""The samples of every kind of chined hull: lofted whole, folded back, and held together."""

from __future__ import annotations

import re
from dataclasses import replace
from itertools import pairwise
from pathlib import Path

import numpy as np
import pytest
import shapely
from commanded import ROOT
from shapely import Polygon

from patterns.errors import ShapeError
from patterns.geometry.cuts import station_plane
from patterns.hull.build import Joint, Transom
from patterns.hull.planking.sections import cut_inside
from patterns.hull.planking.skin import TWIST_TOLD, plank
from patterns.parts.asked.rules import FramePlace
from patterns.parts.faired import fair_lines
from patterns.parts.in_the_boat import in_the_boat
from patterns.parts.panels.panels import panels
from patterns.parts.role import Role
from patterns.parts.stands import stand_frame
from patterns.parts.whole import Job, loft
from patterns.reading.boat.boat_toml import read_boat
from patterns.shop.fit.fit_report import fit_report
from patterns.shop.router.router_parts import contours_of
from patterns.shop.router.router_rules import RouterRules

KINDS = {
    "fennel": ("side", "bottom"),  # V bottom, two transoms
    "marram": ("side", "strake 2", "strake 3", "bottom"),  # lapped
    "sandlark": ("side", "bottom"),  # V bottom on a stem
    "windrow": ("side", "strake 2", "bottom"),  # two chines, double-ended
}
MEETS = 0.15  # mm; what battens sprung through rounded figures leave at the ends of a seam


@pytest.fixture(scope="module", params=sorted(KINDS))
def job(request: pytest.FixtureRequest) -> Job:
    return loft(read_boat(ROOT / "samples" / request.param).boat)


@pytest.mark.slow
def test_every_strake_has_a_panel_of_each_hand_or_one_that_lies_athwart(job: Job) -> None:
    panels = [part for part in job.parts if part.role is Role.PANEL]
    names = KINDS[job.boat.name.lower()]
    assert tuple(dict.fromkeys(part.strake for part in panels)) == names
    for strake in job.hull.strakes:
        hands = {part.hand for part in panels if part.strake == strake.name}
        assert hands == ({"none"} if strake.athwart else {"port", "starboard"})


@pytest.mark.slow
def test_what_meets_in_the_boat_meets_when_the_patterns_are_folded_back(job: Job) -> None:
    report = fit_report(job)
    assert report.meetings
    assert max(meeting.gap for meeting in report.meetings) < MEETS


@pytest.mark.slow
def test_no_strake_is_twisted_so_that_a_sheet_fights(job: Job) -> None:
    for strake in job.hull.paired:
        assert np.degrees(job.hull.worst_twist(strake)[0]) < 3.0


@pytest.mark.slow
def test_the_timbers_of_a_sawn_frame_make_up_the_whole_of_it_and_overlap_nowhere(job: Job) -> None:
    for title in {timber.of for timber in job.timbers}:
        whole = Polygon(job.part(title).outline)
        timbers = [Polygon(one.outline) for one in job.timbers if one.of == title]
        assert sum(one.area for one in timbers) == pytest.approx(whole.area, rel=1e-6)
        assert shapely.union_all(timbers).symmetric_difference(whole).area < 1e-6 * whole.area


@pytest.mark.slow
def test_every_part_is_closed_wood_in_its_place(job: Job) -> None:
    wood = in_the_boat(job)
    whole = {timber.of for timber in job.timbers}
    assert [one.part.title for one in wood] == [part.title for part in job.parts if part.title not in whole]
    assert [one.part.title for one in wood if one.wood.torn or one.wood.volume <= 0] == []


@pytest.mark.slow
def test_every_part_can_be_cut(job: Job) -> None:
    """Each contour is proved: closed, clear of itself, every mark on its wood."""
    for part in job.to_cut:
        contours_of(part, RouterRules(), boat=job.boat.name, show="mm")


@pytest.mark.parametrize("lines", [("sheer",), ("sheer", "keel")])
def test_a_hull_without_a_chine_is_refused_by_its_lines(lines: tuple[str, ...]) -> None:
    boat = read_boat(ROOT / "samples" / "sandlark").boat
    table = boat.offsets
    kept = replace(
        table,
        heights=tuple(row for row in table.heights if row.name in lines),
        half_breadths=tuple(row for row in table.half_breadths if row.name in lines),
    )
    with pytest.raises(ShapeError, match=f"hulls with a chine.* this table has {', '.join(lines)}"):
        loft(replace(boat, offsets=kept))


@pytest.mark.parametrize(("name", "ends"), [("sandlark", (0,)), ("duckweed", ())])
def test_a_line_that_ends_on_the_centre_plane_stays_there(name: str, ends: tuple[int, ...]) -> None:
    """However far figures may be moved, and however much fairer the line would be past the stem."""
    boat = read_boat(ROOT / "samples" / name).boat
    chine = boat.offsets.half_breadth(boat.offsets.lines[1])
    assert chine is not None
    bent = replace(chine, values=chine.values - np.where(np.arange(len(chine.values)) == 1, 12.0, 0.0))
    rows = tuple(bent if row.name == chine.name else row for row in boat.offsets.half_breadths)
    lines = fair_lines(replace(boat, offsets=replace(boat.offsets, half_breadths=rows), fair_within=4.0))
    stayed = [abs(float(lines[1].half_breadth.moved[end])) < 1e-6 for end in (0, -1)]
    assert stayed == [end in ends for end in (0, -1)]


def test_runs_of_a_section_share_their_corners_where_a_mitre_stands_above_a_lap() -> None:
    boat = read_boat(ROOT / "samples" / "marram").boat
    skin = replace(boat.skin, joints=(Joint.HALF_ANGLE, *boat.skin.joints[1:]))
    hull = plank(fair_lines(boat), skin=skin, fore=boat.fore, aft=boat.aft)
    for x in (1500.0, 3300.0):
        runs = cut_inside(hull, station_plane(x, facing_aft=True)).runs
        for below, above in pairwise(runs):
            assert (below[-1] == above[0]).all()


def test_a_frame_ahead_of_where_the_bottom_begins_is_refused_with_the_place_and_the_cure() -> None:
    boat = read_boat(ROOT / "samples" / "marram").boat
    hull = plank(fair_lines(boat), skin=boat.skin, fore=boat.fore, aft=boat.aft)
    begins = float(hull.lines[-1].curve.first)
    assert boat.frames is not None
    stand = stand_frame(hull, boat.frames, FramePlace("far forward", begins - 120.0))
    told = r"mark of .*it stands .* FP, and \w.* has its whole width only from {} on.*take this one out of stations"
    with pytest.raises(ShapeError, match=told.replace("{}", r"[\d.]+ mm")):
        panels(hull, (stand,))


def test_a_pram_whose_side_cannot_lap_over_the_bottom_at_her_bow_is_told_the_joint_that_can() -> None:
    boat = read_boat(ROOT / "samples" / "fennel").boat
    hull = plank(fair_lines(boat), skin=replace(boat.skin, joints=(Joint.UPPER_OVER,)), fore=boat.fore, aft=boat.aft)
    told = r'side panel: chine: at the bow transom, .*"upper over lower".*"half angle" in \[planking.bottom\] \(169'
    with pytest.raises(ShapeError, match=told):
        panels(hull, ())
    panels(plank(fair_lines(boat), skin=boat.skin, fore=boat.fore, aft=boat.aft), ())


def test_a_bottom_that_a_sheet_takes_without_twist_is_not_told_to_be_twisted() -> None:
    """Fennel's lines were drawn developable."""
    boat = read_boat(ROOT / "samples" / "fennel").boat
    hull = plank(fair_lines(boat), skin=boat.skin, fore=boat.fore, aft=boat.aft)
    assert all(hull.worst_twist(strake)[0] < TWIST_TOLD for strake in hull.strakes)


@pytest.mark.parametrize(("thick", "warned"), [(6.2, False), (7.4, True)])
def test_edges_planed_steeply_between_strakes_of_two_thicknesses_are_warned_of_by_place(
    thick: float, *, warned: bool
) -> None:
    """Where Windrow turns 5 degrees, (7.4 - 6.2 cos 5)/(6.2 sin 5) is the tangent of 66 degrees."""
    boat = read_boat(ROOT / "samples" / "windrow").boat
    side, second, bottom = boat.skin.planking
    planking = (side, replace(second, thickness=thick), bottom)
    job = loft(replace(boat, skin=replace(boat.skin, planking=planking)))
    told = [one for one in job.warnings if "not of one thickness" in one.text]
    assert [one.where for one in told] == (["chine 1"] if warned else [])
    for one in told:
        assert re.search(r"turn only \d° at \d+.* from FP. So an edge is planed 6\d° off square", one.text)


@pytest.mark.parametrize("thick", [9.0, 12.0])
def test_a_pram_with_a_bottom_up_to_twice_as_thick_as_her_sides_has_all_her_panels(thick: float) -> None:
    """At her raked bow the inside of a thick bottom reaches well past the ends of its lines."""
    boat = read_boat(ROOT / "samples" / "fennel").boat
    side, bottom = boat.skin.planking
    skin = replace(boat.skin, planking=(side, replace(bottom, thickness=thick)))
    made = panels(plank(fair_lines(boat), skin=skin, fore=boat.fore, aft=boat.aft), ())
    assert [part.thickness for part in made] == [6.2, 6.2, thick, thick]


@pytest.mark.parametrize(("radius", "refused"), [(900.0, True), (1800.0, False)])
def test_a_transom_bowed_so_much_that_the_side_runs_along_it_is_refused_by_its_radius(
    radius: float, *, refused: bool
) -> None:
    boat = read_boat(ROOT / "samples" / "fennel").boat
    assert isinstance(boat.aft, Transom)
    bowed = replace(boat, aft=replace(boat.aft, radius=radius))
    hull = plank(fair_lines(bowed), skin=bowed.skin, fore=bowed.fore, aft=bowed.aft)
    if not refused:
        panels(hull, ())
        return
    with pytest.raises(ShapeError, match=r"side panel: edge 'transom': .*bowed .*a larger radius in \[transom\]"):
        panels(hull, ())


HOOKED = """
[boat]
name = "Hooked"
units = "mm"
offsets = "offsets.csv"
lines_to = "outside of planking"
[stem]
profile = [[0, 735], [190, 325]]
sided = 64
moulded = 89
[transom]
profile = [[4300, 556], [4200, 60]]
thickness = 18
[planking.side]
thickness = 6.3
[planking.bottom]
thickness = 9
"""
HOOKED_OFFSETS = """
Hooked,stem,1,2,3,4,5,transom
from FP,,700,1400,2100,2800,3500,
heights,,,,,,,
sheer,,668,618,582,560,552,
chine,325,298,266,238,216,202,194
keel,325,170,64,14,4,24,60
half-breadths,,,,,,,
sheer,0,330,580,700,746,734,676
chine,0,196,420,560,616,610,560
"""


def test_a_bottom_twisted_a_little_at_its_transom_is_told_so_and_has_its_panel(tmp_path: Path) -> None:
    """Rulings without any twist would lean by 7 m there; straight across, lines of the table twist a sheet by 2.5."""
    (tmp_path / "boat.toml").write_text(HOOKED)
    (tmp_path / "offsets.csv").write_text(HOOKED_OFFSETS.lstrip())
    boat = read_boat(tmp_path).boat
    hull = plank(fair_lines(boat), skin=boat.skin, fore=boat.fore, aft=boat.aft)
    twist, where = hull.worst_twist(hull.strakes[1])
    assert np.degrees(twist) < 3.0
    assert where > 3500.0
    assert len(panels(hull, ())) == 4
