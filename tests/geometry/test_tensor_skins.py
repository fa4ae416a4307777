"""A tensor surface against the formulas it is laid on, and against its own differences."""

from __future__ import annotations

from dataclasses import replace

import numpy as np
import pytest
from closed_round import ClosedRound, double_ender, ellipsoid, hollow, parabolic

FORMS = {"ellipsoid": ellipsoid(), "parabolic": parabolic(), "hollow": hollow(), "double ender": double_ender()}


@pytest.mark.parametrize("form", FORMS.values(), ids=FORMS)
def test_sections_and_bevels_are_those_of_the_formula(form: ClosedRound) -> None:
    """Closed form; p and v are one, so that point answers to point."""
    for x in form.stations[[0, 4, -1]].tolist():
        p = np.linspace(form.begins(x), 1, 41)
        cut = form.skin.section(x, p)
        assert np.abs(cut.points[:, 0] - x).max() < 1e-9
        assert np.abs(cut.points[:, 1:] - form.outside(x, 41)).max() < 0.02
        square = form.normals(np.full(41, x), p)
        assert np.degrees(np.abs(cut.bevels - np.arctan2(square[:, 0], np.hypot(*square[:, 1:].T))).max()) < 0.06
        assert form.skin.reach(x)[0] == pytest.approx(form.begins(x), abs=1e-4)


@pytest.mark.parametrize("form", FORMS.values(), ids=FORMS)
def test_the_inside_of_the_planking_is_cut_where_the_formula_has_it(form: ClosedRound) -> None:
    x, t = float(form.stations[1]), 9.0
    p = np.linspace(form.begins(x), 1, 41)
    cut = form.skin.cut(np.array([1.0, 0.0, 0.0]), x, p, depth=t)
    inside = cut.points - t * cut.normals
    assert np.abs(inside[:, 0] - x).max() < 1e-6
    exact, bevels = form.inside(x, t, 41)
    assert np.abs(inside[:, 1:] - exact).max() < 0.02
    assert np.degrees(np.abs(cut.bevels - bevels).max()) < 0.06


def test_derivatives_are_the_limits_of_differences_past_the_edges_too() -> None:
    skin = FORMS["hollow"].skin
    u, v, h = np.array([-0.01, 0.3, 0.7, 1.02]), np.array([1.02, 0.4, -0.01, 0.99]), 1e-5
    for du, dv in ((1, 0), (0, 1), (2, 0), (1, 1), (0, 2)):
        ahead, behind = ((skin.at(u + way * h * (du > 0), v + way * h * (du == 0), du - (du > 0), dv - (du == 0))) for way in (1, -1))  # fmt: skip  # noqa: E501
        exact = skin.at(u, v, du, dv)
        assert np.abs((ahead - behind) / (2 * h) - exact).max() < 1e-4 * max(1.0, np.abs(exact).max())


def test_it_goes_on_past_its_edges_without_a_jump() -> None:
    skin = FORMS["double ender"].skin
    edge = np.linspace(0.05, 0.95, 7)
    for at in (0.0, 1.0):
        for around in ((np.full(7, at), edge, 1e-9, 0.0), (edge, np.full(7, at), 0.0, 1e-9)):
            u, v, du, dv = around
            before, after = skin.places(u - du, v - dv), skin.places(u + du, v + dv)
            assert np.abs(before.points - after.points).max() < 1e-4
            assert np.abs(before.normals - after.normals).max() < 1e-6


def test_normals_are_square_to_the_skin_and_point_outward() -> None:
    skin = FORMS["ellipsoid"].skin
    u, v = (axis.ravel() for axis in np.meshgrid(np.linspace(0, 1, 9), np.linspace(0.05, 1, 9)))
    places = skin.places(u, v)
    assert np.abs(np.vecdot(places.normals, places.along)).max() < 1e-9 * 4000
    assert np.abs(np.vecdot(places.normals, places.up)).max() < 1e-9 * 4000
    assert (places.normals[:, 1] > -1e-3).all()
    assert (places.normals[:, 2] < 1e-3).all()


def test_a_raked_plane_cuts_the_raked_transom_out() -> None:
    """The after edge of the skin lies in the transom's plane, so the plane must find it at u = 1."""
    form = FORMS["hollow"]
    (x1, z1), (x0, z0) = form.aft.profile.tolist()
    rake = np.arctan2(x1 - x0, z1 - z0)
    square_to = np.array([np.cos(rake), 0.0, -np.sin(rake)])
    cut = form.skin.cut(square_to, float(np.array([x0, 0.0, z0]) @ square_to), np.linspace(0, 1, 21))
    assert np.abs(cut.u - 1).max() < 1e-5


def test_scale_is_a_factor() -> None:
    skin = FORMS["parabolic"].skin
    u, v = np.array([0.1, 0.8]), np.array([0.3, 0.9])
    assert np.allclose(skin.scaled(3.0).at(u, v), 3 * skin.at(u, v), rtol=1e-12)
    assert np.allclose(skin.scaled(3.0).normals(u, v), skin.normals(u, v), atol=1e-12)
    assert replace(skin).corners == ()
