"""The kinds of batten a line is held to be sprung with: stiff or limber, even or thinned toward an end.

A line is a quadratic, which costs nothing, and what a random load on its bending adds. The load acts on f''' (on f''
for two kinds), evenly along the run or falling off from one end: a sharp forefoot bends a batten that is thin forward,
and says nothing of what the thick rest of it does. Lengths are shares of the line's run.

Source: C. E. Rasmussen and C. K. I. Williams, Gaussian Processes for Machine Learning, MIT Press 2006, sections 2.7 and
6.3 (splines as random curves with free polynomials); load that is not even, after the tapered battens of the trade.
"""

from __future__ import annotations

from dataclasses import dataclass
from functools import cache
from itertools import product

import numpy as np
from numpy.typing import NDArray

from patterns.geometry.arrays import Floats, read_only

IN_RUN, PAST = 128, 20
CELLS = PAST + IN_RUN + PAST
EDGES = read_only(np.arange(-PAST, IN_RUN + PAST + 1) / IN_RUN)
"""The run, and a little past either end of it, in cells: skins are carried past the ends of their lines. f''' is the
same throughout one cell, so a line is a cubic in each, and its bend has no jumps."""

ODDS = {"cubic": -5.0, "sprung": -2.5, "quintic": 0.0, "steady": 0.0, "septic": -0.7, "nonic": -0.7}
"""Log odds of a kind of load: on f'' white, and remembered a little way; on f''' white, remembered, long so, and
remembered without jumps. The last is the smoothest: its load itself changes steadily, past the ends of a line too."""

MEMORY = {"cubic": 0.0, "sprung": 0.15, "quintic": 0.0, "steady": 0.4, "septic": 4.0, "nonic": 1.0}
ON_BENDING = ("cubic", "sprung")  # load on f'': the other kinds have it on f'''
SMOOTH = ("nonic",)  # load without jumps
TAPERED = ("quintic", "steady")
TAPER_REACHES = (0.06, 0.2)  # how fast the load falls off from an end
TAPER_LEAST = (0.1, 0.01)  # of the load at the thin end, what is left of it far away
TAPER_SHARE = 0.3  # odds of all tapers of a kind together against the even one

WIDE = 1.4  # times the median bay; an end bay wider than this has no pins to thin a batten for
WIDE_TAPER = -2.5  # log odds; nobody sets wide stations at a sharp end


@dataclass(frozen=True, eq=False)
class Kinds:
    """All kinds of batten side by side; of size 1, each leaves its best parabola by 1 in the root mean square.

    The load of one is ``strength * r``, r white or remembering over ``memory``; on f'' where ``smoother`` is the matrix
    from loads at the cells' edges to f''' in the cells, None where the load is f''' itself.
    """

    groups: tuple[KindGroup, ...]
    odds: Floats  # (k,)
    fore: NDArray[np.bool_]  # (k,) thin toward the fore end
    aft: NDArray[np.bool_]

    def odds_at(self, shares: Floats) -> Floats:
        """(k,) log odds of the kinds for pins at shares (n,) of the run."""
        bays = np.diff(shares)
        wide = WIDE * float(np.median(bays))
        blind = (self.fore & (bays[0] > wide)) | (self.aft & (bays[-1] > wide))
        return np.asarray(self.odds + WIDE_TAPER * blind)


@dataclass(frozen=True, eq=False)
class KindGroup:
    """Kinds whose loads remember alike: covariance of f''' in the cells is ``strengths * memory * strengths``."""

    first: int  # number of its first kind
    strengths: Floats  # (g, CELLS)
    memory: Floats | None  # (CELLS, CELLS); None for loads that remember nothing

    def own(self, numbers: NDArray[np.int64]) -> NDArray[np.int64]:
        """The kinds of this group among kinds numbered (l,), rising: their places in it."""
        places = numbers - self.first
        return places[(places >= 0) & (places < len(self.strengths))]

    def felt(self, weights: Floats, only: NDArray[np.int64]) -> Floats:
        """(g', CELLS, n) how f''' in the cells goes with f at n places of ``weights`` (n, CELLS), for some kinds."""
        strengths = self.strengths[only]
        loads = strengths[:, :, None] * weights.T
        if self.memory is not None:
            cells, places = weights.T.shape
            flat = np.swapaxes(loads, 0, 1).reshape(cells, -1)
            loads = np.swapaxes((self.memory @ flat).reshape(cells, len(only), places), 0, 1)
        return np.asarray(strengths[:, :, None] * loads)

    def covariance(self, amounts: Floats) -> Floats:
        """(CELLS, CELLS) of f''' in the cells, of the kinds in amounts (g,)."""
        if self.memory is None:
            return np.diag(amounts @ self.strengths**2)
        return np.asarray((self.strengths.T * amounts) @ self.strengths * self.memory)


def cell_weights(shares: Floats) -> Floats:
    """(n, CELLS) f at shares (n,) of the run where f''' is 1 in one cell, 0 elsewhere, and f begins from nothing.

    f begins at the fore end of the run and goes either way; past the last cells it runs on as the parabola that touches
    it.
    """
    fore = np.clip(EDGES[: PAST + 1] - shares[:, None], 0.0, None) ** 3 / 6
    aft = np.clip(shares[:, None] - EDGES[PAST:], 0.0, None) ** 3 / 6
    return np.concatenate([fore[:, :-1] - fore[:, 1:], aft[:, :-1] - aft[:, 1:]], axis=1)


@cache
def kinds() -> Kinds:
    groups: list[KindGroup] = []
    odds: list[float] = []
    ends: list[str] = []
    for name, base in ODDS.items():
        tapers = [("", 1.0, np.inf)]
        if name in TAPERED:
            tapers += product(("fore", "aft"), TAPER_LEAST, TAPER_REACHES)
        memory = _memory(name)
        strengths = np.array([_strength(*taper) for taper in tapers])
        groups.append(KindGroup(len(odds), strengths / _sizes(strengths, memory)[:, None], memory))
        odds += [base, *(base + float(np.log(TAPER_SHARE / len(tapers[1:]))) for _ in tapers[1:])]
        ends += [end for end, _, _ in tapers]
    thin = np.array(ends)
    return Kinds(tuple(groups), read_only(odds), thin == "fore", thin == "aft")


def _strength(end: str, least: float, reach: float) -> Floats:
    middles = (EDGES[1:] + EDGES[:-1]) / 2
    if not end:
        return np.ones(CELLS)
    away = np.maximum(middles if end == "fore" else 1.0 - middles, 0.0)
    return np.asarray(least + np.exp(-away / reach))


def _memory(name: str) -> Floats | None:
    reach = MEMORY[name]
    if name in ON_BENDING:
        # f'' runs straight from one edge of a cell to the next, so that no bending jumps.
        steps = np.diff(np.eye(CELLS + 1), axis=0) * IN_RUN
        apart = np.abs(EDGES[:, None] - EDGES)
        return np.asarray(steps @ (np.exp(-apart / reach) if reach else np.eye(CELLS + 1)) @ steps.T)
    middles = (EDGES[1:] + EDGES[:-1]) / 2
    if not reach:
        return None
    apart = np.abs(middles[:, None] - middles) / reach
    # Matern's law of order 3/2 for a load without jumps; the exponential is that of order 1/2.
    return np.asarray((1.0 + apart if name in SMOOTH else 1.0) * np.exp(-apart))


def _sizes(strengths: Floats, memory: Floats | None) -> Floats:
    """(g,) root mean square by which curves under such loads leave their best parabola."""
    places = np.linspace(0.0, 1.0, 201)
    flat = np.linalg.qr(np.stack([np.ones_like(places), places, places**2], axis=1))[0]
    shapes = cell_weights(places) * strengths[:, None, :]
    shapes = shapes - flat @ (flat.T @ shapes)
    return np.asarray(
        np.sqrt(((shapes if memory is None else shapes @ memory) * shapes).sum(axis=(1, 2)) / len(places))
    )
