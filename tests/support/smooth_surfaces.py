"""Surfaces by formulas whose faces at any depth have formulas too: sphere, tube, two planes that meet in a corner.

Nothing here is imported by the program. Lengths mm, x aft, y to starboard, z up.
"""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import dataclass

import numpy as np

from patterns.geometry.arrays import Floats, crossed, unit

STEP = 1e-5


@dataclass(frozen=True)
class At:
    """Places of a surface."""

    points: Floats
    normals: Floats
    along: Floats
    up: Floats


@dataclass(frozen=True)
class ByFormula:
    """A surface given by a formula for its points; normals by central differences."""

    formula: Callable[[Floats, Floats], Floats]
    corners: tuple[float, ...] = ()

    def places(self, u: Floats, v: Floats) -> At:
        u, v = np.broadcast_arrays(np.asarray(u, float), np.asarray(v, float))
        along = self.formula(u + STEP, v) - self.formula(u - STEP, v)
        up = self.formula(u, v + STEP) - self.formula(u, v - STEP)
        return At(self.formula(u, v), unit(crossed(up, along)), along / (2 * STEP), up / (2 * STEP))


def sphere(radius: float, first: float = -0.8, last: float = 0.8) -> ByFormula:
    """The lower starboard quarter of a sphere round the origin, between planes at shares of its radius."""

    def formula(u: Floats, v: Floats) -> Floats:
        x = radius * (first + (last - first) * u)
        size = np.sqrt(np.maximum(radius**2 - x**2, 0.0))
        return np.stack([x, size * np.sin(v * np.pi / 2), -size * np.cos(v * np.pi / 2)], axis=-1)

    return ByFormula(formula)


def bilge_tube(half: float, height: float, radius: float, length: float) -> ByFormula:
    """A trough of a level floor and an upright side, with a bilge of a radius between them, alike from end to end."""
    floor, arc, side = half - radius, radius * np.pi / 2, height - radius
    girth = floor + arc + side

    def formula(u: Floats, v: Floats) -> Floats:
        run = v * girth
        angle = np.clip((run - floor) / radius, 0.0, np.pi / 2)
        y = np.minimum(run, floor) + radius * np.sin(angle)
        z = radius * (1 - np.cos(angle)) + np.maximum(run - floor - arc, 0.0)
        return np.stack([length * u + 0 * v, y, z], axis=-1)

    return ByFormula(formula)


def wedge(half: float, height: float, length: float) -> ByFormula:
    """A hard turn at v = 1/2: a floor that rises by a tenth, then an upright side, alike from end to end."""

    def formula(u: Floats, v: Floats) -> Floats:
        out = np.minimum(2 * v, 1.0)
        up = np.maximum(2 * v - 1, 0.0)
        return np.stack([length * u, half * out, 0.1 * half * out + height * up], axis=-1)

    return ByFormula(formula, corners=(0.5,))
