"""Which marks must meet where two edges do: by hand on a straight-sided hull, and on every sample."""

from __future__ import annotations

import csv
import io
from dataclasses import replace
from functools import cache
from itertools import pairwise

import numpy as np
import pytest
from boats import Flat, Floats, exact_hulls
from sample_jobs import SAMPLES, sample
from scipy.optimize import brentq
from stem_wedges import wedge as stem_wedge

from patterns.geometry.arrays import run_along
from patterns.parts.asked.end_rules import PlankEnds, StemWork, TransomWork
from patterns.parts.asked.long_rules import ChineLogRules, LongAsked, LongRules, StringerRules
from patterns.parts.part import Part
from patterns.parts.whole import Job, loft
from patterns.shop.fit.assembly import assembled
from patterns.shop.fit.meetings import Meeting, MeetingMark, nearest
from patterns.writing.report.fit_csv import fit_csv
from patterns.writing.report.fit_marks import edge_blocks, mark_blocks
from patterns.writing.report.report_blocks import Paragraph, Table

TOGETHER = 0.05  # mm; marks that come nearer than this in the boat are one pencil line
SIDE, BOTTOM = 9.0, 12.0  # mm, planking of the hulls of known shape


@cache
def meetings(name: str) -> tuple[Meeting, ...]:
    return assembled(sample(name)[1])


def pair(found: tuple[Meeting, ...], a: str, b: str) -> Meeting:
    return next(one for one in found if a in one.a and b in one.b)


def frames(one: Meeting) -> list[MeetingMark]:
    return [mark for mark in one.marks if mark.name.startswith("frame ")]


# --- On the samples ---


@pytest.mark.parametrize("name", SAMPLES)
def test_marks_on_faces_that_touch_come_together_in_the_boat(name: str) -> None:
    for one in meetings(name):
        assert one.marks or one.told, one
        for mark in one.marks:
            if not one.carried:
                assert mark.apart < TOGETHER, (one.a, one.b, mark)
                assert abs(mark.left) < TOGETHER, (one.a, one.b, mark)


@pytest.mark.parametrize("name", SAMPLES)
def test_every_frame_line_of_the_log_meets_side_and_bottom(name: str) -> None:
    job = sample(name)[1]
    log = next(part for part in job.parts if part.title == "chine log, starboard")
    borne = {mark.name for mark in log.marks if mark.name.startswith("frame ")}
    for panel in ("side panel", "bottom panel"):
        one = pair(meetings(name), panel, "chine log")
        assert {mark.name for mark in frames(one)} == {mark.mate for mark in frames(one)} == borne
        assert [mark.mate for mark in one.marks][:: len(one.marks) - 1] == ["fore end", "after end"]
        # A log on the hollow side of the planking is drawn shorter than that; the difference grows as it bends.
        assert np.all(np.diff([mark.by_thickness for mark in one.marks]) > 0)


@pytest.mark.parametrize("name", SAMPLES)
def test_what_log_and_side_differ_by_is_half_of_both_thicknesses_times_the_angle_turned(name: str) -> None:
    """Second method: their middles lie that far apart and turn out of the flat by one angle ([neutral_layer],
    trade_geometry.toml), summed here from the bend figured at each mark of the log."""
    job = sample(name)[1]
    log = next(piece for piece in job.long_pieces if piece.part.title == "chine log, starboard")
    turned = float(np.trapezoid([place.flatwise for place in log.places], [place.along for place in log.places]))
    one = pair(meetings(name), "side panel", "chine log")
    apart = (job.hull.sheer_strake.planking.thickness + log.thickness) / 2
    assert one.by_thickness == pytest.approx(apart * turned, rel=0.02)


def test_sheer_and_chine_of_frames_and_transom_and_heights_of_the_stem_are_held() -> None:
    found = meetings("saltmeadow")
    girth = pair(found, "side panel, starboard: frame 3", "frame 3: side")
    assert [(mark.name, mark.mate) for mark in girth.marks] == [("sheer edge", "sheer"), ("chine edge", "chine")]
    assert girth.marks[-1].along_b == pytest.approx(girth.drawn_b, abs=0.01)
    across = pair(found, "bottom panel: frame 3", "frame 3: bottom")
    assert [mark.mate for mark in across.marks] == ["chine, port", "center line", "chine, starboard"]
    end = pair(found, "side panel, starboard: transom", "transom: side")
    assert [(mark.name, mark.mate) for mark in end.marks] == [
        ("sheer edge", "sheer"),
        ("chine edge", "corner with the bottom"),
    ]
    assert pair(found, "mark 'transom fore face'", "on its fore face").marks
    stem = pair(found, "side panel, starboard: stem", "stem: face")
    heights = next(part for part in sample("saltmeadow")[1].parts if part.name == "stem").landings
    assert len(stem.marks) == len(heights)
    assert all(mark.mate.endswith(" up") for mark in stem.marks)
    # The landing's heights are level cuts: down a straight stem they lie evenly. The topmost is marked lower, where the
    # raked stem has wood to mark it on.
    assert np.ptp(np.diff([mark.along_b for mark in stem.marks[1:]])) < 0.1
    assert '1/8" above' in stem.told


# --- By hand, on a side that is a plane ---


WEDGE = next(hull for hull in exact_hulls() if hull.name == "wedge")


@cache
def wedge_job() -> Job:
    boat = WEDGE.boat()
    assert boat.frames is not None
    long = LongAsked(
        chine_logs=(ChineLogRules("chine log", 38.0, 60.0, "oak", 1.6, drain=np.radians(5.0)),),
        outwale=LongRules("outwale", 19.0, 32.0, "oak", 1.6),
        rub_rail=StringerRules("rub rail", 19.0, 25.0, "oak", 1.6, below_sheer=120.0),
    )
    return loft(replace(boat, long=long, frames=replace(boat.frames, floor_moulded=110.0, side_moulded=80.0)))


def inside_corner(x: Floats) -> Floats:
    """(n, 3): where the plane of the side's inside cuts the inside of the bottom, found by bisection at each x."""
    plane = WEDGE.side
    assert isinstance(plane, Flat)

    def point(at: float, z: float) -> Floats:
        nx, ny, nz = plane.outward
        y = plane.origin[1] - (SIDE + nx * at + nz * z) / ny
        return np.array([at, y, z])

    def above(z: float, at: float) -> float:
        return float(WEDGE.under(point(at, z)[None])[0]) - BOTTOM

    return np.array([point(at, brentq(above, -50.0, 300.0, args=(at,))) for at in x.tolist()])


def by_hand() -> tuple[list[str], Floats, Floats]:
    """Frames, and how far along the inside corner each comes: in the plane side, and on the unrolled bottom.

    The side is a plane, so neither it nor the log against it bends but edgewise: both are drawn as they lie. The
    bottom rolls about athwart lines; its middle lies half a thickness outside its hollow face, so each step fore and
    aft is drawn longer by that times the angle it turns ([neutral_layer], trade_geometry.toml).
    """
    rules = wedge_job().boat.frames
    assert rules is not None
    places = sorted(rules.places, key=lambda place: place.from_fp)
    x = np.linspace(places[0].from_fp, places[-1].from_fp, 2001)
    corner = inside_corner(x)
    step = np.diff(corner, axis=0)
    turned = np.diff(np.arctan(np.gradient(corner[:, 2], x)))
    profile = np.hypot(step[:, 0], step[:, 2]) + BOTTOM / 2 * turned
    runs = []
    for steps in (np.linalg.norm(step, axis=1), np.hypot(profile, step[:, 1])):
        runs.append(np.interp([place.from_fp for place in places], x, np.concatenate([[0.0], steps.cumsum()])))
    return [f"frame {place.name}" for place in places], runs[0], runs[1]


@pytest.mark.slow
def test_marks_of_log_side_and_bottom_lie_where_they_are_found_by_hand() -> None:
    names, straight, rolled = by_hand()
    found = assembled(wedge_job())
    for a, b, on_a, on_b in (
        ("side panel", "bottom panel: inside of side", straight, rolled),
        ("side panel", "chine log", straight, straight),
        ("bottom panel", "chine log", rolled, straight),
    ):
        one = pair(found, a, b)
        held = {mark.name: mark for mark in frames(one)}
        # The log stops short of the frames nearest to the ends.
        known = [names.index(name) for name in held]
        assert len(known) >= len(names) - 2
        on_a, on_b = (on[known] - on[known[0]] for on in (on_a, on_b))
        along_a, along_b = (np.array([getattr(mark, key) for mark in held.values()]) for key in ("along_a", "along_b"))
        assert along_a - along_a[0] == pytest.approx(on_a, abs=0.05)
        assert along_b - along_b[0] == pytest.approx(on_b, abs=0.05)
        differ = np.array([mark.by_thickness for mark in held.values()])
        assert differ - differ[0] == pytest.approx(on_a - on_b, abs=0.02)
    # What the log shares with the flat side is nothing but its line: no thickness comes in.
    assert abs(pair(found, "side panel", "chine log").by_thickness) < 0.02
    assert straight[-1] - rolled[-1] < -0.3


def test_marks_carried_through_the_side_come_off_a_rails_by_its_slant() -> None:
    """By hand: square through a plane a place moves along its normal; to the frame's plane it is that over the sheer.

    So both lie apart along the sheer by the thickness times the normal's fore and aft part, as the sheer runs there.
    """
    plane = WEDGE.side
    assert isinstance(plane, Flat)
    rules = wedge_job().boat.frames
    assert rules is not None
    one = pair(assembled(wedge_job()), "side panel, starboard: sheer, outside", "outwale")
    assert one.carried
    sheer = WEDGE.line("sheer")
    for mark in frames(one):
        x = next(place.from_fp for place in rules.places if f"frame {place.name}" == mark.name)
        between = sheer.point(np.linspace(x + SIDE * plane.outward[0], x, 50))
        assert mark.left == pytest.approx(-run_along(between)[-1], abs=0.02)
        assert mark.left < -1.7


# --- What is wrong is found ---


def moved(job: Job, title: str, mark: str, by: tuple[float, float]) -> Job:
    """The job with marks of one name on one pattern drawn elsewhere."""

    def shift(part: Part) -> Part:
        marks = tuple(replace(m, points=m.points + np.array(by)) if m.name == mark else m for m in part.marks)
        return replace(part, marks=marks)

    return replace(
        job,
        parts=tuple(shift(part) if part.title == title else part for part in job.parts),
        long_pieces=tuple(
            replace(piece, part=shift(piece.part)) if piece.part.title == title else piece for piece in job.long_pieces
        ),
    )


@pytest.mark.slow
@pytest.mark.parametrize(
    ("title", "mark", "by", "a", "b"),
    [
        ("chine log, starboard", "frame 3", (3.0, 0.0), "side panel", "chine log"),
        ("chine log, starboard", "frame 3", (3.0, 0.0), "bottom panel", "chine log"),
        ("inwale, starboard", "frame 2", (3.0, 0.0), "side panel", "inwale"),
        ("side panel, starboard", "frame 3", (3.0, 0.0), "side panel", "chine log"),
        ("bottom panel", "frame 4", (3.0, 0.0), "side panel", "bottom panel"),
        ("frame 3", "chine", (0.0, 3.0), "side panel", "frame 3: side"),
        ("transom", "sheer", (0.0, 3.0), "side panel, starboard: transom", "transom: side"),
        ("stem", "bearding line", (3.0, 0.0), "mark 'stem bearding line'", "stem: bearding"),
    ],
)
def test_a_mark_drawn_elsewhere_is_found_out(title: str, mark: str, by: tuple[float, float], a: str, b: str) -> None:
    found = assembled(moved(sample("saltmeadow")[1], title, mark, by))
    one = pair(found, a, b)
    assert max(max(mark.apart for mark in one.marks), one.gap) > 2.0
    [first, *_] = mark_blocks(found, "mm")
    assert isinstance(first, Paragraph)
    assert first.tone == "caution" or one.gap > 2.0


# --- Ends of other kinds ---


@pytest.mark.slow
def test_where_corners_are_cut_away_or_nothing_is_marked_it_is_said_in_words() -> None:
    boat = sample("saltmeadow")[1].boat
    through = assembled(
        loft(replace(boat, aft_work=TransomWork(through=True), long=replace(boat.long, through_aft=True)))
    )
    inner = pair(through, "mark 'transom fore face'", "transom: side")
    assert not inner.marks
    assert "cut away" in inner.told
    assert [mark.mate for mark in pair(through, "starboard: transom", "transom: side").marks] == ["sheer"]
    told = [block.text for block in mark_blocks(through, "mm") if isinstance(block, Paragraph)]
    assert any("No marks of the two must meet." in words for words in told)
    rabbeted = assembled(loft(stem_wedge(StemWork(PlankEnds.RABBET, false_moulded=20.0))))
    assert "no marks of heights" in pair(rabbeted, "side panel", "stem: face").told


# --- As the builder reads it ---


@pytest.mark.parametrize("name", SAMPLES)
def test_tables_name_both_parts_and_every_frame(name: str) -> None:
    job, found = sample(name)[1], meetings(name)
    tables = [block for block in mark_blocks(found, job.boat.show) if isinstance(block, Table)]
    assert job.boat.frames is not None
    borne = {f"frame {place.name}" for place in job.boat.frames.places}
    log = next(table for table in tables if table.columns[1:3] == ("side panel", "chine log"))
    assert "Side panel from" in log.caption
    assert "chine log from its fore end" in log.caption
    assert borne <= {row[0] for row in log.rows}
    for panel in ("side panel", "bottom panel"):
        of_frames = next(table for table in tables if table.columns[:3] == ("of", "its mark", panel))
        assert borne == {row[0] for row in of_frames.rows if row[0]}
    lengths = next(block for block in edge_blocks(found, (), job.boat.show) if isinstance(block, Table))
    assert [row[0] for row in lengths.rows[::2]] == [str(number + 1) for number in range(len(found))]


@pytest.mark.parametrize("name", SAMPLES)
def test_the_csv_has_every_mark_unrounded(name: str) -> None:
    found = meetings(name)
    rows = list(csv.reader(io.StringIO(fit_csv(found, "mm"))))
    heads = [n for n, row in enumerate(rows) if row[:1] == ["edge"]]
    assert len(heads) == 2
    marks = [dict(zip(rows[heads[1]], row, strict=True)) for row in rows[heads[1] + 1 :]]
    assert len(marks) == sum(len(one.marks) for one in found)
    for row, mark in zip(marks, (mark for one in found for mark in one.marks), strict=True):
        assert float(row["along_mm"]) == pytest.approx(mark.along_a, abs=1e-8)
        difference = float(row["difference_mm"])
        assert difference == pytest.approx(float(row["thickness_mm"]) + float(row["rest_mm"]), abs=1e-7)


# --- The nearest places, against every chord measured ---


@pytest.mark.parametrize("seed", range(6))
def test_the_nearest_place_on_a_line_is_that_of_all_its_chords_measured(seed: int) -> None:
    random = np.random.default_rng(seed)
    line = np.cumsum(random.normal(size=(int(random.integers(2, 60)), 3)), axis=0)
    points = line[random.integers(len(line), size=40)] + random.normal(scale=3.0, size=(40, 3))
    twice = np.repeat(line, random.integers(1, 3, size=len(line)), axis=0)  # some points stand there twice
    off, along = nearest(points, twice)
    run = run_along(line)
    for point, found, place in zip(points, off, along, strict=True):
        every = []
        for a, b in pairwise(line):
            share = float(np.clip((point - a) @ (b - a) / ((b - a) @ (b - a)), 0.0, 1.0))
            every.append(float(np.linalg.norm(point - a - share * (b - a))))
        assert found == pytest.approx(min(every), abs=1e-9)
        there = np.array([np.interp(place, run, line[:, axis]) for axis in range(3)])
        assert np.linalg.norm(point - there) == pytest.approx(found, abs=1e-9)
