"""Battens: lines sprung through figures, or near them, and let run past their ends.

A line goes as the mean of all battens that could have given its figures (`patterns.geometry.batten_fits`): near the
figures, as far as their rounding allows, and between them as lightly loaded as they make likely.
"""

from __future__ import annotations

from collections.abc import Callable, Sequence
from dataclasses import dataclass, replace
from functools import cached_property, lru_cache

import numpy as np

from patterns.geometry.arrays import Floats, held_between, read_only
from patterns.geometry.batten_bands import band95, band95_left
from patterns.geometry.batten_fits import Break, RowFit, pulls_within
from patterns.geometry.batten_kinds import CELLS, EDGES, IN_RUN, PAST
from patterns.geometry.short_repr import brief

STRAIGHT = 1e-13  # of the greatest value; values nearer than that to a parabola lie on it
NEAR_ENOUGH = 1e-9  # mm; a figure that much beyond its limit is within it
NEIGHBOURLY = 1e-9  # how much the load of neighbouring cells may differ, by shares, before it counts as a value does
REMEMBERED = 64  # battens through points, such as the profiles of ends, which are asked for over and over


@dataclass(frozen=True, eq=False)
class Batten:
    """A curve of cubics, one in each cell, whose value, slope and bend have no jumps.

    Cells reach a little past the ends of its run; still further on it is the parabola that touches it. At a break its
    slope or bend may jump.
    """

    sites: Floats  # (n,) mm, the places of its figures; the curve begins at the first and ends at the last
    start: float  # mm, where its run begins, of which everything else is in shares
    run: float  # mm
    free: Floats  # (p,) mm, amounts of 1, u, u^2, and of each break's power beyond it
    load: Floats  # (CELLS,) mm, f''' by shares in the cells
    breaks: tuple[Break, ...] = ()

    def __post_init__(self) -> None:
        for name in ("sites", "free", "load"):
            object.__setattr__(self, name, read_only(getattr(self, name)))
        if len(self.sites) < 2 or (np.diff(self.sites) <= 0).any():
            raise ValueError("a batten wants two or more sites, rising")

    @cached_property
    def _cells(self) -> tuple[Floats, Floats, Floats]:
        """(CELLS,) f, f' and f'' by shares where each cell begins, of the curve without its breaks."""
        constant, slope, square = self.free[:3]
        # Forward of its run a curve goes on as its image would aft of it: slopes and f''' have the other sign.
        fore = [state[:0:-1] for state in _run_on(-self.load[PAST - 1 :: -1])]
        values, slopes, bends = (
            np.concatenate([sign * before, state[:-1]])
            for sign, before, state in zip((1, -1, 1), fore, _run_on(self.load[PAST:]), strict=True)
        )
        at = EDGES[:-1]
        return constant + at * (slope + at * square) + values, slope + 2 * square * at + slopes, 2 * square + bends

    def _placed(self, at: Floats) -> tuple[Floats, Floats, Floats, Floats, Floats, Floats]:
        """f, f', f'' where each place's cell begins, f''' in it, how far on the place is and how far past an end."""
        share = (np.asarray(at, dtype=np.float64) - self.start) / self.run
        held = held_between(share, EDGES[0], EDGES[-1])
        # A place nobody knows has no cell, and its value is not known either.
        cell = np.minimum(((np.nan_to_num(held) - EDGES[0]) * IN_RUN).astype(np.int64), CELLS - 1)
        values, slopes, bends = self._cells
        return values[cell], slopes[cell], bends[cell], self.load[cell], share - EDGES[cell], share - held

    def _beyond(self, at: Floats) -> list[tuple[float, int, Floats]]:
        """Of each break: its amount, its power, and how far beyond it each place lies, in shares."""
        return [
            (float(amount), one.power, np.maximum((np.asarray(at) - one.at) / self.run, 0.0))
            for amount, one in zip(self.free[3:], self.breaks, strict=True)
        ]

    def value(self, at: Floats) -> Floats:
        """f at places (...), mm."""
        value, slope, bend, load, on, past = self._placed(at)
        found = value + on * (slope + on * bend / 2) + load * (on**3 - past**3) / 6
        for amount, power, beyond in self._beyond(at):
            found = found + amount * beyond**power
        return np.asarray(found)

    def slope(self, at: Floats) -> Floats:
        """f' at places (...)."""
        _, slope, bend, load, on, past = self._placed(at)
        found = slope + on * bend + load * (on**2 - past**2) / 2
        for amount, power, beyond in self._beyond(at):
            found = found + amount * (2 * beyond if power == 2 else (beyond > 0))
        return np.asarray(found / self.run)

    def bend(self, at: Floats) -> Floats:
        """f'' at places (...), 1/mm; of a break that turns, only beside it."""
        _, _, bend, load, on, past = self._placed(at)
        found = bend + load * (on - past)
        for amount, power, beyond in self._beyond(at):
            found = found + (2 * amount * (beyond > 0) if power == 2 else 0.0)
        return np.asarray(found / self.run**2)


@dataclass(frozen=True, eq=False)
class BattenFit:
    """A row of figures faired: the line that is likeliest with no figure moved beyond its limit."""

    sites: Floats  # (n,) mm, rising
    given: Floats  # (n,) mm
    limits: Floats  # (n,) mm, how far each may move; 0 locks it
    row: RowFit | None  # what the figures say without limits; None for figures too few to say anything

    __repr__ = brief

    @cached_property
    def _pulls(self) -> Floats | None:
        """(n,) 1/mm, by which limits hold the line; None where it lies within them by itself."""
        if self.row is None or (np.abs(self.row.mean - self.given) <= self.limits + NEAR_ENOUGH).all():
            return None
        return pulls_within(self.row.mean, self.row.covariance, self.given, self.limits)

    @cached_property
    def faired(self) -> Floats:
        """(n,) mm, the line at the sites."""
        if self.row is None:
            return self.given
        found = self.row.mean if self._pulls is None else self.row.mean + self.row.covariance @ self._pulls
        at_limit = np.zeros(len(found)) if self._pulls is None else -np.sign(self._pulls)
        # What a limit holds lies at it, to the last digit.
        found = np.where(at_limit != 0.0, self.given + at_limit * self.limits, found)
        return read_only(held_between(found, self.given - self.limits, self.given + self.limits))

    @cached_property
    def batten(self) -> Batten:
        """The line."""
        if self.row is None:
            return _parabola(self.sites, self.given)
        return _batten(self.row, *self.row.curve(self._pulls))

    def within(self, limits: Floats) -> BattenFit:
        """The same figures faired within other limits."""
        return replace(self, limits=limits)

    def through(self, values: Floats) -> Batten:
        """The line moved so that it runs through values (n,), mm: this line itself, for its own values."""
        if self.row is None:
            return _parabola(self.sites, values)
        free, load = self.row.through(values - self.faired)
        return replace(self.batten, free=self.batten.free + free, load=self.batten.load + load)

    def band_at(self, at: Floats) -> Floats:
        """(m,) mm, how far the line may be out at places (m,), 19 times of 20; NaN where its figures are too few."""
        return np.full(len(at), np.nan) if self.row is None else band95(self.row, at)

    def helps(self, at: Floats, goal: Floats) -> Floats:
        """(m, k) mm, the band at goals (m,) once one more figure has been measured at one of places (k,)."""
        return np.full((len(goal), len(at)), np.nan) if self.row is None else band95_left(self.row, goal, at)


def fit_batten(
    sites: Floats,
    given: Floats,
    *,
    limits: Floats,
    noise: float,
    breaks: tuple[Break, ...] = (),
    like: BattenFit | None = None,
) -> BattenFit:
    """A batten sprung near figures.

    Parameters
    ----------
    sites, given : (n,) mm
        Places, rising, and the values given there.
    limits : (n,) mm
        How far each value may move; 0 locks it.
    noise : float
        mm, standard deviation of the rounding in the given values: step / sqrt(12). Figures that plainly lie far nearer
        to a fair line than their notation could have left them are held to be written finer.
    breaks
        Where the line may turn at once, or begin at once to curve otherwise.
    like : BattenFit, optional
        A fit of nearly the same row: how likely each kind of batten is stays as it was found there.

    Returns
    -------
    BattenFit
        Fewer than four figures stay where they are, and a line or a parabola runs through them.
    """
    enough = len(sites) > 3 + len(breaks)
    row = RowFit(sites, given, noise, breaks, None if like is None else like.row) if enough else None
    return BattenFit(read_only(sites), read_only(given), read_only(limits), row)


def batten_through(sites: Floats, values: Floats, *, corners: Sequence[float] = ()) -> Batten:
    """The batten through values (n,) known exactly, at sites (n,) that rise, mm; it may turn sharply at corners."""
    held = (np.asarray(each, dtype=np.float64).tobytes() for each in (sites, values))
    return _through(*held, tuple(corners))


@lru_cache(maxsize=REMEMBERED)
def _through(sites_held: bytes, values_held: bytes, corners: tuple[float, ...]) -> Batten:
    sites, values = np.frombuffer(sites_held), np.frombuffer(values_held)
    if len(sites) < 2 or (np.diff(sites) <= 0).any():
        raise ValueError("a batten wants two or more sites, rising")
    least = _parabola(sites, values)
    if len(sites) < 4 or np.abs(least.value(sites) - values).max() <= STRAIGHT * np.abs(values).max():
        return least
    row = RowFit(sites, values, noise=0.0, breaks=tuple(Break(at, 1) for at in corners))
    return _batten(row, *row.through(values))


def batten_along(sites: Floats, start: float, run: float, curve: Callable[[Floats], Floats]) -> Batten:
    """The batten nearest to a smooth curve over its run, by least squares; ``sites`` are the places of its figures.

    >>> line = batten_along(np.array([0.0, 500.0]), 0.0, 1000.0, lambda x: 100 * np.sin(x / 300.0))
    >>> bool(abs(line.value(np.array([333.0])) - 100 * np.sin(1.11)).max() < 1e-4)
    True
    """
    shares, solve = _nearest_shapes()
    amounts = solve @ curve(start + run * shares)
    return Batten(sites, start, run, amounts[:3], amounts[3:])


@lru_cache(maxsize=1)
def _nearest_shapes() -> tuple[Floats, Floats]:
    """Shares (n,) of a run, and what makes amounts of a batten (3 + CELLS, n) of the values there.

    The load of neighbouring cells is held alike, so that past the ends, where no value is, it goes on as it was.
    """
    shares = np.linspace(0.0, 1.0, 2 * IN_RUN + 1)
    free = shares[:, None] ** np.arange(3)
    cells = np.eye(CELLS)
    loads = np.column_stack([Batten(np.array([0.0, 1.0]), 0.0, 1.0, np.zeros(3), one).value(shares) for one in cells])
    steady = NEIGHBOURLY * (np.eye(CELLS)[1:] - np.eye(CELLS)[:-1])
    table = np.concatenate([np.column_stack([free, loads]), np.column_stack([np.zeros((CELLS - 1, 3)), steady])])
    return shares, np.asarray(np.linalg.pinv(table)[:, : len(shares)])


def _parabola(sites: Floats, values: Floats) -> Batten:
    """The line or parabola nearest to values (n,), through two or three of them."""
    start, run = float(sites[0]), float(sites[-1] - sites[0])
    shares = (sites - start) / run
    shapes = shares[:, None] ** np.arange(min(3, len(sites)))
    free = np.zeros(3)
    free[: shapes.shape[1]] = np.linalg.lstsq(shapes, values)[0]
    return Batten(sites, start, run, free, np.zeros(CELLS))


def _run_on(load: Floats) -> tuple[Floats, Floats, Floats]:
    """(n + 1,) f, f' and f'' by shares at the edges of n cells with f''' (n,), of a curve that begins from nothing."""

    def sums(steps: Floats) -> Floats:
        return np.concatenate([[0.0], np.cumsum(steps)])

    width = 1.0 / IN_RUN
    bends = sums(load * width)
    slopes = sums(bends[:-1] * width + load * width**2 / 2)
    values = sums(slopes[:-1] * width + bends[:-1] * width**2 / 2 + load * width**3 / 6)
    return values, slopes, bends


def _batten(row: RowFit, free: Floats, load: Floats) -> Batten:
    return Batten(row.sites, float(row.sites[0]), row.run, free, load, row.breaks)
