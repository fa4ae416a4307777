"""A random smooth surface of two coordinates over two parameters, and what equations along it make of it.

A Gaussian process: each coordinate is a sum of products of shapes (`StiffBasis`) with random amounts, the less likely
large the more a product bends. The variance of a product is ``size / ((1 + along a) (1 + across b))``, a and b the
costs of its shapes; products of free shapes are free altogether. An equation says what a direction times the point at
(u, v) is, to within noise. All is solved among the equations, of which there are fewer than amounts.

Source: Rasmussen and Williams, Gaussian Processes for Machine Learning, 2006, sections 2.2, 2.7 (free amounts) and
5.4.2 (one left out); Patterson and Thompson, Recovery of inter-block information, Biometrika 58, 1971 (restricted
likelihood).
"""

from __future__ import annotations

from dataclasses import dataclass, replace
from functools import cached_property

import numpy as np
from numpy.typing import NDArray
from scipy.linalg import cholesky, solve_triangular

from patterns.geometry.arrays import Floats
from patterns.geometry.spline_bases import StiffBasis

JITTER = 1e-12  # of the mean variance, that a matrix of equations which say the same can be factored


@dataclass(frozen=True, slots=True)
class Stiffness:
    """How stiff a surface is held to be, as logarithms: what is chosen by likelihood."""

    along: float  # of what bending along u counts
    across: float  # of what bending along v counts
    drawn: float  # of mm, standard deviation of the drawing behind the figures
    size: float  # of mm^2, variance of a shape that bends little


@dataclass(frozen=True, eq=False)
class Equations:
    """Each says: ``ways . (Y, Z)(u, v) = wanted``."""

    u: Floats  # (n,)
    v: Floats  # (n,)
    ways: Floats  # (n, 2)
    wanted: Floats  # (n,) mm
    noise: Floats  # (n,) mm^2, variance of what is known of it beforehand
    drawn: NDArray[np.bool_]  # (n,) whether the drawing's own noise is in it too


@dataclass(frozen=True, eq=False)
class _Side:
    """One parameter's shapes at places (n,): split into free ones and ones that cost."""

    table: Floats  # (n, count)
    costs: Floats  # (count,)

    @cached_property
    def free(self) -> NDArray[np.bool_]:
        return np.asarray(self.costs == 0.0)

    @cached_property
    def free_part(self) -> Floats:
        return np.ascontiguousarray(self.table[:, self.free])

    @cached_property
    def stiff_part(self) -> Floats:
        return np.ascontiguousarray(self.table[:, ~self.free])

    @cached_property
    def free_square(self) -> Floats:
        return self.free_part @ self.free_part.T

    def weights(self, log: float) -> Floats:
        """(stiff shapes,) variance of each for a stiffness."""
        return np.asarray(1.0 / (1.0 + np.exp(log) * self.costs[~self.free]))


def _kernel(one: tuple[_Side, _Side], other: tuple[_Side, _Side], how: Stiffness) -> Floats:
    """(n, m) covariance of one coordinate at two sets of places, but for what is free."""
    (u, v), (to_u, to_v) = one, other
    free_u, free_v = (
        here.free_square if here is there else here.free_part @ there.free_part.T
        for here, there in zip(one, other, strict=True)
    )
    by_u = (u.stiff_part * (np.exp(how.size) * u.weights(how.along))) @ to_u.stiff_part.T
    by_v = (v.stiff_part * v.weights(how.across)) @ to_v.stiff_part.T
    # Written out in place: this is most of the work of a fit.
    found = by_v + free_v
    found *= by_u
    by_v *= free_u
    by_v *= np.exp(how.size)
    found += by_v
    return np.asarray(found)


def _free(sides: tuple[_Side, _Side], ways: Floats) -> Floats:
    """(n, 2 free products) what free amounts add to each equation."""
    u, v = sides[0].free_part, sides[1].free_part
    products = (u[:, :, None] * v[:, None, :]).reshape(len(u), -1)
    return np.hstack([ways[:, :1] * products, ways[:, 1:] * products])


@dataclass(frozen=True, eq=False)
class TensorField:
    """The random surface and the equations that are known of it."""

    lengthwise: StiffBasis
    across: StiffBasis
    equations: Equations

    def _sides(self, u: Floats, v: Floats) -> tuple[_Side, _Side]:
        return _Side(self.lengthwise.at(u), self.lengthwise.costs), _Side(self.across.at(v), self.across.costs)

    @cached_property
    def sides(self) -> tuple[_Side, _Side]:
        return self._sides(self.equations.u, self.equations.v)

    @cached_property
    def _squared(self) -> Floats:
        return np.asarray(self.equations.ways @ self.equations.ways.T)

    @cached_property
    def free(self) -> Floats:
        return _free(self.sides, self.equations.ways)

    def heeding(self, noise: Floats) -> TensorField:
        """The same with other noise of the equations. A huge noise leaves an equation out."""
        return self._like(replace(self.equations, noise=noise))

    def only(self, which: NDArray[np.bool_]) -> TensorField:
        """The field of some of the equations."""
        equations = self.equations
        chosen = {name: getattr(equations, name)[which] for name in ("u", "v", "ways", "wanted", "noise", "drawn")}
        return TensorField(self.lengthwise, self.across, Equations(**chosen))

    def asking(self, wanted: Floats) -> TensorField:
        """The same with other things wanted."""
        return self._like(replace(self.equations, wanted=wanted))

    def _like(self, equations: Equations) -> TensorField:
        """A field of equations at the same places: what hangs on places alone is worked out once."""
        field = TensorField(self.lengthwise, self.across, equations)
        field.__dict__.update({name: getattr(self, name) for name in ("sides", "_squared", "free")})
        return field

    def noise(self, how: Stiffness) -> Floats:
        """(n,) mm^2, of each equation, the drawing's own in it."""
        return np.asarray(self.equations.noise + np.where(self.equations.drawn, np.exp(2 * how.drawn), 0.0))

    def solved(self, how: Stiffness) -> Solution:
        """The surface that is likeliest for a stiffness.

        Raises
        ------
        numpy.linalg.LinAlgError
            Equations that no such surface can be solved for.
        """
        noise = self.noise(how)
        inside = _kernel(self.sides, self.sides, how)
        inside *= self._squared
        np.fill_diagonal(inside, inside.diagonal() * (1 + JITTER) + noise + JITTER * inside.diagonal().mean())
        root = cholesky(inside, lower=True, overwrite_a=True, check_finite=False)
        both = solve_triangular(
            root, np.column_stack([self.free, self.equations.wanted]), lower=True, check_finite=False
        )
        spanned, triangle = np.linalg.qr(both[:, :-1])
        return Solution(self, how, noise, root, spanned, triangle, both[:, -1])


@dataclass(frozen=True, eq=False)
class Solution:
    """A surface solved for, and how sure each part of it is."""

    field: TensorField
    how: Stiffness
    noise: Floats  # (n,) mm^2
    root: Floats  # (n, n) lower factor of the equations' covariance
    spanned: Floats  # (n, free) orthonormal, what free amounts reach
    triangle: Floats  # (free, free)
    whitened: Floats  # (n,) what is wanted, by the root

    @cached_property
    def _left(self) -> Floats:
        return np.asarray(self.whitened - self.spanned @ (self.spanned.T @ self.whitened))

    @cached_property
    def likelihood(self) -> float:
        """Logarithm of the restricted likelihood, but for a constant."""
        return float(
            -np.log(self.root.diagonal()).sum()
            - np.log(np.abs(self.triangle.diagonal()) + 1e-300).sum()
            - 0.5 * (self._left @ self._left)
        )

    @cached_property
    def pulls(self) -> Floats:
        """(n,) 1/mm, by which each equation pulls the surface."""
        return np.asarray(solve_triangular(self.root, self._left, lower=True, trans="T", check_finite=False))

    @cached_property
    def met(self) -> Floats:
        """(n,) mm, what each equation's direction times the point comes to."""
        return np.asarray(self.field.equations.wanted - self.noise * self.pulls)

    @cached_property
    def amounts(self) -> tuple[Floats, Floats]:
        """(lengthwise, across) mm: of each product of shapes, for either coordinate."""
        u, v = self.field.sides
        pull = self.pulls[:, None] * self.field.equations.ways
        free = np.linalg.lstsq(self.triangle, self.spanned.T @ self.whitened)[0].reshape(2, u.free.sum(), v.free.sum())
        variances = np.exp(self.how.size) * np.outer(
            1 / (1 + np.exp(self.how.along) * u.costs), 1 / (1 + np.exp(self.how.across) * v.costs)
        )
        found = []
        for way in (0, 1):
            amount = variances * (u.table.T @ (pull[:, way, None] * v.table))
            amount[np.ix_(u.free, v.free)] = free[way]
            found.append(amount)
        return found[0], found[1]

    @cached_property
    def splines(self) -> tuple[Floats, Floats]:
        """(lengthwise.count, across.count) mm: of each product of B-splines, for either coordinate."""
        left, right = self.field.lengthwise.shapes, self.field.across.shapes
        first, second = (left @ one @ right.T for one in self.amounts)
        return first, second

    @cached_property
    def against(self) -> Floats:
        """(n, n) the matrix that makes pulls of what is wanted."""
        inverse = solve_triangular(self.root, np.eye(len(self.root)), lower=True, check_finite=False)
        outside = inverse - self.spanned @ (self.spanned.T @ inverse)
        return np.asarray(outside.T @ outside)

    def covariance(self, which: NDArray[np.int64]) -> Floats:
        """(m, m) mm^2, of what some equations come to: how far the surface may lie from `met` there."""
        noise = self.noise[which]
        own = -noise[:, None] * self.against[np.ix_(which, which)] * noise
        own[np.diag_indices(len(which))] += noise
        return own

    def joint(self, u: Floats, v: Floats, ways: Floats) -> Floats:
        """(m, m) mm^2, covariance of directions (m, 2) times the points at places u and v (m,)."""
        sides = self.field._sides(u, v)
        own = _kernel(sides, sides, self.how) * (ways @ ways.T)
        seen, free = self._seen(sides, ways)
        return np.asarray(own - seen.T @ seen + free.T @ free)

    def spread(self, u: Floats, v: Floats, ways: Floats) -> Floats:
        """(m,) mm, standard deviation of directions (m, 2) times the point at places u and v (m,)."""
        sides = self.field._sides(u, v)
        own = np.exp(self.how.size) * self._own(sides) * (ways**2).sum(axis=1)
        seen, free = self._seen(sides, ways)
        return np.asarray(np.sqrt(np.maximum(own - (seen**2).sum(axis=0) + (free**2).sum(axis=0), 0.0)))

    def _seen(self, sides: tuple[_Side, _Side], ways: Floats) -> tuple[Floats, Floats]:
        """What the equations tell of other directions, and what they leave of free amounts."""
        covered = (self.field.equations.ways @ ways.T) * _kernel(self.field.sides, sides, self.how)
        seen = solve_triangular(self.root, covered, lower=True, check_finite=False)
        loose = _free(sides, ways).T - (self.spanned @ self.triangle).T @ seen
        return np.asarray(seen), np.asarray(np.linalg.lstsq(self.triangle.T, loose)[0])

    def _own(self, sides: tuple[_Side, _Side]) -> Floats:
        u, v = sides
        by_u = (u.stiff_part**2) @ u.weights(self.how.along)
        by_v = (v.stiff_part**2) @ v.weights(self.how.across)
        return np.asarray(by_u * (by_v + (v.free_part**2).sum(axis=1)) + (u.free_part**2).sum(axis=1) * by_v)
