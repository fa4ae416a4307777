"""Unrolling a skin of rulings flat."""

from __future__ import annotations

from dataclasses import dataclass

import numpy as np

from patterns.geometry.arrays import Floats, dots, lengths
from patterns.geometry.ruled import Ruled


@dataclass(frozen=True, eq=False)
class Flat:
    """A skin unrolled: each ruling's middle and direction in the flat, aft to the right and the upper edge up.

    So it is the face toward the centre plane that is seen, of a starboard side, or the upper face of a bottom.
    """

    ruled: Ruled
    middle: Floats  # (n, 2) mm
    along: Floats  # (n, 2) unit, from the upper edge to the lower

    def point(self, s: Floats, t: Floats) -> Floats:
        """(m, 2) mm, where places (s, t) of the skin lie in the flat; any depth lies straight below."""
        return np.asarray(self.ruled.at(self.middle, s) + t[:, None] * self.ruled.at(self.along, s))

    def levelled(self, fore: Floats, aft: Floats) -> Flat:
        """The same flat turned so that the line between two of its points (2,) runs along x."""
        way = (aft - fore) / lengths(aft - fore)
        turn = np.array([[way[0], -way[1]], [way[1], way[0]]])  # row vectors times this
        return Flat(self.ruled, self.middle @ turn, self.along @ turn)

    def shifted(self, by: Floats) -> Flat:
        return Flat(self.ruled, self.middle + by, self.along)


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
    return np.arctan2(-dots(np.cross(from_way, to_way), normal), dots(from_way, to_way))
