"""built.csv: what was measured at the strongback, read by the names that the setting-up pages print."""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from dataclasses import dataclass, field
from pathlib import Path

from patterns.errors import InputError, Problem
from patterns.parts.asked.built_rules import BuiltFigure, Measure
from patterns.reading.offsets.table_rows import TableRow, read_rows
from patterns.reading.wording import one_of, quoted
from patterns.units.cells import unshielded
from patterns.units.lengths import read_length

COLUMNS = ("frame", "line", "side", "measure", "figure")
SIDES = ("port", "starboard")
TEMPLATE = "tables/built-blank.csv"


@dataclass(frozen=True, slots=True)
class BuiltOf:
    """The boat that the file is about."""

    frames: Sequence[str]  # names of frames, as `FramePlace.name` has them
    lines: Sequence[str]  # from the sheer down
    unit: str | None  # what a bare number means
    on_centre: Sequence[str] = field(default=())  # lines without half-breadths


def read_built(path: Path, boat: BuiltOf) -> tuple[BuiltFigure, ...]:
    """The figures of a file, without the blank ones.

    Raises
    ------
    InputError
        Every fault of the file at once.
    """
    if not path.is_file():
        wanted = f"a copy of {TEMPLATE} with your figures at {path}"
        raise InputError([Problem(path.name, "no such file", wanted)])
    if not path.stat().st_size:
        raise InputError([Problem(path.name, "nothing", f"a copy of {TEMPLATE} with your figures")])
    rows = [row for row in read_rows(path).rows if row.cells[0].strip().lower() != "about"]
    heads = [cell.strip().lower() for cell in rows[0].cells] if rows else []
    missing = [name for name in COLUMNS if name not in heads]
    if missing:
        found = f"no column {', '.join(map(quoted, missing))}"
        where = f"{path.name}, row {rows[0].number}" if rows else path.name
        raise InputError([Problem(where, found, f"columns {', '.join(COLUMNS)}, as in {TEMPLATE}")])
    problems = list(_doubled(path.name, rows[0], heads))
    figures: list[BuiltFigure] = []
    rows_of: dict[tuple[str, ...], int] = {}
    for row in rows[1:]:
        problems += _beyond(path.name, row, len(heads))
        figure = _figure(_Row(path.name, row, {name: heads.index(name) for name in COLUMNS}), boat, problems)
        if figure is None:
            continue
        key = (figure.place, figure.line, figure.side, figure.measure)
        if key in rows_of:
            problems.append(Problem(figure.cell, f"the same figure as row {rows_of[key]}", "each figure once"))
        rows_of.setdefault(key, row.number)
        figures.append(figure)
    if not figures and not problems:
        problems.append(Problem(path.name, "no figure", "at least one row with its figure measured"))
    if problems:
        raise InputError(problems)
    return tuple(figures)


def _doubled(file: str, row: TableRow, heads: Sequence[str]) -> Iterator[Problem]:
    """Of two columns with one name, nobody knows which is meant."""
    for name in COLUMNS:
        if heads.count(name) > 1:
            yield Problem(f"{file}, row {row.number}", f"{heads.count(name)} columns '{name}'", "each column once")


def _beyond(file: str, row: TableRow, columns: int) -> Iterator[Problem]:
    """A cell past the last column: a comma within a figure cuts it in two, and half of it would be read."""
    more = [cell.strip() for cell in row.cells[columns:] if cell.strip()]
    if more:
        wanted = "no more cells than the header has; put a figure that has a comma in it in quotes, or write a point"
        yield Problem(f"{file}, row {row.number}", f"{quoted(', '.join(more))} after the last column", wanted)


@dataclass(frozen=True, slots=True)
class _Row:
    file: str
    row: TableRow
    columns: dict[str, int]

    def said(self, name: str) -> str:
        column = self.columns[name]
        return unshielded(self.row.cells[column]).strip() if column < len(self.row.cells) else ""

    def cell(self, name: str) -> str:
        return f"{self.file}, row {self.row.number}, column '{name}'"


def _figure(row: _Row, boat: BuiltOf, problems: list[Problem]) -> BuiltFigure | None:
    """One row's figure; None where it is blank, or has a fault."""
    if not row.said("figure"):
        return None
    faults = len(problems)
    place, measure = _place(row, boat, problems), _measure(row, problems)
    line = _line(row, boat, measure, problems)
    side = _side(row, boat, measure, line, problems)
    mm = _length(row, boat, measure, problems)
    if len(problems) > faults or place is None or measure is None or mm is None:
        return None
    return BuiltFigure(row.cell("figure"), place, line, side, measure, mm)


def _place(row: _Row, boat: BuiltOf, problems: list[Problem]) -> str | None:
    said = row.said("frame")
    plain = said.lower().removeprefix("frame ").removeprefix("mould ").strip()
    for name in boat.frames:
        if name.lower() == plain:
            return name
    names = [f"frame {name}" for name in boat.frames]
    problems.append(Problem(row.cell("frame"), quoted(said), one_of(names, said.lower())))
    return None


def _measure(row: _Row, problems: list[Problem]) -> Measure | None:
    said = row.said("measure")
    for one in Measure:
        if one.value == " ".join(said.lower().split()).replace("half breadth", "half-breadth"):
            return one
    problems.append(Problem(row.cell("measure"), quoted(said), one_of((one.value for one in Measure), said.lower())))
    return None


def _line(row: _Row, boat: BuiltOf, measure: Measure | None, problems: list[Problem]) -> str:
    said = " ".join(row.said("line").split()).lower()
    if measure is Measure.FROM_ZERO:
        if said:
            problems.append(Problem(row.cell("line"), quoted(said), "nothing: a distance from the zero is the frame's"))
        return ""
    if said in boat.lines:
        if measure is Measure.HALF_BREADTH and said in boat.on_centre:
            problems.append(Problem(row.cell("line"), quoted(said), "a line with half-breadths"))
        return said
    if said or measure is not None:
        problems.append(Problem(row.cell("line"), quoted(row.said("line")), one_of(boat.lines, said)))
    return ""


def _side(row: _Row, boat: BuiltOf, measure: Measure | None, line: str, problems: list[Problem]) -> str:
    said = row.said("side").lower()
    said = {"p": "port", "s": "starboard"}.get(said, said)
    if measure is Measure.FROM_ZERO or line in boat.on_centre:
        if said:
            problems.append(Problem(row.cell("side"), quoted(row.said("side")), "nothing: it is on the center line"))
    elif said not in SIDES and (said or measure is not None):
        problems.append(Problem(row.cell("side"), quoted(row.said("side")), one_of(SIDES, said)))
    return said if said in SIDES else ""


def _length(row: _Row, boat: BuiltOf, measure: Measure | None, problems: list[Problem]) -> float | None:
    try:
        mm = read_length(row.said("figure"), boat.unit).mm
    except ValueError as wanted:
        problems.append(Problem(row.cell("figure"), quoted(row.said("figure")), str(wanted)))
        return None
    if measure is Measure.HALF_BREADTH and mm < 0:
        problems.append(Problem(row.cell("figure"), quoted(row.said("figure")), "a half-breadth of 0 or more"))
        return None
    return mm
