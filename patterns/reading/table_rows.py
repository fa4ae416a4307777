"""Rows of a CSV file as a spreadsheet counts them."""

from __future__ import annotations

import csv
import io
import re
from dataclasses import dataclass
from pathlib import Path

from patterns.errors import InputError, Problem

_DELIMITERS = ",;\t"


@dataclass(frozen=True, slots=True)
class CsvRow:
    number: int  # as the spreadsheet counts: the file's first row is 1
    cells: tuple[str, ...]  # stripped; blank ones at the end left off


@dataclass(frozen=True, slots=True)
class CsvFile:
    name: str
    rows: tuple[CsvRow, ...]  # blank rows and comments left out
    delimiter: str
    newline: str
    byte_order_mark: bool


def read_rows(path: Path) -> CsvFile:
    """The rows of a CSV file separated by comma, semicolon or tab.

    Raises
    ------
    InputError
        No such file, not UTF-8 text, or nothing in it.
    """
    text = _text(path)
    content = text.removeprefix("\ufeff")
    delimiter = _delimiter(content)
    try:
        records = list(csv.reader(io.StringIO(content, newline=""), delimiter=delimiter))
    except csv.Error as fault:
        raise InputError([Problem(path.name, f"'{fault}'", "rows of cells, as a spreadsheet saves CSV")]) from fault
    cells = (tuple(" ".join(cell.split()) for cell in record) for record in records)
    rows = (CsvRow(number, _without_end(row)) for number, row in enumerate(cells, start=1))
    kept = tuple(row for row in rows if row.cells and not row.cells[0].startswith("#"))
    if not kept:
        raise InputError([Problem(path.name, "nothing", "a table of offsets")])
    newline = "\r\n" if "\r\n" in content else "\n"
    return CsvFile(path.name, kept, delimiter, newline, text.startswith("\ufeff"))


def _text(path: Path) -> str:
    try:
        text = path.read_bytes().decode("utf-8")
    except FileNotFoundError:
        raise InputError([Problem(path.name, "no such file", f"a table of offsets at {path}")]) from None
    except OSError as fault:
        found = (fault.strerror or str(fault)).lower()
        raise InputError([Problem(path.name or str(path), found, f"a table of offsets at {path}")]) from None
    except UnicodeDecodeError:
        text = "\0"
    except ValueError:
        # A file name no system takes, such as one with a null in it.
        raise InputError([Problem(ascii(path.name), "no name for a file", "a table of offsets")]) from None
    if "\0" in text:
        wanted = "a table saved by the spreadsheet as 'CSV UTF-8'"
        raise InputError([Problem(path.name, "something other than UTF-8 text", wanted)])
    return text


def _delimiter(content: str) -> str:
    """The delimiter most used in the first row that is not blank or a comment."""
    lines = (line for line in content.splitlines() if line.strip(" ,;\t") and not line.lstrip(' "').startswith("#"))
    bare = re.sub(r'"[^"]*"', "", next(lines, ""))
    return max(_DELIMITERS, key=bare.count)


def _without_end(cells: tuple[str, ...]) -> tuple[str, ...]:
    count = max((place for place, cell in enumerate(cells, start=1) if cell), default=0)
    return cells[:count]
