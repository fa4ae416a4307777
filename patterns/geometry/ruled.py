"""A skin of straight rulings, its faces at any depth, and where they are cut."""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import dataclass, replace
from functools import cached_property

import numpy as np
from numpy.typing import NDArray

from patterns.errors import ShapeError
from patterns.geometry.arrays import Floats, dots, lengths, read_only

Signed = Callable[[Floats], Floats]
"""A cutting surface: takes points (..., 3) to signed distances (...), negative forward of it, positive aft."""

PIERCE_ROUNDS = 40
PIERCED = 1e-9  # mm
NEARBY = 24  # rulings to either side of a cut's outermost lanes that are looked at first
COARSE_RULINGS = 12  # one ruling in so many is looked at to find where a point lies on the skin


@dataclass(frozen=True, eq=False)
class Ruled:
    """Rulings laid along a skin from fore to aft.

    A place on the skin is (s, t, depth): s the number of the ruling, a real number; t mm along the ruling from its
    middle, from the upper edge to the lower; depth mm along the normal. Between rulings all is interpolated straight.
    """

    middle: Floats  # (n, 3) mm
    along: Floats  # (n, 3) unit, upper edge to lower edge
    normal: Floats  # (n, 3) unit, out of the boat
    reach: Floats  # (n,) mm, from the middle to either given edge
    twist: Floats  # (n,) rad, angle between the normals at the two ends of the ruling, signed

    def __post_init__(self) -> None:
        for name in ("middle", "along", "normal"):
            object.__setattr__(self, name, read_only(getattr(self, name), columns=3))
        for name in ("reach", "twist"):
            object.__setattr__(self, name, read_only(getattr(self, name)))

    def __len__(self) -> int:
        return len(self.middle)

    @cached_property
    def numbers(self) -> Floats:
        return np.arange(float(len(self)))

    @cached_property
    def aftward(self) -> Floats:
        """(n, 3) unit, in the skin, square to the ruling, running aft."""
        return np.cross(self.along, self.normal)

    def at(self, field: Floats, s: Floats) -> Floats:
        """A field of the rulings, (n,) or (n, k), at ruling numbers (m,); run on straight past the ends."""
        i = np.clip(s.astype(np.intp), 0, len(self) - 2)
        share = s - i
        if field.ndim > 1:
            share = share[:, None]
        return np.asarray(field[i] + share * (field[i + 1] - field[i]))

    def point(self, s: Floats, t: Floats, depth: float) -> Floats:
        """(m, 3) mm at places (m,) and one depth."""
        return np.asarray(
            self.at(self.middle, s) + t[:, None] * self.at(self.along, s) + depth * self.at(self.normal, s)
        )

    def mirrored(self) -> Ruled:
        """The same skin on the other side of the centre plane."""
        other = np.array([1.0, -1.0, 1.0])
        return replace(
            self,
            middle=self.middle * other,
            along=self.along * other,
            normal=self.normal * other,
            twist=-self.twist,
        )

    def crossing(self, cut: Signed, upper: Floats, lower: Floats, depth: float, *, lanes: int) -> tuple[Floats, Floats]:
        """Where a surface across the boat cuts the skin between two edges.

        Parameters
        ----------
        cut : Signed
            The cutting surface.
        upper, lower : (n,) mm
            The two edges, as t on each ruling.
        lanes : int
            Places found, evenly from the upper edge to the lower.

        Returns
        -------
        s, t : (lanes,) each

        Raises
        ------
        ShapeError
            Where the surface does not cut the skin between its ends, or the edges are not sound there.
        """
        some = self._crossed(cut, upper, lower, depth, np.linspace(0.0, 1.0, min(lanes, 5)), slice(None))[0]
        near = slice(max(0, int(some.min()) - NEARBY), int(some.max()) + NEARBY)
        share = np.linspace(0.0, 1.0, lanes)
        try:
            i, before, after, t = self._crossed(cut, upper, lower, depth, share, near)
        except ShapeError:  # the cut bulges out of what five lanes foretold
            i, before, after, t = self._crossed(cut, upper, lower, depth, share, slice(None))
        part = before / (before - after)
        return i + part, sound(t[0] + part * (t[1] - t[0]))

    def _crossed(
        self, cut: Signed, upper: Floats, lower: Floats, depth: float, share: Floats, near: slice
    ) -> tuple[NDArray[np.intp], Floats, Floats, Floats]:
        """The last ruling before the cut on each lane, signed distances before and after it, and t there."""
        t = upper[near, None] + share * (lower - upper)[near, None]
        base = self.middle[near] + depth * self.normal[near]
        points = base[:, None, :] + t[:, :, None] * self.along[near, None, :]
        clean = np.asarray(np.isfinite(points).all(axis=2))
        distance = np.where(clean, cut(np.where(clean[..., None], points, 0.0)), np.nan)
        aft = np.asarray(distance > 0)
        i = aft.argmax(axis=0)
        if (i == 0).any():
            raise ShapeError("the skin ends before the place where it should be cut")
        lane = np.arange(len(share))
        start = near.indices(len(self))[0]
        return i - 1 + start, distance[i - 1, lane], distance[i, lane], np.stack([t[i - 1, lane], t[i, lane]])

    def pierced_by(self, points: Floats, ways: Floats, depth: float) -> Floats:
        """Distances (m,) along lines ``points + distance * ways`` to this skin's face at a depth.

        NaN where a line does not meet the face cleanly: past the ends, where the skin is only carried on, that harms
        nobody; whoever takes an edge off the skin must see that none is left in it (``sound``).
        """
        distance = np.zeros(len(points))
        s = self._beside(points)
        change = np.full(len(points), np.inf)
        with np.errstate(invalid="ignore", divide="ignore", over="ignore"):
            for _ in range(PIERCE_ROUNDS):
                place = points + distance[:, None] * ways
                s = np.clip(s + self._past(place, s) / self._spacing(place, s), -len(self), 2 * len(self))
                normal = self.at(self.normal, s)
                height = dots(place - self.at(self.middle, s), normal) / lengths(normal) - depth
                change = -height / dots(ways, normal)
                distance = distance + change
                if np.abs(change).max() < PIERCED:
                    break
        return np.where(np.abs(change) < PIERCED, distance, np.nan)

    def _past(self, points: Floats, s: Floats) -> Floats:
        """How far aft of its ruling each point lies, mm."""
        return dots(points - self.at(self.middle, s), self.at(self.aftward, s))

    def _spacing(self, points: Floats, s: Floats) -> Floats:
        """mm from ruling to ruling where each point lies; never less than a hair, for rulings that fan."""
        t = dots(points - self.at(self.middle, s), self.at(self.along, s))
        return np.maximum(self.at(self._steps, s) + t * self.at(self._fanning, s), 1e-2)

    @cached_property
    def _steps(self) -> Floats:
        return dots(np.gradient(self.middle, axis=0), self.aftward)

    @cached_property
    def _fanning(self) -> Floats:
        """How much wider the rulings stand apart, mm per ruling, for every mm along them."""
        return dots(np.gradient(self.along, axis=0), self.aftward)

    def _beside(self, points: Floats) -> Floats:
        """The number of a ruling near each point, to begin from."""
        some = np.arange(0, len(self), COARSE_RULINGS)
        past = np.einsum("mk,nk->mn", points, self.aftward[some]) - dots(self.middle[some], self.aftward[some])
        return np.asarray(some[np.clip((past > 0).sum(axis=1) - 1, 0, len(some) - 1)], dtype=np.float64)


def sound(edge: Floats) -> Floats:
    """The same places along an edge.

    Raises
    ------
    ShapeError
        Where two faces did not meet in one clean edge.
    """
    if np.isnan(edge).any():
        raise ShapeError("two faces of the planking do not meet in one clean edge")
    return edge
