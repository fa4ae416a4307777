"""A smooth surface over two parameters, one of which runs along the boat and the other up the girth.

``S(u, v) = (X, Y, Z)``: u from 0 at the fore edge to 1 at the after edge, v from 0 at the lower edge to 1 at the upper.
``X(u, v) = (1 - u) fore(v) + u aft(v)``, so each u = const runs from edge to edge at one share of the way, and what is
cut by a plane x = const is found without a search. Y and Z are tensor products of B-splines.
"""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import dataclass, replace

import numpy as np

from patterns.errors import ShapeError
from patterns.geometry.arrays import Floats, crossed, dots, read_only, run_along, unit
from patterns.geometry.spline_bases import SplineBasis

ROUNDS = 40
SETTLED = 1e-9  # mm
MOST_STEP = 0.25  # of the run along u, in one step of a search; further off a surface may turn back


@dataclass(frozen=True, slots=True, eq=False)
class SkinPoints:
    """Places on a surface with all that is commonly asked of them, in the order of v."""

    u: Floats  # (n,)
    v: Floats  # (n,)
    points: Floats  # (n, 3) mm
    normals: Floats  # (n, 3) unit, outward on the starboard half
    along: Floats  # (n, 3) mm, derivative of the point by u
    up: Floats  # (n, 3) mm, derivative by v

    @property
    def bevels(self) -> Floats:
        """(n,) rad, how far the surface is out of square to a plane across the boat: positive where it faces aft."""
        return np.arctan2(self.normals[:, 0], np.hypot(self.normals[:, 1], self.normals[:, 2]))

    @property
    def girths(self) -> Floats:
        """(n,) mm along the points, from the first."""
        return run_along(self.points)


@dataclass(frozen=True, eq=False)
class TensorSkin:
    """The surface.

    It goes on a little past u = 0 and 1 and past v = 0 and 1, as the parabolas that touch it there. At a corner of
    ``across`` (see `corners`) derivatives by v are those of the upper side; ask a hair below for the lower side's.
    """

    lengthwise: SplineBasis  # of u
    across: SplineBasis  # of v
    breadths: Floats  # (lengthwise.count, across.count) mm, what Y is made of
    heights: Floats  # (lengthwise.count, across.count) mm, what Z is made of
    fore: Floats  # (across.count,) mm, what X is made of along u = 0
    aft: Floats  # (across.count,) mm, along u = 1

    def __post_init__(self) -> None:
        for name in ("breadths", "heights"):
            object.__setattr__(self, name, read_only(getattr(self, name), columns=self.across.count))
        for name in ("fore", "aft"):
            object.__setattr__(self, name, read_only(getattr(self, name)))

    @property
    def corners(self) -> tuple[float, ...]:
        """Places of v within where the surface may turn at once, along the whole boat."""
        at, times = np.unique(self.across.knots, return_counts=True)
        return tuple(at[1:-1][times[1:-1] >= self.across.degree].tolist())

    def x_ends(self, v: Floats, order: int = 0) -> tuple[Floats, Floats]:
        """(n,) mm each: x of the fore and of the after edge at v (n,), or a derivative by v."""
        table = self.across.at(v, order)
        return table @ self.fore, table @ self.aft

    def at(self, u: Floats, v: Floats, du: int = 0, dv: int = 0) -> Floats:
        """(n, 3) mm, points at u (n,) and v (n,), or their derivative ``du`` times by u and ``dv`` times by v.

        No derivative is asked for more than twice in either.
        """
        u, v = np.broadcast_arrays(np.asarray(u, float), np.asarray(v, float))
        along, across = self.lengthwise.at(u, du), self.across.at(v, dv)
        fore, aft = across @ self.fore, across @ self.aft
        x = (1 - u) * fore + u * aft if du == 0 else aft - fore if du == 1 else np.zeros_like(fore)
        y, z = (dots(along @ table, across) for table in (self.breadths, self.heights))
        return np.column_stack([x, y, z])

    def places(self, u: Floats, v: Floats) -> SkinPoints:
        """Points, both first derivatives and normals at u (n,) and v (n,)."""
        u, v = (np.array(one, dtype=float) for one in np.broadcast_arrays(u, v))
        by_u, by_v = [self.lengthwise.at(u, k) for k in (0, 1)], [self.across.at(v, k) for k in (0, 1)]
        fore, aft = by_v[0] @ self.fore, by_v[0] @ self.aft
        fore_slope, aft_slope = by_v[1] @ self.fore, by_v[1] @ self.aft

        def woven(du: int, dv: int, x: Floats) -> Floats:
            tables = (self.breadths, self.heights)
            return np.column_stack([x, *(dots(by_u[du] @ table, by_v[dv]) for table in tables)])

        points = woven(0, 0, (1 - u) * fore + u * aft)
        along, up = woven(1, 0, aft - fore), woven(0, 1, (1 - u) * fore_slope + u * aft_slope)
        return SkinPoints(u, v, points, unit(crossed(up, along)), along, up)

    def normals(self, u: Floats, v: Floats) -> Floats:
        """(n, 3) unit, outward where the surface is the starboard half of a hull."""
        return self.places(u, v).normals

    def u_at(self, x: float | Floats, v: Floats) -> Floats:
        """(n,) where along u the surface stands at x, mm, for each v (n,); outside 0 to 1 it is past an edge."""
        fore, aft = self.x_ends(v)
        return np.asarray((x - fore) / (aft - fore))

    def reach(self, x: float, samples: int = 401) -> tuple[float, float]:
        """From which v to which the plane at x cuts the surface between its edges u = 0 and 1; (nan, nan) for nowhere.

        Forward of the forefoot a station begins on the stem, and so at a v above 0.
        """
        v = np.linspace(0.0, 1.0, samples)
        fore, aft = self.x_ends(v)
        inside = np.minimum(x - fore, aft - x)  # mm, positive between the edges
        there = np.flatnonzero(inside >= 0)
        if not len(there):
            return np.nan, np.nan
        return self._edge(x, v, inside, there[0], -1), self._edge(x, v, inside, there[-1], 1)

    def _edge(self, x: float, v: Floats, inside: Floats, last: int, way: int) -> float:
        """v between a sample inside and the next outside where the plane at x leaves the surface, by halving."""
        beyond = last + way
        if not 0 <= beyond < len(v):
            return float(v[last])
        low, high = float(v[last]), float(v[beyond])
        for _ in range(ROUNDS):
            middle = (low + high) / 2
            fore, aft = self.x_ends(np.array([middle]))
            low, high = (middle, high) if min(x - fore[0], aft[0] - x) >= 0 else (low, middle)
        return low

    def section(self, x: float, v: Floats | int = 121) -> SkinPoints:
        """The cut by the plane at x, mm, at v (n,), or at so many from where it begins to where it ends.

        >>> skin = _example()
        >>> skin.section(50.0, 5).points.round(1).tolist()[0]
        [50.0, 0.0, 0.0]

        Raises
        ------
        ShapeError
            A plane that does not cut the surface, where no v are given.
        """
        if isinstance(v, int):
            first, last = self.reach(x)
            if np.isnan(first):
                raise ShapeError("the plane does not cut the hull")
            v = np.linspace(first, last, v)
        return self.places(self.u_at(x, v), v)

    def section_by_girth(self, x: float, shares: Floats) -> SkinPoints:
        """The cut by the plane at x at shares (n,) of its girth, 0 where it begins (rabbet or stem), 1 at the sheer."""
        fine = self.section(x, 801)
        girths = fine.girths
        return self.section(x, np.interp(shares * girths[-1], girths, fine.v))

    def cut(
        self, square_to: Floats, distance: float, v: Floats, *, depth: float = 0.0, near: Floats | float = 0.5
    ) -> SkinPoints:
        """The cut of any plane that runs across the boat more or less, at v (n,), by Newton's steps along u.

        Parameters
        ----------
        square_to : (3,) unit
            Normal of the plane.
        distance : float
            mm, of the plane from the origin along that normal.
        depth : float
            mm; the plane cuts the face that lies so deep under the surface along its normals. The places given back are
            those of the surface, and ``points - depth * normals`` lies in the plane.
        near : float or (n,)
            u to begin the search from.

        Raises
        ------
        ShapeError
            A plane that runs along the surface, or misses it.
        """

        def beyond(place: SkinPoints) -> Floats:
            return (place.points - depth * place.normals) @ square_to - distance

        return self._found(beyond, lambda place: place.along @ square_to, v, near)

    def _found(
        self, beyond: Callable[[SkinPoints], Floats], slope: Callable[[SkinPoints], Floats], v: Floats,
        near: Floats | float,
    ) -> SkinPoints:  # fmt: skip
        u = np.broadcast_to(np.asarray(near, float), v.shape).copy()
        for _ in range(ROUNDS):
            place = self.places(u, v)
            out = beyond(place)
            if np.abs(out).max(initial=0.0) < SETTLED:
                return place
            with np.errstate(divide="ignore", invalid="ignore"):
                step = np.clip(out / slope(place), -MOST_STEP, MOST_STEP)
            u = u - step
            if not np.isfinite(u).all():
                break
        place = self.places(np.nan_to_num(u), v)
        if np.abs(beyond(place)).max() < 1e4 * SETTLED:
            return place
        raise ShapeError("the cut runs along the planking and does not meet it in one place")

    def scaled(self, factor: float) -> TensorSkin:
        """The same surface in another size."""
        sizes = {name: getattr(self, name) * factor for name in ("breadths", "heights", "fore", "aft")}
        return replace(self, **sizes)


def _example() -> TensorSkin:
    """A hull of flat sides from 0 to 100 mm, for the examples above."""
    basis = SplineBasis(np.array([0.0, 0.0, 1.0, 1.0]), 1)
    y, z = np.array([[0.0, 20.0], [0.0, 20.0]]), np.array([[0.0, 30.0], [0.0, 30.0]])
    return TensorSkin(basis, basis, y, z, np.zeros(2), np.full(2, 100.0))
