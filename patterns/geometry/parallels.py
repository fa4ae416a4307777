"""Lines drawn beside an edge on a skin, at a distance measured square to it in the flat."""

from __future__ import annotations

import numpy as np

from patterns.geometry.arrays import Floats, dots, unit
from patterns.geometry.development import Flat

ROUNDS = 30
FOUND = 1e-9  # mm


def parallel_on(flat: Flat, edge: Floats, away: Floats | float) -> Floats:
    """A line beside an edge, as t on each ruling.

    Parameters
    ----------
    edge : (n,) mm
        The edge, as t on each ruling.
    away : (n,) mm, or one distance
        How far off the line runs, square to the edge in the flat, where each ruling meets the edge; positive toward
        the upper edge of the skin.

    Returns
    -------
    (n,) mm
        NaN where the edge has none, and where a ruling does not cross the line cleanly.
    """
    line = flat.middle + edge[:, None] * flat.along
    way = _along(line)
    up = np.stack([-way[:, 1], way[:, 0]], axis=1)
    beside = line + np.broadcast_to(away, edge.shape)[:, None] * up
    step = np.gradient(beside, axis=0)
    last = len(edge) - 1.0
    u = flat.ruled.numbers
    with np.errstate(invalid="ignore", divide="ignore", over="ignore"):
        for _ in range(ROUNDS):
            reach = flat.ruled.at(beside, u) - flat.middle
            off = _cross(reach, flat.along)
            if np.nanmax(np.abs(off), initial=0.0) < FOUND:
                break
            moved = u - off / _cross(flat.ruled.at(step, u), flat.along)
            u = np.clip(np.nan_to_num(moved), -last, 2 * last)
        found = np.where(np.abs(off) < 1e3 * FOUND, dots(reach, flat.along), np.nan)
    for i in np.flatnonzero(np.isnan(found) & np.isfinite(edge)):
        found[i] = _crossed(flat, beside, int(i), float(edge[i]))
    return found


def _crossed(flat: Flat, line: Floats, i: int, near: float) -> float:
    """t where one ruling crosses a line, of several places the nearest to a given one: slow, for where steps cycle."""
    reach = line - flat.middle[i]
    off, t = _cross(reach, flat.along[i : i + 1]), reach @ flat.along[i]
    at = np.flatnonzero(off[1:] * off[:-1] <= 0)
    if not len(at):
        return np.nan
    with np.errstate(invalid="ignore", divide="ignore"):
        share = np.nan_to_num(off[at] / (off[at] - off[at + 1]))
    places = t[at] + share * (t[at + 1] - t[at])
    return float(places[np.abs(places - near).argmin()])


def _along(line: Floats) -> Floats:
    """(n, 2) unit, the way a line runs; NaN where it stands still."""
    with np.errstate(invalid="ignore", divide="ignore"):
        return unit(np.gradient(line, axis=0))


def _cross(a: Floats, b: Floats) -> Floats:
    return np.asarray(a[:, 0] * b[:, 1] - a[:, 1] * b[:, 0])
