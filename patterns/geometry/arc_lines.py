"""Flat lines of straight and circular runs: what a router follows."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass, replace

import numpy as np
from numpy.typing import NDArray

from patterns.geometry.arrays import Floats, held_between, lengths, one_on, read_only, unit
from patterns.geometry.short_repr import brief

LEAST_RISE = 0.005  # mm from an arc's chord to its middle; a flatter one is straight to every machine
WIDEST_RADIUS = 200_000.0  # mm; controllers refuse arcs beyond some radius, or round their centres: a judgement
FLAT_WITHIN = 0.005  # mm, chords standing for arcs where areas and places are asked


@dataclass(frozen=True, slots=True, eq=False)
class ArcLine:
    """Points joined by straight lines and arcs.

    The bulge of a run is the tangent of a quarter of the angle it turns through: 0 straight, positive to the left
    (group code 42 of the DXF reference's LWPOLYLINE). An arc meets its neighbour without a corner where both share
    a tangent.
    """

    points: Floats  # (n, 2) mm; a closed line does not repeat its first point
    bulges: Floats  # (n,) of the run that leaves each point; of an open line the last stands for nothing
    closed: bool

    __repr__ = brief

    def __post_init__(self) -> None:
        object.__setattr__(self, "points", read_only(self.points, columns=2))
        object.__setattr__(self, "bulges", read_only(self.bulges))
        if len(self.bulges) != len(self.points):
            raise ValueError("a bulge is wanted for each point")

    @property
    def starts(self) -> Floats:
        """(m, 2) mm, where each run begins."""
        return self.points if self.closed else self.points[:-1]

    @property
    def ends(self) -> Floats:
        """(m, 2) mm, where each run ends."""
        return one_on(self.points) if self.closed else self.points[1:]

    @property
    def turns(self) -> Floats:
        """(m,) rad, the angle each run turns through, positive to the left."""
        return np.asarray(4 * np.arctan(self.bulges[: len(self.starts)]))

    @property
    def chords(self) -> Floats:
        """(m,) mm, from the beginning to the end of each run."""
        return lengths(self.ends - self.starts)

    @property
    def radii(self) -> Floats:
        """(m,) mm, positive; infinite for straight runs."""
        with np.errstate(divide="ignore"):
            return np.asarray(self.chords / (2 * np.abs(np.sin(self.turns / 2))))

    @property
    def length(self) -> float:
        """mm along the line."""
        half = self.turns / 2
        return float((self.chords / np.sinc(half / np.pi)).sum())

    @property
    def area(self) -> float:
        """mm2 within a closed line, exact; positive counter-clockwise."""
        x, y = self.points.T
        straight = np.sum(x * one_on(y) - one_on(x) * y) / 2
        curved = self.bulges != 0
        turn = self.turns[curved]
        return float(straight + (self.radii[curved] ** 2 * (turn - np.sin(turn))).sum() / 2)

    @property
    def tangents(self) -> tuple[Floats, Floats]:
        """(m, 2) unit each: the way the line goes at the beginning and at the end of each run."""
        chord, half = unit(self.ends - self.starts), self.turns / 2
        return _rotated(chord, -half), _rotated(chord, half)

    def moved(self, turn: float, by: Sequence[float]) -> ArcLine:
        """Turned about the origin to the left by radians, then moved by mm."""
        return replace(self, points=moved_points(self.points, turn, by))

    def flat(self, within: float = FLAT_WITHIN) -> Floats:
        """(k, 2) mm, the line in chords that leave its arcs by no more than ``within``; not repeating a closed one."""
        if not self.bulges.any():
            return self.points
        turns = self.turns
        step = 2 * np.arccos(held_between(1 - within / self.radii, 0.0, 1.0))
        count = np.where(turns == 0, 1, np.ceil(np.abs(turns) / np.maximum(step, 1e-9))).astype(int)
        run = np.repeat(np.arange(len(count)), count)
        piece = np.arange(len(run)) - np.repeat(np.cumsum(count) - count, count)
        points = self._partway(run, turns[run] * piece / count[run])
        return np.concatenate([points, self.points[:0] if self.closed else self.points[-1:]])

    @property
    def bounds(self) -> tuple[Floats, Floats]:
        """Lowest and highest x and y, mm: an arc reaches past its ends where it runs level or plumb."""
        if not self.bulges.any():
            return self.points.min(axis=0), self.points.max(axis=0)
        begin, _ = self.tangents
        level_or_plumb = np.arange(4) * np.pi / 2
        to_left = (level_or_plumb - np.arctan2(begin[:, 1], begin[:, 0])[:, None]) % (2 * np.pi)
        done = np.where(self.turns[:, None] > 0, to_left, to_left - 2 * np.pi)
        passed = np.abs(done) < np.abs(self.turns)[:, None]
        points = np.concatenate([self.points, self._partway(np.nonzero(passed)[0], done[passed])])
        return points.min(axis=0), points.max(axis=0)

    def _partway(self, run: NDArray[np.intp], done: Floats) -> Floats:
        """(k, 2) mm, places on runs of these numbers where they have turned through ``done`` rad."""
        # A chord's reach from the start is as the sine of half the turn so far, and it lies half the rest off.
        half, so_far = self.turns[run] / 2, done / 2
        share = np.divide(np.sin(so_far), np.sin(half), out=np.zeros(len(run)), where=half != 0)
        return np.asarray(self.starts[run] + share[:, None] * _rotated((self.ends - self.starts)[run], so_far - half))


def machined(line: ArcLine) -> ArcLine:
    """A line of arcs that a controller follows: each rises over `LEAST_RISE` and is no wider than `WIDEST_RADIUS`.

    A flatter arc becomes a straight run, a wider one straight runs that leave it by no more than `LEAST_RISE`.
    """
    turns, radii = np.abs(line.turns), line.radii
    with np.errstate(invalid="ignore"):
        rise = np.where(turns > 0, radii * (1 - np.cos(turns / 2)), 0.0)
    flat, wide = rise <= LEAST_RISE, radii > WIDEST_RADIUS
    if not (flat | wide)[turns > 0].any():
        return line
    count = np.where(wide & ~flat, np.ceil(np.sqrt(rise / LEAST_RISE)), 1.0).astype(int)
    run = np.repeat(np.arange(len(count)), count)
    piece = np.arange(len(run)) - np.repeat(np.cumsum(count) - count, count)
    points = line._partway(run, line.turns[run] * piece / count[run])
    bulges = np.where((flat | wide)[run], 0.0, line.bulges[run])
    if line.closed:
        return ArcLine(points, bulges, closed=True)
    return ArcLine(np.concatenate([points, line.points[-1:]]), np.concatenate([bulges, [0.0]]), closed=False)


def moved_points(points: Floats, turn: float, by: Sequence[float]) -> Floats:
    """(n, 2) mm turned about the origin to the left by radians, then moved by mm."""
    cos, sin = np.cos(turn), np.sin(turn)
    return np.asarray(points @ np.array([[cos, sin], [-sin, cos]]) + np.asarray(by))


def _rotated(ways: Floats, turn: Floats) -> Floats:
    cos, sin = np.cos(turn), np.sin(turn)
    x, y = ways.T
    turned = np.empty((len(x), 2))
    turned[:, 0], turned[:, 1] = x * cos - y * sin, x * sin + y * cos
    return turned


def straight(points: Floats, *, closed: bool = False) -> ArcLine:
    """A line of straight runs only."""
    return ArcLine(points, np.zeros(len(points)), closed)


def circle(at: Sequence[float], radius: float) -> ArcLine:
    """A whole circle in two halves, counter-clockwise."""
    x, y = at
    return ArcLine(np.array([[x - radius, y], [x + radius, y]]), np.ones(2), closed=True)


def ring(runs: Sequence[ArcLine]) -> ArcLine:
    """Open lines, each beginning where the one before ends, as one closed one."""
    points, bulges = ([getattr(run, field)[:-1] for run in runs] for field in ("points", "bulges"))
    return ArcLine(np.concatenate(points), np.concatenate(bulges), closed=True)
