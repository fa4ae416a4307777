"""A flat-bottomed hull of two chines whose strakes are planes: each figure of it follows from three planes."""

from __future__ import annotations

from dataclasses import dataclass

import numpy as np
from boats import ExactLine, Flat, Floats, LineOn, unit
from scipy.optimize import brentq

from patterns.hull.build import Joint, LinesTo, Planking, Skin, Stem, Transom
from patterns.hull.planking.skin import Hull, plank

STEM = np.array([[0.0, 600.0], [160.0, -60.0]])
TRANSOM = np.array([[3400.0, 600.0], [3300.0, -60.0]])
THICK = (6.0, 8.0, 10.0)  # mm, of upper side, lower side and bottom


def leaning(flare: float, sweep: float, half: float) -> Flat:
    """A plane that flares and sweeps by degrees, ``half`` mm off the centre plane at x = 0 and base."""
    f, s = np.tan(np.radians([flare, sweep]))
    return Flat(np.array([0.0, half, 0.0]), unit(np.array([-s, 1.0, -f])))


UPPER, LOWER = leaning(12.0, 8.0, 160.0), leaning(48.0, 8.5, 40.0)


@dataclass(frozen=True, eq=False)
class Crossing:
    """The straight line two planes meet in; stands in for a sprung line."""

    upper: Flat
    lower: Flat
    first: float
    last: float

    def point(self, at: Floats) -> Floats:
        x = np.asarray(at, dtype=float)
        rows = np.stack([self.upper.outward[1:], self.lower.outward[1:]])
        right = [plane.origin @ plane.outward - plane.outward[0] * x for plane in (self.upper, self.lower)]
        y, z = np.linalg.solve(rows, np.stack([right[0].ravel(), right[1].ravel()])).reshape(2, *x.shape)
        return np.stack([x, y, z], axis=-1)

    def tangent(self, at: Floats) -> Floats:
        way = self.point(np.array(1.0)) - self.point(np.array(0.0))
        return np.broadcast_to(way, (*np.shape(at), 3))

    @property
    def breadth(self) -> Crossing:
        return self

    def value(self, at: Floats) -> Floats:
        return self.point(at)[..., 1]


def on_profile(height: object, profile: Floats) -> float:
    (x0, z0), (x1, z1) = profile
    return float(brentq(lambda x: x - (x0 + (height(np.array(x)) - z0) * (x1 - x0) / (z1 - z0)), -2e3, 6e3))  # type: ignore[operator]


def two_chined(laps: tuple[Joint, Joint], above: Flat = UPPER, below: Flat = LOWER) -> Hull:
    """Planked: a sheer and a lowest chine of given heights, the other chine where the planes cross."""

    def level(low: float, rise: float) -> object:
        return lambda x: low + rise * ((np.asarray(x) - 1900.0) / 1900.0) ** 2

    lines = []
    for name, plane, height in (("sheer", above, level(470.0, 60.0)), ("chine 2", below, level(20.0, 30.0))):
        first, last = (on_profile(height, profile) for profile in (STEM, TRANSOM))
        lines.append(ExactLine(name, LineOn(plane, height, first, last)))  # type: ignore[arg-type]
    free = Crossing(above, below, 0.0, 1.0)
    first, last = (on_profile(lambda x: free.point(x)[..., 2], profile) for profile in (STEM, TRANSOM))
    between = ExactLine("chine 1", Crossing(above, below, first, last))  # type: ignore[arg-type]
    skin = Skin(LinesTo.OUTSIDE, tuple(Planking(mm, "plywood") for mm in THICK), laps)
    ends = Stem(STEM, sided=700.0, moulded=80.0), Transom(TRANSOM, 18.0, 30.0, "plywood")
    return plank((lines[0], between, lines[1]), skin=skin, fore=ends[0], aft=ends[1])  # type: ignore[arg-type]
