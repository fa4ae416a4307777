"""Flat lines and what a bench asks of them: distance across, meeting points, trimming."""

from __future__ import annotations

from collections.abc import Callable, Sequence

import numpy as np
import shapely
from numpy.typing import NDArray

from patterns.errors import ShapeError
from patterns.geometry.arrays import Floats, dots, lengths, run_along, unit

SAME_PLACE = 1e-9  # mm; nearer points are one
CHORD_ERROR = 0.002  # mm; points that move a line less than this are left out
TOUCH = 0.01  # mm; lines, and ends of lines, so near each other are one
MITRE = 8.0  # times the gap between two edges' ends that they may be run on to meet; farther, the gap is cut straight


def thinned(points: Floats) -> Floats:
    """The same line with no more points than its shape needs, within ``CHORD_ERROR``."""
    if len(points) == 2:
        return np.array(points)
    return shapely.get_coordinates(shapely.simplify(shapely.linestrings(points), CHORD_ERROR, preserve_topology=False))


def line_strings(lines: Sequence[Floats]) -> NDArray[np.object_]:
    """Lines (n, 2) as shapely has them, all made at once."""
    if not lines:
        return np.empty(0, dtype=np.object_)
    which = np.repeat(np.arange(len(lines)), [len(line) for line in lines])
    return np.asarray(shapely.linestrings(np.concatenate(lines), indices=which), dtype=np.object_)


def across(line: Floats, other: Floats, at: Floats) -> Floats:
    """Distance (k,) mm from places along a line to another line, square to the first, positive to its right.

    Parameters
    ----------
    line, other : (n, 2), (m, 2) mm
        Two lines running the same way, one beside the other; the other is run on straight past its ends.
    at : (k,) mm
        Running lengths along the first line.
    """
    run = run_along(line)
    place = _held_along(line, run, at)
    way = _direction_at(line, run, at)
    right = way[:, ::-1] * (1.0, -1.0)
    # On a piece thicker than it is deep, an end far off square lies wholly past its own far edge's ends.
    apart = float(np.hypot(*(other[:, None] - line[[0, -1]]).reshape(-1, 2).T).max())
    long = _run_on(other, by=float(run[-1] + run_along(other)[-1]) + apart)
    ahead = way @ long.T - dots(way, place)[:, None]
    aside = right @ long.T - dots(right, place)[:, None]
    passing = (ahead[:, :-1] <= 0) & (ahead[:, 1:] > 0)
    lost = ~passing.any(axis=1)
    if lost.any():
        raise _not_side_by_side(line, other, place[lost][0])
    share = -ahead[:, :-1] / np.where(passing, ahead[:, 1:] - ahead[:, :-1], 1.0)
    reach = np.where(passing, aside[:, :-1] + share * (aside[:, 1:] - aside[:, :-1]), np.inf)
    return np.asarray(np.take_along_axis(reach, np.abs(reach).argmin(axis=1)[:, None], axis=1)[:, 0])


def _not_side_by_side(line: Floats, other: Floats, place: Floats) -> ShapeError:
    """Why two lines do not run side by side at a place of the first."""
    left = float(place[0] - min(line[:, 0].min(), other[:, 0].min()))
    if _turns_back(line) or _turns_back(other):
        return ShapeError(
            "it turns back on itself {} from its left end, because the wood would be bent there more sharply than its "
            "thickness allows; expected a gentler curve: look at the figures near there",
            left,
        )
    return ShapeError(
        "its two faces do not run side by side {} from its left end; expected a bevel that changes slowly: look at the "
        "figures near there",
        left,
    )


def _turns_back(line: Floats) -> bool:
    """Whether a line anywhere turns by more than a right angle, as no edge between two corners does."""
    ways = unit(np.diff(line, axis=0))
    return bool((dots(ways[:-1], ways[1:]) < 0).any())


def _direction_at(line: Floats, run: Floats, at: Floats) -> Floats:
    """(k, 2) unit, the way a line runs; smooth from chord to chord."""
    middle = (run[1:] + run[:-1]) / 2
    chord = (line[1:] - line[:-1]) / (run[1:] - run[:-1])[:, None]
    return unit(_held_along(chord, middle, at))


def _held_along(values: Floats, run: Floats, at: Floats) -> Floats:
    """(k, 2) values known at running lengths, at others; held past the ends."""
    found = np.empty((len(at), 2))
    found[:, 0] = np.interp(at, run, values[:, 0])
    found[:, 1] = np.interp(at, run, values[:, 1])
    return found


def _run_on(line: Floats, *, by: float) -> Floats:
    """The line continued straight past both ends."""
    fore, aft = unit(line[0] - line[1]), unit(line[-1] - line[-2])
    return np.concatenate([[line[0] + by * fore], line, [line[-1] + by * aft]])


def trimmed(line: Floats, beyond: Callable[[Floats], Floats]) -> Floats:
    """The line up to the first place where ``beyond`` (points (n, 2) to signed numbers) turns positive.

    Raises
    ------
    ShapeError
        Where it never does.
    """
    signed = beyond(line)
    past = signed > 0
    i = int(past.argmax())
    if not past.any() or i == 0:
        raise ShapeError("a line is too short to be trimmed where it should end")
    share = signed[i - 1] / (signed[i - 1] - signed[i])
    return np.concatenate([line[:i], [line[i - 1] + share * (line[i] - line[i - 1])]])


def met(line: Floats, other: Floats, *, nearest: Floats | None = None) -> tuple[Floats, Floats]:
    """A line up to its first meeting with another, and the other from there on.

    Parameters
    ----------
    nearest : (2,) mm, optional
        Where they meet more than once, take the meeting nearest to this place, not the first.

    Raises
    ------
    ShapeError
        Where they do not meet.
    """
    ours, theirs = _chords_near(line, other), _chords_near(other, line)
    a, b = line[ours, None], other[None, theirs]
    along_a, along_b = (line[ours + 1] - line[ours])[:, None], (other[theirs + 1] - other[theirs])[None]
    twice_area = along_a[..., 0] * along_b[..., 1] - along_a[..., 1] * along_b[..., 0]
    gap = b - a
    with np.errstate(divide="ignore", invalid="ignore"):
        u = (gap[..., 0] * along_b[..., 1] - gap[..., 1] * along_b[..., 0]) / twice_area
        v = (gap[..., 0] * along_a[..., 1] - gap[..., 1] * along_a[..., 0]) / twice_area
    places = np.argwhere((u >= 0) & (u <= 1) & (v >= 0) & (v <= 1))
    if not len(places):
        raise ShapeError("two edges that should meet in a corner do not")
    corners = line[ours[places[:, 0]]] + u[tuple(places.T)][:, None] * along_a[places[:, 0], 0]
    first, against = places[0 if nearest is None else int(lengths(corners - nearest).argmin())]
    i, j = ours[first], theirs[against]
    corner = line[i] + u[first, against] * (line[i + 1] - line[i])
    before, after = line[: i + 1], other[j + 1 :]
    # A corner that falls on a point of either line would stand there twice.
    before = before[lengths(before - corner) > SAME_PLACE]
    after = after[lengths(after - corner) > SAME_PLACE]
    return np.concatenate([before, [corner]]), np.concatenate([[corner], after])


def cornered(line: Floats, after: Floats) -> tuple[Floats, Floats]:
    """Two lines run on, or cut back, to a corner that they share, the other beginning where the first ends.

    Raises
    ------
    ShapeError
        They would meet far off, or nowhere.
    """
    gap = float(lengths(after[0] - line[-1]))
    if gap < TOUCH:
        return line, np.concatenate([line[-1:], after[1:]])
    reach = MITRE * gap
    body, tail = _tail(line, reach)
    head, rest = _tail(after[::-1], reach)
    head, rest = rest[::-1], head[::-1]
    on = np.concatenate([tail, tail[-1:] + reach * unit(tail[-1:] - tail[-2:-1])])
    back = np.concatenate([head[:1] + reach * unit(head[:1] - head[1:2]), head])
    # Run on so far, an edge may reach round to its neighbour's far end as well, as a bottom does at a limber.
    to, fro = met(on, back, nearest=(line[-1] + after[0]) / 2)
    return np.concatenate([body, to]), np.concatenate([fro, rest])


def _tail(line: Floats, reach: float) -> tuple[Floats, Floats]:
    """A line parted so that the second part is at least so long, or as long as there is."""
    along = run_along(line)
    at = max(0, int(np.searchsorted(along, along[-1] - reach)) - 1)
    return line[:at], line[at:]


def _chords_near(line: Floats, other: Floats) -> NDArray[np.intp]:
    """Numbers of a line's chords that reach into the box another line fills: no other can meet it."""
    low, high = np.minimum(line[:-1], line[1:]), np.maximum(line[:-1], line[1:])
    return np.flatnonzero(((high >= other.min(axis=0)) & (low <= other.max(axis=0))).all(axis=1))


def unlooped(line: Floats) -> Floats:
    """The same line without the small loops it makes where it runs back on itself, as a face does inside a fan.

    Nothing can be cut along such a loop; the line goes straight over from where it crosses itself.
    """
    while crossing := first_crossing(line):
        i, j, share = crossing
        corner = line[i] + share * (line[i + 1] - line[i])
        line = np.concatenate([line[: i + 1], [corner], line[j + 1 :]])
    return line


def first_crossing(line: Floats) -> tuple[int, int, float] | None:
    """The first chord (i) of a line (n, 2) that a later one (j) crosses, and at what share of it; None for none."""
    if len(line) <= 3 or shapely.is_simple(shapely.linestrings(line)):
        return None
    way = np.diff(line, axis=0)
    for i in range(len(way) - 2):
        gap = line[i + 2 : -1] - line[i]
        ahead = way[i + 2 :]
        twice_area = way[i, 0] * ahead[:, 1] - way[i, 1] * ahead[:, 0]
        with np.errstate(divide="ignore", invalid="ignore"):
            u = (gap[:, 0] * ahead[:, 1] - gap[:, 1] * ahead[:, 0]) / twice_area
            v = (gap[:, 0] * way[i, 1] - gap[:, 1] * way[i, 0]) / twice_area
        met = np.flatnonzero((u >= 0) & (u <= 1) & (v >= 0) & (v <= 1))
        if len(met):
            j = int(met[-1])
            return i, i + 2 + j, float(u[j])
    return None


def parallel(line: Floats, distance: float) -> Floats:
    """The line moved to its left by a distance, point by point, square to itself."""
    way = unit(np.gradient(line, axis=0))
    return line + distance * np.stack([-way[:, 1], way[:, 0]], axis=1)
