"""What the figures of one row say of the line they were taken from: its likeliest course, and how sure that is.

The figures are a line and the rounding of their notation. The line is sprung with one of many kinds of batten
(`patterns.geometry.batten_kinds`), which one, how lively and how well rounded is not known: all are weighed by how
likely they make the figures, and everything told is the mean over them.

Source: C. E. Rasmussen and C. K. I. Williams, Gaussian Processes for Machine Learning, MIT Press 2006, sections 2.2 and
2.7 (free quadratics); restricted likelihood after G. Wahba, Spline Models for Observational Data, SIAM 1990, ch. 4.
"""

from __future__ import annotations

from dataclasses import dataclass
from functools import cached_property

import numpy as np
from numpy.typing import NDArray
from scipy.linalg import solve_triangular

from patterns.geometry.arrays import Floats, dots, read_only
from patterns.geometry.batten_kinds import cell_weights, kinds
from patterns.geometry.short_repr import brief

SIZES = np.geomspace(3e-5, 0.1, 9)
SIZE_ODDS = -(((np.log(SIZES) - np.log(0.004)) / 1.8) ** 2) / 2
"""How far lines leave their best parabola, root mean square in shares of the run, and log odds of that."""

NOISES = np.array([1.0, 1.5, 2.5, 5.0])
NOISE_ODDS = np.log([0.7, 0.18, 0.08, 0.04])
FINER = np.array([1e-1, 1e-2, 1e-3, 1e-4])
FINER_ODDS = -8.0
"""Noise as multiples of the notation's own, and log odds: more of it is common; less means that figures were written
finer than they are said to be, which rounding does not do by chance."""

LEAST_NOISE = 2e-5  # mm
KEPT = 1e-4  # of the likeliest; what is less likely is left out of the mean
SOFTEST = 1e-14  # of the limberest mode of a batten; a mode stiffer than that is lost in rounding

NOISES_ALL = np.concatenate([NOISES, FINER])
_PRIOR = SIZE_ODDS[:, None] + np.concatenate([NOISE_ODDS, np.full(len(FINER), FINER_ODDS)])


@dataclass(frozen=True, slots=True)
class Break:
    """A place where a line may turn at once (power 1), or begin at once to curve otherwise (power 2)."""

    at: float  # mm
    power: int


@dataclass(frozen=True, eq=False)
class Weights:
    """How likely each kind of batten, size and noise is: shares that add up to 1."""

    shares: Floats  # (l, sizes * noises)
    live: NDArray[np.int64]  # (l,) numbers of the kinds that have any


@dataclass(frozen=True, eq=False)
class Modes:
    """The kinds of batten in the figures' own modes, beside what is free."""

    numbers: NDArray[np.int64]  # (l,) of the kinds
    felt: Floats  # (l, CELLS, n) how f''' in the cells goes with f at the sites, mm2 for a size of 1
    axes: Floats  # (l, n, n - p) unit
    limber: Floats  # (l, n - p) mm2, how far each mode swings for a size of 1
    amounts: Floats  # (l, n - p) mm, of the figures


@dataclass(frozen=True, eq=False)
class RowFit:
    """The fit of one row of figures, before any limit on how far they may move."""

    sites: Floats  # (n,) mm, rising; one more than there are free shapes, or more
    given: Floats  # (n,) mm
    noise: float  # mm, standard deviation of the rounding: step / sqrt(12)
    breaks: tuple[Break, ...] = ()
    weights_of: RowFit | None = None  # a fit of nearly the same row, whose weights are kept

    __repr__ = brief

    def __post_init__(self) -> None:
        for name in ("sites", "given"):
            object.__setattr__(self, name, read_only(getattr(self, name)))

    @property
    def run(self) -> float:
        return float(self.sites[-1] - self.sites[0])

    def shares_at(self, at: Floats) -> Floats:
        """Places (m,) as shares of the run."""
        return np.asarray((at - self.sites[0]) / self.run)

    def free_shapes(self, shares: Floats) -> Floats:
        """(m, p) what costs nothing: quadratics, and beyond each break a turn or a bend."""
        breaks = [np.clip(shares - self.shares_at(np.array(one.at)), 0.0, None) ** one.power for one in self.breaks]
        return np.stack([np.ones_like(shares), shares, shares**2, *breaks], axis=1)

    @cached_property
    def _free(self) -> tuple[Floats, Floats, Floats]:
        """Free shapes at the sites: what turns figures into their amounts (p, n); axes beside them (n, n - p); W."""
        shares = self.shares_at(self.sites)
        shapes = self.free_shapes(shares)
        axes, corner = np.linalg.qr(shapes, mode="complete")
        count = shapes.shape[1]
        amounts = solve_triangular(corner[:count], axes[:, :count].T)
        return amounts, axes[:, count:], cell_weights(shares)

    def _modes(self, numbers: NDArray[np.int64]) -> Modes:
        _, beside, weights = self._free
        felt = np.concatenate([group.felt(weights, group.own(numbers)) for group in kinds().groups])
        felt *= self.run**2
        limber, turned = np.linalg.eigh((beside.T @ weights) @ felt @ beside)
        axes = beside @ turned
        return Modes(numbers, felt, axes, np.maximum(limber, SOFTEST * limber[:, -1:]), self.given @ axes)

    @cached_property
    def _sized(self) -> tuple[Floats, Floats]:
        """Size and noise of each trial (sizes * noises,), squared: size as a share, noise in mm2."""
        noise = (self.noise * NOISES_ALL) ** 2 + LEAST_NOISE**2
        size, noise = np.broadcast_arrays(SIZES[:, None] ** 2, noise)
        return size.reshape(-1), noise.reshape(-1)

    @cached_property
    def all_modes(self) -> Modes:
        return self._modes(np.arange(len(kinds().odds)))

    @cached_property
    def likelihoods(self) -> Floats:
        """(k, sizes * noises) log likelihood of the figures with each kind, size and noise, and the odds of these."""
        modes = self.all_modes
        swing = self.swing(modes)
        fit = -(np.log(swing) + modes.amounts[:, None, :] ** 2 / swing).sum(axis=-1) / 2
        return np.asarray(fit + kinds().odds_at(self.shares_at(self.sites))[:, None] + _PRIOR.reshape(-1))

    def swing(self, modes: Modes) -> Floats:
        """(l, sizes * noises, n - p) mm2, variance of each mode's amount."""
        size, noise = self._sized
        return np.asarray(size[:, None] * modes.limber[:, None, :] + noise[:, None])

    @cached_property
    def weights(self) -> Weights:
        if self.weights_of is not None:
            return self.weights_of.weights
        log = self.likelihoods
        shares = np.exp(log - log.max())
        shares[shares < KEPT] = 0.0
        live = np.flatnonzero(shares.any(axis=1))
        return Weights(shares[live] / shares.sum(), live)

    def thinned(self) -> tuple[float, float]:
        """How likely it is that the batten was thinned toward the fore end, and toward the after end: shares of 1."""
        weights = self.weights
        of_kinds = weights.shares.sum(axis=1)
        fore, aft = (float(of_kinds[thin[weights.live]].sum()) for thin in (kinds().fore, kinds().aft))
        return fore, aft

    @cached_property
    def evidence(self) -> float:
        """Log likelihood of the figures, everything unknown summed over."""
        log = self.likelihoods
        return float(np.log(np.exp(log - log.max()).sum()) + log.max())

    @cached_property
    def _live(self) -> Modes:
        if self.weights_of is not None:
            return self._modes(self.weights.live)
        live, every = self.weights.live, self.all_modes
        return Modes(live, every.felt[live], every.axes[live], every.limber[live], every.amounts[live])

    @cached_property
    def _trials(self) -> tuple[Floats, Floats, Floats, Floats]:
        """Of the trials with any weight: weights (l, t), size (t,), noise (t,) and swing (l, t, n - p)."""
        any_weight = self.weights.shares.any(axis=0)
        size, noise = (values[any_weight] for values in self._sized)
        swing = size[:, None] * self._live.limber[:, None, :] + noise[:, None]
        return self.weights.shares[:, any_weight], size, noise, swing

    @cached_property
    def _pulls(self) -> tuple[Floats, Floats]:
        """Of each trial (l, t, n - p): the load on its modes, by mm of swing; what of their amounts is noise, mm."""
        _, size, noise, swing = self._trials
        share = self._live.amounts[:, None, :] / swing
        return size[:, None] * share, noise[:, None] * share

    @cached_property
    def _mean_noise(self) -> Floats:
        """(n,) mm, what the figures are above the line."""
        off = np.matmul(self._trials[0][:, None, :], self._pulls[1])[:, 0]
        return np.asarray((self._live.axes @ off[:, :, None]).sum(axis=0)[:, 0])

    @cached_property
    def mean(self) -> Floats:
        """(n,) mm, the line at the sites."""
        return self.given - self._mean_noise

    @cached_property
    def load(self) -> Floats:
        """(CELLS,) f''' of the line in the cells, mm over a run of 1."""
        return self._load_of(np.matmul(self._trials[0][:, None, :], self._pulls[0])[:, 0])

    def _load_of(self, amounts: Floats) -> Floats:
        """(CELLS,) f''' that amounts (l, n - p) of the modes' loads add up to."""
        modes = self._live
        at_sites = (modes.axes @ amounts[:, :, None])[:, :, 0]
        return np.asarray(np.tensordot(modes.felt, at_sites, axes=((0, 2), (0, 1))))

    @cached_property
    def mean_square_noise(self) -> float:
        """mm2, of the rounding."""
        shares, _, noise, _ = self._trials
        return float(shares.sum(axis=0) @ noise)

    @cached_property
    def covariance(self) -> Floats:
        """(n, n) mm2, of the line at the sites; sums of squares, so that nothing cancels."""
        amounts, _, _ = self._free
        shares, size, noise, swing = self._trials
        modes, off = self._live, self._pulls[1]
        left = np.matmul(shares[:, None, :], (size * noise)[:, None] * modes.limber[:, None, :] / swing)[:, 0]
        spread = np.swapaxes(off * shares[:, :, None], 1, 2) @ off
        own = (modes.axes * left[:, None, :] + modes.axes @ spread) @ np.swapaxes(modes.axes, 1, 2)
        free = self.free_shapes(self.shares_at(self.sites)) @ amounts
        total = self.mean_square_noise * free + own.sum(axis=0) - np.outer(self._mean_noise, self._mean_noise)
        return np.asarray((total + total.T) / 2)

    def curve(self, pulls: Floats | None = None) -> tuple[Floats, Floats]:
        """Amounts of the free shapes (p,) and f''' in the cells (CELLS,), of the line or of it pulled out of its place.

        ``pulls`` (n,) move the line at the sites by ``covariance @ pulls``.
        """
        if pulls is None:
            return self._with_load(self.given, self.load)
        shares, size, noise, swing = self._trials
        load, off = self._pulls
        felt = (pulls @ self._live.axes)[:, None, :]
        gain = np.matmul(shares[:, None, :], (size * noise)[:, None] / swing) * felt
        swung = np.matmul((shares * (off * felt).sum(axis=-1))[:, None, :], load)
        moved = self._load_of((gain - swung)[:, 0]) + self.load * (1.0 + float(self._mean_noise @ pulls))
        return self._with_load(self.given + self.mean_square_noise * pulls, moved)

    def through(self, values: Floats) -> tuple[Floats, Floats]:
        """The same of the curve through values (n,): the kinds' own curves through them, by their weights."""
        modes = self._live
        shares = self.weights.shares.sum(axis=1)[:, None]
        return self._with_load(values, self._load_of(shares * (values @ modes.axes) / modes.limber))

    def _with_load(self, values: Floats, load: Floats) -> tuple[Floats, Floats]:
        amounts, _, weights = self._free
        return np.asarray(amounts @ (values - weights @ load)), load

    @cached_property
    def _spread(self) -> tuple[Floats, Floats]:
        """What the figures tell of loads: (l, n - p, n - p) of each kind; prior of all f''' (CELLS, CELLS), mm2."""
        shares, size, _, swing = self._trials
        load, _ = self._pulls
        known = -np.matmul(shares[:, None, :], size[:, None] ** 2 / swing)[:, 0]
        told = np.swapaxes(load * shares[:, :, None], 1, 2) @ load
        told += known[:, :, None] * np.eye(known.shape[1])
        amounts = np.zeros(len(kinds().odds))
        amounts[self.weights.live] = shares @ size * self.run**2
        prior = np.zeros((self._live.felt.shape[1],) * 2)
        for group in kinds().groups:
            mine = amounts[group.first : group.first + len(group.strengths)]
            if mine.any():
                prior += group.covariance(mine)
        return told, prior

    def _parts(self, at: Floats) -> tuple[Floats, Floats, Floats, Floats]:
        """At places (m,): shares of the figures (m, n); of f''' (m, CELLS), of modes (l, m, n - p); the mean's (m,)."""
        amounts, _, weights = self._free
        shares = self.shares_at(at)
        free = self.free_shapes(shares) @ amounts
        cells = cell_weights(shares) - free @ weights
        modes = self._live
        felt = cells @ np.swapaxes(modes.felt, 0, 1).reshape(len(self.load), -1)
        felt = np.swapaxes(felt.reshape(len(at), *modes.felt.shape[::2]), 0, 1)
        return free, cells, felt @ modes.axes, cells @ self.load

    def spread(self, at: Floats) -> Floats:
        """(m,) mm, standard deviation of the line at places (m,)."""
        free, cells, felt, mean = self._parts(at)
        told, prior = self._spread
        square = self.mean_square_noise * dots(free, free) - mean**2 + dots(cells @ prior, cells)
        return np.asarray(np.sqrt(np.maximum(square + dots(felt @ told, felt).sum(axis=0), 0.0)))

    def covariance_at(self, at: Floats) -> Floats:
        """(m, m) mm2, of the line at places (m,)."""
        free, cells, felt, mean = self._parts(at)
        told, prior = self._spread
        own = self.mean_square_noise * free @ free.T - np.outer(mean, mean) + cells @ prior @ cells.T
        return np.asarray(own + (felt @ told @ np.swapaxes(felt, 1, 2)).sum(axis=0))


def pulls_within(mean: Floats, covariance: Floats, given: Floats, limits: Floats) -> Floats:
    """The pulls (n,) on a line that bring it within limits of the given figures, at least loss of likelihood.

    Least ``(f - mean)' covariance^-1 (f - mean)`` with each ``|f - given|`` within its limit; f is
    ``mean + covariance @ pulls``. A limit only holds back: where one pulls, f lies at it. An active set, which follows
    the side that is exceeded: where f ends is not where the mean is cut off.
    """
    count = len(mean)
    firm = covariance + np.eye(count) * (FIRM * float(np.trace(covariance)) / count)
    locked = limits <= 0.0
    side = np.zeros(count)
    for _ in range(CHANGES * count):
        held = locked | (side != 0.0)
        pulls = np.zeros(count)
        target = given + side * np.maximum(limits, 0.0)
        if held.any():
            pulls[held] = np.linalg.solve(firm[np.ix_(held, held)], (target - mean)[held])
        outward = np.where(held & ~locked, pulls * side, 0.0)
        if outward.max() > OUTWARD * np.abs(pulls).max():
            side[outward.argmax()] = 0.0
            continue
        found = mean + firm @ pulls
        over = np.where(held, 0.0, np.abs(found - given) - limits)
        worst = int(over.argmax())
        if over[worst] <= WITHIN:
            break
        side[worst] = np.sign(found[worst] - given[worst])
    return pulls


FIRM = 1e-13  # of the mean variance, added to it: modes stiffer than that have no variance left
WITHIN = 1e-10  # mm; a limit exceeded by less is kept
OUTWARD = 1e-12  # of the greatest pull; a limit that pulls the wrong way by less holds nothing
CHANGES = 20  # of the active set, by figures
