"""Layout tables, plotted again from the file a builder reads: tape, square and batten give the pattern back."""

from __future__ import annotations

import csv
import io
from dataclasses import replace
from itertools import groupby

import numpy as np
import pytest
import shapely
from boats import Floats, saltmeadow
from sample_jobs import SAMPLES, sample
from scipy.interpolate import CubicSpline, make_interp_spline

from patterns.geometry.arrays import run_along
from patterns.geometry.pins import BETWEEN, pins_for, sprung
from patterns.job.boat_job import layout_tables
from patterns.parts.asked.end_rules import TransomFraming, TransomWork
from patterns.parts.edges import as_laid
from patterns.parts.whole import loft
from patterns.shop.layout.layout_tables import LayoutTable, layout_table, worth_a_table
from patterns.units.lengths import read_length
from patterns.units.tape import tape_step
from patterns.writing.tables.layout_csv import layout_csv

BATTEN = 0.5  # mm, what a batten through unrounded points may err by


def tables(name: str) -> tuple[LayoutTable, ...]:
    return layout_tables(*sample(name))


def a_table(title: str) -> LayoutTable:
    return next(table for table in tables("saltmeadow") if table.title == title)


def read_back(table: LayoutTable, *, rounded: bool) -> list[Floats]:
    """The points of each batten along an edge, in the pattern's axes, from the CSV alone."""
    rows = list(csv.reader(io.StringIO(layout_csv(table))))
    head = next(n for n, row in enumerate(rows) if row[:1] == ["line"])
    body = [dict(zip(rows[head], row, strict=True)) for row in rows[head + 1 :] if len(row) == len(rows[head])]
    battens = []
    for _, of_line in groupby((row for row in body if row["kind"] == "edge"), key=lambda row: row["line"]):
        points = list(of_line)
        places = table.plotted(np.array([_rounded(row, table) if rounded else _exact(row) for row in points]))
        cuts = [n for n, row in enumerate(points) if row["meets"] == "corner"]
        battens += [places[a : b + 1] for a, b in zip([0, *cuts], [*cuts, len(places) - 1], strict=True)]
    return battens


def _exact(row: dict[str, str]) -> tuple[float, float]:
    return float(row["along_mm"]), float(row["off_mm"])


def _rounded(row: dict[str, str], table: LayoutTable) -> tuple[float, float]:
    off = read_length(row["off"], None).mm
    return read_length(row["along"], None).mm, off if row["side"] in (table.sides[0], "on the line") else -off


def batten(pins: Floats) -> Floats:
    """A thin rod through pins, free at its ends."""
    pins = pins[np.concatenate([[True], np.abs(np.diff(pins, axis=0)).max(axis=1) > 1e-9])]
    if len(pins) < 3:
        return pins
    run = run_along(pins)
    ends = [(2, np.zeros(2))]
    return make_interp_spline(run, pins, k=3, bc_type=(ends, ends))(np.linspace(0, run[-1], 60 * len(pins)))


def farthest(table: LayoutTable, *, rounded: bool) -> float:
    """mm, the most any batten leaves the edge it is sprung along."""
    edges = [edge.points for edge in table.part.edges] + [np.concatenate([h, h[:1]]) for h in table.part.holes]
    lines = np.array([shapely.LineString(points) for points in edges])
    off = [
        shapely.distance(lines[:, None], shapely.points(batten(pins))).max(axis=1)
        for pins in read_back(table, rounded=rounded)
    ]
    return max(float(one.min()) for one in off)


@pytest.mark.slow
@pytest.mark.parametrize("name", SAMPLES)
def test_table_plotted_again_overlays_the_pattern(name: str) -> None:
    for table in tables(name):
        assert farthest(table, rounded=False) < BATTEN, table.title
        assert farthest(table, rounded=True) < BATTEN + tape_step(table.show), table.title


@pytest.mark.parametrize("name", SAMPLES)
def test_diagonals_agree_with_the_points_as_read_off_the_tape(name: str) -> None:
    for table in tables(name):
        for one in table.diagonals:
            ends = [table.points[number - 1] for number in (one.first, one.second)]
            taped = np.array([[round(v / (s := tape_step(table.show))) * s for v in (p.along, p.off)] for p in ends])
            # Two figures at either end, each out by half a step at the most.
            assert abs(np.hypot(*(taped[1] - taped[0])) - one.length) < np.sqrt(2) * tape_step(table.show) + 1e-6


@pytest.mark.parametrize("name", SAMPLES)
def test_no_point_falls_on_an_edge_of_the_sheet(name: str) -> None:
    for table in tables(name):
        sheet = table.on_sheet
        if sheet is None:
            continue
        along, across = (sheet.length, sheet.width) if sheet.lengthwise else (sheet.width, sheet.length)
        for point in table.points:
            assert 9.9 < sheet.zero_in + point.along < along - 9.9, table.title
            assert 9.9 < sheet.line_in + point.off < across - 9.9, table.title


def test_panels_are_placed_on_the_sheets_of_the_stock() -> None:
    placed = {table.title: table.on_sheet for table in tables("saltmeadow") if table.on_sheet}
    assert placed["side panel, port"].joined
    assert not placed["side panel fore piece, port"].joined


@pytest.mark.slow
def test_both_hands_have_the_same_figures_set_off_to_opposite_sides() -> None:
    port, starboard = a_table("side panel, port"), a_table("side panel, starboard")

    def figures(table: LayoutTable) -> set[tuple[str, str, str]]:
        lines = [line for line in table.lines if line.edge]
        found = {(line.name, table.points[n - 1]) for line in lines for n in line.numbers}
        return {(name, table.tape(point.along), table.tape(point.off)) for name, point in found}

    assert figures(port) == figures(starboard)
    assert port.sides == starboard.sides


@pytest.mark.slow
def test_the_struck_line_is_told_by_the_edge_it_touches() -> None:
    """Either hand lies with its upper edge up: the line is struck along its lower edge."""
    for name in SAMPLES:
        for table in tables(name):
            if not table.struck.startswith("a straight line touching the "):
                continue
            touching = table.struck.removeprefix("a straight line touching the ").split(" edge")[0]
            edge = next(one for one in table.part.edges if one.name.removesuffix(" edge") == touching)
            assert np.abs(edge.points[:, 1] - table.origin[1]).min() < 1e-6
            laid = as_laid(table.part)
            edge = next(one for one in laid.edges if one.name.removesuffix(" edge") == touching)
            assert edge.points[:, 1].min() == pytest.approx(laid.outline[:, 1].min(), abs=1e-6)
            assert f"with the bow to the {laid.bow} lies lowest" in table.struck
    assert "touching the chine edge, which with the bow to the right lies lowest" in a_table("side panel, port").struck


def test_frame_names_port_and_starboard_as_its_pattern_does() -> None:
    for title in ("frame 3", "frame 6"):  # seen from aft, and from forward
        table = a_table(title)
        for line in table.lines:
            for hand in ("port", "starboard"):
                if line.name == f"side {hand}":
                    assert {table.side(table.points[n - 1].off) for n in line.numbers} == {f"to {hand}"}


def test_frames_and_joints_are_marked_on_the_panels() -> None:
    names = {line.name for line in a_table("side panel, starboard").lines if not line.edge}
    assert {f"frame {n}" for n in range(1, 7)} <= names
    assert any("scarf" in name for name in names)
    piece = {line.name for line in a_table("side panel after piece, starboard").lines if not line.edge}
    assert "alignment line" in piece
    assert "frame 6" in piece
    assert "frame 1" not in piece


def test_a_batten_through_pins_is_the_natural_spline_of_another_hand() -> None:
    """Against scipy's: natural cubic spline over the chords' running length."""
    chance = np.random.default_rng(7)
    for count in (3, 4, 5, 12):
        pins = np.cumsum(chance.uniform(-20.0, 300.0, (count, 2)), axis=0)
        run = run_along(pins)
        curve = sprung(pins)
        at = np.interp(np.arange(len(curve)) / BETWEEN, np.arange(count), run)
        np.testing.assert_allclose(curve, CubicSpline(run, pins, bc_type="natural")(at), atol=1e-9)


def test_a_mark_that_is_an_edge_is_not_traced_twice() -> None:
    """A bottom between the sides ends at the inside of the sides; one over them reaches past it."""
    between, over = (
        next(table for table in tables(name) if table.title == "bottom panel") for name in ("duckweed", "saltmeadow")
    )
    assert not any(line.name.startswith("inside of side") for line in between.lines)
    assert {"frame 2", "frame 4", "frame 6"} <= {line.name for line in between.lines}
    assert any(mark.name.startswith("inside of side") for mark in between.part.marks)
    assert any(line.name.startswith("inside of side") for line in over.lines)


def test_pins_stand_closer_where_the_edge_curves() -> None:
    """An arc's chord of h leaves it by h^2/(8R): sagitta, trade_geometry.toml; a batten wants no closer pins."""
    turn = np.linspace(0.0, 1.0, 4001)

    def pins(radius: float) -> int:
        arc = radius * np.stack([np.sin(turn * 600 / radius), np.cos(turn * 600 / radius)], axis=1)
        return len(pins_for(arc, within=0.4, steps=(300.0, 150.0, 50.0, 25.0, 10.0, 5.0, 1.0)))

    assert pins(20000.0) <= 5
    assert pins(400.0) > pins(2000.0) >= pins(20000.0)


def test_figures_never_run_from_station_to_station() -> None:
    for table in tables("saltmeadow"):
        for line in table.lines:
            along = [table.points[n - 1].along for n in line.numbers]
            if line.name in ("sheer", "chine", "chine starboard"):
                assert along == sorted(along)


def test_fashion_pieces_are_pricked_from_their_whole_pattern_and_have_no_table_each() -> None:
    work = TransomWork(framing=TransomFraming(30.0, 50.0, "oak"))
    parts = [part for part in loft(replace(saltmeadow(), aft_work=work)).parts if part.name.startswith("transom fr")]
    tabled = [part.title for part in parts if worth_a_table(part)]
    assert len(parts) == 4
    assert tabled == ["transom framing"]
    assert layout_table(next(part for part in parts if worth_a_table(part)), show="mm", room=None).points
