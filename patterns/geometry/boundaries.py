"""The edge of a strake measured along itself: one line, or several that join end to end, as a keel joins a stem."""

from __future__ import annotations

import math
from collections.abc import Sequence
from dataclasses import dataclass
from itertools import pairwise

import numpy as np
from numpy.typing import NDArray
from scipy.interpolate import CubicSpline

from patterns.geometry.arrays import Floats, dots, held_between, lengths, run_along, unit
from patterns.geometry.battens import Batten
from patterns.geometry.curves import SpaceCurve
from patterns.geometry.cuts import Profile
from patterns.geometry.level_ends import LevelEnded
from patterns.geometry.short_repr import brief

SAMPLES = 401  # points a line is measured by, closer together toward its ends
CARRIED = 40  # further ones on each run past an end
KNUCKLE = np.radians(0.5)  # rad; pieces that join at less run on into each other
FAN = 0.03  # share of the whole length given to the rulings that fan from a knuckle
CARRIED_ON = 0.6  # how far a line runs on past an end of the boat, as a share of its length
LEAST_PIECE = 2.0  # mm of height; an end of a table's line and a corner nearer to each other are one place
BROUGHT = 0.1  # share of its length over which a line is bent to the point it must end in
_NEXT = np.empty(0)  # stands for an end where the next piece goes on


@dataclass(frozen=True, eq=False)
class ProfileCurve:
    """The profile of a stem between two heights, carried out to a half-breadth: the edge of planking that lands on it.

    Runs from the upper height down.
    """

    batten: Batten | LevelEnded  # distance from FP over height
    half: float  # mm off the centre plane
    upper: float  # mm above base
    lower: float

    @property
    def first(self) -> float:
        return 0.0

    @property
    def last(self) -> float:
        return self.upper - self.lower

    def point(self, at: Floats) -> Floats:
        z = self.upper - at
        return np.stack([self.batten.value(z), np.full_like(z, self.half), z], axis=-1)

    def tangent(self, at: Floats) -> Floats:
        slope = self.batten.slope(self.upper - at)
        return np.stack([-slope, np.zeros_like(at), -np.ones_like(at)], axis=-1)


def down_profile(profile: Profile, half: float, upper: float, lower: float) -> list[ProfileCurve]:
    """The profile of a stem from one height down to another, in pieces that part at its corners."""
    heights = [upper, *(z for z in profile.corners if lower + LEAST_PIECE < z < upper - LEAST_PIECE), lower]
    heights.sort(reverse=True)
    return [ProfileCurve(profile.batten_between(high, low), half, high, low) for high, low in pairwise(heights)]


@dataclass(frozen=True, eq=False)
class Turned:
    """A curve run the other way."""

    curve: SpaceCurve

    @property
    def first(self) -> float:
        return -self.curve.last

    @property
    def last(self) -> float:
        return -self.curve.first

    def point(self, at: Floats) -> Floats:
        return self.curve.point(-at)

    def tangent(self, at: Floats) -> Floats:
        return -self.curve.tangent(-at)


@dataclass(frozen=True, eq=False)
class _Piece:
    """One line, from one place along the boundary to another."""

    start: float
    end: float
    spline: CubicSpline  # of points over the length along the piece

    def value(self, at: Floats, order: int) -> Floats:
        return np.asarray(self.spline(at - self.start, order))


@dataclass(frozen=True, eq=False)
class _Knuckle:
    """Where two lines join at an angle: the place stands still while the tangent turns."""

    start: float
    end: float
    point: Floats  # (3,) mm
    before: Floats  # (3,) unit tangents
    after: Floats

    def value(self, at: Floats, order: int) -> Floats:
        if order == 0:
            return np.broadcast_to(self.point, (len(at), 3))
        if order > 1:
            return np.zeros((len(at), 3))
        share = ((at - self.start) / (self.end - self.start))[:, None]
        return unit((1 - share) * self.before + share * self.after)


class Boundary:
    """Lines joined end to end, by the length along them, mm; 0 is the fore end of the first.

    Past an end it runs on as its line does, or, where it ends in a point with another boundary, as it bends there.
    """

    def __init__(
        self, pieces: Sequence[SpaceCurve], *, points: tuple[Floats | None, Floats | None] = (None, None)
    ) -> None:
        """``points``: (3,) mm each, where it ends in a point fore and aft, past which nothing is known.

        A line that misses such a point by the rounding of a table is brought to it.
        """
        measured = [
            _measured(piece, points[0] if piece is pieces[0] else _NEXT, points[1] if piece is pieces[-1] else _NEXT)
            for piece in pieces
        ]
        fan = FAN * math.fsum(length for _, length in measured)
        self.pieces: tuple[_Piece, ...] = ()
        self._runs: list[_Piece | _Knuckle] = []
        at = 0.0
        for spline, length in measured:
            if self.pieces:
                before, after = unit(self.pieces[-1].value(np.array([at]), 1)[0]), unit(spline(0.0, 1))
                if np.arccos(np.clip(before @ after, -1.0, 1.0)) > KNUCKLE:
                    self._runs.append(_Knuckle(at, at + fan, np.asarray(spline(0.0)), before, after))
                    at += fan
            piece = _Piece(at, at + length, spline)
            self.pieces = (*self.pieces, piece)
            self._runs.append(piece)
            at += length
        self.length = at
        self._carried = points[0] is None, points[1] is None

    __repr__ = brief

    def point(self, at: Floats) -> Floats:
        """(n, 3) mm."""
        return self._value(at, 0)

    def tangent(self, at: Floats) -> Floats:
        """(n, 3), derivative of the point by the length: unit, but past a point it ends in."""
        return self._value(at, 1)

    def bend(self, at: Floats) -> Floats:
        """(n, 3) per mm, derivative of the tangent."""
        return self._value(at, 2)

    def on_knuckle(self, at: Floats) -> NDArray[np.bool_]:
        """(n,) where rulings fan from a knuckle."""
        found = np.zeros(len(at), dtype=bool)
        for run in self._runs:
            if isinstance(run, _Knuckle):
                found |= (at > run.start) & (at < run.end)
        return found

    def _value(self, at: Floats, order: int) -> Floats:
        fore, aft = self._carried
        held = held_between(at, -np.inf if fore else 0.0, np.inf if aft else self.length)
        found = np.empty((len(at), 3))
        for number, run in enumerate(self._runs):
            first, last = number == 0, number == len(self._runs) - 1
            own = (first | (held >= run.start)) & (last | (held < run.end))
            found[own] = run.value(held[own], order)
        past = at - held
        beyond = past != 0
        if beyond.any() and order < 2:
            share = past[beyond, None]
            tangent, bend = self._value(held[beyond], 1), self._value(held[beyond], 2)
            found[beyond] += share * tangent + share**2 * bend / 2 if order == 0 else share * bend
        return found


def _measured(curve: SpaceCurve, fore_point: Floats | None, aft_point: Floats | None) -> tuple[CubicSpline, float]:
    """A curve's points over the length along it, from its first end, and its own length.

    It is carried on past an end that is given as None, and brought to one that is given as a point.
    """
    run = curve.last - curve.first
    share = (1 - np.cos(np.linspace(0.0, np.pi, SAMPLES))) / 2
    inner = curve.point(curve.first + run * share)
    for point, away, end in ((fore_point, share, 0), (aft_point, 1 - share, -1)):
        if point is not None and point is not _NEXT:
            inner = inner + (point - inner[end]) * (np.maximum(1 - away / BROUGHT, 0.0) ** 2)[:, None]
    past = CARRIED_ON * run
    fore = np.linspace(curve.first - past, curve.first, CARRIED, endpoint=False) if fore_point is None else np.empty(0)
    aft = np.linspace(curve.last + past, curve.last, CARRIED, endpoint=False)[::-1] if aft_point is None else fore[:0]
    points = np.concatenate([curve.point(fore), inner, curve.point(aft)])
    along = run_along(points)
    # Chords fall short of the curve between points: one round of the length of the spline itself.
    spline = CubicSpline(along, points)
    nodes, weights = np.polynomial.legendre.leggauss(4)
    half = np.diff(along) / 2
    speed = lengths(spline(along[:-1, None] + half[:, None] * (1 + nodes), 1))
    along = np.concatenate([[0.0], np.cumsum((speed @ weights) * half)])
    along -= along[len(fore)]
    return CubicSpline(along, points), float(along[len(fore) + SAMPLES - 1])


def bends_out_of(boundary: Boundary, at: float, normal: Floats) -> float:
    """How fast a boundary bends toward a normal (3,) at a place, per mm."""
    return float(dots(boundary.bend(np.array([at]))[0], normal))
