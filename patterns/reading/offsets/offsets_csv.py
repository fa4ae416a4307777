"""A table of offsets, as any spreadsheet saves it."""

from __future__ import annotations

import math
import re
from collections import Counter
from collections.abc import Iterable, Iterator
from dataclasses import dataclass, replace
from pathlib import Path

import numpy as np

from patterns.drawing.text import LONGEST_NAME
from patterns.errors import InputError, Problem
from patterns.hull.doubts.row_doubts import FEWEST_ALIKE
from patterns.hull.offsets import AFT_ENDS, FORE_ENDS, OffsetRow, Offsets
from patterns.hull.table_form import HALF_BREADTHS, HEIGHTS, FormBlock, FormRow, TableForm
from patterns.reading.decimal_marks import looks_like_decimals, settled_marks, two_readings
from patterns.reading.names import LONGEST_LABEL, LONGEST_TEXT, fault_of_letters, fault_of_name, in_file_name
from patterns.reading.offsets.row_names import (
    A_ROW,
    ABOVE_BASE,
    heading_kind,
    is_cut,
    place_from_sheer,
    plain_name,
    row_kinds,
)
from patterns.reading.offsets.spreadsheet import cell_name
from patterns.reading.offsets.table_rows import TableFile, TableRow, read_rows
from patterns.reading.wording import did_you_mean, one_of, quoted
from patterns.units.datums import BASE, Datum
from patterns.units.lengths import Length, read_length
from patterns.units.notations import notation_of

FROM_FP = "from fp"
FEWEST_OFFSETS = 3  # a batten needs three points to show a curve
BLANK = "?"  # stands in a cell the builder has yet to fill in
A_DATE = r"[0-9]{4}-[0-9]{2}-[0-9]{2}"  # what a spreadsheet made of a name such as 2-1


def read_offsets(path: Path, unit: str | None, datum: Datum | None = BASE) -> tuple[Offsets, TableForm]:
    """Read a table of offsets, and the form it came in.

    Parameters
    ----------
    path : Path
        CSV separated by comma, semicolon or tab, or a spreadsheet. Blank rows and rows starting with ``#`` do not
        count.
    unit : str or None
        What a bare number means, one of `patterns.units.lengths.UNITS`; None where the builder does not say.
    datum : Datum or None
        What the table's heights are measured from; None where that is a fault already.

    Raises
    ------
    InputError
        Every fault of the table at once.
    """
    file = read_rows(path)
    problems: list[Problem] = []
    table = _lay_out(file, unit, datum, problems)
    _check_columns(table, problems)
    from_fp = _stations(table, problems)
    blocks = tuple(_read_block(table, block, problems) for block in table.blocks)
    _check_blocks(table, blocks, problems)
    _check_marks(table, problems)
    if problems:
        raise InputError(sorted(problems, key=_row_of))
    return _offsets(table, from_fp, blocks), _form(table, blocks)


@dataclass(frozen=True, slots=True)
class _Block:
    kind: str
    heading: TableRow
    rows: tuple[TableRow, ...]


@dataclass(frozen=True, slots=True)
class _Table:
    """The rows by their places, cells not yet read."""

    file: TableFile
    unit: str | None
    datum: Datum | None
    header: TableRow
    from_fp: TableRow | None
    blocks: tuple[_Block, ...]

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
class _Line:
    """A row of a block, read."""

    name: str
    row: TableRow
    texts: tuple[str, ...]
    lengths: tuple[Length | None, ...]  # None where the cell is blank or could not be read


@dataclass(frozen=True, slots=True)
class _ReadBlock:
    kind: str
    heading: TableRow
    lines: tuple[_Line, ...]

    def line(self, name: str) -> _Line | None:
        return next((line for line in self.lines if line.name == name), None)

    @property
    def own_lines(self) -> tuple[_Line, ...]:
        """The hull's own lines, cuts such as waterlines left out."""
        return tuple(line for line in self.lines if not is_cut(line.name))


def _lay_out(file: TableFile, unit: str | None, datum: Datum | None, problems: list[Problem]) -> _Table:
    """Give each row its place in the table; every row that has none is a problem."""
    header, *rest = file.rows
    table = _Table(file, unit, datum, header, None, ())
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
        elif fault := _fault_of_name(name, headings, unit):
            problems.append(Problem(table.place(row), quoted(row.cells[0]), fault))
        else:
            members[-1].append(row)
    for row in from_fp[1:]:
        problems.append(Problem(table.place(row), quoted(row.cells[0]), "the distances from FP once"))
    blocks = tuple(
        _Block(heading_kind(plain_name(row.cells[0])), row, tuple(rows))
        for row, rows in zip(headings, members, strict=True)
    )
    return _Table(file, unit, datum, header, from_fp[0] if from_fp else None, blocks)


def _too_long(table: _Table, row: TableRow) -> Problem:
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


def _check_columns(table: _Table, problems: list[Problem]) -> None:
    columns, header = table.columns, table.header
    if len(columns) < FEWEST_OFFSETS:
        wanted = "a fore end, at least one station and an after end, such as stem, 1, transom"
        found = quoted(", ".join(columns) or header.cells[0])
        problems.append(Problem(table.place(header), found + (" alone" if not columns else ""), wanted))
        raise InputError(problems)
    if wanted := fault_of_letters(header.cells[0], LONGEST_TEXT):
        problems.append(Problem(table.place(header), quoted(header.cells[0]), wanted))
    for place, ends in ((0, FORE_ENDS), (len(columns) - 1, AFT_ENDS)):
        if plain_name(columns[place]) not in ends:
            wanted = one_of(ends, columns[place])
            problems.append(Problem(table.place(header, place), quoted(columns[place]), wanted))
    for place, column in enumerate(columns[1:-1], start=1):
        if not column or plain_name(column) in FORE_ENDS + AFT_ENDS or re.match(A_DATE, column):
            problems.append(Problem(table.place(header, place), quoted(column), "the name of a station"))
        elif wanted := fault_of_name(column, LONGEST_LABEL):
            problems.append(Problem(table.place(header, place), quoted(column), wanted))
    for place, column in enumerate(columns):
        before = columns[:place]
        if column and plain_name(column) in map(plain_name, before):
            found = f"{quoted(column)} again"
            problems.append(Problem(table.place(header, place), found, "each column once"))
        elif twin := next((other for other in before if column and in_file_name(other) == in_file_name(column)), ""):
            wanted = f"a name that differs from '{twin}' in its letters or digits: files are named by them"
            problems.append(Problem(table.place(header, place), quoted(column), wanted))


def _stations(table: _Table, problems: list[Problem]) -> tuple[float, ...]:
    """Distances from FP, NaN at the ends."""
    row = table.from_fp
    if row is None:
        wanted = "a row 'from FP' with the distance of each station"
        problems.append(Problem(table.file.name, "no row 'from FP'", wanted))
        return ()
    texts = table.cells(row)
    for place in (0, len(texts) - 1):
        if texts[place]:
            end = table.names[place]
            wanted = f"nothing: where the {end} stands comes from its profile in boat.toml"
            problems.append(Problem(table.place(row, place), quoted(texts[place]), wanted))
    if BLANK in texts:
        blanks = tuple(text if text == BLANK else "" for text in texts)
        _check_filled(table, row, blanks, "the distance of each station from FP", problems)
    distances = [math.nan] * len(texts)
    last = 0  # the station before, once one is read
    for place in range(1, len(texts) - 1):
        if not texts[place]:
            wanted = "the station's distance from FP, such as 4-0-0"
            problems.append(Problem(table.place(row, place), "nothing", wanted))
            continue
        length = _length(table, row, place, texts[place], problems)
        if length is None:
            continue
        distances[place] = length.mm
        # A mark that can be read in two ways is told of with both readings.
        if last and length.mm <= distances[last] and not two_readings(texts[place], table.unit):
            wanted = f"more than {texts[last]}, where station {table.columns[last]} stands"
            problems.append(Problem(table.place(row, place), quoted(texts[place]), wanted))
        last = place
    return tuple(distances)


def _length(table: _Table, row: TableRow, column: int, text: str, problems: list[Problem]) -> Length | None:
    try:
        return read_length(text, table.unit) if text not in ("", BLANK) else None
    except ValueError as wanted:
        problems.append(Problem(table.place(row, column), quoted(text), str(wanted)))
        return None


def _read_block(table: _Table, block: _Block, problems: list[Problem]) -> _ReadBlock:
    if len(block.heading.cells) > 1:
        place = next(place for place, cell in enumerate(block.heading.cells[1:]) if cell)
        found = quoted(block.heading.cells[place + 1])
        wanted = f"nothing beside the heading '{block.heading.cells[0]}'"
        problems.append(Problem(table.place(block.heading, place), found, wanted))
    if table.datum not in (None, BASE) and plain_name(block.heading.cells[0]) == ABOVE_BASE:
        wanted = f"'{HEIGHTS}': heights_from in boat.toml says that they are measured from the {table.datum.name}"
        problems.append(Problem(table.place(block.heading), quoted(block.heading.cells[0]), wanted))
    return _ReadBlock(
        block.kind, block.heading, tuple(_read_line(table, block.kind, row, problems) for row in block.rows)
    )


def _read_line(table: _Table, kind: str, row: TableRow, problems: list[Problem]) -> _Line:
    texts = table.cells(row)
    _check_filled(
        table, row, texts, f"the {plain_name(row.cells[0])}'s {kind}, empty cells where the plan gives none", problems
    )
    lengths = tuple(_length(table, row, place, text, problems) for place, text in enumerate(texts))
    under = "a half-breadth of 0 or more" if kind == HALF_BREADTHS else "a height measured down: 0 or more"
    if kind == HALF_BREADTHS or (table.datum and table.datum.runs_down):
        for place, length in enumerate(lengths):
            if length and length.mm < 0:
                problems.append(Problem(table.place(row, place), quoted(texts[place]), under))
    if kind == HEIGHTS and table.datum:
        lengths = tuple(length and replace(length, mm=table.datum.height(length.mm)) for length in lengths)
    return _Line(plain_name(row.cells[0]), row, texts, lengths)


def _check_filled(table: _Table, row: TableRow, texts: tuple[str, ...], what: str, problems: list[Problem]) -> None:
    """Cells the builder has yet to fill in with ``what``, one problem a row."""
    blanks = [name for name, text in zip(table.columns, texts, strict=True) if text == BLANK]
    if blanks:
        columns = f"column{'s' if len(blanks) > 1 else ''} " + ", ".join(f"'{name}'" for name in blanks)
        problems.append(Problem(f"{table.place(row)}, {columns}", f"'{BLANK}', still blank", what))


def _check_blocks(table: _Table, blocks: tuple[_ReadBlock, ...], problems: list[Problem]) -> None:
    counts = Counter(block.kind for block in blocks)
    for kind in (HEIGHTS, HALF_BREADTHS):
        if not counts[kind]:
            problems.append(Problem(table.file.name, f"no row '{kind}'", f"a row '{kind}' above its offsets"))
    for place, block in enumerate(blocks):
        if block.kind in (earlier.kind for earlier in blocks[:place]):
            found = quoted(block.heading.cells[0])
            problems.append(Problem(table.place(block.heading), f"{found} again", f"one block of {block.kind}"))
    for block in blocks:
        problems.extend(_faults_of_order(table, block))
        for line in block.own_lines:
            problems.extend(_faults_of_line(table, block, line))
    if counts[HEIGHTS] == counts[HALF_BREADTHS] == 1:
        heights, half_breadths = sorted(blocks, key=lambda block: block.kind != HEIGHTS)
        problems.extend(_faults_between(table, heights, half_breadths))
        problems.extend(_faults_above_sheer(table, heights, half_breadths))


def _check_marks(table: _Table, problems: list[Problem]) -> None:
    """Numbers that can be read in two ways, where nothing else in the table shows which is meant."""
    measured = [row for block in table.blocks for row in block.rows]
    measured += [table.from_fp] if table.from_fp else []
    settled = settled_marks((text for row in measured for text in row.cells[1:]), table.unit)
    for row in measured:
        for place, text in enumerate(row.cells[1:]):
            two = two_readings(text, table.unit)
            # A spreadsheet's own numbers have been read from the cell and not from its text.
            if two and two.mark not in settled and not table.file.is_spreadsheet:
                problems.append(Problem(table.place(row, place), quoted(text), two.wanted))


def _faults_of_order(table: _Table, block: _ReadBlock) -> Iterator[Problem]:
    """Rows twice or out of their order from the sheer down."""
    lowest: _Line | None = None
    for place, line in enumerate(block.lines):
        if line.name in (earlier.name for earlier in block.lines[:place]):
            yield Problem(table.place(line.row), f"{quoted(line.row.cells[0])} again", "each line once")
        elif not is_cut(line.name):
            if lowest and place_from_sheer(line.name) < place_from_sheer(lowest.name):
                found = f"'{line.name}' below '{lowest.name}'"
                yield Problem(table.place(line.row), found, "the lines from the sheer down")
            else:
                lowest = line


def _faults_of_line(table: _Table, block: _ReadBlock, line: _Line) -> Iterator[Problem]:
    """Too few offsets, or none where the line must end."""
    kind = block.kind
    # An offset that could not be read is a fault already, not a blank.
    given = sum(map(bool, line.texts))
    if given < FEWEST_OFFSETS:
        found = f"{given} offset{'' if given == 1 else 's'}"
        yield Problem(table.place(line.row), found, f"at least {FEWEST_OFFSETS} to draw the {line.name} by")
        return
    if kind == HALF_BREADTHS and line.name == "keel":
        return
    # The profiles run from the end of the uppermost line to that of the lowest, and give those heights.
    if kind == HEIGHTS and line in (block.own_lines[0], block.own_lines[-1]):
        return
    for place in (0, len(line.texts) - 1):
        if not line.texts[place]:
            quantity = "height" if kind == HEIGHTS else "half-breadth"
            wanted = f"the {quantity} where the {line.name} ends"
            yield Problem(table.place(line.row, place), "nothing", wanted)


def _faults_between(table: _Table, heights: _ReadBlock, half_breadths: _ReadBlock) -> Iterator[Problem]:
    """Lines missing altogether or from one of the blocks."""
    names = list(dict.fromkeys(line.name for line in heights.own_lines))
    if "sheer" not in names:
        wanted = "a row 'sheer', the top edge of the planking"
        yield Problem(table.place(heights.heading), f"no row 'sheer' among the {HEIGHTS}", wanted)
    # A round hull may be given by its sheer and the cuts below it.
    round_hull = any(is_cut(line.name) for line in half_breadths.lines)
    yield from _faults_of_chines(table, heights, names, round_hull)
    for line in heights.own_lines:
        if line.name != "keel" and half_breadths.line(line.name) is None:
            found = f"{quoted(line.row.cells[0])} with no half-breadths"
            yield Problem(table.place(line.row), found, f"a row '{line.name}' among the {HALF_BREADTHS} too")
    for line in half_breadths.own_lines:
        if heights.line(line.name) is None:
            found = f"{quoted(line.row.cells[0])} with no heights"
            yield Problem(table.place(line.row), found, f"a row '{line.name}' among the {HEIGHTS} too")


def _faults_of_chines(table: _Table, heights: _ReadBlock, names: list[str], round_hull: bool) -> Iterator[Problem]:
    where = table.place(heights.heading)
    chines = [name for name in names if name.startswith("chine")]
    if not chines and "keel" not in names and not round_hull:
        wanted = "a row 'chine' or 'keel' below the sheer"
        yield Problem(where, "no line below the sheer", wanted)
    counted = [f"chine {number}" for number in range(1, len(chines) + 1)]
    if chines not in ([], ["chine"]) and sorted(chines, key=place_from_sheer) != counted:
        found = ", ".join(f"'{name}'" for name in chines)
        yield Problem(where, found, "'chine', or 'chine 1', 'chine 2' and so on from the sheer down")


def _faults_above_sheer(table: _Table, heights: _ReadBlock, half_breadths: _ReadBlock) -> Iterator[Problem]:
    sheer = heights.line("sheer")
    if sheer is None or table.datum is None:
        return
    for line in heights.own_lines:
        faults = list(_faults_above(table, table.datum, sheer, line))
        # A row that is a copy is one fault, not one a column.
        copies = [_copy(table, one, other) for one in (line, sheer) for other in half_breadths.own_lines]
        yield from list(filter(None, copies if faults else []))[:1] or faults


def _copy(table: _Table, heights: _Line, breadths: _Line) -> Problem | None:
    """Heights that are half-breadths, figure for figure."""
    same = [one == other for one, other in zip(heights.texts, breadths.texts, strict=True) if one and other]
    if len(same) < FEWEST_ALIKE or not all(same):
        return None
    found = f"the figures of row {breadths.row.number}, the {breadths.name}'s half-breadths"
    wanted = f"the {heights.name}'s heights: one of the two rows is a copy of the other, look at the plan again"
    return Problem(table.place(heights.row), found, wanted)


def _faults_above(table: _Table, datum: Datum, sheer: _Line, line: _Line) -> Iterator[Problem]:
    for place, (top, length) in enumerate(zip(sheer.lengths, line.lengths, strict=True)):
        # Lines may run together at an end, each rounded its own way.
        if top and length and length.mm > top.mm + max(top.step, length.step):
            than = "more, being measured down, than" if datum.runs_down else "a height below"
            wanted = f"{than} the sheer's {sheer.texts[place]}"
            yield Problem(table.place(line.row, place), quoted(line.texts[place]), wanted)


def _row_of(problem: Problem) -> int:
    """The row a problem stands in; those of the whole file come first."""
    _, _, behind = problem.cell.partition(", row ")
    return int(behind.split(",")[0]) if behind else 0


def _offsets(table: _Table, from_fp: tuple[float, ...], blocks: tuple[_ReadBlock, ...]) -> Offsets:
    rows = {block.kind: tuple(_offset_rows(table, block)) for block in blocks}
    steps = (length.step for block in blocks for line in block.lines for length in line.lengths if length)
    notation = notation_of(
        (text for block in blocks for line in block.lines for text in line.texts if text), table.unit
    )
    return Offsets(
        table.names, np.array(from_fp), rows[HEIGHTS], rows[HALF_BREADTHS], min(steps), notation, table.datum or BASE
    )


def _offset_rows(table: _Table, block: _ReadBlock) -> Iterable[OffsetRow]:
    """The hull's lines from the sheer down, then the cuts as written."""
    for line in sorted(block.lines, key=lambda line: is_cut(line.name)):
        values = [math.nan if length is None else length.mm for length in line.lengths]
        yield OffsetRow(line.name, np.array(values), table.place(line.row))


def _form(table: _Table, blocks: tuple[_ReadBlock, ...]) -> TableForm:
    from_fp = table.from_fp
    if from_fp is None:
        raise AssertionError("a table without distances has been refused")
    texts = (text for block in blocks for line in block.lines for text in line.texts if text)
    notation = notation_of(texts, table.unit)
    # A spreadsheet's table is written back as CSV: where its numbers have decimal commas, with semicolons between.
    delimiter = ";" if table.file.is_spreadsheet and notation.comma else table.file.delimiter
    return TableForm(
        file=table.file.name,
        title=table.header.cells[0],
        columns=table.columns,
        from_fp_label=from_fp.cells[0],
        from_fp=table.cells(from_fp),
        from_fp_row=from_fp.number,
        blocks=tuple(
            FormBlock(
                block.heading.cells[0],
                block.kind,
                tuple(FormRow(line.row.cells[0], line.name, line.row.number) for line in block.lines),
            )
            for block in blocks
        ),
        notation=notation,
        delimiter=delimiter,
        newline=table.file.newline,
        byte_order_mark=table.file.byte_order_mark,
        datum=table.datum or BASE,
        read_as=table.file.read_as,
    )
