"""The saw against its guide: how far the shoe's edge stands from the cut, off a curve, and what a blade can follow."""

from __future__ import annotations

from dataclasses import dataclass

import numpy as np

from patterns.geometry.arrays import Floats, dots, run_along, unit
from patterns.shop.saw.saw_rules import SawRules

TILT_STEP = float(np.radians(0.5))  # what a tilt can be set to with a bevel gauge
SAME_TILT = float(np.radians(0.01))
BEARING = 10  # places looked at on either half of a shoe
THROUGH = 3.0  # mm the blade reaches below the stock: just through, common practice


def tilts_to_try(saw: SawRules) -> Floats:
    """(k,) rad, every tilt the saw can be set to with its guide distance known, from square on."""
    most = tested_to(saw) if saw.guide else saw.tilts_to
    least = saw.guide[0][0] if saw.guide else 0.0
    steps = np.arange(0.0, np.pi / 2, TILT_STEP)
    kept = steps[(steps >= least - SAME_TILT) & (steps <= most + SAME_TILT)]
    return kept if len(kept) else np.array([tilt for tilt, _ in saw.guide if tilt <= saw.tilts_to + SAME_TILT])


def tested_to(saw: SawRules) -> float:
    """rad, the largest tilt of the builder's test cuts that the saw reaches."""
    return min(saw.guide[-1][0], saw.tilts_to)


def shoe_to_cut(saw: SawRules, tilt: float) -> float | None:
    """mm from the shoe's edge to the near side of the kerf at a tilt, between the builder's test cuts.

    Raises
    ------
    ValueError
        A tilt outside the test cuts: nothing is carried on past them.
    """
    if not saw.guide:
        return None
    tilts, distances = (np.array(column) for column in zip(*saw.guide, strict=True))
    if not tilts[0] - SAME_TILT <= tilt <= tilts[-1] + SAME_TILT:
        raise ValueError(f"{np.degrees(tilt):.1f} degrees lies outside the test cuts")
    return float(np.interp(tilt, tilts, distances))


def left_normals(line: Floats) -> Floats:
    """(n, 2) unit, square to a line to its left; points evenly spaced."""
    way = unit(np.gradient(line, axis=0))
    return np.stack([-way[:, 1], way[:, 0]], axis=1)


def sags(line: Floats, over: float) -> Floats:
    """(n,) mm, how far a line lies to the right of the middle of a chord laid along it: c^2/(8R), + turning left.

    Exact for the chord between points ``over / 2`` along the line either way; past its ends the line is straight.
    """
    beside = _beside(line, over / 2, np.array([-1.0, 1.0]))[1]
    return np.asarray(beside.mean(axis=1))


def stand_off(saw: SawRules, guide: Floats, *, cut_on_left: bool) -> Floats:
    """(n,) mm the shoe's edge stands off a guide, abreast of the blade, over the guide distance of a straight one.

    A straight edge touches a hollow guide with its two ends and stands off by L^2/(8R); on a bulge it touches abreast
    of the blade if it is pressed there; from one to the other it rests on whatever bears up first. Two pins p apart
    span hollow and bulge alike: p^2/(8R), less than nothing on a bulge. The blade is taken to stand abreast of the
    middle of the shoe, or of the pins.
    """
    side = 1.0 if cut_on_left else -1.0
    if saw.pins:
        return side * sags(guide, saw.pins)
    shares = np.linspace(-1.0, 1.0, 2 * BEARING + 1)
    along, aside = _beside(guide, saw.shoe_length / 2, shares)
    behind, ahead = slice(None, BEARING), slice(BEARING + 1, None)
    u, v = along[:, behind, None], along[:, None, ahead]
    high, low = side * aside[:, behind, None], side * aside[:, None, ahead]
    bridges = (high * v - low * u) / (v - u)  # of every pair of bearing points, abreast of the blade
    return np.asarray(np.maximum(bridges.max(axis=(1, 2)), 0.0))


def _beside(line: Floats, reach: float, shares: Floats) -> tuple[Floats, Floats]:
    """(n, k) each: places along a line within reach of each point, by how far ahead and to its left they lie, mm."""
    run, left = run_along(line), left_normals(line)
    fore, aft = unit(line[0] - line[1]), unit(line[-1] - line[-2])
    long = np.concatenate([[line[0] + reach * fore], line, [line[-1] + reach * aft]])
    along = np.concatenate([[-reach], run, [run[-1] + reach]])
    at = run[:, None] + reach * shares
    away = np.stack([np.interp(at, along, long[:, k]) for k in (0, 1)], axis=-1) - line[:, None, :]
    ahead = np.stack([left[:, 1], -left[:, 0]], axis=1)
    return dots(away, ahead[:, None, :]), dots(away, left[:, None, :])


@dataclass(frozen=True, slots=True)
class BladeFit:
    """Whether a flat blade can follow a cut."""

    depth: float  # mm of blade below the shoe, in its own plane
    chord: float  # mm of the blade at the stock's upper face
    sag: float  # mm, of the cut over that chord at its tightest, square to the blade
    clearance: float  # mm, kerf minus plate
    tightest: float  # mm, radius the cut is tightest at; inf where straight
    least: float  # mm, radius under which the blade rubs
    too_deep: bool  # whether the blade does not come through the stock
    most: float  # mm of blade that the saw can put below its shoe

    @property
    def follows(self) -> bool:
        return self.sag <= self.clearance

    @property
    def freely(self) -> bool:
        """With the blade held along the cut, half the clearance lies on either side of the plate."""
        return self.sag <= self.clearance / 2


def blade_fit(saw: SawRules, cut: Floats, *, tilt: float, thickness: float) -> BladeFit:
    """The blade along a cut (n, 2), tilted, through stock of a thickness.

    A blade of radius r, d deep, has the chord 2 sqrt(2 r d - d^2); in a kerf of radius R it rubs where chord^2/(8R)
    exceeds kerf minus plate. Tilted, the kerf bends across the blade's plane by that times the cosine of the tilt.
    """
    radius, depth = saw.blade_diameter / 2, thickness / np.cos(tilt) + THROUGH
    most = min(radius, saw.deepest) if saw.deepest else radius
    chord = 2 * float(np.sqrt(max(2 * radius * min(depth, radius) - min(depth, radius) ** 2, 0.0)))
    sag = float(np.abs(sags(cut, chord)).max())
    clearance = saw.kerf - saw.plate
    radius_of_cut = chord**2 / (8 * sag) if sag > 0 else np.inf
    least = chord**2 * float(np.cos(tilt)) / (8 * clearance) if clearance > 0 else np.inf
    return BladeFit(
        depth=float(min(depth, most)),
        chord=chord,
        sag=sag * float(np.cos(tilt)),
        clearance=clearance,
        tightest=float(radius_of_cut),
        least=float(least),
        too_deep=depth - THROUGH > most,
        most=float(most),
    )


def deepest_that_follows(saw: SawRules, fit: BladeFit, *, tilt: float) -> float:
    """mm of blade below the shoe, in its plane, that still follows the tightest bend: for more passes than one."""
    chord = float(np.sqrt(8 * fit.tightest * fit.clearance / np.cos(tilt))) if fit.clearance > 0 else 0.0
    radius = saw.blade_diameter / 2
    return radius - float(np.sqrt(max(radius**2 - (chord / 2) ** 2, 0.0)))
