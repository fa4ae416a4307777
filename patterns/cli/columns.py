"""Reports on a terminal: tables aligned, and no wider than a screen is."""

from __future__ import annotations

from collections.abc import Iterable, Iterator
from typing import assert_never

from patterns.cli.screen import in_rows, width
from patterns.writing.report.report_blocks import (
    Block,
    Bullets,
    Copied,
    Facts,
    Figure,
    Figures,
    Links,
    Model,
    Paragraph,
    Steps,
    Table,
    Thumbs,
)

GAP = "  "


def in_lines(blocks: Iterable[Block]) -> Iterator[str]:
    """A report's tables and words as lines of a terminal; its drawings are left to a page."""
    for block in blocks:
        match block:
            case Table():
                yield from aligned(block)
            case Paragraph():
                yield from in_rows(block.text, width())
            case Copied():
                # Broken, a line could not be copied as it is.
                yield from ("", *block.lines, "")
            case Bullets():
                for entry in block.entries:
                    yield from _bullet(entry)
            case Links():
                for link in block.entries:
                    yield from _bullet(f"{link.kind} {link.text}: {link.target} {link.told}".strip())
            case Steps():
                for step in block.entries:
                    yield from _bullet(f"{step.do} Check: {step.check}")
            case Facts():
                for name, words in block.entries:
                    yield from _bullet(f"{name}: {words}")
            case Figure() | Figures() | Thumbs() | Model():
                pass
            case _:
                assert_never(block)


def _bullet(text: str) -> list[str]:
    return in_rows(text, width(), first="- ", under="  ")


def aligned(table: Table) -> Iterator[str]:
    """A table's lines: caption, headings, rows. The last column is broken into lines where it is too long."""
    rows = (table.columns, *table.rows)
    widths = [max(len(row[place]) for row in rows) for place in range(len(table.columns) - 1)]
    indent = sum(widths) + len(GAP) * len(widths)
    last = max((len(row[-1]) for row in rows), default=0)
    widths.append(max(min(last, width() - indent), 20))
    yield from in_rows(table.caption, width())
    for row in rows:
        *cells, end = (
            cell.rjust(wide) if table.is_figure(place) else cell.ljust(wide)
            for place, (cell, wide) in enumerate(zip(row, widths, strict=True))
        )
        broken = [end] if len(end) <= widths[-1] else in_rows(end, widths[-1])
        yield GAP.join((*cells, broken[0])).rstrip()
        yield from (" " * indent + more for more in broken[1:])
