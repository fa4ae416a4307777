"""Two rows of fastenings into one piece of wood: each of the second stands midway between two of the first."""

from __future__ import annotations

from collections.abc import Callable

import numpy as np

from patterns.geometry.arrays import Floats, run_along
from patterns.shop.router.pilots import APART, spaced

FINE = 20.0  # mm between places where the run of a line is compared with the distance from FP

FromFp = Callable[[Floats], Floats]
"""mm from FP (n,) of places (n, 2) of a pattern."""


def midway(line: Floats, from_fp: FromFp, first: Floats, spacing: float) -> Floats:
    """(k, 2) mm on a line, midway between the fastenings of another row, and as far as the line goes.

    Parameters
    ----------
    first : (n,) mm
        From FP, where the other row has its fastenings.
    spacing : float
        mm; where the line ends further than that from its last fastening, it gets one more.
    """
    run = run_along(line)
    others = _filled(np.sort(where_along(line, from_fp, first)))
    others = others[(others > -spacing) & (others < run[-1] + spacing)]
    if len(others) < 2:
        return spaced(line, spacing)
    before, after = others[1] - others[0], others[-1] - others[-2]
    all_of_them = np.concatenate([[others[0] - before], others, [others[-1] + after]])
    between = (all_of_them[1:] + all_of_them[:-1]) / 2
    between = between[(between > APART) & (between < run[-1] - APART)]
    placed = np.sort(np.concatenate([between, _at_ends(between, others, float(run[-1]), spacing)]))
    return np.stack([np.interp(placed, run, line[:, axis]) for axis in range(2)], axis=1)


def _filled(others: Floats) -> Floats:
    """Places in order, and those that are missing among them, where no wood was left to hold one."""
    if len(others) < 3:
        return others
    gaps = np.diff(others)
    usual = float(np.median(gaps))
    spaces = np.maximum(1, np.round(gaps / usual)).astype(int)
    starts = (start + gap * np.arange(n) / n for start, gap, n in zip(others, gaps, spaces, strict=False))
    return np.concatenate([*starts, others[-1:]])


def where_along(line: Floats, from_fp: FromFp, x: Floats) -> Floats:
    """(n,) mm along a line of a pattern, of distances from FP; carried on straight past both its ends."""
    run = run_along(line)
    fine = spaced(line, FINE)
    return carried_on(x, from_fp(fine), (np.arange(len(fine)) + 0.5) * run[-1] / len(fine))


def carried_on(first: Floats, x: Floats, at: Floats) -> Floats:
    """(n,) mm along a line of places so far from FP, carried on straight past both its ends."""
    order = x.argsort(kind="stable")
    x, at = x[order], at[order]
    inside = np.interp(first, x, at)
    ends = ((0, 1, first < x[0]), (-1, -2, first > x[-1]))
    for end, next_to, past in ends:
        slope = (at[end] - at[next_to]) / (x[end] - x[next_to])
        inside = np.where(past, at[end] + slope * (first - x[end]), inside)
    return np.asarray(inside)


def _at_ends(between: Floats, others: Floats, length: float, spacing: float) -> list[float]:
    """One more at either end that would be left loose: midway between the end and the other row's last."""
    more: list[float] = []
    within = others[(others > 0) & (others < length)]
    if not len(within) or not len(between):
        return more
    for gap, room, place in (
        (between[0], within[0], within[0] / 2),
        (length - between[-1], length - within[-1], (length + within[-1]) / 2),
    ):
        if gap > 0.75 * spacing and room / 2 >= APART:
            more.append(float(place))
    return more
