"""Rows of a table that can be judged, each with its likelihood as a fair curve; and the table with a figure changed."""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass, replace
from functools import cached_property
from math import fsum

import numpy as np

from patterns.geometry.arrays import Floats
from patterns.geometry.cuts import Profile
from patterns.geometry.likely_curves import LeftOut, LikelyCurves
from patterns.hull.doubts.misreadings import Slip
from patterns.hull.offsets import OffsetRow, Offsets

ODD = 2.2  # spreads off the others; a cell nearer than this is not asked for a cause
FEWEST = 5  # figures in a row; fewer leave nothing to judge one by
FINEST = 1.0
"""mm; figures written finer were still scaled off a drawing no finer than this. Judgement of this program, held to by
random fair boats in tenths of a mm and thousandths of an inch."""
FROM_FP = "from FP"


Place = tuple[str, str, str]
"""Line, view and column of a figure."""


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
    deniers: tuple[Place, ...] = ()  # figures of other lines and columns that speak against it most; on a round hull
    give: float = 0.0  # mm, how far what they expect may be out, 19 times of 20
    rival: Place | None = None  # a figure that it contradicts so that one of the two is wrong, nobody knows which

    @property
    def place(self) -> tuple[str, str, str]:
        return self.line, self.view, self.column

    @property
    def off(self) -> float:
        """mm from where the others lead one to expect it; positive above, outside or abaft."""
        return self.given - self.expected


@dataclass(frozen=True, eq=False)
class Row:
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
class Doubt:
    """A suspect, and the table as it would be with it put right."""

    suspect: Suspect
    mended: Offsets


Ends = tuple[Profile, Profile]


def judged(offsets: Offsets, ends: Ends, line: str | None = None) -> tuple[Row, ...]:
    """The rows with figures enough to judge one by the others; those of one line, or all."""
    rows = (_row(offsets, ends, view, row) for view, row in views_of(offsets) if line in (None, row.name))
    return tuple(row for row in rows if row is not None)


def views_of(offsets: Offsets) -> Iterator[tuple[str, OffsetRow]]:
    """The hull's own lines, each view of each."""
    yield from (("height", row) for row in offsets.heights if row.name in offsets.lines)
    yield from (("half-breadth", row) for row in offsets.half_breadths if row.name in offsets.lines)


def _row(offsets: Offsets, ends: Ends, view: str, row: OffsetRow) -> Row | None:
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
    # Fairing tells of a line whose end crosses a station. Here such a row is not judged.
    if there.sum() < FEWEST or (np.diff(sites[there]) <= 0).any():
        return None
    curves = LikelyCurves(sites[there], max(offsets.rounding, FINEST))
    return Row(row.name, view, tuple(np.flatnonzero(there).tolist()), row.values[there], curves)


def evidence_of(offsets: Offsets, ends: Ends, rows: tuple[Row, ...], line: str | None = None) -> float:
    """Log likelihood of a line's rows, or of all; nothing where a row that could be judged before cannot be now."""
    found = judged(offsets, ends, line)
    if len(found) < sum(line in (None, row.line) for row in rows):
        return -np.inf
    return fsum(row.evidence for row in found)


def with_cells(offsets: Offsets, row: Row, cells: dict[int, float]) -> Offsets:
    def mended(one: OffsetRow) -> OffsetRow:
        values = one.values.copy()
        for column, value in cells.items():
            values[column] = value
        return replace(one, values=values)

    block = offsets.heights if row.view == "height" else offsets.half_breadths
    rows = tuple(mended(one) if one.name == row.line else one for one in block)
    return replace(offsets, heights=rows) if row.view == "height" else replace(offsets, half_breadths=rows)


def with_station(offsets: Offsets, column: int, x: float) -> Offsets:
    from_fp = offsets.from_fp.copy()
    from_fp[column] = x
    return replace(offsets, from_fp=from_fp)


def with_columns_changed(offsets: Offsets, pair: tuple[int, int]) -> Offsets:
    order = np.arange(len(offsets.columns))
    order[list(pair)] = order[list(pair)[::-1]]

    def changed(rows: tuple[OffsetRow, ...]) -> tuple[OffsetRow, ...]:
        return tuple(replace(row, values=row.values[order]) for row in rows)

    return replace(offsets, heights=changed(offsets.heights), half_breadths=changed(offsets.half_breadths))
