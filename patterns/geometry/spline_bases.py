"""Smooth curves on 0 to 1 as sums of B-splines, carried on past both ends as parabolas."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
from functools import cached_property

import numpy as np
from scipy.interpolate import BSpline
from scipy.linalg import eigh

from patterns.geometry.arrays import Floats, held_between, read_only

SAME_BREAK = 1e-9  # share of the run; two breaks nearer than this are one


@dataclass(frozen=True, eq=False)
class SplineBasis:
    """The B-splines of one degree on a row of knots from 0 to 1.

    Source: de Boor, A Practical Guide to Splines, 1978, chapters IX and X.
    """

    knots: Floats  # (count + degree + 1,), 0 and 1 repeated degree + 1 times
    degree: int

    def __post_init__(self) -> None:
        object.__setattr__(self, "knots", read_only(self.knots))

    @classmethod
    def on(cls, breaks: Floats, *, degree: int, corners: Sequence[float] = ()) -> SplineBasis:
        """The basis that is smooth at every break within, but only unbroken at ``corners``, which are breaks too."""
        inner = np.asarray(breaks)[1:-1]
        at_corner = np.array([any(abs(one - corner) < SAME_BREAK for corner in corners) for one in inner], dtype=bool)
        within = np.repeat(inner, np.where(at_corner, degree, 1)) if len(inner) else inner
        return cls(np.concatenate([np.zeros(degree + 1), within, np.ones(degree + 1)]), degree)

    @property
    def count(self) -> int:
        """How many splines there are."""
        return len(self.knots) - self.degree - 1

    @cached_property
    def _each(self) -> BSpline[np.float64]:
        return BSpline(self.knots, np.eye(self.count), self.degree)

    def within(self, at: Floats, order: int = 0) -> Floats:
        """(n, count) each spline, or a derivative of it, at places (n,) from 0 to 1."""
        return np.asarray(self._each(at, nu=order))

    def at(self, at: Floats, order: int = 0) -> Floats:
        """(n, count) each spline, or its first or second derivative, at places (n,).

        Past 0 and 1 it goes on as the parabola that touches it there: value, slope and bend have no jump.
        """
        inside = held_between(at, 0.0, 1.0)
        past = (at - inside)[:, None]
        values = self.within(inside, order)
        if not past.any():
            return values
        for power, more in enumerate(range(order + 1, 3), start=1):
            values = values + past**power / power * self.within(inside, more)
        return values


@dataclass(frozen=True, eq=False)
class StiffBasis:
    """Shapes that a spline is made of, from the limpest to the stiffest, each with what it costs.

    They are the shapes in which both the mean square and the mean square of one derivative are sums without mixed terms
    (Demmler and Reinsch, Oscillation matrices with spline smoothing, Numerische Mathematik 24, 1975).
    """

    splines: SplineBasis
    shapes: Floats  # (count, count), a column for each shape, in B-splines
    costs: Floats  # (count,) mean square of the derivative over mean square of the shape; 0 for what is free

    def __post_init__(self) -> None:
        object.__setattr__(self, "shapes", read_only(self.shapes, columns=len(self.costs)))
        object.__setattr__(self, "costs", read_only(self.costs))

    @classmethod
    def of(cls, breaks: Floats, *, order: int, corners: Sequence[float] = ()) -> StiffBasis:
        """The basis in which a derivative of an order is what costs; polynomials below it are free.

        At each corner, a break where the curve may turn, a polynomial on either side is free.
        """
        splines = SplineBasis.on(breaks, degree=2 * order - 1, corners=corners)
        nodes, weights = np.polynomial.legendre.leggauss(splines.degree + 1)
        half = np.diff(breaks)[:, None] / 2
        places = (np.asarray(breaks)[:-1, None] + half + half * nodes).ravel()
        parts = (half * weights).ravel()[:, None]
        mass, cost = (table.T @ (parts * table) for table in (splines.within(places), splines.within(places, order)))
        costs, shapes = eigh(cost, mass)
        # Which way a shape points is for the library to choose: here its largest share is positive.
        largest = np.abs(shapes).argmax(axis=0)
        shapes = shapes * np.sign(shapes[largest, np.arange(len(costs))])
        costs = np.maximum(costs, 0.0)
        costs[: order + (order - 1) * len(corners)] = 0.0
        return cls(splines, shapes, costs)

    def at(self, at: Floats) -> Floats:
        """(n, count) each shape at places (n,), carried on past 0 and 1."""
        return self.splines.at(at) @ self.shapes
