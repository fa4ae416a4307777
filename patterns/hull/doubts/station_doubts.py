"""Stations that stand wrong, and whole columns changed about: several lines are odd there at once."""

from __future__ import annotations

from collections.abc import Iterator
from math import fsum

import numpy as np

from patterns.geometry.arrays import Floats
from patterns.geometry.likely_curves import STEP_NOISE
from patterns.hull.doubts.judged_rows import (
    FEWEST,
    FROM_FP,
    ODD,
    Doubt,
    Ends,
    Row,
    Suspect,
    evidence_of,
    with_columns_changed,
    with_station,
)
from patterns.hull.doubts.misreadings import COMMON, Slip, readings_of_figure
from patterns.hull.offsets import Offsets
from patterns.units.notations import notation_for

EVEN_WITHIN = 0.5  # mm; a station's place is laid off no nearer
EVEN_INSIDE, EVEN_LAST, EVEN_SHARED = 10.0, 6.0, 3.0
"""Log odds that a station out of step with otherwise even ones is misplaced: within the row, where two spaces would be
odd and none of the rest; the first or last, where a plan may well have another space; and there with a space that is a
plain share of the others', as plans that put a station in between have it."""
PLAIN_SHARES = (1 / 4, 1 / 3, 1 / 2, 2 / 3, 3 / 4, 5 / 4, 4 / 3, 3 / 2, 2.0)


def doubts_of_stations(offsets: Offsets, ends: Ends, rows: tuple[Row, ...]) -> Iterator[Doubt]:
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
    offsets: Offsets, ends: Ends, rows: tuple[Row, ...], column: int, before: float, even: float | None
) -> Iterator[Doubt]:
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
        mended = with_station(offsets, column, meant)
        # Stations that are even as they stand are made no likelier by standing evenly elsewhere.
        common = uneven * (int(_even(mended.from_fp[columns])) - int(_even(offsets.from_fp[columns])))
        weights[meant] = evidence_of(mended, ends, rows) - before + common + np.log(COMMON[Slip.SPACING] / len(causes))
    meant = max(weights, key=lambda one: weights[one])
    odds = float(np.logaddexp.reduce(list(weights.values())))
    yield Doubt(
        _station_suspect(offsets, column, meant, odds, Slip.SPACING, causes[meant]),
        with_station(offsets, column, meant),
    )


def _doubt_of_columns(
    offsets: Offsets, ends: Ends, rows: tuple[Row, ...], pair: tuple[int, int], before: float
) -> Doubt:
    """The columns of two neighbouring stations that changed about in every line."""
    mended = with_columns_changed(offsets, pair)
    gain = evidence_of(mended, ends, rows) - before
    odds = float(gain + np.log(COMMON[Slip.NEIGHBOURS] / 2))
    column, other = pair
    there = offsets.columns[other]
    cause = f"its whole column changed about with that of {there}"
    meant = float(offsets.from_fp[other])
    return Doubt(_station_suspect(offsets, column, meant, odds, Slip.NEIGHBOURS, cause), mended)


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
