"""Rows that cannot both be right: one that holds another's figures, and two that changed places.

Such a row may be as fair as any, so nothing in it stands out by itself (`patterns.hull.doubts.suspects`).
"""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass
from enum import StrEnum
from itertools import combinations

import numpy as np

from patterns.hull.offsets import OffsetRow, Offsets

FEWEST_ALIKE = 4  # figures side by side; two lines that cross or touch share one or two


class RowSlip(StrEnum):
    COPIED = "copied"
    CHANGED_ABOUT = "changed about"


@dataclass(frozen=True, slots=True)
class RowDoubt:
    """Two rows, the upper one of the table first, and from which column to which they are in doubt."""

    slip: RowSlip
    first: tuple[str, str]  # line, and "height" or "half-breadth"
    second: tuple[str, str]
    columns: tuple[str, str]


def row_doubts(offsets: Offsets) -> Iterator[RowDoubt]:
    """Pairs of rows with the same figures side by side, and half-breadths of lower lines all outside the sheer's.

    Only the hull's own lines: two waterlines of an upright side may rightly have the same figures.
    """
    blocks = (("height", offsets.heights), ("half-breadth", offsets.half_breadths))
    rows = [(view, row) for view, block in blocks for row in block if row.name in offsets.lines]
    for (view, row), (other_view, other) in combinations(rows, 2):
        alike = _alike(row, other, offsets)
        if alike:
            names = (offsets.columns[alike[0]], offsets.columns[alike[1]])
            yield RowDoubt(RowSlip.COPIED, (row.name, view), (other.name, other_view), names)
    yield from _changed_about(offsets)


def copied(offsets: Offsets, line: str, other: str, view: str) -> bool:
    """Whether two rows of a view are told of as a whole."""
    pair = {(line, view), (other, view)}
    return any({one.first, one.second} == pair for one in row_doubts(offsets) if one.slip is RowSlip.COPIED)


def _alike(row: OffsetRow, other: OffsetRow, offsets: Offsets) -> tuple[int, int] | None:
    """First and last column of the longest run of stations where two rows have the same figures."""
    stations = dict(offsets.stations)
    inner = [place for place, name in enumerate(offsets.columns) if name in stations]
    # A run of one and the same figure is a level line. A nought says nothing: it neither counts nor ends a run.
    best: list[int] = []
    run: list[int] = []
    for i in inner:
        one, two = row.values[i], other.values[i]
        if not abs(one - two) < offsets.rounding / 2:
            run = []
        elif one != 0:
            run = [*run, i]
            best = max(best, run, key=len)
    if len(best) < FEWEST_ALIKE or np.ptp(row.values[best]) < offsets.rounding:
        return None
    return best[0], best[-1]


def _changed_about(offsets: Offsets) -> Iterator[RowDoubt]:
    """A hull may tumble home, but not all the way from its stem to its transom."""
    sheer, *lower = (row for name in offsets.lines if (row := offsets.half_breadth(name)))
    for row in lower:
        there = np.isfinite(sheer.values) & np.isfinite(row.values)
        there[[0, -1]] = False
        if there.sum() >= FEWEST_ALIKE and (row.values - sheer.values)[there].min() >= offsets.rounding:
            ends = np.flatnonzero(there)[[0, -1]]
            names = (offsets.columns[ends[0]], offsets.columns[ends[1]])
            yield RowDoubt(RowSlip.CHANGED_ABOUT, (sheer.name, "half-breadth"), (row.name, "half-breadth"), names)
