"""A title block's sentences and signs set in columns: in one as wide as is asked for, or in several."""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from dataclasses import dataclass
from functools import lru_cache
from itertools import accumulate, combinations, pairwise
from math import fsum

import numpy as np

from patterns.drawing.marks import Ink, Label, Sentence, Sign, TitleBlock
from patterns.drawing.moved_marks import placed
from patterns.drawing.text import text_width, without_strangers, wrapped
from patterns.drawing.turning import extent, turned_marks
from patterns.geometry.arrays import Floats, read_only

LEADING = 1.65  # line spacing, in heights of a capital
GUTTER = 8.0  # mm between two columns
OTHER_WIDTHS = (103.0, 95.0, 78.0, 64.0, 60.0, 50.0)  # mm, of columns where a block is set otherwise to save a page
MOST_COLUMNS = 4


@dataclass(frozen=True, slots=True, eq=False)
class _Row:
    """One line of a block."""

    marks: tuple[Ink, ...]  # from nought to the right, their middle height at nought
    width: float  # mm
    height: float  # mm
    begins: bool  # whether it is the first of its sentence


@dataclass(frozen=True, slots=True, eq=False)
class Columns:
    """Rows set flush left under each other, in columns."""

    columns: tuple[tuple[_Row, ...], ...]
    widths: tuple[float, ...]  # mm

    @property
    def width(self) -> float:
        return fsum(self.widths) + GUTTER * (len(self.widths) - 1)

    @property
    def height(self) -> float:
        return max(map(_height, self.columns))

    def in_two(self) -> Columns:
        """The same rows in two columns as nearly alike in height as may be, a sentence never parted."""
        [rows], [width] = self.columns, self.widths
        starts = [number for number, row in enumerate(rows) if row.begins and number]
        at = min(starts, key=lambda number: max(_height(rows[:number]), _height(rows[number:])))
        return Columns((rows[:at], rows[at:]), (width, width))

    def in_columns(self, count: int) -> Columns:
        """The same rows in so many columns, each as broad as its own rows, as nearly alike in height as may be."""
        [rows] = self.columns
        tops = np.array(list(accumulate((row.height for row in rows), initial=0.0)))
        starts = [number for number, row in enumerate(rows) if row.begins and number]
        parted = combinations(starts, min(count - 1, len(starts)))
        ends = np.array([(0, *between, len(rows)) for between in parted])
        tallest = np.diff(tops[ends], axis=1).max(axis=1)
        columns = tuple(rows[start:end] for start, end in pairwise(ends[tallest.argmin()].tolist()))
        return Columns(columns, tuple(max(row.width for row in column) for column in columns))

    def set_down(self, middle: Floats) -> tuple[Ink, ...]:
        """The ink, the middle of it all at ``middle``, (2,) mm."""
        left, top = float(middle[0] - self.width / 2), float(middle[1] + self.height / 2)
        marks: list[Ink] = []
        for rows, width in zip(self.columns, self.widths, strict=True):
            marks += _column(rows, left=left, top=top)
            left += width + GUTTER
        return tuple(marks)


def in_one_column(items: Sequence[Sentence | Sign], width: float) -> Columns:
    """Rows under each other, the lines of sentences no longer than ``width`` mm."""
    rows = tuple(row for item in items for row in _rows(item, width))
    return Columns((rows,), (max(row.width for row in rows),))


def set_otherwise(block: TitleBlock) -> tuple[tuple[TitleBlock, Floats], ...]:
    """The block low and broad or slender, about nought, for pages that have room for it so alone; and its `extent`."""
    return _other_settings(block.items, block.turn)


@lru_cache(maxsize=2)  # asked for each grid that is tried, and a drawing may lie straight or turned
def _other_settings(items: tuple[Sentence | Sign, ...], turn: float) -> tuple[tuple[TitleBlock, Floats], ...]:
    if not items:
        return ()
    singles = [in_one_column(items, width) for width in OTHER_WIDTHS]
    settings = (single.in_columns(count) for count in range(1, MOST_COLUMNS + 1) for single in singles)
    upright = (setting.set_down(np.zeros(2)) for setting in settings)
    blocks = [TitleBlock(turned_marks(marks, turn) if turn else marks, items, turn) for marks in upright]
    return tuple((block, read_only(extent(block.marks))) for block in blocks)


def _rows(item: Sentence | Sign, width: float) -> Iterator[_Row]:
    if isinstance(item, Sign):
        yield _Row(item.marks, item.width, item.height, begins=True)
        return
    size = item.size
    for number, line in enumerate(wrapped(without_strangers(item.text), size=size, width=width)):
        label = Label(line, (0.0, 0.0), size, anchor="start")
        yield _Row((label,), text_width(line, size), size * LEADING, begins=number == 0)


def _height(rows: Sequence[_Row]) -> float:
    return fsum(row.height for row in rows)


def _column(rows: Sequence[_Row], *, left: float, top: float) -> Iterator[Ink]:
    for row in rows:
        at = (left, top - row.height / 2)
        yield from (placed(mark, at) for mark in row.marks)
        top -= row.height
