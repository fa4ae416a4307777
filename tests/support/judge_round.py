"""Round hulls by closed formula that judge the band of the skin.

Computed for this project, as `closed_round`. No constant of the band may be set on them. From which share of the depth
`thin_spots` calls the skin a guess was read off 16 of them.
"""

from __future__ import annotations

import numpy as np
from closed_round import CLOSE, ClosedRound, post, transom
from scipy.optimize import brentq

from patterns.geometry.arrays import Floats


def flared(
    half: float = 600.0, siding: float = 15.0, flare: float = 0.3, floor: float = 0.72, stem_rake: float = 22.0
) -> ClosedRound:
    """A lapstrake boat between dory and skiff: sections by Bezier cubics, a flat floor, a soft turn, flared sides.

    A raked straight stem, a narrow transom raked far, much sheer and rocker.
    """
    long, transom_rake = 4500.0, 20.0
    lean, back = float(np.tan(np.radians(stem_rake))), float(np.tan(np.radians(transom_rake)))

    def sheer(x: Floats) -> Floats:
        return 430 + 260 * (x / long - 0.55) ** 2 + 320 * np.abs(x / long - 0.55) ** 3

    def keel(x: Floats) -> Floats:
        return 35 + 150 * (x / long - 0.5) ** 2

    head = float(sheer(np.array(0.0)))

    def stem(z: Floats) -> Floats:
        return (head - z) * lean

    def section(x: Floats, p: Floats) -> tuple[Floats, Floats]:
        x, p = np.broadcast_arrays(np.asarray(x, float), np.asarray(p, float))
        low, deep = keel(x), sheer(x) - keel(x)
        b1, b2, b3 = 3 * p * (1 - p) ** 2, 3 * p**2 * (1 - p), p**3
        s = np.clip(x / long, -0.2, 1.2)
        rise = 0.07 + 0.4 * np.exp(-5 * (s + 0.2)) + 0.1 * s**3  # of the depth, by which the floor rises
        z = low + deep * (rise * b1 + (rise + 0.24) * b2 + b3)
        q = (x - stem(z)) / (long - stem(z))
        wide = half * np.sin(np.pi * 0.82 * q) * (1 - 0.18 * q**2)
        outward = np.clip(1 - flare + 0.08 * s, 0, 1)  # how far out the turn lies, of the sheer's half-breadth
        return siding + wide * (floor * outward * b1 + outward * b2 + b3), z

    forefoot = float(brentq(lambda x: x - stem(keel(np.array(x))), 0, 600))

    def begins(x: float) -> float:
        def ahead(p: float) -> float:
            return float(x - stem(section(np.array(x), np.array(p))[1]))

        return 0.0 if ahead(0.0) >= 0 else float(brentq(ahead, 0, 1, xtol=CLOSE))

    x0, z0 = long - 60, 250.0
    top, low = (
        float(brentq(lambda x, line=line: x - x0 - (float(line(np.array(x))) - z0) * back, x0 - 300, x0 + 500))
        for line in (sheer, keel)
    )
    return ClosedRound(
        section, post((0.0, head), (forefoot, float(keel(np.array(forefoot))))),
        transom((top, float(sheer(np.array(top)))), (low, float(keel(np.array(low))))),
        np.array([260.0, 700, 1150, 1650, 2150, 2650, 3150, 3600, 4050]), (110.0, 180.0, 270.0, 380.0), (180.0, 340.0),
        ((420.0, np.radians(38)), (300.0, np.radians(50))), keel_half=siding, begins=begins,
    )  # fmt: skip


def cutter(
    half: float = 950.0, siding: float = 35.0, hollowed: float = 0.24, garboard: float = 1.0, bilge: float = 0.9
) -> ClosedRound:
    """A plumb-stemmed cutter, deep, with S sections: each two conics that share a tangent where the bend turns about.

    The curvature jumps there, as where two sweeps are put together. ``garboard`` and ``bilge`` are the conics' weights.
    """
    long, rake = 6200.0, float(np.tan(np.radians(12)))

    def sheer(x: Floats) -> Floats:
        return 1030 + 300 * (x / long - 0.68) ** 2

    def keel(x: Floats) -> Floats:
        return 170 - 110 * np.clip(x / long, -0.2, 1.3) * (1 - 0.35 * x / long)

    def conic(a: Floats, b: Floats, c: Floats, weight: float, t: Floats) -> Floats:
        fore, middle, aft = (1 - t) ** 2, 2 * weight * t * (1 - t), t**2
        return (a * fore + b * middle + c * aft) / (fore + middle + aft)

    def section(x: Floats, p: Floats) -> tuple[Floats, Floats]:
        x, p = np.broadcast_arrays(np.asarray(x, float), np.asarray(p, float))
        s = x / long
        deep = sheer(x) - keel(x)
        up = hollowed * (
            1 + 0.9 * (s - 0.5) ** 2 + 0.5 * np.clip(s, 0, 1.2) ** 2
        )  # of the depth, the garboard's corner
        corner, turn = (0.08 + 0 * s, up), (1.04 + 0.02 * s, up + 0.16 + 0.3 * np.exp(-3 * s))
        share = 0.4  # between both corners, where the bend turns about
        low, high = np.clip(2 * p, 0, 1), np.clip(2 * p - 1, 0, 1)
        about, ends, tops = (
            (one + share * (two - one) for one, two in zip(corner, turn, strict=True)),
            (0.0, 0.0),
            (1.0, 1.0),
        )
        y, z = (
            np.where(p < 0.5, conic(foot, one, mid, garboard, low), conic(mid, two, top, bilge, high))
            for foot, one, mid, two, top in zip(ends, corner, about, turn, tops, strict=True)
        )
        after = np.clip((s - 0.56) / 0.44, 0, None)
        wide = half * (1 - np.clip(1 - s / 0.56, 0, None) ** 2.6) * (1 - 0.34 * after**2.6)
        return siding + wide * y, keel(x) + deep * z

    x0, z0 = long - 100, 600.0
    top, foot = (
        float(brentq(lambda x, line=line: x - x0 - (float(line(np.array(x))) - z0) * rake, x0 - 400, x0 + 400))
        for line in (sheer, keel)
    )
    return ClosedRound(
        section, post((0.0, float(sheer(np.array(0.0)))), (0.0, float(keel(np.array(0.0))))),
        transom((top, float(sheer(np.array(top)))), (foot, float(keel(np.array(foot))))),
        np.linspace(0.07, 0.92, 10) * long, (280.0, 420.0, 560.0, 720.0, 880.0), (250.0, 550.0),
        ((1000.0, np.radians(35)), (820.0, np.radians(48))), keel_half=siding,
    )  # fmt: skip


def drawn_flared(rng: np.random.Generator) -> ClosedRound:
    siding = float(rng.choice([8.0, 12.0, 18.0, 25.0]))
    return flared(rng.uniform(480, 720), siding, rng.uniform(0.2, 0.4), rng.uniform(0.6, 0.8), rng.uniform(12, 30))


def drawn_cutter(rng: np.random.Generator) -> ClosedRound:
    siding = float(rng.choice([20.0, 30.0, 45.0]))
    return cutter(
        rng.uniform(800, 1150), siding, rng.uniform(0.18, 0.3), rng.uniform(0.6, 1.3), rng.uniform(0.65, 1.3)
    )  # fmt: skip


JUDGES = {"flared": drawn_flared, "cutter": drawn_cutter}
