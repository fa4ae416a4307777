"""Battens: what a sprung line does between its pins, past them, and when the pins may move."""

from __future__ import annotations

import numpy as np
import pytest
from hypothesis import given, settings
from hypothesis import strategies as st
from numpy.typing import NDArray
from scipy.optimize import lsq_linear

from patterns.geometry.battens import Batten, bending_root, fair_values, likely_stiffness

Floats = NDArray[np.float64]
EIGHTH = 3.175  # mm
EIGHTHS_NOISE = EIGHTH / np.sqrt(12)  # standard deviation of rounding to a step: step / sqrt(12)
OPTIMAL = 1e-9  # share of the greatest force
STATIONS = np.linspace(0.0, 4000.0, 13)
UNEVEN = np.array([0.0, 210.0, 610.0, 900.0, 1220.0, 1530.0, 1830.0, 2500.0, 2750.0, 3050.0, 3660.0, 4000.0])


def parabola(x: Floats) -> Floats:
    return 40.0 + 0.31 * x - 9e-5 * x**2


def arc(x: Floats, radius: float) -> Floats:
    return np.sqrt(radius**2 - (x - 2000.0) ** 2) - radius + 700.0


def slow_spline(sites: Floats, values: Floats, degree: int = 2) -> tuple[Floats, Floats]:
    """The curve of least integral f'''^2 as a sum of |x - site|^5 and powers: weights and coefficients.

    With powers up to 2 it is the batten free at its ends; with powers up to 4, f''' leaves a steady trend least.

    A second method, written out plainly. Source: the one-dimensional polyharmonic spline of order 3, G. Wahba, Spline
    Models for Observational Data, SIAM 1990, sections 1.3 and 2.4. Sites are taken in metres.
    """
    x = sites / 1000.0
    powers = x[:, None] ** np.arange(degree + 1)
    kernel = np.abs(x[:, None] - x[None, :]) ** 5
    system = np.block([[kernel, powers], [powers.T, np.zeros((degree + 1, degree + 1))]])
    found = np.linalg.solve(system, np.concatenate([values, np.zeros(degree + 1)]))
    return found[: len(x)], found[len(x) :]


def slow_value(sites: Floats, values: Floats, at: Floats) -> Floats:
    weights, powers = slow_spline(sites, values, degree=4)
    x = at / 1000.0
    bend = np.abs(x[:, None] - sites[None, :] / 1000.0) ** 5
    return bend @ weights + np.polyval(powers[::-1], x)


def slow_energy(sites: Floats, values: Floats) -> float:
    """Integral of f'''^2 by brute force, sites scaled to a run of 1."""
    weights, _ = slow_spline(sites, values)
    run = (sites[-1] - sites[0]) / 1000.0
    edges = np.linspace(sites[0], sites[-1], 400_001) / 1000.0
    x = (edges[1:] + edges[:-1]) / 2
    third = np.zeros_like(x)
    for site, weight in zip(sites / 1000.0, weights, strict=True):
        third += 60.0 * weight * (x - site) ** 2 * np.sign(x - site)
    return float(np.sum(third**2) * (x[1] - x[0]) * run**5)


def energy_matrix(sites: Floats) -> Floats:
    """(n, n) of the same energy as a square form in the values, by the second method: c^T y, up to its factor."""
    weights = np.stack([slow_spline(sites, column)[0] for column in np.eye(len(sites))], axis=1)
    # f = sum c |x - site|^5 has f'''''' = 2 * 120 sum c delta, and integral f'''^2 = -integral f f''''''.
    run = (sites[-1] - sites[0]) / 1000.0
    return -240.0 * (weights + weights.T) / 2 * run**5


@pytest.mark.parametrize("sites", [STATIONS, UNEVEN])
def test_a_parabola_comes_back_exactly_between_its_stations_and_past_both_ends(sites: Floats) -> None:
    batten = Batten(sites, parabola(sites))
    x = np.linspace(-900.0, 4900.0, 1001)
    assert np.abs(batten.value(x) - parabola(x)).max() < 1e-5
    assert np.abs(batten.slope(x) - (0.31 - 18e-5 * x)).max() < 1e-8


@pytest.mark.parametrize("noise", [0.0, 0.01 / np.sqrt(12), EIGHTHS_NOISE])
def test_fairing_leaves_a_parabola_where_it_was(noise: float) -> None:
    faired = fair_values(UNEVEN, parabola(UNEVEN), limits=np.full(len(UNEVEN), EIGHTH), noise=noise)
    x = np.linspace(-300.0, 4300.0, 501)
    assert np.abs(Batten(UNEVEN, faired).value(x) - parabola(x)).max() < 1e-5


FLAT_ARCS = [(5000.0, 4000.0), (10000.0, 4000.0), (5000.0, 3000.0), (20000.0, 6000.0)]
"""Radius and length, mm; they rise 1 in 10, 1 in 20, 1 in 13 and 1 in 27 of their length."""


@pytest.mark.parametrize(("radius", "length"), FLAT_ARCS)
@pytest.mark.parametrize("noise", [0.0, 0.01 / np.sqrt(12), EIGHTHS_NOISE])
@pytest.mark.parametrize("step", [0.0, 0.01])
def test_a_flat_arc_of_13_stations_is_faired_back_within_a_twentieth_of_a_millimetre(
    radius: float, length: float, noise: float, step: float
) -> None:
    # Also where the table is said to be in eighths: its figures lie far nearer to a fair curve than eighths could.
    stations = np.linspace(2000.0 - length / 2, 2000.0 + length / 2, 13)
    table = arc(stations, radius)
    table = np.round(table / step) * step if step else table
    faired = fair_values(stations, table, limits=np.full(13, EIGHTH), noise=noise)
    x = np.linspace(stations[0], stations[-1], 2001)
    assert np.abs(Batten(stations, faired).value(x) - arc(x, radius)).max() < 0.05


@pytest.mark.parametrize("step", [0.0, 0.01])
def test_a_parabola_to_a_hundredth_is_faired_back_within_a_twentieth_of_a_millimetre(step: float) -> None:
    for stations in (STATIONS, UNEVEN):
        table = np.round(parabola(stations) / step) * step if step else parabola(stations)
        for noise in (step / np.sqrt(12), EIGHTHS_NOISE):
            faired = fair_values(stations, table, limits=np.full(len(stations), EIGHTH), noise=noise)
            x = np.linspace(0.0, 4000.0, 2001)
            assert np.abs(Batten(stations, faired).value(x) - parabola(x)).max() < 0.05


@settings(max_examples=40, deadline=None)
@given(st.integers(0, 10_000), st.sampled_from([3.175, 1.0]), st.integers(5, 13))
def test_a_table_that_is_fair_already_stays_where_it_is(seed: int, step: float, count: int) -> None:
    rng = np.random.default_rng(seed)
    stations = np.linspace(0.0, 4000.0, count)
    u = stations / 4000.0
    values = 500 + 200 * u - rng.uniform(100, 400) * (u - rng.uniform(0.3, 0.7)) ** 2
    table = np.round(values, 2)
    faired = fair_values(stations, table, limits=np.full(count, step), noise=step / np.sqrt(12))
    assert np.abs(faired - table).max() < 0.02


@pytest.mark.parametrize("sites", [STATIONS, UNEVEN])
def test_a_batten_is_the_curve_of_the_slow_textbook_solution(sites: Floats) -> None:
    values = np.random.default_rng(7).normal(300.0, 60.0, len(sites))
    x = np.linspace(sites[0], sites[-1], 777)
    assert np.abs(Batten(sites, values).value(x) - slow_value(sites, values, x)).max() < 1e-6


@pytest.mark.parametrize("sites", [STATIONS, UNEVEN])
def test_the_energy_of_a_batten_agrees_with_brute_force_quadrature(sites: Floats) -> None:
    values = np.random.default_rng(11).normal(300.0, 60.0, len(sites))
    quick = float(np.sum((bending_root(sites) @ values) ** 2))
    assert quick == pytest.approx(slow_energy(sites, values), rel=1e-6)


@settings(max_examples=25, deadline=None)
@given(st.integers(0, 10_000), st.floats(1.0, 30.0))
def test_no_other_curve_through_the_same_pins_changes_its_bending_more_steadily(seed: int, size: float) -> None:
    rng = np.random.default_rng(seed)
    values = rng.normal(300.0, 60.0, len(UNEVEN))
    x = np.linspace(0.0, 4000.0, 40_001)
    u = x / 4000.0
    # A bulge that vanishes at every pin: the product of the distances to them, times a wave.
    bulge = np.prod(u[:, None] - UNEVEN[None, :] / 4000.0, axis=1) * np.sin(rng.uniform(1, 9) * u)
    bulge *= size / np.abs(bulge).max()
    own = Batten(UNEVEN, values).value(x)

    def energy(curve: Floats) -> float:
        third = np.diff(curve[::40], 3)
        along = np.arange(len(third))
        return float(np.sum((third - np.polyval(np.polyfit(along, third, 1), along)) ** 2))

    assert energy(own + bulge) > energy(own)


@settings(max_examples=30, deadline=None)
@given(
    st.lists(st.integers(-12, 12), min_size=13, max_size=13),
    st.lists(st.sampled_from([0.0, 0.5, 1.5, EIGHTH]), min_size=13, max_size=13),
)
def test_no_station_moves_beyond_its_limit_and_a_locked_one_stays(errors: list[int], limits: list[float]) -> None:
    given_values = parabola(STATIONS) + np.array(errors)
    bounds = np.array(limits)
    moves = fair_values(STATIONS, given_values, limits=bounds, noise=EIGHTHS_NOISE) - given_values
    assert (np.abs(moves) <= bounds + 1e-9).all()
    assert (moves[bounds == 0.0] == 0.0).all()


@pytest.mark.parametrize("limit", [0.0, 1e-6])
def test_a_batten_that_may_move_nowhere_asks_no_solver_for_nothing(
    limit: float, monkeypatch: pytest.MonkeyPatch
) -> None:
    """Every offset locked, or every one pressed against its limit: older numpy refuses a system without unknowns."""
    solve = np.linalg.lstsq

    def asked(matrix: Floats, target: Floats, **how: object) -> object:
        assert matrix.shape[1] > 0
        return solve(matrix, target, **how)

    monkeypatch.setattr("patterns.geometry.battens.np.linalg.lstsq", asked)
    given_values = parabola(STATIONS) + np.resize([5.0, -5.0], 13)
    faired = fair_values(STATIONS, given_values, limits=np.full(13, limit), noise=EIGHTHS_NOISE, stiffness=10.0)
    assert np.abs(faired - given_values).max() <= limit
    assert np.abs(faired - given_values).min() == pytest.approx(limit, abs=1e-9)


@settings(max_examples=30, deadline=None)
@given(st.integers(0, 10_000), st.sampled_from([0.3, 1.0, EIGHTH]), st.sampled_from([1e-4, 1e-2, 1.0, 100.0]))
def test_a_batten_held_by_its_limits_presses_against_them_and_rests_everywhere_else(
    seed: int, limit: float, stiffness: float
) -> None:
    """The Karush-Kuhn-Tucker conditions, with the energy taken from the second method."""
    rng = np.random.default_rng(seed)
    given_values = parabola(UNEVEN) + rng.normal(0.0, 3.0, len(UNEVEN))
    limits = np.full(len(UNEVEN), limit)
    faired = fair_values(UNEVEN, given_values, limits=limits, noise=0.9, stiffness=stiffness)
    moves = faired - given_values
    force = moves + stiffness * energy_matrix(UNEVEN) @ faired  # half the gradient
    scale = 1.0 + np.abs(stiffness * energy_matrix(UNEVEN) @ given_values).max()
    free = np.abs(moves) < limit * (1 - 1e-9)
    assert np.abs(force[free]).max(initial=0.0) < OPTIMAL * scale
    assert (force[moves > 0][~free[moves > 0]] < OPTIMAL * scale).all()
    assert (force[moves < 0][~free[moves < 0]] > -OPTIMAL * scale).all()


@settings(max_examples=20, deadline=None)
@given(st.integers(0, 10_000), st.sampled_from([0.3, 1.0, EIGHTH]), st.sampled_from([1e-4, 1e-2, 1.0]))
def test_a_second_solver_moves_every_station_alike(seed: int, limit: float, stiffness: float) -> None:
    """An interior method in place of an active set, on the energy of the second method."""
    rng = np.random.default_rng(seed)
    given_values = parabola(UNEVEN) + rng.normal(0.0, 3.0, len(UNEVEN))
    limits = np.full(len(UNEVEN), limit)
    limits[rng.integers(len(limits))] *= 0.25
    moves = fair_values(UNEVEN, given_values, limits=limits, noise=0.9, stiffness=stiffness) - given_values
    sizes, axes = np.linalg.eigh(stiffness * energy_matrix(UNEVEN))
    root = np.sqrt(np.maximum(sizes, 0.0))[:, None] * axes.T
    matrix = np.vstack([np.eye(len(limits)), root])
    target = np.concatenate([np.zeros(len(limits)), -root @ given_values])
    found = lsq_linear(matrix, target, bounds=(-limits, limits), method="trf", tol=1e-14, max_iter=500)
    assert np.abs(found.x - moves).max() < 1e-4 * limit


def test_fairing_takes_noise_out_of_a_table_in_eighths_on_average() -> None:
    rng = np.random.default_rng(3)
    before, after, between = [], [], []
    x = np.linspace(0.0, 4000.0, 201)
    for _ in range(150):
        a, b, c, d = rng.uniform(-1, 1, 4)

        def line(at: Floats, a: float = a, b: float = b, c: float = c, d: float = d) -> Floats:
            u = at / 4000.0
            return 500.0 + 200 * a * u - 400 * (1 + b / 3) * (u - 0.6) ** 2 + 60 * c * u**3 + 5 * d * np.sin(3 * u)

        table = np.round(line(STATIONS) / EIGHTH) * EIGHTH
        faired = fair_values(STATIONS, table, limits=np.full(13, EIGHTH), noise=EIGHTHS_NOISE)
        before.append(np.mean((table - line(STATIONS)) ** 2))
        after.append(np.mean((faired - line(STATIONS)) ** 2))
        between.append(np.mean((Batten(STATIONS, faired).value(x) - line(x)) ** 2))
    # Rounding to eighths alone is 3.175 / sqrt(12) = 0.917 mm, root mean square.
    assert np.sqrt(np.mean(before)) == pytest.approx(0.917, rel=0.1)
    assert np.mean(after) < 0.6 * np.mean(before)
    assert np.mean(between) < 0.7 * np.mean(before)


def test_fairing_a_table_scaled_up_gives_the_same_line_scaled_up() -> None:
    table = np.round(arc(STATIONS, 5000.0) / EIGHTH) * EIGHTH
    once = fair_values(STATIONS, table, limits=np.full(13, EIGHTH), noise=EIGHTHS_NOISE)
    thrice = fair_values(3 * STATIONS, 3 * table, limits=np.full(13, 3 * EIGHTH), noise=3 * EIGHTHS_NOISE)
    assert np.abs(thrice - 3 * once).max() < 1e-6


def test_a_noisier_table_is_given_the_stiffer_batten() -> None:
    shape = bending_root(STATIONS)
    table = np.round(arc(STATIONS, 5000.0) / EIGHTH) * EIGHTH
    assert likely_stiffness(shape, table, EIGHTHS_NOISE) > likely_stiffness(shape, arc(STATIONS, 5000.0), 0.0)
