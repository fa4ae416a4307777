"""Bevel boards full size: the marked face as a heavy line, and over each mark the edge at its angle.

The gauge's stock lies along the heavy line, the wood is on the left of every line: under leans over the wood, standing
leans away from it.
"""

from __future__ import annotations

import re
from collections.abc import Iterator, Sequence

import numpy as np

from patterns.drawing.marks import Drawing, Ink, Label, Stroke
from patterns.drawing.text import text_width, without_strangers, wrapped
from patterns.parts.part import Bevel
from patterns.plates.pattern.bevels import bevel_text
from patterns.shop.layout.bevel_boards import BevelBoard, BoardEdge, BoardLine
from patterns.units.lengths import write_length

HIGH = 64.0  # mm, of the lines: as long as a gauge's blade wants to be laid true, and two rows go on a letter page
LONGEST = 110.0  # mm along a line that leans far
SIZE = 2.4  # mm, capitals along the lines
NUMBER_SIZE = 3.2  # mm
NAME_SIZE = 3.4  # mm
APART = 8.5  # mm between two lines, square to them: room for the words along one
FOOT = 12.0  # mm under the heavy line, for the numbers
HEAD = 6.0  # mm over the lines to the words
LEADING = 1.7  # line spacing, in heights of a capital
NARROWEST = 42.0  # mm, of a strip, for its words
SIDE = 6.0  # mm the heavy line runs past the outermost feet


def bevel_strips(board: BevelBoard, *, width: float, show: str) -> Iterator[Drawing]:
    """Each edge of a board as strips no wider than ``width`` mm."""
    for edge in board.edges:
        lines = list(edge.lines)
        part = 0
        while lines:
            taken = _fitting(lines, width=width)
            part += 1
            yield _strip(board, edge, lines[:taken], part, show=show)
            lines = lines[taken:]


def _reach(angle: float) -> tuple[float, float]:
    """How far a line's top stands aside (right positive) and above its foot, mm."""
    length = min(HIGH / np.cos(angle), LONGEST)
    return float(length * np.sin(angle)), float(length * np.cos(angle))


def _feet(lines: Sequence[BoardLine]) -> list[float]:
    """mm, where each line stands on the heavy one, none nearer the one before than ``APART`` from foot to top."""
    feet: list[float] = []
    for before, line in zip((None, *lines), lines):  # noqa: B905
        if before is None:
            feet.append(0.0)
            continue
        _, high = _reach(before.angle)
        _, own = _reach(line.angle)
        level = min(high, own)
        lean = level * (np.tan(before.angle) - np.tan(line.angle))
        feet.append(feet[-1] + max(0.0, float(lean)) + APART / np.cos(max(abs(before.angle), abs(line.angle))))
    return feet


def _span(lines: Sequence[BoardLine]) -> tuple[float, float]:
    """mm, the leftmost and the rightmost ink of lines that begin at 0."""
    feet = _feet(lines)
    ends = [foot + _reach(line.angle)[0] for foot, line in zip(feet, lines, strict=True)]
    return min(*feet, *ends) - APART, max(*feet, *ends) + 2.0


def _fitting(lines: Sequence[BoardLine], *, width: float) -> int:
    count = 1
    while count < len(lines):
        left, right = _span(lines[: count + 1])
        if right - left + 2 * SIDE > width:
            break
        count += 1
    return count


def _strip(board: BevelBoard, edge: BoardEdge, lines: Sequence[BoardLine], part: int, *, show: str) -> Drawing:
    left, right = _span(lines)
    feet = [foot - left + SIDE for foot in _feet(lines)]
    high = max(_reach(line.angle)[1] for line in lines)
    width = max(right - left + 2 * SIDE, NARROWEST)
    told = [(text, size) for size, words in _heading(board, edge, part, show) for text in _wrapped(words, size, width)]
    ink: list[Ink] = [Stroke(np.array([[0.0, FOOT], [feet[-1] + SIDE, FOOT]]), "cut-outside")]
    for foot, line in zip(feet, lines, strict=True):
        ink += _one(foot, line, show)
    up = FOOT + high + HEAD
    for text, size in told[::-1]:
        up += LEADING * size / 2
        ink.append(Label(text, (0.0, up), size, anchor="start"))
        up += LEADING * size / 2
    ink.append(Label("wood", (1.0, FOOT - 3.5), SIZE, anchor="start"))
    name = re.sub(r"[^\w.+-]+", "-", f"bevel-{board.title}-{edge.name}-{part}")
    return Drawing(f"{board.title}: {edge.name}", name, tuple(ink))


def _wrapped(words: str, size: float, width: float) -> list[str]:
    return wrapped(without_strangers(words), size=size, width=width)


def _heading(board: BevelBoard, edge: BoardEdge, part: int, show: str) -> Iterator[tuple[float, str]]:
    yield NAME_SIZE, board.title
    yield NAME_SIZE, edge.name + (", continued" if part > 1 else "")
    yield SIZE, f"gauge's stock to the {edge.face or board.face}"
    yield SIZE, edge.begins if edge.begins.startswith("height") else f"from {edge.begins}"
    yield SIZE, f"set-in and set-out over {write_length(edge.over, show)}"


def _one(foot: float, line: BoardLine, show: str) -> Iterator[Ink]:
    aside, high = _reach(line.angle)
    yield Stroke(np.array([[foot, FOOT], [foot + aside, FOOT + high]]), "given")
    yield Label(str(line.number), (foot, FOOT - 4.0), NUMBER_SIZE)
    text = without_strangers(line_words(line, show))
    way = np.array([aside, high]) / np.hypot(aside, high)
    # Along the line, on its left, beginning a little above the heavy one.
    lean = max(0.0, -line.angle)
    clear = max(4.0, float((2.0 + 2 * SIZE * np.sin(lean)) / np.cos(lean)))
    natural = text_width(text, SIZE)
    size = SIZE * min(1.0, (float(np.hypot(aside, high)) - clear) / natural)
    half = clear + text_width(text, size) / 2
    x, y = np.array([foot, FOOT]) + half * way + (SIZE / 2 + 1.6) * np.array([-way[1], way[0]])
    yield Label(text, (float(x), float(y)), size, angle=float(np.arctan2(way[1], way[0])))


def line_words(line: BoardLine, show: str) -> str:
    """``frame 3: 14.0° under, 1/8"``."""
    return f"{line.place}: {bevel_text(Bevel(line.along, line.angle, line.run), show)}"
