"""End heights that the table leaves blank: a profile runs from the end of the sheer to that of the lowest line."""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass, replace

import numpy as np

from patterns.geometry.arrays import Floats
from patterns.hull.offsets import OffsetRow, Offsets


@dataclass(frozen=True, slots=True)
class BlankEnd:
    """A blank height in an end column, and the height of its profile that stands for it."""

    line: str
    place: int  # of the column: 0 or -1
    where: str  # "head" or "foot" of the profile
    height: float  # mm above base


def blank_ends(offsets: Offsets, *, fore: Floats, aft: Floats) -> Iterator[BlankEnd]:
    """Every blank height of the uppermost and lowest line that a profile gives.

    Parameters
    ----------
    fore, aft : (n, 2) mm
        Profiles of the two ends, from the sheer down: distance from FP, height above base.
    """
    first, last = offsets.lines[0], offsets.lines[-1]
    for place, profile in ((0, fore), (-1, aft)):
        ends = [(first, "head", 0)] + ([(last, "foot", -1)] if last != first else [])
        for line, where, point in ends:
            if np.isnan(offsets.height(line).values[place]):
                yield BlankEnd(line, place, where, float(profile[point, 1]))


def with_ends(offsets: Offsets, blanks: tuple[BlankEnd, ...]) -> Offsets:
    """The table with its blank ends filled in from the profiles."""

    def filled(row: OffsetRow) -> OffsetRow:
        values = row.values.copy()
        for blank in blanks:
            if blank.line == row.name:
                values[blank.place] = blank.height
        return replace(row, values=values)

    return replace(offsets, heights=tuple(map(filled, offsets.heights)))
