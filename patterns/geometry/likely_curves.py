"""How likely a row of values is as a smooth curve with a little noise, and how likely it would be with one changed.

Values are held to be a quadratic of any size, plus a smooth random curve whose liveliness is not known, plus noise of
at least the rounding they were written to, and for some a hard turn at one end. What is not known is summed over a grid
of what it may be, so that a lively or a noisy row makes room for itself (a mixture of Gaussian processes).

Source: C. E. Rasmussen and C. K. I. Williams, Gaussian Processes for Machine Learning, MIT Press 2006, sections 2.7
(free quadratics) and 5.4 (likelihood, and leaving one out). A turn adds one shape to the covariance, so that its
likelihood follows from the rest by the determinant lemma and the formula of Sherman and Morrison (their A.3).
"""

from __future__ import annotations

from dataclasses import dataclass
from functools import cached_property

import numpy as np

from patterns.geometry.arrays import Floats

SMOOTH_REACHES = np.array([0.25, 0.45, 0.8])
SPRUNG_REACHES = np.array([0.25, 0.5, 1.0])
"""How far along its run a curve remembers its bending, shares of the run: curves smooth in every derivative, and such
as a strip sprung through a few pins makes, whose third derivative jumps."""

BENDS = np.geomspace(0.004, 6.0, 10)
BEND_ODDS = np.exp(-((np.log(BENDS / 0.12) / 1.6) ** 2) / 2)
"""How much the bending swings along the run, as f'' times the run, and how common each is held to be: from random fair
boats, then twice as wide."""

NOISES = np.array([1.0, 1.5, 2.5, 5.0])
NOISE_ODDS = np.array([0.7, 0.18, 0.08, 0.04])
"""Noise as multiples of the rounding's own, and how common each is held to be."""

STEP_NOISE = np.sqrt(12.0)
"""Rounding to a step spreads evenly over it: step / sqrt(12) is its standard deviation."""

TURN_REACHES = np.array([0.05, 0.15, 0.3])
TURNS = np.array([0.003, 0.012])
TURN_SHARE = 0.1
"""Lines that turn hard at an end: over what share of their run, how far that takes the end off, in shares of the run,
and how many lines do. Judgement of this program, held to by random fair boats."""


@dataclass(frozen=True, eq=False)
class LeftOut:
    """What a row says of each of its values (n,) by the others."""

    expected: Floats  # mm
    spread: Floats  # mm
    evidence: Floats  # log likelihood of the others alone, on the scale of LikelyCurves.evidence


@dataclass(frozen=True, eq=False)
class LikelyCurves:
    """Everything that depends on the sites alone."""

    sites: Floats  # (n,) mm, rising
    step: float  # mm, to which the values are rounded

    @cached_property
    def _u(self) -> Floats:
        return np.asarray((self.sites - self.sites[0]) / (self.sites[-1] - self.sites[0]))

    @cached_property
    def _run(self) -> float:
        return float(self.sites[-1] - self.sites[0])

    @cached_property
    def _grid(self) -> tuple[Floats, Floats]:
        """Precision (curves, n, n) of the values beside quadratics, and log odds (curves,) with its determinant."""
        u = self._u
        flat = np.linalg.qr(np.stack([np.ones_like(u), u, u**2], axis=1), mode="complete")[0][:, 3:].T
        shares, modes = np.linalg.eigh(flat @ _kernels(np.abs(u[:, None] - u)) @ flat.T)
        axes = np.swapaxes(modes, 1, 2) @ flat
        swing = BENDS[:, None, None] ** 2 * np.maximum(shares, 0.0)[:, None, None, :] * self._run**2
        noise = (self.step / STEP_NOISE * NOISES)[:, None] ** 2
        precise = 1.0 / (swing + noise)
        precision = np.einsum("rki,rsqk,rkj->rsqij", axes, precise, axes)
        odds = np.log((BEND_ODDS / BEND_ODDS.sum())[:, None] * NOISE_ODDS / len(precise))
        log = odds + np.log(precise).sum(axis=-1) / 2
        return precision.reshape(-1, len(u), len(u)), log.reshape(-1)

    @cached_property
    def _turns(self) -> tuple[Floats, Floats]:
        """Shapes (turns, n) that a hard turn of usual size adds, the first none at all, and log odds (turns,)."""
        fore = np.clip(1.0 - self._u / TURN_REACHES[:, None], 0.0, None) ** 2
        aft = np.clip(1.0 - (1.0 - self._u) / TURN_REACHES[:, None], 0.0, None) ** 2
        shapes = (np.concatenate([fore, aft])[:, None, :] * TURNS[:, None] * self._run).reshape(-1, len(self._u))
        odds = np.r_[1 - TURN_SHARE, np.full(len(shapes), TURN_SHARE / len(shapes))]
        return np.concatenate([np.zeros((1, len(self._u))), shapes]), np.log(odds)

    @cached_property
    def _turned(self) -> tuple[Floats, Floats]:
        """Precision times each turn's shape (curves, turns, n), and the turn's own amount (curves, turns)."""
        precision, _ = self._grid
        shapes, _ = self._turns
        leant = shapes @ precision
        return leant, (leant * shapes).sum(axis=-1)

    def evidence(self, values: Floats) -> Floats:
        """Log likelihood (rows,) of rows of values (rows, n), up to a constant of the sites."""
        precision, log = self._grid
        leant, amount = self._turned
        fit = ((values @ precision) * values).sum(axis=-1)  # (curves, rows)
        pull = values @ np.swapaxes(leant, 1, 2)  # (curves, rows, turns)
        room = 1.0 + amount[:, None, :]
        each = (pull**2 / room - np.log(room)) / 2 + self._turns[1]
        return _log_of_sum((log[:, None] - fit / 2)[..., None] + each, axis=(0, 2))[0]

    def left_out(self, values: Floats) -> LeftOut:
        """What the others say of each of values (n,)."""
        precision, log = self._grid
        shapes, odds = self._turns
        leant, amount = self._turned
        pulled = precision @ values  # (curves, n)
        own = np.diagonal(precision, axis1=1, axis2=2)
        alone = (log - pulled @ values / 2)[:, None] + (pulled**2 / own - np.log(own / (2 * np.pi))) / 2
        # With a turn, and the value left out: the turn seen by the others alone.
        pull = pulled @ shapes.T  # (curves, turns)
        left = amount[..., None] - leant**2 / own[:, None, :] + 1.0
        bent = pull[..., None] - leant * (pulled / own)[:, None, :]
        weights = alone[:, None, :] + odds[:, None] + (bent**2 / left - np.log(left)) / 2  # (curves, turns, n)
        room = 1.0 + amount[..., None]
        held = own[:, None, :] - leant**2 / room
        off = (pulled[:, None, :] - leant * pull[..., None] / room) / held
        total, weights = _log_of_sum(weights, axis=(0, 1))
        middle = (weights * off).sum(axis=(0, 1))
        spread = np.sqrt((weights * (1.0 / held + (off - middle) ** 2)).sum(axis=(0, 1)))
        return LeftOut(values - middle, spread, total)


def _log_of_sum(logs: Floats, *, axis: tuple[int, int]) -> tuple[Floats, Floats]:
    """The log of a sum whose terms' logs are given, and what share of it each term is."""
    most = logs.max(axis=axis, keepdims=True)
    terms = np.exp(logs - most)
    total = terms.sum(axis=axis, keepdims=True)
    return np.asarray((most + np.log(total)).squeeze(axis)), terms / total


def _kernels(apart: Floats) -> Floats:
    """(reaches, n, n) covariance of values so far apart (n, n) in shares of the run, for a bend of 1.

    Gaussian, and Matern of order 7/2 (Rasmussen and Williams, section 4.2.1); f'' swings by 1 / reach^2 of what f does,
    times the second derivative of the kernel's own shape.
    """
    smooth = apart / SMOOTH_REACHES[:, None, None]
    t = np.sqrt(7.0) * apart / SPRUNG_REACHES[:, None, None]
    kernels = [np.exp(-(smooth**2) / 2), (1 + t + 2 * t**2 / 5 + t**3 / 15) * np.exp(-t)]
    return np.concatenate(
        [
            kernel * reach[:, None, None] ** 4
            for kernel, reach in zip(kernels, (SMOOTH_REACHES, SPRUNG_REACHES), strict=True)
        ]
    )
