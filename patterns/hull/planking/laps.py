"""Lapped strakes: each lies on the outside of the one below along its upper edge, and fades flush with it at the ends.

The lines are the corners of the moulds, on the inside of the planking. The strake below ends square at its line. The
one above has its inside face through its own upper line and through the lap line: the line on the outside of the strake
below, so far down from its edge as the lap is wide. To bear all over the lap the strake below is planed there by the
angle between both faces. Toward the ends of the boat the lap fades over the gain: there more is planed off the strake
below, and the inside of the one above as well, until at the very end both lie flush.
"""

from __future__ import annotations

from dataclasses import dataclass

import numpy as np
from scipy.interpolate import CubicSpline

from patterns.errors import ShapeError
from patterns.geometry.arrays import Floats, crossed, held_between, interpolated, lengths, unit
from patterns.geometry.cuts import Profile
from patterns.geometry.ruled import Ruled
from patterns.geometry.short_repr import brief
from patterns.hull.build import Lap
from patterns.hull.planking.strakes import Strake


@dataclass(frozen=True, eq=False)
class LapLine:
    """The line a lapped strake's lower edge lies on, by distance from FP."""

    first: float  # mm from FP, where it meets the fore end of the boat
    last: float
    spline: CubicSpline  # (y, z) over x
    known: tuple[float, float]  # mm from FP; beyond it runs on straight

    __repr__ = brief

    def point(self, at: Floats) -> Floats:
        held = held_between(at, *self.known)
        past = np.asarray(at - held)[..., None] * self.spline(held, 1)
        return np.concatenate([np.asarray(at)[..., None], self.spline(held) + past], axis=-1)

    def tangent(self, at: Floats) -> Floats:
        slope = self.spline(held_between(at, *self.known), 1)
        return np.concatenate([np.ones((*np.shape(at), 1)), slope], axis=-1)


def lap_line(below: Strake, lap: Lap, profiles: tuple[Profile, Profile]) -> LapLine:
    """Where a strake lies on the outside of the one below with the end of its inside face, before the lap fades.

    Raises
    ------
    ShapeError
        A strake below that is too short for its laps to fade.
    """
    points = below.ruled.points(lap_below_edge(below, lap), below.outside)
    first, last = line_ends(points, profiles)
    if last - first < 2 * lap.gain:
        told = f"{below.name} planking: its upper edge is {{}} long, too short for a gain of {{}} at each end"
        raise ShapeError(f"{told}; expected a shorter gain in [laps]", last - first, lap.gain)
    order = points[:, 0].argsort(kind="stable")
    kept = order[np.concatenate([[True], np.diff(points[order, 0]) > 1e-6])]
    x = points[kept, 0]
    return LapLine(first, last, CubicSpline(x, points[kept, 1:]), (float(x[0]), float(x[-1])))


def faded(ruled: Ruled, below: Strake, lap: Lap, thickness: float, profiles: tuple[Profile, Profile]) -> Ruled:
    """A strake of a thickness, mm, laid to the lap line, brought flush with the one below toward the ends of the boat.

    Its rulings keep their places: their lower ends sink into the strake below, which is planed away for them, by as
    much as both are planed together. That is planing, not bending, so that it twists and lengthens nothing.
    """
    if not lap.gain:
        return ruled
    top, bottom = (ruled.points(sign * ruled.reach, 0.0) for sign in (-1.0, 1.0))
    line = below.ruled.points(-below.ruled.reach, 0.0)
    lapped = below.ruled.points(lap_below_edge(below, lap), below.outside)[:, 0]
    flush = gained(line[:, 0], line_ends(line, profiles), lap)[:, None]
    share, facing = (interpolated(bottom[:, 0], lapped, rows) for rows in (flush, below.ruled.normal))
    bottom = bottom - thickness * share * unit(facing)
    along, middle = bottom - top, (top + bottom) / 2
    normal = unit(crossed(np.gradient(middle, axis=0), along))
    return Ruled(middle, unit(along), normal, lengths(along) / 2, ruled.twist)


def lap_below_edge(below: Strake, lap: Lap) -> Floats:
    """(n,) mm along the rulings of a strake, where the one lapped over it ends: so far down from its upper edge."""
    ruled = below.ruled
    away = unit(np.gradient(ruled.points(-ruled.reach, 0.0), axis=0))
    return np.asarray(-ruled.reach + lap.width / lengths(crossed(ruled.along, away)))


def gained(x: Floats, ends: tuple[float, float], lap: Lap) -> Floats:
    """(n,) from 0 where the lap is whole to 1 where it has faded flush, smoothly, at distances from FP."""
    if not lap.gain:
        return np.zeros_like(x)
    near = np.minimum(x - ends[0], ends[1] - x)
    share = held_between(1.0 - near / lap.gain, 0.0, 1.0)
    return np.asarray(share**2 * (3 - 2 * share))


def line_ends(points: Floats, profiles: tuple[Profile, Profile]) -> tuple[float, float]:
    """mm from FP, where a line (n, 3) meets the fore and the after end."""
    order = points[:, 0].argsort(kind="stable")
    x = points[order, 0]
    fore, aft = (np.maximum.accumulate(profile.signed(points[order])) for profile in profiles)
    return float(np.interp(0.0, fore, x)), float(np.interp(0.0, aft, x))
