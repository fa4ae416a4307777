"""The least movement of lines that lets a sheet lie on them without being twisted.

The lines are faired again as battens are, with one wish more: that the rulings between them do not twist. How much
that wish counts is raised until no strake twists more than is worth telling, or every offset has gone as far as it
may. (Least change of a boundary that makes a strake develop: Gong et al., J. Comput. Inf. Sci. Eng. 14(2), 2014.)
"""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass, replace

import numpy as np
from numpy.typing import NDArray
from scipy.linalg import block_diag
from scipy.optimize import lsq_linear

from patterns.errors import ShapeError
from patterns.geometry.arrays import Floats
from patterns.geometry.battens import fit_batten
from patterns.geometry.rulings import ruling_twist
from patterns.hull.fairing import FairedLine, FairedView, ends_on_keel
from patterns.hull.fairing_rules import HALF_BREADTH, HEIGHT, limits_of
from patterns.hull.offsets import OffsetRow, Offsets
from patterns.hull.planking.skin import TWIST_TOLD, Hull, plank
from patterns.hull.planking.strakes import Strake
from patterns.parts.asked.rules import Boat
from patterns.parts.faired import fair_lines

AIM = 0.8 * TWIST_TOLD  # rad; a little less than is told, for the table is rounded when it is written
WRITTEN_TO = 0.0254  # mm, the step of the eased table, 1/1000 in or finer: so fine are its figures when they are read
WEIGHTS = np.geomspace(1e1, 1e9, 33)  # mm2 per rad2 a ruling's twist counts for
ROUNDS = 6
HALVINGS = 5
WORTH_MOVING = 0.05  # mm; a move less than this is none
EVERY = 4  # one ruling in so many is looked at
STEP = 0.05  # mm an offset is moved to see what that does
FIRM = 1e-9  # of the figures' noise, squared: however stiff a batten is, it may bend that much


@dataclass(frozen=True, slots=True)
class Move:
    """One offset moved, from what the table gives."""

    line: str
    view: str  # "height" or "half-breadth"
    column: str
    given: float  # mm
    faired: float  # mm, where a batten has it that minds no twist
    eased: float  # mm

    @property
    def by(self) -> float:
        """mm, positive up or out."""
        return self.eased - self.given


@dataclass(frozen=True, slots=True, eq=False)
class Eased:
    """Lines moved so that strakes twist less."""

    lines: tuple[FairedLine, ...]  # as eased; each view keeps what the table gives
    strake: str  # the one that twists most
    within: float  # mm, how far an offset was let move
    before: float  # rad, its greatest twist as the lines are faired
    after: float  # rad, as eased
    refaired: float  # rad, once the eased table has been faired in its turn
    moves: tuple[Move, ...]

    @property
    def cured(self) -> bool:
        return bool(self.refaired <= TWIST_TOLD)


def ease_twist(boat: Boat, lines: tuple[FairedLine, ...], hull: Hull) -> Eased | None:
    """The lines eased within ``fair_within``; None where all strakes twist too little to be told.

    Raises
    ------
    ShapeError
        Lines no skin can be laid on.
    """
    if hull.smooth:  # no panel is bent to a round hull
        return None
    before, strake = _worst(hull)
    if before < TWIST_TOLD:
        return None
    best = (before, lines)
    at, there = lines, hull
    for _ in range(ROUNDS):
        at = _eased(boat, lines, at, there)
        try:
            there = _planked(boat, at)
        except ShapeError:  # lines moved so that nothing can be laid on them are no cure
            break
        best = min(best, (_worst(there)[0], at), key=lambda one: one[0])
        if best[0] <= AIM:
            best = _no_further(boat, lines, at, best[0])
            break
    after, eased = best
    table = replace(eased_offsets(boat.offsets, eased), rounding=WRITTEN_TO)
    again = fair_lines(replace(boat, offsets=table))
    refaired = _worst(_planked(boat, again))[0]
    name = hull.paired[strake].name
    return Eased(eased, name, boat.fair_within, before, after, refaired, tuple(_moves(lines, eased)))


def _worst(hull: Hull) -> tuple[float, int]:
    """rad, the greatest twist of any strake between two lines, and which one's it is, counted from the sheer down.

    A lapped strake lies between its line and the strake below it, and goes where that goes.
    """
    twists = [hull.worst_twist(strake)[0] if strake.unplaned is None else 0.0 for strake in hull.paired]
    return max(twists), int(np.argmax(twists))


def _planked(boat: Boat, lines: tuple[FairedLine, ...]) -> Hull:
    return plank(lines, skin=boat.skin, fore=boat.fore, aft=boat.aft)


def _no_further(
    boat: Boat, lines: tuple[FairedLine, ...], eased: tuple[FairedLine, ...], twist: float
) -> tuple[float, tuple[FairedLine, ...]]:
    """The lines moved no further toward the eased ones than they must be: rulings laid anew need less than foreseen."""
    found, low, high = (twist, eased), 0.0, 1.0
    for _ in range(HALVINGS):
        share = (low + high) / 2
        part = tuple(_between(line, end, share) for line, end in zip(lines, eased, strict=True))
        there = _worst(_planked(boat, part))[0]
        if there <= AIM:
            found, high = (there, part), share
        else:
            low = share
    return found


def _between(line: FairedLine, eased: FairedLine, share: float) -> FairedLine:
    heights, breadths = (
        getattr(line, word).faired + share * (getattr(eased, word).faired - getattr(line, word).faired)
        for word in ("height", "half_breadth")
    )
    return _written(_moved(line, heights, breadths))


def eased_offsets(offsets: Offsets, lines: Sequence[FairedLine]) -> Offsets:
    """The table with its lines as eased, blank where it was."""
    heights = {line.name: line.height for line in lines}
    breadths = {line.name: line.half_breadth for line in lines}
    return replace(
        offsets,
        heights=tuple(_row(row, offsets.columns, heights.get(row.name)) for row in offsets.heights),
        half_breadths=tuple(_row(row, offsets.columns, breadths.get(row.name)) for row in offsets.half_breadths),
    )


def _row(row: OffsetRow, columns: tuple[str, ...], view: FairedView | None) -> OffsetRow:
    if view is None:
        return row
    found = dict(zip(view.columns, view.faired.tolist(), strict=True))
    return OffsetRow(row.name, np.array([found.get(column, np.nan) for column in columns]))


def _moves(faired: Sequence[FairedLine], eased: Sequence[FairedLine]) -> list[Move]:
    return [
        Move(name, word, column, *map(float, values))
        for (name, word, a), (_, _, b) in zip(_views_of(faired), _views_of(eased), strict=True)
        for column, *values in zip(a.columns, a.given, a.faired, b.faired, strict=True)
        if abs(values[2] - values[1]) > WORTH_MOVING
    ]


def _eased(
    boat: Boat, faired: tuple[FairedLine, ...], lines: tuple[FairedLine, ...], hull: Hull
) -> tuple[FairedLine, ...]:
    """One round for the strake that twists most: its rulings stay on their places, both its lines move under them."""
    worst = _worst(hull)[1]
    pair = slice(worst, worst + 2)
    moved = _eased_pair(boat, faired[pair], lines[pair], hull, hull.strakes[worst])
    return (*lines[:worst], *moved, *lines[worst + 2 :])


def _eased_pair(
    boat: Boat, faired: Sequence[FairedLine], lines: Sequence[FairedLine], hull: Hull, strake: Strake
) -> tuple[FairedLine, FairedLine]:
    views = [view for _, _, view in _views_of(lines)]
    values = np.concatenate([view.faired for view in views])
    given = np.concatenate([view.given for view in views])
    fairness, fair_ones = _fairness([view for _, _, view in _views_of(faired)])
    twist, slopes = _twist_and_slopes(lines[0], lines[1], hull, strake)
    limits = np.concatenate([_limits(boat, line, word, view) for line, word, view in _views_of(lines)])
    left_out = np.isnan(limits)
    # What fairing leaves out holds nobody: it stays by the batten.
    given, limits = np.where(left_out, values, given), np.where(left_out, boat.fair_within, limits)
    low, high = given - limits, given + limits
    found = values
    for weight in WEIGHTS:
        root = np.sqrt(weight)
        matrix = np.vstack([fairness, root * slopes])
        target = np.concatenate([fair_ones, root * (slopes @ values - twist)])
        found = lsq_linear(matrix, target, bounds=(low - 1e-9, high + 1e-9), method="bvls").x
        if np.abs(twist + slopes @ (found - values)).max() <= AIM:
            break
    ends = np.cumsum([len(view.given) for view in views])[:-1]
    heights_a, breadths_a, heights_b, breadths_b = np.split(found, ends)
    first, second = _moved(lines[0], heights_a, breadths_a), _moved(lines[1], heights_b, breadths_b)
    return _written(first), _written(second)


def _views_of(lines: Sequence[FairedLine]) -> list[tuple[str, str, FairedView]]:
    """Both views of each line: line, which view, and it."""
    return [(x.name, word, view) for x in lines for word, view in ((HEIGHT, x.height), (HALF_BREADTH, x.half_breadth))]


def _limits(boat: Boat, line: str, word: str, view: FairedView) -> Floats:
    """(n,) mm each offset may move; NaN where it is left out of fairing. A keel on the centre plane stays on it."""
    if word == HALF_BREADTH and boat.offsets.half_breadth(line) is None:
        return np.zeros(len(view.columns))
    rules = (*boat.fairing, *ends_on_keel(boat.offsets, fore=boat.fore, aft=boat.aft))
    return limits_of(rules, boat.fair_within, line, word, view.columns)


def _moved(line: FairedLine, heights: Floats, breadths: Floats) -> FairedLine:
    height, breadth = (_run_through(*view) for view in ((line.height, heights), (line.half_breadth, breadths)))
    return replace(line, height=height, half_breadth=breadth)


def _run_through(view: FairedView, faired: Floats) -> FairedView:
    """A view moved; what fairing leaves out stays where the batten has it."""
    moved = replace(view, faired=faired)
    out = _left_out(view)
    return replace(moved, faired=np.where(out, moved.batten.value(view.from_fp), faired)) if out.any() else moved


def _left_out(view: FairedView) -> NDArray[np.bool_]:
    return np.array([column in view.left_out for column in view.columns])


def _written(line: FairedLine) -> FairedLine:
    """A moved line as it is faired once its figures are written and read: through them, with battens of their own."""
    return replace(line, height=_written_view(line.height), half_breadth=_written_view(line.half_breadth))


def _written_view(view: FairedView) -> FairedView:
    if view.fit is None:
        return view
    figures = view.faired[~_left_out(view)]
    limits = np.full(len(figures), WRITTEN_TO)
    breaks = () if view.fit.row is None else view.fit.row.breaks
    noise = WRITTEN_TO / np.sqrt(12.0)
    return replace(view, fit=fit_batten(view.fit.sites, figures, limits=limits, noise=noise, breaks=breaks))


def _fairness(views: Sequence[FairedView]) -> tuple[Floats, Floats]:
    """(m, all offsets) a root of what the lines' moves cost, as fairing counts it; (m,) what it is where they are fair.

    The cost is the loss of likelihood, times the figures' noise: near a mm2 for a mm a single offset is moved.
    """
    roots, fair_ones = [], []
    for view in views:
        root, fair_one = np.eye(len(view.given)), view.given.copy()
        heeded = ~_left_out(view)
        fair_one[~heeded] = view.faired[~heeded]
        row = None if view.fit is None else view.fit.row
        if row is not None:
            covariance = row.covariance / row.mean_square_noise
            lower = np.linalg.cholesky(covariance + FIRM * np.eye(len(covariance)))
            root[np.ix_(heeded, heeded)] = np.linalg.inv(lower)
            fair_one[heeded] = row.mean
        roots.append(root)
        fair_ones.append(root @ fair_one)
    return block_diag(*roots), np.concatenate(fair_ones)


def _twist_and_slopes(upper: FairedLine, lower: FairedLine, hull: Hull, strake: Strake) -> tuple[Floats, Floats]:
    """The twist of rulings (k,), rad, and how each offset moves it (k, all offsets), rad/mm."""
    ruled = strake.ruled
    above, below = (ruled.points(sign * ruled.reach, 0.0)[:, 0] for sign in (-1.0, 1.0))
    # Rulings of a garboard that end on the stem hang on its profile, which is no line of the table.
    on_lines = (above >= upper.curve.first) & (below >= lower.curve.first)
    on_lines &= (above <= upper.curve.last) & (below <= lower.curve.last)
    on_lines |= not any(strake.pointed)
    kept = np.flatnonzero(hull.between_ends(strake) & on_lines & (ruled.twist != 0.0))[::EVERY]
    u, v = above[kept], below[kept]

    def twisted(a: FairedLine, b: FairedLine) -> Floats:
        above, below = a.curve, b.curve
        return ruling_twist(above.tangent(u), below.tangent(v), below.point(v) - above.point(u))

    now = twisted(upper, lower)
    slopes = []
    for line, other, first in ((upper, lower, True), (lower, upper, False)):
        for word in ("height", "half_breadth"):
            view: FairedView = getattr(line, word)
            for n in range(len(view.given)):
                step = np.zeros(len(view.given))
                step[n] = STEP
                heights, breadths = line.height.faired, line.half_breadth.faired
                there_line = (heights + step, breadths) if word == "height" else (heights, breadths + step)
                moved = _moved(line, *there_line)
                there = twisted(moved, other) if first else twisted(other, moved)
                slopes.append((there - now) / STEP)
    return now, np.stack(slopes, axis=1)
