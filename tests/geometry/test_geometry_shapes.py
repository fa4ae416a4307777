"""Planes, bowed faces, profiles, lines beside lines, arcs and bending, each against a shape whose answer is known."""

from __future__ import annotations

import numpy as np
import pytest
from numpy.typing import NDArray

from patterns.geometry.arc_lines import ArcLine
from patterns.geometry.battens import batten_through
from patterns.geometry.bending import bending_along
from patterns.geometry.cuts import Cylinder, Plane, Profile, station_plane
from patterns.geometry.development import develop
from patterns.geometry.outlines import across, parallel
from patterns.geometry.parallels import parallel_on
from patterns.geometry.pins import sprung
from patterns.geometry.ruled import Ruled

Floats = NDArray[np.float64]
ALONG_X = np.array([[0.0, 0.0], [50.0, 0.0], [100.0, 0.0]])
R = 500.0  # mm


# --- Lines beside lines ---


def test_a_line_to_the_right_of_another_is_a_positive_distance_across() -> None:
    below = ALONG_X + np.array([0.0, -3.0])
    assert across(ALONG_X, below, np.array([10.0, 90.0])) == pytest.approx([3.0, 3.0])
    assert across(ALONG_X, ALONG_X + np.array([0.0, 4.0]), np.array([50.0])) == pytest.approx([-4.0])


@pytest.mark.parametrize("off_square", [0.0, 30.0, 45.0])
@pytest.mark.parametrize("along", [5.0, 40.0, 400.0])
def test_short_edges_far_apart_are_measured_across_too(off_square: float, along: float) -> None:
    """The end of a piece thicker than it is deep: its far edge lies wholly past the near edge's ends, and runs on."""
    slope = np.tan(np.radians(off_square))
    near = np.array([[0.0, 0.0], [0.0, 14.0]])
    far = near + np.array([along, along * slope])
    assert across(near, far, np.array([0.0, 7.0, 14.0])) == pytest.approx([along, along, along])


def test_a_parallel_line_lies_to_the_left() -> None:
    assert parallel(ALONG_X, 5.0) == pytest.approx(ALONG_X + np.array([0.0, 5.0]))
    assert parallel(ALONG_X[::-1], 5.0) == pytest.approx(ALONG_X[::-1] - np.array([0.0, 5.0]))


# --- Planes and bowed faces ---


def test_a_station_seen_from_aft_has_starboard_on_the_right_and_from_forward_on_the_left() -> None:
    starboard = np.array([[1000.0, 300.0, 200.0]])
    for facing_aft, right in ((True, 300.0), (False, -300.0)):
        plane = station_plane(1000.0, facing_aft=facing_aft)
        assert plane.flat(starboard)[0] == pytest.approx([right, 200.0])
        assert plane.facing == pytest.approx([1.0 if facing_aft else -1.0, 0.0, 0.0])
        assert plane.signed(starboard + np.array([7.0, 0.0, 0.0])) == pytest.approx([7.0])
        assert plane.in_space(plane.flat(starboard)) == pytest.approx(starboard)
        # Shifted is toward the reader, whichever way he looks.
        assert plane.shifted(2.0).origin[0] == pytest.approx(1002.0 if facing_aft else 998.0)


def bowed() -> Cylinder:
    """A transom's outer face seen from aft, its middle furthest aft, on a circle of 500 mm about an upright axis."""
    return Cylinder(np.array([R, 0.0, 0.0]), np.array([0.0, 1.0, 0.0]), np.array([0.0, 0.0, 1.0]), R, R)


@pytest.mark.parametrize("out", [0.0, 30.0, -18.0])
def test_a_face_of_a_bowed_board_lies_on_a_circle_about_the_same_axis(out: float) -> None:
    face = bowed().shifted(out)
    turn = np.linspace(-0.6, 0.6, 9)
    circle = np.stack([(R + out) * np.cos(turn), (R + out) * np.sin(turn), np.full(9, 40.0)], axis=1)
    # Both faces are drawn on the same flat, straight through: by the arc lengths of the face it is unrolled on.
    assert face.flat(circle) == pytest.approx(np.stack([R * turn, np.full(9, 40.0)], axis=1))
    assert face.in_space(face.flat(circle)) == pytest.approx(circle)
    assert face.signed(circle) == pytest.approx(np.zeros(9), abs=1e-9)
    assert (face.signed(circle + np.array([1.0, 0.0, 0.0])) > 0).all()


def test_a_bowed_end_stands_forward_of_its_middle_at_its_corners_where_it_bulges_aft() -> None:
    upright = np.array([[2000.0, 400.0], [2000.0, 0.0]])
    half = np.array([0.0, 300.0])
    sagitta = R - np.sqrt(R**2 - 300.0**2)
    assert Profile(upright, R).set_back(half) == pytest.approx([0.0, sagitta])
    assert Profile(upright, -R).set_back(half) == pytest.approx([0.0, -sagitta])
    corner = np.array([[2000.0 - sagitta, 300.0, 200.0]])
    assert Profile(upright, R).signed(corner) == pytest.approx([0.0], abs=1e-9)
    assert Profile(upright, R).signed(corner + np.array([1.0, 0.0, 0.0])) == pytest.approx([1.0])


def test_a_plane_that_leans_is_crossed_square_to_itself() -> None:
    lean = np.radians(20.0)
    leaning = Plane(np.zeros(3), np.array([0.0, 1.0, 0.0]), np.array([np.sin(lean), 0.0, np.cos(lean)]))
    assert leaning.signed(np.array([[10.0, 5.0, 0.0]])) == pytest.approx([10.0 * np.cos(lean)])


# --- Arcs ---


@pytest.mark.parametrize("turn", [np.pi / 2, -np.pi / 2, np.pi, 0.1])
def test_a_bulge_is_the_tangent_of_a_quarter_of_the_turn(turn: float) -> None:
    """DXF reference, LWPOLYLINE, group code 42: positive to the left."""
    radius = 80.0
    chord = 2 * radius * np.sin(abs(turn) / 2)
    line = ArcLine(np.array([[0.0, 0.0], [chord, 0.0]]), np.array([np.tan(turn / 4), 0.0]), closed=False)
    assert line.turns == pytest.approx([turn])
    assert line.radii == pytest.approx([radius])
    assert line.length == pytest.approx(radius * abs(turn))
    # Going right and turning left, an arc bows below its chord.
    bow = line.flat()[:, 1]
    deepest = bow[np.abs(bow).argmax()]
    assert deepest == pytest.approx(-np.sign(turn) * radius * (1 - np.cos(turn / 2)), abs=0.01)


def test_two_half_circles_enclose_a_circle() -> None:
    line = ArcLine(np.array([[-10.0, 0.0], [10.0, 0.0]]), np.array([1.0, 1.0]), closed=True)
    assert line.area == pytest.approx(100.0 * np.pi)
    assert line.length == pytest.approx(20.0 * np.pi)


# --- Battens past their ends, and through pins ---


def test_past_its_ends_a_batten_runs_on_as_the_parabola_that_touches_it() -> None:
    sites = np.linspace(0.0, 4000.0, 9)
    curve = batten_through(sites, 100.0 + 1e-5 * (sites - 1500.0) ** 2)
    past = np.array([-300.0, 4400.0])
    assert curve.value(past) == pytest.approx(100.0 + 1e-5 * (past - 1500.0) ** 2, abs=1e-6)
    assert curve.slope(past) == pytest.approx(2e-5 * (past - 1500.0), abs=1e-9)


def test_a_sprung_batten_follows_a_flat_arc_through_its_pins() -> None:
    turn = np.linspace(-0.25, 0.25, 11)
    pins = 2000.0 * np.stack([np.sin(turn), np.cos(turn)], axis=1)
    curve = sprung(pins)
    middle = curve[len(curve) // 4 : -len(curve) // 4]  # a free batten straightens toward its ends
    assert np.abs(np.hypot(*middle.T) - 2000.0).max() < 0.02


# --- Skins ---


def drum(n: int = 61) -> Ruled:
    """The starboard side of an upright drum of 500 mm radius about (0, 0): rulings straight down, normals outward."""
    turn = np.linspace(2.0, 1.0, n)  # from forward aft, round by starboard
    normal = np.stack([np.cos(turn), np.sin(turn), np.zeros(n)], axis=1)
    down = np.tile([0.0, 0.0, -1.0], (n, 1))
    return Ruled(R * normal, down, normal, np.full(n, 200.0), np.linspace(0.01, 0.02, n))


def test_depth_is_measured_out_of_the_boat() -> None:
    skin = drum()
    s, t = np.array([3.0, 30.5, 60.0]), np.array([-10.0, 0.0, 40.0])
    for depth in (-9.0, 0.0, 12.0):
        points = skin.point(s, t, depth)
        assert np.hypot(points[:, 0], points[:, 1]) == pytest.approx(np.full(3, R + depth), abs=0.05)
        assert points[:, 2] == pytest.approx(-t)


def test_a_skin_mirrored_twists_the_other_way_and_bends_alike() -> None:
    skin, other = drum(), drum().mirrored()
    assert other.middle == pytest.approx(skin.middle * (1, -1, 1))
    assert other.normal == pytest.approx(skin.normal * (1, -1, 1))
    assert other.twist == pytest.approx(-skin.twist)


@pytest.mark.parametrize("depth", [0.0, -12.0, 9.0])
def test_a_drum_unrolls_to_its_arc_aft_to_the_right_and_the_upper_edge_up(depth: float) -> None:
    skin = drum(201)
    flat = develop(skin, depth=depth)
    ends = np.array([0.0, 200.0])
    middle = flat.point(ends, np.zeros(2))
    assert middle[1] - middle[0] == pytest.approx([R + depth, 0.0], abs=0.05)  # a turn of one radian
    upper = flat.point(ends, np.array([-50.0, -50.0]))
    assert upper - middle == pytest.approx(np.array([[0.0, 50.0], [0.0, 50.0]]), abs=1e-6)


def test_a_line_beside_an_edge_lies_toward_the_upper_edge() -> None:
    flat = develop(drum(), depth=0.0)
    beside = parallel_on(flat, np.full(61, 100.0), 30.0)
    assert beside == pytest.approx(np.full(61, 70.0), abs=1e-6)


def test_a_strip_bent_round_a_drum_turns_its_ends_away_from_the_outside() -> None:
    """Both ends go back from the outward normal: flatwise is positive, 1/R; level round a drum there is no more."""
    turn = np.linspace(2.0, 1.0, 400)
    normals = np.stack([np.cos(turn), np.sin(turn), np.zeros(400)], axis=1)
    bent = bending_along(R * normals, normals, np.array([100.0, 250.0, 400.0]))
    assert bent.flatwise == pytest.approx(np.full(3, 1 / R), rel=1e-3)
    assert np.abs(bent.edgewise).max() < 1e-6
    assert np.abs(bent.twist).max() < 1e-6
    assert (bent.aft[:, 0] > 0).all()
    # Aft, out and up are right-handed; on the starboard side up is up.
    assert bent.up == pytest.approx(np.tile([0.0, 0.0, 1.0], (3, 1)), abs=1e-6)


def test_a_strip_that_curves_upward_in_a_flat_side_is_bent_edgewise() -> None:
    turn = np.linspace(-0.3, 0.3, 300)
    points = R * np.stack([np.sin(turn), np.zeros(300), 1 - np.cos(turn)], axis=1)
    bent = bending_along(points, np.tile([0.0, 1.0, 0.0], (300, 1)), np.array([100.0, 150.0]))
    assert bent.edgewise == pytest.approx(np.full(2, 1 / R), rel=1e-3)  # both ends rise toward up
    assert np.abs(bent.flatwise).max() < 1e-6


def test_a_profile_has_a_corner_where_its_points_turn_all_at_once() -> None:
    """Two straights that meet at an angle stay straight; a sweep given by few points stays one sweep."""
    upper = [[100.0 + 40.0 * k, 600.0 - 80.0 * k] for k in range(5)]
    lower = [[260.0 + 150.0 * k, 280.0 - 50.0 * k] for k in range(1, 5)]
    knuckled = Profile(np.array(upper + lower))
    assert knuckled.corners == (280.0,)
    z = np.array([560.0, 400.0, 300.0, 260.0, 180.0, 100.0])
    assert knuckled.at_height(z) == pytest.approx([120.0, 200.0, 250.0, 320.0, 560.0, 800.0], abs=1e-9)
    swept = np.array([[0.0, 660.0], [6.0, 516.0], [22.0, 444.0], [57.0, 372.0], [119.0, 301.0], [217.0, 229.0]])
    assert Profile(swept).corners == ()
    below = knuckled.batten_between(280.0, 80.0)
    assert below.value(np.array([280.0, 300.0])) == pytest.approx([260.0, 200.0], abs=1e-9)  # on past it, straight
