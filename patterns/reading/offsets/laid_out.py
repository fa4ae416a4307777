"""The rows of a table of offsets by their places: headings, rows of figures, distances; cells not yet read."""

from __future__ import annotations

from dataclasses import dataclass

from patterns.drawing.text import LONGEST_NAME
from patterns.errors import Problem
from patterns.hull.offsets import AFT_ENDS, FORE_ENDS
from patterns.hull.table_form import HALF_BREADTHS, HEIGHTS
from patterns.reading.decimal_marks import looks_like_decimals
from patterns.reading.names import fault_of_letters
from patterns.reading.offsets.row_names import (
    A_ROW,
    heading_kind,
    is_cut,
    plain_name,
    row_kinds,
)
from patterns.reading.offsets.spreadsheet import cell_name
from patterns.reading.offsets.table_rows import TableFile, TableRow
from patterns.reading.wording import did_you_mean, quoted
from patterns.units.datums import Datum
from patterns.units.lengths import Length

FROM_FP = "from fp"
BLANK = "?"  # stands in a cell the builder has yet to fill in
WHERE_CUT = "how high a waterline lies, or how far off the center line a buttock does, such as 'waterline 6 in'"


@dataclass(frozen=True, slots=True)
class Block:
    kind: str
    heading: TableRow
    rows: tuple[TableRow, ...]


@dataclass(frozen=True, slots=True)
class Table:
    """The rows by their places, cells not yet read."""

    file: TableFile
    unit: str | None
    datum: Datum | None
    header: TableRow
    from_fp: TableRow | None
    blocks: tuple[Block, ...]

    @property
    def columns(self) -> tuple[str, ...]:
        return self.header.cells[1:]

    @property
    def names(self) -> tuple[str, ...]:
        """The columns, end words in lower case."""
        return tuple(plain_name(c) if plain_name(c) in FORE_ENDS + AFT_ENDS else c for c in self.columns)

    def place(self, row: TableRow, column: int | None = None) -> str:
        """A row or one of its cells, in words; columns count from 0 behind the row's name."""
        where = f"{self.file.name}, row {row.number}"
        if column is None:
            return where
        named = column < len(self.columns) and self.columns[column]
        where += f", column {quoted(named)}" if named else f", column {column + 2}"
        return f"{where} (cell {cell_name(row.number, column + 1)})" if self.file.is_spreadsheet else where

    def cells(self, row: TableRow) -> tuple[str, ...]:
        """The texts of a row behind its name, one for each column."""
        return (row.cells[1:] + ("",) * len(self.columns))[: len(self.columns)]


@dataclass(frozen=True, slots=True)
class Line:
    """A row of a block, read."""

    name: str
    row: TableRow
    texts: tuple[str, ...]
    lengths: tuple[Length | None, ...]  # None where the cell is blank or could not be read


@dataclass(frozen=True, slots=True)
class ReadBlock:
    kind: str
    heading: TableRow
    lines: tuple[Line, ...]

    def line(self, name: str) -> Line | None:
        return next((line for line in self.lines if line.name == name), None)

    @property
    def own_lines(self) -> tuple[Line, ...]:
        """The hull's own lines, cuts such as waterlines left out."""
        return tuple(line for line in self.lines if not is_cut(line.name))


def lay_out(file: TableFile, unit: str | None, datum: Datum | None, problems: list[Problem]) -> Table:
    """Give each row its place in the table; every row that has none is a problem."""
    header, *rest = file.rows
    table = Table(file, unit, datum, header, None, ())
    from_fp: list[TableRow] = []
    headings: list[TableRow] = []
    members: list[list[TableRow]] = []
    for row in rest:
        name = plain_name(row.cells[0])
        if len(row.cells) > len(header.cells):
            problems.append(_too_long(table, row))
        if name == FROM_FP:
            from_fp.append(row)
        elif heading_kind(name):
            headings.append(row)
            members.append([])
        elif is_cut(name) and name.endswith(BLANK):
            problems.append(Problem(table.place(row), f"'{BLANK}', still blank", WHERE_CUT))
        elif fault := _fault_of_name(name, headings, unit):
            problems.append(Problem(table.place(row), quoted(row.cells[0]), fault))
        else:
            members[-1].append(row)
    for row in from_fp[1:]:
        problems.append(Problem(table.place(row), quoted(row.cells[0]), "the distances from FP once"))
    blocks = tuple(
        Block(heading_kind(plain_name(row.cells[0])), row, tuple(rows))
        for row, rows in zip(headings, members, strict=True)
    )
    return Table(file, unit, datum, header, from_fp[0] if from_fp else None, blocks)


def _too_long(table: Table, row: TableRow) -> Problem:
    """More cells than columns: often what decimal commas make of a row where commas stand between cells too."""
    header, figures = table.header, row.cells[1:]
    if table.file.delimiter == "," and looks_like_decimals(figures):
        first, second, *_ = (cell for cell in figures if cell)
        found = f"{len(figures)} cells under {len(table.columns)} columns"
        wanted = (
            f"semicolons between cells, or points in numbers: '{first},{second}' is {first} and {second} in two cells, "
            f"or one number with a decimal comma"
        )
        return Problem(table.place(row), found, wanted)
    wanted = f"no more cells than the {len(header.cells)} of row {header.number}"
    beyond = quoted(next(cell for cell in row.cells[len(header.cells) :] if cell))
    return Problem(table.place(row, len(header.cells) - 1), beyond, wanted)


def _fault_of_name(name: str, headings: list[TableRow], unit: str | None) -> str:
    """What was wanted in place of a row's name, or nothing where it stands well."""
    kinds = row_kinds(name, unit)
    if kinds and (wanted := fault_of_letters(name, LONGEST_NAME)):
        return wanted
    if not kinds:
        known = (
            FROM_FP,
            HEIGHTS,
            HALF_BREADTHS,
            "sheer",
            "chine",
            "keel",
            "waterline",
            "diagonal",
            "buttock",
        )
        return A_ROW + did_you_mean(name, known)
    if not headings:
        return f"a row '{HEIGHTS}' or '{HALF_BREADTHS}' above it"
    if heading_kind(plain_name(headings[-1].cells[0])) not in kinds:
        return f"it among the {kinds[0]}"
    return ""
