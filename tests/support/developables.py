"""Hulls on sides whose flare varies: an oblique elliptic cone and a developable that is no cone. Lengths mm.

Nothing here is imported by the program. Each side is given by its straight lines, so its normals and its distances are
known to rounding: a developable has one tangent plane all along a straight line (D. J. Struik, Lectures on Classical
Differential Geometry, 2nd ed. 1961, ch. 2-4).
"""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import dataclass
from functools import cached_property

import numpy as np
from boats import ExactHull, Floats, LineOn, parabola, unit
from scipy.interpolate import BSpline, make_interp_spline

STEP = 1e-5  # of the parameter's range, for differences that are good to nine digits
PAST = 350.0  # mm past its ends that a line is told
ROUNDS, CLOSE = 20, 1e-9  # steps to the foot of a square, and mm along the side it may be off


@dataclass(frozen=True, eq=False)
class Developable:
    """Straight lines ``origin(u) + t way(u)`` that share a tangent plane each; the outside is to starboard."""

    origin: Callable[[Floats], Floats]  # (n,) to (n, 3) mm
    way: Callable[[Floats], Floats]  # (n,) to (n, 3) unit, upward
    first: float
    last: float

    def _normals(self, u: Floats) -> Floats:
        step = STEP * (self.last - self.first)
        along = (self.origin(u + step) - self.origin(u - step)) / (2 * step)
        turning = (self.way(u + step) - self.way(u - step)) / (2 * step)
        # Anywhere on the line will do for a tangent; a place well up it keeps clear of a point where all lines meet.
        normal = unit(np.cross(along + 500.0 * turning, self.way(u)))
        return np.asarray(normal * np.where(normal[:, 1:2] < 0, -1.0, 1.0))

    def _feet(self, points: Floats) -> tuple[Floats, Floats]:
        """Parameters of the straight lines square behind points (n, 3), and the normals (n, 3) there."""

        def off(u: Floats) -> Floats:
            ahead = np.cross(self._normals(u), self.way(u))
            return np.asarray(np.einsum("nk,nk->n", points - self.origin(u), ahead))

        trials, origins, aheads = self._tried
        gaps = points @ aheads.T - np.einsum("nk,nk->n", origins, aheads)
        u = trials[np.abs(gaps).argmin(axis=1)]
        wide = 1e-4 * (self.last - self.first)
        for _ in range(ROUNDS):
            gap = off(u)
            if np.abs(gap).max(initial=0.0) < CLOSE:
                break
            u = u - gap * wide / (off(u + wide) - gap)
        assert np.abs(off(u)).max(initial=0.0) < 1e3 * CLOSE
        return u, self._normals(u)

    @cached_property
    def _tried(self) -> tuple[Floats, Floats, Floats]:
        """Parameters all along, a place on the straight line of each, and the way square to it in its plane."""
        trials = np.linspace(self.first, self.last, 400)
        return trials, self.origin(trials), np.cross(self._normals(trials), self.way(trials))

    def beyond(self, points: Floats) -> Floats:
        """Distance (...) of points outward from the surface, mm."""
        flat = points.reshape(-1, 3)
        u, normal = self._feet(flat)
        return np.einsum("nk,nk->n", flat - self.origin(u), normal).reshape(points.shape[:-1])

    def normal(self, points: Floats) -> Floats:
        return np.asarray(self._feet(points.reshape(-1, 3))[1].reshape(points.shape))

    def ruling(self, points: Floats) -> Floats:
        return np.asarray(self.way(self._feet(points.reshape(-1, 3))[0]).reshape(points.shape))

    def unrolled(self, points: Floats, depth: float) -> Floats:
        raise NotImplementedError("no closed form; the panels' own tests hold cones, cylinders and planes")


def elliptic_cone() -> Developable:
    """An oblique cone on an ellipse: its flare is another at every place."""
    apex, centre = np.array([2900.0, -660.0, -2600.0]), np.array([2300.0, -2570.0, 600.0])

    def origin(u: Floats) -> Floats:
        return centre + np.stack([4800.0 * np.sin(u), 3250.0 * np.cos(u), np.zeros_like(u)], axis=-1)

    return Developable(origin, lambda u: unit(origin(u) - apex), -0.9, 0.9)


def flaring(fore: float = 25.0, aft: float = 7.0) -> Developable:
    """The planes that touch it lean by ``fore`` degrees at the bow and tend to ``aft``, and turn as they go aft."""
    nodes, weights = np.polynomial.legendre.leggauss(24)

    def turn(u: Floats) -> Floats:
        return np.asarray(np.pi / 180 * 24.0 * (1 - 1.55 * u / 4400.0))

    def plane(u: Floats) -> Floats:
        lean = np.pi / 180 * (aft + (fore - aft) * np.exp(-u / 1500.0))
        return np.stack([-np.sin(turn(u)) * np.cos(lean), np.cos(turn(u)) * np.cos(lean), -np.sin(lean)], axis=-1)

    def origin(u: Floats) -> Floats:
        """A level line that runs along the planes: the integral of its heading."""
        heading = turn(np.multiply.outer(u, (1 + nodes) / 2))
        run = [(np.cos(heading) @ weights) * u / 2, (np.sin(heading) @ weights) * u / 2 - 110.0, np.zeros_like(u)]
        return np.stack(run, axis=-1)

    def way(u: Floats) -> Floats:
        # Neighbouring planes meet in the straight line; a complex step gives the planes' turning to rounding.
        turning = plane(u + 1e-20j).imag / 1e-20
        line = unit(np.cross(plane(u), turning))
        return np.asarray(line * np.where(line[..., 2:] < 0, -1.0, 1.0))

    return Developable(origin, way, -600.0, 5400.0)


@dataclass(frozen=True, eq=False)
class DenseLine:
    """A `LineOn` told at so many places that the spline through them is the line to rounding: quick to ask."""

    exact: LineOn

    @property
    def first(self) -> float:
        return self.exact.first

    @property
    def last(self) -> float:
        return self.exact.last

    @cached_property
    def _half_breadth(self) -> BSpline:
        at = np.linspace(self.first - PAST, self.last + PAST, 401)
        return make_interp_spline(at, self.exact.point(at)[:, 1], k=7)

    @property
    def breadth(self) -> DenseLine:
        return self

    def value(self, at: Floats) -> Floats:
        return np.asarray(self._half_breadth(at))

    def point(self, at: Floats) -> Floats:
        x = np.asarray(at, dtype=float)
        return np.stack([x, self.value(x), self.exact.height(x)], axis=-1)

    def tangent(self, at: Floats) -> Floats:
        x = np.asarray(at, dtype=float)
        slope = self.exact.height(x + 0.5) - self.exact.height(x - 0.5)  # exact for a parabola
        return np.stack([np.ones_like(x), self._half_breadth(x, nu=1), slope], axis=-1)


class FlaringHull(ExactHull):
    """An exact hull whose side is a `Developable`."""

    def line(self, name: str) -> DenseLine:  # type: ignore[override]
        return DenseLine(super().line(name))


def flaring_hulls() -> tuple[FlaringHull, FlaringHull]:
    stem, transom = np.array([[0.0, 620.0], [260.0, 60.0]]), np.array([[4450.0, 520.0], [4330.0, 60.0]])
    sheer, chine = parabola(480.0, 2900.0, 130.0, 2900.0), parabola(0.0, 2300.0, 75.0, 2300.0)
    return (
        FlaringHull("elliptic cone", elliptic_cone(), sheer, chine, stem, transom),
        FlaringHull("tangent developable", flaring(), sheer, chine, stem, transom - [120.0, 0.0]),
    )
