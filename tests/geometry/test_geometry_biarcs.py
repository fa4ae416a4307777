"""Lines of arcs: laid along dense points within two hundredths of a millimetre, and measured exactly."""

from __future__ import annotations

import numpy as np
import pytest
import shapely
from hypothesis import given, settings
from hypothesis import strategies as st

from patterns.geometry.arc_lines import LEAST_RISE, WIDEST_RADIUS, ArcLine, circle, machined
from patterns.geometry.arrays import Floats
from patterns.geometry.biarcs import FIT_WITHIN, LEAST_RUN, apart, fit_arcs
from patterns.geometry.outlines import thinned
from patterns.shop.router.proof import deviation


def kinks(line: ArcLine) -> Floats:
    begin, end = line.tangents
    return np.abs(begin[1:, 0] * end[:-1, 1] - begin[1:, 1] * end[:-1, 0])


def farthest_apart(line: ArcLine, true: Floats) -> float:
    """Both ways, against far denser points than the fit was given."""
    flat = line.flat(1e-4)
    there = shapely.distance(shapely.points(true), shapely.LineString(flat)).max()
    return float(max(there, shapely.distance(shapely.points(flat), shapely.LineString(true)).max()))


def sheer(x: Floats) -> Floats:
    """An S-shaped edge 4572 mm (15 ft) long."""
    u = x / 4572.0
    return np.column_stack([x, 180.0 * u**2 - 90.0 * np.sin(5.0 * u) + 40.0 * u**5])


@pytest.mark.slow
def test_a_fifteen_foot_edge_takes_some_tens_of_arcs_within_two_hundredths() -> None:
    line = fit_arcs(thinned(sheer(np.linspace(0.0, 4572.0, 1200))))
    assert len(line.chords) < 40
    assert farthest_apart(line, sheer(np.linspace(0.0, 4572.0, 20001))) < FIT_WITHIN
    assert kinks(line).max() < 1e-9


@pytest.mark.slow
@settings(max_examples=10)
@given(st.floats(-150, 150), st.floats(-150, 150), st.floats(-60, 60), st.floats(-0.3, 0.3))
def test_every_smooth_edge_is_followed_without_a_corner(a: float, b: float, c: float, slope: float) -> None:
    def edge(x: Floats) -> Floats:
        u = x / 1500.0
        return np.column_stack([x, slope * x + a * u**2 + b * u**3 + c * np.sin(6 * u)])

    line = fit_arcs(thinned(edge(np.linspace(0.0, 1500.0, 800))))
    assert farthest_apart(line, edge(np.linspace(0.0, 1500.0, 3001))) < FIT_WITHIN
    # Arcs a tenth of a micrometre apart are made one, which turns a short one by some millionths of a radian.
    assert len(line.chords) == 1 or kinks(line).max() < 1e-5
    np.testing.assert_array_equal(line.points[[0, -1]], edge(np.array([0.0, 1500.0])))


def test_an_arc_comes_back_as_that_arc() -> None:
    turn = np.linspace(0.2, 1.9, 120)
    line = fit_arcs(np.column_stack([300 * np.cos(turn), 300 * np.sin(turn)]))
    assert len(line.chords) == 1
    assert line.radii[0] == pytest.approx(300.0, abs=1e-6)
    assert line.length == pytest.approx(300 * 1.7, abs=1e-6)


def test_a_straight_run_into_an_arc_stays_tangent() -> None:
    turn = np.linspace(0.0, np.pi / 2, 100)
    points = np.concatenate([[[0.0, 0.0]], np.column_stack([500 + 80 * np.sin(turn), 80 - 80 * np.cos(turn)])])
    line = fit_arcs(points)
    true = np.concatenate([np.column_stack([np.linspace(0, 500, 400), np.zeros(400)]), points[1:]])
    assert farthest_apart(line, true) < FIT_WITHIN
    assert kinks(line).max() < 1e-9
    assert len(line.chords) < 6


def test_corners_stay_where_they_are() -> None:
    x = np.linspace(0.0, 400.0, 90)
    bow = np.column_stack([x, 12 * np.sin(np.pi * x / 400)])
    line = fit_arcs(np.concatenate([bow, [[400.0, 60.0], [30.0, 60.0]]]))
    for corner in ([400.0, 0.0], [400.0, 60.0]):
        assert np.abs(line.points - corner).max(axis=1).min() < 1e-9
    assert (kinks(line) > 0.1).sum() == 2


def test_a_circle_of_points_is_a_circle_of_arcs() -> None:
    turn = np.linspace(0.0, 2 * np.pi, 361)[:-1]
    line = fit_arcs(np.column_stack([5 + 40 * np.cos(turn), 7 + 40 * np.sin(turn)]), closed=True)
    assert len(line.points) <= 4
    np.testing.assert_allclose(line.radii, 40.0, atol=1e-6)
    assert line.area == pytest.approx(np.pi * 40**2, rel=1e-9)


def test_area_length_and_chords_of_a_circle_are_those_of_the_handbook() -> None:
    """Area pi r^2, circumference 2 pi r: any geometry."""
    line = circle((3.0, 4.0), 50.0)
    assert line.area == pytest.approx(np.pi * 2500)
    assert line.length == pytest.approx(100 * np.pi)
    off = np.hypot(*(line.flat(0.01) - (3.0, 4.0)).T)
    np.testing.assert_allclose(off, 50.0, atol=1e-9)
    assert shapely.Polygon(line.flat(1e-4)).area == pytest.approx(line.area, rel=1e-5)


@given(st.floats(-3, 3), st.floats(-500, 500), st.floats(-500, 500))
@settings(max_examples=20)
def test_turning_and_moving_a_line_leaves_its_area_and_length(turn: float, x: float, y: float) -> None:
    line = ArcLine(np.array([[0.0, 0], [100, 0], [100, 60]]), np.array([0.3, -0.2, 0.5]), closed=True)
    other = line.moved(turn, (x, y))
    assert other.area == pytest.approx(line.area)
    assert other.length == pytest.approx(line.length)


def test_a_long_straight_run_into_a_gentle_curve_is_held_along_its_whole_length() -> None:
    """A frame's side in a flaring bow: one arc through all of it would part from the straight between its middle and
    its end."""
    turn = np.linspace(0.0, 0.012, 25)
    for straight_part in (60.0, 100.0, 150.0, 220.0):
        curve = np.column_stack([straight_part + 30_000 * np.sin(turn), 30_000 * (1 - np.cos(turn))])
        points = np.concatenate([[[0.0, 0.0]], curve])
        line = fit_arcs(points)
        assert deviation(line, points) <= FIT_WITHIN


def test_a_long_chord_before_a_gentle_curve_is_followed_all_along() -> None:
    """A frame's leg of 608 mm in one chord, then the frame's own side: arcs may not part from it between its points."""
    x = np.array([0.0, 607.9, 720.5, 833.2, 936.6, 1040.1, 1092.6])
    turns = np.array([0.0, 1.3, 1.36, 1.48, 1.58, 1.44]) * 1e-4
    y = np.concatenate([[0.0], np.cumsum(np.diff(x) * -np.cumsum(turns))])
    points = np.column_stack([x, y])
    assert farthest_apart(fit_arcs(points), points) < FIT_WITHIN


def test_points_too_near_each_other_to_show_a_direction_are_left_out_and_corners_stay() -> None:
    bow = np.column_stack([np.linspace(0.0, 60.0, 31), 0.01 * np.linspace(0.0, 60.0, 31) ** 2])
    # Each stray lies on the line, or within hundredths of it, just beside a point; the last is beside a corner.
    strays = np.array([[10.03, 1.02], [30.05, 9.01], [59.97, 35.96]])
    line = np.concatenate([bow[:6], strays[:1], bow[6:16], strays[1:2], bow[16:30], strays[2:], bow[30:], [[60, 80]]])
    clear = apart(line)
    assert np.linalg.norm(np.diff(clear, axis=0), axis=1).min() >= 0.12
    assert (clear == [60.0, 36.0]).all(axis=1).any()
    np.testing.assert_array_equal(clear[[0, -1]], line[[0, -1]])
    assert fit_arcs(clear).chords.min() > LEAST_RUN


@given(st.floats(1e-5, 0.2), st.floats(1.0, 3000.0), st.booleans())
def test_a_flat_or_wide_arc_becomes_straight_runs_that_leave_it_by_no_more_than_its_rise(
    bulge: float, chord: float, left: bool
) -> None:
    sign = 1.0 if left else -1.0
    line = ArcLine(
        np.array([[0.0, 0.0], [chord, 0.0], [chord, 40.0]]), np.array([sign * bulge, 0.0, 0.0]), closed=False
    )
    made = machined(line)
    rise, radius = bulge * chord / 2, chord * (1 + bulge**2) / (4 * bulge)
    kept = rise > LEAST_RISE and radius <= WIDEST_RADIUS
    assert bool(made.bulges.any()) == kept
    assert len(made.points) == 3 if kept or rise <= LEAST_RISE else len(made.points) > 3
    np.testing.assert_array_equal(made.points[[0, -2, -1]], line.points)
    assert farthest_apart(made, line.flat(1e-5)) < LEAST_RISE + 2e-4
