"""How likely a row of values is as a smooth curve with a little noise, and how likely it would be with one changed.

Values are held to be a quadratic of any size, plus a smooth random curve whose liveliness is not known, plus noise of
at least the rounding they were written to. What is not known is summed over a grid of what it may be, so that a
lively or a noisy row makes room for itself (a mixture of Gaussian processes).

Source: C. E. Rasmussen and C. K. I. Williams, Gaussian Processes for Machine Learning, MIT Press 2006, sections 2.7
(free quadratics) and 5.4 (likelihood, and leaving one out).
"""

from __future__ import annotations

from dataclasses import dataclass
from functools import cached_property

import numpy as np

from patterns.geometry.arrays import Floats

SMOOTH_REACHES = np.array([0.25, 0.45, 0.8, 1.4])
SPRUNG_REACHES = np.array([0.4, 1.0])
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


@dataclass(frozen=True, eq=False)
class LikelyCurves:
    """Everything that depends on the sites alone."""

    sites: Floats  # (n,) mm, rising
    step: float  # mm, to which the values are rounded

    @cached_property
    def _modes(self) -> tuple[Floats, Floats]:
        """Axes (reaches, n - 3, n) of the values beside quadratics, and their variances (reaches, n - 3)."""
        u = (self.sites - self.sites[0]) / (self.sites[-1] - self.sites[0])
        flat = np.linalg.qr(np.stack([np.ones_like(u), u, u**2], axis=1), mode="complete")[0][:, 3:].T
        shares, axes = np.linalg.eigh(flat @ _kernels(np.abs(u[:, None] - u)) @ flat.T)
        run = self.sites[-1] - self.sites[0]
        return np.swapaxes(axes, 1, 2) @ flat, np.maximum(shares, 0.0) * run**2

    @cached_property
    def _grid(self) -> tuple[Floats, Floats]:
        """Precision (reaches, bends, noises, n - 3) along each axis, and log odds (1, bends, noises) beforehand."""
        shares = self._modes[1][:, None, None, :]
        swing = BENDS[None, :, None, None] ** 2
        noise = (self.step / STEP_NOISE * NOISES)[None, None, :, None] ** 2
        precise = 1.0 / (swing * shares + noise)
        odds = (BEND_ODDS / BEND_ODDS.sum())[:, None] * NOISE_ODDS / len(precise)
        return precise, np.log(odds)[None]

    def evidence(self, values: Floats) -> Floats:
        """Log likelihood (...) of rows of values (..., n), up to a constant of the sites."""
        return np.asarray(np.logaddexp.reduce(self._each(values), axis=(-3, -2, -1)))

    def _each(self, values: Floats) -> Floats:
        """(..., reaches, bends, noises) of log likelihood with odds."""
        axes, _ = self._modes
        precise, odds = self._grid
        amounts = np.einsum("rkn,...n->...rk", axes, values) ** 2
        fit = np.einsum("rsqk,...rk->...rsq", precise, amounts)
        return np.asarray(odds + (np.log(precise).sum(axis=-1) - fit) / 2)

    def left_out(self, values: Floats) -> tuple[Floats, Floats, Floats]:
        """For each of values (n,): expected by the others, its spread, and the log density of what stands there."""
        axes, _ = self._modes
        precise, _ = self._grid
        each = self._each(values)
        held = np.einsum("rkn,rsqk->rsqn", axes**2, precise)
        pull = np.einsum("rkn,rsqk,rk->rsqn", axes, precise, axes @ values)
        off, spread2 = pull / held, 1.0 / held
        density = -(np.log(2 * np.pi * spread2) + off**2 / spread2) / 2
        weights = each[..., None] - density
        total = np.logaddexp.reduce(weights, axis=(0, 1, 2))
        weights = np.exp(weights - total)
        middle = (weights * off).sum(axis=(0, 1, 2))
        spread = np.sqrt((weights * (spread2 + (off - middle) ** 2)).sum(axis=(0, 1, 2)))
        alone = np.logaddexp.reduce(each, axis=(0, 1, 2)) - total
        return values - middle, spread, alone


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
