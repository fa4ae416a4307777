"""Battens: what a sprung line does between its pins, past them, and when the pins may move."""

from __future__ import annotations

import numpy as np
import pytest
from hypothesis import given, settings
from hypothesis import strategies as st
from numpy.typing import NDArray
from scipy.optimize import lsq_linear

from patterns.geometry.batten_bands import spread_left
from patterns.geometry.batten_fits import FINER, FINER_ODDS, KEPT, NOISE_ODDS, NOISES, SIZE_ODDS, SIZES, RowFit
from patterns.geometry.batten_kinds import CELLS, EDGES, kinds
from patterns.geometry.battens import batten_through, fit_batten

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


@pytest.mark.parametrize("sites", [STATIONS, UNEVEN])
def test_a_parabola_comes_back_exactly_between_its_stations_and_past_both_ends(sites: Floats) -> None:
    batten = batten_through(sites, parabola(sites))
    x = np.linspace(-900.0, 4900.0, 1001)
    assert np.abs(batten.value(x) - parabola(x)).max() < 1e-5
    assert np.abs(batten.slope(x) - (0.31 - 18e-5 * x)).max() < 1e-8


@pytest.mark.parametrize("noise", [0.0, 0.01 / np.sqrt(12), EIGHTHS_NOISE])
def test_fairing_leaves_a_parabola_where_it_was(noise: float) -> None:
    line = fit_batten(UNEVEN, parabola(UNEVEN), limits=np.full(len(UNEVEN), EIGHTH), noise=noise).batten
    x = np.linspace(-300.0, 4300.0, 501)
    assert np.abs(line.value(x) - parabola(x)).max() < 1e-5


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
    line = fit_batten(stations, table, limits=np.full(13, EIGHTH), noise=noise).batten
    x = np.linspace(stations[0], stations[-1], 2001)
    assert np.abs(line.value(x) - arc(x, radius)).max() < 0.05


@pytest.mark.parametrize("step", [0.0, 0.01])
def test_a_parabola_to_a_hundredth_is_faired_back_within_a_twentieth_of_a_millimetre(step: float) -> None:
    for stations in (STATIONS, UNEVEN):
        table = np.round(parabola(stations) / step) * step if step else parabola(stations)
        for noise in (step / np.sqrt(12), EIGHTHS_NOISE):
            line = fit_batten(stations, table, limits=np.full(len(stations), EIGHTH), noise=noise).batten
            x = np.linspace(0.0, 4000.0, 2001)
            assert np.abs(line.value(x) - parabola(x)).max() < 0.05


@settings(max_examples=40, deadline=None)
@given(st.integers(0, 10_000), st.sampled_from([3.175, 1.0]), st.integers(5, 13))
def test_a_table_that_is_fair_already_stays_where_it_is(seed: int, step: float, count: int) -> None:
    rng = np.random.default_rng(seed)
    stations = np.linspace(0.0, 4000.0, count)
    u = stations / 4000.0
    values = 500 + 200 * u - rng.uniform(100, 400) * (u - rng.uniform(0.3, 0.7)) ** 2
    table = np.round(values, 2)
    faired = fit_batten(stations, table, limits=np.full(count, step), noise=step / np.sqrt(12)).faired
    assert np.abs(faired - table).max() < 0.02


# --- A second method: every kind of batten by itself, written out plainly with a dense covariance ---


def naive_covariance(number: int, places: Floats) -> Floats:
    """(n, n) of f at places (shares of the run) for one kind of size 1: a double sum over the cells, by integration.

    f begins at the foremost cell; where it begins is a matter of quadratics, which are free.
    """
    group = next(g for g in reversed(kinds().groups) if g.first <= number)
    strength = group.strengths[number - group.first]
    memory = np.eye(CELLS) if group.memory is None else group.memory
    # What a third derivative of 1 in one cell adds to f, by Taylor's integral of the remainder, place by place.
    weights = np.zeros((len(places), CELLS))
    nodes, shares = np.polynomial.legendre.leggauss(4)
    for cell in range(CELLS):
        low, width = EDGES[cell], EDGES[cell + 1] - EDGES[cell]
        for i, place in enumerate(places):
            reach = min(max(place - low, 0.0), width)
            load_at = low + reach * (nodes + 1) / 2
            weights[i, cell] = (shares * reach / 2 * (place - load_at) ** 2 / 2).sum()
    return np.asarray((weights * strength) @ memory @ (weights * strength).T)


def naive_fit(sites: Floats, given_values: Floats, noise: float, x: Floats) -> tuple[Floats, Floats]:
    """Mean (m,) and covariance (m, m) at places x of the mixture, one trial after another; sites may be among x.

    Source: Rasmussen and Williams, Gaussian Processes for Machine Learning, equations 2.41 and 2.42 (free polynomials
    of no known size), with the restricted likelihood of their 2.45.
    """
    run = sites[-1] - sites[0]
    places = np.concatenate([sites, x]) - sites[0]
    n = len(sites)
    shapes = (places / run)[:, None] ** np.arange(3)
    found = []
    # Quadratics are free: those through the sites are set aside first, or they would drown the rest in rounding.
    aside = np.eye(len(places))
    aside[:, :n] -= shapes @ np.linalg.pinv(shapes[:n])
    for number, odds in enumerate(kinds().odds_at((sites - sites[0]) / run)):
        unit = aside @ naive_covariance(number, places / run) @ aside.T * run**2
        for size, size_odds in zip(SIZES, SIZE_ODDS, strict=True):
            for many, noise_odds in [*zip(NOISES, NOISE_ODDS, strict=True), *((one, FINER_ODDS) for one in FINER)]:
                covariance = size**2 * unit
                own = covariance[:n, :n] + ((many * noise) ** 2 + 4e-10) * np.eye(n)
                inverse = np.linalg.inv(own)
                across = covariance[n:, :n] @ inverse
                free = shapes[:n].T @ inverse @ shapes[:n]
                amounts = np.linalg.solve(free, shapes[:n].T @ inverse @ given_values)
                off = given_values - shapes[:n] @ amounts
                left = shapes[n:] - across @ shapes[:n]
                mean = shapes[n:] @ amounts + across @ off
                spread = covariance[n:, n:] - across @ covariance[:n, n:] + left @ np.linalg.solve(free, left.T)
                likely = -(off @ inverse @ off + np.linalg.slogdet(own)[1] + np.linalg.slogdet(free)[1]) / 2
                found.append((likely + odds + size_odds + noise_odds, mean, spread))
    logs = np.array([one[0] for one in found])
    weights = np.exp(logs - logs.max())
    weights[weights < KEPT] = 0.0
    weights /= weights.sum()
    middle = sum(weight * mean for weight, (_, mean, _) in zip(weights, found, strict=True))
    second = sum(
        weight * (spread + np.outer(mean - middle, mean - middle))
        for weight, (_, mean, spread) in zip(weights, found, strict=True)
        if weight
    )
    return np.asarray(middle), np.asarray(second)


FOREFOOT = np.array([0.0, 150.0, 350.0, 700.0, 1300.0, 2100.0, 3000.0, 4000.0])


def forefoot(x: Floats) -> Floats:
    return 20.0 + 150.0 * np.exp(-x / 250.0) + 60.0 * (x / 4000.0) ** 2


@pytest.mark.slow
@pytest.mark.parametrize("step", [0.5, EIGHTH])
def test_the_line_and_its_spread_are_those_of_the_plain_sum_over_all_battens(step: float) -> None:
    table = np.round(forefoot(FOREFOOT) / step) * step
    x = np.linspace(-600.0, 4600.0, 23)
    mean, covariance = naive_fit(FOREFOOT, table, step / np.sqrt(12), np.concatenate([x, FOREFOOT]))
    row = RowFit(FOREFOOT, table, step / np.sqrt(12))
    line = fit_batten(FOREFOOT, table, limits=np.full(len(table), 100.0), noise=step / np.sqrt(12))
    # Far beyond the table's ends the batten is known to hundreds of mm, and both sums lose digits with it.
    known_to = np.sqrt(np.diagonal(covariance)[:23])
    assert np.all(np.abs(line.batten.value(x) - mean[:23]) < 1e-5 + 1e-6 * known_to)
    assert np.abs(line.faired - mean[23:]).max() < 1e-5
    scale = np.abs(covariance).max()
    assert np.abs(row.covariance_at(x) - covariance[:23, :23]).max() < 1e-4 * scale
    assert np.abs(row.covariance - covariance[23:, 23:]).max() < 1e-4 * scale
    assert np.abs(row.spread(x) ** 2 - np.diagonal(covariance)[:23]).max() < 1e-4 * scale


def test_one_more_figure_leaves_what_a_table_with_it_would() -> None:
    """Of one normal law: told by conditioning the covariance once more on the figure, at the rounding of the others."""
    table = np.round(forefoot(FOREFOOT) / EIGHTH) * EIGHTH
    row = RowFit(FOREFOOT, table, EIGHTH / np.sqrt(12))
    goal, at = np.array([250.0, 1700.0, 3500.0]), np.array([80.0, 3500.0])
    left = spread_left(row, goal, at)
    for column, place in enumerate(at):
        joint = row.covariance_at(np.append(goal, place))
        joint[-1, -1] += row.noise**2 + 4e-10
        precision = np.linalg.inv(joint)
        # Given the figure, the precision of the rest is its block of the joint precision.
        assert left[:, column] == pytest.approx(np.sqrt(np.diagonal(np.linalg.inv(precision[:-1, :-1]))), rel=1e-6)
    assert (left <= row.spread(goal)[:, None] + 1e-9).all()
    # On a figure's own place the line is out by less than the rounding, and no longer by what it was before.
    assert left[2, 1] < EIGHTH / np.sqrt(12) < row.spread(goal)[2]


@settings(max_examples=25, deadline=None)
@given(st.integers(0, 10_000), st.sampled_from([0.0, 1.0, EIGHTH]))
def test_value_slope_and_bend_are_each_the_slope_of_the_one_before_and_none_jumps(seed: int, step: float) -> None:
    rng = np.random.default_rng(seed)
    table = forefoot(UNEVEN) + rng.normal(0.0, 3.0, len(UNEVEN))
    line = fit_batten(UNEVEN, table, limits=np.full(len(UNEVEN), 1.5), noise=step / np.sqrt(12)).batten
    x = np.sort(np.concatenate([rng.uniform(-300.0, 4300.0, 200), UNEVEN, 4000.0 * EDGES]))
    near = 1e-3
    for lower, upper, size in ((line.value, line.slope, 1.0), (line.slope, line.bend, 1e-3)):
        quotient = (lower(x + near) - lower(x - near)) / (2 * near)
        assert np.abs(quotient - upper(x)).max() < 1e-5 * size
    within_cells = np.arange(-300.0, 4300.0, 7.0)
    change = np.abs(np.diff(line.bend(within_cells))).max() / 7.0
    assert np.abs(line.bend(x + near) - line.bend(x - near)).max() < 2.1 * near * change + 1e-12


@pytest.mark.slow
@settings(max_examples=25, deadline=None)
@given(st.integers(0, 10_000))
def test_a_batten_runs_through_its_pins_and_through_others_its_figures_are_moved_to(seed: int) -> None:
    rng = np.random.default_rng(seed)
    values = rng.normal(300.0, 60.0, len(UNEVEN))
    assert np.abs(batten_through(UNEVEN, values).value(UNEVEN) - values).max() < 1e-6
    fit = fit_batten(UNEVEN, parabola(UNEVEN) + rng.normal(0.0, 3.0, 12), limits=np.full(12, 2.0), noise=0.9)
    x = np.linspace(-200.0, 4200.0, 333)
    assert np.abs(fit.through(fit.faired).value(x) - fit.batten.value(x)).max() < 1e-9
    moved = fit.faired + rng.normal(0.0, 3.0, 12)
    assert np.abs(fit.through(moved).value(UNEVEN) - moved).max() < 1e-6


@settings(max_examples=25, deadline=None)
@given(st.integers(0, 10_000), st.sampled_from([0.0, 0.3, 1.0]))
def test_a_line_held_by_limits_runs_through_its_faired_figures(seed: int, limit: float) -> None:
    rng = np.random.default_rng(seed)
    fit = fit_batten(UNEVEN, parabola(UNEVEN) + rng.normal(0.0, 5.0, 12), limits=np.full(12, limit), noise=0.9)
    assert np.abs(fit.batten.value(UNEVEN) - fit.faired).max() < 1e-6


@settings(max_examples=30, deadline=None)
@given(
    st.lists(st.integers(-12, 12), min_size=13, max_size=13),
    st.lists(st.sampled_from([0.0, 0.5, 1.5, EIGHTH]), min_size=13, max_size=13),
)
def test_no_station_moves_beyond_its_limit_and_a_locked_one_stays(errors: list[int], limits: list[float]) -> None:
    given_values = parabola(STATIONS) + np.array(errors)
    bounds = np.array(limits)
    moves = fit_batten(STATIONS, given_values, limits=bounds, noise=EIGHTHS_NOISE).faired - given_values
    assert (np.abs(moves) <= bounds + 1e-9).all()
    assert (moves[bounds == 0.0] == 0.0).all()


@pytest.mark.parametrize("limit", [0.0, 1e-6])
def test_a_batten_that_may_move_nowhere_asks_no_solver_for_nothing(
    limit: float, monkeypatch: pytest.MonkeyPatch
) -> None:
    """Every offset locked, or every one pressed against its limit: older numpy refuses a system without unknowns."""
    solve = np.linalg.solve

    def asked(matrix: Floats, target: Floats) -> object:
        assert matrix.shape[1] > 0
        return solve(matrix, target)

    monkeypatch.setattr("patterns.geometry.batten_fits.np.linalg.solve", asked)
    given_values = parabola(STATIONS) + np.resize([5.0, -5.0], 13)
    faired = fit_batten(STATIONS, given_values, limits=np.full(13, limit), noise=EIGHTHS_NOISE).faired
    assert np.abs(faired - given_values).max() <= limit + 1e-12
    assert np.abs(faired - given_values).min() == pytest.approx(limit, abs=1e-9)


@pytest.mark.slow
@settings(max_examples=30, deadline=None)
@given(st.integers(0, 10_000), st.sampled_from([0.3, 1.0, EIGHTH]), st.sampled_from([0.01, 0.1, 0.9, 3.0]))
def test_a_batten_held_by_its_limits_presses_against_them_and_rests_everywhere_else(
    seed: int, limit: float, noise: float
) -> None:
    """The Karush-Kuhn-Tucker conditions of least ``(f - m)' S^-1 (f - m)``, m and S of the line without limits."""
    rng = np.random.default_rng(seed)
    given_values = parabola(UNEVEN) + rng.normal(0.0, 3.0, len(UNEVEN))
    limits = np.full(len(UNEVEN), limit)
    faired = fit_batten(UNEVEN, given_values, limits=limits, noise=noise).faired
    moves = faired - given_values
    row = RowFit(UNEVEN, given_values, noise)
    force = np.linalg.solve(row.covariance, faired - row.mean)  # half the gradient
    scale = np.abs(np.linalg.inv(row.covariance)).max() * np.abs(faired - row.mean).max()
    free = np.abs(moves) < limit * (1 - 1e-9)
    assert np.abs(force[free]).max(initial=0.0) < OPTIMAL * scale + 1e-12
    assert (force[moves > 0][~free[moves > 0]] < OPTIMAL * scale + 1e-12).all()
    assert (force[moves < 0][~free[moves < 0]] > -OPTIMAL * scale - 1e-12).all()


@settings(max_examples=20, deadline=None)
@given(st.integers(0, 10_000), st.sampled_from([0.3, 1.0, EIGHTH]), st.sampled_from([0.3, 0.9]))
def test_a_second_solver_moves_every_station_alike(seed: int, limit: float, noise: float) -> None:
    """An interior method in place of an active set."""
    rng = np.random.default_rng(seed)
    given_values = parabola(UNEVEN) + rng.normal(0.0, 3.0, len(UNEVEN))
    limits = np.full(len(UNEVEN), limit)
    limits[rng.integers(len(limits))] *= 0.25
    moves = fit_batten(UNEVEN, given_values, limits=limits, noise=noise).faired - given_values
    row = RowFit(UNEVEN, given_values, noise)
    sizes, axes = np.linalg.eigh(row.covariance / noise**2)
    root = axes.T / np.sqrt(sizes)[:, None]
    target = root @ (row.mean - given_values)
    found = lsq_linear(root, target, bounds=(-limits, limits), method="trf", tol=1e-14, max_iter=500)
    assert np.abs(found.x - moves).max() < 1e-3 * limit


@pytest.mark.slow
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
        fit = fit_batten(STATIONS, table, limits=np.full(13, EIGHTH), noise=EIGHTHS_NOISE)
        before.append(np.mean((table - line(STATIONS)) ** 2))
        after.append(np.mean((fit.faired - line(STATIONS)) ** 2))
        between.append(np.mean((fit.batten.value(x) - line(x)) ** 2))
    # Rounding to eighths alone is 3.175 / sqrt(12) = 0.917 mm, root mean square.
    assert np.sqrt(np.mean(before)) == pytest.approx(0.917, rel=0.1)
    assert np.mean(after) < 0.6 * np.mean(before)
    assert np.mean(between) < 0.7 * np.mean(before)


def test_fairing_a_table_scaled_up_gives_the_same_line_scaled_up() -> None:
    table = np.round(arc(STATIONS, 5000.0) / EIGHTH) * EIGHTH
    once = fit_batten(STATIONS, table, limits=np.full(13, EIGHTH), noise=EIGHTHS_NOISE).faired
    thrice = fit_batten(3 * STATIONS, 3 * table, limits=np.full(13, 3 * EIGHTH), noise=3 * EIGHTHS_NOISE).faired
    assert np.abs(thrice - 3 * once).max() < 1e-6


def test_a_noisier_table_is_given_the_stiffer_batten() -> None:
    """A figure moves its own place of the line by less of its own amount, where it is worth less: S / noise^2."""
    table = np.round(arc(STATIONS, 5000.0) / EIGHTH) * EIGHTH
    rounded, exact = RowFit(STATIONS, table, EIGHTHS_NOISE), RowFit(STATIONS, arc(STATIONS, 5000.0), 0.0)
    shares = [np.diagonal(row.covariance) / row.mean_square_noise for row in (rounded, exact)]
    assert (shares[0] < shares[1]).all()


def test_a_sharp_forefoot_says_nothing_of_a_wide_bay_aft() -> None:
    """A forefoot of 150 mm over 300 mm and a last bay of 1100 mm; one trend for the whole run missed it by 10 mm."""
    stations = np.array([0.0, 100.0, 250.0, 450.0, 800.0, 1400.0, 2200.0, 3300.0, 4400.0])

    def foot(x: Floats) -> Floats:
        return 20.0 + 150.0 * np.exp(-x / 300.0) + 60.0 * (x / 4400.0) ** 2

    line = fit_batten(stations, foot(stations), limits=np.full(9, EIGHTH), noise=0.01 / np.sqrt(12))
    x = np.linspace(0.0, 4400.0, 801)
    off, band = np.abs(line.batten.value(x) - foot(x)), line.band_at(x)
    assert off[x > 3300].max() < 0.25
    assert (off <= band + 0.02).mean() > 0.95


def test_a_line_past_its_ends_may_be_out_by_more_and_fewer_than_four_figures_tell_nothing() -> None:
    table = np.round(parabola(STATIONS) / EIGHTH) * EIGHTH
    line = fit_batten(STATIONS, table, limits=np.full(13, EIGHTH), noise=EIGHTHS_NOISE)
    ends = line.band_at(np.array([-300.0, -100.0, -1.0]))
    assert ends[0] > ends[1] > ends[2] > 0
    few = fit_batten(STATIONS[:3], table[:3], limits=np.full(3, EIGHTH), noise=EIGHTHS_NOISE)
    assert np.isnan(few.band_at(STATIONS)).all()
    assert few.faired.tolist() == table[:3].tolist()
