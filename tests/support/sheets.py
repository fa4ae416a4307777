"""Spreadsheets for the tests, written by hand after ISO/IEC 29500-1 (SpreadsheetML): no library of the program's."""

from __future__ import annotations

import io
import zipfile
from collections.abc import Mapping, Sequence
from xml.sax.saxutils import escape

Cell = str | float | None
DATE = 1  # the cell format that shows a number as a date

_TYPES = """<Types xmlns="http://schemas.openxmlformats.org/package/2006/content-types">
<Default Extension="rels" ContentType="application/vnd.openxmlformats-package.relationships+xml"/>
<Default Extension="xml" ContentType="application/xml"/>
<Override PartName="/xl/workbook.xml"
 ContentType="application/vnd.openxmlformats-officedocument.spreadsheetml.sheet.main+xml"/></Types>"""
_OFFICE = "http://schemas.openxmlformats.org/officeDocument/2006/relationships"
_PACKAGE = "http://schemas.openxmlformats.org/package/2006/relationships"
_MAIN = "http://schemas.openxmlformats.org/spreadsheetml/2006/main"
_STYLES = f"""<styleSheet xmlns="{_MAIN}"><cellXfs count="2"><xf numFmtId="0"/>
<xf numFmtId="14" applyNumberFormat="1"/></cellXfs></styleSheet>"""


def workbook(sheets: Mapping[str, Sequence[Sequence[Cell | tuple[float, int]]]]) -> bytes:
    """An .xlsx file; a cell is a text, a number, one with a cell format, an error (#N/A), or a sum not worked out."""
    data = io.BytesIO()
    with zipfile.ZipFile(data, "w") as book:
        book.writestr("[Content_Types].xml", _TYPES)
        book.writestr("_rels/.rels", _links({"r1": ("officeDocument", "xl/workbook.xml")}))
        links = {f"s{n}": ("worksheet", f"sheet{n}.xml") for n in range(len(sheets))}
        book.writestr("xl/_rels/workbook.xml.rels", _links({**links, "st": ("styles", "styles.xml")}))
        book.writestr("xl/styles.xml", _STYLES)
        named = "".join(f'<sheet name="{name}" sheetId="{n + 1}" r:id="s{n}"/>' for n, name in enumerate(sheets))
        book.writestr(
            "xl/workbook.xml", f'<workbook xmlns="{_MAIN}" xmlns:r="{_OFFICE}"><sheets>{named}</sheets></workbook>'
        )
        for n, rows in enumerate(sheets.values()):
            book.writestr(
                f"xl/sheet{n}.xml", f'<worksheet xmlns="{_MAIN}"><sheetData>{_rows(rows)}</sheetData></worksheet>'
            )
    return data.getvalue()


def _links(targets: Mapping[str, tuple[str, str]]) -> str:
    each = (f'<Relationship Id="{i}" Type="{_OFFICE}/{kind}" Target="{to}"/>' for i, (kind, to) in targets.items())
    return f'<Relationships xmlns="{_PACKAGE}">{"".join(each)}</Relationships>'


def _rows(rows: Sequence[Sequence[Cell | tuple[float, int]]]) -> str:
    return "".join(
        f'<row r="{r}">{"".join(_cell(cell, chr(ord("A") + c) + str(r)) for c, cell in enumerate(row))}</row>'
        for r, row in enumerate(rows, start=1)
    )


def _cell(cell: Cell | tuple[float, int], place: str) -> str:
    match cell:
        case None | "":
            return ""
        case "#N/A":
            return f'<c r="{place}" t="e"><v>{cell}</v></c>'
        case str() if cell.startswith("="):
            return f'<c r="{place}"><f>{escape(cell[1:])}</f></c>'
        case str():
            return f'<c r="{place}" t="inlineStr"><is><t>{escape(cell)}</t></is></c>'
        case (number, style):
            return f'<c r="{place}" s="{style}"><v>{number}</v></c>'
        case _:
            return f'<c r="{place}"><v>{cell}</v></c>'
