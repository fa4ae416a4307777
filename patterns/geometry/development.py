"""Unrolling a skin of rulings flat."""

from __future__ import annotations

from dataclasses import dataclass

import numpy as np

from patterns.geometry.arrays import Floats, crossed, dots, lengths
from patterns.geometry.ruled import Ruled, share_where_nothing
from patterns.geometry.short_repr import brief


@dataclass(frozen=True, eq=False)
class Flat:
    """A skin unrolled: each ruling's middle and direction in the flat, aft to the right and the upper edge up.

    So it is the face toward the centre plane that is seen, of a starboard side, or the upper face of a bottom.
    """

    ruled: Ruled
    middle: Floats  # (n, 2) mm
    along: Floats  # (n, 2) unit, from the upper edge to the lower

    __repr__ = brief

    def point(self, s: Floats, t: Floats) -> Floats:
        """(m, 2) mm, where places (s, t) of the skin lie in the flat; any depth lies straight below."""
        return np.asarray(self.ruled.at(self.middle, s) + t[:, None] * self.ruled.at(self.along, s))

    def places(self, points: Floats) -> tuple[Floats, Floats]:
        """Which places (s, t) of the skin, each (m,), lie at points (m, 2) of the flat: the way back.

        Raises
        ------
        ValueError
            A point that lies on no ruling.
        """
        across, up = (points[:, axis, None] - self.middle[:, axis] for axis in range(2))
        # (m, n), changing sign where a point lies between two rulings
        beside = self.along[:, 0] * up - self.along[:, 1] * across
        between = (beside[:, 1:] > 0) != (beside[:, :-1] > 0)
        if not between.any(axis=1).all():
            raise ValueError("a point of the flat lies on no ruling")
        # Rulings carried on far out may cross beyond the skin; a point of it lies nearest the middles of its own.
        far = np.full(between.shape, np.inf)
        point, strip = between.nonzero()
        far[point, strip] = np.abs(dots(points[point] - self.middle[strip], self.along[strip]))
        i = far.argmin(axis=1)
        row = np.arange(len(points))
        half = _crossed((self.along[i] + self.along[i + 1]) / 2, points - (self.middle[i] + self.middle[i + 1]) / 2)
        s = i + share_where_nothing(beside[row, i], half, beside[row, i + 1])
        along = self.ruled.at(self.along, s)
        return s, dots(points - self.ruled.at(self.middle, s), along) / dots(along, along)

    def levelled(self, fore: Floats, aft: Floats) -> Flat:
        """The same flat turned so that the line between two of its points (2,) runs along x."""
        way = (aft - fore) / lengths(aft - fore)
        turn = np.array([[way[0], -way[1]], [way[1], way[0]]])  # row vectors times this
        return Flat(self.ruled, self.middle @ turn, self.along @ turn)

    def shifted(self, by: Floats) -> Flat:
        return Flat(self.ruled, self.middle + by, self.along)


def _crossed(a: Floats, b: Floats) -> Floats:
    """Cross products (...) of (..., 2) vectors, pair by pair."""
    return np.asarray(a[..., 0] * b[..., 1] - a[..., 1] * b[..., 0])


def develop(ruled: Ruled, *, depth: float) -> Flat:
    """Unroll the surface at one depth, whose lengths bending keeps.

    The strip between two rulings is laid down by its chord from middle to middle and by the angles the chord makes
    with both rulings; all strips are turned and joined in one pass. Where a ruling is twisted the strip is not
    plane, and each angle is the true one in space.

    Returns
    -------
    Flat
        The first ruling runs straight down from (0, 0).
    """
    middle = ruled.middle + depth * ruled.normal
    chord = np.diff(middle, axis=0)
    leaving = _angle(ruled.along[:-1], chord, ruled.normal[:-1])
    arriving = _angle(ruled.along[1:], chord, ruled.normal[1:])
    turn = np.concatenate([[0.0], np.cumsum(leaving - arriving)])
    ruling = -np.pi / 2 + turn
    heading = ruling[:-1] + leaving
    step = lengths(chord)[:, None] * np.stack([np.cos(heading), np.sin(heading)], axis=1)
    flat = np.concatenate([np.zeros((1, 2)), np.cumsum(step, axis=0)])
    return Flat(ruled, flat, np.stack([np.cos(ruling), np.sin(ruling)], axis=1))


def _angle(from_way: Floats, to_way: Floats, normal: Floats) -> Floats:
    """Angle (n,) from one direction to another, counter-clockwise as seen from inside the boat."""
    return np.arctan2(-dots(crossed(from_way, to_way), normal), dots(from_way, to_way))
