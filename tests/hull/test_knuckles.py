"""Knuckles: declared ones are left in the line, others are told with their odds and never fitted unasked."""

from __future__ import annotations

import re
import shutil
from dataclasses import replace
from pathlib import Path

import numpy as np
import pytest
from boats import saltmeadow
from changed_saltmeadow import refused_rules
from commanded import SALTMEADOW
from numpy.typing import NDArray

from patterns.cli.main import main
from patterns.geometry.batten_fits import Break, RowFit
from patterns.geometry.battens import fit_batten
from patterns.geometry.knuckle_odds import PRIOR_ODDS, TURNS, Reading, readings
from patterns.hull.fairing import FairedLine
from patterns.hull.fairing_rules import Knuckle, KnuckleKind
from patterns.hull.knuckles import TOLD, knuckle_doubts
from patterns.hull.offsets import OffsetRow
from patterns.parts.asked.rules import Boat
from patterns.parts.cautions import fairing_cautions
from patterns.parts.faired import fair_lines
from patterns.reading.boat.boat_toml import read_boat

Floats = NDArray[np.float64]
STATIONS = np.array([0.0, 550.0, 1100.0, 1650.0, 2200.0, 2750.0, 3300.0, 3850.0, 4400.0])
AT = 2750.0
EIGHT_DEGREES = float(np.tan(np.radians(8.0)))
X = np.linspace(0.0, 4400.0, 881)


def knuckled(x: Floats) -> Floats:
    return 60.0 + 2e-5 * (x - 2000.0) ** 2 + EIGHT_DEGREES * np.maximum(x - AT, 0.0)


def into_arc(x: Floats) -> Floats:
    return 100.0 + 0.04 * x + np.maximum(x - 2200.0, 0.0) ** 2 / 12000.0


@pytest.mark.parametrize(
    ("line", "where"), [(knuckled, Break(AT, 1)), (into_arc, Break(2200.0, 2))], ids=["angle", "straight into curve"]
)
@pytest.mark.parametrize(("step", "within"), [(0.001, 0.005), (1.0, 1.2), (3.175, 3.5)])
def test_a_line_with_its_break_declared_comes_back_on_both_sides_of_it(
    line: object, where: Break, step: float, within: float
) -> None:
    true = line  # type: ignore[assignment]
    table = np.round(true(STATIONS) / step) * step  # type: ignore[operator]
    limits, noise = np.full(9, 3.175), step / np.sqrt(12)
    declared = fit_batten(STATIONS, table, limits=limits, noise=noise, breaks=(where,)).batten
    plain = fit_batten(STATIONS, table, limits=limits, noise=noise).batten
    off = np.abs(declared.value(X) - true(X)).max()  # type: ignore[operator]
    assert off < within
    assert off < np.abs(plain.value(X) - true(X)).max()  # type: ignore[operator]


def test_a_declared_angle_jumps_in_slope_alone_and_a_declared_curve_in_bend_alone() -> None:
    for line, where, jumps in ((knuckled, Break(AT, 1), (0, 1)), (into_arc, Break(2200.0, 2), (0, 0))):
        batten = fit_batten(
            STATIONS, line(STATIONS), limits=np.full(9, 3.0), noise=0.01 / np.sqrt(12), breaks=(where,)
        ).batten
        beside = np.array([where.at - 1e-6, where.at + 1e-6])
        value, slope = np.diff(batten.value(beside))[0], np.diff(batten.slope(beside))[0]
        assert abs(value) < 1e-5
        assert slope == pytest.approx(jumps[1] * EIGHT_DEGREES, abs=1e-4)
    assert np.diff(batten.bend(beside))[0] == pytest.approx(1 / 6000.0, rel=0.01)


def test_the_odds_of_a_turn_are_those_of_the_plain_covariance_with_its_shape_added() -> None:
    """Each kind, size and noise by itself, the shape in the dense covariance, in place of the determinant lemma."""
    table = np.round(knuckled(STATIONS) / 3.175) * 3.175
    row = RowFit(STATIONS, table, 3.175 / np.sqrt(12))
    told = {(one.what, one.figure): one for one in readings(row)}
    shape = np.maximum(STATIONS - AT, 0.0)
    modes, log = row.all_modes, row.likelihoods
    total = []
    for kind in range(len(log)):
        axes, swing = modes.axes[kind], row.swing(modes)[kind]
        for trial in range(log.shape[1]):
            plain = np.diag(swing[trial])
            for size in TURNS:
                seen = size * axes.T @ shape
                with_it = plain + np.outer(seen, seen)
                z = modes.amounts[kind]
                gain = -(z @ np.linalg.solve(with_it, z) + np.linalg.slogdet(with_it)[1]) / 2
                gain += (z @ np.linalg.solve(plain, z) + np.linalg.slogdet(plain)[1]) / 2
                total.append(log[kind, trial] + gain - np.log(3.0))
    tried = sum(what is Reading.TURN for what, _ in told)
    expected = np.logaddexp.reduce(total) - row.evidence + PRIOR_ODDS[Reading.TURN] - np.log(tried)
    assert told[Reading.TURN, 5].odds == pytest.approx(expected, abs=1e-3)
    assert told[Reading.TURN, 5].size == pytest.approx(EIGHT_DEGREES, rel=0.1)


def with_turn(degrees: float) -> Boat:
    """Saltmeadow whose sheer turns upward, and outward by as much, at station 4."""
    boat = saltmeadow()
    beyond = np.maximum(np.nan_to_num(boat.offsets.from_fp, nan=0.0) - boat.offsets.from_fp[4], 0.0)
    beyond[-1] = 4400.0 - boat.offsets.from_fp[4]
    added = np.tan(np.radians(degrees)) * beyond / np.sqrt(2.0)

    def turned(rows: tuple[OffsetRow, ...]) -> tuple[OffsetRow, ...]:
        step = boat.offsets.rounding
        values = np.round((rows[0].values + added) / step) * step
        return (OffsetRow("sheer", values), *rows[1:])

    offsets = boat.offsets
    table = replace(offsets, heights=turned(offsets.heights), half_breadths=turned(offsets.half_breadths))
    profile = boat.aft.profile + np.array([[0.0, added[-1]], [0.0, 0.0]])
    return replace(boat, offsets=table, aft=replace(boat.aft, profile=profile))


def sheer(boat: Boat) -> FairedLine:
    return fair_lines(boat)[0]


def test_a_fair_boat_shows_no_knuckle() -> None:
    assert list(knuckle_doubts(fair_lines(saltmeadow()))) == []


def test_a_turn_nobody_declared_is_told_with_what_to_write_and_not_fitted() -> None:
    boat = with_turn(12.0)
    (doubt,) = knuckle_doubts(fair_lines(boat))
    assert (doubt.line, doubt.columns, doubt.kind) == ("sheer", ("4",), KnuckleKind.ANGLE)
    assert doubt.odds > TOLD
    assert np.degrees(doubt.turn) == pytest.approx(12.0, abs=2.0)
    (told,) = [one for one in fairing_cautions(boat, fair_lines(boat)) if "knuckle" in one.text]
    assert told.where == "sheer"
    assert 'write [[knuckle]] with line = "sheer", at = "4" and kind = "angle" in boat.toml' in told.text
    row = sheer(boat).height.fit
    assert row is not None
    assert row.row is not None
    assert row.row.breaks == ()


def test_both_views_together_are_surer_than_either() -> None:
    boat = with_turn(6.0)
    lines = fair_lines(boat)
    (both,) = (one for one in knuckle_doubts(lines) if one.line == "sheer")
    flat = np.zeros(len(lines[0].half_breadth.given))
    alone = replace(lines[0], half_breadth=replace(lines[0].half_breadth, given=flat, faired=flat, fit=None))
    assert all(both.odds > one.odds for one in knuckle_doubts((alone,)))


def test_a_declared_knuckle_is_carried_into_both_views_and_told_no_more() -> None:
    boat = with_turn(12.0)
    knuckle = Knuckle("sheer", "4", float(boat.offsets.from_fp[4]), KnuckleKind.ANGLE)
    declared = replace(boat, knuckles=(knuckle,))
    lines = fair_lines(declared)
    assert list(knuckle_doubts(lines)) == []
    beside = knuckle.from_fp + np.array([-1e-6, 1e-6])
    for view in (lines[0].height, lines[0].half_breadth):
        assert np.diff(view.batten.slope(beside))[0] == pytest.approx(np.tan(np.radians(12)) / np.sqrt(2), rel=0.15)
    for view in (lines[1].height, lines[1].half_breadth):
        assert abs(np.diff(view.batten.slope(beside))[0]) < 1e-6


def asked(folder: Path, text: str) -> tuple[Knuckle, ...]:
    (folder / "offsets.csv").write_text((SALTMEADOW / "offsets.csv").read_text())
    (folder / "boat.toml").write_text((SALTMEADOW / "boat.toml").read_text() + text)
    return read_boat(folder).boat.knuckles


def test_a_knuckle_is_read_at_a_station_or_a_distance(tmp_path: Path) -> None:
    station, distance = asked(
        tmp_path,
        '[[knuckle]]\nline = "Chine"\nat = 4\nkind = "angle"\n'
        '[[knuckle]]\nline = "sheer"\nat = "6-3-0"\nkind = "straight into curve"\n',
    )
    assert (station.line, station.place, station.kind) == ("chine", "4", KnuckleKind.ANGLE)
    assert station.from_fp == pytest.approx(8 * 304.8)
    assert (distance.line, distance.from_fp) == ("sheer", pytest.approx(6.25 * 304.8))


@pytest.mark.parametrize(
    ("text", "told"),
    [
        (
            'line = "chin"\nat = "4"\nkind = "angle"',
            "knuckle]] 1 line: found 'chin', expected one of 'sheer', 'chine'; did you mean 'chine'?",
        ),
        (
            'line = "chine"\nat = "9"\nkind = "angle"',
            "knuckle]] 1 at: found '9', expected one of '1', '2', '3', '4', '5', '6', "
            "or a distance from FP with its unit",
        ),
        (
            'line = "chine"\nat = "1"\nkind = "angle"',
            "knuckle]] 1 at: found 1 of the chine's heights forward of it, "
            "expected a place with at least 2 on either side",
        ),
        (
            'line = "chine"\nat = "13-0-0"\nkind = "angle"',
            "knuckle]] 1 at: found 1 of the chine's heights aft of it, expected a place with at least 2 on either side",
        ),
        (
            'line = "chine"\nat = "4"\nkind = "corner"',
            "knuckle]] 1 kind: found 'corner', expected one of 'angle', 'straight into curve'",
        ),
        (
            'line = "chine"\nat = "4"\nkind = "angle"\n[[knuckle]]\nline = "chine"\nat = "8-0-0"\nkind = "angle"',
            "knuckle]] 2 at: found '8-0-0' again, expected each knuckle of the chine once",
        ),
    ],
)
def test_a_knuckle_that_cannot_be_is_refused_with_its_key(tmp_path: Path, text: str, told: str) -> None:
    assert refused_rules(tmp_path, f"[[knuckle]]\n{text}\n") == [told]


def table_of_sheer_heights(folder: Path, heights: list[float]) -> Path:
    """Saltmeadow in a folder with other heights of its sheer, inches at each column."""
    shutil.copytree(SALTMEADOW, folder, ignore=shutil.ignore_patterns("out"))
    rows = (SALTMEADOW / "offsets.csv").read_text().splitlines()
    rows[3] = ",".join(["sheer", *(f"{height:.3f} in" for height in heights)])
    (folder / "offsets.csv").write_text("\n".join(rows))
    return folder


@pytest.mark.slow
@pytest.mark.parametrize(("at", "sees_one"), [("4", True), ("2", False)])
def test_by_how_much_a_line_turns_at_its_declared_angle_is_told(
    at: str, sees_one: bool, tmp_path: Path, capsys: pytest.CaptureFixture[str]
) -> None:
    """Straight runs that fall 10 in over 96 in and rise 2.75 in over 78 in meet at station 4 in 5.95° + 2.02°."""
    stations = np.array([0.0, 24.0, 48.0, 72.0, 96.0, 120.0, 144.0, 174.0])
    kinked = np.interp(stations, [0.0, 96.0, 174.0], [30.5, 20.5, 23.25])
    straight = np.interp(stations, [0.0, 174.0], [30.5, 23.25])
    boat = table_of_sheer_heights(tmp_path / "boat", (kinked if sees_one else straight).tolist())
    toml = boat / "boat.toml"
    toml.write_text(toml.read_text() + f'\n[[knuckle]]\nline = "sheer"\nat = "{at}"\nkind = "angle"\n')
    assert main(["fair", str(boat), "--verbose"]) == 0
    told = " ".join(capsys.readouterr().out.split())
    turned = re.search(rf"sheer, knuckle at {at}: its heights turn by (\S+)°, its half-breadths by \S+°\.", told)
    assert turned
    assert float(turned[1]) == pytest.approx(7.97 if sees_one else 0.0, abs=0.1)
    assert ("The figures show no angle there." in told) is not sees_one
