"""Dense points made a line of few arcs: biarcs between places on the curve, tangent to it there and to each other.

Source: K. M. Bolton, Biarc curves, Computer-Aided Design 7(2), 1975, for the biarc with both tangents of one length
(from memory); how far each reaches is searched.
"""

from __future__ import annotations

from collections.abc import Callable
from itertools import pairwise
from math import cos, hypot, sin, sqrt

import numpy as np
from numpy.typing import NDArray

from patterns.geometry.arc_lines import ArcLine, ring, straight
from patterns.geometry.arrays import Floats, lengths

FIT_WITHIN = 0.02  # mm between the line given to a router and the true curve; a tenth of the best machine's own error
CHORD_ERROR = 0.003  # mm; points come with chords that leave the true curve so much
SWING = 0.04  # mm; over a chord's length, the rad a smooth curve may swing from it at an end: 4 times its chord error
WIDEST = 2.6  # rad that one biarc may turn through; at half a turn it comes apart
SAME_ARC = 1e-4  # mm; arcs that differ less are one
LEAST_RUN = 0.05  # mm; shorter than any machine's step that matters
CLOSEST = 2.4 * LEAST_RUN  # mm; a biarc halves the way between two points, and a chord so short shows no direction
LOOKED_AT = 4  # places along each chord at which an arc is held against it; a long chord beside short ones bows between

_Arc = tuple[float, float, float, float, float]  # where it begins, its tangent there, its curvature to the left


def fit_arcs(points: Floats, *, closed: bool = False, within: float = FIT_WITHIN) -> ArcLine:
    """A line of straight runs and tangent arcs within so many mm of the curve that dense points lie on.

    Corners stay corners; between them every arc meets the next without one. ``closed`` points do not repeat the
    first.
    """
    if len(points) == 2:
        return straight(points)
    if not closed:
        return _joined([_fit_run(run, within - CHORD_ERROR) for run in smooth_runs(points)])
    corners = np.flatnonzero(_is_corner(np.concatenate([points[-1:], points, points[:1]])))
    if len(corners):
        begun = np.roll(points, -corners[0], axis=0)
        return ring([_fit_run(run, within - CHORD_ERROR) for run in smooth_runs(np.concatenate([begun, begun[:1]]))])
    return ring([_fit_loop(points, within - CHORD_ERROR)])


def apart(points: Floats) -> Floats:
    """An open line, its ends kept, without inner points nearer each other than ``CLOSEST``: arcs between them jog.

    Of two such points the one goes that the line misses less, so that a corner stays.
    """
    while len(points) > 2:
        size = lengths(np.diff(points, axis=0))
        short = int(size.argmin())
        if size[short] >= CLOSEST:
            break
        inner = [number for number in (short, short + 1) if 0 < number < len(points) - 1]
        points = np.delete(points, min(inner, key=lambda number: _aside(points, number)), axis=0)
    return points


def _aside(points: Floats, number: int) -> float:
    """mm from a point to the straight way between its neighbours."""
    before, at, after = points[number - 1 : number + 2]
    way, to = after - before, at - before
    size = float(way @ way)
    share = min(max(float(to @ way) / size, 0.0), 1.0) if size else 0.0
    return float(lengths(to - share * way))


def smooth_runs(points: Floats) -> list[Floats]:
    """An open line of points taken apart at its corners."""
    corners = 1 + np.flatnonzero(_is_corner(points))
    return [points[first : last + 1] for first, last in pairwise([0, *corners.tolist(), len(points) - 1])]


def _is_corner(points: Floats) -> NDArray[np.bool_]:
    """For each point but the first and last: whether no smooth curve near both its chords makes its turn."""
    swing = SWING / lengths(np.diff(points, axis=0))
    return np.asarray(np.abs(_turn_at(points)) > swing[:-1] + swing[1:])


def _turn_at(points: Floats) -> Floats:
    """(n - 2,) rad, to the left."""
    x, y = np.diff(points, axis=0).T
    return np.asarray(np.arctan2(x[:-1] * y[1:] - y[:-1] * x[1:], x[:-1] * x[1:] + y[:-1] * y[1:]))


def _joined(runs: list[ArcLine]) -> ArcLine:
    points = np.concatenate([*(run.points[:-1] for run in runs), runs[-1].points[-1:]])
    bulges = np.concatenate([*(run.bulges[:-1] for run in runs), [0.0]])
    return ArcLine(points, bulges, closed=False)


def _fit_run(points: Floats, within: float) -> ArcLine:
    """A smooth open run, its tangents at the ends its own."""
    if len(points) == 2:
        return straight(points)
    one = _one_arc(points)
    if one is not None and _near(_with_between(points), one, within):
        return _arc_line([one], points[-1])
    return _fit_spans(points, _directions(points), within)


def _fit_loop(points: Floats, within: float) -> ArcLine:
    """A smooth closed run: its tangent at the seam is taken across the seam."""
    around = np.concatenate([points[-1:], points, points[:2]])
    return _fit_spans(around[1:-1], _directions(around)[1:-1], within)


def _directions(points: Floats) -> Floats:
    """(n,) rad, the way of the curve at each point: the circle's through it and its neighbours; unwrapped."""
    size = lengths(np.diff(points, axis=0))
    turn = _turn_at(points)
    x, y = points[1] - points[0]
    chord = np.arctan2(y, x) + np.concatenate([[0.0], np.cumsum(turn)])
    most, sign, swing = np.abs(turn), np.sign(turn), SWING / size
    # Where a straight run enters a curve its long chord swings hardly at all, whatever the circle says.
    from_before = np.clip(most * size[:-1] / (size[:-1] + size[1:]), most - swing[1:], swing[:-1])
    inner = chord[:-1] + sign * from_before
    return np.concatenate([[2 * chord[0] - inner[0]], inner, [2 * chord[-1] - inner[-1]]])


def _one_arc(points: Floats) -> _Arc | None:
    """The arc (or straight line) through both ends and the point farthest from their chord."""
    (x, y), (chord_x, chord_y) = points[0].tolist(), (points[-1] - points[0]).tolist()
    size = hypot(chord_x, chord_y)
    if size < SAME_ARC:
        return None
    way_x, way_y = chord_x / size, chord_y / size
    aside = (points[:, 1] - y) * way_x - (points[:, 0] - x) * way_y
    far = int(np.abs(aside).argmax())
    sag = float(aside[far])
    if abs(sag) < SAME_ARC:
        return x, y, way_x, way_y, 0.0
    along = float((points[far] - points[0]) @ (way_x, way_y))
    # The circle through (0, 0), (size, 0) and (along, sag) in the chord's own axes: x^2 + y^2 - size x + e y = 0.
    e = (along * (size - along) - sag * sag) / sag
    radius = hypot(size, e) / 2
    # It leaves (0, 0) square to its radius; to the left where the bow lies on the right.
    sign = -1.0 if sag > 0 else 1.0
    ahead, aside_way = e / (2 * radius) * -sign, -sign * size / (2 * radius)
    return x, y, way_x * ahead - way_y * aside_way, way_y * ahead + way_x * aside_way, sign / radius


def _fit_spans(points: Floats, ways: Floats, within: float) -> ArcLine:
    """Biarcs, each reaching as far along the points as it can."""
    dense = _with_between(points)
    turned = np.concatenate([[0.0], np.abs(np.diff(ways)).cumsum()])
    places = [(x, y, cos(way), sin(way)) for (x, y), way in zip(points.tolist(), ways.tolist(), strict=True)]
    last, at, reach = len(points) - 1, 0, 1
    arcs: list[_Arc] = []
    while at < last:
        farthest = min(last, max(at + 1, int(np.searchsorted(turned, turned[at] + WIDEST, side="right")) - 1))

        def fits(to: int, at: int = at) -> list[_Arc] | None:
            pair = _biarc(places[at], places[to])
            # Neighbours lie within a chord's error of any curve through them: theirs is taken as it is.
            near = to == at + 1 or _keeps_to(dense[:, LOOKED_AT * at : LOOKED_AT * to + 1], pair, within)
            return pair if near else None

        reach, pair = _farthest(fits, at, farthest, reach)
        at += reach
        arcs.extend(pair)
    return _arc_line(arcs, points[-1])


def _farthest(fits: Callable[[int], list[_Arc] | None], at: int, last: int, guess: int) -> tuple[int, list[_Arc]]:
    """How many points on a biarc reaches, and the biarc: outward from a guess by doubling, then by halving."""
    low, high, found = at, last + 1, None
    trial = min(at + guess, last)
    while low < high - 1:
        pair = fits(trial)
        if pair is None:
            high = trial
        else:
            low, found = trial, pair
        trial = min(at + 2 * (low - at), last) if high > last else (low + high) // 2
    assert found is not None
    return low - at, found


def _biarc(start: tuple[float, float, float, float], end: tuple[float, float, float, float]) -> list[_Arc]:
    """Two arcs from a place and tangent to another that meet without a corner, both tangents of one length."""
    x0, y0, tx0, ty0 = start
    x1, y1, tx1, ty1 = end
    vx, vy, tx, ty = x1 - x0, y1 - y0, tx0 + tx1, ty0 + ty1
    along, size = vx * tx + vy * ty, vx * vx + vy * vy
    reach = size / (along + sqrt(along * along + 2 * (1 - tx0 * tx1 - ty0 * ty1) * size))
    x, y = (x0 + x1 + reach * (tx0 - tx1)) / 2, (y0 + y1 + reach * (ty0 - ty1)) / 2
    joint_x, joint_y = vx - reach * tx, vy - reach * ty
    length = hypot(joint_x, joint_y)
    if length < SAME_ARC:
        length, joint_x, joint_y = 2 * reach, x1 - x0, y1 - y0
    joint = (x, y, joint_x / length, joint_y / length)
    return [_arc(start, x, y), _arc(joint, x1, y1)]


def _arc(start: tuple[float, float, float, float], x: float, y: float) -> _Arc:
    x0, y0, tx, ty = start
    wx, wy = x - x0, y - y0
    return x0, y0, tx, ty, 2 * (tx * wy - ty * wx) / (wx * wx + wy * wy)


def _keeps_to(points: Floats, pair: list[_Arc], within: float) -> bool:
    """Whether points (2, n) which begin and end with a biarc lie no farther off it."""
    first, second = pair
    x, y, tx, ty, _ = second
    split = int(np.count_nonzero((points[0] - x) * tx + (points[1] - y) * ty < 0))
    return _near(points[:, :split], first, within) and _near(points[:, split:], second, within)


def _near(points: Floats, arc: _Arc, within: float) -> bool:
    """Whether points (2, n) lie no farther off an arc's circle (or line)."""
    if not points.size:
        return True
    x, y, tx, ty, k = arc
    u, v = points[0] - x, points[1] - y
    # What lies d off has f = d + k d^2 / 2, which grows with d: sound however flat the arc.
    f = k / 2 * (u * u + v * v) - (v * tx - u * ty)
    beyond = k / 2 * within * within
    return bool(f.max() <= beyond + within and f.min() >= beyond - within)


def _with_between(points: Floats) -> Floats:
    """(2, n) points and, between each two, the places that part their chord evenly in ``LOOKED_AT``."""
    share = np.arange(LOOKED_AT)[:, None] / LOOKED_AT
    dense = np.empty((2, LOOKED_AT * (len(points) - 1) + 1))
    for row, places in zip(dense, points.T, strict=True):
        row[:-1].reshape(-1, LOOKED_AT)[:] = (places[:-1] + share * (places[1:] - places[:-1])).T
        row[-1] = places[-1]
    return dense


def _arc_line(arcs: list[_Arc], last: Floats) -> ArcLine:
    """Arcs one after another as a line; neighbours of one circle become one."""
    points: list[tuple[float, float]] = []
    bulges: list[float] = []
    ends = [*((arc[0], arc[1]) for arc in arcs[1:]), (float(last[0]), float(last[1]))]
    kept: _Arc | None = None
    for arc, (x, y) in zip(arcs, ends, strict=True):
        if kept is not None and _one_with(kept, arc, x, y):
            bulges[-1] = _bulge(kept, x, y)
            continue
        kept = arc
        points.append(arc[:2])
        bulges.append(_bulge(arc, x, y))
    return ArcLine(np.array([*points, last]), np.array([*bulges, 0.0]), closed=False)


def _one_with(before: _Arc, arc: _Arc, x: float, y: float) -> bool:
    """Whether an arc that ends at (x, y) goes on as the one before it does."""
    wx, wy = x - before[0], y - before[1]
    turn = abs(4 * np.arctan(_bulge(before, x, y)))
    sweep = hypot(wx, wy)
    # One end and the tangent there settle an arc to (x, y); both then keep to it as their curvatures agree.
    k = 2 * (before[2] * wy - before[3] * wx) / sweep**2
    return turn < WIDEST and max(abs(before[4] - k), abs(arc[4] - k)) * sweep**2 / 8 < SAME_ARC


def _bulge(arc: _Arc, x: float, y: float) -> float:
    """Of an arc that ends at (x, y): its chord stands off its tangent by half its turn, and the bulge halves again."""
    x0, y0, tx, ty, _ = arc
    wx, wy = x - x0, y - y0
    across = tx * wy - ty * wx
    if abs(across) < SAME_ARC:
        # So flat an arc is a line to any machine.
        return 0.0
    return across / (hypot(wx, wy) + tx * wx + ty * wy)
