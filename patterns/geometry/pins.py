"""Where to drive the pins for a batten, so that the curve it takes through them is the curve wanted."""

from __future__ import annotations

from collections.abc import Sequence

import numpy as np
import shapely
from scipy.linalg.lapack import dgtsv

from patterns.geometry.arrays import Floats, lengths, run_along, unit

SHARP = np.cos(np.radians(15.0))  # a line turning more than this in one point has a corner there; no batten does that
BETWEEN = 8  # places looked at between two pins
_SHARES = np.arange(BETWEEN) / BETWEEN
MOST = 200  # pins in one run; a curve that asks for more is no batten's
STRAIGHT = 0.05  # mm; a run that leaves its chord by less is drawn with a straightedge


def sprung(pins: Floats) -> Floats:
    """(m, 2) mm, the curve a batten takes through pins (n, 2), its ends free.

    Source: the natural cubic spline, which is the thin elastic rod of least bending for small slopes; over the chords'
    running length here, so that it may lie any way (C. de Boor, A Practical Guide to Splines, 1978, ch. IV).
    """
    if len(pins) < 3:
        return pins
    chord = pins[1:] - pins[:-1]
    step = lengths(chord)[:, None]
    slopes = _slopes(step, chord / step)
    start, end = step * slopes[:-1], step * slopes[1:]
    # Hermite's form between each two pins; what it asks of a share of the way is the same everywhere.
    t = _SHARES[:, None, None]
    between = pins[:-1] + t * t * (3 - 2 * t) * chord + t * (1 - t) * ((1 - t) * start - t * end)
    return np.concatenate([between.swapaxes(0, 1).reshape(-1, 2), pins[-1:]])


def _slopes(step: Floats, rise: Floats) -> Floats:
    """(n, 2) slopes at the pins of the natural cubic spline, by steps (n - 1, 1) and slopes (n - 1, 2) between them."""
    h = step[:, 0]
    below, above = np.append(h[1:], 1.0), np.append(1.0, h[:-1])
    middle = np.concatenate([[2.0], 2 * (h[1:] + h[:-1]), [2.0]])
    wanted = 3 * np.concatenate([rise[:1], step[1:] * rise[:-1] + step[:-1] * rise[1:], rise[-1:]])
    *_, slopes, _ = dgtsv(below, middle, above, wanted)
    return np.asarray(slopes)


def smooth_runs(line: Floats) -> list[Floats]:
    """A line in parts, cut at its corners."""
    ways = unit(np.diff(line, axis=0))
    corners = np.flatnonzero((ways[:-1] * ways[1:]).sum(axis=1) < SHARP) + 1
    starts, ends = [0, *corners.tolist()], [*corners.tolist(), len(line) - 1]
    return [line[start : end + 1] for start, end in zip(starts, ends, strict=True)]


def pins_for(run: Floats, *, within: float, steps: Sequence[float]) -> Floats:
    """Places (k, 2) on a smooth run through which a batten follows it, both its ends among them.

    Parameters
    ----------
    within : float
        mm, how far the batten may leave the run.
    steps : mm, from the longest
        Round lengths of the tape. Pins stand at whole multiples of them, never further apart than the longest.
    """
    chord = run[-1] - run[0]
    size = float(lengths(chord))
    aside = (run - run[0]) @ np.array([-chord[1], chord[0]]) / max(size, 1e-9)
    if 0.0 < size < 2 * steps[0] and np.abs(aside).max() < STRAIGHT:
        return run[[0, -1]]
    axis = int(np.abs(chord[1]) > np.abs(chord[0]))
    rising = np.diff(run[:, axis]) * np.sign(chord[axis])
    # Where a run turns back on itself no measure along it names one place: its own length does.
    measure = run[:, axis] * np.sign(chord[axis]) if (rising > 0).all() else run_along(run)
    at = _first_pins(float(measure[0]), float(measure[-1]), steps)
    wanted = shapely.LineString(run)
    while True:
        pins = np.stack([np.interp(at, measure, run[:, column]) for column in range(2)], axis=1)
        off = shapely.distance(shapely.points(sprung(pins)), wanted) if len(pins) > 2 else np.abs(aside)
        far = np.maximum.reduceat(off, np.arange(len(at) - 1) * BETWEEN if len(pins) > 2 else [0]) > within
        if not far.any() or len(at) > MOST:
            return pins
        at = np.sort(np.append(at, [_between(at[i], at[i + 1], steps) for i in np.flatnonzero(far)]))


def _first_pins(first: float, last: float, steps: Sequence[float]) -> Floats:
    step = steps[0]
    inner = step * np.arange(np.ceil(first / step), np.floor(last / step) + 1)
    clear = (inner > first + step / 8) & (inner < last - step / 8)
    return np.concatenate([[first], inner[clear], [last]])


def _between(first: float, last: float, steps: Sequence[float]) -> float:
    """The roundest length about half way."""
    middle, spare = (first + last) / 2, (last - first) / 5
    for step in steps:
        nearest = step * np.round(middle / step)
        if abs(nearest - middle) <= spare:
            return float(nearest)
    return middle
