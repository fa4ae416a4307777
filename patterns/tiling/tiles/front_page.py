"""The page in front of all others: how many there are, and how to print, check, trim, tape and transfer them."""

from __future__ import annotations

from collections.abc import Iterator, Mapping, Sequence
from itertools import accumulate
from typing import NamedTuple

from patterns import __version__
from patterns.drawing.marks import Ink, Label
from patterns.drawing.text import text_width, without_strangers, wrapped
from patterns.tiling.paper.check_bars import level_bar, upright_bar
from patterns.tiling.paper.page import Page
from patterns.tiling.paper.paper import BOTTOM_STRIP, LEFT_STRIP, PaperSetup
from patterns.tiling.seams.furniture import BAR_UP
from patterns.tiling.seams.key_plan import called
from patterns.tiling.tiles.tiles import Tiling

TITLE = 6.0  # mm
HEADING = 3.0  # mm
TEXT = 2.4  # mm
LINE = 1.75  # of a capital's height, from line to line
COLUMN_GAP = 8.0  # mm

HOW = (
    (
        "Print",
        "Print at 100 %, actual size, on one side of the paper, never fit to page and never borderless. Print the page "
        "of a small pattern first.",
    ),
    (
        "Check",
        "Lay a steel rule on both bars of every page: 100 mm, or 3 15/16 in. If a bar is out by the width of a pencil "
        "line, do not cut to the page: measure your printer with the command scrieve printer, and print again.",
    ),
    (
        "Tape",
        "Tape only pages with the same run mark, all on one day, on a flat floor: paper grows with the weather. A "
        "page's letter is its row from the top, its number the column from the left. Trim a page where it says 'trim "
        "here'. "
        "Lay it on the edge that says 'goes on top here' with its name, so that two crosses or more meet, their "
        "figures equal. Then measure the two diagonals figured on the key plan.",
    ),
    (
        "Lines",
        "Heavy: the finished line, on the face toward you. Dashes: the far face. Dash-dot beside the finished line: "
        "the saw line. Figures on an edge: its bevel in degrees off square, then how far the far edge is set in "
        "(under) or "
        "set out (standing). Edges without a bevel are square.",
    ),
    (
        "Transfer",
        "Mark on the wood which face is up and where the bow lies. Prick through every cross and every ring with an "
        "awl, and count them: rings without a number fix the marks. Lift the paper and join the pricks with a batten.",
    ),
    (
        "Try",
        "Try one part in the boat, or a model of card, before you cut the rest. This program gives shapes, not "
        "strength, stability or capacity: follow local codes and a licensed professional.",
    ),
)
FIGURED = ", their figures equal. Then measure the two diagonals figured on the key plan"
HOW_WITHOUT_FIGURES = tuple((word, text.replace(FIGURED, "")) for word, text in HOW)


def front_page(
    tilings: Sequence[Tiling],
    paper: PaperSetup,
    *,
    boat: str,
    run: str = "",
    keys: tuple[int, Mapping[str, int]] = (0, {}),
    left_off: Sequence[str] = (),
) -> Page:
    """The front page of a set of pages, on the same paper, upright.

    Parameters
    ----------
    run : str
        The run mark.
    keys : (int, {title: page})
        How many pages of key plans follow, and on which of them that of each pattern is, from 1.
    left_off : [str]
        What has no pages.
    """
    upright = paper if paper.width <= paper.height else paper.turned()
    left, right = upright.margin + LEFT_STRIP, upright.width - upright.margin
    top, foot = upright.height - upright.margin, upright.margin + BOTTOM_STRIP
    name = without_strangers(boat)
    pages = 1 + keys[0] + sum(len(tiling.pages) for tiling in tilings)
    size = min(TITLE, TITLE * (right - left) / max(text_width(name, TITLE), 1.0))
    plans = f"{keys[0]} of key plans, " if keys[0] else ""
    under = f"{pages} pages of {called(paper)}: this one, {plans}{pages - 1 - keys[0]} of patterns"
    marks: list[Ink] = [
        Label(name, (left, top - TITLE), size, anchor="start"),
        Label(under, (left, top - 2.6 * TITLE), _fitting(under, HEADING, right - left), anchor="start"),
        *level_bar(left, upright.margin + BAR_UP),
        *upright_bar(upright.margin + BAR_UP, foot),
    ]
    said = [("Run", f"{run}, by scrieve {__version__}")] if run else []
    said += [("Left off", text) for text in left_off]
    how, level = _how([*said, *(HOW if paper.grid else HOW_WITHOUT_FIGURES)], left, right, top - 4.2 * TITLE)
    table = _table(tilings, keys, (left, foot + 2.0), (right, level - 2 * TEXT))
    return Page(upright.width, upright.height, (*marks, *how, *table), f"{name}: how to use the pages", name)


def _fitting(text: str, size: float, room: float) -> float:
    return min(size, size * room / text_width(text, size))


def _how(paragraphs: Sequence[tuple[str, str]], left: float, right: float, top: float) -> tuple[list[Label], float]:
    """The paragraphs, and where they end."""
    indent = max(text_width(word, TEXT) for word, _ in paragraphs) + 4.0
    labels, level = [], top
    for word, text in paragraphs:
        labels.append(Label(word, (left, level), TEXT, anchor="start"))
        for row in wrapped(text, size=TEXT, width=right - left - indent):
            labels.append(Label(row, (left + indent, level), TEXT, anchor="start"))
            level -= TEXT * LINE
        level -= 0.6 * TEXT
    return labels, level


def _table(
    tilings: Sequence[Tiling],
    keys: tuple[int, Mapping[str, int]],
    low: tuple[float, float],
    high: tuple[float, float],
) -> Iterator[Label]:
    """A row for each pattern: how many pages, how they lie and where they begin; in columns that let it be biggest."""
    before = accumulate((len(tiling.pages) for tiling in tilings), initial=2 + keys[0])  # page 1 is this one
    rows = [row for tiling, page in zip(tilings, before, strict=False) for row in _rows(tiling, page, keys[1])]
    ways = [_columns(rows, count, across=high[0] - low[0], high=high[1] - low[1]) for count in (1, 2, 3)]
    best = max(ways, key=lambda way: way.size)
    for number, row in enumerate(rows):
        column, line = divmod(number, best.lines)
        at = low[0] + column * (best.width + COLUMN_GAP), high[1] - (line + 0.5) * best.size * LINE
        yield Label(row, at, best.size, anchor="start")


class _Columns(NamedTuple):
    lines: int
    width: float  # mm
    size: float  # mm


def _columns(rows: Sequence[str], count: int, *, across: float, high: float) -> _Columns:
    """Rows set in so many columns, as big as they go."""
    lines, width = -(-len(rows) // count), (across - (count - 1) * COLUMN_GAP) / count
    size = min(TEXT, *(_fitting(row, TEXT, width) for row in rows), high / (lines * LINE))
    return _Columns(lines, width, size)


def _rows(tiling: Tiling, page: int, keys: Mapping[str, int]) -> Iterator[str]:
    """A row for each pattern that is on these pages."""
    for title in tiling.drawing.titles:
        yield f"{title}: {_where(tiling, page, keys)}"


def _where(tiling: Tiling, page: int, keys: Mapping[str, int]) -> str:
    title, count = tiling.drawing.title, len(tiling.tiles)
    if count == 1:
        return f"page {page}"
    if tiling.key_on:
        on = next(number for number, tile in enumerate(tiling.tiles) if tile.label == tiling.key_on)
        return f"pages {page} to {page + count - 1}, key plan on page {page + on}"
    key = f", key plan on page {1 + keys[title]}" if title in keys else ""
    return f"pages {page} to {page + count - 1}{key}"
