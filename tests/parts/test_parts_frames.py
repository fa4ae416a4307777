"""Frames as they are built: pieces that make up the whole, moulds that touch with one edge, notches, limbers, legs."""

from __future__ import annotations

from dataclasses import replace
from functools import cache

import numpy as np
import pytest
import shapely
from boats import saltmeadow
from hypothesis import given, settings
from hypothesis import strategies as st
from shapely import LineString, Point, Polygon

from patterns.errors import ShapeError
from patterns.geometry.cuts import station_plane
from patterns.hull.planking.sections import cut_inside, in_view
from patterns.hull.planking.skin import Hull
from patterns.parts.asked.long_rules import LongAsked, LongRules
from patterns.parts.asked.rules import Building, FrameJoint, FrameKind, FrameRules, Gussets, StationFace, Way
from patterns.parts.frames.frame import FrameShape, frame_part, shape_frame
from patterns.parts.frames.frame_pieces import frame_parts
from patterns.parts.frames.notches import NO_FASTENING
from patterns.parts.long.longitudinals import solids as solids_of
from patterns.parts.long.solids import Solid
from patterns.parts.part import Part
from patterns.parts.role import Role
from patterns.parts.stands import stand_frame
from patterns.parts.whole import loft

STATIONS = ("1", "2", "3", "4", "5", "6")
few = settings(max_examples=12, deadline=None)


@cache
def hull() -> Hull:
    return loft(saltmeadow()).hull


def rules(**changes: object) -> FrameRules:
    frames = saltmeadow().frames
    assert frames is not None
    return replace(frames, **changes)  # type: ignore[arg-type]


def shape(
    name: str, own: FrameRules, *, building: Building | None = None, solids: tuple[Solid, ...] = ()
) -> FrameShape:
    place = next(place for place in own.places if place.name == name)
    return shape_frame(hull(), own, stand_frame(hull(), own, place), solids=solids, building=building)


def area(points: object) -> float:
    return float(Polygon(points).area)  # type: ignore[arg-type]


# --- Sawn frames ---


@pytest.mark.parametrize("joint", FrameJoint)
@pytest.mark.parametrize("name", STATIONS)
def test_timbers_make_up_the_frame_and_nothing_more_on_both_faces(joint: FrameJoint, name: str) -> None:
    made = frame_parts(shape(name, rules(joint=joint, limber=12.7)))
    whole, (floor, port, starboard) = made.whole, made.pieces
    assert made.doubts == ()
    assert [piece.title for piece in (floor, port, starboard)] == [
        f"frame {name} floor timber",
        f"frame {name} side timber, port",
        f"frame {name} side timber, starboard",
    ]
    for face in ("outline", "far_outline"):
        pieces = [Polygon(getattr(piece, face)) for piece in (floor, port, starboard)]
        assert sum(piece.area for piece in pieces) == pytest.approx(area(getattr(whole, face)), abs=1.0)
        for one, other in ((0, 1), (0, 2), (1, 2)):
            assert pieces[one].intersection(pieces[other]).area < 1.0
    # Seen from aft, port is on the left.
    side = 1.0 if whole.marked_face == "after face" else -1.0
    assert side * Polygon(port.outline).centroid.x < 0 < side * Polygon(starboard.outline).centroid.x


@pytest.mark.parametrize("name", STATIONS)
def test_a_gusset_lies_inside_both_faces_and_covers_the_joint(name: str) -> None:
    own = rules(gussets=Gussets(9.5, 2, "plywood"))
    frame = shape(name, own)
    made = frame_parts(frame)
    whole, gusset = made.whole, made.pieces[-1]
    assert gusset.count == 4
    plate = Polygon(gusset.outline)
    opening = Polygon(frame.inner).buffer(0.1)
    # Its own far face lies a gusset's thickness off the frame, where the planking may be nearer by the bevel.
    edges = [edge for edge in whole.edges if edge.name == "bottom" or edge.name.startswith("side")]
    steepest = max(abs(np.tan(bevel.angle)) for edge in edges for bevel in edge.bevels)
    for face, outer in ((frame.near, frame.outer), (frame.far, frame.far_outer)):
        assert plate.difference(face.ring.union(opening)).area < 1.0
        for line in (outer.bottom, outer.side):
            assert plate.distance(LineString(line)) > 9.5 * steepest
    joint = next(mark for mark in whole.marks if mark.name == "joint" and mark.points[0, 0] > 0)
    assert plate.contains(Point(*joint.points.mean(axis=0)))


@pytest.mark.parametrize("name", STATIONS)
def test_no_feather_of_a_gusset_stands_between_limber_and_notch(name: str) -> None:
    own = rules(gussets=Gussets(9.5, 2, "plywood"), limber=12.7)
    plate = Polygon(frame_parts(shape(name, own, solids=corner_log(name))).pieces[-1].outline)
    # Wood 6 mm wide or less is what an opening by 3 mm takes away, besides a little at every corner.
    lost = plate.difference(plate.buffer(-3.0).buffer(3.0))
    assert max((piece.area for piece in shapely.get_parts(lost)), default=0.0) < 15.0


@pytest.mark.parametrize("name", STATIONS)
def test_a_mitre_finds_a_wall_of_the_notch_that_takes_its_corner(name: str) -> None:
    solids = corner_log(name)
    made = frame_parts(shape(name, rules(joint=FrameJoint.MITRE, limber=12.7), solids=solids))
    assert made.doubts == ()
    floor, port, starboard = (Polygon(piece.outline) for piece in made.pieces)
    assert floor.area + port.area + starboard.area == pytest.approx(area(made.whole.outline), abs=1.0)
    joint = next(mark.points for mark in made.whole.marks if mark.name == "joint")
    face = stand_frame(hull(), rules(), _place(rules(), name)).face
    walls = shapely.union_all([Polygon(solid.cut(face)).exterior for solid in solids])
    assert min(walls.distance(Point(*end)) for end in joint) < 0.1


@pytest.mark.parametrize("name", STATIONS)
def test_limbers_keep_clear_of_a_joint_in_a_level_bottom(name: str) -> None:
    made = frame_parts(shape(name, rules(joint=FrameJoint.FLOOR_BETWEEN_SIDES, limber=12.7)))
    floor, *sides = (piece for piece in made.pieces if "gusset" not in piece.name)
    assert sum(edge.name == "limber" for edge in floor.edges) == 2
    assert not any(edge.name == "limber" for side in sides for edge in side.edges)


# --- Moulds ---


@pytest.mark.parametrize("face", StationFace)
@pytest.mark.parametrize("name", STATIONS)
def test_a_mould_is_square_and_lies_on_the_planking_at_its_end_ward_face_only(face: StationFace, name: str) -> None:
    own = rules(kind=FrameKind.MOULD, station_face=face, solid=True)
    frame = shape(name, own)
    mould = frame_part(frame)
    assert mould.name == f"mould {name}"
    assert all(bevel.run == 0 for edge in mould.edges for bevel in edge.bevels)
    place = frame.stand.place.from_fp
    forward = place < hull().widest
    after_face_on_station = {
        StationFace.AFT: True,
        StationFace.FORE: False,
        StationFace.TOWARD_MIDSHIP: forward,
        StationFace.END_WARD: not forward,
    }[face]
    wood = (place - own.sided, place) if after_face_on_station else (place, place + own.sided)
    end = min(wood) if forward else max(wood)
    section = in_view(plane := station_plane(end, facing_aft=not forward), cut_inside(hull(), plane))
    side, bottom = section.side, section.floor
    wanted = Polygon(np.concatenate([bottom, side[1:], (side * (-1, 1))[::-1][:-1]]))
    # Sides all but straight are drawn by their ends: 0.01 mm of chord on 2 sides of 600 mm would be 8 mm2.
    assert Polygon(mould.outline).symmetric_difference(wanted).area < 3.0
    assert mould.marked_face == ("fore face" if forward else "after face")


def test_a_mould_away_from_midship_never_stands_proud_of_the_planking() -> None:
    for name in ("1", "2", "6"):
        assert shape(name, rules(kind=FrameKind.MOULD)).stands_out < 0.01


def test_an_open_mould_and_a_solid_one_have_the_same_outer_edge() -> None:
    whole, ring = (frame_part(shape("3", rules(kind=FrameKind.MOULD, solid=solid))) for solid in (True, False))
    for name in ("bottom", "side port", "side starboard"):
        a, b = (next(edge.points for edge in one.edges if edge.name == name) for one in (whole, ring))
        assert np.array_equal(a, b)
    assert "inner" not in [edge.name for edge in whole.edges]


# --- Sheet frames ---


@few
@given(st.sampled_from(STATIONS[1:]), st.floats(5.0, 80.0))
def test_an_inside_corner_is_an_arc_of_its_radius_touching_both_timbers(name: str, radius: float) -> None:
    frame = shape(name, rules(kind=FrameKind.SHEET, inside_corner=radius))
    assert frame.inner is not None
    assert frame.corner is not None
    sharp = shape(name, rules(kind=FrameKind.SHEET)).inner
    assert sharp is not None
    i = int(np.abs(sharp - frame.corner).max(axis=1).argmin())
    a, b = (way / np.linalg.norm(way) for way in (sharp[i - 1] - sharp[i], sharp[i + 1] - sharp[i]))
    half = np.arccos(a @ b) / 2
    # Circle touching two lines that meet at twice `half`: its nearest point to the corner, plane geometry.
    nearest = radius * (1 / np.sin(half) - 1)
    assert np.linalg.norm(frame.inner - frame.corner, axis=1).min() == pytest.approx(nearest, abs=0.02)


@pytest.mark.parametrize("name", STATIONS)
def test_rounding_the_corners_of_a_flaring_frame_leaves_its_inner_edge_straight_up_to_the_head(name: str) -> None:
    building = Building(Way.UPSIDE_DOWN, strongback=1200.0, spall=None)
    kinds = {"kind": FrameKind.SHEET, "inside_corner": 76.2}
    rounded, sharp = (shape(name, rules(**k), building=building) for k in (kinds, {**kinds, "inside_corner": 0.0}))
    assert rounded.inner is not None
    assert sharp.inner is not None
    line = LineString(sharp.inner)
    high = rounded.inner[rounded.inner[:, 1] > 450.0]
    assert len(high) >= 2
    assert max(line.distance(Point(*point)) for point in high) < 0.01


def test_a_mould_says_nothing_of_limbers() -> None:
    for made in (FrameKind.MOULD, FrameKind.SHEET):
        words = " ".join(frame_part(shape("1", rules(kind=made, limber=200.0))).remarks)
        assert ("limbers" in words) == (made is FrameKind.SHEET)


@pytest.mark.parametrize("solid", [True, False])
def test_a_mould_says_which_long_pieces_it_stands_in_the_way_of(solid: bool) -> None:
    """It is not let over them: their sections are drawn in its wood, and the builder is warned."""
    log = corner_log("3")
    own = rules(kind=FrameKind.MOULD, solid=solid)
    mould = frame_part(shape("3", own, solids=log))
    ways = [mark for mark in mould.marks if mark.name.startswith("way of chine log")]
    assert {mark.name for mark in ways} == {"way of chine log port", "way of chine log starboard"}
    section = Polygon(log[0].cut(station_plane(float(shape("3", own).stand.face.origin[0]), facing_aft=True)))
    starboard = Polygon(next(mark.points for mark in ways if mark.name.endswith("starboard")))
    wood = Polygon(mould.outline)
    mirror = 1.0 if mould.marked_face == "after face" else -1.0
    seen = shapely.transform(section, lambda p: p * (mirror, 1.0))
    assert seen.intersection(wood).difference(starboard.buffer(0.5)).area < 1.0
    assert any("chine log would run through its wood" in doubt for doubt in mould.doubts)
    assert all(edge.name != "notch chine log starboard" for edge in mould.edges)
    assert frame_part(shape("3", own)).doubts == ()


def test_a_gusset_nobody_measured_does_not_say_so() -> None:
    for measured, told in ((True, "thick as measured"), (False, "thick, in proportion to the frame: not measured")):
        own = rules(gussets=Gussets(9.5, 2, "plywood", measured=measured))
        gusset = next(piece for piece in frame_parts(shape("3", own)).pieces if piece.name.endswith("gusset"))
        assert gusset.thickness_is == told


def test_a_corner_too_round_for_the_frame_is_refused_by_name() -> None:
    with pytest.raises(ShapeError, match=r"frame 1: no room for inside corners of 400.0 mm radius"):
        shape("1", rules(kind=FrameKind.SHEET, inside_corner=400.0))


# --- Limbers ---


@pytest.mark.parametrize("name", STATIONS)
def test_a_level_floor_drains_at_both_ends_through_both_faces(name: str) -> None:
    plain, drained = (shape(name, rules(limber=r)) for r in (0.0, 12.7))
    for before, after in ((plain.near, drained.near), (plain.far, drained.far)):
        lost = before.ring.difference(after.ring)
        holes = [hole for hole in getattr(lost, "geoms", [lost]) if hole.area > 1]
        assert len(holes) == 2
        for hole in holes:
            assert hole.area == pytest.approx(np.pi * 12.7**2 / 2, rel=0.25)
    # At the ends of the bay, with wood left between limber and corner on both faces.
    limber = max(
        (e for e in frame_part(drained).edges if e.name == "limber"), key=lambda e: float(e.points[:, 0].max())
    )
    for points, outer in ((limber.points, drained.outer), (limber.far, drained.far_outer)):
        assert 0 < outer.side[0, 0] - points[:, 0].max() < 12.7 * 2


# --- Upside down ---


def test_legs_stand_on_the_strongback_and_the_spall_lies_level() -> None:
    building = Building(Way.UPSIDE_DOWN, strongback=1100.0, spall=400.0)
    for kind in FrameKind:
        part = frame_part(shape("2", rules(kind=kind), building=building))
        tops = [edge for edge in part.edges if edge.name == "top"]
        assert all(np.allclose(edge.points[:, 1], 1100.0) for edge in tops)
        assert {"leg port", "leg starboard"} <= {edge.name for edge in part.edges}
        spall = next(mark for mark in part.marks if mark.name == "cross spall, lower edge")
        assert np.allclose(spall.points[:, 1], 400.0)
        assert abs(spall.points[0, 0] + spall.points[1, 0]) < 1e-6


def test_a_spall_that_would_miss_a_frame_is_told_of() -> None:
    for height, told in ((400.0, False), (2000.0, True), (1.0, True)):
        made = frame_part(shape("2", rules(), building=Building(Way.RIGHT_SIDE_UP, 0.0, spall=height)))
        assert any(doubt.startswith("no cross spall") for doubt in made.doubts) == told
        assert any(remark.startswith("No cross spall") for remark in made.remarks) == told


def test_a_strongback_below_the_sheer_is_refused() -> None:
    with pytest.raises(ShapeError, match=r"frame 2: its head at the sheer stands .* above base, and the strongback"):
        shape("2", rules(), building=Building(Way.UPSIDE_DOWN, strongback=300.0, spall=None))


@pytest.mark.slow
@pytest.mark.parametrize("face", StationFace)
def test_an_inwale_is_let_into_the_legs_of_every_frame_that_stands_on_a_strongback(face: StationFace) -> None:
    skiff = saltmeadow()
    job = loft(
        replace(
            skiff,
            frames=rules(station_face=face),
            long=LongAsked(inwale=LongRules("inwale", 19.05, 38.1, "oak", 1.6)),
            building=Building(Way.UPSIDE_DOWN, strongback=1200.0, spall=None),
        )
    )
    assert not any("no notch" in one.text for one in job.warnings)
    inwales = [solid for solid in solids_of(job.long_pieces) if solid.name == "inwale"]
    for part in (part for part in job.parts if part.name in {f"frame {name}" for name in STATIONS}):
        assert any("notch is cut in the outer edge at the sheer" in remark for remark in part.remarks)
        stand = stand_frame(job.hull, rules(station_face=face), _place(rules(), part.name.removeprefix("frame ")))
        for outline, plane in ((part.outline, stand.face), (part.far_outline, stand.far)):
            wood = Polygon(outline)
            assert wood.bounds[3] == pytest.approx(1200.0)
            for solid in inwales:
                section = Polygon(solid.cut(plane))
                assert wood.intersection(section.buffer(-0.1)).area < 0.01
                assert wood.distance(section) < 0.1


# --- Notches ---


def corner_log(name: str) -> tuple[Solid, Solid]:
    """A bar in the corner of side and bottom by plain vectors: its section at two planes, joined straight."""
    place = next(place for place in rules().places if place.name == name)
    faces = []
    for x in place.from_fp + np.linspace(-60.0, 60.0, 61):
        plane = station_plane(x, facing_aft=True)
        section = in_view(plane, cut_inside(hull(), plane))
        side, bottom = section.side, section.floor
        up = (side[10] - side[0]) / np.linalg.norm(side[10] - side[0])
        corner, across = side[0], (bottom[-8] - bottom[-1]) / np.linalg.norm(bottom[-8] - bottom[-1])
        flat = np.stack([corner, corner + 60 * up, corner + 60 * up + 38 * across, corner + 38 * across])
        faces.append(np.column_stack([np.full(4, x), flat]))
    starboard = Solid("chine log", "starboard", np.stack(faces, axis=1), role=Role.LOG)
    return starboard, starboard.mirrored()


@pytest.mark.parametrize("name", STATIONS)
def test_a_notch_is_the_section_of_its_piece_on_both_faces(name: str) -> None:
    solids = corner_log(name)
    frame, plain = shape(name, rules(), solids=solids), shape(name, rules())
    for plane, notched, whole in (
        (frame.stand.face, frame.near.ring, plain.near.ring),
        (frame.stand.far, frame.far.ring, plain.far.ring),
    ):
        sections = [Polygon(solid.cut(plane)) for solid in solids]
        for section in sections:
            # No wood left inside the piece, and none taken but the piece's own, to 0.1 mm.
            assert notched.intersection(section.buffer(-0.1)).area < 0.01
            taken = whole.difference(notched)
            assert taken.difference(sections[0].union(sections[1]).buffer(0.1)).area < 0.5
    names = {edge.name for edge in frame_part(frame).edges}
    assert {"notch chine log port", "notch chine log starboard"} <= names


@pytest.mark.slow
@few
@given(st.sampled_from(STATIONS), st.floats(0.2, 3.0))
def test_a_notch_left_shy_is_smaller_all_round(name: str, shy: float) -> None:
    solids = corner_log(name)
    full, left = (shape(name, rules(shy=s), solids=solids) for s in (0.0, shy))
    extra = left.near.ring.difference(full.near.ring)
    assert extra.area > 0
    section = Polygon(solids[0].cut(full.stand.face))
    assert left.near.ring.intersection(section).difference(section.exterior.buffer(shy * 1.01)).area < 0.5


def test_a_notch_left_so_shy_that_nothing_is_left_of_it_is_refused() -> None:
    with pytest.raises(ShapeError, match=r"frame 2: notch_allowance .* leaves nothing of the notch for chine log"):
        shape("2", rules(shy=80.0), solids=corner_log("2"))


def test_a_log_higher_than_the_floor_timber_is_told_of_and_not_refused() -> None:
    """Timbers thinner than the log they are notched for: another joint is drawn, or none, and the builder told."""
    for name in STATIONS:
        own = rules(floor_moulded=50.0, joint=FrameJoint.SIDES_ON_FLOOR)
        made = frame_parts(shape(name, own, solids=corner_log(name)))
        assert made.whole.name == f"frame {name}"
        if made.doubts:
            assert all(doubt.startswith(("no notch", "its joint", "no timbers")) for doubt in made.doubts)
            assert any(remark.lower().startswith(made.doubts[-1].lower()) for remark in made.whole.remarks)
        else:
            assert len(made.pieces) == 3


def test_fastenings_are_kept_off_the_notch() -> None:
    frame = shape("3", rules(), solids=corner_log("3"))
    marks = [mark for mark in frame.marks if mark.name == "no fastenings"]
    assert len(marks) == 2
    sections = [Polygon(solid.cut(frame.stand.face)) for solid in corner_log("3")]
    for mark in marks:
        nearest = min(sections, key=lambda section: section.distance(Point(*mark.points[0])))
        assert all(nearest.distance(Point(*point)) > NO_FASTENING - 0.2 for point in mark.points)


# --- Faces and bevels ---


@few
@given(st.sampled_from(STATIONS), st.floats(2.0, 10.0))
def test_a_frame_moved_by_its_own_thickness_changes_by_t_tan_bevel(name: str, sided: float) -> None:
    """The far face's outline is the outline of a frame standing one thickness on; the bevel says as much."""
    own = rules(sided=sided)
    part: Part = frame_part(shape_frame(hull(), own, stand := stand_frame(hull(), own, _place(own, name))))
    moved = station_plane(stand.place.from_fp + stand.wood * sided, facing_aft=stand.face.facing[0] > 0)
    side = in_view(moved, cut_inside(hull(), moved)).side
    edge = next(edge for edge in part.edges if edge.name.startswith("side") and edge.points[:, 0].max() > 0)
    bevel = edge.bevels[len(edge.bevels) // 2]
    at = np.interp(bevel.along, *_run(edge.points))
    height = float(np.interp(at, np.arange(len(edge.points)), edge.points[:, 1]))
    here, there = (float(np.interp(height, line[:, 1], line[:, 0])) for line in (edge.points, side))
    slope = np.arctan2(*(edge.points[-1] - edge.points[0]))
    assert (there - here) * np.cos(slope) == pytest.approx(sided * np.tan(bevel.angle), abs=0.02)


def _place(own: FrameRules, name: str) -> object:
    return next(place for place in own.places if place.name == name)


def _run(points: np.ndarray) -> tuple[np.ndarray, np.ndarray]:
    run = np.concatenate([[0.0], np.cumsum(np.linalg.norm(np.diff(points, axis=0), axis=1))])
    return run, np.arange(len(points), dtype=np.float64)
