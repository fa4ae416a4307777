"""Bars to lay a rule on: a page whose bars measure wrong was not printed true, and is not to be cut to."""

from __future__ import annotations

import math

import numpy as np

from patterns.drawing.marks import Ink, Label, Stroke
from patterns.tiling.paper.paper import BAR

WORDS = "100 mm = 3 15/16 in"
TICK = 2.5  # mm either side of the bar; the rule is laid from end stroke to end stroke
SIZE = 1.85  # mm, over 7 points
STUB = 8.0  # mm of a broken bar's line that is drawn at each end and under its words
RAISED = 2.3  # mm, the words' middle beside the bar


def level_bar(x: float, y: float, *, words: str = WORDS) -> tuple[Ink, ...]:
    """A bar running right from (x, y), its words above it."""
    ends = (x, x + BAR)
    return (
        *(_line((end, y - TICK), (end, y + TICK)) for end in ends),
        _line((ends[0], y), (ends[1], y)),
        Label(words, (x + BAR / 2, y + RAISED), SIZE, layer="sheet"),
    )


def upright_bar(x: float, y: float, *, words: str = WORDS) -> tuple[Ink, ...]:
    """A bar running up from (x, y), its words to the right, reading upward."""
    ends = (y, y + BAR)
    return (
        *(_line((x - TICK, end), (x + TICK, end)) for end in ends),
        _line((x, ends[0]), (x, ends[1])),
        # Read with the head to the left, the bar is over the words.
        Label(words, (x + RAISED, y + BAR / 2), SIZE, angle=math.pi / 2, layer="sheet"),
    )


def broken_level_bar(x: float, y: float, *, words_at: float) -> tuple[tuple[Ink, ...], ...]:
    """The bar as three things with room for other ink between: its ends, and its words ``words_at`` mm along it."""
    ends = tuple(
        (_line((x + end, y - TICK), (x + end, y + TICK)), _line((x + end, y), (x + end + stub, y)))
        for end, stub in ((0.0, STUB), (BAR, -STUB))
    )
    beside = _line((x + words_at - STUB, y), (x + words_at + STUB, y))
    return (*ends, (beside, Label(WORDS, (x + words_at, y + RAISED), SIZE, layer="sheet")))


def _line(start: tuple[float, float], end: tuple[float, float]) -> Stroke:
    return Stroke(np.array([start, end]), "sheet")
