"""Long pieces as wood in the boat: what frames and ends are notched for."""

from __future__ import annotations

from dataclasses import dataclass, field, replace

import numpy as np

from patterns.errors import ShapeError
from patterns.geometry.arrays import Floats
from patterns.geometry.cuts import Plane
from patterns.geometry.short_repr import brief
from patterns.parts.part import OTHER_HAND, Hand
from patterns.parts.role import Role


@dataclass(frozen=True, slots=True, eq=False)
class Solid:
    """A long piece in its place in the boat, given by the lines of its corners.

    Points of one number lie on one section of the piece. A face between two neighbouring corner lines is ruled by the
    straight lines that join points of one number.
    """

    name: str  # "chine log"
    hand: Hand
    corners: Floats  # (k, n, 3) mm: k corners in order round the section, each a line of n points from fore to aft
    role: Role = field(kw_only=True)

    __repr__ = brief

    def __post_init__(self) -> None:
        corners = np.array(self.corners, dtype=np.float64)
        if corners.ndim != 3 or corners.shape[0] < 3 or corners.shape[1] < 2 or corners.shape[2] != 3:
            raise ValueError(f"expected (corners, points, 3), got shape {corners.shape}")
        if not np.isfinite(corners).all():
            raise ValueError("a corner is not finite")
        corners.flags.writeable = False
        object.__setattr__(self, "corners", corners)

    def cut(self, plane: Plane) -> Floats:
        """(k, 2) mm, the section in a plane across the boat, in the plane's own axes.

        Raises
        ------
        ShapeError
            Where the piece does not run through the plane with all its corners.
        """
        return plane.flat(np.stack([self._crossed(line, plane) for line in self.corners]))

    def reaches(self, plane: Plane) -> bool:
        """Whether all its corners run through a plane across the boat."""
        away = plane.signed(self.corners)
        return bool((away.min(axis=1) <= 0).all() and (away.max(axis=1) >= 0).all())

    def mirrored(self) -> Solid:
        """The same piece on the other side of the boat, its corners in the same turn as seen from aft."""
        return replace(self, hand=OTHER_HAND[self.hand], corners=self.corners[::-1] * (1.0, -1.0, 1.0))

    def _crossed(self, line: Floats, plane: Plane) -> Floats:
        away = plane.signed(line)
        aft = away >= 0
        i = int(aft.argmax())
        if not aft.any() or (i == 0 and away[0] > 0):
            raise ShapeError(f"{self.name} does not run as far as the place where it should be cut")
        if i == 0:
            return np.asarray(line[0])
        share = away[i - 1] / (away[i - 1] - away[i])
        return np.asarray(line[i - 1] + share * (line[i] - line[i - 1]))
