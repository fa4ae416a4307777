"""Whether a row of figures shows that its line turns at once somewhere, or begins at once to curve otherwise.

Each other reading of the row adds one shape of unknown size to what a fair line may do: a turn at a figure or between
two, a jump of bending at a figure, or one figure by itself out of its place. How likely the row is then follows from
the fit by the determinant lemma and the formula of Sherman and Morrison (Rasmussen and Williams, Gaussian Processes
for Machine Learning, MIT Press 2006, A.3), summed over the kinds of batten, their sizes and noises, and three sizes of
the shape. Nothing is ever fitted so: a reading is told with its odds, for the builder to declare.
"""

from __future__ import annotations

from dataclasses import dataclass
from enum import StrEnum

import numpy as np

from patterns.geometry.arrays import Floats
from patterns.geometry.batten_fits import RowFit

FEWEST = 5  # figures; two either side of one
FEWEST_BETWEEN = 6
BEYOND = 2  # figures either side of a break, or nothing can be said of it
SHARES_OF_BAY = (0.3, 0.5, 0.7)  # where a turn between two figures is tried

TURNS = np.array([0.012, 0.04, 0.15])  # changes of slope
JUMPS = np.array([0.05, 0.2, 0.8])  # jumps of bending, times the run
SLIPS = np.array([6.0, 25.0, 100.0])  # slips of one figure, times the rounding's own noise
LEAST_SLIPS = np.array([2.0, 8.0, 40.0])  # mm, and no less than these
"""Standard deviations of each shape's size. From random boats; judgement of this program."""

UNLIKELY = 20.0  # log likelihood; battens so much less likely than the best one count for nothing


class Reading(StrEnum):
    """What else than a fair line a row may show."""

    TURN = "a turn at a figure"
    TURN_BETWEEN = "a turn between two figures"
    JUMP = "a jump of bending at a figure"
    SLIP = "one figure out of its place"


PRIOR_ODDS = {Reading.TURN: -4.0, Reading.TURN_BETWEEN: -5.5, Reading.JUMP: -4.0, Reading.SLIP: -4.0}
"""Log odds, before the figures are looked at, that a row has one of the kind anywhere."""


@dataclass(frozen=True, slots=True)
class Read:
    """One reading of a row, against the fair line that has nothing the matter."""

    what: Reading
    figure: int  # number of the figure in the row; of a turn between two, of the one before it
    at: float  # mm, where it is
    odds: float  # log odds
    size: float  # a change of slope; a jump of bending, 1/mm; a figure's way out of its place, mm


def readings(row: RowFit) -> tuple[Read, ...]:
    """Every reading of a row that can be weighed, in no order."""
    tried = _tried(row)
    if not tried:
        return ()
    shapes = np.array([_shape(row, what, figure, at) for what, figure, at in tried])  # (h, n)
    kinds = [what for what, _, _ in tried]
    sizes = np.stack([_sizes(what, row.noise) for what in kinds], axis=1)  # (3, h)
    odds = np.array([PRIOR_ODDS[what] - np.log(kinds.count(what)) for what in kinds])
    gains, found = _weighed(row, shapes, sizes)
    found[[what is Reading.JUMP for what in kinds]] /= row.run
    return tuple(
        Read(what, figure, at, float(log), float(size))
        for (what, figure, at), log, size in zip(tried, gains + odds, found, strict=True)
    )


def _tried(row: RowFit) -> list[tuple[Reading, int, float]]:
    count, sites = len(row.sites), row.sites
    if count < FEWEST:
        return []
    inner = range(BEYOND, count - BEYOND)
    tried = [(what, j, float(sites[j])) for what in (Reading.TURN, Reading.JUMP) for j in inner]
    if count >= FEWEST_BETWEEN:
        tried += [
            (Reading.TURN_BETWEEN, j, float(sites[j] + share * (sites[j + 1] - sites[j])))
            for j in range(BEYOND - 1, count - BEYOND)
            for share in SHARES_OF_BAY
        ]
    return tried + [(Reading.SLIP, j, float(sites[j])) for j in range(count)]


def _shape(row: RowFit, what: Reading, figure: int, at: float) -> Floats:
    """(n,) mm at the sites, of size 1: a slope by mm, a bending of 1 over the run, a mm."""
    beyond = np.maximum(row.sites - at, 0.0)
    match what:
        case Reading.TURN | Reading.TURN_BETWEEN:
            return np.asarray(beyond)
        case Reading.JUMP:
            return np.asarray(beyond**2 / (2 * row.run))
        case Reading.SLIP:
            return np.asarray(np.eye(len(row.sites))[figure])


def _sizes(what: Reading, noise: float) -> Floats:
    """(3,) standard deviations of a shape's size."""
    match what:
        case Reading.TURN | Reading.TURN_BETWEEN:
            return TURNS
        case Reading.JUMP:
            return JUMPS
        case Reading.SLIP:
            return np.asarray(np.maximum(SLIPS * noise, LEAST_SLIPS))


def _weighed(row: RowFit, shapes: Floats, sizes: Floats) -> tuple[Floats, Floats]:
    """By what log likelihood (h,) each shape betters the row, and of what size (h,) it then is."""
    modes, log = row.all_modes, row.likelihoods.reshape(-1, 1)
    precise = 1.0 / row.swing(modes)  # (k, t, n - p)
    seen = np.swapaxes(shapes @ modes.axes, 1, 2)  # (k, n - p, h)
    pull = ((precise * modes.amounts[:, None, :]) @ seen).reshape(len(log), -1)
    own = (precise @ seen**2).reshape(len(log), -1)
    # A shape betters a trial most where it may be largest. Trials that stay unlikely with every shape are left out.
    most = (log + pull**2 / (own + sizes[-1] ** -2) / 2).max(axis=1)
    heard = most > log.max() - UNLIKELY
    log, pull, own, top = log[heard], pull[heard], own[heard], most.max()
    by_size = [
        np.exp(log - top + pull**2 / (own + size**-2) / 2) / np.sqrt(1.0 + own * size**2) / len(sizes) for size in sizes
    ]
    with np.errstate(divide="ignore", invalid="ignore"):  # shapes that make the row too unlikely to be written
        gains = np.log(np.sum(by_size, axis=(0, 1))) + top - row.evidence
        # The size as the widest of the three lets it be.
        widest = by_size[-1]
        found = (widest * pull / (own + sizes[-1] ** -2)).sum(axis=0) / widest.sum(axis=0)
    return gains, np.where(np.isfinite(found), found, 0.0)
