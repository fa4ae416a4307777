"""Rulings between two boundaries that start from one point, or end in one, or both.

The garboard of a V bottom begins where its chine ends on the stem: there its two boundaries are one point, and its
rulings grow out of it. Sources: as for rulings in general; how they begin at the point is worked out below.

At the point P let the boundaries run p = P + T1 u + A1 u^2/2 and q = P + T2 v + A2 v^2/2 and let n be square to both
tangents. To second order the twist of the ruling from p to q is (a1 u^2 - a2 v^2)/2 with a = A.n, so it vanishes where
u : v = sqrt(a2 : a1). That is a ratio only where both boundaries bend to the same side of their common tangent plane;
where they do not, no developable strake begins there.
"""

from __future__ import annotations

from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray

from patterns.geometry.arrays import Floats, crossed, dots, held_between, lengths, unit
from patterns.geometry.boundaries import Boundary, bends_out_of
from patterns.geometry.ruled import Ruled
from patterns.geometry.smooth_lean import smooth_lean

PAST_ENDS = (0.12, 0.25, 0.5)
"""Shares of a boundary's length by which rulings are laid past an end that is no point: further where they lean so much
that one boundary would not be met right to its end."""

COVERED_PAST = 0.05  # of its length, how far past its ends each boundary must be met by rulings
GRID = 180  # places on each boundary for the first pairing
COUNT = 480  # rulings laid between the ends

LEAN_COST, SINGLE_STEP = 3e-5, 2e-5
"""What leaning, and a step along one boundary alone, cost beside twist squared: they decide where nothing twists."""

PAST_HEEDED = 0.15  # weight of twist past the ends: what is trimmed off shall not govern what is kept
FORGOTTEN, LEAST_HEED = 0.05, 0.2  # share of the length past an end by which it counts least, and how much that is
NO_RULING = 1e-6  # of the length; shorter than this a ruling has no direction
PIN = 1e6  # how stiffly a ruling at a point is held to it
STRAIGHTENED = 0.3  # of all rulings, over which they are first set straight toward an end that leaning would not reach
PAST_POINT = 14  # steps the rulings are run on past a point, so that faces outside the boundaries can be trimmed there
FILLED = (1 / 64, 1 / 16, 1 / 4)  # shares of the first step off a point where further rulings are laid
FLAT_ENOUGH = 1e-8  # per mm; boundaries that bend less lie in one plane
LIKELY = 5.0  # times; a ratio that far from the first rulings' own belongs to the point alone


@dataclass(frozen=True)
class Ratio:
    """How the rulings of a strake begin at a point: the bends of its boundaries out of their common tangent plane."""

    upper: float  # per mm
    lower: float

    @property
    def opposed(self) -> bool:
        """Whether they bend to opposite sides, so that no developable strake begins there."""
        return self.upper * self.lower < 0 and min(abs(self.upper), abs(self.lower)) > FLAT_ENOUGH

    @property
    def known(self) -> bool:
        return not self.opposed and max(abs(self.upper), abs(self.lower)) > FLAT_ENOUGH and self.upper != 0

    @property
    def upper_to_lower(self) -> float:
        """Length along the upper boundary to length along the lower, of rulings close to the point."""
        return float(np.sqrt(max(self.lower / self.upper, 0.0)))


def ratio_at(upper: Boundary, lower: Boundary, *, aft: bool) -> Ratio:
    """How rulings begin at the point both boundaries start from, or end in."""
    above, below = (upper.length, lower.length) if aft else (0.0, 0.0)
    normal = crossed(upper.tangent(np.array([above]))[0], lower.tangent(np.array([below]))[0])
    size = float(np.sqrt(normal @ normal))
    if size < NO_RULING:  # they leave the point along one line
        return Ratio(0.0, 0.0)
    return Ratio(bends_out_of(upper, above, normal / size), bends_out_of(lower, below, normal / size))


def full_twist(tangent_above: Floats, tangent_below: Floats, along: Floats) -> Floats:
    """Angle between the surface normals at the two ends of each ruling, rad, signed; past a right angle too."""
    above, below = crossed(tangent_above, along), crossed(tangent_below, along)
    sine = dots(crossed(tangent_above, along), tangent_below) * lengths(along)
    return np.arctan2(sine, dots(above, below))


def lay_pointed(upper: Boundary, lower: Boundary, *, fore: bool, aft: bool) -> Ruled:
    """The ruled surface between two boundaries that a sheet bends to most easily.

    Parameters
    ----------
    upper, lower : Boundary
        Run side by side from fore to aft.
    fore, aft : bool
        Whether they start from one point, and end in one.

    Returns
    -------
    Ruled
        Rulings run from the upper boundary to the lower. Past a point they have passed through it: their reach is
        negative there, and direction and normal run on smoothly, so that a face off the boundaries can be trimmed.
        Where nothing but rulings that lean by most of the length would take the last of a twist out, they run on into
        straight ones past that end, and the twist that this leaves is told as any other.
    """
    for past in PAST_ENDS:
        pairing = _Pairing(upper, lower, fore, aft, past)
        u, v = pairing.places()
        if pairing.covers(u, v):
            break
    if not pairing.covers(u, v, past=0.0):
        u, v = _Pairing(upper, lower, fore, aft, PAST_ENDS[1], straight=True).places()
    return pairing.ruled(*pairing.through_points(u, v))


@dataclass(frozen=True)
class _Pairing:
    """Two boundaries to be paired; places on them are shares of their lengths."""

    upper: Boundary
    lower: Boundary
    fore: bool  # whether they start from one point
    aft: bool
    further: float  # share of the lengths by which rulings are laid past an end that is no point
    straight: bool = False  # whether they are held straight across at the last past such an end

    @property
    def past(self) -> tuple[float, float]:
        """How far rulings are laid past either end, in shares."""
        return (0.0 if self.fore else self.further), (0.0 if self.aft else self.further)

    def places(self) -> tuple[Floats, Floats]:
        """Where the rulings meet both boundaries, each rising."""
        steps, first = self.first_lean()
        lean = self.settled(steps, first)
        if not (self.fore or self.aft):
            straight = np.linspace(-self.further, 1.0 + self.further, COUNT)
            across = self.settled(straight, np.zeros(COUNT))
            if self.worst(straight, across) <= 1.05 * self.worst(steps, lean) + 1e-4:
                steps, lean = straight, across
        return np.maximum.accumulate(steps - lean / 2), np.maximum.accumulate(steps + lean / 2)

    def covers(self, u: Floats, v: Floats, *, past: float = COVERED_PAST) -> bool:
        """Whether rulings meet both boundaries from a share past their first end, but a point, to past their last."""
        first, last = max(u[0], v[0]), min(u[-1], v[-1])
        return bool((self.fore or first <= -past) and (self.aft or last >= 1.0 + past))

    def first_lean(self) -> tuple[Floats, Floats]:
        """Even steps and the lean at each, of the cheapest way through a grid of pairs."""
        fore, aft = self.past
        share = np.linspace(-fore, 1.0 + aft, GRID)
        i, j = _cheapest_way(self._grid_costs(share), fore_fixed=self.fore, aft_fixed=self.aft)
        middle, lean = (share[i] + share[j]) / 2, share[j] - share[i]
        # A staircase of single steps: averaged over a few of them it is a slope.
        smoothed = np.convolve(np.pad(lean, 4, mode="edge"), np.full(9, 1 / 9), mode="valid")
        steps = np.linspace(middle[0], middle[-1], COUNT)
        return steps, np.interp(steps, middle, smoothed)

    def _grid_costs(self, share: Floats) -> Floats:
        """(m, m) cost of the ruling from each place above to each below."""
        u, v = share * self.upper.length, share * self.lower.length
        above, below = self.upper.tangent(u), self.lower.tangent(v)
        along = self.lower.point(v)[None, :] - self.upper.point(u)[:, None]
        span = lengths(along)
        known = span > NO_RULING * self.upper.length
        still = self.upper.on_knuckle(u)[:, None] | self.lower.on_knuckle(v)[None, :] | ~known
        twist = np.where(still, 0.0, full_twist(above[:, None], below[None, :], along))
        forward = (unit(above)[:, None] + unit(below)[None, :]) / 2
        lean = dots(forward, along) / np.where(known, span, np.inf)
        heed = np.where((share < 0) | (share > 1), PAST_HEEDED, 1.0)
        return twist**2 * np.maximum(heed[:, None], heed[None, :]) + LEAN_COST * lean**2

    def settled(self, steps: Floats, lean: Floats) -> Floats:
        """The smooth lean with the least twist that grows out of a first one."""
        pinned, count = np.zeros(len(steps)), np.arange(len(steps))
        for at_point, end, off in ((self.fore, 0, count), (self.aft, -1, count[::-1])):
            if at_point or self.straight:
                pinned[end] = PIN
                fading = 1 - off / (20 if at_point else STRAIGHTENED * len(steps))
                lean = lean - lean[end] * held_between(fading, 0.0, 1.0)

        return smooth_lean(
            lambda lean: self._twist_of(steps - lean / 2, steps + lean / 2),
            lambda lean: _heed(steps - lean / 2, steps + lean / 2),
            float(steps[1] - steps[0]),
            lean,
            pinned=pinned,
        )

    def worst(self, steps: Floats, lean: Floats) -> float:
        """rad, the greatest twist between the ends."""
        u, v = steps - lean / 2, steps + lean / 2
        return float(np.abs(np.where(_heed(u, v) >= 1.0, self._twist_of(u, v), 0.0)).max())

    def _twist_of(self, u: Floats, v: Floats) -> Floats:
        above, below = u * self.upper.length, v * self.lower.length
        along = self.lower.point(below) - self.upper.point(above)
        twist = full_twist(self.upper.tangent(above), self.lower.tangent(below), along)
        still = self.upper.on_knuckle(above) | self.lower.on_knuckle(below)
        return np.where(still | (lengths(along) < NO_RULING * self.upper.length), 0.0, twist)

    def through_points(self, u: Floats, v: Floats) -> tuple[Floats, Floats, Floats]:
        """Places above and below, and the sign of each ruling's reach, run on through the points."""
        sign = np.ones(len(u))
        if self.fore:
            u, v, sign = self._through(u, v, sign, aft=False)
        if self.aft:
            # Seen from aft: the same with both boundaries run the other way.
            u, v, sign = self._through(1.0 - u[::-1], 1.0 - v[::-1], sign[::-1], aft=True)
            u, v, sign = 1.0 - u[::-1], 1.0 - v[::-1], sign[::-1]
        return u, v, sign

    def _through(self, u: Floats, v: Floats, sign: Floats, *, aft: bool) -> tuple[Floats, Floats, Floats]:
        """The rulings without the one at the point, which has no direction; with finer ones beside it, and past it."""
        u, v, sign = u[1:], v[1:], sign[1:]
        first = u[0] / max(v[0], 1e-12)
        ratio = self._ratio(first, aft=aft)
        step = (u[0] + v[0]) / (1 + ratio)
        fine = np.array(FILLED)
        running = ratio + (first - ratio) * fine
        near = (u[0] + v[0]) * fine / (1 + running)
        past = -step * np.concatenate([np.arange(PAST_POINT, 0, -1) - 0.5, fine[::-1]])
        return (
            np.concatenate([ratio * past, running * near, u]),
            np.concatenate([past, near, v]),
            np.concatenate([np.full(len(past), -1.0), np.ones(len(near)), sign]),
        )

    def _ratio(self, first: float, *, aft: bool) -> float:
        """Upper to lower, in shares, of rulings at the point itself; where bending gives none, the first ruling's."""
        rule = ratio_at(self.upper, self.lower, aft=aft)
        if not rule.known:
            return first
        ratio = rule.upper_to_lower * self.lower.length / self.upper.length
        return ratio if first / LIKELY < ratio < first * LIKELY else first

    def ruled(self, u: Floats, v: Floats, sign: Floats) -> Ruled:
        above, below = u * self.upper.length, v * self.lower.length
        top, bottom = self.upper.point(above), self.lower.point(below)
        along = unit(bottom - top) * sign[:, None]
        forward = np.gradient(u)[:, None] * self.upper.tangent(above) * self.upper.length
        forward = forward + np.gradient(v)[:, None] * self.lower.tangent(below) * self.lower.length
        return Ruled(
            middle=(top + bottom) / 2,
            along=along,
            normal=unit(crossed(forward, along)),
            reach=sign * lengths(bottom - top) / 2,
            twist=np.where(sign < 0, 0.0, self._twist_of(u, v)),
        )


def _heed(u: Floats, v: Floats) -> Floats:
    """(n,) how much the twist of rulings counts: 1 where either end lies within its boundary, little well past it."""
    inside = np.minimum(np.maximum(u, v), 1.0 - np.minimum(u, v))
    return held_between(1.0 + inside / FORGOTTEN, LEAST_HEED, 1.0)


def _cheapest_way(cost: Floats, *, fore_fixed: bool, aft_fixed: bool) -> tuple[NDArray[np.intp], NDArray[np.intp]]:
    """Pairs (i, j), fore to aft, of the cheapest way through a grid: by steps along one boundary, or along both.

    It starts at the first pair of all where that is fixed, else anywhere on the fore borders; and ends alike.
    """
    size = len(cost)
    best = np.full((size, size), np.inf)
    came = np.zeros((size, size), dtype=np.intp)
    if fore_fixed:
        best[0, 0] = 0.0
    else:
        best[0, : size // 3] = best[: size // 3, 0] = 0.0
    ways = ((1, 0, 0.5), (0, 1, 0.5), (1, 1, 1.0))
    for rank in range(1, 2 * size - 1):
        i = np.arange(max(0, rank - size + 1), min(rank, size - 1) + 1)
        j = rank - i
        for way, (di, dj, long) in enumerate(ways, 1):
            inside = (i >= di) & (j >= dj)
            a, b = i[inside], j[inside]
            dearer = SINGLE_STEP if di != dj else 0.0
            price = best[a - di, b - dj] + long * (cost[a - di, b - dj] + cost[a, b]) / 2 + dearer
            better = price < best[a, b]
            best[a[better], b[better]] = price[better]
            came[a[better], b[better]] = way
    return _walked_back(best, came, [ways[0][:2], ways[1][:2], ways[2][:2]], aft_fixed=aft_fixed)


def _walked_back(
    best: Floats, came: NDArray[np.intp], ways: list[tuple[int, int]], *, aft_fixed: bool
) -> tuple[NDArray[np.intp], NDArray[np.intp]]:
    size = len(best)
    i = j = size - 1
    if not aft_fixed:
        late = range(2 * size // 3, size)
        ends = [(size - 1, k) for k in late] + [(k, size - 1) for k in late]
        i, j = min(ends, key=lambda end: float(best[end]) / (end[0] + end[1]))
    path = [(i, j)]
    while came[i, j]:
        di, dj = ways[int(came[i, j]) - 1]
        i, j = i - di, j - dj
        path.append((i, j))
    pairs = np.array(path[::-1])
    return pairs[:, 0], pairs[:, 1]
