"""Surfaces that cut across the boat: planes, cylinders, and profiles carried athwart."""

from __future__ import annotations

from dataclasses import dataclass
from functools import cached_property

import numpy as np

from patterns.geometry.arrays import Floats, crossed, read_only
from patterns.geometry.battens import Batten, batten_through
from patterns.geometry.level_ends import LevelEnded, level_ended

SHARP_TURN = np.radians(8.0)  # rad at one point of a profile, and so many times those beside it, is a corner
TIMES_NEIGHBOURS = 5.0
FLAT = 2.0  # run over rise from point to point; flatter, a profile may want to be sprung by its length, not heights
ALIKE = 0.02  # mm, square to it; nearer than that the two are one line, and by heights it runs on past its ends too
COMPARED = 201  # places the two are held against each other at
LEAST_TURNS = 3  # of fewer points nothing tells a corner from a curve
TRUE_ARC = 0.95  # of its radius; a bowed face is carried on straight beyond, where no boat has it


def sagitta(radius: float, half: Floats) -> Floats:
    """How far (...) an arc falls back from its middle at half breadths (...), mm.

    Source: R - sqrt(R^2 - y^2), plane geometry (trade_geometry.toml, [sagitta]); so written that nothing of a great
    radius is lost.
    """
    past = np.maximum(np.abs(half) - TRUE_ARC * radius, 0.0)
    y = np.abs(half) - past
    root = np.sqrt(radius**2 - y**2)
    return np.asarray(y**2 / (radius + root) + past * y / root)


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
        return crossed(self.right, self.up)

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

    def in_space(self, flat: Floats) -> Floats:
        """(n, 3) mm, where points (n, 2) of the flat lie on the surface: the way back."""
        return self.origin + flat[:, :1] * self.right + flat[:, 1:] * self.up

    def fallen_back(self, half: Floats) -> Floats:
        """How far (...) the surface lies behind its plane at half breadths (...), mm."""
        return np.zeros_like(half)


@dataclass(frozen=True, eq=False)
class Cylinder(Plane):
    """A plane bowed round an axis that runs along ``up`` behind it; the plane touches it where ``right`` is nothing."""

    radius: float  # mm
    unrolled_on: float  # mm, radius of the face whose arc lengths are the breadths in the flat

    def signed(self, points: Floats) -> Floats:
        """Distances (...) of points (..., 3) along ``facing``, positive aft."""
        away = points - self.origin
        ahead = away @ self.facing + sagitta(self.radius, away @ self.right)
        return np.asarray(ahead if self.facing[0] > 0 else -ahead)

    def shifted(self, distance: float) -> Cylinder:
        """The face about the same axis further out by a distance, drawn straight through onto the same flat."""
        moved = super().shifted(distance)
        return Cylinder(moved.origin, self.right, self.up, self.radius + distance, self.unrolled_on)

    def flat(self, points: Floats) -> Floats:
        """(..., 2) mm, points square to the axis onto the flat: arc lengths athwart, lengths along the axis."""
        away = points - self.origin
        turned = np.arctan2(away @ self.right, self.radius + away @ self.facing)
        return np.stack([self.unrolled_on * turned, away @ self.up], axis=-1)

    def in_space(self, flat: Floats) -> Floats:
        turned = flat[:, :1] / self.unrolled_on
        back = 2 * self.radius * np.sin(turned / 2) ** 2
        return self.origin + self.radius * np.sin(turned) * self.right - back * self.facing + flat[:, 1:] * self.up

    def fallen_back(self, half: Floats) -> Floats:
        return sagitta(self.radius, half)

    def by_itself(self) -> Cylinder:
        """The same face in its own arc lengths."""
        return Cylinder(self.origin, self.right, self.up, self.radius, self.radius)


def station_plane(x: float, *, facing_aft: bool) -> Plane:
    """The plane across the boat at x, as seen from aft (starboard on the right) or from forward."""
    return Plane(np.array([x, 0.0, 0.0]), np.array([0.0, 1.0 if facing_aft else -1.0, 0.0]), np.array([0.0, 0.0, 1.0]))


def _sprung(points: Floats, corners: tuple[float, ...]) -> Batten | LevelEnded:
    """The batten through points (n, 2) mm of a profile, from the lowest up: by heights, or its length if flat."""
    by_heights = batten_through(points[:, 1], points[:, 0], corners=corners)
    run, rise = np.abs(np.diff(points, axis=0)).T
    flat = len(points) > LEAST_TURNS and not corners and bool((run > FLAT * rise).any())
    by_length = level_ended(points) if flat else None
    if by_length is None:
        return by_heights
    z = by_length.between(points[0, 1], points[-1, 1], COMPARED)
    apart = np.abs(by_length.value(z) - by_heights.value(z)) / np.hypot(1.0, by_length.slope(z))
    return by_length if apart.max() > ALIKE else by_heights


@dataclass(frozen=True, eq=False)
class Profile:
    """An end of the boat in profile: distance from FP over height, carried straight across the boat, or on an arc.

    Two points make a straight end; through more a batten is sprung.
    """

    points: Floats  # (n, 2) mm: from FP, height; from the sheer down
    radius: float | None = None  # mm, of an end bowed round an axis along its rake; its middle aft (+), forward (-)

    def __post_init__(self) -> None:
        object.__setattr__(self, "points", read_only(self.points, columns=2))

    @cached_property
    def batten(self) -> Batten | LevelEnded:
        return _sprung(self.points[::-1], self.corners)

    @cached_property
    def corners(self) -> tuple[float, ...]:
        """Heights where it turns sharply: at one given point much more than at its neighbours on either side.

        A batten sprung round such a corner would swing out on both sides of it.
        """
        way = np.diff(self.points, axis=0)
        turns = np.abs(np.diff(np.unwrap(np.arctan2(way[:, 1], way[:, 0]))))
        if len(turns) < LEAST_TURNS:
            return ()
        beside = np.pad(turns, 1)
        neighbours = np.maximum(beside[:-2], beside[2:])
        sharp = (turns > SHARP_TURN) & (turns > TIMES_NEIGHBOURS * neighbours)
        return tuple(self.points[1:-1][sharp, 1].tolist())

    def batten_between(self, upper: float, lower: float) -> Batten | LevelEnded:
        """The batten sprung through the points between two corners alone: it runs on past them as if there were none.

        Told by heights, those of its ends or any between.
        """
        high = min((z for z in self.corners if z > (upper + lower) / 2), default=np.inf)
        low = max((z for z in self.corners if z < (upper + lower) / 2), default=-np.inf)
        own = self.points[(self.points[:, 1] <= high) & (self.points[:, 1] >= low)][::-1]
        return _sprung(own, ())

    def at_height(self, z: Floats) -> Floats:
        """Distance from FP (...), mm."""
        return self.batten.value(z)

    def heights_between(self, low: float, high: float, count: int) -> Floats:
        """(n,) mm, rising, about ``count`` of them, close to each other all along it, also where it lies flat."""
        return (
            np.linspace(low, high, count) if isinstance(self.batten, Batten) else self.batten.between(low, high, count)
        )

    def set_back(self, half: Floats) -> Floats:
        """mm (...) that the end stands forward of its own middle, level, at half breadths (...)."""
        if self.radius is None:
            return np.zeros_like(half)
        (x, z), (x1, z1) = self.points[0], self.points[-1]
        return np.asarray(np.sign(self.radius) * sagitta(abs(self.radius), half) * np.hypot(x - x1, z - z1) / (z - z1))

    def signed(self, points: Floats) -> Floats:
        """Fore and aft distances (...) of points (..., 3) from the end, positive aft."""
        ahead = points[..., 0] - self.at_height(points[..., 2])
        return np.asarray(ahead if self.radius is None else ahead + self.set_back(points[..., 1]))
