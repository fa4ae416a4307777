"""Transoms bowed round an axis along their rake: lines end on them, panels too; unrolled to arc lengths."""

from __future__ import annotations

from dataclasses import replace
from functools import cache

import numpy as np
import pytest
from boats import Floats, saltmeadow
from measured import apart, assert_sound, dense, naive_distance
from sample_jobs import sample
from shapely import LinearRing, Polygon
from stem_wedges import HALF_ANGLE, PLANK, wedge

from patterns.geometry.cuts import Cylinder, Plane
from patterns.hull.build import Transom
from patterns.hull.offsets import OffsetRow
from patterns.parts.asked.end_rules import MotorCut, StemWork, TransomFraming, TransomWork
from patterns.parts.asked.fitting_rules import FittingsAsked, KneeRules
from patterns.parts.asked.long_rules import ChineLogRules, LongAsked, LongRules
from patterns.parts.asked.rules import Boat
from patterns.parts.long.longitudinals import solids
from patterns.parts.part import Part
from patterns.parts.stands import transom_face, transom_inner_face
from patterns.parts.whole import Job, loft

RADIUS = 1500.0
LENGTH = 2400.0  # of the wedge
THICK = 18.0


def bowed(boat: Boat, radius: float, **changes: object) -> Job:
    assert isinstance(boat.aft, Transom)
    return loft(replace(boat, aft=replace(boat.aft, radius=radius), **changes))  # type: ignore[arg-type]


def rolled(face: Plane, flat: Floats) -> Floats:
    """Places of an unrolled pattern on its own face in the boat, by the sine and cosine of the arc."""
    assert isinstance(face, Cylinder)
    turn = flat[:, 0] / face.unrolled_on
    athwart, back = face.radius * np.sin(turn), face.radius * (1 - np.cos(turn))
    space = face.origin + athwart[:, None] * face.right - back[:, None] * face.facing + flat[:, 1:] * face.up
    return np.asarray(space * np.where(space[:, 1:2] < 0, [1.0, -1.0, 1.0], 1.0))


# --- The wedge: upright walls at a known angle on a level bottom, its transom a cylinder about an upright axis ---


def half_breadth_where_wall_meets(radius: float, centre: float, at_stem: float) -> float:
    """Half-breadth where y = at_stem + x tan a meets (x - centre)^2 + y^2 = radius^2 aft of the centre."""
    t = np.tan(HALF_ANGLE)
    # (1 + t^2) x^2 + 2 (at_stem t - centre) x + centre^2 + at_stem^2 - radius^2 = 0
    x = np.roots([1 + t**2, 2 * (at_stem * t - centre), centre**2 + at_stem**2 - radius**2]).max()
    return float(at_stem + x * t)


AT_STEM = 25.0  # half-breadth of the wedge's outside
INSIDE_AT_STEM = AT_STEM - PLANK / np.cos(HALF_ANGLE)


def wedge_table() -> Boat:
    """The wedge with its after column where its walls meet the bowed transom."""
    boat = wedge(StemWork(), ends_at=AT_STEM)
    end = half_breadth_where_wall_meets(RADIUS, LENGTH - RADIUS, AT_STEM)
    rows = tuple(OffsetRow(row.name, np.append(row.values[:-1], end)) for row in boat.offsets.half_breadths)
    return replace(boat, offsets=replace(boat.offsets, half_breadths=rows))


@cache
def bowed_wedge() -> Job:
    return bowed(wedge_table(), RADIUS)


def test_a_line_ends_on_the_arc_at_its_half_breadth() -> None:
    for line in bowed_wedge().lines:
        half = float(line.half_breadth.faired[-1])
        assert line.height.from_fp[-1] == pytest.approx(LENGTH - RADIUS + np.sqrt(RADIUS**2 - half**2), abs=1e-6)


def test_a_bowed_transom_unrolls_to_its_arc_lengths() -> None:
    centre = LENGTH - RADIUS
    half = half_breadth_where_wall_meets(RADIUS, centre, INSIDE_AT_STEM)
    far_half = half_breadth_where_wall_meets(RADIUS - THICK, centre, INSIDE_AT_STEM)
    board = bowed_wedge().part("transom")
    side = board.edge("side starboard")
    assert side.points[:, 0] == pytest.approx(RADIUS * np.arcsin(half / RADIUS), abs=0.02)
    assert side.far[:, 0] == pytest.approx(RADIUS * np.arcsin(far_half / (RADIUS - THICK)), abs=0.02)
    assert np.ptp(board.outline[:, 1]) == pytest.approx(520.0 - 112.0, abs=0.02)  # the bottom laps over: 12 mm


def test_the_bevel_of_a_bowed_transom_is_the_angle_between_its_radius_and_the_planking() -> None:
    half = half_breadth_where_wall_meets(RADIUS, LENGTH - RADIUS, INSIDE_AT_STEM)
    # Seen from above the radius stands off the centre plane by asin(y/R), the wall by its half angle.
    known = np.degrees(np.arcsin(half / RADIUS) - HALF_ANGLE)
    for name in ("side starboard", "side port"):
        for bevel in bowed_wedge().part("transom").edge(name).bevels:
            assert bevel.kind == "standing"
            assert np.degrees(bevel.angle) == pytest.approx(known, abs=0.1)
            assert bevel.run == pytest.approx(THICK * np.tan(bevel.angle), abs=1e-6)


def test_a_level_bottom_ends_in_the_transoms_own_arc() -> None:
    panel = bowed_wedge().part("bottom panel")
    end = panel.edge("transom").points
    middle = end[:, 0].max() - RADIUS
    assert np.hypot(end[:, 0] - middle, end[:, 1]) == pytest.approx(RADIUS, abs=0.01)
    half = half_breadth_where_wall_meets(RADIUS, LENGTH - RADIUS, AT_STEM)
    assert np.abs(end[:, 1]).max() == pytest.approx(half, abs=0.05)


def test_a_crown_and_a_cut_out_are_measured_along_the_face() -> None:
    boat = wedge_table()
    assert isinstance(boat.aft, Transom)
    boat = replace(boat, aft=replace(boat.aft, crown=40.0), aft_work=TransomWork(motor=MotorCut(300.0, 90.0, 40.0)))
    board = bowed(boat, RADIUS).part("transom")
    cut = board.edge("motor cut-out").points
    assert np.ptp(cut[:, 0]) == pytest.approx(300.0)
    # The sheer stands at 520 mm; below its arc's top on the centre line the cut-out is 90 mm deep.
    assert cut[:, 1].min() == pytest.approx(520.0 + 40.0 - 90.0, abs=0.02)


# --- The skiff and the pram ---


def with_everything(*, through: bool) -> Boat:
    asked = LongAsked(
        chine_logs=(ChineLogRules("chine log", 38.1, 63.5, "oak", 1.6, drain=np.radians(5.0)),),
        inwale=LongRules("inwale", 19.05, 38.1, "oak", 1.6),
        outwale=LongRules("outwale", 19.05, 31.75, "oak", 1.6),
        keel_batten=LongRules("keel batten", 127.0, 19.05, "oak", 1.6),
        through_aft=through,
    )
    work = TransomWork(motor=MotorCut(360.0, 80.0, 50.0), framing=TransomFraming(30.0, 50.0, "oak"), through=through)
    knee = FittingsAsked(quarter_knee=KneeRules(250.0, 200.0, 19.05, 20.0, "oak"))
    return replace(saltmeadow(), long=asked, aft_work=work, fitted=knee)


@cache
def bowed_skiff(through: bool) -> Job:
    return bowed(with_everything(through=through), RADIUS)


def faces(job: Job, *, aft: bool = True) -> tuple[Plane, Plane]:
    board = job.boat.aft if aft else job.boat.fore
    assert isinstance(board, Transom)
    return transom_face(board, aft=aft), transom_inner_face(board, aft=aft)


def assert_on_the_planking(job: Job, board: Part, *, aft: bool) -> None:
    hull = job.hull
    for word, strake in (("side starboard", hull.sheer_strake), ("bottom", hull.floor)):
        for each in (one for one in board.edges if one.name == word):
            for face, flat in zip(faces(job, aft=aft), (each.points, each.far), strict=True):
                away = naive_distance(strake.ruled, rolled(face, dense(flat)))
                assert np.abs(away - abs(strake.inside)).max() < 0.05


@pytest.mark.slow
@pytest.mark.parametrize("through", [False, True])
def test_a_bowed_transoms_edges_lie_on_the_inside_of_the_planking_on_both_faces(through: bool) -> None:
    job = bowed_skiff(through)
    assert_sound(job)
    assert_on_the_planking(job, job.part("transom"), aft=True)
    assert max(abs(mating.left) for mating in job.matings) < 0.02


@pytest.mark.slow
def test_pieces_that_come_through_a_bowed_transom_fit_their_notches_on_both_faces() -> None:
    job = bowed_skiff(True)
    transom = job.part("transom")
    assert any(edge.name == "notch chine log starboard" for edge in transom.edges)
    for face, outline in zip(faces(job), (transom.outline, transom.far_outline), strict=True):
        wood = Polygon(outline)
        for solid in solids(job.long_pieces):
            section = Polygon(solid.cut(face))
            assert wood.intersection(section.buffer(-0.1)).area < 0.01
            assert wood.distance(section) < 0.1


@pytest.mark.slow
def test_pieces_that_stop_at_a_bowed_transom_end_on_its_inner_face() -> None:
    job = bowed_skiff(False)
    _, inner = faces(job)
    assert isinstance(inner, Cylinder)
    assert not any(edge.name.startswith("notch") for edge in job.part("transom").edges)
    for piece in (one for one in job.long_pieces if one.inside and one.part.hand != "port"):
        axis = inner.origin - inner.radius * inner.facing
        away = np.asarray(piece.places[-1].at) - axis
        # Distance from the axis, by its part square to it.
        square = away - (away @ inner.up) * inner.up
        assert np.linalg.norm(square) == pytest.approx(inner.radius, abs=0.05)


def test_a_quarter_knees_arm_follows_a_bowed_transom() -> None:
    job = bowed_skiff(False)
    arm = job.part("quarter knee, starboard").edge("transom").points
    chord = arm[-1] - arm[0]
    sag = np.abs((arm - arm[0]) @ np.array([-chord[1], chord[0]]) / np.hypot(*chord)).max()
    # c^2 / 8 R, and a little more: the knee's top cuts the raked cylinder aslant.
    assert 1.0 < sag / (np.hypot(*chord) ** 2 / (8 * (RADIUS - 19.05))) < 1.2


def test_fashion_pieces_of_a_bowed_transom_are_unrolled_on_the_face_against_it() -> None:
    job = bowed_skiff(False)
    whole, transom = job.part("transom framing"), job.part("transom")
    share = (RADIUS - 19.05) / RADIUS
    inner = Polygon(transom.far_outline * (share, 1.0))
    assert Polygon(whole.outline).difference(inner.buffer(0.05)).area < 0.1
    timbers = {one.title for one in job.parts if one.name.startswith("transom framing ")}
    assert timbers == {
        "transom framing floor timber",
        "transom framing side timber, port",
        "transom framing side timber, starboard",
    }
    assert any("Bend or build the blank" in remark for remark in transom.remarks)
    # Bending keeps the length of the middle of the thickness: what a router cuts flat wants other breadths.
    for title, thickness in (("transom", 19.05), ("transom framing", 30.0)):
        radius = RADIUS if title == "transom" else RADIUS - 19.05
        told = next(one.text for one in job.warnings if one.where == title)
        assert f"by {1 - thickness / 2 / radius:.4f}" in told


@pytest.mark.slow
def test_a_pram_may_be_bowed_at_both_ends() -> None:
    boat = sample("duckweed")[1].boat
    assert isinstance(boat.fore, Transom)
    job = bowed(boat, 1200.0, fore=replace(boat.fore, radius=900.0))
    assert_sound(job)
    for name, aft in (("transom", True), ("bow transom", False)):
        assert_on_the_planking(job, job.part(name), aft=aft)
    bottom = job.part("bottom panel").edge("bow transom").points
    assert (
        bottom[np.abs(bottom[:, 1]).argmin(), 0] < bottom[[0, -1], 0].min() - 5.0
    )  # its middle stands furthest forward


@pytest.mark.slow
def test_a_transom_of_very_large_radius_is_the_flat_one() -> None:
    flat, barely = loft(with_everything(through=True)), bowed(with_everything(through=True), 1e8)
    for one, other in zip(flat.parts, barely.parts, strict=True):
        # Frames and gussets do not know of the transom; what is rounded off from the last digits may differ there.
        if not one.name.startswith("frame"):
            assert one.title == other.title
            assert apart(one.outline, other.outline) < 0.01
            assert LinearRing(one.far_outline).hausdorff_distance(LinearRing(other.far_outline)) < 0.01
