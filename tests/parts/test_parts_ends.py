"""Stem and transom as they are built: rabbet, laps, false stem; cut-outs, notches, fashion pieces, boards."""

from __future__ import annotations

from dataclasses import replace

import numpy as np
import pytest
from boats import saltmeadow
from shapely import LineString, Point, Polygon
from stem_wedges import HALF_ANGLE, PLANK, SIDED, wedge

from patterns.errors import ShapeError
from patterns.hull.build import LinesTo, Stem, Transom
from patterns.parts.asked.end_rules import (
    MotorCut,
    PlankEnds,
    ScullingNotch,
    StemWork,
    TransomFraming,
    TransomWork,
)
from patterns.parts.asked.long_rules import LongAsked, LongRules
from patterns.parts.long.longitudinals import solids
from patterns.parts.part import Part
from patterns.parts.stands import transom_face, transom_inner_face
from patterns.parts.whole import Job, loft


def part(job: Job, title: str) -> Part:
    return next(part for part in job.parts if part.title == title)


def mark_x(stem: Part, name: str) -> float:
    points = next(mark.points for mark in stem.marks if mark.name == name)
    assert np.ptp(points[:, 0]) < 0.02  # upright
    return float(points[:, 0].mean())


def test_a_wedges_rabbet_apex_and_bearding_lines_stand_where_plane_geometry_puts_them() -> None:
    stem = part(loft(wedge(StemWork(PlankEnds.RABBET, false_moulded=20.0))), "stem")
    rabbet, apex, bearding = (mark_x(stem, f"{name} line") for name in ("rabbet", "apex", "bearding"))
    # Top view: outside y = w at the rabbet; the inside a plank's thickness in meets y = w further aft by T / sin a; the
    # plank's square end runs in along the normal, so its inside corner lies T sin a aft.
    assert rabbet == pytest.approx(0.0, abs=0.05)
    assert bearding - rabbet == pytest.approx(PLANK / np.sin(HALF_ANGLE), abs=0.05)
    assert apex - rabbet == pytest.approx(PLANK * np.sin(HALF_ANGLE), abs=0.05)
    fore = next(edge for edge in stem.edges if edge.name == "fore")
    assert fore.points[:, 0] == pytest.approx(-20.0, abs=1e-6)  # so far the stem stands ahead of the rabbet


def test_a_landings_depth_is_half_siding_less_half_face_over_the_tangent() -> None:
    # (w - f) / tan a: plane geometry, as the trade reckons it.
    stem = part(loft(wedge(StemWork(), ends_at=25.0)), "stem")
    half_face = 25.0 - PLANK / np.cos(HALF_ANGLE)
    for landing in stem.landings:
        assert landing.angle == pytest.approx(HALF_ANGLE, abs=np.radians(0.02))
        assert landing.depth == pytest.approx((SIDED / 2 - half_face) / np.tan(HALF_ANGLE), abs=0.05)


def test_a_rabbet_wants_the_lines_to_end_on_the_stems_side() -> None:
    with pytest.raises(ShapeError, match=r"stem: a rabbet lies .* half-breadth of 25"):
        loft(wedge(StemWork(PlankEnds.RABBET), ends_at=25.0))


@pytest.mark.slow
def test_a_rabbet_takes_lines_to_the_inside_of_the_planking_too() -> None:
    outside = wedge(StemWork(PlankEnds.RABBET, false_moulded=20.0))
    inside = wedge(StemWork(PlankEnds.RABBET, false_moulded=20.0), ends_at=SIDED / 2 - PLANK / np.cos(HALF_ANGLE))
    inside = replace(inside, skin=replace(inside.skin, lines_to=LinesTo.INSIDE))
    for name in ("rabbet line", "apex line", "bearding line"):
        one, other = (mark_x(part(loft(boat), "stem"), name) for boat in (outside, inside))
        assert one == pytest.approx(other, abs=0.05)


def test_a_landing_is_drawn_square_to_the_raked_face_and_ends_on_the_bearding_line() -> None:
    stem = part(loft(saltmeadow()), "stem")
    drawn = next(mark.points for mark in stem.marks if mark.name == "bearding line")
    # It ends at the top of the planking, inside the boat lower than on the face: the sheet says to carry it on.
    bearding = LineString(np.concatenate([[drawn[0] + (drawn[0] - drawn[1])], drawn]))
    assert "carried on to the top" in stem.remarks[0]
    up = np.array([-13.25, 26.25]) / np.hypot(13.25, 26.25)  # boat.toml: 13 1/4 in aft in 26 1/4 in down
    marks = [mark.points for mark in stem.marks if ": landing " in mark.name]
    assert len(marks) == len(stem.landings)
    for points, landing in zip(marks, stem.landings, strict=True):
        way = points[1] - points[0]
        assert abs(way @ up) < 0.01 * np.hypot(*way)  # fairing moves the chine's end, and the rake with it, a little
        assert np.hypot(*way) == pytest.approx(landing.depth, rel=0.01)
        # Above the planking the line is carried on straight here, and as the planking bends on the stem.
        carried = points[1][1] > drawn[:, 1].max()
        assert bearding.distance(Point(*points[1])) < (0.3 if carried else 0.03)
    head = stem.outline[:, 1].max()
    assert all(points[:, 1].max() <= head + 0.01 for points in marks)  # all on wood
    assert marks[-1][1, 1] == pytest.approx(head, abs=1.0)  # the topmost as high as it can be measured


@pytest.mark.slow
def test_landings_that_run_out_of_the_wood_are_told_wherever_a_builder_is_warned() -> None:
    skiff = saltmeadow()
    assert isinstance(skiff.fore, Stem)
    thin = loft(replace(skiff, fore=replace(skiff.fore, moulded=20.0)))
    assert any(one.where == "stem" and "the bearding line lies behind its wood" in one.text for one in thin.warnings)
    assert not any(one.where == "stem" for one in loft(skiff).warnings)
    sharp = loft(wedge(StemWork(), ends_at=6.0))
    told = next(one.text for one in sharp.warnings if one.where == "stem")
    behind = (PLANK / np.cos(HALF_ANGLE) - 6.0) / np.tan(HALF_ANGLE)
    assert f"the insides of both sides meet up to {behind:.1f} mm behind its face" in told
    assert any(remark[1:-1] == told[1:] for remark in part(sharp, "stem").remarks)


def test_a_rabbeted_stem_is_not_to_be_bevelled_to_its_face_and_its_layers_fill_it() -> None:
    stem = part(loft(wedge(StemWork(PlankEnds.RABBET, false_moulded=20.0, layers=5))), "stem")
    assert not any("bevel from it to the face" in remark for remark in stem.remarks)
    assert any("5 layers 22.0 mm thick" in remark for remark in stem.remarks)  # (90 + 20) / 5


def test_lapped_sides_are_left_as_long_as_two_crossing_planks_need() -> None:
    stem = part(loft(wedge(StemWork(PlankEnds.LAPPED), ends_at=25.0)), "stem")
    inside, outside = 25.0 - PLANK / np.cos(HALF_ANGLE), 25.0
    # Two lines leaning to the centre plane by a: the second's inside meets the first's outside (h + H) / 2 tan a ahead.
    first = (inside + outside) / 2 / np.tan(HALF_ANGLE) / np.cos(HALF_ANGLE)
    second = outside / np.tan(HALF_ANGLE) / np.cos(HALF_ANGLE)
    words = next(remark for remark in stem.remarks if "laps the first" in remark)
    assert f"{first:.1f} mm long beyond" in words
    assert f"the second {second:.1f} mm" in words


def test_a_false_stem_covers_the_plank_ends() -> None:
    job = loft(wedge(StemWork(false_moulded=30.0), ends_at=25.0))
    false = part(job, "false stem")
    assert false.thickness == pytest.approx(50.0, abs=0.1)
    assert false.outline[:, 0].min() == pytest.approx(-30.0)
    assert false.outline[:, 0].max() == pytest.approx(0.0)
    # It reaches down over the bottom's edge, which the stem stands on.
    assert false.outline[:, 1].min() == pytest.approx(100.0, abs=0.05)
    assert part(job, "stem").outline[:, 1].min() == pytest.approx(112.0, abs=0.05)


# --- Transom ---


def with_transom(work: TransomWork, **changes: object) -> Job:
    return loft(replace(saltmeadow(), aft_work=work, **changes))  # type: ignore[arg-type]


@pytest.mark.slow
def test_a_motor_cut_out_is_as_wide_as_deep_and_as_round_as_asked() -> None:
    plain, cut = (part(with_transom(TransomWork(motor=m)), "transom") for m in (None, MotorCut(360.0, 80.0, 50.0)))
    edge = next(edge for edge in cut.edges if edge.name == "motor cut-out")
    assert np.ptp(edge.points[:, 0]) == pytest.approx(360.0)
    top = plain.outline[:, 1].max()
    assert top - edge.points[:, 1].min() == pytest.approx(80.0)
    corner = edge.points[(edge.points[:, 0] > 130.0) & (edge.points[:, 1] < top - 30.0)]
    assert np.hypot(corner[:, 0] - 130.0, corner[:, 1] - (top - 30.0)) == pytest.approx(50.0, abs=0.01)
    for face in ("outline", "far_outline"):
        before, after = (Polygon(getattr(one, face)) for one in (plain, cut))
        assert before.difference(after).symmetric_difference(_above(edge.points, before)).area < 1.0


def _above(points: np.ndarray, wood: Polygon) -> Polygon:
    lid = np.array([[points[-1, 0], 2000.0], [points[0, 0], 2000.0]])
    return wood.intersection(Polygon(np.concatenate([points, lid])))  # type: ignore[return-value]


@pytest.mark.slow
def test_a_sculling_notch_stands_on_the_side_asked_for() -> None:
    for off in (200.0, -200.0):
        transom = part(with_transom(TransomWork(sculling=ScullingNotch(50.0, 60.0, off))), "transom")
        assert transom.marked_face == "after face"  # starboard on the right
        edge = next(edge for edge in transom.edges if edge.name == "sculling notch")
        assert edge.points[:, 0].mean() == pytest.approx(off, abs=0.5)


@pytest.mark.slow
def test_cut_outs_there_is_no_room_for_are_refused() -> None:
    with pytest.raises(ShapeError, match="transom: motor cut-out: no room for a width of"):
        with_transom(TransomWork(motor=MotorCut(2000.0, 80.0, 50.0)))
    with pytest.raises(ShapeError, match="transom: sculling notch: no room"):
        with_transom(TransomWork(sculling=ScullingNotch(50.0, 60.0, 900.0)))
    with pytest.raises(ShapeError, match=r"transom: sculling notch: .* runs into the motor cut-out"):
        with_transom(TransomWork(motor=MotorCut(360.0, 80.0, 50.0), sculling=ScullingNotch(50.0, 60.0, 190.0)))
    with pytest.raises(ShapeError, match="transom: found boards so narrow"):
        with_transom(TransomWork(boards=1.0))


def test_pieces_that_come_through_the_transom_fit_their_notches_on_both_faces() -> None:
    log = LongRules("inwale", 19.05, 38.1, "oak", 1.6)
    asked = LongAsked(inwale=log, keel_batten=LongRules("keel batten", 127.0, 19.05, "oak", 1.6), through_aft=True)
    job = with_transom(TransomWork(through=True), long=asked)
    board = job.boat.aft
    assert isinstance(board, Transom)
    transom = part(job, "transom")
    for face, plane in (
        ("outline", transom_face(board, aft=True)),
        ("far_outline", transom_inner_face(board, aft=True)),
    ):
        wood = Polygon(getattr(transom, face))
        for solid in solids(job.long_pieces):
            section = Polygon(solid.cut(plane))
            assert wood.intersection(section.buffer(-0.1)).area < 0.01
            assert wood.distance(section) < 0.1
    assert any("after face, flush" in piece.after.against for piece in job.long_pieces)


def test_fashion_pieces_lie_against_the_transom_inside_the_planking() -> None:
    job = with_transom(TransomWork(framing=TransomFraming(30.0, 50.0, "oak")))
    whole = part(job, "transom framing")
    transom = part(job, "transom")
    # Its face against the transom is the transom's own inner face, as far up as the sheer.
    inner, head = Polygon(transom.far_outline), whole.outline[:, 1].max()
    assert Polygon(whole.outline).difference(inner.buffer(0.05)).area < 0.1
    bottom = next(edge for edge in whole.edges if edge.name == "bottom")
    below = next(edge for edge in transom.edges if edge.name == "bottom")
    assert bottom.points[:, 1].min() == pytest.approx(below.far[:, 1].min(), abs=0.05)
    assert head <= transom.outline[:, 1].max()
    pieces = [part(job, f"transom framing {name}") for name in ("floor timber", "side timber, port")]
    total = Polygon(pieces[0].outline).area + 2 * Polygon(pieces[1].outline).area
    assert total == pytest.approx(Polygon(whole.outline).area, abs=1.0)


@pytest.mark.slow
def test_a_cut_out_that_runs_into_the_framing_behind_it_is_told() -> None:
    framing = TransomFraming(30.0, 50.0, "oak")
    clear = with_transom(TransomWork(motor=MotorCut(360.0, 80.0, 50.0), framing=framing))
    assert not part(clear, "transom framing").doubts
    for work, name in (
        (TransomWork(motor=MotorCut(360.0, 540.0, 50.0), framing=framing), "motor cut-out"),
        (TransomWork(sculling=ScullingNotch(50.0, 60.0, 530.0), framing=framing), "sculling notch"),
    ):
        job = with_transom(work)
        (told,) = part(job, "transom framing").doubts
        assert told.startswith(f"The transom's {name} runs ")
        assert any(one.where == "transom framing" and one.text == told for one in job.warnings)


def test_boards_are_laid_out_from_the_bottom_up() -> None:
    transom = part(with_transom(TransomWork(boards=120.0)), "transom")
    joints = sorted({round(float(mark.points[0, 1]), 3) for mark in transom.marks if mark.name == "board joint"})
    low = transom.far_outline[:, 1].min()  # the inner face reaches further down: standing
    assert low < transom.outline[:, 1].min() - 5.0
    assert joints == pytest.approx([low + 120.0 * n for n in range(1, len(joints) + 1)], abs=1e-3)
    assert transom.outline[:, 1].max() - joints[-1] <= 120.0
