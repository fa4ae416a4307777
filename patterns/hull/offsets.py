"""The table of offsets as a plan gives it: raw numbers, not yet faired."""

from __future__ import annotations

import math
from dataclasses import dataclass

import numpy as np

from patterns.geometry.arrays import Floats, read_only
from patterns.geometry.short_repr import brief
from patterns.units.datums import BASE, Datum
from patterns.units.notations import Notation

FORE_ENDS = ("stem", "bow transom")
AFT_ENDS = ("transom", "sternpost")


@dataclass(frozen=True, slots=True, eq=False)
class OffsetRow:
    """One line's row in one block of the table."""

    name: str  # "sheer", "chine", "chine 1", "keel", "waterline 6 in", "diagonal A", "buttock 9 in"
    values: Floats  # (columns,) mm; NaN where the table is blank
    cell: str = ""  # where it stands, in words: "offsets.csv, row 7"; empty where no file was read
    level: float = math.nan  # mm: of a waterline its height above base, of a buttock its half-breadth

    __repr__ = brief

    def __post_init__(self) -> None:
        object.__setattr__(self, "values", read_only(self.values, blanks=True))


@dataclass(frozen=True, slots=True, eq=False)
class Offsets:
    """A table of offsets, in mm.

    The first column is the fore end ("stem" or "bow transom"), the last the after end ("transom" or
    "sternpost"); where an end stands fore and aft comes from its profile.
    """

    columns: tuple[str, ...]
    from_fp: Floats  # (columns,) mm aft of the forward perpendicular; NaN at the two ends
    heights: tuple[OffsetRow, ...]  # lines from the sheer down, then buttocks
    half_breadths: tuple[OffsetRow, ...]  # lines from the sheer down, then waterlines and diagonals
    rounding: float  # mm, the finest step the table's notation carries: 3.175 for feet-inches-eighths
    notation: Notation | None = None  # how the table is written, where it was written
    datum: Datum = BASE  # what the table's own heights are measured from; here they are above base

    __repr__ = brief

    def __post_init__(self) -> None:
        object.__setattr__(self, "from_fp", read_only(self.from_fp, blanks=True))

    @property
    def lines(self) -> tuple[str, ...]:
        """Names of the hull's own lines, from the sheer down (cuts such as waterlines left out)."""
        return tuple(row.name for row in self.heights if not row.name.startswith("buttock"))

    @property
    def extras(self) -> tuple[str, ...]:
        """Columns between the ends with a single figure: one more measured on the plan, where no station stands."""
        figures = np.isfinite([row.values for row in (*self.heights, *self.half_breadths)]).sum(axis=0)
        return tuple(name for name, count in zip(self.columns[1:-1], figures[1:-1], strict=True) if count == 1)

    @property
    def stations(self) -> tuple[tuple[str, float], ...]:
        """The stations between the ends: name, and mm from FP."""
        columns, extras = zip(self.columns[1:-1], self.from_fp[1:-1].tolist(), strict=True), self.extras
        return tuple((name, x) for name, x in columns if name not in extras)

    def height(self, line: str) -> OffsetRow:
        return next(row for row in self.heights if row.name == line)

    def half_breadth(self, line: str) -> OffsetRow | None:
        """The line's half-breadths, or None where the table leaves them out (a keel on the centre plane)."""
        return next((row for row in self.half_breadths if row.name == line), None)
