"""Stem, keel batten and skeg of a V bottom of planes, where every figure is plane geometry."""

from __future__ import annotations

import re
from functools import cache
from pathlib import Path

import numpy as np
import pytest
import shapely
from boats import Floats, unit
from v_planes import ANGLE, BOTTOM, DEADRISE, FALL, MOULDED, PLANE, SIDED, THICK, VHull, v_of_planes

from patterns.errors import ShapeError
from patterns.geometry.cuts import Profile, station_plane
from patterns.hull.build import KeelJoint, Stem
from patterns.hull.planking.sections import cut_inside
from patterns.hull.planking.skin import plank
from patterns.hull.planking.strakes import tip_of
from patterns.parts.asked.end_rules import PlankEnds, StemWork
from patterns.parts.asked.fitting_rules import KneeRules, ThwartRules
from patterns.parts.asked.long_rules import LongAsked, LongRules, SkegRules
from patterns.parts.asked.rules import FrameKind, FramePlace, FrameRules, StationFace
from patterns.parts.ends.stem import cut_stem
from patterns.parts.faired import fair_lines
from patterns.parts.fittings.thwarts import thwart_knees
from patterns.parts.frames.frame import frame_part, shape_frame
from patterns.parts.long.v_keel import cut_v_skeg, v_keels
from patterns.parts.part import Part
from patterns.parts.stands import stand_frame
from patterns.reading.boat.boat_toml import read_boat

NEAR = 0.02  # mm
TURN = 0.02  # degrees
THICKNESS = dict(zip(("side", "bottom"), THICK, strict=True))
BATTEN = LongRules("keel batten", 60.0, 25.0, "oak", 1.6)


@cache
def known() -> VHull:
    return v_of_planes()


@cache
def stem() -> Part:
    return cut_stem(known().hull, known().stem, StemWork(), aft=False)[0]


def in_space(points: Floats, y: float) -> Floats:
    return np.stack([points[:, 0], np.full(len(points), y), points[:, 1]], axis=1)


def beyond_line(points: Floats, start: Floats, end: Floats) -> Floats:
    """Distances (n,) of points to the left of a line."""
    way = unit(end - start)
    return np.asarray((points - start) @ np.array([-way[1], way[0]]))


@pytest.mark.parametrize("strake", ["side", "bottom"])
def test_a_landing_lies_off_the_centre_plane_as_the_plank_does_all_the_way(strake: str) -> None:
    landings = [one for one in stem().landings if one.strake == strake]
    assert len(landings) >= 2
    assert np.degrees([one.angle for one in landings]) == pytest.approx(np.degrees(ANGLE[strake]), abs=TURN)
    assert [one.half_face for one in landings] == [0.0] * len(landings)
    depths = [one.depth for one in landings]
    assert depths == pytest.approx([SIDED / 2 / np.tan(ANGLE[strake])] * len(depths), abs=NEAR)


def test_the_fore_edge_lies_where_the_insides_of_both_sides_meet() -> None:
    edge = in_space(stem().edge("fore").points, 0.0)
    inside = np.minimum(*(np.abs(PLANE[name].beyond(edge) + THICKNESS[name]) for name in ("side", "bottom")))
    # Above the sheer's inside corner the side is carried on.
    assert inside.max() < NEAR


def test_the_fore_edge_keeps_its_corner_where_hardly_any_bottom_lands_below_it() -> None:
    """Three planes, the insides of side and bottom and the centre plane, meet in the corner, 3 mm before the foot."""
    planes = [(PLANE[name].outward, PLANE[name].origin, THICKNESS[name]) for name in ("side", "bottom")]
    normals = np.array([outward for outward, _, _ in planes] + [[0.0, 1.0, 0.0]])
    corner = np.linalg.solve(normals, [outward @ point - thick for outward, point, thick in planes] + [0.0])
    boat = v_of_planes(forefoot=float(corner[0] - known().knuckle[0]) + 3.0)
    part = cut_stem(boat.hull, boat.stem, StemWork(), aft=False)[0]
    fore = next(edge.points for edge in part.edges if edge.name == "fore")
    assert np.hypot(*(fore - corner[[0, 2]]).T).min() < NEAR


def test_the_bearding_lines_lie_on_the_insides_at_half_the_siding() -> None:
    lines = [mark.points for mark in stem().marks_of("bearding line")]
    for name, line in zip(("bottom", "side"), lines, strict=True):
        assert np.abs(PLANE[name].beyond(in_space(line, SIDED / 2)) + THICKNESS[name]).max() < NEAR


def test_the_inner_face_lies_behind_the_profile_and_the_foot_square_to_it_at_the_heel() -> None:
    profile, knuckle, heel = known().stem.profile, known().knuckle, known().heel
    inner = stem().edge("after").points
    off = [beyond_line(inner, knuckle, profile[0]), beyond_line(inner, heel, knuckle)]
    behind = -np.maximum(*off)
    assert behind == pytest.approx(MOULDED, abs=NEAR)
    foot = stem().edge("bottom").points
    assert np.abs((foot - heel) @ unit(heel - knuckle)).max() < NEAR
    assert any("inner face has a corner" in remark for remark in stem().remarks)
    assert not stem().doubts


def test_a_knuckle_of_a_profile_is_a_corner_and_a_bend_is_none() -> None:
    knuckled = Profile(known().stem.profile)
    assert knuckled.corners == pytest.approx([known().knuckle[1]])
    heights = np.linspace(known().heel[1], known().stem.profile[0, 1], 301)
    points = np.stack([knuckled.at_height(heights), heights], axis=1)
    off = [
        beyond_line(points, known().knuckle, known().stem.profile[0]),
        beyond_line(points, known().heel, known().knuckle),
    ]  # fmt: skip
    assert np.abs(np.maximum(*off)).max() < 0.005
    turn = np.linspace(0.0, 1.2, 9)
    bent = Profile(np.stack([500 - 500 * np.cos(turn), 500 - 500 * np.sin(turn)], axis=1))
    assert bent.corners == ()


def test_on_the_sides_of_a_keel_the_fore_edge_stays_as_wide_as_the_keel() -> None:
    half, sided = 15.0, 60.0
    on_keel = v_of_planes(keel=KeelJoint.ON_KEEL, half=half, sided=sided)
    part = cut_stem(on_keel.hull, on_keel.stem, StemWork(), aft=False)[0]
    for one in part.landings:
        assert one.half_face == pytest.approx(half)
        assert one.depth == pytest.approx((sided / 2 - half) / np.tan(ANGLE[one.strake]), abs=NEAR)
    assert any("fore edge 30.0 mm wide" in remark for remark in part.remarks)


def test_a_frame_over_a_keel_marks_where_both_halves_of_the_bottom_end() -> None:
    half = 15.0
    hull = v_of_planes(keel=KeelJoint.ON_KEEL, half=half, sided=60.0).hull
    place = FramePlace("4", 1500.0)
    rules = FrameRules((place,), 18.0, 45.0, 60.0, StationFace.AFT, FrameKind.SHEET, "plywood")
    marks = frame_part(shape_frame(hull, rules, stand_frame(hull, rules, place))).marks_of("keel")
    assert sorted(float(mark.points[0, 0]) for mark in marks) == pytest.approx([-half, half], abs=NEAR)


def test_planks_that_end_on_each_other_leave_nothing_for_a_false_stem_or_a_lap() -> None:
    for work, key in ((StemWork(false_moulded=25.0), "false_moulded"), (StemWork(PlankEnds.LAPPED), "planks_end")):
        with pytest.raises(ShapeError, match=key):
            cut_stem(known().hull, known().stem, work, aft=False)


def test_a_stem_too_small_for_its_inside_corner_is_refused_by_its_cause() -> None:
    for moulded in (6.0, 12.0):  # inside both planks, and inside the side's alone
        thin = v_of_planes(moulded=moulded)
        with pytest.raises(ShapeError, match="no wood is left; expected more moulded"):
            cut_stem(thin.hull, thin.stem, StemWork(), aft=False)


def test_a_bearding_line_behind_the_wood_is_told() -> None:
    wide = v_of_planes(sided=80.0)
    told = cut_stem(wide.hull, wide.stem, StemWork(), aft=False)[0].doubts
    assert len(told) == 1
    place = re.search(r"bearding line lies behind its wood between ([\d.]+) mm and ([\d.]+) mm above base", told[0])
    assert place
    heights = wide.stem.profile[:, 1]
    assert heights.min() - 100.0 < float(place[1]) < float(place[2]) <= heights.max() + 1.0


SKIFF = """
[boat]
name = "Skiff"
units = "in"
offsets = "offsets.csv"
lines_to = "outside of planking"
[stem]
profile = [[0, "2-2-0"], [6.89, "1-0-2"]]
sided = "1 1/2"
moulded = "3"
[transom]
profile = [["13-0-0", 21], [152.31, 2.53]]
thickness = "3/4"
[planking.side]
thickness = "1/4"
[planking.bottom]
thickness = "3/8"
chine_joint = "lower over upper"
"""
SKIFF_TABLE = """Skiff,stem,1,2,3,4,5,6,transom
from FP,,1-6-0,3-6-0,5-6-0,7-6-0,9-6-0,11-6-0,
heights,,,,,,,,
sheer,2-2-0,2-0-4,1-10-7,1-9-6,1-8-7,1-8-5,1-8-5,1-9-0
chine,1-0-2,0-11-1,0-9-0,0-7-3,0-6-2,0-5-6,0-5-5,0-5-7
keel,1-0-2,0-9-0,0-4-1,0-1-5,0-0-4,0-0-3,0-1-3,0-2-4
half-breadths,,,,,,,,
sheer,0-0-0,0-10-1,1-6-0,1-11-0,2-2-0,2-3-0,2-2-3,2-1-1
chine,0-0-0,0-6-0,1-1-4,1-6-1,1-8-7,1-10-0,1-9-5,1-8-5
"""


def test_a_bottom_that_lands_on_the_keel_alone_has_no_bearding_line_on_the_stem(tmp_path: Path) -> None:
    """Chine and keel end in one place, so the stem stands on the bottom's point and the side alone lands on it."""
    (tmp_path / "boat.toml").write_text(SKIFF)
    (tmp_path / "offsets.csv").write_text(SKIFF_TABLE)
    boat = read_boat(tmp_path).boat
    hull = plank(fair_lines(boat), skin=boat.skin, fore=boat.fore, aft=boat.aft)
    assert isinstance(boat.fore, Stem)
    part = cut_stem(hull, boat.fore, StemWork(), aft=False)[0]
    assert not part.doubts
    wood = shapely.Polygon(part.outline).buffer(0.05)
    lines = [shapely.LineString(mark.points) for mark in part.marks if mark.name == "bearding line"]
    assert lines
    assert all(wood.covers(line) for line in lines)


@pytest.mark.parametrize("sided", [40.0, 52.0])
def test_a_rabbet_is_cut_from_the_rabbet_line_by_its_apex_to_the_bearding_line(sided: float) -> None:
    half = 20.0
    rabbeted = v_of_planes(keel=KeelJoint.RABBET, half=half, sided=sided)
    part = cut_stem(rabbeted.hull, rabbeted.stem, StemWork(), aft=False)[0]
    ends = {"side": (rabbeted.knuckle, rabbeted.stem.profile[0]), "bottom": (rabbeted.heel, rabbeted.knuckle)}
    lines = {word: part.marks_of(f"{word} line") for word in ("rabbet", "apex", "bearding")}
    for number, name in enumerate(("bottom", "side")):
        a, t = ANGLE[name], THICKNESS[name]
        behind = {
            word: -beyond_line(marks[number].points, *ends[name])[len(marks[number].points) // 2 :][:1]
            for word, marks in lines.items()
        }
        assert behind["rabbet"] == pytest.approx(0.0, abs=NEAR)
        assert behind["apex"] == pytest.approx(t * np.sin(a), abs=NEAR)
        assert behind["bearding"] == pytest.approx((t + (sided / 2 - half) * np.cos(a)) / np.sin(a), abs=NEAR)


def test_square_ends_in_a_rabbet_end_the_inside_corner_at_two_places_as_planes_have_it() -> None:
    """The inside corner of side and garboard is one line. Each plank's end cuts it by a plane of its own: through the
    knuckle, along the end and the plank's normal."""
    half = 12.0
    found = v_of_planes(keel=KeelJoint.RABBET, half=half)
    side, floor = found.hull.strakes
    face = found.hull.inside(side)
    s, t = found.hull.end_places(side, face, aft=False, lanes=33)
    below = found.hull.inside(floor)
    tip = np.array([tip_of(floor, below, aft=False)])
    ends = {
        "side": side.ruled.point(s[-1:], t[-1:], face.depth)[0],
        "bottom": floor.ruled.point(tip, floor.ruled.at(below.lower, tip), below.depth)[0],
    }
    knuckle = np.array([found.knuckle[0], half, found.knuckle[1]])
    normals = [PLANE[name].outward for name in ("side", "bottom")]
    for name, place in ends.items():
        square = np.cross(unit(np.cross(PLANE[name].outward, [0.0, 1.0, 0.0])), PLANE[name].outward)
        planes = np.array([*normals, square])
        away = [n @ knuckle - THICKNESS[one] for n, one in zip(normals, ("side", "bottom"), strict=True)]
        assert place == pytest.approx(np.linalg.solve(planes, [*away, square @ knuckle]), abs=NEAR)
    assert np.linalg.norm(ends["side"] - ends["bottom"]) > 10.0


def test_a_keel_batten_is_bevelled_to_both_halves_of_the_bottom() -> None:
    hull = known().hull
    (keel,) = v_keels(hull, LongAsked(keel_batten=BATTEN), (), show="mm")
    bevels = np.degrees([keel.ridge.bevel(x) for x in np.linspace(500.0, 2800.0, 9)])
    assert bevels == pytest.approx(90.0 - np.degrees(ANGLE["bottom"]), abs=TURN)
    lower = keel.part.edge("lower").points
    assert np.abs(BOTTOM.beyond(in_space(lower, 0.0)) + THICKNESS["bottom"]).max() < NEAR
    upper = keel.part.edge("upper").points
    assert np.abs(beyond_line(upper, lower[0], lower[-1]) - BATTEN.moulded).max() < NEAR
    beside = keel.part.mark("bevel line").points
    assert np.abs(BOTTOM.beyond(in_space(beside, BATTEN.sided / 2)) + THICKNESS["bottom"]).max() < NEAR
    # Its wood fills the V: of its corners the ridge and both feet of its sides lie on the inside of the planking.
    corners = np.abs(keel.solid.corners * (1.0, 1.0, 1.0))
    on_planking = [np.abs(BOTTOM.beyond(line) + THICKNESS["bottom"]).max() < NEAR for line in corners]
    assert sum(on_planking) == 3


def test_a_keelson_stands_square_on_a_batten_and_a_thin_one_on_the_bottom_is_refused() -> None:
    hull = known().hull
    keelson = LongRules("keelson", 40.0, 30.0, "oak", 1.6)
    _, over = v_keels(hull, LongAsked(keel_batten=BATTEN, keelson=keelson), (), show="mm")
    assert not over.part.marks
    assert len(over.solid.corners) == 4
    with pytest.raises(ShapeError, match=r"keelson: moulded .* too little wood"):
        v_keels(hull, LongAsked(keelson=LongRules("keelson", 120.0, 12.0, "oak", 1.6)), (), show="mm")


def test_a_skeg_is_grooved_over_the_keel_line() -> None:
    rules = SkegRules(1500.0, 150.0, 30.0, "oak")
    skeg = cut_v_skeg(known().hull, rules, (), show="mm")
    groove, sides = skeg.mark("bottom of the groove").points, skeg.edge("upper").points
    assert np.abs(BOTTOM.beyond(in_space(groove, 0.0))).max() < NEAR
    assert np.abs(BOTTOM.beyond(in_space(sides, rules.sided / 2))).max() < NEAR
    heel = skeg.edge("lower").points[-1]
    assert groove[-1, 1] - heel[1] == pytest.approx(rules.depth, abs=NEAR)
    assert np.arctan2(*np.diff(groove[[0, -1]], axis=0)[0][::-1]) == pytest.approx(np.arctan(FALL), abs=1e-4)


def framed(moulded: float, *, floor: float = 60.0, limber: float = 0.0) -> Part:
    """A frame at x = 1500 whose floor is so many mm square to the bottom, over a keelson so high."""
    hull, place = known().hull, FramePlace("4", 1500.0)
    keel = v_keels(hull, LongAsked(keelson=LongRules("keelson", 40.0, moulded, "oak", 1.6)), (), show="mm")
    rules = FrameRules(
        (place,), 18.0, 45.0, floor, StationFace.AFT, FrameKind.SHEET, "plywood", inside_corner=0.0, limber=limber
    )
    stand = stand_frame(hull, rules, place)
    return frame_part(shape_frame(hull, rules, stand, solids=[one.solid for one in keel], show="mm"))


def floor_and_keelson(moulded: float) -> tuple[float, float]:
    """mm above the inside of the bottom on the centre line, upright: the floor's inner edge, and the keelson's top."""
    slope = np.hypot(1.0, FALL)
    return 60.0 * np.hypot(1.0, DEADRISE), moulded * slope


def test_a_keelson_deeper_than_the_floor_is_refused_with_both_heights_and_the_cure() -> None:
    high, top = floor_and_keelson(80.0)
    with pytest.raises(ShapeError, match=r"frame 4: keelson: .* make floor_moulded in \[frames\] larger") as refused:
        framed(80.0)
    found = [float(one) for one in re.findall(r"([\d.]+) mm", str(refused.value))]
    assert found == pytest.approx([top, high, 0.0, 6.0], abs=0.2)


def test_a_keelson_that_leaves_little_of_a_floor_is_told_and_one_that_leaves_enough_is_not() -> None:
    high, top = floor_and_keelson(46.0)
    (told,) = framed(46.0).doubts
    assert f"{high:.1f} mm high" in told
    left = float(re.findall(r"only ([\d.]+) mm", told)[0])
    assert left == pytest.approx((high - top) / np.hypot(1.0, DEADRISE), abs=2.0)
    assert not framed(25.0).doubts


def test_a_frame_marks_where_the_keelsons_top_comes_beside_its_notch() -> None:
    frame, (_, top) = framed(25.0), floor_and_keelson(25.0)
    marks = frame.marks_of("top of keelson")
    bottom = float(frame.mark("keel").points[0, 1])
    assert sorted(round(float(mark.points[0, 0])) for mark in marks) == [-20, 20]
    assert [mark.points[0, 1] - bottom for mark in marks] == pytest.approx([top, top], abs=0.05)


def test_a_limber_larger_than_the_floor_is_refused_in_words() -> None:
    with pytest.raises(ShapeError, match=r"limber: a half-round of 40.0 mm .* smaller limber"):
        framed(15.0, floor=30.0, limber=40.0)


def test_a_knee_on_a_thwart_below_the_chine_lies_on_the_bottom_and_on_the_side() -> None:
    hull = known().hull
    x = 1800.0
    corner = cut_inside(hull, station_plane(x, facing_aft=True)).runs[0][0]
    thwart = ThwartRules("thwart 1", x - 100.0, 200.0, float(corner[2]) - 40.0, 18.0, "pine")
    knee = thwart_knees(hull, KneeRules(110.0, 130.0, 18.0, 10.0, "oak"), thwart)[1]
    edge = knee.edge("side")
    for points, at in ((edge.points, x + 9.0), (edge.far, x - 9.0)):
        space = np.stack([np.full(len(points), at), points[:, 0], points[:, 1]], axis=1)
        off = np.array([PLANE[name].beyond(space) + THICKNESS[name] for name in ("side", "bottom")])
        # Each point lies on the one or the other, the corner on both, and none comes through either.
        assert np.abs(off).min(axis=0).max() < NEAR
        assert off.max() < NEAR
        assert (np.abs(off) < NEAR).any(axis=1).all()


@pytest.mark.parametrize(
    ("height", "up", "told"),
    [(250.0, 900.0, "rises only .* shorter up in"), (20.0, 100.0, "begins at .* the thwart higher")],
)
def test_a_knee_for_which_there_is_no_planking_is_refused_with_the_cure(height: float, up: float, told: str) -> None:
    thwart = ThwartRules("thwart 1", 1700.0, 200.0, height, 18.0, "pine")
    with pytest.raises(ShapeError, match=rf"thwart 1 knee: .*{told}"):
        thwart_knees(known().hull, KneeRules(up, 130.0, 18.0, 10.0, "oak"), thwart)
