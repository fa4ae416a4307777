"""Which rulings a strake gets where two pairings of its lines come near to a sheet."""

from __future__ import annotations

from dataclasses import dataclass

import numpy as np
from boats import Floats, unit

from patterns.geometry.rulings import lay_rulings
from patterns.hull.planking.lay_strakes import lay_between

APEX = np.array([6644.0, -599.0, -586.0])  # mm; far aft of the boat and low, so that rulings lean far along it


def parabola(u: Floats) -> Floats:
    """(n, 3) mm, a sheer that is a parabola in both views."""
    return np.stack([u, 600 - 800 * ((u - 1500) / 3000) ** 2, 400 + 150 * ((u - 1500) / 1500) ** 2], axis=-1)


@dataclass(frozen=True)
class OnCone:
    """The parabola drawn toward the apex of a cone, by distance from FP."""

    share: float  # of the way from the apex to the parabola
    first: float
    last: float

    def _u(self, at: Floats) -> Floats:
        return np.asarray((at - (1 - self.share) * APEX[0]) / self.share)

    def point(self, at: Floats) -> Floats:
        return np.asarray(APEX + self.share * (parabola(self._u(np.asarray(at))) - APEX))

    def tangent(self, at: Floats) -> Floats:
        u = self._u(np.asarray(at))
        slopes = -2 * 800 * (u - 1500) / 3000**2, 300 * (u - 1500) / 1500**2
        return unit(np.stack([np.ones_like(u), *slopes], axis=-1))


def test_rulings_that_lean_are_taken_where_those_straight_across_would_twist_a_little() -> None:
    """Both lines lie on one cone, which has no twist; straight across it a sheet would be twisted 4.9 degrees."""
    upper, lower = OnCone(1.0, 0.0, 3000.0), OnCone(0.84, 250.0, 2850.0)
    assert np.degrees(np.abs(lay_rulings(upper, lower).twist).max()) > 0.5
    ruled = lay_between(upper, lower)
    ends = ruled.points(-ruled.reach, 0.0)[:, 0], ruled.points(ruled.reach, 0.0)[:, 0]
    kept = (ends[0] > upper.first) & (ends[0] < upper.last) & (ends[1] > lower.first) & (ends[1] < lower.last)
    assert kept.sum() > 100
    assert np.degrees(np.abs(ruled.twist[kept]).max()) < 0.01
    # A ray from the apex through any place of the skin meets the parabola.
    ways = ruled.middle[kept] - APEX
    x, z = ways[:, 0] / ways[:, 1], ways[:, 2] / ways[:, 1]
    u = np.linspace(-400, 3600, 80001)
    curve = parabola(u) - APEX
    gap = np.hypot(
        curve[None, :, 0] / curve[None, :, 1] - x[::20, None], curve[None, :, 2] / curve[None, :, 1] - z[::20, None]
    )
    assert (gap.min(axis=1) * np.abs(ways[::20, 1])).max() < 0.1
