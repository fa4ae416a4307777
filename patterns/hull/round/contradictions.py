"""Figures of a round hull's table that its other views and their neighbours deny.

Every figure is held against what the skin would be without it. Of the sheer and the rabbet the skin alone cannot judge
all: along an upright side a height slides and contradicts nothing. These rows are judged as lines too, by
`patterns.hull.doubts.suspects`, and named where the skin does not speak for them.
"""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass, replace

import numpy as np

from patterns.geometry.arrays import Floats
from patterns.geometry.one_thread import one_thread
from patterns.geometry.tensor_fields import Solution
from patterns.hull.doubts.judged_rows import FROM_FP, Suspect
from patterns.hull.doubts.misreadings import COMMON, Reading, Slip, readings_of_breadth, readings_of_figure
from patterns.hull.doubts.suspects import suspects
from patterns.hull.fairing_rules import HEIGHT
from patterns.hull.offsets import Offsets
from patterns.hull.round.figures import Figure, Place, RoundLines
from patterns.hull.round.fit_skin import MEDIAN_SQUARE, SkinFit, fit_skin
from patterns.hull.round.skin_equations import LEFT_OUT
from patterns.units.datums import BASE
from patterns.units.notations import notation_for

NAMED = 5.0  # spreads, as these commonly are, from which a figure is named
NAMED_QUIET = 8.0  # where the plan had to be held to be drawn well, lest a misprint seem to be its noise
LEAST_STEPS = 3.0  # of the table's notation; less is no slip of a pen
QUIET = 2.0  # mm; no plan is drawn with more noise than that
MOST = 6
DENIERS = 5
LEAST_WEIGHT = 0.15  # of the heaviest; who says less is not named
RIVAL = 0.8  # of the spreads of the one that is named, from which another that denies it alone is named with it
OWN_SPREAD = 0.05  # mm^2, of what a figure set aside is held against
NINETEEN_OF_20 = 1.96  # standard deviations
SPEAKS_FOR = 2.0  # spreads; nearer than that the skin speaks for a figure
SURE = 1 / 3  # of how far a line says that it is off: a skin less sure than that says nothing of it


@dataclass(frozen=True, slots=True, eq=False)
class Held:
    """Every figure held against what the others expect of it."""

    figures: tuple[Figure, ...]
    off: Floats  # (n,) mm, given less expected
    spread: Floats  # (n,) mm, one standard deviation
    usual: float  # spreads that figures are commonly off by, 1 at least

    @property
    def odd(self) -> Floats:
        """(n,) spreads each is off by, as these commonly are."""
        return np.asarray(np.abs(self.off) / self.spread / self.usual)


def contradictions(asked: RoundLines, fit: SkinFit) -> tuple[Suspect, ...]:
    """Figures that the rest of the table denies, the surest first. Nothing is changed.

    Each is found with those before it left out.
    """
    with one_thread():
        found = _by_skin(asked, fit)
    named = {one.place for one in found}
    judge = _held(fit)
    lines = (one for one in _by_line(asked, named) if not _spoken_for(one, judge, asked))
    return (*found, *lines)


def _by_skin(asked: RoundLines, fit: SkinFit) -> tuple[Suspect, ...]:
    found: list[Suspect] = []
    out: frozenset[Place] = frozenset()
    for _ in range(MOST):
        one = _worst(asked, fit, NAMED)
        if one is None and np.exp(fit.how.drawn) > max(asked.offsets.rounding, QUIET):
            quiet = fit_skin(asked, without=out, bounded=False, roughest=max(asked.offsets.rounding, QUIET) / 2)
            one = _worst(asked, quiet, NAMED_QUIET)
        if one is None:
            break
        found.append(one)
        out |= {one.place}
        fit = fit_skin(asked, without=out, bounded=False)
    return tuple(found)


def _held(fit: SkinFit) -> Held:
    return _against_others(fit)[0]


def _against_others(fit: SkinFit) -> tuple[Held, Solution]:
    """Every figure of a fit held against the others, without limits."""
    known = fit.known
    solution = known.without(fit.aside).solved(fit.how)
    own = solution.against.diagonal()
    rows = np.flatnonzero(known.who >= 0)
    rows = rows[np.argsort(known.who[rows], kind="stable")]
    off, variance = solution.pulls[rows] / own[rows], 1 / own[rows]
    aside = np.isin(known.who[rows], list(fit.aside))
    if aside.any():
        # What is set aside is held against the skin that the others make, by its own line's cut.
        reads = fit.reads()
        missed = np.where(np.isfinite(reads), fit.placed.given - reads, np.inf)[known.who[rows]]
        drawn = np.exp(2 * fit.how.drawn) + fit.asked.offsets.rounding**2 / 12 + OWN_SPREAD
        variance = np.where(aside, np.maximum(variance - LEFT_OUT, 0.0) + drawn, variance)
        far = np.where(np.isfinite(missed), missed * known.shares[rows], 1e3 * np.sqrt(variance))
        off = np.where(aside, far, off)
    spread = np.sqrt(variance)
    judged = known.judged[rows]
    usual = max(1.0, float(np.sqrt(np.median((off / spread)[judged] ** 2) / MEDIAN_SQUARE)))
    shares = known.shares[rows]
    return Held(fit.placed.figures, off / shares, spread / shares, usual), solution


def _worst(asked: RoundLines, fit: SkinFit, named: float) -> Suspect | None:
    held, solution = _against_others(fit)
    slips = (np.abs(held.off) >= LEAST_STEPS * asked.offsets.rounding) & ~fit.placed.timber & ~_on_posts(asked, fit)
    odd = np.where(slips, held.odd, 0.0)
    worst = int(odd.argmax())
    if odd[worst] < named:
        return None
    weights = _weights(fit, solution, worst)
    rival = _rival(fit, solution, held, worst, odd)
    return _suspect(asked.offsets, held, worst, _deniers(fit, weights), rival)


def _on_posts(asked: RoundLines, fit: SkinFit) -> np.ndarray[tuple[int], np.dtype[np.bool_]]:
    """Ends of the hull's own lines on stem and sternpost: they lie where profile and siding have them."""
    ends = {1: fit.frame.fore, 2: fit.frame.aft}
    return np.array(
        [one.edge and one.end > 0 and ends[one.end].post is not None for one in fit.placed.figures], dtype=bool
    )


def _row_of(fit: SkinFit, number: int) -> int:
    return int(np.flatnonzero(fit.known.who == number)[0])


def _weights(fit: SkinFit, solution: Solution, worst: int) -> dict[int, float]:
    """How much each other figure weighs in what is expected of one."""
    row = _row_of(fit, worst)
    weight = np.abs(solution.against[row] / solution.against[row, row])
    who = fit.known.who
    return {int(who[k]): float(weight[k]) for k in np.flatnonzero((who >= 0) & (who != worst)).tolist()}


def _deniers(fit: SkinFit, weights: dict[int, float]) -> tuple[Place, ...]:
    """The figures that weigh most, the heaviest first; those that are set aside themselves weigh nothing."""
    order = sorted(weights, key=lambda number: -weights[number])
    order = [one for one in order if one not in fit.aside]
    heavy = [one for one in order if weights[one] >= LEAST_WEIGHT * weights[order[0]]]
    return tuple(fit.placed.figures[one].where for one in heavy[:DENIERS])


def _rival(fit: SkinFit, solution: Solution, held: Held, worst: int, odd: Floats) -> Place | None:
    """Another figure of the same station, as odd, without which this one would not be: one of the two is wrong."""
    here = fit.placed.figures[worst].column
    row, against, pulls = _row_of(fit, worst), solution.against, solution.pulls
    order: list[int] = np.argsort(-odd).tolist()
    for other in order:
        if other == worst or fit.placed.figures[other].column != here:
            continue
        if odd[other] < RIVAL * odd[worst]:
            break
        there = _row_of(fit, other)
        left = pulls[row] - against[row, there] * pulls[there] / against[there, there]
        own = against[row, row] - against[row, there] ** 2 / against[there, there]
        if abs(left) / np.sqrt(max(own, 1e-300)) / held.usual < NAMED / 2:
            return fit.placed.figures[other].where
    return None


def _suspect(offsets: Offsets, held: Held, worst: int, deniers: tuple[Place, ...], rival: Place | None) -> Suspect:
    one = held.figures[worst]
    expected, give = one.given - float(held.off[worst]), NINETEEN_OF_20 * float(held.spread[worst]) * held.usual
    best = None if rival else _reading(offsets, one, expected, give)
    strength = float(held.odd[worst])
    return Suspect(
        line=one.line,
        view=one.view,
        column=one.column,
        given=one.given,
        expected=expected,
        strength=strength,
        odds=strength**2 / 2,
        slip=best.slip if best else None,
        cause=best.cause if best else None,
        meant=best.meant if best else None,
        deniers=deniers,
        give=give,
        rival=rival,
    )


def _reading(offsets: Offsets, one: Figure, expected: float, give: float) -> Reading | None:
    """The slip of a pen that makes most of what is expected: how common it is, and how near it comes."""
    notation = offsets.notation or notation_for(offsets.rounding)
    datum = offsets.datum if one.view == HEIGHT else BASE
    every = [
        replace(read, meant=datum.height(read.meant)) for read in readings_of_figure(datum.given(one.given), notation)
    ]
    every += readings_of_breadth(one.given) if one.view != HEIGHT else []
    near = max(give, offsets.rounding) + offsets.rounding

    def likely(read: Reading) -> float:
        return float(np.log(COMMON[Slip(read.slip)]) - 0.5 * ((read.meant - expected) / near * NINETEEN_OF_20) ** 2)

    within = [read for read in every if abs(read.meant - expected) <= near and read.meant != one.given]
    return max(within, key=likely, default=None)


def _by_line(asked: RoundLines, named: set[Place]) -> Iterator[Suspect]:
    """Suspects that the sheer's and the rabbet's own rows name."""
    for one in suspects(asked.offsets, fore=asked.fore, aft=asked.aft):
        if one.place not in named:
            yield one


def _spoken_for(one: Suspect, held: Held, asked: RoundLines) -> bool:
    """Whether the skin speaks for a figure that its own row accuses, or the figure is none that a row can judge."""
    columns = asked.offsets.columns
    if one.line == FROM_FP:
        mine = [number for number, figure in enumerate(held.figures) if figure.column == one.column]
        return bool(np.median(held.odd[mine]) < SPEAKS_FOR) if mine else True
    if one.column in (columns[0], columns[-1]):
        return True
    number = next((k for k, figure in enumerate(held.figures) if figure.where == one.place), None)
    if number is None:
        return False
    sure = held.spread[number] * held.usual < SURE * abs(one.off)
    return bool(sure and held.odd[number] < SPEAKS_FOR)
