"""Chined hulls of planes and cones planked on their exact lines: corners, angles and panels as the surfaces have."""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import replace

import numpy as np
import pytest
import shapely
from boats import Cone, Floats
from known_chines import KNOWN, KnownHull, KnownLine, dory, forefoot, leaning, pram, wedge
from scipy.interpolate import CubicSpline

from patterns.errors import ShapeError
from patterns.geometry.boundaries import Boundary, down_profile
from patterns.geometry.cuts import station_plane
from patterns.geometry.pointed_rulings import ratio_at
from patterns.hull.build import Joint
from patterns.hull.planking.sections import cut_inside
from patterns.hull.planking.skin import Hull, plank
from patterns.hull.planking.transition import steepest_edge, transition
from patterns.parts.asked.rules import FrameKind, FramePlace, FrameRules, StationFace
from patterns.parts.frames.frame import frame_part, shape_frame
from patterns.parts.panels.panels import panels
from patterns.parts.part import Part
from patterns.parts.stands import stand_frame

CLOSE = 0.02  # mm; of 0.05 wanted of panels and frames
ANGLE = np.radians(0.02)
SLOW = ("double_ender", "forefoot")
HULLS = [pytest.param(name, marks=pytest.mark.slow if name in SLOW else ()) for name in KNOWN]
# A lower strake laps over the one above where they turn by more than 45 degrees: these do.
JOINTS = [
    ("wedge", Joint.LOWER_OVER), ("wedge", Joint.UPPER_OVER), ("pram", Joint.LOWER_OVER), ("pram", Joint.UPPER_OVER),
    ("dory", Joint.UPPER_OVER), ("sharpie", Joint.LOWER_OVER), ("sharpie", Joint.UPPER_OVER),
]  # fmt: skip


def stations(known: KnownHull, count: int = 5) -> list[float]:
    """Distances from FP between where the last line begins and the first one ends."""
    first = max(line.first for line in known.lines)
    last = min(line.last for line in known.lines)
    return np.linspace(first, last, count + 2)[1:-1].tolist()


def starboard_panels(known: KnownHull) -> list[Part]:
    return [panel for panel in panels(known.hull, ()) if panel.hand != "port"]


@pytest.mark.parametrize("name", HULLS)
def test_frames_have_their_corners_where_the_inside_surfaces_meet(name: str) -> None:
    known = KNOWN[name]()
    for x in stations(known):
        section = cut_inside(known.hull, station_plane(x, facing_aft=True))
        found = [section.runs[-1][-1], *(run[0] for run in section.runs[::-1])]
        if known.keel:
            found.append(section.floor[len(section.floor) // 2])
        for corner, expected in zip(found, known.corners(x).values(), strict=True):
            assert np.linalg.norm(corner - expected) < CLOSE


@pytest.mark.parametrize("name", HULLS)
def test_chines_open_as_their_surfaces_do(name: str) -> None:
    known = KNOWN[name]()
    for number, corner in enumerate(known.hull.corners, 1):
        joints = transition(known.hull, corner).joints
        x = np.array([joint.from_fp for joint in joints])
        assert len(x) > 50
        opening = known.opening(number, x)
        assert np.abs([joint.opening for joint in joints] - opening).max() < ANGLE
        assert np.abs([joint.mitre for joint in joints] - (np.pi / 2 - opening / 2)).max() < ANGLE


@pytest.mark.parametrize("name", HULLS)
def test_panels_unroll_to_the_known_flat_shapes_on_both_faces(name: str) -> None:
    known = KNOWN[name]()
    for strake, panel in enumerate(starboard_panels(known)):
        missed = known.missed(strake, panel)
        assert max(missed.values()) < CLOSE, (panel.title, missed)


@pytest.mark.parametrize(("name", "joint"), JOINTS)
def test_lapping_chines_run_to_the_face_that_their_joint_says(name: str, joint: Joint) -> None:
    known = KNOWN[name]().joined(joint)
    for strake, panel in enumerate(starboard_panels(known)):
        missed = known.missed(strake, panel)
        assert max(missed.values()) < CLOSE, (panel.title, missed)


@pytest.mark.parametrize("known", [wedge, forefoot, pram])
def test_garboards_are_planed_along_keel_and_stem_to_the_half_angle(known: object) -> None:
    """Off square by what the angle between the garboard and the centre plane wants of a right angle."""
    hull: KnownHull = known()  # type: ignore[operator]
    panel = starboard_panels(hull)[-1]
    told = [(edge, bevel) for edge in panel.edges if edge.name in ("keel", "stem") for bevel in edge.bevels]
    assert len(told) > 3
    places = np.array([place_along(edge.points, bevel.along) for edge, bevel in told])
    points = hull.in_boat(len(hull.strakes) - 1, panel, places, -hull.thickness[-1])
    planed = np.abs([bevel.angle for _, bevel in told])
    assert np.abs(planed - (np.pi / 2 - hull.half_angle(points))).max() < 2 * ANGLE


@pytest.mark.parametrize("known", [wedge, pram])
def test_the_line_along_the_side_on_a_garboard_ends_on_its_edge(known: object) -> None:
    """At its point too, where that line meets the edge along keel and stem before the chine does."""
    hull: KnownHull = known().joined(Joint.LOWER_OVER)  # type: ignore[operator]
    panel = starboard_panels(hull)[-1]
    outline = shapely.LinearRing(np.concatenate([edge.points for edge in panel.edges]))
    for end in panel.mark("inside of side").points[[0, -1]]:
        assert outline.distance(shapely.Point(end)) < CLOSE


def place_along(points: Floats, along: float) -> list[float]:
    run = np.concatenate([[0.0], np.cumsum(np.hypot(*np.diff(points, axis=0).T))])
    return [float(np.interp(along, run, column)) for column in points.T]


@pytest.mark.parametrize("name", HULLS)
def test_frames_are_bevelled_as_their_surfaces_run(name: str) -> None:
    """Along the edge on the marked face, the far face ends where the same inside surface crosses its plane."""
    known = KNOWN[name]()
    place = FramePlace("2", stations(known)[3])
    rules = FrameRules((place,), 18.0, 45.0, 60.0, StationFace.AFT, FrameKind.SHEET, "plywood")
    stand = stand_frame(known.hull, rules, place)
    frame = frame_part(shape_frame(known.hull, rules, stand))
    through = float(stand.far.origin[0] - stand.face.origin[0])
    for number, strake in enumerate(known.hull.strakes):
        for edge in (one for one in frame.edges if one.either_hand == strake.name and one.hand != "port"):
            assert edge.bevels
            for bevel in edge.bevels:
                y, z = place_along(edge.points, bevel.along)
                point = np.array([[place.from_fp, abs(y), z]])
                assert abs(known.strakes[number].beyond(point)[0] + known.thickness[number]) < CLOSE
                assert bevel.run == pytest.approx(known.run_through(number, point, through), abs=CLOSE)
                assert bevel.angle == pytest.approx(np.arctan2(bevel.run, frame.thickness), abs=ANGLE)


def test_rulings_of_a_pointed_strake_are_those_of_its_cone() -> None:
    known = forefoot()
    cone, ruled = known.strakes[-1], known.hull.floor.ruled
    assert isinstance(cone, Cone)
    own = ruled.reach > 10.0
    assert own.sum() > 300
    for ends in (-ruled.reach, ruled.reach):
        inner = own & (np.abs(ruled.points(ends, 0.0)[:, 0] - 1900.0) < 1500.0)
        assert np.abs(cone.beyond(ruled.points(ends, 0.0)[inner])).max() < 0.005
    inner = own & known.hull.between_ends(known.hull.floor)
    normals = np.einsum("nk,nk->n", cone.normal(ruled.middle), ruled.normal)[inner]
    assert np.arccos(np.minimum(normals, 1.0)).max() < ANGLE
    along = np.einsum("nk,nk->n", cone.ruling(ruled.middle), ruled.along)[inner]
    assert np.arccos(np.minimum(np.abs(along), 1.0)).max() < 5 * ANGLE


def test_rulings_begin_at_a_point_by_the_ratio_their_cone_has() -> None:
    """Close to the point two boundaries are met by one ruling as far from it as both are from the ruling there."""
    known = forefoot()
    cone, chine, profile = known.strakes[-1], known.lines[1], known.hull.fore_cut
    assert isinstance(cone, Cone)
    point = chine.point(np.array([chine.first]))
    upper = Boundary([chine], points=(point[0], None))
    lower = Boundary(down_profile(profile, 0.0, point[0, 2], known.lines[2].point(np.array([850.0]))[0, 2]))
    normal, ruling = cone.normal(point)[0], cone.ruling(point)[0]
    away = [abs(np.cross(one.tangent(np.zeros(1))[0], ruling) @ normal) for one in (upper, lower)]
    assert ratio_at(upper, lower, aft=False).upper_to_lower == pytest.approx(away[1] / away[0], rel=0.02)


# --- What cannot be planked ---


def bent(line: KnownLine, by: Callable[[Floats], Floats], *, first: float | None = None) -> KnownLine:
    """A line pushed out (+) or in by so much at each x, and begun elsewhere where that is said."""
    x = np.linspace(line.spline.x[0], line.spline.x[-1], 600)
    places = line.point(x)[:, 1:] + np.stack([by(x), np.zeros_like(x)], axis=1)
    return replace(line, first=line.first if first is None else first, spline=CubicSpline(x, places))


def planked(known: KnownHull, **lines: KnownLine) -> Hull:
    """The hull with some of its lines changed."""
    ends = [known.built_end(aft=aft) for aft in (False, True)]
    changed = tuple(lines.get(line.name, line) for line in known.lines)
    return plank(changed, skin=known.skin, fore=ends[0], aft=ends[1])  # type: ignore[arg-type]


def nothing(x: Floats) -> Floats:
    return np.zeros_like(x)


def test_a_chine_and_a_keel_that_end_apart_on_a_stem_are_refused() -> None:
    known = wedge()
    keel = known.lines[2]
    with pytest.raises(ShapeError, match=r"bottom planking: at the stem the chine and the keel end .* apart") as told:
        planked(known, keel=bent(keel, nothing, first=keel.first + 12.0))
    assert told.value.at == pytest.approx(keel.first + 12.0)


def test_a_chine_that_ends_beside_the_keel_is_refused() -> None:
    known = wedge()
    with pytest.raises(ShapeError, match=r"the chine ends .* off the center plane, the keel"):
        planked(known, chine=bent(known.lines[1], lambda x: np.full_like(x, 8.0)))


def test_a_chine_hollow_at_a_round_stem_is_refused_by_place_and_one_as_round_is_not() -> None:
    """Rulings begin at a point where both lines bend to one side."""
    known = KNOWN["forefoot"]()
    chine = known.lines[1]

    def near(x: Floats) -> Floats:
        return np.asarray((x - chine.first) / 80.0)

    def hollowed(by: float) -> Hull:
        return planked(known, chine=bent(chine, lambda x: by * near(x) ** 2 * np.exp(-(near(x) ** 2))))

    told = r"bottom planking: where the chine meets the stem, one of them is hollow .* leaves the stem without a hollow"
    with pytest.raises(ShapeError, match=told) as refused:
        hollowed(200.0)
    assert refused.value.at == pytest.approx(chine.first)
    hollowed(-20.0)


def test_a_strake_no_sheet_can_be_twisted_to_is_refused_by_place_and_angle() -> None:
    known = pram()
    sheer = known.lines[0]
    hull = planked(known, sheer=bent(sheer, lambda x: 900.0 * (x - 1200.0) / 1300.0))
    with pytest.raises(ShapeError, match=r"side panel: would have to be twisted \d+° from sheer to chine") as told:
        panels(hull, ())
    assert told.value.at is not None


def test_an_upper_strake_is_not_lapped_over_one_that_hardly_turns_from_it() -> None:
    """Its planed edge would be six thicknesses long: one over the tangent of ten degrees."""
    known = dory()
    above, below = known.strakes[0], leaning(25.0, 4.0, 120.0)
    hull = replace(known, strakes=(above, below, *known.strakes[2:]), joint=Joint.UPPER_OVER)
    with pytest.raises(ShapeError, match=r'turn only 10° .* "upper over lower".*half angle" in \[planking.strake_2\]'):
        panels(hull.hull, ())


def test_strakes_of_two_thicknesses_are_not_mitred_where_they_hardly_turn() -> None:
    """Of planks 6 and 9 mm thick that turn by b the thin edge is off square by (9 - 6 cos b)/(6 sin b)."""
    known = dory()
    for turn, refused in ((4.0, True), (10.0, False)):
        # Both planes pass 260 mm off the centre plane, 280 above base.
        above, below = (leaning(flare, 4.0, 260.0 - 280.0 * np.tan(np.radians(flare))) for flare in (15.0, 15.0 + turn))
        hull = replace(
            known,
            strakes=(above, below, *known.strakes[2:]),
            thickness=(6.0, 9.0, *known.thickness[2:]),
            joint=Joint.HALF_ANGLE,
        ).hull
        cosine = float(np.clip(hull.strakes[0].ruled.normal[0] @ hull.strakes[1].ruled.normal[0], -1.0, 1.0))
        planed = np.degrees(np.arctan((9.0 - 6.0 * cosine) / (6.0 * np.sqrt(1 - cosine**2))))
        assert bool(planed > 75.0) is refused
        steep = steepest_edge(hull, hull.corners[0])
        assert steep is not None
        assert np.degrees(steep.off_square) == pytest.approx(planed, abs=ANGLE)
        if refused:
            words = rf"side is 6.0 mm thick and strake 2 9.0 mm.*planed {planed:.0f}° off square.*one thickness"
            with pytest.raises(ShapeError, match=words) as told:
                panels(hull, ())
            assert told.value.at is not None
        else:
            assert panels(hull, ())
