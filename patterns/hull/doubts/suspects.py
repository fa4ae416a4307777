"""Figures of a table that the rest of the table contradicts: a misprint is found before the planking finds it.

Every way of reading the table with one slip undone is weighed against the table as it stands, by how likely its rows
then are as fair curves (`patterns.geometry.likely_curves`). Nothing is ever changed.

Only the hull's own lines and the stations' distances are judged. A waterline, buttock or diagonal ends on a profile or
runs out steeply through the sheer, which its own figures do not show: judged by itself it would accuse right figures.
"""

from __future__ import annotations

from collections import Counter
from collections.abc import Iterator
from dataclasses import dataclass, replace
from math import fsum

import numpy as np

from patterns.geometry.arrays import Floats
from patterns.hull.build import EndFace, end_cut
from patterns.hull.doubts.judged_rows import ODD, Doubt, Ends, Row, Suspect, evidence_of, judged, views_of, with_cells
from patterns.hull.doubts.misreadings import COMMON, Reading, Slip, readings_of_breadth, readings_of_figure
from patterns.hull.doubts.row_doubts import copied
from patterns.hull.doubts.station_doubts import doubts_of_stations
from patterns.hull.offsets import Offsets
from patterns.units.datums import BASE
from patterns.units.notations import notation_for

ACCUSED = 3.1
"""Log odds from which a cell is named. Of random fair boats it was not set on (tests/fair_tables, seeds from 2000000
and 3000000) 2 of 1100 drawn by bending were accused and 6 of 1100 sprung through pins: under 1 in 100, as aimed at."""
MOST = 9  # suspects in one table; with more it is not a slip of the pen
ANYWHERE = 600.0  # mm; the room in which a figure wrong for no known reason may lie
SLIGHT = 4.0  # steps; a slip of no more explains a figure that is in doubt, and brings none into doubt
UNKNOWN = 0.1  # share of slips with no known reason
SIDED_ALIKE, SIDED_NEAR = {"one": 0.85, "alike": 0.97, "unlike": 0.3}, 15.0
"""Share of posts on which a line ends at the half-breadth of another: with one other, with others all alike, and with
others that differ; and how far off it ends where it does not, mm. Judgement of this program."""
PROFILED, PROFILE_NEAR = {"head": 0.8, "foot": 0.3}, 100.0
"""Share of profiles that run from the very end of the sheer, and to that of the lowest line; and how far past it others
run, mm. Judgement of this program."""
SAME = 0.75  # steps; figures nearer are the same, each rounded by itself
POSTS = ("stem", "sternpost")


@dataclass(frozen=True, slots=True)
class _Fixed:
    """Values that a figure shares with others in most boats: other lines on the same post, or the end of a profile."""

    values: tuple[float, ...]  # mm
    share: float  # of boats
    near: float  # mm, how far off it stands where it is not the same, as a rule
    step: float  # mm
    cause: str

    def odds(self, value: float) -> float:
        """Log odds of a value against one that may lie anywhere."""
        if self.same(value):
            return float(np.log(self.share * ANYWHERE / self.step))
        away = min(abs(value - one) for one in self.values) / self.near
        return float(np.log((1 - self.share) * ANYWHERE / (2 * self.near)) - away)

    def same(self, value: float) -> bool:
        return any(abs(value - one) < self.step * SAME for one in self.values)


@dataclass(frozen=True, slots=True)
class _Reading:
    """A slip undone, with the cells it changes, by column."""

    reading: Reading
    cells: dict[int, float]


def suspects(
    offsets: Offsets, *, fore: EndFace, aft: EndFace, least: float = ACCUSED, most: int = MOST
) -> tuple[Suspect, ...]:
    """Figures that the rest of the table contradicts, the surest first.

    Each is found with those before it put right, so that a wild figure makes no others guilty.

    Parameters
    ----------
    least : float
        Log odds from which a figure is named.
    most : int
        How many are named at most.
    """
    ends = _ends(fore, aft)
    found: list[Suspect] = []
    while len(found) < most:
        named = {one.place for one in found}
        doubts = (doubt for doubt in _doubts(offsets, ends) if doubt.suspect.place not in named)
        worst = max(doubts, key=lambda doubt: doubt.suspect.odds, default=None)
        if worst is None or worst.suspect.odds < least:
            break
        found.append(worst.suspect)
        offsets = worst.mended
    return tuple(found)


def ranked(offsets: Offsets, *, fore: EndFace, aft: EndFace) -> tuple[Suspect, ...]:
    """Every figure that can be judged, the most doubtful first, whether accused or not."""
    found = [doubt.suspect for doubt in _doubts(offsets, _ends(fore, aft))]
    return tuple(sorted(found, key=lambda one: -one.odds))


def _ends(fore: EndFace, aft: EndFace) -> Ends:
    return end_cut(fore, aft=False), end_cut(aft, aft=True)


def _doubts(offsets: Offsets, ends: Ends) -> Iterator[Doubt]:
    rows = judged(offsets, ends)
    for row in rows:
        for place in range(len(row.values)):
            yield _doubt_of_cell(offsets, ends, rows, row, place)
    yield from doubts_of_stations(offsets, ends, rows)


def _doubt_of_cell(offsets: Offsets, ends: Ends, rows: tuple[Row, ...], row: Row, place: int) -> Doubt:
    """A cell with the likeliest slip, if any is likelier than none we know."""
    expected = row.left_out.expected
    column = row.places[place]
    fixed = _fixed(offsets, ends, row, column)
    asked = row.odd[place] > ODD or (fixed is not None and not fixed.same(float(row.values[place])))
    readings = _readings(offsets, row, place, fixed) if asked else []
    weights = _weights(offsets, ends, rows, row, readings)
    known = row.evidence - float(row.left_out.evidence[place])
    if fixed:
        stands = fixed.odds(float(row.values[place]))
        known += stands
        weights += np.array([fixed.odds(one.reading.meant) for one in readings]) - stands
    blind = -known + float(np.log(UNKNOWN / ANYWHERE * (1 - fixed.share if fixed else 1)))
    twin = _twin(offsets, row, column)
    # Of all it could be by chance, it is just what stands in another row: told by the step, not the mm.
    copied = -known + np.log(COMMON[Slip.OTHER_LINE] / offsets.rounding) if twin else -np.inf
    # Some digit misread by a step or two brings almost any figure to where another stands: that accuses nobody.
    small = [abs(one.reading.meant - float(row.values[place])) <= SLIGHT * offsets.rounding for one in readings]
    odds = float(np.logaddexp.reduce([*weights[~np.array(small, dtype=bool)], blind, copied]))
    best = _likeliest(readings, weights, blind, copied)
    cause, slip = (f"the figure of the {twin}", Slip.OTHER_LINE) if twin and copied > blind else (None, None)
    suspect = Suspect(
        line=row.line,
        view=row.view,
        column=offsets.columns[column],
        given=float(row.values[place]),
        expected=float(expected[place]),
        strength=float(row.odd[place]),
        odds=odds,
        slip=best.reading.slip if best else slip,
        cause=best.reading.cause if best else cause,
        meant=best.reading.meant if best else None,
    )
    cells = best.cells if best else {column: suspect.expected}
    return Doubt(suspect, with_cells(offsets, row, cells))


def _readings(offsets: Offsets, row: Row, place: int, fixed: _Fixed | None) -> list[_Reading]:
    """Every slip that could have put here what stands here."""
    column, value = row.places[place], float(row.values[place])
    datum = offsets.datum if row.view == "height" else BASE
    notation = offsets.notation or notation_for(offsets.rounding)
    # A slip of the pen happens to the figure as written, from the table's own datum.
    single = [replace(one, meant=datum.height(one.meant)) for one in readings_of_figure(datum.given(value), notation)]
    if row.view == "half-breadth":
        single += readings_of_breadth(value)
    if fixed:
        single += [Reading(Slip.APART, meant, fixed.cause) for meant in fixed.values]
    found = [_Reading(reading, {column: reading.meant}) for reading in single]
    for neighbour in (place - 1, place + 1):
        if 0 <= neighbour < len(row.values):
            there, meant = row.places[neighbour], float(row.values[neighbour])
            reading = Reading(Slip.NEIGHBOURS, meant, f"changed about with the figure at {offsets.columns[there]}")
            found.append(_Reading(reading, {column: meant, there: value}))
    # A half-breadth is never negative, and what already stands there explains nothing.
    return [one for one in found if one.reading.meant != value and (one.reading.meant >= 0 or row.view == "height")]


def _weights(offsets: Offsets, ends: Ends, rows: tuple[Row, ...], row: Row, readings: list[_Reading]) -> Floats:
    """(readings,) log odds of each reading against the table as it stands."""
    if not readings:
        return np.zeros(0)
    counts = Counter(one.reading.slip for one in readings)
    unknown = UNKNOWN * offsets.rounding / ANYWHERE
    common = np.array([COMMON.get(one.reading.slip, unknown) / counts[one.reading.slip] for one in readings])
    values = np.tile(row.values, (len(readings), 1))
    for changed, one in zip(values, readings, strict=True):
        for column, value in one.cells.items():
            changed[row.places.index(column)] = value
    gains = row.curves.evidence(values) - row.evidence
    if row.view == "height":
        # With a line's end height moves the place where both its rows end.
        ends_at = {0, len(offsets.columns) - 1}
        own = fsum(one.evidence for one in rows if one.line == row.line)
        for i, one in enumerate(readings):
            if ends_at & set(one.cells):
                gains[i] = evidence_of(with_cells(offsets, row, one.cells), ends, rows, row.line) - own
    return np.asarray(np.log(common) + gains)


def _fixed(offsets: Offsets, ends: Ends, row: Row, column: int) -> _Fixed | None:
    """What a figure of an end column is held to by others than its row."""
    if column not in (0, len(offsets.columns) - 1):
        return None
    if row.view == "half-breadth" and offsets.columns[column] in POSTS:
        there = (one for view, one in views_of(offsets) if view == row.view and one.name != row.line)
        values = tuple(float(one.values[column]) for one in there if np.isfinite(one.values[column]))
        cause = f"not as the other lines end on the {offsets.columns[column]}"
        if not values:
            return None
        others = "one" if len(values) == 1 else "alike" if np.ptp(values) < offsets.rounding * SAME else "unlike"
        return _Fixed(values, SIDED_ALIKE[others], SIDED_NEAR, offsets.rounding, cause)
    if row.view == "height" and row.line in (offsets.lines[0], offsets.lines[-1]) and len(offsets.lines) > 1:
        points = ends[0 if column == 0 else 1].points
        place, where = (0, "head") if row.line == offsets.lines[0] else (-1, "foot")
        cause = f"not at the {where} of the {offsets.columns[column]}'s profile"
        return _Fixed((float(points[place, 1]),), PROFILED[where], PROFILE_NEAR, offsets.rounding, cause)
    return None


def _twin(offsets: Offsets, row: Row, column: int) -> str | None:
    """Another line with the same figure in the same column and view; lines that end on one post have it in common."""
    if row.view == "half-breadth" and offsets.columns[column] in POSTS:
        return None
    for view, other in views_of(offsets):
        same = abs(other.values[column] - row.values[row.places.index(column)]) < offsets.rounding / 2
        # A whole row copied is told as one, and its figures tell nothing by themselves.
        if view == row.view and other.name != row.line and same and not copied(offsets, row.line, other.name, view):
            return other.name
    return None


def _likeliest(readings: list[_Reading], weights: Floats, *known: float) -> _Reading | None:
    """The best reading of the likeliest slip; None where none is likelier than what is known without a reading."""
    by_slip: dict[Slip, float] = {}
    for one, weight in zip(readings, weights.tolist(), strict=True):
        by_slip[one.reading.slip] = float(np.logaddexp(by_slip.get(one.reading.slip, -np.inf), weight))
    slip = max(by_slip, key=lambda slip: by_slip[slip], default=None)
    if slip is None or by_slip[slip] < max(known):
        return None
    alike = [place for place, one in enumerate(readings) if one.reading.slip is slip]
    return readings[max(alike, key=lambda place: float(weights[place]))]
