"""A line told by heights that runs on nearly level, as a stem does into its keel: sprung by its length, not by heights.

By heights such a line turns through a right angle within a few millimeters, and a batten sprung so swings from side to
side of it.
"""

from __future__ import annotations

from dataclasses import dataclass
from functools import lru_cache

import numpy as np
from numpy.typing import NDArray

from patterns.geometry.arrays import Floats, run_along
from patterns.geometry.battens import Batten, batten_through

ROUNDS = 4  # of taking each point's place along the line as it was sprung last
FINE = 6001  # places along it; a chord between two leaves a bend of 100 mm radius by 0.0001 mm
PAST = 0.25  # of its length that it goes on past either end as it bends there, and straight from there
DIP = 0.5  # mm that a batten may dip below a level end: a pencil line; it is taken as level there
TILT = 1e-7
STEEPEST = 1e3  # the slope of a line that lies level, by heights
REMEMBERED = 64


@dataclass(frozen=True, eq=False)
class LevelEnded:
    """Such a line: distances over heights, though both are sprung over its length."""

    across: Batten
    up: Batten
    along: Floats  # (n,) mm, places along it, rising
    heights: Floats  # (n,) mm there, rising

    def value(self, z: Floats) -> Floats:
        """Distances (...) at heights (...), mm."""
        held = np.clip(z, *self.heights[[0, -1]])
        there = self.across.value(self._along_at(held))
        return np.asarray(there + (z - held) * self.slope(held))

    def slope(self, z: Floats) -> Floats:
        s = self._along_at(np.clip(z, *self.heights[[0, -1]]))
        way, rise = self.across.slope(s), self.up.slope(s)
        return np.asarray(way / np.maximum(rise, np.abs(way) / STEEPEST))

    def between(self, low: float, high: float, count: int) -> Floats:
        """(n,) mm, rising, heights of about ``count`` places evenly along it, and both ends."""
        held = np.clip([low, high], *self.heights[[0, -1]])
        first, last = self._along_at(held).tolist()
        heights = np.interp(np.linspace(first, last, count)[1:-1], self.along, self.heights)
        return np.concatenate([[low], heights[(heights > low) & (heights < high)], [high]])

    def _along_at(self, z: Floats) -> Floats:
        after = np.clip(np.searchsorted(self.heights, z), 1, len(self.heights) - 1)
        low, high = self.heights[after - 1], self.heights[after]
        share = (z - low) / (high - low)
        return np.asarray(self.along[after - 1] + share * (self.along[after] - self.along[after - 1]))


def level_ended(points: Floats) -> LevelEnded | None:
    """The line through points (n, 2) mm, distance and height, from the lowest up; None if it would dip."""
    return _sprung(np.asarray(points, dtype=np.float64).tobytes())


@lru_cache(maxsize=REMEMBERED)
def _sprung(held: bytes) -> LevelEnded | None:
    points = np.frombuffer(held).reshape(-1, 2)
    place = run_along(points)
    for _ in range(ROUNDS):
        across, up = (batten_through(place, points[:, i]) for i in (0, 1))
        fine = np.linspace(0.0, place[-1], FINE)
        run = run_along(np.column_stack([across.value(fine), up.value(fine)]))
        place = np.interp(place, fine, run)
    across, up = (batten_through(place, points[:, i]) for i in (0, 1))
    long = float(place[-1])
    inside = np.linspace(0.0, long, FINE)
    heights = np.clip(up.value(inside), points[0, 1], points[-1, 1])
    level = np.maximum.accumulate(heights)
    if np.abs(level - up.value(inside)).max() > DIP:
        return None
    step = inside[1]
    before, after = (np.arange(1, int(PAST * FINE)) * step * sign for sign in (-1.0, 1.0))
    below = before[_going_on(up.value(before), points[0, 1], -1.0)][::-1]
    above = long + after[_going_on(up.value(long + after), points[-1, 1], 1.0)]
    # Rising by a hair all along, so that each of its places has a height of its own where it lies level.
    heights = np.concatenate([up.value(below), level, up.value(above)]) + TILT * np.concatenate([below, inside, above])
    return LevelEnded(across, up, np.concatenate([below, inside, above]), heights)


def _going_on(heights: Floats, end: float, sign: float) -> NDArray[np.bool_]:
    """Which of heights (n,) past an end go on rising (or falling) from it without a turn."""
    return np.logical_and.accumulate(np.diff(heights, prepend=end) * sign > 0.0)
