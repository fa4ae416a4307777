"""Sheets for the bench: words, tables and small drawings set under each other, a heading on every page."""

from __future__ import annotations

import re
from collections.abc import Iterator, Sequence
from dataclasses import dataclass
from itertools import takewhile
from math import fsum

import numpy as np

from patterns.drawing.marks import Drawing, Ink, Label, Stroke
from patterns.drawing.moved_marks import placed
from patterns.drawing.text import cut_short, text_width, without_strangers, wrapped

WIDTH, HEIGHT = 180.0, 249.0  # mm; goes on letter and on A4 within half-inch margins
TITLE, TEXT, FIGURES = 7.0, 2.4, 2.2  # mm, capitals: read at arm's length in a cold shop
ROW = 1.5  # of a table's rows, in heights of a capital
LEADING = 1.6  # line spacing, in heights of a capital
GAP = 2.5  # mm between blocks
# A length read from two lines is misread: 75 at the end of one, 7/16" at the beginning of the next.
WITHIN_LENGTHS = re.compile(r"(?<=\d') (?=\d)|(?<=\d) (?=\d+/\d)|(?<=\d) (?=(?:mm|cm|m|in)\b)|(?<=\b1 in) (?=\d)")
COLUMN_GAP = 5.0  # mm between two columns
LEAST_FIGURES = 1.9  # mm; a table that would need smaller capitals than this is a bug of its columns


@dataclass(frozen=True, slots=True, eq=False)
class Block:
    """Ink that is kept together; its upper left corner is nought, y up."""

    marks: tuple[Ink, ...]
    height: float  # mm
    repeats: Block | None = None  # what is set again where this one begins a page: the heading of its table


@dataclass(frozen=True, slots=True)
class Heading:
    """What stands at the top of every page of a sheet."""

    boat: str
    title: str  # "CHINE LOG, PORT: rip 1 of 2"
    under: str


def paragraph(text: str, *, width: float = WIDTH, size: float = TEXT, indent: float = 0.0) -> Block:
    whole = WITHIN_LENGTHS.sub("\N{NO-BREAK SPACE}", without_strangers(text))
    lines = wrapped(whole, size=size, width=width - indent)
    marks = tuple(
        Label(line, (indent if k else 0.0, -(k + 0.5) * LEADING * size), size, anchor="start")
        for k, line in enumerate(lines)
    )
    return Block(marks, len(lines) * LEADING * size)


def steps(texts: Sequence[str], *, width: float = WIDTH) -> Block:
    """Numbered, one under the other."""
    return stacked([paragraph(f"{k}. {text}", width=width, indent=4.5) for k, text in enumerate(texts, 1)], gap=0.7)


def stacked(blocks: Sequence[Block], *, gap: float = GAP) -> Block:
    """Blocks one under the other as one."""
    marks: list[Ink] = []
    top = 0.0
    for block in blocks:
        marks += [placed(mark, (0.0, -top)) for mark in block.marks]
        top += block.height + gap
    return Block(tuple(marks), max(top - gap, 0.0))


def side_by_side(left: Block, right: Block, *, at: float) -> Block:
    """Two blocks beside each other, the right one so far from the left edge."""
    return Block((*left.marks, *(placed(mark, (at, 0.0)) for mark in right.marks)), max(left.height, right.height))


def table(headings: Sequence[str], rows: Sequence[Sequence[str]], *, width: float = WIDTH) -> list[Block]:
    """A row a block; the first column to the left, the others to the right."""
    size = FIGURES
    while (found := _columns(headings, rows, size, width)) is None and size > LEAST_FIGURES:
        size -= 0.1
    rights = found or _even_columns(len(headings), width)
    words = [heading.split("\n") for heading in headings]
    deep = max(map(len, words))
    head = _row([[""] * (deep - len(lines)) + lines for lines in words], rights, size, width, ruled=True)
    blocks = [_row([[cell] for cell in row], rights, size, width, ruled=False) for row in rows]
    if not blocks:
        return [head]
    # The heading never stands alone at the foot of a page.
    first = stacked([head, blocks[0]], gap=0.0)
    return [first, *(Block(block.marks, block.height, repeats=head) for block in blocks[1:])]


def _columns(headings: Sequence[str], rows: Sequence[Sequence[str]], size: float, width: float) -> list[float] | None:
    """mm, the right end of every column; None where they do not fit."""
    cells = [[*heading.split("\n"), *(row[k] for row in rows)] for k, heading in enumerate(headings)]
    wide = [max(text_width(without_strangers(cell), size) for cell in column) for column in cells]
    spare = (width - fsum(wide)) / max(len(wide) - 1, 1)
    return None if spare < 2.2 else (np.cumsum(wide) + spare * np.arange(len(wide))).tolist()


def _even_columns(count: int, width: float) -> list[float]:
    return [width * (k + 1) / count for k in range(count)]


def _row(cells: Sequence[Sequence[str]], rights: Sequence[float], size: float, width: float, *, ruled: bool) -> Block:
    deep = max(map(len, cells))
    height = deep * ROW * size
    marks: list[Ink] = []
    for k, (lines, right) in enumerate(zip(cells, rights, strict=True)):
        for line, text in enumerate(lines):
            if text:
                at = (0.0 if k == 0 else right, -(line + 0.5) * ROW * size)
                marks.append(Label(without_strangers(text), at, size, anchor="start" if k == 0 else "end"))
    # Lines under the named marks alone lead the eye across and keep off the figures between.
    if cells[0][-1]:
        marks.append(Stroke(np.array([[0.0, -height], [width, -height]]), "mark" if ruled else "sheet"))
    return Block(tuple(marks), height)


def bench_pages(heading: Heading, blocks: Sequence[Block], *, name: str) -> list[Drawing]:
    """The blocks on as many pages as they take, each of `WIDTH` by `HEIGHT`, its lower left corner at nought."""
    pages: list[list[Block]] = [[]]
    room = HEIGHT - _heading(heading, 1, 1).height - GAP
    left = room
    for k, block in enumerate(blocks):
        wanted = _whole(blocks[k:])
        # A table goes on one page if it can; one longer than a page begins where it stands.
        if (wanted if wanted <= room else block.height + _gap(block)) > left and pages[-1]:
            pages.append([block.repeats] if block.repeats else [])
            left = room - fsum(one.height for one in pages[-1])
        pages[-1].append(block)
        left -= block.height + _gap(block)
    drawings = []
    for k, page in enumerate(pages, 1):
        marks = list(_set(page, _heading(heading, k, len(pages))))
        drawings.append(Drawing(heading.title if len(pages) == 1 else f"{heading.title} ({k})", name, tuple(marks)))
    return drawings


def _whole(blocks: Sequence[Block]) -> float:
    """mm, of the first block, and where it begins a table of the table."""
    first, *rest = blocks
    rows = takewhile(lambda one: one.repeats is not None, rest if first.repeats is None else [])
    return first.height + _gap(first) + fsum(one.height for one in rows)


def _gap(block: Block) -> float:
    return 0.0 if block.repeats else GAP


def _set(page: Sequence[Block], head: Block) -> Iterator[Ink]:
    y = HEIGHT
    for block in (head, *page):
        y -= _gap(block)
        yield from (placed(mark, (0.0, y)) for mark in block.marks)
        y -= block.height


def _heading(heading: Heading, page: int, of: int) -> Block:
    tail = f", page {page} of {of}" if of > 1 else ""
    boat = cut_short(without_strangers(heading.boat), size=TEXT, width=WIDTH, tail=tail)
    size = TITLE
    while text_width(without_strangers(heading.title), size) > WIDTH:
        size -= 0.5
    marks = (
        Label(boat, (0.0, -2.0), TEXT, anchor="start"),
        Label(without_strangers(heading.title), (0.0, -10.0), size, anchor="start"),
        Stroke(np.array([[0.0, -15.0], [WIDTH, -15.0]]), "cut-outside"),
    )
    return stacked([Block(marks, 15.5), paragraph(heading.under)], gap=0.5)
