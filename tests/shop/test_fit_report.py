"""The virtual assembly, and what the report says of it."""

from __future__ import annotations

import csv
import io
import re
from dataclasses import replace
from pathlib import Path
from random import Random

import numpy as np
import pytest
import shapely
from boats import FLAT_JOINTS, Floats, exact_hulls, reskinned
from chined_boats import boat_folder, boat_toml, random_form
from commanded import bare_boat, scrieve_here
from sample_jobs import LOFTED_ONCE, SAMPLES, sample

from patterns.drawing.marks import Stroke
from patterns.geometry.arrays import run_along
from patterns.hull.build import Joint
from patterns.hull.fairing import fair
from patterns.hull.offsets import OffsetRow, Offsets
from patterns.hull.planking.skin import TWIST_TOLD, plank
from patterns.hull.planking.transition import STEEPEST_LAP, outside_above, transition
from patterns.parts.asked.rules import Boat
from patterns.parts.part import Part
from patterns.parts.whole import Job, loft
from patterns.plates.bench.twist_picture import twist_picture
from patterns.reading.boat.boat_toml import read_boat
from patterns.shop.fit.assembly import assembled
from patterns.shop.fit.ease_twist import ease_twist
from patterns.shop.fit.fit_report import fit_report
from patterns.shop.fit.folded_panels import folded
from patterns.shop.fit.meetings import PartLine, Seam
from patterns.writing.report.fit_csv import fit_csv
from patterns.writing.report.fit_sections import transition_words

MEETS = 0.1  # mm
FINE = 0.12  # mm; where faces of two strakes run nearly into each other at an end, their corner is known no better


def jobs() -> dict[str, Job]:
    return {name: sample(name)[1] for name in SAMPLES}


@pytest.mark.parametrize("name", SAMPLES)
def test_panels_folded_back_meet_frames_ends_and_each_other(name: str) -> None:
    report = fit_report(sample(name)[1])
    assert {one.b.split(":")[0].split(",")[0] for one in report.meetings} >= {"bottom panel"}
    assert sum("frame" in one.b for one in report.meetings) >= 6
    for one in report.meetings:
        assert one.gap < MEETS, one
        assert abs(one.left) < MEETS, one


@pytest.mark.slow
@pytest.mark.parametrize("laps", FLAT_JOINTS)
def test_panels_of_known_hulls_meet_however_the_bottom_is_let_in(laps: Joint) -> None:
    hull = exact_hulls()[0]
    for one in assembled(loft(hull.boat(laps=laps))):
        assert one.gap < MEETS, one


@pytest.mark.parametrize("name", SAMPLES)
def test_panel_folded_back_lies_on_its_skin(name: str) -> None:
    """The way back from the flat, against the way there."""
    for part in sample(name)[1].parts:
        if part.flat is not None:
            s, t = part.flat.places(part.outline)
            assert np.abs(part.flat.point(s, t) - part.outline).max() < 1e-6


@pytest.mark.parametrize("name", SAMPLES)
def test_thickness_explains_as_much_as_the_bend_does(name: str) -> None:
    """Second method: half the thickness by the angle turned ([neutral_layer], trade_geometry.toml), in ``matings``."""
    job = sample(name)[1]
    corner, known = assembled(job)[0], job.matings[0]
    assert corner.by_thickness == pytest.approx(known.by_thickness, abs=0.02)
    assert corner.drawn_a == pytest.approx(known.length_a, abs=0.05)


def test_a_panel_cut_short_is_found_out() -> None:
    """A test that cannot fail proves nothing: moved 1 mm, the side no longer meets the bottom."""
    job = sample("saltmeadow")[1]
    side = next(part for part in job.parts if part.title == "side panel, starboard")
    moved = [replace(e, points=e.points + np.array([0.0, 1.0])) if e.name == "chine" else e for e in side.edges]
    parts = tuple(replace(p, edges=tuple(moved)) if p is side else p for p in job.parts)
    assert assembled(replace(job, parts=parts))[0].gap > 0.8


def test_marks_of_frames_meet_along_the_chine() -> None:
    job = sample("saltmeadow")[1]
    [corner, *_] = assembled(job)
    panels = {part.title: part for part in job.parts}
    side, bottom = panels["side panel, starboard"], panels["bottom panel"]
    for mark in corner.marks:
        spots = []
        for part, along, line in (
            (side, mark.along_a, next(e.points for e in side.edges if e.name == "chine")),
            (bottom, mark.along_b, next(m.points for m in bottom.marks if m.name == "inside of side, starboard")),
        ):
            run = run_along(line)
            spot = np.array([[np.interp(along, run, line[:, axis]) for axis in range(2)]])
            spots.append(folded(job.hull, part, np.concatenate([spot, spot + 1.0])).bent[0])
        assert np.linalg.norm(spots[0] - spots[1]) < MEETS


# --- Twist, and what eases it ---


def twisted(by: float) -> Boat:
    """Saltmeadow with its chine spread and dropped at the transom, so that the side must be twisted there."""
    boat = sample("saltmeadow")[1].boat
    offsets = boat.offsets

    def moved(rows: tuple[OffsetRow, ...], mm: float) -> tuple[OffsetRow, ...]:
        last = np.arange(len(offsets.columns)) == len(offsets.columns) - 1
        return tuple(OffsetRow(r.name, r.values + mm * last) if r.name == "chine" else r for r in rows)

    spread: Offsets = replace(
        offsets, heights=moved(offsets.heights, -by), half_breadths=moved(offsets.half_breadths, by)
    )
    return replace(boat, offsets=spread)


@pytest.mark.slow
def test_least_movement_cures_the_twist_within_the_limit() -> None:
    boat = twisted(10.0)
    lines = fair(boat.offsets, fore=boat.fore, aft=boat.aft, within=boat.fair_within)
    hull = plank(lines, skin=boat.skin, fore=boat.fore, aft=boat.aft)
    assert hull.worst_twist(hull.sheer_strake)[0] > TWIST_TOLD
    eased = ease_twist(boat, lines, hull)
    assert eased is not None
    assert eased.cured
    assert eased.moves
    assert all(abs(move.by) <= boat.fair_within + 1e-6 for move in eased.moves)
    # The skin laid on the eased lines tells the same, and what is far from the twist is left alone.
    again = plank(eased.lines, skin=boat.skin, fore=boat.fore, aft=boat.aft)
    assert again.worst_twist(again.sheer_strake)[0] <= TWIST_TOLD
    assert max(eased.moves, key=lambda move: abs(move.eased - move.faired)).column in ("5", "6", "transom")


def test_a_sound_side_is_left_alone() -> None:
    job = sample("saltmeadow")[1]
    assert ease_twist(job.boat, job.lines, job.hull) is None
    assert all(not skin.fights for skin in fit_report(job).skins)


@pytest.mark.slow
def test_a_twisted_side_is_told_where_it_fights() -> None:
    job = loft(twisted(10.0))
    skin = next(skin for skin in fit_report(job).skins if skin.part.name == "side panel")
    assert skin.fights
    assert skin.most[0] == pytest.approx(job.hull.worst_twist(job.hull.sheer_strake)[0], rel=0.05)
    assert skin.fights[-1].last > 0.8 * skin.part.outline[:, 0].max()


@pytest.mark.slow
def test_eased_table_goes_beside_the_builders_own(tmp_path: Path) -> None:
    boat = bare_boat(tmp_path / "boat")
    rows = list(csv.reader(io.StringIO((boat / "offsets.csv").read_text(encoding="utf-8"))))
    height, breadth = [row for row in rows if row[0] == "chine"]
    height[-1], breadth[-1] = "0-4-2", "1-8-1"
    text = "".join(",".join(row) + "\n" for row in rows)
    (boat / "offsets.csv").write_text(text, encoding="utf-8")
    run = scrieve_here("fair", boat, "--ease-twist", "--out", tmp_path / "out")
    assert run.returncode == 0, run.stderr
    assert " twists " in run.stdout
    assert (boat / "offsets.csv").read_text(encoding="utf-8") == text
    eased = (tmp_path / "out" / "offsets-eased.csv").read_text(encoding="utf-8")
    assert [row[0] for row in csv.reader(io.StringIO(eased))] == [row[0] for row in rows]
    # Taken into the boat's folder by its builder, it is cured.
    (boat / "offsets.csv").write_text(eased, encoding="utf-8")
    again = scrieve_here("fair", boat, "--ease-twist")
    assert again.returncode == 0, again.stderr
    assert "No strake twists" in again.stdout


# --- The chine's lap ---


@pytest.mark.parametrize("name", SAMPLES)
def test_lap_bevel_is_that_of_the_sides_lower_edge(name: str) -> None:
    """Where the bottom laps over, the lap's bevel is drawn on the side's pattern too."""
    job = sample(name)[1]
    chine = transition(job.hull, job.hull.corners[0])
    assert chine.at is None
    edge = next(e for p in job.parts if p.title == "side panel, starboard" for e in p.edges if e.name == "chine")
    if job.boat.skin.joints[0] is Joint.LOWER_OVER:
        assert edge.bevels[0].angle == pytest.approx(chine.stem.lap, abs=np.radians(0.3))
    # On the half angle the two edges share what the corner wants: both faces of both meet in one plane.
    for one in (chine.stem, chine.aft, chine.widest):
        assert 2 * (np.pi / 2 + one.mitre) + one.opening == pytest.approx(2 * np.pi)


def test_lap_ends_where_the_corner_opens_too_far() -> None:
    """Saltmeadow's bottom is flat, so its corner opens by the side's flare: spread the sheer and it flares past it."""
    boat = sample("saltmeadow")[1].boat
    offsets = boat.offsets
    columns = offsets.columns
    wide = {"1": 330.0, "2": 420.0, "3": 420.0, "4": 420.0, "5": 420.0, "6": 420.0, "transom": 420.0}
    more = np.array([wide.get(column, 0.0) for column in columns])
    rows = tuple(OffsetRow(r.name, r.values + more) if r.name == "sheer" else r for r in offsets.half_breadths)
    flared = replace(boat, offsets=replace(offsets, half_breadths=rows))
    lines = fair(flared.offsets, fore=flared.fore, aft=flared.aft, within=flared.fair_within)
    hull = plank(lines, skin=flared.skin, fore=flared.fore, aft=flared.aft)
    chine = transition(hull, hull.corners[0])
    assert np.degrees(chine.widest.opening) > 135.0
    assert chine.at is not None
    assert abs(chine.at.lap) <= STEEPEST_LAP or chine.at.from_fp == chine.aft.from_fp
    assert "half angle" in transition_words(chine, "ft-in-16ths")


@pytest.fixture(scope="module")
def flared_pram() -> Job:
    """Duckweed with her sheer spread 300 mm at the bow and less toward the stern: lapped, her chine opens past 135."""
    boat = sample("duckweed")[1].boat
    share = np.linspace(1.0, 0.0, len(boat.offsets.columns)) ** 2
    rows = tuple(
        OffsetRow(r.name, r.values + 300.0 * share) if r.name == "sheer" else r for r in boat.offsets.half_breadths
    )
    return loft(
        replace(
            boat,
            offsets=replace(boat.offsets, half_breadths=rows),
            skin=reskinned(boat.skin, laps=Joint.LOWER_OVER),
            long=replace(boat.long, chine_logs=()),
        )
    )


def test_panels_say_where_the_lap_ends_and_are_cut_for_what_is_on_either_side(flared_pram: Job) -> None:
    chine = transition(flared_pram.hull, flared_pram.hull.corners[0])
    assert chine.at is not None
    assert not chine.nowhere
    panels = {part.title: part for part in flared_pram.parts}
    side, bottom = panels["side panel, starboard"], panels["bottom panel"]
    for part, count in ((panels["side panel, port"], 1), (side, 1), (bottom, 2)):
        assert [mark.name for mark in part.marks].count("lap ends") == count
        assert {"MITRE", "LAP"} <= {note.text for note in part.notes}
        assert any("half angle" in remark for remark in part.remarks)
    # By the marks, in the flat: standing by the half angle before it, under by the whole opening behind it.
    edge = next(edge for edge in side.edges if edge.name == "chine")
    ends = run_along(edge.points)[np.abs(edge.points - lap_mark(side)).sum(axis=1).argmin()]
    clear = [bevel for bevel in edge.bevels if abs(bevel.along - ends) > 60.0]
    before, behind = ([b for b in clear if (b.along < ends) == fore] for fore in (True, False))
    assert len(before) >= 2
    half = [
        np.interp(b.along, [one.along for one in chine.joints], [one.mitre for one in chine.joints]) for b in before
    ]
    assert [b.angle for b in before] == pytest.approx(half, abs=np.radians(0.7))
    assert all(-STEEPEST_LAP - 0.01 < b.angle < 0 for b in behind)
    # The bottom keeps its overhang there, for the plane.
    rim = next(edge for edge in bottom.edges if edge.name == "chine port")
    reached = run_along(rim.points)[np.abs(rim.points - lap_mark(bottom)).sum(axis=1).argmin()]
    assert all(b.kind == "square" for b in rim.bevels if 100.0 < b.along < reached - 60.0)
    assert any(warning.where == "chine" for warning in flared_pram.warnings)


def lap_mark(part: Part) -> Floats:
    """(2,) mm, where the mark leaves the edge; of a bottom, the port one."""
    return min((m.points[0] for m in part.marks if m.name == "lap ends"), key=lambda place: float(place[1]))


def test_the_side_is_left_long_enough_for_the_half_angle(flared_pram: Job) -> None:
    """In the boat: the outside of the side's edge lies in the plane that halves the corner of the inside faces."""
    hull, chine = flared_pram.hull, transition(flared_pram.hull, flared_pram.hull.corners[0])
    ruled = hull.sheer_strake.ruled
    inner = hull.corners[0].points
    outer = ruled.points(outside_above(hull, hull.corners[0], chine).lower, hull.sheer_strake.outside)
    there = np.flatnonzero(chine.mitred(inner[:, 0]) & hull.between_ends(hull.sheer_strake))
    for i in there[5:-5:10]:
        way = inner[i + 1] - inner[i - 1]
        across = outer[i] - inner[i]
        across = across - (across @ way) / (way @ way) * way
        turned = np.arccos(ruled.normal[i] @ across / np.linalg.norm(across))
        # The skin twists by some degrees there: the half angle is that of its normal at mid ruling.
        assert turned == pytest.approx(float(chine.mitre(inner[i, :1])[0]), abs=np.radians(1.0))


def test_where_no_lap_can_be_the_rim_is_left_no_longer_than_the_steepest_lap_would_reach(tmp_path: Path) -> None:
    """Strakes that turn 10 degrees: square to the chine a lap would reach six thicknesses past the corner."""
    form = random_form(Random(3), chines=2)
    data = boat_toml(Random(3), form)
    data["planking"] = {"side": {"thickness": 12}, "strake_2": {"thickness": 6}, "bottom": {"thickness": 9}}
    data["planking"]["strake_2"]["chine_joint"] = "lower over upper"
    data.pop("chine_log", None)
    job = loft(read_boat(boat_folder(tmp_path, form, data)).boat)
    chine = transition(job.hull, job.hull.corners[0])
    assert chine.nowhere
    panel = job.part("strake 2 panel, starboard")
    rim = shapely.LineString(panel.edge("chine 1").points)
    inside = panel.mark("inside of side").points
    past = shapely.distance(shapely.points(inside[3:-3]), rim)
    assert past == pytest.approx(12.0 * np.sqrt(2.0), abs=0.2)
    (told,) = (remark for remark in panel.remarks if "left square" in remark)
    assert "17.0 mm past the line 'inside of side'" in told
    (warned,) = (one.text for one in job.warnings if one.where == "chine 1")
    assert 'chine_joint = "half angle"' in warned
    for one in assembled(job):
        assert one.gap < MEETS, one


def test_rulings_of_the_twist_picture_stay_on_the_panel() -> None:
    for name in SAMPLES:
        for skin in fit_report(sample(name)[1]).skins:
            drawn = twist_picture(skin, "mm").marks
            [panel] = [shapely.Polygon(m.points) for m in drawn if isinstance(m, Stroke) and m.layer == "cut-outside"]
            rulings = [shapely.LineString(m.points) for m in drawn if isinstance(m, Stroke) and m.layer == "bending"]
            assert len(rulings) > 20
            assert shapely.covers(panel.buffer(1e-6), rulings).all()


def test_a_stringer_named_like_a_formula_is_calculated_by_no_spreadsheet() -> None:
    meeting = fit_report(sample("saltmeadow")[1]).meetings[0]
    lines = PartLine("=HYPERLINK(1)", "port", "upper"), PartLine("+b", "none", "lower")
    marks = tuple(replace(mark, name="@m") for mark in meeting.marks)
    meeting = replace(meeting, line_a=lines[0], line_b=lines[1], marks=marks)
    rows = list(csv.reader(io.StringIO(fit_csv([meeting], "in-16ths"))))
    assert ["'=HYPERLINK(1), port: upper", "'+b: lower"] in [row[:2] for row in rows]
    assert not [cell for row in rows for cell in row if re.match(r"[=+@\t\r]|-(?![0-9])", cell)]
    assert any(re.fullmatch(r"-[0-9.e-]+", cell) for row in rows for cell in row)  # numbers stay numbers


@pytest.mark.slow
@pytest.mark.parametrize("name", [name for name in LOFTED_ONCE if name not in ("marram", "withywater")])
def test_v_bottoms_and_boats_of_several_chines_meet_from_end_to_end(name: str) -> None:
    """Every panel against its neighbours, frames, stem and transoms; lapped boats and logs are held by other tests."""
    _, job = sample(name)
    meetings = [meeting for meeting in assembled(job) if meeting.seam is not Seam.LONG]
    assert {meeting.seam for meeting in meetings} >= {Seam.CHINE, Seam.ENDS, Seam.FRAME_SIDES}
    for meeting in meetings:
        assert meeting.gap < MEETS, meeting
        assert max((mark.apart for mark in meeting.marks), default=0.0) < FINE, meeting


def test_in_a_rabbet_the_ends_of_the_inside_corner_are_not_held_together_and_that_is_said(tmp_path: Path) -> None:
    form = replace(random_form(Random(1), chines=1, keel=True), half=12.0, fore=None, aft=0.5)
    data = boat_toml(Random(1), form)
    data["planking"]["bottom"] |= {"keel_joint": "in a rabbet", "chine_joint": "half angle"}
    data["boat"]["lines_to"] = "outside of planking"
    job = loft(read_boat(boat_folder(tmp_path, form, data)).boat)
    (along,) = (one for one in assembled(job) if one.seam is Seam.CHINE)
    assert along.gap < MEETS
    assert "square to its own faces" in along.told
    assert "stem end" not in {mark.name for mark in along.marks}
    assert max(mark.apart for mark in along.marks) < MEETS
