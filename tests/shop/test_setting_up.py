"""Setting up: heights of the shop and shapes of the frames put the planking back on its faired lines."""

from __future__ import annotations

from dataclasses import replace
from itertools import combinations

import numpy as np
import pytest
from boats import Floats
from sample_jobs import SAMPLES, built, sample
from scipy.optimize import minimize_scalar
from shapely import Polygon

from patterns.drawing.marks import Label
from patterns.drawing.text import label_box
from patterns.hull.build import LinesTo
from patterns.parts.asked.rules import Building, Way
from patterns.parts.whole import Job, loft
from patterns.plates.bench.set_up_pages import set_up_sheets
from patterns.shop.layout.bevel_boards import bevel_boards
from patterns.shop.layout.setting_up import SettingUp, Standing, setting_up
from patterns.units.tape import tape_length

pytestmark = pytest.mark.slow

WITHIN = 0.01  # mm


def nearest(curve_at, point: Floats, x: float) -> float:  # type: ignore[no-untyped-def]
    """mm, from a point to a curve given over x, by search."""
    found = minimize_scalar(
        lambda u: float(np.linalg.norm(curve_at(u) - point)), bounds=(x - 60, x + 60), method="bounded",
        options={"xatol": 1e-9},
    )  # fmt: skip
    return float(found.fun)


def height_above_base(plan: SettingUp, shop: float) -> float:
    return plan.datum - shop if plan.way is Way.UPSIDE_DOWN else plan.datum + shop


def corners(plan: SettingUp, frame: Standing) -> tuple[Floats, Floats]:
    """The sheer mark and the corner with the bottom in the boat, as a builder sets them up."""
    sheer, chine = (
        np.array([frame.running, corner.half, height_above_base(plan, corner.height)]) for corner in frame.corners
    )
    return sheer, chine


@pytest.mark.parametrize("way", list(Way))
@pytest.mark.parametrize("name", SAMPLES)
def test_frames_set_up_by_the_sheet_carry_the_planking_to_the_faired_lines(name: str, way: Way) -> None:
    job = built(name, way)
    plan = setting_up(job)
    outside = job.boat.skin.lines_to is LinesTo.OUTSIDE
    # Lines to the inside are where the frames' own corners are; to the outside, a planking's thickness off.
    side, bottom = (p.thickness if outside else 0.0 for p in job.boat.skin.planking)
    sheer, chine = (line.curve for line in job.lines)
    assert plan.frames
    for frame in plan.frames:
        at_sheer, at_chine = corners(plan, frame)
        # The side's edge at the sheer is square to its faces.
        assert abs(nearest(lambda u: sheer.point(np.array(u)), at_sheer, frame.running) - side) < WITHIN
        # The bottom is the chine's profile carried athwart.
        profile = nearest(lambda u: chine.point(np.array(u))[[0, 2]], at_chine[[0, 2]], frame.running)
        assert abs(profile - bottom) < WITHIN
        assert abs(off_the_side(job, at_chine) - side) < WITHIN


def off_the_side(job: Job, point: Floats) -> float:
    """mm from a point inside to the skin the lines were drawn for, square to it."""
    ruled = job.hull.sheer_strake.ruled
    row = int(np.abs(ruled.middle[:, 0] - point[0]).argmin())
    way = ruled.normal[row]
    for _ in range(4):
        reach = ruled.pierced_by(point[None], way[None], 0.0)[0]
        foot = point + reach * way
        away = foot - ruled.middle
        beside = np.abs(np.einsum("nk,nk->n", away, ruled.aftward))
        way = ruled.normal[int(np.where(np.abs(away[:, 0]) < 900, beside, np.inf).argmin())]
    return float(reach)


def test_both_ways_up_tell_the_same_boat() -> None:
    down, up = (setting_up(built("saltmeadow", way)) for way in (Way.UPSIDE_DOWN, Way.RIGHT_SIDE_UP))
    for one, other in zip(down.frames, up.frames, strict=True):
        assert np.allclose(corners(down, one)[1], corners(up, other)[1])
        assert one.running == other.running


@pytest.mark.parametrize("way", list(Way))
def test_diagonals_are_measured_from_the_one_point_to_the_sheer(way: Way) -> None:
    plan = setting_up(built("saltmeadow", way))
    for frame in plan.frames:
        sheer = frame.corners[0]
        away = [frame.running - plan.fixed[0], sheer.half, sheer.height - plan.fixed[1]]
        assert np.linalg.norm(away) == pytest.approx(frame.diagonal)


def test_running_distances_are_those_of_the_named_faces() -> None:
    """Saltmeadow's frames stand at every second foot of the table, with the face toward midship on the station."""
    plan = setting_up(sample("saltmeadow")[1])
    assert [tape_length(frame.running, "ft-in-16ths") for frame in plan.frames] == [
        f"{n}' 0\"" for n in (2, 4, 6, 8, 10, 12)
    ]
    assert [frame.face for frame in plan.frames] == ["after face"] * 4 + ["fore face"] * 2
    assert [frame.wood for frame in plan.frames] == ["forward"] * 4 + ["aft"] * 2


def test_ends_stand_where_their_profiles_do() -> None:
    """From boat.toml: the stem runs 1-1-4 aft over 2-2-2, the transom 0-8-0 over 1-6-5: rake is plane trigonometry."""
    stem, transom = setting_up(sample("saltmeadow")[1]).ends
    assert np.degrees(stem.rake) == pytest.approx(-np.degrees(np.arctan2(13.5, 26.25)), abs=0.3)
    assert np.degrees(transom.rake) == pytest.approx(np.degrees(np.arctan2(8.0, 18.625)), abs=0.01)
    for place in transom.places:
        top, foot = sample("saltmeadow")[1].boat.aft.profile
        share = (place.height - foot[1]) / (top[1] - foot[1])
        assert place.running == pytest.approx(foot[0] + share * (top[0] - foot[0]))


def test_without_building_the_default_is_told() -> None:
    plan = setting_up(sample("saltmeadow")[1])
    assert "right side up" in plan.assumed
    words = [mark.text for sheet in set_up_sheets(plan, width=180.0) for mark in sheet.marks if hasattr(mark, "text")]
    assert any("Default: right side up" in text for text in words)


def test_right_side_up_it_is_said_how_far_base_lies_above_the_strongback() -> None:
    checks = [check.what for check in setting_up(sample("reedling")[1]).steps[0].checks]
    assert 'base marked along it as a level line, 8" above its top: every height is measured up from base' in checks
    nothing_said = [check.what for check in setting_up(sample("saltmeadow")[1]).steps[0].checks]
    assert "base marked along it as a level line: every height is measured up from base" in nothing_said


@pytest.mark.parametrize(("top", "told"), [(-200.0, False), (0.0, False), (900.0, True)])
def test_a_strongback_that_stands_in_an_upright_boat_is_told_of(top: float, told: bool) -> None:
    boat = sample("reedling")[0].boat
    job = loft(replace(boat, building=Building(Way.RIGHT_SIDE_UP, top, spall=None)))
    assert any(one.where == "strongback" for one in job.warnings) is told


def test_order_begins_with_the_bed_and_sets_up_from_midship() -> None:
    plan = setting_up(built("saltmeadow", Way.UPSIDE_DOWN))
    assert [step.number for step in plan.steps] == [1, 2, 3, 4, 5, 6]
    assert plan.steps[0].deed.startswith("Make the strongback")
    plumb = [check.what.split(":")[0] for check in plan.steps[2].checks if "plumb" in check.what]
    assert plumb == ["frame 5", "frame 4", "frame 6", "frame 3", "frame 2", "frame 1"]


def test_a_stem_that_reaches_forward_of_the_zero_is_said_to() -> None:
    """A figure with a minus says nothing on a strongback: the word does, and the zero leaves room for it."""
    boat = sample("saltmeadow")[1].boat
    raked = replace(boat.fore, profile=boat.fore.profile - np.array([[80.0, 0.0], [0.0, 0.0]]))
    plan = setting_up(loft(replace(boat, fore=raked)))
    checks = [check for step in plan.steps for check in step.checks]
    assert not any(check.expected.startswith("-") for check in checks)
    assert next(c.expected for c in checks if c.what == "stem: fore face at the sheer's end, from the zero").endswith(
        "forward"
    )
    assert any("aft of the fore end" in step.deed for step in plan.steps)


def test_no_spall_is_to_be_checked_on_a_frame_that_has_none() -> None:
    read, _ = sample("reedling")
    for height, marked in ((400.0, True), (900.0, False)):
        plan = setting_up(loft(replace(read.boat, building=Building(Way.RIGHT_SIDE_UP, 0.0, spall=height))))
        assert all((frame.spall is not None) == marked for frame in plan.frames)


def test_the_edge_of_a_cross_spall_is_named_as_it_stands_in_the_shop() -> None:
    boat = sample("reedling")[0].boat
    for way, words in ((Way.RIGHT_SIDE_UP, "its lower edge"), (Way.UPSIDE_DOWN, "its edge nearer the bottom")):
        top = 900.0 if way is Way.UPSIDE_DOWN else -200.0
        plan = setting_up(loft(replace(boat, building=Building(way, top, spall=400.0))))
        told = {check.what: check.expected for step in plan.steps for check in step.checks if "spall" in check.what}
        assert set(told) == {f"frame {n}: cross spall, {words}" for n in range(2, 8)}
        assert set(told.values()) == {plan.tape(abs(400.0 - plan.datum))}


def test_of_a_bowed_transom_corners_and_sheer_mark_are_told_apart() -> None:
    """Raked and bowed, its sheer corners stand higher and further forward than its sheer mark on the centre line."""
    read, flat = sample("saltmeadow")
    job = loft(replace(read.boat, aft=replace(read.boat.aft, radius=1500.0)))  # type: ignore[arg-type]
    plan = setting_up(job)
    told = {place.what: (place.running, height_above_base(plan, place.height)) for place in plan.ends[-1].places}
    x, z = told["after face at its sheer corners"]
    sheer = job.lines[0].curve
    outside = job.boat.skin.planking[0].thickness
    assert nearest(lambda u: sheer.point(np.array(u))[[0, 2]], np.array([x, z]), x) < outside
    mark_x, mark_z = told["after face at its sheer mark on the center line"]
    assert mark_x - x > 100.0
    assert z - mark_z > 30.0
    assert "after face level with the sheer corners" in {place.what for place in setting_up(flat).ends[-1].places}


def test_a_corner_cut_away_for_a_long_piece_is_measured_by_its_edges() -> None:
    def words(job: Job) -> list[str]:
        return [one.what for step in setting_up(job).steps for one in step.checks if "corner at" in one.what]

    read, job = sample("saltmeadow")
    assert all("cut away" in what for what in words(job))
    assert any("carried on over the notch" in step.deed for step in setting_up(job).steps)
    whole = loft(replace(read.boat, long=replace(read.boat.long, chine_logs=())))
    assert words(whole)
    assert not any("cut away" in what for what in words(whole))


@pytest.mark.parametrize("width", [180.0, 250.0])
def test_twenty_frames_of_the_widest_names_are_told_apart_in_the_picture(width: float) -> None:
    plan = built("saltmeadow", Way.UPSIDE_DOWN)
    frames = setting_up(plan).frames
    running = np.linspace(frames[0].running, frames[-1].running, 20).tolist()
    many = tuple(replace(frames[0], name=f"frame {'W' * 18}{n:02}", running=x) for n, x in enumerate(running))
    picture = next(set_up_sheets(replace(setting_up(plan), frames=many), width=width))
    labels = [mark for mark in picture.marks if isinstance(mark, Label)]
    boxes = [Polygon(label_box(label)) for label in labels]
    assert sum("W" * 18 in label.text for label in labels) == 20
    assert not any(a.intersects(b) for a, b in combinations(boxes, 2))
    edges = np.array([box.bounds for box in boxes])
    assert edges.min() >= 0.0
    assert edges[:, 2].max() <= width


def test_a_stem_in_a_rabbet_is_set_up_by_its_rabbet_line_and_the_keel_comes_last_of_the_backbone() -> None:
    """Wood stands before a rabbet: the fore face does not lie where the table's stem does."""
    read, job = sample("withywater")
    plan = setting_up(job)
    (stem,) = [end for end in plan.ends if end.name == "stem"]
    first, last = stem.places
    assert first.what == "rabbet line at the sheer's end"
    rabbet = job.part("stem").mark("rabbet line").points
    for place, (x, z) in ((first, rabbet[0]), (last, rabbet[-1])):
        assert (place.running, height_above_base(plan, place.height)) == pytest.approx((x, z), abs=0.5)
    fore = job.part("stem").edge("fore").points
    assert float(fore[:, 0].min()) == pytest.approx(first.running - 25.0, abs=0.5)
    (keel,) = [step for step in plan.steps if step.of == ("keel",)]
    assert plan.steps[keel.number - 2].of == ("stem", "transom")
    assert not bevel_boards([job.part("stem")], show="mm")
    assert read.boat.keel is not None
