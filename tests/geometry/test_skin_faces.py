"""Faces at a depth under smooth surfaces, cut by planes: surfaces whose faces have formulas of their own."""

from __future__ import annotations

import numpy as np
import pytest
from smooth_surfaces import bilge_tube, sphere, wedge

from patterns.errors import ShapeError
from patterns.geometry.arrays import unit
from patterns.geometry.cuts import Cylinder, Plane, station_plane
from patterns.geometry.skin_faces import cut_face

STATION = station_plane(300.0, facing_aft=True)


def test_the_face_in_a_sphere_is_a_smaller_sphere_and_its_bevel_that_of_the_smaller() -> None:
    """Concentric spheres: radius R - t, and the normal at x leans asin(x / (R - t))."""
    cut = cut_face(sphere(1000.0), STATION, 30.0)
    assert np.abs(np.linalg.norm(cut.points, axis=1) - 970).max() < 1e-9
    assert np.abs(cut.points[:, 0] - 300).max() < 1e-7
    assert np.abs(cut.bevels - np.arcsin(300 / 970)).max() < 1e-9
    assert cut.loops == ()


def test_a_raked_plane_and_a_bowed_one_cut_the_smaller_sphere_too() -> None:
    raked = Plane(np.array([500.0, 0.0, 0.0]), np.array([0.0, 1.0, 0.0]), unit(np.array([0.2, 0.0, 1.0])))
    bowed = Cylinder(raked.origin, raked.right, raked.up, 2000.0, 2000.0)
    for plane in (raked, bowed):
        cut = cut_face(sphere(1000.0), plane, 30.0)
        assert np.abs(np.linalg.norm(cut.points, axis=1) - 970).max() < 1e-9
        assert np.abs(plane.signed(cut.points)).max() < 1e-6


def test_at_no_depth_the_face_is_the_surface() -> None:
    cut = cut_face(sphere(800.0), STATION, 0.0)
    assert np.abs(np.linalg.norm(cut.points, axis=1) - 800).max() < 1e-9


def test_inside_a_hard_turn_both_faces_meet_in_the_corner_of_two_planes() -> None:
    """A floor rising 1 in 10 and an upright side, moved in by t: y = half - t, z = 0.1 y + t sqrt(1.01)."""
    cut = cut_face(wedge(400.0, 300.0, 3000.0), STATION, 20.0)
    corner = np.array([300.0, 380.0, 38.0 + 20 * np.sqrt(1.01)])
    assert np.abs(cut.points - corner).sum(axis=1).min() < 1e-3
    assert cut.points[:, 1].max() < 380 + 1e-3
    assert cut.loops == ()  # the corner of the face is where it should be: nothing is lost


def test_planking_thinner_than_a_bilge_is_round_follows_it_in_a_smaller_radius() -> None:
    cut = cut_face(bilge_tube(400.0, 300.0, 60.0, 3000.0), STATION, 40.0)
    turn = (cut.points[:, 1] > 341) & (cut.points[:, 2] < 59)
    assert np.abs(np.hypot(cut.points[turn, 1] - 340, cut.points[turn, 2] - 60) - 20).max() < 1e-3
    assert cut.loops == ()


def test_planking_thicker_than_a_bilge_is_round_leaves_a_corner_and_says_so() -> None:
    """Moved in by more than the radius, floor and side meet at half - t and t; what ran back between is cut out."""
    cut = cut_face(bilge_tube(400.0, 300.0, 60.0, 3000.0), STATION, 80.0)
    assert len(cut.loops) == 1
    assert cut.points[:, 1].max() < 320 + 1e-3
    assert np.abs(cut.points - (300.0, 320.0, 80.0)).sum(axis=1).min() < 1e-3
    low, high = cut.loops[0].first, cut.loops[0].last
    assert 300 < low[1] < 341  # it begins on the floor before the bilge
    assert 59 < high[2] < 120  # and ends on the side above it


def test_a_plane_that_misses_is_refused() -> None:
    with pytest.raises(ShapeError, match="does not cut the planking"):
        cut_face(sphere(1000.0), station_plane(5000.0, facing_aft=True), 10.0)
