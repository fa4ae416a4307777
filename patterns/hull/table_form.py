"""The form a table of offsets came in, so that it can be written back as its builder knows it."""

from __future__ import annotations

from dataclasses import dataclass

from patterns.geometry.short_repr import brief
from patterns.units.datums import BASE, Datum
from patterns.units.notations import Notation

HEIGHTS = "heights"
HALF_BREADTHS = "half-breadths"


@dataclass(frozen=True, slots=True)
class FormRow:
    """One line's row."""

    label: str  # as written: "Sheer"
    name: str  # as the offsets name it: "sheer"
    row: int  # as the spreadsheet counts rows, the header being row 1


@dataclass(frozen=True, slots=True)
class FormBlock:
    """A block heading and the rows under it."""

    heading: str  # as written
    kind: str  # HEIGHTS or HALF_BREADTHS
    rows: tuple[FormRow, ...]  # in the order they were written


@dataclass(frozen=True, slots=True)
class TableForm:
    """What a table says besides its offsets."""

    file: str  # its name, for messages
    title: str  # the first cell
    columns: tuple[str, ...]  # as written
    from_fp_label: str  # as written
    from_fp: tuple[str, ...]  # as written, one text a column, blank at the two ends
    from_fp_row: int  # as the spreadsheet counts rows
    blocks: tuple[FormBlock, ...]  # in the order they were written
    notation: Notation
    delimiter: str
    newline: str
    byte_order_mark: bool
    datum: Datum = BASE  # what its heights are measured from
    read_as: str = ""  # how it was read, where that is worth telling: "Windows-1252 text, because ..."

    __repr__ = brief

    def cell(self, kind: str, name: str, column: int) -> str:
        """Where a line's offset stands, in words: ``offsets.csv, row 5, column '3'``."""
        return f"{self.file}, row {self.row(kind, name)}, column '{self.columns[column]}'"

    def row(self, kind: str, name: str) -> int:
        """The row a line's offsets stand in, as the spreadsheet counts."""
        return next(row.row for block in self.blocks if block.kind == kind for row in block.rows if row.name == name)
