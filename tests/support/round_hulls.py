"""Tables of round-bilged hulls by closed formula: no figure of them is wrong but by its rounding.

Two families: half-breadths parabolic along and athwart, as Wigley's hull has them (W. C. S. Wigley, "A comparison of
experiment and calculated wave-profiles and wave-resistances for a form having parabolic waterlines", Proc. Royal
Society A 144, 1934), here with sheer and rocker; and an ellipsoid cut by upright transoms.
"""

from __future__ import annotations

from dataclasses import dataclass

import numpy as np

from patterns.geometry.arrays import Floats
from patterns.hull.build import End, Stem, Transom
from patterns.hull.offsets import OffsetRow, Offsets

STATIONS = 9


@dataclass(frozen=True)
class RoundBoat:
    offsets: Offsets
    fore: End
    aft: End


def parabolic(rng: np.random.Generator, step: float = 1.0) -> RoundBoat:
    """Pointed both ends, upright posts."""
    length, breadth, depth = float(rng.integers(3000, 6000)), rng.uniform(400, 800), rng.uniform(350, 600)
    sheer, rocker, siding = rng.uniform(0, 150), rng.uniform(0, 60), rng.uniform(10, 25)

    def section(x: Floats) -> tuple[Floats, Floats]:
        u, p = 2 * x / length - 1, np.linspace(0, 1, 2001)[:, None]
        low, high = rocker * u**2, depth + sheer * u**2
        return siding + breadth * (1 - u**2) * (1 - (1 - p) ** 2), low + (high - low) * p

    top, foot = depth + sheer, rocker
    fore, aft = (Stem(np.array([[x, top], [x, foot]]), sided=2 * siding, moulded=60.0) for x in (0.0, length))
    return RoundBoat(_table(section, length, step, ("stem", "sternpost"), first=0.0), fore, aft)


def ellipsoid(rng: np.random.Generator, step: float = 1.0) -> RoundBoat:
    """A slice of an ellipsoid between two upright transoms, its sheer level."""
    length, breadth, depth = float(rng.integers(3000, 6000)), rng.uniform(500, 800), rng.uniform(350, 550)
    half = length * rng.uniform(0.6, 0.8)

    def section(x: Floats) -> tuple[Floats, Floats]:
        size, angle = np.sqrt(1 - ((x - length / 2) / half) ** 2), np.linspace(0, np.pi / 2, 2001)[:, None]
        return breadth * size * np.sin(angle), depth * (1.05 - size * np.cos(angle))

    feet = section(np.array([0.0, length]))[1][0]
    top = 1.05 * depth
    fore, aft = (
        Transom(np.array([[x, top], [x, foot]]), thickness=18.0, crown=0.0, material="")
        for x, foot in zip((0.0, length), feet.tolist(), strict=True)
    )
    return RoundBoat(_table(section, length, step, ("bow transom", "transom"), first=None), fore, aft)


def _table(section, length: float, step: float, ends: tuple[str, str], first: float | None) -> Offsets:  # type: ignore[no-untyped-def]
    """Sheer, keel, four waterlines, two buttocks and a diagonal, each figure rounded to ``step``."""
    stations = np.round(np.linspace(0, length, STATIONS + 2), 0)
    y, z = section(stations)
    low, high = z[0].max(), z[-1].min()
    levels = np.round(low + (high - low) * np.array([0.15, 0.35, 0.6, 0.85]), 0)
    breadths = np.round(y[-1].max() * np.array([0.3, 0.6]), 0)

    def rounded(values: Floats) -> Floats:
        return np.round(values / step) * step

    def crossing(signed: Floats, measured: Floats) -> Floats:
        """What is measured where each station's section first crosses nought; NaN where it does not."""
        found = np.full(signed.shape[1], np.nan)
        for i, (g, m) in enumerate(zip(signed.T, measured.T, strict=True)):
            at = np.flatnonzero((g[:-1] < 0) != (g[1:] < 0))
            if len(at):
                k = at[0]
                found[i] = m[k] - g[k] * (m[k + 1] - m[k]) / (g[k + 1] - g[k])
        if first is not None:
            found[[0, -1]] = np.nan
        return rounded(found)

    apex, slope = float(high), np.radians(40)
    along = y * np.cos(slope) - (z - apex) * np.sin(slope)
    heights = [OffsetRow("sheer", rounded(z[-1])), OffsetRow("keel", rounded(z[0]))]
    heights += [OffsetRow(f"buttock {b:g}", crossing(y - b, z)) for b in breadths]
    halves = [OffsetRow("sheer", rounded(y[-1])), OffsetRow("keel", rounded(y[0]))]
    halves += [OffsetRow(f"waterline {w:g}", crossing(z - w, y)) for w in levels]
    halves.append(OffsetRow("diagonal A", crossing((z - apex) * np.cos(slope) + y * np.sin(slope), along)))
    from_fp = np.r_[np.nan, stations[1:-1], np.nan]
    columns = (ends[0], *map(str, range(1, STATIONS + 1)), ends[1])
    return Offsets(columns, from_fp, tuple(heights), tuple(halves), rounding=step)
