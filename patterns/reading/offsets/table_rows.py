"""Rows of a table as a spreadsheet counts them, from CSV however it was saved, or from the spreadsheet itself."""

from __future__ import annotations

import codecs
import csv
import io
import re
from collections.abc import Iterable
from dataclasses import dataclass
from pathlib import Path

from patterns.errors import InputError, Problem
from patterns.hull.offsets import AFT_ENDS, FORE_ENDS
from patterns.reading.names import spaced
from patterns.reading.wording import unreadable
from patterns.units.cells import unshielded

SPREADSHEETS = (".xlsx", ".xlsm", ".xls", ".ods")
MARK = "\ufeff"  # before UTF-8 text: the faired table of a file in another encoding is written with it
_DELIMITERS = ",;\t"


@dataclass(frozen=True, slots=True)
class TableRow:
    number: int  # as the spreadsheet counts: the file's first row is 1
    cells: tuple[str, ...]  # stripped; blank ones at the end left off


@dataclass(frozen=True, slots=True)
class TableFile:
    name: str
    rows: tuple[TableRow, ...]  # blank rows and comments left out
    delimiter: str = ","
    newline: str = "\n"
    byte_order_mark: bool = False
    is_spreadsheet: bool = False
    read_as: str = ""  # what the builder should know of how it was read: "Windows-1252 text, because ..."


def read_rows(path: Path) -> TableFile:
    """The rows of a CSV file separated by comma, semicolon or tab, or of a spreadsheet.

    Raises
    ------
    InputError
        No such file, no text or table, or nothing in it.
    """
    data = _bytes(path)
    if path.suffix.lower() in SPREADSHEETS:
        from patterns.reading.offsets.spreadsheet import spreadsheet_rows

        sheet, records = spreadsheet_rows(data, path.name)
        return TableFile(path.name, _kept(records, path.name), is_spreadsheet=True, read_as=f"sheet '{sheet}'")
    return _csv_file(data, path.name)


def _bytes(path: Path) -> bytes:
    try:
        return path.read_bytes()
    except FileNotFoundError:
        raise InputError([Problem(path.name, "no such file", f"a table of offsets at {path}")]) from None
    except OSError as fault:
        found = unreadable(fault)
        raise InputError([Problem(path.name or str(path), found, f"a table of offsets at {path}")]) from None
    except ValueError:
        # A file name no system takes, such as one with a null in it.
        raise InputError([Problem(ascii(path.name), "no name for a file", "a table of offsets")]) from None


def _csv_file(data: bytes, name: str) -> TableFile:
    text, read_as = _text(data, name)
    content = text.removeprefix(MARK)
    delimiter = _delimiter(content)
    try:
        records = list(csv.reader(io.StringIO(content, newline=""), delimiter=delimiter))
    except csv.Error as fault:
        raise InputError([Problem(name, f"'{fault}'", "rows of cells, as a spreadsheet saves CSV")]) from fault
    newline = "\r\n" if "\r\n" in content else "\n"
    return TableFile(name, _kept(records, name), delimiter, newline, text.startswith(MARK), read_as=read_as)


def _text(data: bytes, name: str) -> tuple[str, str]:
    """The file as text, and how it was read where that was not UTF-8."""
    try:
        if data.startswith((codecs.BOM_UTF16_LE, codecs.BOM_UTF16_BE)):
            return MARK + data.decode("utf-16"), "UTF-16 text"
        if b"\0" in data:
            raise UnicodeError
        return data.decode("utf-8"), ""
    except UnicodeError:
        pass
    try:
        if b"\0" in data:
            raise UnicodeError
        # Older spreadsheets save it, and its figures, signs and fractions are read as in UTF-8 or refused.
        return MARK + data.decode("cp1252"), "Windows-1252 text, because it is not UTF-8"
    except UnicodeError:
        wanted = "a table saved by the spreadsheet as 'CSV UTF-8'"
        raise InputError([Problem(name, "neither UTF-8, UTF-16 nor Windows-1252 text", wanted)]) from None


def _delimiter(content: str) -> str:
    """What separates the columns' names, known by the ends among them; else what is most used beside them."""
    lines = (line for line in content.splitlines() if line.strip(" ,;\t") and not line.lstrip(' "').startswith("#"))
    header = next(lines, "")
    for delimiter in _DELIMITERS:
        cells = [cell.strip(' "').lower() for cell in header.split(delimiter)]
        if set(cells) & {*FORE_ENDS, *AFT_ENDS}:
            return delimiter
    bare = re.sub(r'"[^"]*"', "", header)
    return max(_DELIMITERS, key=bare.count)


def _kept(records: Iterable[Iterable[str]], name: str) -> tuple[TableRow, ...]:
    """Rows that count: neither blank nor a comment."""
    cells = (tuple(unshielded(spaced(cell)) for cell in record) for record in records)
    rows = (TableRow(number, _without_end(row)) for number, row in enumerate(cells, start=1))
    kept = tuple(row for row in rows if row.cells and not row.cells[0].startswith("#"))
    if not kept:
        raise InputError([Problem(name, "nothing", "a table of offsets")])
    if not any(row.cells[0] for row in kept):
        raise InputError([Problem(name, "an empty first column", "the names of the lines in the first column")])
    return kept


def _without_end(cells: tuple[str, ...]) -> tuple[str, ...]:
    count = max((place for place, cell in enumerate(cells, start=1) if cell), default=0)
    return cells[:count]
