"""Surfaces that cut across the boat: planes, and profiles carried straight athwart."""

from __future__ import annotations

from dataclasses import dataclass
from functools import cached_property

import numpy as np

from patterns.geometry.arrays import Floats, read_only
from patterns.geometry.battens import Batten


@dataclass(frozen=True, eq=False)
class Plane:
    """A plane with its own axes: ``right`` and ``up`` in it, ``facing`` square to it, right-handed."""

    origin: Floats  # (3,) mm
    right: Floats  # (3,) unit
    up: Floats  # (3,) unit

    def __post_init__(self) -> None:
        for name in ("origin", "right", "up"):
            object.__setattr__(self, name, read_only(getattr(self, name)))

    @cached_property
    def facing(self) -> Floats:
        """(3,) unit, toward whoever sees ``right`` on his right and ``up`` above."""
        return np.cross(self.right, self.up)

    def signed(self, points: Floats) -> Floats:
        """Distances (...) of points (..., 3), positive aft."""
        aft = self.facing if self.facing[0] > 0 else -self.facing
        return np.asarray((points - self.origin) @ aft)

    def shifted(self, distance: float) -> Plane:
        """The parallel plane further toward ``facing``."""
        return Plane(self.origin + distance * self.facing, self.right, self.up)

    def flat(self, points: Floats) -> Floats:
        """(..., 2) mm, points square onto the plane in its own axes."""
        away = points - self.origin
        return np.stack([away @ self.right, away @ self.up], axis=-1)


def station_plane(x: float, *, facing_aft: bool) -> Plane:
    """The plane across the boat at x, as seen from aft (starboard on the right) or from forward."""
    return Plane(np.array([x, 0.0, 0.0]), np.array([0.0, 1.0 if facing_aft else -1.0, 0.0]), np.array([0.0, 0.0, 1.0]))


@dataclass(frozen=True, eq=False)
class Profile:
    """An end of the boat in profile: distance from FP over height, carried straight across the boat.

    Two points make a straight end; through more a batten is sprung.
    """

    points: Floats  # (n, 2) mm: from FP, height; from the sheer down

    def __post_init__(self) -> None:
        object.__setattr__(self, "points", read_only(self.points, columns=2))

    @cached_property
    def batten(self) -> Batten:
        return Batten(self.points[::-1, 1], self.points[::-1, 0])

    def at_height(self, z: Floats) -> Floats:
        """Distance from FP (...), mm."""
        return self.batten.value(z)

    def signed(self, points: Floats) -> Floats:
        """Fore and aft distances (...) of points (..., 3) from the profile, positive aft."""
        return np.asarray(points[..., 0] - self.at_height(points[..., 2]))
