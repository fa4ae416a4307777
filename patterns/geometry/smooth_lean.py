"""How far rulings lean: the smooth lean that takes the twist out of all of them, found by Gauss-Newton."""

from __future__ import annotations

from collections.abc import Callable

import numpy as np
from scipy.linalg import solveh_banded

from patterns.geometry.arrays import Floats, held_between

SMOOTHING_ROUNDS = 60
SETTLED = 1e-9  # share of the cost; rounds that gain less change no ruling that can be seen
DAMPED = 1e-4  # the least damping once a round has overshot
NUDGE = 1e-6  # of lean, to find how fast twist changes with it

HELD, HOLD = 0.97, 1e6
"""Share of an even step by which the lean may grow from ruling to ruling, and how stiffly it is held to that."""

JUMP = 1.0  # rad; a twist that changes so much over a nudge has come round from the other side, and tells no rate

OfLean = Callable[[Floats], Floats]
"""Takes leans (n,) to a figure of each ruling (n,)."""


def smooth_lean(twist: OfLean, heed: OfLean, step: float, lean: Floats, *, pinned: Floats | None = None) -> Floats:
    """The lean that takes the twist out of every ruling, smooth where twist does not care, and nowhere running back.

    Gauss-Newton on ``sum of twist^2 + sum of (second difference of lean)^2``; with some hundreds of steps the second
    sum weighs nothing against a twist that can be cured, and decides alone where the skin is flat. Where the end of a
    ruling would run back along its curve, crossing the ruling before, a stiff penalty holds it: there rulings fan.

    Parameters
    ----------
    twist : OfLean
        rad.
    heed : OfLean
        How much the twist counts: little past the ends.
    step : float
        Between rulings, in the shares the lean is measured in.
    lean : (n,)
        To begin from.
    pinned : (n,), optional
        How stiffly each lean is held to nothing.
    """
    tie = _second_difference_bands(len(lean))
    if pinned is not None:
        tie[2] += pinned
    damping = 0.0
    cost, slope, bands = _costs(twist, heed, step, lean, tie)
    for _ in range(SMOOTHING_ROUNDS):
        damped = bands.copy()
        damped[2] += damping
        change = solveh_banded(damped, slope)
        # A long stride would leave the valley the first lean lies in.
        trial = lean + min(1.0, 0.05 / max(float(np.abs(change).max()), 1e-300)) * change
        found = _costs(twist, heed, step, trial, tie)
        if found[0] > cost:
            damping = max(4 * damping, DAMPED)
            continue
        gained = cost - found[0]
        damping = damping / 8 if damping > DAMPED else 0.0
        lean, (cost, slope, bands) = trial, found
        if np.abs(change).max() < 1e-10 or gained < SETTLED * cost:
            break
    return lean


def _costs(twist_of: OfLean, heed_of: OfLean, step: float, lean: Floats, tie: Floats) -> tuple[float, Floats, Floats]:
    """What ``smooth_lean`` minimises at a lean, half its fall along each value, and the bands of its bending."""
    heed = heed_of(lean)
    twist = heed * twist_of(lean)
    change = heed * twist_of(lean + NUDGE) - twist
    rate = np.where(np.abs(change) > JUMP, 0.0, change / NUDGE)
    grown, most = np.diff(lean), HELD * 2 * step
    over = grown - held_between(grown, -most, most)
    stiff = np.where(over != 0.0, HOLD, 0.0)
    bands = tie.copy()
    bands[2] += rate**2 + 1e-12
    bands[2, :-1] += stiff
    bands[2, 1:] += stiff
    bands[1, 1:] -= stiff
    smooth = _apply_bands(tie, lean)
    slope = -rate * twist - smooth + np.diff(HOLD * over, prepend=0.0, append=0.0)
    return float(twist @ twist + lean @ smooth + HOLD * over @ over), slope, bands


def _second_difference_bands(count: int) -> Floats:
    """(3, n) upper bands of the matrix of summed squared second differences, as ``solveh_banded`` takes them."""
    bands = np.zeros((3, count))
    for offset, weights in ((0, (1.0, 4.0, 1.0)), (1, (-2.0, -2.0)), (2, (1.0,))):
        for start, weight in enumerate(weights):
            column = np.arange(start + offset, start + offset + count - 2)
            bands[2 - offset, column] += weight
    return bands


def _apply_bands(bands: Floats, values: Floats) -> Floats:
    """The banded symmetric matrix times values."""
    product = bands[2] * values
    for offset in (1, 2):
        band = bands[2 - offset, offset:]
        product[:-offset] += band * values[offset:]
        product[offset:] += band * values[:-offset]
    return np.asarray(product)
