"""Bars to lay a rule on: a page whose bars measure wrong was not printed true, and is not to be cut to."""

from __future__ import annotations

import math

import numpy as np

from patterns.drawing.marks import Ink, Label, Stroke
from patterns.tiling.paper.paper import BAR

WORDS = "100 mm = 3 15/16 in"
TICK = 2.5  # mm either side of the bar; the rule is laid from end stroke to end stroke
SIZE = 1.85  # mm, over 7 points
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


def _line(start: tuple[float, float], end: tuple[float, float]) -> Stroke:
    return Stroke(np.array([start, end]), "sheet")
