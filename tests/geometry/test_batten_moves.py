"""A batten moved at a few places: it runs through them, has no kink, and stays where it was further off."""

from __future__ import annotations

import numpy as np
import pytest
from hypothesis import given
from hypothesis import strategies as st
from scipy.interpolate import CubicSpline

from patterns.geometry.batten_moves import moved_near
from patterns.geometry.battens import fit_batten

LONG = 4200.0


def row(count: int):
    sites = np.linspace(0.0, LONG, count)
    values = 600.0 * np.sin(sites / LONG * np.pi) + 40.0
    return sites, fit_batten(sites, values, limits=np.full(count, 3.0), noise=0.3).batten


@given(st.integers(6, 12), st.data())
def test_it_runs_through_every_move_and_beyond_two_places_not_at_all(count: int, data: st.DataObject) -> None:
    sites, batten = row(count)
    site = data.draw(st.integers(1, count - 2))
    moves = np.zeros(count)
    moves[site] = data.draw(st.floats(-10.0, 10.0))
    moved = moved_near(batten, sites, moves)
    assert moved.value(sites) - batten.value(sites) == pytest.approx(moves, abs=1e-6)
    x = np.linspace(0.0, LONG, 2001)
    change = moved.value(x) - batten.value(x)
    low, high = sites[max(site - 2, 0)], sites[min(site + 2, count - 1)]
    assert np.abs(change[(x < low) | (x > high)]).max(initial=0.0) < 1e-6
    assert np.abs(change).max() <= 1.6 * abs(moves[site])


def test_the_change_has_no_kink_and_no_jump_of_bending() -> None:
    sites, batten = row(9)
    moves = np.zeros(9)
    moves[4] = 6.0
    moved = moved_near(batten, sites, moves)
    x = np.linspace(0.0, LONG, 8001)
    for of in ("slope", "bend"):
        change = getattr(moved, of)(x) - getattr(batten, of)(x)
        assert np.abs(np.diff(change)).max() < 0.01 * np.abs(change).max()


def test_beside_the_place_it_goes_as_a_natural_spline_would() -> None:
    """Between two held places the textbook's spline through the same moves: no lump of the program's own."""
    sites, batten = row(9)
    moves = np.zeros(9)
    moves[4] = 6.0
    spline = CubicSpline(sites, moves, bc_type="natural")
    x = np.linspace(sites[3], sites[5], 200)
    assert moved_near(batten, sites, moves).value(x) - batten.value(x) == pytest.approx(spline(x), abs=0.5)


def test_an_end_is_held_and_free_to_turn() -> None:
    sites, batten = row(8)
    moves = np.zeros(8)
    moves[1] = 6.0
    moved = moved_near(batten, sites, moves)
    end = np.array([0.0])
    assert moved.value(end) == pytest.approx(batten.value(end), abs=1e-9)
    assert abs(float((moved.slope(end) - batten.slope(end))[0])) > 0.005
    assert moved.bend(end) == pytest.approx(batten.bend(end), abs=1e-9)
