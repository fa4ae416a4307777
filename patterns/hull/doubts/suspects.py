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
from functools import cached_property
from math import fsum

import numpy as np

from patterns.geometry.arrays import Floats
from patterns.geometry.cuts import Profile
from patterns.geometry.likely_curves import STEP_NOISE, LeftOut, LikelyCurves
from patterns.hull.build import End, end_cut
from patterns.hull.doubts.misreadings import COMMON, Reading, Slip, readings_of_breadth, readings_of_figure
from patterns.hull.doubts.row_doubts import copied
from patterns.hull.offsets import OffsetRow, Offsets
from patterns.units.datums import BASE
from patterns.units.notations import notation_for

FEWEST = 5  # figures in a row; fewer leave nothing to judge one by
ACCUSED = 3.1
"""Log odds from which a cell is named. Of random fair boats it was not set on (tests/fair_tables, seeds from 2000000
and 3000000) 2 of 1100 drawn by bending were accused and 6 of 1100 sprung through pins: under 1 in 100, as aimed at."""
ODD = 2.2  # spreads off the others; a cell nearer than this is not asked for a cause
MOST = 9  # suspects in one table; with more it is not a slip of the pen
ANYWHERE = 600.0  # mm; the room in which a figure wrong for no known reason may lie
SLIGHT = 4.0  # steps; a slip of no more explains a figure that is in doubt, and brings none into doubt
UNKNOWN = 0.1  # share of slips with no known reason
FINEST = 1.0
"""mm; figures written finer were still scaled off a drawing no finer than this. Judgement of this program, held to by
random fair boats in tenths of a mm and thousandths of an inch."""
EVEN_WITHIN = 0.5  # mm; a station's place is laid off no nearer
SIDED_ALIKE, SIDED_NEAR = {"one": 0.85, "alike": 0.97, "unlike": 0.3}, 15.0
"""Share of posts on which a line ends at the half-breadth of another: with one other, with others all alike, and with
others that differ; and how far off it ends where it does not, mm. Judgement of this program."""
PROFILED, PROFILE_NEAR = {"head": 0.8, "foot": 0.3}, 100.0
"""Share of profiles that run from the very end of the sheer, and to that of the lowest line; and how far past it others
run, mm. Judgement of this program."""
SAME = 0.75  # steps; figures nearer are the same, each rounded by itself
POSTS = ("stem", "sternpost")
FROM_FP = "from FP"
EVEN_INSIDE, EVEN_LAST, EVEN_SHARED = 10.0, 6.0, 3.0
"""Log odds that a station out of step with otherwise even ones is misplaced: within the row, where two spaces would be
odd and none of the rest; the first or last, where a plan may well have another space; and there with a space that is a
plain share of the others', as plans that put a station in between have it."""
PLAIN_SHARES = (1 / 4, 1 / 3, 1 / 2, 2 / 3, 3 / 4, 5 / 4, 4 / 3, 3 / 2, 2.0)


@dataclass(frozen=True, slots=True)
class Suspect:
    """A figure that does not suit the rest, and what it may have been."""

    line: str  # or "from FP", where a station's distance is in doubt
    view: str  # "height", "half-breadth", or "station" for a distance from FP
    column: str
    given: float  # mm
    expected: float  # mm, on the fair curve of the others
    strength: float  # how many times what noise and the others' looseness explain
    odds: float  # log odds against the figure, by which suspects are ranked
    slip: Slip | None
    cause: str | None  # "a 7 misread as 1"
    meant: float | None  # mm

    @property
    def place(self) -> tuple[str, str, str]:
        return self.line, self.view, self.column

    @property
    def off(self) -> float:
        """mm, positive above, outside or abaft of where the others want it."""
        return self.given - self.expected


@dataclass(frozen=True, eq=False)
class _Row:
    """One row's figures, in the order of the table's columns."""

    line: str
    view: str
    places: tuple[int, ...]  # columns of the table
    values: Floats  # mm
    curves: LikelyCurves

    @cached_property
    def evidence(self) -> float:
        return float(self.curves.evidence(self.values[None])[0])

    @cached_property
    def left_out(self) -> LeftOut:
        return self.curves.left_out(self.values)

    @cached_property
    def odd(self) -> Floats:
        """Spreads off the others, each cell."""
        others = self.left_out
        return np.asarray(np.abs(self.values - others.expected) / others.spread)


@dataclass(frozen=True, slots=True, eq=False)
class _Doubt:
    """A suspect, and the table as it would be with it put right."""

    suspect: Suspect
    mended: Offsets


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


def suspects(offsets: Offsets, *, fore: End, aft: End, least: float = ACCUSED, most: int = MOST) -> tuple[Suspect, ...]:
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


def ranked(offsets: Offsets, *, fore: End, aft: End) -> tuple[Suspect, ...]:
    """Every figure that can be judged, the most doubtful first, whether accused or not."""
    found = [doubt.suspect for doubt in _doubts(offsets, _ends(fore, aft))]
    return tuple(sorted(found, key=lambda one: -one.odds))


Ends = tuple[Profile, Profile]


def _ends(fore: End, aft: End) -> Ends:
    return end_cut(fore, aft=False), end_cut(aft, aft=True)


def _doubts(offsets: Offsets, ends: Ends) -> Iterator[_Doubt]:
    rows = _rows(offsets, ends)
    for row in rows:
        for place in range(len(row.values)):
            yield _doubt_of_cell(offsets, ends, rows, row, place)
    yield from _doubts_of_stations(offsets, ends, rows)


def _rows(offsets: Offsets, ends: Ends, line: str | None = None) -> tuple[_Row, ...]:
    """The rows with figures enough to judge one by the others; those of one line, or all."""
    rows = (_row(offsets, ends, view, row) for view, row in _blocks(offsets) if line in (None, row.name))
    return tuple(row for row in rows if row is not None)


def _blocks(offsets: Offsets) -> Iterator[tuple[str, OffsetRow]]:
    """The hull's own lines, each view of each."""
    yield from (("height", row) for row in offsets.heights if row.name in offsets.lines)
    yield from (("half-breadth", row) for row in offsets.half_breadths if row.name in offsets.lines)


def _row(offsets: Offsets, ends: Ends, view: str, row: OffsetRow) -> _Row | None:
    sites = offsets.from_fp.copy()
    heights = offsets.height(row.name).values[[0, -1]].tolist()
    for column, end, height in zip((0, -1), ends, heights, strict=True):
        if np.isfinite(height):
            # A height beyond the profile may be what is wrong: its line ends at the profile's head or foot meanwhile.
            held = np.clip(height, end.points[-1, 1], end.points[0, 1])
            half = offsets.half_breadth(row.name)
            breadth = np.nan_to_num(half.values[[column]]) if half else np.zeros(1)
            sites[column] = (end.at_height(np.array([held])) - end.set_back(breadth))[0]
    there = ~(np.isnan(row.values) | np.isnan(sites))
    # Ends that cross the stations are told of where the lines are faired; here such a row is not judged.
    if there.sum() < FEWEST or (np.diff(sites[there]) <= 0).any():
        return None
    curves = LikelyCurves(sites[there], max(offsets.rounding, FINEST))
    return _Row(row.name, view, tuple(np.flatnonzero(there).tolist()), row.values[there], curves)


def _doubt_of_cell(offsets: Offsets, ends: Ends, rows: tuple[_Row, ...], row: _Row, place: int) -> _Doubt:
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
    return _Doubt(suspect, _with_cells(offsets, row, cells))


def _readings(offsets: Offsets, row: _Row, place: int, fixed: _Fixed | None) -> list[_Reading]:
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


def _weights(offsets: Offsets, ends: Ends, rows: tuple[_Row, ...], row: _Row, readings: list[_Reading]) -> Floats:
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
                gains[i] = _evidence(_with_cells(offsets, row, one.cells), ends, rows, row.line) - own
    return np.asarray(np.log(common) + gains)


def _evidence(offsets: Offsets, ends: Ends, rows: tuple[_Row, ...], line: str | None = None) -> float:
    """Log likelihood of a line's rows, or of all; nothing where a row that could be judged before cannot be now."""
    found = _rows(offsets, ends, line)
    if len(found) < sum(line in (None, row.line) for row in rows):
        return -np.inf
    return fsum(row.evidence for row in found)


def _fixed(offsets: Offsets, ends: Ends, row: _Row, column: int) -> _Fixed | None:
    """What a figure of an end column is held to by others than its row."""
    if column not in (0, len(offsets.columns) - 1):
        return None
    if row.view == "half-breadth" and offsets.columns[column] in POSTS:
        there = (one for view, one in _blocks(offsets) if view == row.view and one.name != row.line)
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


def _twin(offsets: Offsets, row: _Row, column: int) -> str | None:
    """Another line with the same figure in the same column and view; lines that end on one post have it in common."""
    if row.view == "half-breadth" and offsets.columns[column] in POSTS:
        return None
    for view, other in _blocks(offsets):
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


def _doubts_of_stations(offsets: Offsets, ends: Ends, rows: tuple[_Row, ...]) -> Iterator[_Doubt]:
    """Stations that stand wrong, and whole columns changed about: several lines are odd there at once."""
    before = fsum(row.evidence for row in rows)
    columns = _stations(offsets)
    for number, column in enumerate(columns):
        odd = [row for row in rows if column in row.places and row.odd[row.places.index(column)] > ODD]
        even = _evenly(offsets.from_fp[columns], number)
        if len(odd) > 1 or even is not None:
            yield from _doubt_of_station(offsets, ends, rows, column, before, even)
        if len(odd) > 1 and number < len(columns) - 1:
            yield _doubt_of_columns(offsets, ends, rows, (column, columns[number + 1]), before)


def _stations(offsets: Offsets) -> list[int]:
    """Columns of the stations, which extra figures stand between."""
    names = dict(offsets.stations)
    return [column for column, name in enumerate(offsets.columns) if name in names]


def _doubt_of_station(
    offsets: Offsets, ends: Ends, rows: tuple[_Row, ...], column: int, before: float, even: float | None
) -> Iterator[_Doubt]:
    """A station's distance from FP misread, or out of step with the others'."""
    value = float(offsets.from_fp[column])
    causes = {
        reading.meant: reading.cause
        for reading in readings_of_figure(value, offsets.notation or notation_for(offsets.rounding))
        if reading.slip is not Slip.SIGN
    }
    if even is not None:
        near = min(causes, key=lambda meant: abs(meant - even), default=even)
        # The place that evens the stations is the figure a misread digit gives, where one does.
        cause = causes.get(near) if abs(near - even) <= offsets.rounding else None
        causes[near if cause else even] = "the other stations stand evenly spaced" + (f"; {cause}" if cause else "")
    low, high = offsets.from_fp[column - 1], offsets.from_fp[column + 1]
    causes = {meant: cause for meant, cause in causes.items() if meant != value and not (meant <= low or meant >= high)}
    if not causes:
        return
    columns = _stations(offsets)
    uneven = _uneven(offsets.from_fp[columns], columns.index(column))
    weights = {}
    for meant in causes:
        mended = _with_station(offsets, column, meant)
        # Stations that are even as they stand are made no likelier by standing evenly elsewhere.
        common = uneven * (int(_even(mended.from_fp[columns])) - int(_even(offsets.from_fp[columns])))
        weights[meant] = _evidence(mended, ends, rows) - before + common + np.log(COMMON[Slip.SPACING] / len(causes))
    meant = max(weights, key=lambda one: weights[one])
    odds = float(np.logaddexp.reduce(list(weights.values())))
    yield _Doubt(
        _station_suspect(offsets, column, meant, odds, Slip.SPACING, causes[meant]),
        _with_station(offsets, column, meant),
    )


def _doubt_of_columns(
    offsets: Offsets, ends: Ends, rows: tuple[_Row, ...], pair: tuple[int, int], before: float
) -> _Doubt:
    """The columns of two neighbouring stations that changed about in every line."""
    mended = _with_columns_changed(offsets, pair)
    gain = _evidence(mended, ends, rows) - before
    odds = float(gain + np.log(COMMON[Slip.NEIGHBOURS] / 2))
    column, other = pair
    there = offsets.columns[other]
    cause = f"its whole column changed about with that of {there}"
    meant = float(offsets.from_fp[other])
    return _Doubt(_station_suspect(offsets, column, meant, odds, Slip.NEIGHBOURS, cause), mended)


def _station_suspect(offsets: Offsets, column: int, meant: float, odds: float, slip: Slip, cause: str) -> Suspect:
    given = float(offsets.from_fp[column])
    strength = abs(given - meant) / (offsets.rounding / STEP_NOISE)
    name = offsets.columns[column]
    return Suspect(FROM_FP, "station", name, given, meant, float(strength), odds, slip, cause, meant)


def _even(stations: Floats) -> bool:
    """Whether stations stand evenly; fewer than five say nothing."""
    apart = np.diff(stations)
    return len(apart) >= FEWEST - 1 and bool(np.ptp(apart) < EVEN_WITHIN)


def _uneven(stations: Floats, place: int) -> float:
    """Log odds that one is misplaced which alone is out of step."""
    if 0 < place < len(stations) - 1:
        return EVEN_INSIDE
    apart = np.abs(np.diff(stations)) if place == 0 else np.abs(np.diff(stations))[::-1]
    shares = apart[0] / np.median(apart[1:])
    return EVEN_SHARED if np.isclose(PLAIN_SHARES, shares, rtol=0.01).any() else EVEN_LAST


def _evenly(stations: Floats, place: int) -> float | None:
    """Where a station would stand to make all of them even, if it can and they are not."""
    if _even(stations):
        return None
    others = np.delete(np.arange(len(stations)), place)
    fit = np.polyfit(others, stations[others], 1)
    meant = float(np.polyval(fit, place))
    mended = stations.copy()
    mended[place] = meant
    return meant if _even(mended) else None


def _with_cells(offsets: Offsets, row: _Row, cells: dict[int, float]) -> Offsets:
    def mended(one: OffsetRow) -> OffsetRow:
        values = one.values.copy()
        for column, value in cells.items():
            values[column] = value
        return OffsetRow(one.name, values)

    block = offsets.heights if row.view == "height" else offsets.half_breadths
    rows = tuple(mended(one) if one.name == row.line else one for one in block)
    return replace(offsets, heights=rows) if row.view == "height" else replace(offsets, half_breadths=rows)


def _with_station(offsets: Offsets, column: int, x: float) -> Offsets:
    from_fp = offsets.from_fp.copy()
    from_fp[column] = x
    return replace(offsets, from_fp=from_fp)


def _with_columns_changed(offsets: Offsets, pair: tuple[int, int]) -> Offsets:
    order = np.arange(len(offsets.columns))
    order[list(pair)] = order[list(pair)[::-1]]

    def changed(rows: tuple[OffsetRow, ...]) -> tuple[OffsetRow, ...]:
        return tuple(OffsetRow(row.name, row.values[order]) for row in rows)

    return replace(offsets, heights=changed(offsets.heights), half_breadths=changed(offsets.half_breadths))
