"""Battens: what a sprung line does between its pins, past them, and when the pins may move."""

from __future__ import annotations

import numpy as np
import pytest
from hypothesis import given, settings
from hypothesis import strategies as st
from numpy.typing import NDArray

from patterns.geometry.battens import Batten, bending_root, fair_values, likely_stiffness

Floats = NDArray[np.float64]
EIGHTH = 3.175  # mm
EIGHTHS_NOISE = EIGHTH / np.sqrt(12)  # standard deviation of rounding to a step: step / sqrt(12)
STATIONS = np.linspace(0.0, 4000.0, 13)
UNEVEN = np.array([0.0, 210.0, 610.0, 900.0, 1220.0, 1530.0, 1830.0, 2500.0, 2750.0, 3050.0, 3660.0, 4000.0])


def parabola(x: Floats) -> Floats:
    return 40.0 + 0.31 * x - 9e-5 * x**2


def arc(x: Floats, radius: float) -> Floats:
    return np.sqrt(radius**2 - (x - 2000.0) ** 2) - radius + 700.0


def slow_spline(sites: Floats, values: Floats) -> tuple[Floats, Floats]:
    """The curve of least integral f'''^2 as a sum of |x - site|^5 and a quadratic: weights and coefficients.

    A second method, written out plainly. Source: the one-dimensional polyharmonic spline of order 3, G. Wahba, Spline
    Models for Observational Data, SIAM 1990, sections 1.3 and 2.4. Sites are taken in metres.
    """
    x = sites / 1000.0
    powers = np.stack([np.ones_like(x), x, x**2], axis=1)
    kernel = np.abs(x[:, None] - x[None, :]) ** 5
    system = np.block([[kernel, powers], [powers.T, np.zeros((3, 3))]])
    found = np.linalg.solve(system, np.concatenate([values, np.zeros(3)]))
    return found[: len(x)], found[len(x) :]


def slow_value(sites: Floats, values: Floats, at: Floats) -> Floats:
    weights, quadratic = slow_spline(sites, values)
    x = at / 1000.0
    bend = np.abs(x[:, None] - sites[None, :] / 1000.0) ** 5
    return bend @ weights + quadratic[0] + quadratic[1] * x + quadratic[2] * x**2


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


FLAT_ARCS = [(10000.0, 4000.0), (5000.0, 3000.0), (20000.0, 6000.0)]
"""Radius and length, mm; they rise 1 in 20, 1 in 13 and 1 in 27 of their length."""


@pytest.mark.parametrize(("radius", "length"), FLAT_ARCS)
@pytest.mark.parametrize("noise", [0.0, 0.01 / np.sqrt(12)])
def test_a_flat_arc_of_13_stations_is_faired_back_within_a_twentieth_of_a_millimetre(
    radius: float, length: float, noise: float
) -> None:
    stations = np.linspace(2000.0 - length / 2, 2000.0 + length / 2, 13)
    faired = fair_values(stations, arc(stations, radius), limits=np.full(13, EIGHTH), noise=noise)
    x = np.linspace(stations[0], stations[-1], 2001)
    assert np.abs(Batten(stations, faired).value(x) - arc(x, radius)).max() < 0.05


def test_a_hard_arc_is_missed_only_beside_its_free_ends_and_not_by_fairing() -> None:
    # R 5 m over 4 m rises 1 in 10: nothing holds the batten's end, and 13 stations of it leave 0.067 mm there.
    values = arc(STATIONS, 5000.0)
    faired = fair_values(STATIONS, values, limits=np.full(13, EIGHTH), noise=0.01 / np.sqrt(12))
    x = np.linspace(0.0, 4000.0, 2001)
    missed = np.abs(Batten(STATIONS, faired).value(x) - arc(x, 5000.0))
    assert np.abs(faired - values).max() < 0.001
    assert missed.max() < 0.07
    assert missed[(x > STATIONS[2]) & (x < STATIONS[-3])].max() < 0.01


def test_a_table_in_eighths_moves_an_exact_flat_arc_by_less_than_its_own_rounding() -> None:
    # Told that its figures carry a noise of 0.92 mm, fairing may use some of it; never more than that.
    for radius in (5000.0, 10000.0):
        faired = fair_values(STATIONS, arc(STATIONS, radius), limits=np.full(13, EIGHTH), noise=EIGHTHS_NOISE)
        assert np.abs(faired - arc(STATIONS, radius)).max() < EIGHTHS_NOISE


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
def test_no_other_curve_through_the_same_pins_changes_its_bending_less(seed: int, size: float) -> None:
    rng = np.random.default_rng(seed)
    values = rng.normal(300.0, 60.0, len(UNEVEN))
    x = np.linspace(0.0, 4000.0, 40_001)
    u = x / 4000.0
    # A bulge that vanishes at every pin: the product of the distances to them, times a wave.
    bulge = np.prod(u[:, None] - UNEVEN[None, :] / 4000.0, axis=1) * np.sin(rng.uniform(1, 9) * u)
    bulge *= size / np.abs(bulge).max()
    own = Batten(UNEVEN, values).value(x)

    def energy(curve: Floats) -> float:
        return float(np.sum(np.diff(curve[::40], 3) ** 2))

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
    free = np.abs(moves) < limit - 1e-7
    assert np.abs(force[free]).max(initial=0.0) < 1e-6 * scale
    assert (force[moves >= limit - 1e-7] < 1e-6 * scale).all()
    assert (force[moves <= -limit + 1e-7] > -1e-6 * scale).all()


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
