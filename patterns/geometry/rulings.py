"""Rulings between two space curves: the straight lines a bent sheet takes between its edges.

Sources: C. Wang and K. Tang, Optimal boundary triangulations of an interpolating ruled surface, J. Comput. Inf.
Sci. Eng. 5(4), 2005, for the first pairing; P. Bo, Y. Zheng and C. Zhang, Smooth quasi-developable surfaces bounded
by smooth curves, arXiv:1905.07518, for the idea of making it a smooth monotone one.
"""

from __future__ import annotations

import numpy as np
from numpy.typing import NDArray

from patterns.geometry.arrays import Floats, crossed, dots, held_between, lengths, unit
from patterns.geometry.curves import SpaceCurve
from patterns.geometry.ruled import Ruled
from patterns.geometry.smooth_lean import smooth_lean

PAST_ENDS = 0.15
"""How far, in lengths of the curve, the skin is continued past each end so that faces can be trimmed."""

FURTHER = (0.0, 0.15, 0.35)
"""Shares of the continued curves by which the rulings are laid on further, where they lean so much at an end that one
edge would not be covered."""

COVERED_PAST = 0.05
"""How far past its ends, in lengths of the curve, each edge must be met by rulings."""

COARSE = 56
"""Points on each curve for the pairing by triangles; the smooth one needs it only to fall into the right valley."""

LEAN_COST = 1e-6
"""Breaks ties where the surface is flat and any pairing bends it equally: rulings stand square to the edges."""

STANDS = 0.01
"""Of an even step: an edge along which rulings step less stands still, and they fan."""

HEEDED, FORGOTTEN, LEAST_HEED = 0.02, 0.08, 0.2
"""How far past an end, in lengths of the curve, twist counts as much as between the ends, from where it counts least,
and how much that is: what is trimmed off shall not govern what is kept."""

CURED = 1e-4
"""rad; rulings that twist less than this everywhere are those of a developable skin."""


def lay_rulings(upper: SpaceCurve, lower: SpaceCurve, *, count: int = 640) -> Ruled:
    """The ruled surface between two curves that a sheet bends to most easily.

    Parameters
    ----------
    upper, lower : SpaceCurve
        Run side by side from fore to aft.
    count : int
        Rulings laid, at even steps along both edges together, ends and a little past them.

    Returns
    -------
    Ruled
        Rulings run from the upper curve to the lower; normals point to the side of ``tangent x ruling``.
    """
    for further in FURTHER:
        steps = np.linspace(-further, 1.0 + further, round(count * (1 + 2 * further)))
        lean = _least_twisted(upper, lower, steps)
        u, v = _places(upper, _rising(steps - lean / 2)), _places(lower, _rising(steps + lean / 2))
        if _covers(upper, u) and _covers(lower, v):
            break
    top, bottom = upper.point(u), lower.point(v)
    along = bottom - top
    du, dv = np.gradient(u), np.gradient(v)
    forward = du[:, None] * upper.tangent(u) + dv[:, None] * lower.tangent(v)
    # Rulings that fan from a point lie on a cone: whichever way the edge runs past the point, they do not twist.
    fans = np.minimum(du / (upper.last - upper.first), dv / (lower.last - lower.first)) < STANDS / len(u)
    return Ruled(
        middle=(top + bottom) / 2,
        along=unit(along),
        normal=unit(crossed(forward, along)),
        reach=lengths(along) / 2,
        twist=np.where(fans, 0.0, ruling_twist(upper.tangent(u), lower.tangent(v), along)),
    )


def _covers(curve: SpaceCurve, places: Floats) -> bool:
    """Whether rulings meet a curve from well before its first end to well past its last."""
    spare = COVERED_PAST * (curve.last - curve.first)
    return bool(places[0] <= curve.first - spare and places[-1] >= curve.last + spare)


def _places(curve: SpaceCurve, share: Floats) -> Floats:
    """Parameters at shares of the curve's run; 0 and 1 are the ends of the continued curve."""
    run = curve.last - curve.first
    return np.asarray(curve.first - PAST_ENDS * run + share * (1 + 2 * PAST_ENDS) * run)


def ruling_twist(tangent_above: Floats, tangent_below: Floats, along: Floats) -> Floats:
    """Angle between the surface normals at the two ends of each ruling, rad, signed."""
    above, below = crossed(tangent_above, along), crossed(tangent_below, along)
    sine = dots(crossed(tangent_above, along), tangent_below) * lengths(along)
    return np.arcsin(held_between(sine / (lengths(above) * lengths(below)), -1.0, 1.0))


def _first_lean(upper: SpaceCurve, lower: SpaceCurve, steps: Floats) -> Floats:
    """How far the lower end of each ruling runs ahead of its upper end, from the least bending triangulation."""
    share = np.linspace(0.0, 1.0, COARSE)
    i, j = _least_bending_path(upper.point(_places(upper, share)), lower.point(_places(lower, share)))
    middle, lean = (share[i] + share[j]) / 2, share[j] - share[i]
    # A staircase of single steps: averaged over a few of them it is a slope.
    width = 7
    padded = np.pad(lean, width // 2, mode="edge")
    return np.interp(steps, middle, np.convolve(padded, np.full(width, 1 / width), mode="valid"))


def _least_bending_path(top: Floats, bottom: Floats) -> tuple[list[int], list[int]]:
    """The strip of triangles between two rows of points that bends least across its rulings.

    Each ruling (i, j) is left by a step along the top or along the bottom; a step's cost is the bending energy
    across the ruling between the triangle before and the triangle after.
    """
    count = len(top)
    ruling = bottom[None, :, :] - top[:, None, :]
    by_top = crossed(np.diff(top, axis=0)[:, None, :], ruling[:-1])  # triangle top i, i+1, bottom j
    by_bottom = crossed(np.diff(bottom, axis=0)[None, :, :], ruling[:, :-1])  # top i, bottom j, j+1
    cost = _crease_costs(by_top, by_bottom, ruling, _leaning(top, bottom, ruling))
    best = np.full((2, count, count), np.inf)  # 0: came along the top, 1: came along the bottom
    came = np.zeros((2, count, count), dtype=np.intp)
    best[:, 0, :] = best[:, :, 0] = 0.0  # a strip may begin anywhere on the continued fore ends
    for rank in range(2 * count - 3):
        i = np.arange(max(0, rank - count + 1), min(rank, count - 1) + 1)
        for out, (di, dj) in enumerate(((1, 0), (0, 1))):
            # A step along a fore end keeps that end's free start.
            inside = (i + di < count) & (rank - i + dj < count) & (i + di > 0) & (rank - i + dj > 0)
            a, b = i[inside], (rank - i)[inside]
            ways = best[:, a, b] + cost[:, out, a, b]
            best[out, a + di, b + dj] = ways.min(axis=0)
            came[out, a + di, b + dj] = ways.argmin(axis=0)
    return _walk_back(best, came)


def _crease_costs(by_top: Floats, by_bottom: Floats, ruling: Floats, leaning: Floats) -> Floats:
    """(2, 2, m, m) cost of each ruling between the triangle before it and the triangle after, by top or by bottom."""
    count = len(ruling)
    before = np.full((2, count, count, 3), np.nan)
    after = np.full((2, count, count, 3), np.nan)
    before[0, 1:, :], before[1, :, 1:] = by_top, by_bottom
    after[0, :-1, :], after[1, :, :-1] = by_top, by_bottom
    span = lengths(ruling)
    sizes_before, sizes_after = lengths(before), lengths(after)
    costs = np.empty((2, 2, count, count))
    for came in range(2):
        for out in range(2):
            turn = np.arctan2(lengths(crossed(before[came], after[out])), dots(before[came], after[out]))
            costs[came, out] = turn**2 * span**2 / (sizes_before[came] + sizes_after[out])
    # A strip that begins here has no triangle before it, so no crease.
    return np.nan_to_num(costs, nan=0.0) + LEAN_COST * leaning


def _leaning(top: Floats, bottom: Floats, ruling: Floats) -> Floats:
    """(m, m) squared cosine of the angle between each ruling and the way the edges run."""
    forward = unit(np.gradient(top, axis=0))[:, None] + unit(np.gradient(bottom, axis=0))[None, :]
    return np.asarray(dots(unit(forward), unit(ruling)) ** 2)


def _walk_back(best: Floats, came: NDArray[np.intp]) -> tuple[list[int], list[int]]:
    """Rulings (i, j) of the cheapest strip, fore to aft, from the cheapest place on the after ends."""
    count = best.shape[1]
    edge = [(way, count - 1, j) for j in range(count // 2, count) for way in range(2)]
    edge += [(way, i, count - 1) for i in range(count // 2, count) for way in range(2)]
    way, i, j = min(edge, key=lambda place: best[place] / (place[1] + place[2]))
    path = [(i, j)]
    while i > 0 and j > 0:
        way, i, j = int(came[way, i, j]), i - (way == 0), j - (way == 1)
        path.append((i, j))
    path.reverse()
    return [i for i, _ in path], [j for _, j in path]


def _least_twisted(upper: SpaceCurve, lower: SpaceCurve, steps: Floats) -> Floats:
    """The smooth lean that grows out of rulings straight across, or out of the least bending triangulation if better.

    Two curves may be joined by more than one developable skin: the sheet takes the one with rulings nearest straight
    across, so that is tried first. Alone, the triangulation is drawn to strips that run far along the edges, and on
    a skin whose twist cannot be cured to fans of triangles.
    """

    def twist(lean: Floats) -> Floats:
        return np.abs(_heed(steps, lean) * _twist_at(upper, lower, steps, lean))

    across = _smooth_lean(upper, lower, steps, np.zeros_like(steps))
    if twist(across).max() < CURED:
        return across
    other = _smooth_lean(upper, lower, steps, _first_lean(upper, lower, steps))
    return min(across, other, key=lambda lean: float((twist(lean) ** 2).sum()))


def _heed(steps: Floats, lean: Floats) -> Floats:
    """Weight (n,) of each ruling's twist: 1 where either of its ends lies within its curve, little well past them."""
    first, last = PAST_ENDS / (1 + 2 * PAST_ENDS), (1 + PAST_ENDS) / (1 + 2 * PAST_ENDS)
    inner = np.abs(lean) / 2  # of the two ends of a ruling, the one nearer midship counts
    past = np.maximum(first - steps - inner, steps - inner - last) * (1 + 2 * PAST_ENDS)
    return held_between((FORGOTTEN - past) / (FORGOTTEN - HEEDED), LEAST_HEED, 1.0)


def _smooth_lean(upper: SpaceCurve, lower: SpaceCurve, steps: Floats, lean: Floats) -> Floats:
    return smooth_lean(
        lambda lean: _twist_at(upper, lower, steps, lean),
        lambda lean: _heed(steps, lean),
        float(steps[1] - steps[0]),
        lean,
    )


def _twist_at(upper: SpaceCurve, lower: SpaceCurve, steps: Floats, lean: Floats) -> Floats:
    u, v = _places(upper, steps - lean / 2), _places(lower, steps + lean / 2)
    return ruling_twist(upper.tangent(u), lower.tangent(v), lower.point(v) - upper.point(u))


def _rising(shares: Floats) -> Floats:
    """Shares held so that no ruling's end ever runs back along its curve: there the rulings fan from one point."""
    middle = len(shares) // 2
    aft = np.maximum.accumulate(shares[middle:])
    fore = np.minimum.accumulate(shares[: middle + 1][::-1])[::-1]
    return np.concatenate([fore[:-1], aft])


def lay_athwart(edge: SpaceCurve, *, count: int = 640) -> Ruled:
    """The ruled surface between a curve and its own image across the centre plane.

    By symmetry its rulings run square across the boat and nothing twists. They run from starboard (+y) to port.
    """
    at = _places(edge, np.linspace(0.0, 1.0, count))
    point, tangent = edge.point(at), edge.tangent(at)
    across = np.broadcast_to([0.0, -1.0, 0.0], point.shape)
    return Ruled(
        middle=point * (1.0, 0.0, 1.0),
        along=across,
        normal=unit(crossed(tangent * (1.0, 0.0, 1.0), across)),
        reach=point[:, 1],
        twist=np.zeros(count),
    )
