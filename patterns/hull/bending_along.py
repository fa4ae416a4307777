"""How the lines of a view bend, and where their curves turn."""

from __future__ import annotations

from itertools import pairwise

import numpy as np

from patterns.geometry.arrays import Floats
from patterns.hull.fairing import FairedView

PLACES = 801  # along a line, where its bending is looked at for turns
SEEN = 0.25  # mm off its chord: a shallower swing between two turns is less than half a pencil line


def places(view: FairedView, count: int) -> Floats:
    """mm from FP, evenly along a line."""
    return np.linspace(float(view.from_fp[0]), float(view.from_fp[-1]), count)


def bend(view: FairedView, x: Floats) -> Floats:
    """(n,) 1/mm, change of slope by distance, positive where a height curves upward (hollow above)."""
    return view.batten.bend(x)


def turns(view: FairedView) -> list[float]:
    """Where the curve turns from hollow to round or back, mm from FP.

    Swings too shallow to see are left out, and those shallower than the line may be out by: nobody knows of them.
    """
    x = places(view, PLACES)
    y, bending = view.batten.value(x), bend(view, x)
    # Where it is nought to the last bit, a turn may lie on that very place: it counts as bent like the place before.
    known = np.maximum.accumulate(np.where(bending != 0.0, np.arange(len(x)), 0))
    sign = np.sign(bending[known])
    cuts = [0, *(np.flatnonzero(sign[1:] * sign[:-1] < 0) + 1).tolist(), len(x) - 1]
    swings = [
        (float(x[low]), float(sign[(low + high) // 2]))
        for low, high in pairwise(cuts)
        if (swing := _off_chord(x, y, low, high))[1].max() > SEEN and (len(cuts) == 2 or _is_known(view, *swing))
    ]
    return [start for (_, before), (start, after) in pairwise(swings) if before != after]


def _off_chord(x: Floats, y: Floats, low: int, high: int) -> tuple[Floats, Floats]:
    """Places from one turn to the next, (n,) mm from FP, and how far the curve leaves the chord between them there."""
    over, part = x[low : high + 1], y[low : high + 1]
    return over, np.abs(part - np.interp(over, [over[0], over[-1]], [part[0], part[-1]]))


def _is_known(view: FairedView, over: Floats, away: Floats) -> bool:
    """Whether a swing stands further off its chord somewhere than curve and chord may be out by there.

    The chord hangs on the curve at both its ends. Also where nobody can say how far the line may be out.
    """
    band = view.band_at(over)
    chord = np.interp(over, [over[0], over[-1]], [band[0], band[-1]])
    return not bool((away < band + chord).all())
