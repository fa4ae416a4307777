"""A random surface solved among equations, against the same solved among its amounts: a naive twin, and its laws.

Source of the twin: the posterior of a linear model with a normal prior, Rasmussen and Williams, Gaussian Processes for
Machine Learning, 2006, section 2.1.1; free amounts get a prior so wide that it tells nothing.
"""

from __future__ import annotations

import numpy as np
import pytest

from patterns.geometry.arrays import Floats
from patterns.geometry.spline_bases import SplineBasis, StiffBasis
from patterns.geometry.tensor_fields import Equations, Stiffness, TensorField
from patterns.geometry.tensor_stiffness import Belief, likeliest

HOW = Stiffness(along=-6.0, across=-4.0, drawn=-3.0, size=1.0)
WIDE = 1e7  # mm^2


@pytest.fixture(scope="module")
def field() -> TensorField:
    rng = np.random.default_rng(7)
    count = 60
    turn = rng.uniform(0, 2 * np.pi, count)
    ways = np.column_stack([np.cos(turn), np.sin(turn)])
    wanted = rng.normal(0, 3.0, count)
    u, v = rng.uniform(0, 1, (2, count))
    equations = Equations(u, v, ways, wanted, np.full(count, 0.01), rng.uniform(size=count) < 0.7)
    breaks = np.linspace(0, 1, 4)
    return TensorField(StiffBasis.of(breaks, order=2), StiffBasis.of(breaks, order=2, corners=[1 / 3]), equations)


def twin(field: TensorField) -> tuple[Floats, Floats, Floats]:
    """Amounts of both coordinates (2 k,), their covariance, and the variances they had beforehand."""
    u, v = field.lengthwise, field.across
    cost = (1 + np.exp(HOW.along) * u.costs)[:, None] * (1 + np.exp(HOW.across) * v.costs)
    free = (u.costs == 0)[:, None] & (v.costs == 0)
    prior = np.tile(np.where(free, WIDE, np.exp(HOW.size) / cost).ravel(), 2)
    equations = field.equations
    products = (u.at(equations.u)[:, :, None] * v.at(equations.v)[:, None, :]).reshape(len(equations.u), -1)
    table = np.hstack([equations.ways[:, :1] * products, equations.ways[:, 1:] * products])
    noise = equations.noise + np.where(equations.drawn, np.exp(2 * HOW.drawn), 0.0)
    covariance = np.linalg.inv(table.T @ (table / noise[:, None]) + np.diag(1 / prior))
    return covariance @ (table.T @ (equations.wanted / noise)), covariance, prior


def test_the_surface_and_its_spread_are_those_of_the_twin(field: TensorField) -> None:
    solution, (amounts, covariance, _) = field.solved(HOW), twin(field)
    count = field.lengthwise.splines.count * field.across.splines.count
    for found, expected in zip(solution.amounts, (amounts[:count], amounts[count:]), strict=True):
        assert np.abs(found.ravel() - expected).max() < 1e-3
    u, v = np.array([0.1, 0.5, 0.93]), np.array([0.2, 0.7, 0.4])
    ways = np.array([[1.0, 0.0], [0.0, 1.0], [0.6, 0.8]])
    products = (field.lengthwise.at(u)[:, :, None] * field.across.at(v)[:, None, :]).reshape(3, -1)
    table = np.hstack([ways[:, :1] * products, ways[:, 1:] * products])
    expected = table @ covariance @ table.T
    assert np.abs(solution.joint(u, v, ways) - expected).max() < 1e-4
    assert np.abs(solution.spread(u, v, ways) - np.sqrt(expected.diagonal())).max() < 1e-4


def test_one_left_out_is_foretold_without_solving_again(field: TensorField) -> None:
    """What is wanted less what the others foretell is the pull over the matrix's diagonal."""
    solution = field.solved(HOW)
    loose = field.equations.noise.copy()
    loose[5] = 1e9
    without = field.heeding(loose).solved(HOW)
    off = solution.pulls[5] / solution.against[5, 5]
    assert off == pytest.approx(field.equations.wanted[5] - without.met[5], rel=1e-4)


def test_asking_another_thing_moves_the_surface_by_its_covariance(field: TensorField) -> None:
    solution = field.solved(HOW)
    which = np.arange(len(field.equations.u))
    pull = np.zeros(len(which))
    pull[[3, 11]] = 2.0, -1.0
    moved = field.asking(field.equations.wanted + solution.noise * pull).solved(HOW)
    assert np.abs(moved.met - solution.met - solution.covariance(which) @ pull).max() < 1e-8


def test_the_likeliest_stiffness_stands_on_a_lattice_and_nothing_near_it_is_likelier(field: TensorField) -> None:
    belief = Belief(body=4.0, quiet=-3.0, least=-6.0, most=2.0)
    best = likeliest(field, HOW, belief)
    assert all(2 * one == round(2 * one) for one in (best.along, best.across, best.drawn, best.size))
    assert best == likeliest(field, best, belief)


def test_shapes_are_free_up_to_a_line_and_turn_at_corners_alone() -> None:
    basis = StiffBasis.of(np.linspace(0, 1, 6), order=2, corners=[0.4])
    assert (basis.costs[:3] == 0).all()
    assert (basis.costs[3:] > 0).all()
    at = np.linspace(0, 1, 11)
    for line in (np.ones(11), at, np.abs(at - 0.4)):
        rest = line - basis.at(at)[:, :3] @ np.linalg.lstsq(basis.at(at)[:, :3], line)[0]
        assert np.abs(rest).max() < 1e-9


def test_past_its_ends_a_spline_goes_on_as_the_parabola_that_touches_it() -> None:
    basis = SplineBasis.on(np.linspace(0, 1, 5), degree=5)
    for end, out in ((0.0, -0.1), (1.0, 1.1)):
        h = out - end
        value, slope, bend = (basis.at(np.array([end]), order) for order in (0, 1, 2))
        assert np.allclose(basis.at(np.array([out])), value + h * slope + h * h / 2 * bend, atol=1e-12)
        assert np.allclose(basis.at(np.array([out]), 1), slope + h * bend, atol=1e-12)
