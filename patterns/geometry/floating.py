"""How a closed body floats: what of it lies under the water, and the level at which it rests."""

from __future__ import annotations

from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray
from scipy.optimize import brentq

from patterns.geometry.arrays import Floats, crossed, dots, lengths
from patterns.geometry.meshes import Mesh
from patterns.geometry.short_repr import brief

ROUNDS = 60  # Newton's steps; a boat needs five or six
LARGEST_TURN = 0.1  # rad that one step may turn the water
CLOSE = 1e-9  # rad, and share of the body's size: how near its level is found
STEEPEST = np.radians(45.0)  # rad; a body that rests more steeply stands on its end


@dataclass(frozen=True, slots=True, eq=False)
class Body:
    """A closed body, and which of its triangles are no skin but an opening that water could come in by."""

    mesh: Mesh
    lid: NDArray[np.bool_]  # (m,) of its triangles

    __repr__ = brief


@dataclass(frozen=True, slots=True)
class Level:
    """A water surface: ``height`` mm above the origin, square to itself, and how far it leans from level in the body.

    ``trim`` is in radians, positive where the water stands higher aft (greater x): the body floats down by the stern.
    """

    height: float
    trim: float = 0.0

    @property
    def up(self) -> Floats:
        """(3,) unit, out of the water."""
        return np.array([-np.sin(self.trim), 0.0, np.cos(self.trim)])

    @property
    def aft(self) -> Floats:
        """(3,) unit, along the water."""
        return np.array([np.cos(self.trim), 0.0, np.sin(self.trim)])

    def above(self, points: Floats) -> Floats:
        """mm (...) that points (..., 3) stand out of the water; negative under it."""
        return np.asarray(points @ self.up - self.height)

    def at(self, x: float) -> float:
        """mm, the height of the water on the centre plane, as the body measures it, at a distance x."""
        return float((self.height + x * np.sin(self.trim)) / np.cos(self.trim))


@dataclass(frozen=True, slots=True, eq=False)
class Immersed:
    """What of a body lies under a water surface."""

    volume: float  # mm3
    centre: Floats  # (3,) mm, of the volume: the centre of buoyancy
    wetted: float  # mm2 of skin
    waterplane: float  # mm2
    floatation: float  # mm along the water from the origin, of the middle of the waterplane: the centre of flotation
    inertia: float  # mm4, of the waterplane about the level line athwart through the origin

    __repr__ = brief


def immersed(body: Body, level: Level) -> Immersed:
    """What lies under the water, from the triangles cut off at its surface: exact for the mesh.

    The water surface itself closes the cut body. Seen from a point in it, that cap has no volume; seen along it, the
    wetted triangles cover as much of it as it is large.

    Source: the divergence theorem, over triangles.
    """
    origin = level.height * level.up
    a, b, c, of = _under(body.mesh.corners - origin, level.above(body.mesh.corners))
    sixths = dots(a, crossed(b, c)) / 6
    volume = float(sixths.sum())
    square = crossed(b - a, c - a) / 2
    shadow = -(square @ level.up)  # mm2 of the waterplane that each triangle lies under
    u = np.stack([corner @ level.aft for corner in (a, b, c)])
    area = float(shadow.sum())
    moment = float((shadow * u.sum(axis=0)).sum() / 3)
    second = ((u**2).sum(axis=0) + u[0] * u[1] + u[1] * u[2] + u[2] * u[0]) / 6
    middle = (sixths[:, None] * (a + b + c) / 4).sum(axis=0) / volume if volume else np.zeros(3)
    return Immersed(
        volume=volume,
        centre=np.asarray(origin + middle),
        wetted=float(lengths(square)[~body.lid[of]].sum()),
        waterplane=area,
        floatation=moment / area if area else 0.0,
        inertia=float((shadow * second).sum()),
    )


def _under(corners: Floats, above: Floats) -> tuple[Floats, Floats, Floats, NDArray[np.intp]]:
    """The corners (k, 3) of the parts of triangles (m, 3, 3) that lie under water, and which triangle each is of."""
    wet = above < 0
    count = wet.sum(axis=1)
    numbers = np.arange(len(corners))
    found = [(corners[count == 3], numbers[count == 3])]
    for many, alone in ((1, wet), (2, ~wet)):
        here = np.flatnonzero(count == many)
        # Turned so that the corner that differs from the two others comes first; the way round stays.
        order = (alone[here].argmax(axis=1)[:, None] + np.arange(3)) % 3
        rows = np.arange(len(here))[:, None]
        p, h = corners[here][rows, order], above[here][rows, order]
        first, second = (p[:, 0] + (h[:, 0] / (h[:, 0] - h[:, k]))[:, None] * (p[:, k] - p[:, 0]) for k in (1, 2))
        if many == 1:
            found.append((np.stack([p[:, 0], first, second], axis=1), numbers[here]))
        else:
            found.append((np.stack([first, p[:, 1], p[:, 2]], axis=1), numbers[here]))
            found.append((np.stack([first, p[:, 2], second], axis=1), numbers[here]))
    cut = np.concatenate([one for one, _ in found])
    return cut[:, 0], cut[:, 1], cut[:, 2], np.concatenate([of for _, of in found])


def rests_at(body: Body, volume: float, weight_at: Floats) -> Level | None:
    """The level at which a body floats upright athwart: it displaces a volume whose centre is plumb under its weight.

    Parameters
    ----------
    volume : float
        mm3 that its weight displaces.
    weight_at : (3,) mm
        Centre of all weight.

    Returns
    -------
    Level
        None where the whole body displaces less, or rests on its end.
    """
    if not 0 < volume < body.mesh.volume:
        return None
    return _by_newton(body, volume, weight_at) or _by_halving(body, volume, weight_at)


def _by_newton(body: Body, volume: float, weight_at: Floats) -> Level | None:
    """Height and trim together: what a level displaces more, higher or steeper, is what its waterplane says."""
    size = float(np.ptp(body.mesh.points, axis=0).max())
    level = _displacing(body, volume, 0.0)
    misses, slopes = _out_of_rest(body, level, volume, weight_at)
    for _ in range(ROUNDS):
        try:
            step = np.linalg.solve(slopes, -misses)
        except np.linalg.LinAlgError:
            return None
        step *= min(1.0, LARGEST_TURN / max(abs(float(step[1])), CLOSE))
        level = Level(level.height + float(step[0]), level.trim + float(step[1]))
        if abs(level.trim) > STEEPEST:
            return None
        if abs(float(step[0])) < CLOSE * size and abs(float(step[1])) < CLOSE:
            return level
        misses, slopes = _out_of_rest(body, level, volume, weight_at)
    return None


def _by_halving(body: Body, volume: float, weight_at: Floats) -> Level | None:
    """The trim nearest to level at which both centres are plumb: sought step by step to either side, then halved."""

    def lever(trim: float) -> float:
        level = _displacing(body, volume, trim)
        return float((immersed(body, level).centre - weight_at) @ level.aft)

    at_level = lever(0.0)
    way = -np.sign(at_level)  # the centre of buoyancy goes aft as the water rises there
    before = 0.0
    for trim in np.arange(LARGEST_TURN / 2, STEEPEST, LARGEST_TURN / 2) * way:
        if lever(float(trim)) * at_level <= 0:
            return _displacing(body, volume, float(brentq(lever, before, float(trim), xtol=CLOSE)))
        before = float(trim)
    return None


def _displacing(body: Body, volume: float, trim: float) -> Level:
    """The level of a trim that displaces a volume."""
    above = Level(0.0, trim).above(body.mesh.points)

    def too_much(height: float) -> float:
        return immersed(body, Level(height, trim)).volume - volume

    return Level(float(brentq(too_much, float(above.min()), float(above.max()), xtol=CLOSE)), trim)


def _out_of_rest(body: Body, level: Level, volume: float, weight_at: Floats) -> tuple[Floats, Floats]:
    """How far a level is from rest: mm3 and mm4; and by how much more with each mm of height and radian of trim.

    The force that is missing turns the body about the centre of weight, so rest is where both are nothing.
    """
    under = immersed(body, level)
    lever = float((under.centre - weight_at) @ level.aft)
    own = float(weight_at @ level.aft)
    along = under.floatation
    misses = np.array([under.volume - volume, under.volume * lever])
    drop = float((under.centre - weight_at) @ level.up)
    by_height = np.array([under.waterplane, under.waterplane * (along - own)])
    by_trim = np.array([under.waterplane * along, under.inertia - own * under.waterplane * along + under.volume * drop])
    return misses, np.stack([by_height, by_trim], axis=1)
