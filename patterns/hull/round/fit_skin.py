"""One surface near every figure of a round hull's table.

Each figure of a cut is one equation: the surface's distance from its point, along the section's normal at the point's
foot, is nothing but for the figure's rounding and the drawing's own noise. Figures of the sheer, the rabbet and
chines hold both ways, at their v. Feet and surface are found in turns. How stiff the surface is held to be, and how
well drawn the plan, are the likeliest for the table.
"""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import dataclass, replace
from functools import partial

import numpy as np
from numpy.typing import NDArray

from patterns.geometry.arrays import Floats, dots
from patterns.geometry.batten_fits import pulls_within
from patterns.geometry.tensor_fields import Solution, Stiffness, TensorField
from patterns.geometry.tensor_skins import TensorSkin
from patterns.geometry.tensor_stiffness import Belief, likeliest
from patterns.hull.build import EndFace, StemFace
from patterns.hull.round.feet import Placed, cuts, feet, regauged
from patterns.hull.round.figures import Figure, Place, RoundLines, figures
from patterns.hull.round.skin_equations import Known, known
from patterns.hull.round.skin_start import Frame, frame_of, started

ROUNDS = 6
CHOSEN_AT = {1: ((2.0, 1.0), True), 4: ((1.0, 0.5), False)}
"""Rounds in which the stiffness is sought: the steps of the search, and whether what keeps feet from sliding is
left out of it. To heed that takes twice as long, but tells stiffness across the boat better."""
GAUGED_AT = (1, 2, 3, 4)  # rounds in which girth is shared out again
FINE = 0.3  # mm; in a table of finer steps what feet slide by then would seem to be the drawing's noise
GAUGED_FINE = (1, 2)
TAKEN_BACK = (2, 5)  # rounds in which figures set aside are heeded again where they have come near
START = Stiffness(-15.0, -15.0, 0.0, 0.0)
GUESS = Stiffness(-11.0, -11.0, 0.0, 0.0)  # stiff, to see what a misprint is before anything is known
BODY = 0.2  # of the depth, how far the shapes of a hull commonly go
FINEST, ROUGHEST = 1e-3, 30.0  # mm, of the drawing's noise
BEYOND = 6.0  # spreads; a figure that the others deny by more is set aside at the start
MOST_ASIDE = 6
UNSETTLED = 0.0  # logarithm of mm, the least noise of drawing by which a figure is set aside
MEDIAN_SQUARE = 0.455  # median of the square of a normal variable
NEAR = 3.0  # steps, or 1 mm: near enough to be heeded again
PLAIN = 10.0  # steps, or mm: beyond that a figure is a plain misprint, left out and told
MISPRINT = float(np.log(1e3))
"""Odds against a figure's being misprinted, besides those against just this misprint, which `LEFT_OUT` spreads evenly
over a metre or so. Judgement of this program."""
SETTLES, SETTLES_LIMITED = 10, 20  # rounds in which feet no longer slide, and with limits
SETTLING, LIMITED = 0.3, 0.03  # how freely feet slide then, and where limits hold, beside how freely at first
SETTLED = 2e-3  # mm; the skin moves less at every figure
LIMPER = 1.5  # by which stiffness falls a time where limits contradict each other
TIMES_LIMPER = 3
STRAIN = 150.0
"""Square of the standard deviations by which limits may move the skin. A small misprint with a limit of its own else
bends all of the boat to keep it; limits then give, and that is told. Judgement of this program."""
GIVES = 0.5  # of a limit, standard deviation of what it gives where nothing else will do
LEAST_GIVE = 1e-8  # mm^2
WITHIN = 0.01  # mm; a figure that much beyond its limit is within it


@dataclass(frozen=True, eq=False)
class SkinFit:
    """A skin, and the equations it was solved from."""

    asked: RoundLines
    frame: Frame
    placed: Placed  # the figures heeded
    known: Known
    solution: Solution  # without limits
    skin: TensorSkin
    how: Stiffness
    aside: frozenset[int] = frozenset()  # figures not heeded, because the others deny them
    held: frozenset[int] = frozenset()  # figures held at their limits
    met: bool = True  # whether every figure lies within its limit

    @property
    def free(self) -> TensorSkin:
        """The skin without limits."""
        return self.frame.skin(*self.known.without(self.aside).solved(self.how).splines)

    def reads(self) -> Floats:
        """(figures,) mm, what the skin has in place of each figure; NaN where it has no such place."""
        return cuts(self.skin, self.placed)


def fit_skin(
    asked: RoundLines,
    *,
    without: frozenset[Place] = frozenset(),
    roughest: float = ROUGHEST,
    bounded: bool = True,
    how: Stiffness | None = None,
) -> SkinFit:
    """The skin of a table's figures, each within its limit.

    Parameters
    ----------
    without
        Figures that are not to be heeded, besides those left out by rule.
    roughest : float
        mm, the worst noise of drawing that is thought possible.
    bounded : bool
        Whether limits are kept.
    how : Stiffness, optional
        A stiffness that is known; without it the likeliest is sought.
    """
    frame = frame_of(asked)
    heeded = (one for one in figures(asked) if np.isfinite(one.limit) and one.where not in without)
    placed = Placed.of(tuple(heeded), asked.offsets.from_fp, frame.v_of)
    return _settled(_fitted(asked, frame, placed, roughest, how), bounded=bounded)


def _fitted(asked: RoundLines, frame: Frame, placed: Placed, roughest: float, asked_how: Stiffness | None) -> SkinFit:
    """The skin without limits, its feet still sliding a little."""
    step = asked.offsets.rounding
    size = 2 * float(np.log(frame.depth * BODY))
    quiet = float(np.log(max(step * 0.3, 2e-3)))
    belief = Belief(size, quiet, float(np.log(FINEST)), float(np.log(roughest)))
    guess = replace(GUESS, drawn=float(np.log(max(step, 1.0))), size=size)
    how = asked_how or replace(START, drawn=quiet, size=size)
    skin, aside = started(asked, frame), frozenset[int]()
    fit: SkinFit | None = None
    for number in range(ROUNDS):
        at = feet(skin, placed, step=step)
        u, v = regauged(skin, placed, at) if number in (GAUGED_FINE if step < FINE else GAUGED_AT) else (at.u, at.v)
        slides = SETTLING if number > max(CHOSEN_AT) else 1.0
        found = known(asked, frame, placed, at, u, v, slides=slides)
        astray = frozenset(np.flatnonzero(at.astray).tolist())
        if number <= 1:
            aside = _denied(found, guess, astray)
        if number in TAKEN_BACK and aside:
            off = np.abs(cuts(skin, placed) - placed.given)
            aside = frozenset(one for one in aside if not off[one] <= max(NEAR * step, 1.0))
        aside |= astray
        if number in CHOSEN_AT:
            steps, rough = CHOSEN_AT[number]
            search = partial(_likeliest, found, rough, belief, steps)
            how, aside = _chosen(found, how, aside, astray, search if asked_how is None else None, doubts=not rough)
        solution = found.without(aside).solved(how)
        skin = frame.skin(*solution.splines)
        fit = SkinFit(asked, frame, placed, found, solution, skin, how, aside)
    if fit is None:
        raise AssertionError("there are rounds")
    return fit


Search = Callable[[frozenset[int], Stiffness], Stiffness]
"""The likeliest stiffness without some figures, sought from another."""


def _likeliest(
    found: Known, rough: bool, belief: Belief, steps: tuple[float, ...], aside: frozenset[int], how: Stiffness
) -> Stiffness:
    field = found.without(aside)
    return likeliest(field.only(found.telling) if rough else field, how, belief, steps)


def _chosen(
    found: Known,
    how: Stiffness,
    aside: frozenset[int],
    astray: frozenset[int],
    search: Search | None,
    *,
    doubts: bool,
) -> tuple[Stiffness, frozenset[int]]:
    """The likeliest stiffness, and the figures that are set aside with it.

    A hull may turn harder in one place than elsewhere, and its figures there then seem to be misprints. So the table is
    taken as it stands too, and the likelier of the two ways holds; without ``doubts`` that is left for a later round.
    """
    if search is not None:
        how = search(aside, how)
    aside = _denied(found, how, astray)
    if search is None or aside == astray or not doubts:
        return how, aside
    as_it_stands = search(astray, how)
    odds = found.without(aside).solved(how).likelihood - MISPRINT * len(aside - astray)
    if odds < found.without(astray).solved(as_it_stands).likelihood:
        return as_it_stands, astray
    return how, aside


def _denied(found: Known, how: Stiffness, astray: frozenset[int]) -> frozenset[int]:
    """Figures that lie past their section's end, and those that the others deny."""
    # Feet still slide: what a fine table is off by then is no misprint.
    how = replace(how, drawn=max(how.drawn, UNSETTLED))
    solution = found.without(astray).solved(how)
    return astray | {int(found.who[one]) for one in denied(solution, found.judged, beyond=BEYOND, most=MOST_ASIDE)}


def denied(solution: Solution, judged: NDArray[np.bool_], *, beyond: float, most: int) -> list[int]:
    """Equations off what the others say by more than so many spreads, as these commonly are, the worst first.

    Each is left out before the next is judged. That takes its row and column from the matrix of pulls; nothing is
    solved again.
    """
    against, pulls = solution.against.copy(), solution.pulls.copy()
    kept = judged.copy()
    found: list[int] = []
    for _ in range(most):
        spreads = np.where(kept, np.abs(pulls) / np.sqrt(np.maximum(against.diagonal(), 1e-300)), 0.0)
        usual = np.sqrt(np.median(spreads[kept] ** 2) / MEDIAN_SQUARE + 1e-12) if kept.any() else 1.0
        worst = int(spreads.argmax())
        if spreads[worst] < beyond * usual:
            break
        found.append(worst)
        kept[worst] = False
        column, own = against[:, worst].copy(), against[worst, worst]
        pulls = pulls - column * (pulls[worst] / own)
        against -= np.outer(column, column / own)
    return found


def _settled(fit: SkinFit, *, bounded: bool) -> SkinFit:
    """The fit once its feet stand still; bounded, with no figure beyond its limit.

    Limits come last and hold feet firmly. A limit that pulls hard else bends the skin by letting feet elsewhere slide
    far along their sections, and the next round no longer finds them.
    """
    step = fit.asked.offsets.rounding
    if bounded and fit.aside:
        off = np.abs(fit.reads() - fit.placed.given)
        fit = replace(fit, aside=frozenset(one for one in fit.aside if not off[one] <= max(PLAIN * step, PLAIN)))
    fit = _still(fit, _solved, slides=SETTLING, rounds=SETTLES)
    if not bounded:
        return fit
    fit = _still(fit, _within_limits, slides=LIMITED, rounds=SETTLES_LIMITED)
    # How sure the skin is has nothing to do with how firmly its feet were held.
    at = feet(fit.skin, fit.placed, step=step)
    found = known(fit.asked, fit.frame, fit.placed, at, at.u, at.v, slides=SETTLING)
    return replace(fit, known=found, solution=found.without(fit.aside).solved(fit.solution.how))


def _still(fit: SkinFit, solve: Callable[[SkinFit], SkinFit], *, slides: float, rounds: int) -> SkinFit:
    """The fit, solved in turns with its feet until these stand still."""
    step = fit.asked.offsets.rounding
    before = np.full(len(fit.placed.given), np.inf)
    for _ in range(rounds):
        at = feet(fit.skin, fit.placed, step=step)
        off = dots(fit.placed.points - at.points, np.where(fit.placed.edge[:, None], fit.placed.ways, at.normals))
        if np.nanmax(np.abs(off - before), initial=0.0) < SETTLED:
            break
        before = off
        found = known(fit.asked, fit.frame, fit.placed, at, at.u, at.v, slides=slides)
        fit = solve(replace(fit, known=found, aside=fit.aside | frozenset(np.flatnonzero(at.astray).tolist())))
    return fit


def _solved(fit: SkinFit) -> SkinFit:
    solution = fit.known.without(fit.aside).solved(fit.how)
    return replace(fit, solution=solution, skin=fit.frame.skin(*solution.splines))


def _within_limits(fit: SkinFit) -> SkinFit:
    """The likeliest skin with no figure beyond its limit: a limit that holds a figure back pulls at the skin.

    A skin too stiff for limits that contradict each other is made limper, as far as is fair; beyond that they give a
    little, and `met` says so.
    """
    who, shares = fit.known.who, fit.known.shares
    limits = np.array([_limit(one, fit.asked) for one in fit.placed.figures])
    bound = np.flatnonzero((who >= 0) & ~np.isin(who, list(fit.aside)) & np.isfinite(limits[who]))
    room = limits[who[bound]] * shares[bound]
    wanted = fit.known.field.equations.wanted[bound]
    for limper, gives in (*((times * LIMPER, 0.0) for times in range(TIMES_LIMPER)), (0.0, GIVES)):
        how = replace(fit.how, along=fit.how.along - limper, across=fit.how.across - limper)
        solution, held, strain = _pulled(fit.known.without(fit.aside), how, bound, room, gives)
        met = bool((np.abs(solution.met[bound] - wanted) - room).max(initial=-1.0) < WITHIN)
        if met and strain <= STRAIN:
            break
    named = frozenset(who[bound[held]].tolist())
    return replace(fit, solution=solution, skin=fit.frame.skin(*solution.splines), met=met, held=named)


def _pulled(
    field: TensorField, how: Stiffness, bound: NDArray[np.int64], room: Floats, gives: float
) -> tuple[Solution, NDArray[np.bool_], float]:
    """The skin for a stiffness with some equations within their room, which of these are held, and the strain of it.

    The strain is the square of how many standard deviations the skin is moved by.
    """
    solution = field.solved(how)
    wanted = field.equations.wanted
    if (np.abs(solution.met - wanted)[bound] <= room).all():
        return solution, np.zeros(len(bound), dtype=bool), 0.0
    covariance = solution.covariance(bound) + np.diag((gives * room) ** 2 + LEAST_GIVE)
    pulls = pulls_within(solution.met[bound], covariance, wanted[bound], room)
    asked = wanted.copy()
    asked[bound] += solution.noise[bound] * pulls
    return field.asking(asked).solved(how), pulls != 0.0, float(pulls @ covariance @ pulls)


def _limit(one: Figure, asked: RoundLines) -> float:
    """mm a figure may move; infinite for a line's end on a post, which lies where the profile has it."""
    end: EndFace | None = {1: asked.fore, 2: asked.aft}.get(one.end)
    return np.inf if one.edge and isinstance(end, StemFace) else one.limit
