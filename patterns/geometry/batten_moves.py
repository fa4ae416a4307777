"""A batten moved at a few places and held at all others: it moves near these, and nowhere else."""

from __future__ import annotations

from dataclasses import replace

import numpy as np

from patterns.geometry.arrays import Floats
from patterns.geometry.batten_kinds import CELLS, EDGES, IN_RUN, PAST
from patterns.geometry.battens import Batten

REACH = 2  # places held, on either side of one that moves, within which the line moves
CHEAP = 1e-3  # what a radian at a free end costs, beside a change of bending: as good as nothing
STILL = 1e-9  # mm; a move that is less is none


def moved_near(batten: Batten, sites: Floats, moves: Floats) -> Batten:
    """A batten moved at sites, and past the second one from each that moves not moved at all.

    The change begins and ends there without a jump of value, slope or bend, runs through every site's move, and of all
    such changes is the one whose bending changes least. An end of the run is held in place and is free to turn; past it
    the change runs on straight.

    Parameters
    ----------
    sites : (n,) mm
        Rising; the first and the last are the ends of the batten's run.
    moves : (n,) mm
        Nothing at both ends.
    """
    free, load = batten.free.copy(), batten.load.copy()
    shares = (sites - batten.start) / batten.run
    for site in np.flatnonzero(np.abs(moves) > STILL).tolist():
        first, last = max(site - REACH, 0), min(site + REACH, len(sites) - 1)
        turn, own = _bump(shares[first : last + 1], site - first, (first == 0, last == len(sites) - 1))
        free[1] += moves[site] * turn
        load += moves[site] * own
    return replace(batten, free=free, load=load)


def _bump(shares: Floats, site: int, ends: tuple[bool, bool]) -> tuple[float, Floats]:
    """A change of 1 at one of some sites and of nothing at the others: its turn at the fore end, and f''' (CELLS,).

    ``ends``: whether the first site is the fore end of the run, and the last one the after end.
    """
    within = (EDGES[:-1] >= shares[0] - 1e-12) & (EDGES[1:] <= shares[-1] + 1e-12)
    cells = np.flatnonzero(within & (np.arange(CELLS) >= PAST) & (np.arange(CELLS) < CELLS - PAST))
    start = EDGES[cells]
    width = 1.0 / IN_RUN

    def weights(at: float, power: int) -> Floats:
        """What a unit of f''' in each cell comes to at a place, in value, slope or bend: powers 3, 2 and 1."""
        on, off = np.maximum(at - start, 0.0), np.maximum(at - start - width, 0.0)
        return np.asarray((on**power - off**power) / (6.0, 2.0, 1.0)[3 - power])

    rows, wanted = [], []

    def ask(row: Floats, turn: float, value: float) -> None:
        rows.append(np.append(row, turn / np.sqrt(CHEAP)))
        wanted.append(value)

    begins = float(shares[0])
    for number, at in enumerate(shares.tolist()):
        if number > 0:  # at the first it is nothing by itself
            ask(weights(at, 3), at - begins, 1.0 if number == site else 0.0)
    ask(weights(float(shares[-1]), 1), 0.0, 0.0)
    if not ends[1]:
        ask(weights(float(shares[-1]), 2), 1.0, 0.0)
    matrix = np.array(rows)
    if not ends[0]:
        matrix[:, -1] = 0.0
    solved = np.linalg.lstsq(matrix, np.array(wanted), rcond=None)[0]
    load = np.zeros(CELLS)
    load[cells] = solved[:-1]
    return float(solved[-1] / np.sqrt(CHEAP)) if ends[0] else 0.0, load
