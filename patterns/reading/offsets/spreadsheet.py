"""A table of offsets straight from a spreadsheet, through python-calamine where it is installed."""

from __future__ import annotations

import datetime
import io
from collections.abc import Iterator
from typing import Any

from patterns.errors import InputError, Problem
from patterns.reading.offsets.failed_cells import failed_cells

SHEET = "offsets"  # the sheet read where there are several
DIGITS = 6  # after the point, of a cell that holds a number: arithmetic leaves noise beyond


def spreadsheet_rows(data: bytes, name: str) -> tuple[str, Iterator[list[str]]]:
    """The name of the sheet read, and its rows from the first as texts.

    A date is given as 2003-02-01, and a sum that failed as #DIV/0!, which no length looks like, so that each is refused
    with its cell.

    Raises
    ------
    InputError
        The library is not installed, the file is no spreadsheet, or which sheet is meant does not show.
    """
    book = _book(data, name)
    sheet = _sheet(book, name)
    rows = [[_text(cell) for cell in row] for row in book.get_sheet_by_name(sheet).to_python(skip_empty_area=False)]
    for (row, column), written in failed_cells(data, sheet).items():
        # What stands there is no length, and is refused with its cell; a blank would be a figure left out.
        if row < len(rows) and column < len(rows[row]):
            rows[row][column] = written
    return sheet, iter(rows)


def cell_name(row: int, column: int) -> str:
    """A cell as spreadsheets name it; row from 1, column from 0.

    >>> cell_name(4, 2), cell_name(1, 27)
    ('C4', 'AB1')
    """
    letters, column = "", column + 1
    while column:
        column, place = divmod(column - 1, 26)
        letters = chr(ord("A") + place) + letters
    return f"{letters}{row}"


def _book(data: bytes, name: str) -> Any:
    try:
        import python_calamine
    except ImportError:
        found = "a spreadsheet, and python-calamine, which reads them, is not installed"
        wanted = "pip install 'scrieve[sheets]' (or pip install python-calamine), or the sheet saved as CSV UTF-8"
        raise InputError([Problem(name, found, wanted)]) from None
    try:
        return python_calamine.load_workbook(io.BytesIO(data))
    except (python_calamine.CalamineError, ValueError, OSError) as fault:
        raise InputError([Problem(name, f"no spreadsheet ({fault})", "a spreadsheet, or CSV")]) from None


def _sheet(book: Any, name: str) -> str:
    used = [sheet for sheet in book.sheet_names if book.get_sheet_by_name(sheet).to_python()]
    named = [sheet for sheet in used if sheet.strip().lower() == SHEET]
    if len(used) == 1 or named:
        return str((named or used)[0])
    if not used:
        raise InputError([Problem(name, "nothing", "a table of offsets")])
    found = "several sheets: " + ", ".join(f"'{sheet}'" for sheet in used)
    raise InputError([Problem(name, found, f"one sheet, or one of them named '{SHEET}'")])


def _text(cell: Any) -> str:
    match cell:
        case bool():
            return str(cell).lower()
        case float():
            return f"{cell:.{DIGITS}f}".rstrip("0").rstrip(".")
        case datetime.date() | datetime.time():
            return cell.isoformat()
        case _:
            return str(cell)
