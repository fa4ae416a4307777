"""Flat lines and what a bench asks of them: distance across, meeting points, trimming."""

from __future__ import annotations

from collections.abc import Callable

import numpy as np
from shapely import LineString

from patterns.errors import ShapeError
from patterns.geometry.arrays import Floats, lengths, run_along, unit

SAME_PLACE = 1e-9  # mm; nearer points are one
CHORD_ERROR = 0.002  # mm; points that move a line less than this are left out


def thinned(points: Floats) -> Floats:
    """The same line with no more points than its shape needs, within ``CHORD_ERROR``."""
    return np.asarray(LineString(points).simplify(CHORD_ERROR, preserve_topology=False).coords)


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
    place = np.stack([np.interp(at, run, line[:, axis]) for axis in range(2)], axis=1)
    way = _direction_at(line, run, at)
    right = np.stack([way[:, 1], -way[:, 0]], axis=1)
    long = _run_on(other)
    ahead = (long[None, :, :] - place[:, None, :]) @ way[:, :, None]
    aside = (long[None, :, :] - place[:, None, :]) @ right[:, :, None]
    ahead, aside = ahead[..., 0], aside[..., 0]
    passing = (ahead[:, :-1] <= 0) & (ahead[:, 1:] > 0)
    if not passing.any(axis=1).all():
        raise ShapeError("two edges that should run side by side do not")
    share = -ahead[:, :-1] / np.where(passing, ahead[:, 1:] - ahead[:, :-1], 1.0)
    reach = np.where(passing, aside[:, :-1] + share * (aside[:, 1:] - aside[:, :-1]), np.inf)
    return np.asarray(np.take_along_axis(reach, np.abs(reach).argmin(axis=1)[:, None], axis=1)[:, 0])


def _direction_at(line: Floats, run: Floats, at: Floats) -> Floats:
    """(k, 2) unit, the way a line runs; smooth from chord to chord."""
    middle = (run[1:] + run[:-1]) / 2
    chord = np.diff(line, axis=0) / np.diff(run)[:, None]
    return unit(np.stack([np.interp(at, middle, chord[:, axis]) for axis in range(2)], axis=1))


def _run_on(line: Floats) -> Floats:
    """The line continued straight past both ends by its own length."""
    length = run_along(line)[-1]
    fore, aft = unit(line[0] - line[1]), unit(line[-1] - line[-2])
    return np.concatenate([[line[0] + length * fore], line, [line[-1] + length * aft]])


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


def met(line: Floats, other: Floats) -> tuple[Floats, Floats]:
    """A line up to its first meeting with another, and the other from there on.

    Raises
    ------
    ShapeError
        Where they do not meet.
    """
    a, b = line[:-1, None], other[None, :-1]
    along_a, along_b = np.diff(line, axis=0)[:, None], np.diff(other, axis=0)[None]
    twice_area = along_a[..., 0] * along_b[..., 1] - along_a[..., 1] * along_b[..., 0]
    gap = b - a
    with np.errstate(divide="ignore", invalid="ignore"):
        u = (gap[..., 0] * along_b[..., 1] - gap[..., 1] * along_b[..., 0]) / twice_area
        v = (gap[..., 0] * along_a[..., 1] - gap[..., 1] * along_a[..., 0]) / twice_area
    places = np.argwhere((u >= 0) & (u <= 1) & (v >= 0) & (v <= 1))
    if not len(places):
        raise ShapeError("two edges that should meet in a corner do not")
    i, j = places[0]
    corner = line[i] + u[i, j] * (line[i + 1] - line[i])
    before, after = line[: i + 1], other[j + 1 :]
    # A corner that falls on a point of either line would stand there twice.
    before = before[lengths(before - corner) > SAME_PLACE]
    after = after[lengths(after - corner) > SAME_PLACE]
    return np.concatenate([before, [corner]]), np.concatenate([[corner], after])


def parallel(line: Floats, distance: float) -> Floats:
    """The line moved to its left by a distance, point by point, square to itself."""
    way = unit(np.gradient(line, axis=0))
    return line + distance * np.stack([-way[:, 1], way[:, 0]], axis=1)
