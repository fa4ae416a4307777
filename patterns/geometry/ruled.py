"""A skin of straight rulings, its faces at any depth, and where they are cut."""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import dataclass, replace
from functools import cached_property

import numpy as np
from numpy.typing import NDArray

from patterns.errors import ShapeError
from patterns.geometry.arrays import Floats, crossed, dots, held_between, read_only
from patterns.geometry.short_repr import brief

Signed = Callable[[Floats], Floats]
"""A cutting surface: takes points (..., 3) to signed distances (...), negative forward of it, positive aft."""

COARSE_RULINGS = 12  # one ruling in so many is looked at to find the strip a line or a cut passes through
NO_EDGE = (
    "two faces that should meet in an edge do not; expected faces that turn clearly from each other: look at the "
    "figures near there, and at how the edges are to meet"
)
NEARBY = 8  # rulings to either side of a cut's outermost lanes that are looked at first


class EdgeLostError(ShapeError):
    """Two faces that do not meet in one clean edge."""


class SkinEndsError(ShapeError):
    """A place past the ends of a skin, which is carried on only a little way."""


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

    __repr__ = brief

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
        return crossed(self.along, self.normal)

    def at(self, field: Floats, s: Floats) -> Floats:
        """A field of the rulings, (n,) or (n, k), at ruling numbers (m,); run on straight past the ends."""
        i = np.minimum(np.maximum(s.astype(np.intp), 0), len(self) - 2)
        share = s - i
        if field.ndim > 1:
            share = share[:, None]
        return np.asarray(field[i] + share * (field[i + 1] - field[i]))

    def point(self, s: Floats, t: Floats, depth: float) -> Floats:
        """(m, 3) mm at places (m,) and one depth."""
        return np.asarray(
            self.at(self.middle, s) + t[:, None] * self.at(self.along, s) + depth * self.at(self.normal, s)
        )

    def points(self, t: Floats, depth: float) -> Floats:
        """(n, 3) mm, a line given as t (n,) on each ruling, at one depth."""
        return np.asarray(self.middle + depth * self.normal + t[:, None] * self.along)

    def at_half_breadth(self, half: float, depth: float) -> Floats:
        """(n,) mm along each ruling to where a face stands so far off the centre plane; NaN where it never does."""
        base = self.middle[:, 1] + depth * self.normal[:, 1]
        with np.errstate(divide="ignore", invalid="ignore"):
            t = (half - base) / self.along[:, 1]
        return np.where(np.isfinite(t), t, np.nan)

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
        edges = carried_on(upper), carried_on(lower)
        few, share = np.linspace(0.0, 1.0, min(lanes, 5)), np.linspace(0.0, 1.0, lanes)
        try:
            some = self._crossed(cut, *edges, depth, few, slice(None, None, COARSE_RULINGS))[0]
            near = slice(max(0, int(some.min()) - NEARBY), int(some.max()) + COARSE_RULINGS + NEARBY)
            i, before, after, t = self._crossed(cut, *edges, depth, share, near)
        except ShapeError:  # the cut bulges out of what five lanes foretold, or lies past the last of the few rulings
            i, before, after, t = self._crossed(cut, *edges, depth, share, slice(None))
        part = before / (before - after)
        s = i + part
        for edge, end in ((upper, 0), (lower, -1)):
            sound(edge[i[end] : i[end] + 2], self.middle[i[end] : i[end] + 2])
        return s, t[0] + part * (t[1] - t[0])

    def _crossed(
        self, cut: Signed, upper: Floats, lower: Floats, depth: float, share: Floats, near: slice
    ) -> tuple[NDArray[np.intp], Floats, Floats, Floats]:
        """The last ruling before the cut on each lane, signed distances before and after it, and t there.

        Where a lane is cut more than once, the cut nearest the middle counts: far out the skin is only carried on.
        """
        t = upper[near, None] + share * (lower - upper)[near, None]
        base = self.middle[near] + depth * self.normal[near]
        distance = cut(base[:, None, :] + t[:, :, None] * self.along[near, None, :])
        aft = np.asarray(distance > 0)
        start, _, step = near.indices(len(self))
        middle = min(max(len(self) // 2 - start, 0) // step, len(aft) - 1)
        later = middle + aft[middle:].argmax(axis=0)
        earlier = middle + 1 - (~aft[middle::-1]).argmax(axis=0)
        i = np.minimum(np.maximum(np.where(aft[middle], earlier, later), 1), len(aft) - 1)
        lane = np.arange(len(share))
        missed = aft[i - 1, lane] | ~aft[i, lane]
        if missed.any():
            end = base[0 if aft[middle, missed.argmax()] else -1]
            raise SkinEndsError("the skin, carried on, ends before it reaches this place", at=float(end[0]))
        return start + step * (i - 1), distance[i - 1, lane], distance[i, lane], np.stack([t[i - 1, lane], t[i, lane]])

    def pierced_by(self, points: Floats, ways: Floats, depth: float) -> Floats:
        """Distances (m,) along lines ``points + distance * ways`` to this skin's face at a depth, the nearest.

        A line and a ruling meet where the moment of one about the other is nothing; between two neighbouring rulings
        that moment is a quadratic, so the meeting is found exactly and wherever it is, fans of rulings too.

        NaN where a line does not meet the face: past the ends, where the skin is only carried on, that harms nobody;
        whoever takes an edge off the skin must see that none is left in it (``sound``).
        """
        base = self.middle + depth * self.normal
        moment = crossed(self.along, base)
        about = crossed(points, ways)

        def turning(line: NDArray[np.intp], i: NDArray[np.intp]) -> Floats:
            return dots(about[line], self.along[i]) - dots(ways[line], moment[i])

        some = np.append(np.arange(0, len(self) - 1, COARSE_RULINGS), len(self) - 1)
        above = about @ self.along[some].T - ways @ moment[some].T > 0  # (m, some)
        line, strip = (above[:, 1:] != above[:, :-1]).nonzero()
        before, first, last = above[line, strip], some[strip], some[strip + 1]
        while (last - first > 1).any():
            middle = (first + last) // 2
            same = (turning(line, middle) > 0) == before
            first, last = np.where(same, middle, first), np.where(same, last, middle)
        i = first
        way, start = ways[line], points[line]
        middle_along = (self.along[i] + self.along[i + 1]) / 2
        between = dots(start - (base[i] + base[i + 1]) / 2, crossed(way, middle_along))
        share = share_where_nothing(turning(line, i), between, turning(line, i + 1))[:, None]
        along = self.along[i] + share * (self.along[i + 1] - self.along[i])
        place = base[i] + share * (base[i + 1] - base[i])
        square = crossed(way, along)
        found = dots(crossed(place - start, along), square) / dots(square, square)
        distance = np.full(len(points), np.nan)
        # Written from the farthest to the nearest, so that of several the nearest stays.
        farthest_first = np.argsort(-np.abs(found), kind="stable")
        distance[line[farthest_first]] = found[farthest_first]
        return distance


def numbers_between(first: float, last: float) -> Floats:
    """Ruling numbers from one real place to another: the ends themselves and every ruling between."""
    return np.concatenate([[first], np.arange(np.floor(first) + 1, np.ceil(last)), [last]])


def share_where_nothing(first: Floats, between: Floats, last: Floats) -> Floats:
    """Where in 0..1 a quadratic vanishes, from its values at 0, 1/2 and 1, of which the outer differ in sign."""
    bend = 2 * (first + last - 2 * between)
    slope = last - first - bend
    half = -(slope + np.copysign(np.sqrt(np.maximum(slope**2 - 4 * bend * first, 0.0)), slope)) / 2
    with np.errstate(divide="ignore", invalid="ignore"):
        roots = np.nan_to_num(np.stack([first / half, half / bend]), nan=2.0)
    held = held_between(roots, 0.0, 1.0)
    # Where a line passes through a ruling itself, rounding may put its root a hair outside.
    nearer = np.abs(roots - held).argmin(axis=0)
    return np.asarray(held[nearer, np.arange(len(nearer))])


def carried_on(edge: Floats) -> Floats:
    """An edge with the places where it is not known bridged, so that lanes can be laid beside it."""
    known = np.isfinite(edge)
    if known.all():
        return edge
    if not known.any():
        raise EdgeLostError(NO_EDGE)
    numbers = np.arange(len(edge))
    return np.interp(numbers, numbers[known], edge[known])


def sound(edge: Floats, near: Floats) -> Floats:
    """The same places (n,) along an edge, which lies near points (n, 3).

    Raises
    ------
    EdgeLostError
        Where two faces did not meet in one clean edge.
    """
    lost = np.isnan(edge)
    if lost.any():
        raise EdgeLostError(NO_EDGE, at=float(near[lost.argmax(), 0]))
    return edge
