"""How far a faired line may be out, bay by bay, and which figure to measure on the plan next."""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass
from itertools import pairwise

import numpy as np

from patterns.geometry.arrays import Floats
from patterns.geometry.batten_kinds import WIDE
from patterns.hull.doubts.judged_rows import FROM_FP, Suspect
from patterns.hull.doubts.row_doubts import row_doubts
from patterns.hull.fairing import FairedLine, FairedView
from patterns.hull.fairing_rules import HALF_BREADTH, HEIGHT
from patterns.hull.offsets import Offsets
from patterns.units.lengths import INCH
from patterns.units.notations import notation_for

LOOKED_AT = np.array([0.01, 0.125, 0.25, 0.375, 0.5, 0.625, 0.75, 0.875, 0.99])
"""Shares of a bay where the band is measured: it is widest well within, or at the very end of the line."""
ADVISED = 2.0  # mm; a line that may be out by more is worth one more figure
HELPS = 0.8  # of what it may be out by now; a figure that leaves more helps little
STEPS = {
    True: tuple(INCH * part for part in (12.0, 6.0, 3.0, 2.0, 1.0, 0.5, 0.25, 0.125)),
    False: (500.0, 200.0, 100.0, 50.0, 20.0, 10.0, 5.0, 2.0, 1.0),
}
"""mm, round distances to measure at, by whether the table is in feet and inches."""
FEWEST_BAYS = 3  # fewer have no rest for an end bay to be even with
PLACES = 7  # round places within a bay, at least, to choose from
THINNED = 0.5
"""Share of the weight on battens thinned toward an end, from which its line is held to turn hard there. On random rows
whose end bay is even with the rest and over ADVISED, one in six of those it names misses its band by half and more, and
of those it does not name hardly any."""


@dataclass(frozen=True, slots=True)
class BayBand:
    """The band between two neighbouring offsets of a line in one view: it runs within it 19 times of 20."""

    columns: tuple[str, str]  # of the offsets either side
    from_fp: tuple[float, float]  # mm, of these
    at: float  # mm from FP, where the band is widest
    half_width: float  # mm, how far the line may be out there; NaN where its offsets are too few to say


def bay_bands(view: FairedView) -> tuple[BayBand, ...]:
    """The band of each bay, between offsets that are not left out, from fore to aft."""
    heeded = [i for i, column in enumerate(view.columns) if column not in view.left_out]
    sites = view.from_fp[heeded]
    x = sites[:-1, None] + np.diff(sites)[:, None] * LOOKED_AT  # (bays, places)
    half = view.band_at(x.ravel()).reshape(x.shape)
    return tuple(_bay(view, heeded, bay, x[bay], half[bay]) for bay in range(len(x)))


def _bay(view: FairedView, heeded: list[int], bay: int, x: Floats, half: Floats) -> BayBand:
    widest = int(half.argmax())
    fore, aft = list(pairwise(heeded))[bay]
    ends = float(view.from_fp[fore]), float(view.from_fp[aft])
    return BayBand((view.columns[fore], view.columns[aft]), ends, float(x[widest]), float(half[widest]))


@dataclass(frozen=True, slots=True)
class OneMore:
    """The one figure that is best measured on the plan next, and what it brings."""

    line: str
    view: str  # HEIGHT or HALF_BREADTH
    bay: BayBand
    at: float  # mm from FP
    column: str  # the nearest station or end
    away: float  # mm aft of where the line is given there; forward where it is negative
    after: float  # mm, how far the line may be out in the bay once it is measured
    hard: bool  # whether the line turns hard in the bay, so that it comes before bays that may be out by more


@dataclass(frozen=True, slots=True)
class HardTurn:
    """An end bay where the line turns harder than the offsets can show: it may be out by more than is told."""

    line: str
    view: str
    station: str  # the first one, or the last
    end: str  # the fore end, or the after end
    is_fore: bool


def one_more(lines: tuple[FairedLine, ...], offsets: Offsets, suspects: tuple[Suspect, ...] = ()) -> OneMore | None:
    """What to measure next: in the bay where a line may be out furthest, the round place that helps most there.

    A bay where a line turns hard comes first, for there it may be out by more than its band.
    A row that is in doubt, or has a suspect not left out, is passed over: what is right must be settled first.
    """
    if any(one.line == FROM_FP for one in suspects):
        return None
    copied = {row for one in row_doubts(offsets) for row in (one.first, one.second)}
    views = (
        (line.name, word, view)
        for line in lines
        for word, view in _views(line)
        if (line.name, word) not in copied and not _is_doubted(line.name, word, view, suspects)
    )
    bays = [
        (line, word, view, bay) for line, word, view in views for bay in bay_bands(view) if bay.half_width > ADVISED
    ]
    notation = offsets.notation or notation_for(offsets.rounding)
    hard = {(one.line, one.view, frozenset((one.station, one.end))) for one in hard_turns(lines)}
    bays.sort(key=lambda one: ((one[0], one[1], frozenset(one[3].columns)) not in hard, -one[3].half_width))
    for line, word, view, bay in bays:
        places = _round_places(bay, offsets.rounding, inches=notation.unit in ("in", "ft"))
        goal = bay.from_fp[0] + (bay.from_fp[1] - bay.from_fp[0]) * LOOKED_AT
        left = view.helps(places, goal).max(axis=0) if len(places) else np.full(1, np.inf)
        best = int(left.argmin())
        if left[best] < HELPS * bay.half_width:
            column, away = _nearest(view, offsets.extras, float(places[best]))
            turns_hard = (line, word, frozenset(bay.columns)) in hard
            return OneMore(line, word, bay, float(places[best]), column, away, float(left[best]), turns_hard)
    return None


def _is_doubted(line: str, word: str, view: FairedView, suspects: tuple[Suspect, ...]) -> bool:
    return any((one.line, one.view) == (line, word) and one.column not in view.left_out for one in suspects)


def _views(line: FairedLine) -> tuple[tuple[str, FairedView], tuple[str, FairedView]]:
    return (HEIGHT, line.height), (HALF_BREADTH, line.half_breadth)


def _round_places(bay: BayBand, rounding: float, *, inches: bool) -> Floats:
    """Round distances from FP within a bay, the roundest that leave some choice, as a table can have them."""
    low, high = bay.from_fp
    steps = STEPS[inches]
    step = next((step for step in steps if (high - low) / step > PLACES), steps[-1])
    places = np.arange(np.ceil(low / step), np.floor(high / step) + 1) * step
    places = np.unique(np.round(places / rounding) * rounding)
    return np.asarray(places[(places > low + step / 2) & (places < high - step / 2)])


def _nearest(view: FairedView, extras: tuple[str, ...], x: float) -> tuple[str, float]:
    """The nearest station or end where a line is given, and how far aft of it a place is."""
    columns = zip(view.columns, view.from_fp.tolist(), strict=True)
    return min(((name, x - there) for name, there in columns if name not in extras), key=lambda one: abs(one[1]))


def hard_turns(lines: tuple[FairedLine, ...]) -> Iterator[HardTurn]:
    """End bays even with the rest whose batten is held to be thin there, and whose line may be out by much."""
    for line in lines:
        for word, view in _views(line):
            row = None if view.fit is None else view.fit.row
            if row is None or len(row.sites) <= FEWEST_BAYS:
                continue
            long = np.diff(row.sites)
            for end, thinned in zip((0, -1), row.thinned(), strict=True):
                even = long[end] <= WIDE * float(np.median(long))
                # Bands take long to work out, and few ends are asked for theirs.
                if even and thinned > THINNED and (bays := bay_bands(view))[end].half_width > ADVISED:
                    outer, inner = bays[end].columns if end == 0 else bays[end].columns[::-1]
                    yield HardTurn(line.name, word, inner, outer, end == 0)
