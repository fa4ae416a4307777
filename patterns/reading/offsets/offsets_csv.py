"""A table of offsets, as any spreadsheet saves it."""

from __future__ import annotations

import math
from collections.abc import Iterable
from dataclasses import replace
from pathlib import Path

import numpy as np

from patterns.errors import InputError, Problem
from patterns.hull.offsets import OffsetRow, Offsets
from patterns.hull.table_form import HALF_BREADTHS, HEIGHTS, FormBlock, FormRow, TableForm
from patterns.reading.decimal_marks import two_readings
from patterns.reading.offsets.laid_out import BLANK, Block, Line, ReadBlock, Table, lay_out
from patterns.reading.offsets.row_names import (
    ABOVE_BASE,
    is_cut,
    level_of,
    plain_name,
)
from patterns.reading.offsets.table_faults import check_blocks, check_columns, check_marks
from patterns.reading.offsets.table_rows import TableRow, read_rows
from patterns.reading.wording import quoted
from patterns.units.datums import BASE, Datum
from patterns.units.lengths import Length, read_length
from patterns.units.notations import notation_of


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
    table = lay_out(file, unit, datum, problems)
    check_columns(table, problems)
    from_fp = _stations(table, problems)
    blocks = tuple(_read_block(table, block, problems) for block in table.blocks)
    check_blocks(table, blocks, problems)
    check_marks(table, problems)
    if problems:
        raise InputError(sorted(problems, key=_row_of))
    return _offsets(table, from_fp, blocks), _form(table, blocks)


def _stations(table: Table, problems: list[Problem]) -> tuple[float, ...]:
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


def _length(table: Table, row: TableRow, column: int, text: str, problems: list[Problem]) -> Length | None:
    try:
        return read_length(text, table.unit) if text not in ("", BLANK) else None
    except ValueError as wanted:
        problems.append(Problem(table.place(row, column), quoted(text), str(wanted)))
        return None


def _read_block(table: Table, block: Block, problems: list[Problem]) -> ReadBlock:
    if len(block.heading.cells) > 1:
        place = next(place for place, cell in enumerate(block.heading.cells[1:]) if cell)
        found = quoted(block.heading.cells[place + 1])
        wanted = f"nothing beside the heading '{block.heading.cells[0]}'"
        problems.append(Problem(table.place(block.heading, place), found, wanted))
    if table.datum not in (None, BASE) and plain_name(block.heading.cells[0]) == ABOVE_BASE:
        wanted = f"'{HEIGHTS}': heights_from in boat.toml says that they are measured from the {table.datum.name}"
        problems.append(Problem(table.place(block.heading), quoted(block.heading.cells[0]), wanted))
    return ReadBlock(
        block.kind, block.heading, tuple(_read_line(table, block.kind, row, problems) for row in block.rows)
    )


def _read_line(table: Table, kind: str, row: TableRow, problems: list[Problem]) -> Line:
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
    return Line(plain_name(row.cells[0]), row, texts, lengths)


def _check_filled(table: Table, row: TableRow, texts: tuple[str, ...], what: str, problems: list[Problem]) -> None:
    """Cells the builder has yet to fill in with ``what``, one problem a row."""
    blanks = [name for name, text in zip(table.columns, texts, strict=True) if text == BLANK]
    if blanks:
        columns = f"column{'s' if len(blanks) > 1 else ''} " + ", ".join(f"'{name}'" for name in blanks)
        problems.append(Problem(f"{table.place(row)}, {columns}", f"'{BLANK}', still blank", what))


def _row_of(problem: Problem) -> int:
    """The row a problem stands in; those of the whole file come first."""
    _, _, behind = problem.cell.partition(", row ")
    return int(behind.split(",")[0]) if behind else 0


def _offsets(table: Table, from_fp: tuple[float, ...], blocks: tuple[ReadBlock, ...]) -> Offsets:
    rows = {block.kind: tuple(_offset_rows(table, block)) for block in blocks}
    steps = (length.step for block in blocks for line in block.lines for length in line.lengths if length)
    notation = notation_of(
        (text for block in blocks for line in block.lines for text in line.texts if text), table.unit
    )
    return Offsets(
        table.names, np.array(from_fp), rows[HEIGHTS], rows[HALF_BREADTHS], min(steps), notation, table.datum or BASE
    )


def _offset_rows(table: Table, block: ReadBlock) -> Iterable[OffsetRow]:
    """The hull's lines from the sheer down, then the cuts as written."""
    for line in sorted(block.lines, key=lambda line: is_cut(line.name)):
        values = [math.nan if length is None else length.mm for length in line.lengths]
        level = level_of(line.name, table.unit, table.datum or BASE)
        yield OffsetRow(line.name, np.array(values), table.place(line.row), level)


def _form(table: Table, blocks: tuple[ReadBlock, ...]) -> TableForm:
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
