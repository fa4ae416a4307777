"""Cells of an .xlsx file that hold no value though they are not empty: python-calamine gives them as blank.

Source: ISO/IEC 29500-1:2016, Office Open XML, 18.3.1.4 (c, a cell), 18.18.11 (its type "e", an error), 18.2.19 (sheet).
"""

from __future__ import annotations

import io
import posixpath
import re
import zipfile
from collections.abc import Iterator
from xml.etree import ElementTree

_MAIN = "{http://schemas.openxmlformats.org/spreadsheetml/2006/main}"
_PACKAGE = "{http://schemas.openxmlformats.org/package/2006/relationships}"
_LINK = "{http://schemas.openxmlformats.org/officeDocument/2006/relationships}id"


def failed_cells(data: bytes, sheet: str) -> dict[tuple[int, int], str]:
    """What stands in cells of a sheet whose sum failed or was never worked out: row and column from 0, ``#DIV/0!``.

    Empty for files that are no zipped workbook; whether they are spreadsheets at all is told elsewhere.
    """
    try:
        with zipfile.ZipFile(io.BytesIO(data)) as book:
            return dict(_failed(book.read(_file_of(book, sheet))))
    except (zipfile.BadZipFile, KeyError, ElementTree.ParseError):
        return {}


def _file_of(book: zipfile.ZipFile, sheet: str) -> str:
    sheets = ElementTree.fromstring(book.read("xl/workbook.xml")).iter(f"{_MAIN}sheet")
    link = next((one.get(_LINK) for one in sheets if one.get("name") == sheet), None)
    links = ElementTree.fromstring(book.read("xl/_rels/workbook.xml.rels")).iter(f"{_PACKAGE}Relationship")
    target = next((one.get("Target", "") for one in links if one.get("Id") == link), "")
    # A target beginning with a slash counts from the package's root, any other from the workbook.
    return posixpath.normpath(posixpath.join("xl", target)) if target[:1] != "/" else target[1:]


def _failed(sheet: bytes) -> Iterator[tuple[tuple[int, int], str]]:
    for cell in ElementTree.fromstring(sheet).iter(f"{_MAIN}c"):
        value, sum_of = cell.findtext(f"{_MAIN}v") or "", cell.findtext(f"{_MAIN}f")
        if cell.get("t") == "e":
            yield _place(cell.get("r", "A1")), value or "#N/A"
        elif sum_of is not None and not value and cell.get("t") != "str":
            yield _place(cell.get("r", "A1")), f"={sum_of}"


def _place(name: str) -> tuple[int, int]:
    """Row and column from 0 of a cell as spreadsheets name it.

    >>> _place("C4"), _place("AB1")
    ((3, 2), (0, 27))
    """
    letters, row = re.sub(r"\d", "", name), re.sub(r"\D", "", name)
    column = 0
    for letter in letters:
        column = 26 * column + ord(letter) - ord("A") + 1
    return int(row) - 1, column - 1
