"""Where a round hull's table says too little of the skin, and the one figure whose measuring would help most."""

from __future__ import annotations

from collections.abc import Callable, Iterator
from dataclasses import dataclass
from itertools import groupby, pairwise

import numpy as np

from patterns.geometry.arrays import Floats
from patterns.hull.fairing_rules import HALF_BREADTH, HEIGHT
from patterns.hull.round.round_hull import RoundHull
from patterns.hull.round.skin_lines import line_places

ADVISED = 2.0  # mm; where the skin may be out by more, one more figure is worth its measuring
GUESS = 0.1
"""Of the depth. Where the skin may be out by more, no figure holds it, and the number of mm is not known either: in
tables with two or three rows of cuts up to 1132 mm were told of a hull 1070 mm deep that was out by 87. Set on 16 hulls
of `tests/support/judge_round.py`: the worst error was about a tenth of what was told there, in the middle of the
cases, and a quarter to a half of what was told elsewhere."""
UP = 61  # places up each section
LOOKED_AT = 15  # of these that a new figure may be measured at, or that it may help
HELPS = 0.8  # of what the skin may be out by now; a figure that leaves more helps little
STEPS = {True: 12.7, False: 10.0}  # mm, round heights and half-breadths, by whether the table is in feet and inches


@dataclass(frozen=True, slots=True)
class ThinSpot:
    """A stretch of the skin between two lines of the table where it may be out by much."""

    below: str  # the line, or "the stem"
    above: str
    columns: tuple[str, ...]  # neighbouring stations and ends
    least: float  # mm, at the station where it may be out least
    most: float  # mm
    guess: bool = False  # whether it may be out by so much that the figure of mm says nothing


@dataclass(frozen=True, slots=True)
class NextFigure:
    """The one figure that is best measured on the plan next."""

    column: str
    view: str  # HEIGHT or HALF_BREADTH, what is measured
    at: float  # mm: the half-breadth at which a height is measured, or the height of a half-breadth
    now: float  # mm, how far the skin may be out there
    after: float  # mm, once it is measured
    guess: bool = False  # whether the skin is a guess there now
    guess_after: bool = False  # whether it is one even then


@dataclass(frozen=True, slots=True, eq=False)
class _Section:
    column: str
    v: Floats  # (UP,)
    u: Floats
    points: Floats  # (UP, 2) mm
    square: Floats  # (UP, 2) unit
    band: Floats  # (UP,) mm
    lines: tuple[tuple[str, float], ...]  # names of the lines with a figure there and their v, from below


def thin_spots(hull: RoundHull, *, within: float) -> tuple[ThinSpot, ...]:
    """Where the skin may be out by more than ``within``, and by more than is worth a figure; the worst first."""
    found: dict[tuple[str, str, bool], list[tuple[int, str, float]]] = {}
    guess = GUESS * hull.depth
    for number, one in enumerate(_sections(hull)):
        for below, above, most in _stretches(one, max(ADVISED, within)):
            found.setdefault((below, above, most > guess), []).append((number, one.column, most))
    spots = [
        ThinSpot(
            below, above, tuple(c for _, c, _ in run), min(b for _, _, b in run), max(b for _, _, b in run), guessed
        )
        for (below, above, guessed), every in found.items()
        for run in _runs(every)
    ]
    return tuple(sorted(spots, key=lambda spot: -spot.most))


def _stretches(one: _Section, least: float) -> Iterator[tuple[str, str, float]]:
    """Lines between which a section may be out by more than ``least``, and by how much at most: neighbours as one."""
    between = [
        (below, above, float(one.band[(one.v > low) & (one.v < high)].max(initial=0.0)))
        for (below, low), (above, high) in pairwise(one.lines)
    ]
    for thin, run in groupby(between, key=lambda gap: gap[2] > least):
        if thin:
            gaps = list(run)
            yield gaps[0][0], gaps[-1][1], max(most for _, _, most in gaps)


def _runs(every: list[tuple[int, str, float]]) -> list[list[tuple[int, str, float]]]:
    """Stretches of stations that follow one another."""
    runs: list[list[tuple[int, str, float]]] = []
    for one in every:
        if runs and one[0] == runs[-1][-1][0] + 1:
            runs[-1].append(one)
        else:
            runs.append([one])
    return runs


def _sections(hull: RoundHull) -> list[_Section]:
    """Every station from fore to aft, and transoms that the table gives the section of."""
    columns = hull.offsets.columns
    stations = [(name, x) for name, x in hull.offsets.stations if np.isfinite(hull.skin.reach(x)[0])]
    found = [_station(hull, name, x) for name, x in stations]
    for u, name, post in ((0.0, columns[0], hull.keel_ends_on[0]), (1.0, columns[-1], hull.keel_ends_on[1])):
        if not post:
            section = _section(hull, name, np.full(UP, u), np.linspace(0.0, 1.0, UP))
            found.insert(0 if u == 0.0 else len(found), section)
    return found


def _station(hull: RoundHull, name: str, x: float) -> _Section:
    first, last = hull.skin.reach(x)
    v = np.linspace(first, last, UP)
    return _section(hull, name, hull.skin.u_at(x, v), v)


def _section(hull: RoundHull, column: str, u: Floats, v: Floats) -> _Section:
    places = hull.skin.places(u, v)
    square = places.normals[:, 1:] / np.hypot(*places.normals[:, 1:].T)[:, None]
    points = places.points[:, 1:]
    return _Section(column, v, u, points, square, hull.may_be_out(places), tuple(_lines(hull, column, v, points)))


def _lines(hull: RoundHull, column: str, v: Floats, points: Floats) -> list[tuple[str, float]]:
    """The lines that have a figure at a column, by where the skin has it; a section that begins on a post begins
    there."""
    at_v = line_places(hull)
    found: dict[str, float] = {}
    for one in hull.figures:
        if one.column == column and not one.left_out and np.isfinite(one.faired):
            found[one.line] = at_v[one.line] if one.line in at_v else _nearest(hull, one.line, one.faired, v, points)
    if v[0] > 0.0:
        post = hull.offsets.columns[0 if _is_fore(hull, column) else -1]
        found[f"the {post}"] = float(v[0])
    return sorted(found.items(), key=lambda one: one[1])


def _is_fore(hull: RoundHull, column: str) -> bool:
    return hull.offsets.columns.index(column) < len(hull.offsets.columns) / 2


def _nearest(hull: RoundHull, line: str, reads: float, v: Floats, points: Floats) -> float:
    """v at which a section has a figure of a cut."""
    diagonal = next((one for one in hull.diagonals if one.name == line), None)
    level = {row.name: row.level for row in (*hull.offsets.heights, *hull.offsets.half_breadths)}.get(line, np.nan)
    if diagonal is not None:
        there = (reads * np.cos(diagonal.angle), diagonal.apex - reads * np.sin(diagonal.angle))
    else:
        there = (level, reads) if line.startswith("buttock") else (reads, level)
    return float(v[((points - there) ** 2).sum(axis=1).argmin()])


Joint = Callable[[Floats, Floats, Floats], Floats]  # covariance of places u, v in directions: (n, n) mm^2


def next_figure(hull: RoundHull, *, within: float) -> NextFigure | None:
    """The figure that would help most where the skin may be out furthest; None where it is sure enough all over.

    What helps is told by how places may be out together: a figure at one of them, written as finely as the table,
    settles the others as far as they go with it.
    """
    if hull.joint is None:
        return None
    sections = _sections(hull)
    chosen = np.linspace(2, UP - 3, LOOKED_AT).astype(int)
    u, v, square, band = (
        np.concatenate([getattr(one, name)[chosen] for one in sections]) for name in ("u", "v", "square", "band")
    )
    if band.max() <= max(ADVISED, within):
        return None
    together = hull.joint(u, v, square)
    own = np.maximum(together.diagonal(), 1e-12)
    rounding = hull.offsets.rounding**2 / 12
    left = 1 - together**2 / (own[:, None] * (own + rounding)[None, :])
    after = band[:, None] * np.sqrt(np.maximum(left, 0.0))  # (goals, figures)
    best = int((np.maximum(after - max(ADVISED, within) / 2, 0.0) ** 2).sum(axis=0).argmin())
    if after[best, best] > HELPS * band[best]:
        return None
    section, place = sections[best // LOOKED_AT], chosen[best % LOOKED_AT]
    y, z = section.points[place].tolist()
    inches = hull.offsets.notation is not None and hull.offsets.notation.unit in ("in", "ft")
    level = abs(section.square[place, 0]) >= abs(section.square[place, 1])
    at = round((z if level else y) / STEPS[inches]) * STEPS[inches]
    view = HALF_BREADTH if level else HEIGHT
    now, then, guess = float(band[best]), float(after[best, best]), GUESS * hull.depth
    return NextFigure(section.column, view, float(at), now, then, now > guess, then > guess)
