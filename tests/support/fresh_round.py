"""Round hulls by closed formula, unlike those that the thresholds of doubts of round hulls were set on.

Computed for this project, as `closed_round`. The band's constants are set on these too; `judge_round` has hulls that
nothing is set on.
"""

from __future__ import annotations

import numpy as np
from closed_round import CLOSE, ClosedRound, post, transom
from scipy.optimize import brentq

from patterns.geometry.arrays import Floats


def launch(
    half: float = 640.0, siding: float = 20.0, tumble: float = 0.12, floor: float = 3.0, fine: float = 4.0
) -> ClosedRound:
    """A plumb stem, V sections forward that turn to a flat floor aft, tumblehome there, an upright transom."""
    long = 5000.0

    def section(x: Floats, p: Floats) -> tuple[Floats, Floats]:
        s = np.asarray(x) / long
        turn = p * np.pi / 2
        power = 2.0 + (floor - 2.0) * s**2 * (3 - 2 * s)
        r = (np.cos(turn) ** power + np.sin(turn) ** power) ** (-1 / power)
        dead = 0.55 * np.exp(-2.2 * s)  # how much of the height rises straight from the rabbet
        low, high = 90 * s**2 + 20 * s, 660 - 150 * s * (2 - s)
        z = low + (high - low) * ((1 - dead) * (1 - r * np.cos(turn)) + dead * p)
        wide = half * (1 - np.exp(-fine * s)) * (1 - 0.16 * s**3)
        round_, straight = r * np.sin(turn), p * (1.25 - 0.25 * p)
        y = wide * ((1 - dead) * round_ + dead * straight) * (1 - tumble * s**2 * p**4)
        return siding + y, z

    tops = [float(section(np.array(x), np.array(1.0))[1]) for x in (0.0, long)]
    feet = [float(section(np.array(x), np.array(0.0))[1]) for x in (0.0, long)]
    return ClosedRound(
        section, post((0.0, tops[0]), (0.0, feet[0])), transom((long, tops[1]), (long, feet[1])),
        np.array([350.0, 900, 1450, 2000, 2550, 3100, 3650, 4200, 4650]), (120.0, 200.0, 300.0, 420.0),
        (200.0, 420.0), ((520.0, np.radians(35)), (400.0, np.radians(48))), keel_half=siding,
    )  # fmt: skip


def wineglass(half: float = 560.0, siding: float = 15.0, reverse: float = 0.85, rake: float = 18.0) -> ClosedRound:
    """V sections forward, arcs amidships, a deep reverse curve aft; a raked heart of a transom, an upright stem."""
    long = 3900.0

    def keel(x: Floats) -> Floats:
        return 25 + 70 * np.clip(x / long, -0.2, 1.4) ** 3

    def sheer(x: Floats) -> Floats:
        return 470 + 120 * (x / long - 0.6) ** 2 + 60 * (x / long - 0.6) ** 4

    def section(x: Floats, p: Floats) -> tuple[Floats, Floats]:
        s = np.asarray(x) / long
        back = reverse * (0.12 + 0.88 * s**3)  # how much of the section is a reverse curve
        vee = 0.6 * np.exp(-3 * s)  # how much of its height rises straight from the rabbet
        rise, wave = np.sin(p * np.pi / 2), 0.5 - 0.5 * np.cos(np.pi * p)
        straight = 0.75 * back + 0.8 * vee
        z = keel(x) + (sheer(x) - keel(x)) * ((1 - straight) * (1 - np.cos(p * np.pi / 2)) + straight * p)
        wide = half * (1 - (1 - s / 0.58) ** 2) * (1 + 0.42 * s**2) * (1 - 0.3 * np.exp(-9 * s))
        return siding + wide * ((1 - back) * rise + back * wave), z

    lean = float(np.tan(np.radians(rake)))
    foot = float(brentq(lambda x: x - (long - 120) - (float(keel(np.array(x))) - 95) * lean, long - 300, long + 300))
    head = float(brentq(lambda x: x - (long - 120) - (float(sheer(np.array(x))) - 95) * lean, long - 300, long + 500))
    tops, feet = (float(sheer(np.array(0.0))), float(sheer(np.array(head)))), (25.0, float(keel(np.array(foot))))
    return ClosedRound(
        section, post((0.0, tops[0]), (0.0, feet[0])), transom((head, tops[1]), (foot, feet[1])),
        np.array([300.0, 700, 1100, 1500, 1900, 2300, 2700, 3100, 3500]), (90.0, 160.0, 240.0, 350.0),
        (150.0, 300.0), ((430.0, np.radians(33)), (330.0, np.radians(48))), keel_half=siding,
    )  # fmt: skip


def full_canoe(half: float = 430.0, siding: float = 10.0, full: float = 5.0, tumble: float = 0.3) -> ClosedRound:
    """Pointed both ends on steep posts, its waterlines very full there, a flat round bottom, tumblehome amidships."""
    long, fore_foot, aft_foot = 4700.0, 90.0, 4620.0

    def sheer(x: Floats) -> Floats:
        return 320 + 190 * (2 * x / long - 1) ** 4 + 30 * (2 * x / long - 1) ** 2

    def keel(x: Floats) -> Floats:
        return 15 + 35 * (2 * x / long - 1) ** 2

    heads = [float(sheer(np.array(x))) for x in (0.0, long)]
    feet = [float(keel(np.array(x))) for x in (fore_foot, aft_foot)]

    def q_of(x: Floats, z: Floats) -> Floats:
        fore = fore_foot * (heads[0] - z) / (heads[0] - feet[0])
        aft = long - (long - aft_foot) * (heads[1] - z) / (heads[1] - feet[1])
        return np.asarray((x - fore) / (aft - fore))

    def section(x: Floats, p: Floats) -> tuple[Floats, Floats]:
        middle = 1 - (2 * np.asarray(x) / long - 1) ** 2
        turn = p * np.pi / 2
        power = 2.0 + 0.5 * middle
        r = (np.cos(turn) ** power + np.sin(turn) ** power) ** (-1 / power)
        share = 0.35 - 0.3 * middle
        z = keel(x) + (sheer(x) - keel(x)) * ((1 - share) * (1 - r * np.cos(turn)) + share * p)
        t = 2 * q_of(x, z) - 1
        wide = half * (1 - np.abs(t) ** full)
        return siding + wide * ((1 - share) * r * np.sin(turn) + share * p) * (1 + tumble * middle * p * (1 - p)), z

    def begins(x: float) -> float:
        def inside(p: float) -> float:
            q = float(q_of(np.array(x), section(np.array(x), np.array(p))[1]))
            return q if x < long / 2 else 1 - q

        return 0.0 if inside(0.0) >= 0 else float(brentq(inside, 0, 1, xtol=CLOSE))

    return ClosedRound(
        section, post((0.0, heads[0]), (fore_foot, feet[0])), post((long, heads[1]), (aft_foot, feet[1])),
        np.array([250.0, 650, 1150, 1750, 2350, 2950, 3550, 4050, 4450]), (70.0, 120.0, 190.0, 270.0),
        (130.0, 280.0), ((300.0, np.radians(30)), (250.0, np.radians(45))), keel_half=siding, begins=begins,
    )  # fmt: skip


def near_keel(
    half: float = 560.0,
    siding: float = 15.0,
    turn: float = -0.5,
    at: float = 0.1,
    tight: float = 0.04,
    share: float = 0.5,
) -> ClosedRound:
    """Upright ends, sections that turn within a narrow strip close to the rabbet, where a table rarely has figures.

    ``turn`` is how much steeper (or less steep) they go on, of the depth, ``at`` of the breadth; ``tight`` how narrow
    the strip is.
    """  # fmt: skip
    long = 4400.0

    def rounded_corner(t: Floats) -> Floats:
        return tight * (np.logaddexp(0, (t - at) / tight) - np.logaddexp(0, -at / tight))

    def section(x: Floats, p: Floats) -> tuple[Floats, Floats]:
        s = np.asarray(x) / long
        low, high = 40 + 60 * (s - 0.45) ** 2, 480 + 130 * (s - 0.6) ** 2
        t = np.sin(p * np.pi / 2)
        bump = rounded_corner(t) - t * rounded_corner(np.array(1.0))
        arc = (1 - share) * (1 - np.cos(p * np.pi / 2)) + share * (0.6 * p + 0.4 * t)
        z = low + (high - low) * (arc + turn * bump * (0.7 + 0.3 * s))
        wide = half * (1 - (1 - s / 0.6) ** 2 * np.where(s < 0.6, 1, 0.55))
        return siding + wide * t * (1 + 0.1 * p * s), z

    tops = [float(section(np.array(x), np.array(1.0))[1]) for x in (0.0, long)]
    feet = [float(section(np.array(x), np.array(0.0))[1]) for x in (0.0, long)]
    return ClosedRound(
        section, post((0.0, tops[0]), (0.0, feet[0])), transom((long, tops[1]), (long, feet[1])),
        np.array([300.0, 750, 1200, 1700, 2200, 2700, 3200, 3650, 4100]), (100.0, 170.0, 260.0, 360.0),
        (150.0, 320.0), ((430.0, np.radians(33)), (330.0, np.radians(48))), keel_half=siding,
    )  # fmt: skip


def _siding(rng: np.random.Generator) -> float:
    return float(rng.choice([8.0, 12.0, 18.0, 25.0]))


def drawn_launch(rng: np.random.Generator) -> ClosedRound:
    return launch(rng.uniform(480, 760), _siding(rng), rng.uniform(0, 0.2), rng.uniform(2.2, 3.2), rng.uniform(2.5, 5))


def drawn_wineglass(rng: np.random.Generator) -> ClosedRound:
    return wineglass(rng.uniform(420, 680), _siding(rng), rng.uniform(0.5, 0.95), rng.uniform(5, 25))


def drawn_canoe(rng: np.random.Generator) -> ClosedRound:
    return full_canoe(rng.uniform(340, 520), _siding(rng), rng.uniform(4, 6.5), rng.uniform(0, 0.4))


def drawn_near_keel(rng: np.random.Generator) -> ClosedRound:
    turn = rng.uniform(-0.7, -0.3) if rng.integers(2) else rng.uniform(0.15, 0.3)
    return near_keel(
        rng.uniform(450, 650), _siding(rng), turn, rng.uniform(0.06, 0.18), rng.uniform(0.03, 0.06),
        rng.uniform(0.4, 0.6),
    )  # fmt: skip


FRESH = {
    "launch": drawn_launch, "wineglass": drawn_wineglass, "full canoe": drawn_canoe, "near keel": drawn_near_keel,
}  # fmt: skip
