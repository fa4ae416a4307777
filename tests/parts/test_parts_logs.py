"""Chine logs of hulls with several chines, held to the planes they lie between."""

from __future__ import annotations

import re
from dataclasses import replace
from pathlib import Path

import numpy as np
import pytest
from boats import Flat, Floats
from hypothesis import given
from hypothesis import strategies as st
from level_hulls import LOG
from two_chines import LOWER, THICK, UPPER, leaning, two_chined

from patterns.errors import InputError, ShapeError
from patterns.geometry.arrays import dots
from patterns.hull.build import Joint
from patterns.parts.asked.long_rules import ChineLogRules, LongAsked
from patterns.parts.long.long_pieces import LongPiece
from patterns.parts.long.longitudinals import long_pieces
from patterns.parts.whole import loft
from patterns.reading.boat.boat_toml import BoatFile, read_boat
from patterns.shop.fit.fit_report import fit_report
from patterns.shop.layout.bevel_boards import bevel_boards

ON_FACE = 0.01  # mm
READ = 0.02  # degrees
SMALL = ChineLogRules("chine log", 15.0, 36.0, "fir", 1.6)
JOINTS = (Joint.HALF_ANGLE, Joint.LOWER_OVER)
SAMPLES = Path(__file__).parents[2] / "samples"
WINDROW = SAMPLES / "windrow"


def logs_of(above: Flat = UPPER, below: Flat = LOWER, *logs: ChineLogRules) -> dict[str, LongPiece]:
    hull = two_chined(JOINTS, above, below)
    pieces = long_pieces(hull, LongAsked(chine_logs=logs or (SMALL,)), (), show="mm")
    return {piece.name: piece for piece in pieces if piece.part.hand == "starboard"}


def off(plane: Flat, thickness: float, points: Floats) -> Floats:
    """How far points lie off the inside of planking whose outside is a plane."""
    return (points - plane.origin) @ plane.outward + thickness


def figured(log: LongPiece, name: str) -> Floats:
    return np.array([getattr(place, name) for place in log.places])


def turn(above: Floats, below: Floats) -> Floats:
    return np.degrees(np.arccos(dots(above, below)))


def bottom(points: Floats) -> tuple[Floats, Floats]:
    """Foot (n, 3) on the underside of the bottom, a parabola carried athwart, and the normal out of it."""
    x = points[:, 0].copy()
    for _ in range(50):  # Newton on the place square below a point
        z, slope = 20.0 + 30.0 * ((x - 1900.0) / 1900.0) ** 2, 60.0 * (x - 1900.0) / 1900.0**2
        x -= (x - points[:, 0] + (z - points[:, 2]) * slope) / (1.0 + slope**2 + (z - points[:, 2]) * 60.0 / 1900.0**2)
    z, slope = 20.0 + 30.0 * ((x - 1900.0) / 1900.0) ** 2, 60.0 * (x - 1900.0) / 1900.0**2
    outward = np.stack([slope, 0.0 * x, -np.ones_like(x)], axis=1) / np.sqrt(1.0 + slope**2)[:, None]
    return np.stack([x, points[:, 1], z], axis=1), outward


def test_a_log_between_two_planes_lies_on_the_insides_of_both_at_their_angle() -> None:
    log = logs_of()["chine 1 log"]
    assert not log.chine
    lower, middle, upper, _, _, far_lower = log.solid.corners
    for points in (lower, middle, upper):
        assert np.abs(off(UPPER, THICK[0], points)).max() < ON_FACE
    for points in (lower, far_lower):
        assert np.abs(off(LOWER, THICK[1], points)).max() < ON_FACE
    bevels = np.degrees(figured(log, "lower"))
    assert bevels == pytest.approx(90.0 - turn(UPPER.outward[None], LOWER.outward[None])[0], abs=READ)


def test_the_log_along_the_bottom_lies_on_the_strake_above_it_and_on_the_bottom() -> None:
    log = logs_of()["chine 2 log"]
    lower, middle, upper, _, _, far_lower = log.solid.corners
    for points in (lower, middle, upper):
        assert np.abs(off(LOWER, THICK[1], points)).max() < ON_FACE
    for points in (lower, far_lower):
        foot, outward = bottom(points)
        assert np.abs(dots(points - foot, outward) + THICK[2]).max() < ON_FACE
    at = figured(log, "at")
    wanted = 90.0 - turn(np.broadcast_to(LOWER.outward, at.shape), bottom(at)[1])
    assert np.degrees(figured(log, "lower")) == pytest.approx(wanted, abs=READ)


@given(flare=st.floats(0.0, 20.0), turned=st.floats(4.0, 38.0), sweep=st.floats(4.0, 10.0))
def test_whatever_the_flare_a_log_lies_on_both_strakes(flare: float, turned: float, sweep: float) -> None:
    steep, shallow = np.tan(np.radians([flare, flare + turned]))
    above = leaning(flare, sweep, 160.0)
    below = leaning(flare + turned, sweep, 160.0 - 150.0 * (shallow - steep))
    log = logs_of(above, below)["chine 1 log"]
    angle = float(turn(above.outward[None], below.outward[None])[0])
    batten = angle < 30.0
    assert (log.chine == "chine 1") == batten
    planed, chine, *on_above = log.solid.corners[:4] if batten else (*log.solid.corners[[5, 0, 1, 2]],)
    for points in (chine, *on_above):
        assert np.abs(off(above, THICK[0], points)).max() < ON_FACE
    for points in (planed, chine):
        assert np.abs(off(below, THICK[1], points)).max() < ON_FACE
    if batten:
        assert np.degrees(figured(log, "turn")) == pytest.approx(angle, abs=READ)
        # Half of it lies on each strake, unless too little wood were left at the lower edge.
        half = min(SMALL.moulded / 2, 0.75 * SMALL.sided / np.sin(np.radians(angle)))
        assert figured(log, "planed") == pytest.approx(half * np.sin(np.radians(angle)), abs=ON_FACE)
        # A gauge takes the planed face off the lower edge, which is square: by as much as the strakes turn.
        board = next(one for one in bevel_boards([log.part], show="mm") if one.name == log.name)
        (face,) = (one for one in board.edges if "below chine 1" in one.name)
        assert face.face == "lower edge"
        assert np.degrees([line.angle for line in face.lines]) == pytest.approx(angle, abs=READ)
        assert [line.place for line in face.lines] == ["all along"]
    else:
        assert np.degrees(figured(log, "lower")) == pytest.approx(90.0 - angle, abs=READ)


def test_strakes_that_meet_in_a_hollow_take_no_log() -> None:
    above, below = leaning(40.0, 8.0, 100.0), leaning(12.0, 8.0, 194.0)
    told = "chine 1 log: the side and strake 2 meet in a hollow"
    cure = r'; write \[\[chine_log\]\] with at = "chine 2" in place of \[chine_log\]'
    with pytest.raises(ShapeError, match=told + ".*" + cure):
        logs_of(above, below)
    assert list(logs_of(above, below, replace(SMALL, at="chine 2"))) == ["chine 2 log"]
    with pytest.raises(ShapeError, match=told) as refused:
        logs_of(above, below, replace(SMALL, at="chine 1"))
    assert "[[chine_log]]" not in str(refused.value)


def test_each_chine_can_have_a_log_of_its_own_or_none() -> None:
    own = replace(SMALL, moulded=30.0, at="chine 2")
    assert list(logs_of(UPPER, LOWER, own)) == ["chine 2 log"]
    widths = {name: log.width for name, log in logs_of(UPPER, LOWER, own, SMALL).items()}
    assert widths == {"chine 1 log": 36.0, "chine 2 log": 30.0}


def test_the_top_of_a_batten_across_a_chine_sheds_water_as_asked() -> None:
    above, below = leaning(12.0, 8.0, 160.0), leaning(24.0, 8.0, 125.0)
    log = logs_of(above, below, replace(SMALL, drain=LOG.drain))["chine 1 log"]
    assert log.chine
    assert figured(log, "slope") == pytest.approx(LOG.drain, abs=1e-6)


def windrow(folder: Path, logs: str) -> BoatFile:
    """Windrow with nothing along her planking but these logs."""
    text = (WINDROW / "boat.toml").read_text(encoding="utf-8")
    basics = re.sub(r"(?ms)^\[+(chine_log|inwale|outwale|thwart|riser|breasthook)\]+[^\n]*\n.*?(?=^\[|\Z)", "", text)
    (folder / "boat.toml").write_text(f"{basics}\n{logs}", encoding="utf-8")
    (folder / "offsets.csv").write_bytes((WINDROW / "offsets.csv").read_bytes())
    return read_boat(folder)


ONE = '[[chine_log]]\nsided = 18\nmoulded = 36\nmaterial = "fir"\n'


def test_a_log_for_one_chine_and_one_for_all_others_are_read(tmp_path: Path) -> None:
    read = windrow(tmp_path, f'{ONE}[[chine_log]]\nat = "chine 2"\nsided = 20\nmoulded = 32\nmaterial = "fir"\n')
    long = read.boat.long
    assert [(log.at, log.sided) for log in long.chine_logs] == [(None, 18.0), ("chine 2", 20.0)]
    asked = {line: long.log_at(line) for line in ("chine 1", "chine 2")}
    assert {line: log.sided for line, log in asked.items() if log} == {"chine 1": 18.0, "chine 2": 20.0}
    told = [f"{one.key} = {one.value}" for one in read.defaults if "chine_log" in one.key]
    assert told == ["[chine_log] planing = 1.6 mm (1/16 in)", "[chine_log at chine 2] planing = 1.6 mm (1/16 in)"]


AT_2 = f'{ONE}at = "chine 2"\n'
REFUSED = {
    ONE.replace(
        "fir", 'fir"\nat = "chine 3'
    ): "[[chine_log]] 1 at: found 'chine 3', expected one of 'chine 1', 'chine 2'",
    AT_2 + AT_2: "[[chine_log]] 2 at: found 'chine 2' again, expected each chine once",
    ONE + ONE: "[[chine_log]] 2 at: found nothing, expected the chine that this log is for",
    "[chine_log]\nsided = 18\nmoulded = -1\n": "[chine_log] moulded: found -1, expected",
}


@pytest.mark.parametrize(("logs", "told"), REFUSED.items())
def test_a_log_at_no_chine_or_twice_at_one_is_refused(tmp_path: Path, logs: str, told: str) -> None:
    with pytest.raises(InputError) as fault:
        windrow(tmp_path, logs)
    assert told in str(fault.value)


def test_frames_are_notched_over_each_log_and_fit_is_told_of_each(tmp_path: Path) -> None:
    job = loft(windrow(tmp_path, ONE.replace("[[", "[").replace("]]", "]")).boat)
    titles = [piece.part.title for piece in job.long_pieces]
    assert titles == [f"chine {n} log, {hand}" for n in (1, 2) for hand in ("port", "starboard")]
    for frame in ("2", "4", "6", "8"):
        names = {edge.name for edge in job.part(f"frame {frame}").edges}
        assert {f"notch {title.replace(',', '')}" for title in titles} <= names


@pytest.mark.parametrize("name", ["windrow", "fennel"])
def test_finished_samples_fit_with_a_log_at_every_chine(name: str) -> None:
    job = loft(read_boat(SAMPLES / name).boat)
    logs = [piece for piece in job.long_pieces if "log" in piece.name and piece.part.hand == "starboard"]
    assert [log.name for log in logs] == [f"{corner.line} log" for corner in job.hull.corners]
    # Fennel's bottom twists a little beyond her after end, which is told.
    assert all(told.text.startswith("twists up to 2") for told in job.warnings)
    meetings = fit_report(job).meetings
    for log in logs:
        against = [meeting for meeting in meetings if meeting.line_b.part == log.name]
        assert len(against) == 2
        assert max(meeting.gap for meeting in against) < 0.1


def test_a_log_stops_where_the_strakes_turn_too_little_toward_an_end() -> None:
    job = loft(read_boat(SAMPLES / "fennel").boat)
    log = next(piece for piece in job.long_pieces if piece.part.title == "chine log, starboard")
    assert log.fore.against == "nothing, square: beyond it the strakes turn too little for a log"
    assert log.fore.on_face == pytest.approx(0.0, abs=np.radians(0.5))
    assert "transom" in log.after.against
    (corner,) = job.hull.corners
    turned = np.degrees(np.interp(log.places[0].at[0], corner.points[:, 0], corner.turn))
    assert 30.0 <= turned < 45.0
