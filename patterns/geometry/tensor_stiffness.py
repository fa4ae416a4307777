"""How stiff a random surface of two coordinates is held to be: the likeliest for what is known of it.

Source: Patterson and Thompson, Recovery of inter-block information, Biometrika 58, 1971 (restricted likelihood).
"""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import dataclass

import numpy as np

from patterns.geometry.tensor_fields import Stiffness, TensorField

USUAL = (-13.0, -8.0, -3.0)
"""Logarithms of stiffness along and across, and of size beside that of the whole, as hulls commonly have them: found
on the closed forms of the tests."""
SPREAD = (4.0, 4.0, 3.0)  # of these; a table of few figures must not choose a stiffness no hull has
SEEDS = ((-15.0, -10.0, -4.0), (-11.0, -5.0, 0.0), (-17.0, 1.0, -6.0))
"""Stiffness along and across, and size beside that of the whole, from the best of which the search begins: limp
sections well drawn and stiff ones ill drawn can each be likelier than anything between."""
STEPS = (2.0, 1.0, 0.5)  # of a logarithm, by which a stiffness is sought
GRAIN = 0.5  # of the lattice
SWEEPS = 6  # at each step
WAYS = ((1, 0, 0, 0), (0, 1, 0, 0), (0, 0, 1, 0), (0, 0, 0, 1), (1, 0, 0, 1), (0, 1, 0, 1))
"""Directions of the search. What is stiffer and larger at once bends alike: along the last two likelihood changes
little."""


@dataclass(frozen=True, slots=True)
class Belief:
    """What is believed of a surface beforehand, as logarithms."""

    body: float  # of mm^2, size of the whole
    quiet: float  # of mm, noise of a drawing that is as good as its figures' rounding
    least: float  # of mm, between these two the noise lies
    most: float


def likeliest(field: TensorField, start: Stiffness, belief: Belief, steps: tuple[float, ...] = STEPS) -> Stiffness:
    """The stiffness of greatest likelihood, sought by steps of a half on a lattice, from a start or a seed.

    On a lattice the same table has the same stiffness on every machine, whatever its last digits are.
    """
    known: dict[tuple[float, ...], float] = {}

    def value(at: tuple[float, ...]) -> float:
        if at not in known:
            inside = belief.least <= at[2] <= belief.most
            try:
                off = (np.array([at[0], at[1], at[3] - belief.body]) - USUAL) / SPREAD
                believed = -0.5 * float(off @ off)
                known[at] = field.solved(Stiffness(*at)).likelihood + believed if inside else -np.inf
            except np.linalg.LinAlgError:
                known[at] = -np.inf
        return known[at]

    # There may be two hills and a valley between them: the start has a search of its own.
    begins = [[start], [Stiffness(u, v, belief.quiet, belief.body + size) for u, v, size in SEEDS]]
    tops = [_climbed(max((_on_lattice(one, belief) for one in some), key=value), value, steps) for some in begins]
    return Stiffness(*max(tops, key=value))


Lattice = tuple[float, ...]


def _climbed(best: Lattice, value: Callable[[Lattice], float], steps: tuple[float, ...]) -> Lattice:
    """The top of the hill that a place of the lattice is on, by steps that become shorter."""
    for step in steps:
        for _ in range(SWEEPS):
            before = best
            for direction in WAYS:
                for way in (step, -step):
                    trial = tuple(one + way * part for one, part in zip(best, direction, strict=True))
                    if value(trial) > value(best):
                        best = trial
                        break
            if best == before:
                break
    return best


def _on_lattice(how: Stiffness, belief: Belief) -> tuple[float, ...]:
    """The nearest stiffness of the lattice, its noise within its range."""
    low, high = np.ceil(belief.least / GRAIN) * GRAIN, np.floor(belief.most / GRAIN) * GRAIN
    snapped = [round(one / GRAIN) * GRAIN for one in (how.along, how.across, how.drawn, how.size)]
    snapped[2] = float(min(max(snapped[2], low), high))
    return tuple(snapped)
