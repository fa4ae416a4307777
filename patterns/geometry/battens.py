"""Battens: curves that change their bending as little as they can.

Source: H. P. Moreton and C. H. Sequin, Functional optimization for fair surface design, SIGGRAPH 1992 (minimum
variation curves); the choice of stiffness by restricted likelihood after C. Reinsch, Smoothing by spline
functions, Numer. Math. 10 (1967), and G. Wahba, Spline Models for Observational Data, SIAM (1990), ch. 4.
"""

from __future__ import annotations

from dataclasses import dataclass
from functools import cached_property

import numpy as np
from scipy.interpolate import BSpline, make_interp_spline
from scipy.linalg import null_space
from scipy.optimize import lsq_linear

from patterns.geometry.arrays import Floats, held_between, read_only

GAUSS_POINTS, GAUSS_WEIGHTS = np.polynomial.legendre.leggauss(3)
"""Exact for the square of a quadratic, which is what the third derivative of a quintic is."""

FEWEST_FOR_TREND = 6  # sites; a trend read off fewer would be made of their rounding

AT_LIMIT = 1e-9  # share of its limit by which a move may miss it and press against it all the same
TRIALS = 97
LEAST_NOISE = 1e-18  # mm2
EXACT, SURE = 10.0, 16.0
"""Values whose noise is under a tenth of their notation's are exact, where that is likelier by e^8 (here doubled)."""
FREE, STIFF = 1e-6, 1e6
"""Trial stiffnesses run from one that lets the hardest bend through untouched to one that stops the softest."""


@dataclass(frozen=True, eq=False)
class Batten:
    """The curve through given values whose bending changes as steadily as it can, let run past its ends.

    Among all curves through the values it minimises the integral of (f''' - a - b x)^2, the steady trend a + b x chosen
    with it: held to none at all, f''' would have to vanish at the ends, which no arc's does. Between the ends it is a
    quintic spline, past them the parabola that touches it there; so a parabola comes back as itself, everywhere.
    """

    sites: Floats  # (n,) mm, rising
    values: Floats  # (n,) mm

    def __post_init__(self) -> None:
        object.__setattr__(self, "sites", read_only(self.sites))
        object.__setattr__(self, "values", read_only(self.values))
        if len(self.sites) < 2 or (np.diff(self.sites) <= 0).any():
            raise ValueError("a batten wants two or more sites, rising")

    @cached_property
    def _run(self) -> float:
        return float(self.sites[-1] - self.sites[0])

    @cached_property
    def _spline(self) -> BSpline:
        # Over a run of 1: fourth derivatives over thousands of mm would cost half the digits.
        return _steady_spline((self.sites - self.sites[0]) / self._run, self.values)

    def value(self, at: Floats) -> Floats:
        """f at places (...), mm."""
        held, past = self._held(at)
        if len(self.sites) == 2:
            return np.asarray(self.values[0] + (held + past) * (self.values[1] - self.values[0]))
        found = np.asarray(self._spline(held))
        out = past != 0.0
        if out.any():
            end, by = held[out], past[out]
            found[out] += by * (self._spline(end, nu=1) + by * self._spline(end, nu=2) / 2)
        return found

    def slope(self, at: Floats) -> Floats:
        """f' at places (...)."""
        held, past = self._held(at)
        found = np.asarray(self._spline(held, nu=1))
        out = past != 0.0
        if out.any():
            found[out] += past[out] * self._spline(held[out], nu=2)
        return found / self._run

    def _held(self, at: Floats) -> tuple[Floats, Floats]:
        """Places as shares of the run, held between the ends, and how far past them each lies."""
        share = (np.asarray(at) - self.sites[0]) / self._run
        held = held_between(share, 0.0, 1.0)
        return held, share - held


def fair_values(
    sites: Floats, given: Floats, *, limits: Floats, noise: float, stiffness: float | None = None
) -> Floats:
    """Values near the given ones through which a batten runs fair.

    The batten gives up change of bending for movement of its pins: it minimises
    ``stiffness * integral of f'''^2 + sum of moves^2`` with no move beyond its limit. The stiffness is the one that
    the given values make most likely, holding their noise to be at least that of their notation, unless they plainly
    lie far nearer to a fair curve than their notation could have left them. (Bending alone
    would move a flat arc to a parabola, and would have no single answer where a parabola fits within the limits.)

    Parameters
    ----------
    sites, given : (n,) mm
        Places, rising, and the values given there.
    limits : (n,) mm
        How far each value may move; 0 locks it.
    noise : float
        mm, standard deviation of the rounding in the given values: step / sqrt(12).
    stiffness : float, optional
        The batten's stiffness, where it was settled before (``likely_stiffness``).

    Returns
    -------
    (n,) mm
    """
    if len(sites) < 4:
        return given.copy()
    shape = bending_root(sites)
    if stiffness is None:
        stiffness = likely_stiffness(shape, given, noise)
    moves = _bounded_moves(np.sqrt(stiffness) * shape, given, limits)
    return np.asarray(given + moves)


def bending_root(sites: Floats) -> Floats:
    """A root of the energy: (m, n) L with ``integral f'''^2 = |L values|^2``, sites scaled to a run of 1."""
    scaled = (sites - sites[0]) / (sites[-1] - sites[0])
    return np.asarray(np.linalg.qr(_third_derivatives(scaled, np.eye(len(sites))), mode="r"))


def _third_derivatives(sites: Floats, values: Floats) -> Floats:
    """(3 (n - 1), k) third derivatives of free battens through values (n, k), weighted to be squared and summed."""
    half = np.diff(sites) / 2
    places = (sites[:-1] + half)[:, None] + half[:, None] * GAUSS_POINTS
    weights = np.sqrt(half[:, None] * GAUSS_WEIGHTS)
    return np.asarray(_natural_spline(sites, values).derivative(3)(places.ravel()) * weights.reshape(-1, 1))


def likely_stiffness(shape: Floats, given: Floats, noise: float) -> float:
    """The ratio of bending to movement under which the given values are most likely.

    Values are held to be a batten of random load plus noise; quadratics, which cost no change of bending, are
    set aside first (restricted likelihood).
    """
    energy = shape.T @ shape
    free = null_space(_quadratics(energy))
    costs, modes = np.linalg.eigh(free.T @ energy @ free)
    amounts = (modes.T @ free.T @ given) ** 2
    costs = np.maximum(costs, costs[-1] * 1e-14)
    trials = np.geomspace(FREE / costs[-1], STIFF / costs[0], TRIALS)
    spread = 1 + 1 / (trials[:, None] * costs)
    own = (amounts / spread).mean(axis=1)
    floor = noise**2 + LEAST_NOISE
    likely = [
        -(np.log(variance[:, None] * spread) + amounts / (variance[:, None] * spread)).sum(axis=1)
        for variance in (np.maximum(own, floor), np.clip(own, LEAST_NOISE, LEAST_NOISE + floor / EXACT**2))
    ]
    # Figures of a known curve written more finely than they are said to be: rounding does not make these by chance.
    best = likely[0] if likely[1].max() < likely[0].max() + SURE else likely[1]
    return float(trials[np.argmax(best)])


def _quadratics(energy: Floats) -> Floats:
    """(3, n) the values that cost nothing: the three softest directions of the energy."""
    return np.asarray(np.linalg.eigh(energy)[1][:, :3].T)


def _bounded_moves(stiff: Floats, given: Floats, limits: Floats) -> Floats:
    """Least ``|moves|^2 + |stiff (given + moves)|^2`` with each |move| within its limit."""
    count = len(given)
    matrix = np.vstack([np.eye(count), stiff])
    target = np.concatenate([np.zeros(count), -stiff @ given])
    free = np.linalg.lstsq(matrix, target)[0]
    if (np.abs(free) <= limits).all():
        return np.asarray(free)
    moves = np.zeros(count)
    loose = limits > 0
    if not loose.any():
        return moves
    held = (-limits[loose], limits[loose])
    moves[loose] = lsq_linear(matrix[:, loose], target, bounds=held, method="bvls", max_iter=20 * count).x
    # The solver stops at its own tolerance; with what it presses against its limits known, the rest is solved outright.
    free_ones = np.abs(moves) < limits * (1 - AT_LIMIT)
    moves[~free_ones] = np.sign(moves[~free_ones]) * limits[~free_ones]
    if free_ones.any():
        rest = target - matrix[:, ~free_ones] @ moves[~free_ones]
        moves[free_ones] = np.linalg.lstsq(matrix[:, free_ones], rest)[0]
    return np.asarray(np.clip(moves, -limits, limits))


def _steady_spline(sites: Floats, values: Floats) -> BSpline:
    """The quintic spline through values (n,) whose third derivative leaves a straight trend as little as it can."""
    if len(sites) < FEWEST_FOR_TREND:
        return _natural_spline(sites, values)
    thirds = _third_derivatives(sites, np.stack([sites**3, sites**4, values], axis=1))
    cubic, quartic = np.linalg.lstsq(thirds[:, :2], thirds[:, 2])[0]
    ends = [[(3, 6 * cubic + 24 * quartic * end), (4, 24 * quartic)] for end in sites[[0, -1]]]
    return make_interp_spline(sites, values, k=5, bc_type=tuple(ends))  # type: ignore[arg-type]


def _natural_spline(sites: Floats, values: Floats) -> BSpline:
    """The quintic spline through values (n,) or (n, k), free at its ends; a line or parabola for 2 or 3 sites."""
    if len(sites) < 4:
        return make_interp_spline(sites, values, k=len(sites) - 1)
    # Nothing holds the batten past its last pins: third and fourth derivatives vanish there.
    nothing = np.zeros(values.shape[1:])
    free_end = [(3, nothing), (4, nothing)]
    return make_interp_spline(sites, values, k=5, bc_type=(free_end, free_end))  # type: ignore[arg-type]  # the stubs know no derivatives
