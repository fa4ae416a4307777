"""Bars along a line that show how hard a batten there bends."""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from dataclasses import dataclass

import numpy as np

from patterns.drawing.marks import Stroke
from patterns.hull.bending_along import bend, places
from patterns.hull.fairing import FairedView
from patterns.plates.view_field import Field

LONGEST, LONGEST_OF_MANY = 11.0, 6.0  # mm on paper, the longest bar of a view; where bars stand on other lines
FEW = 3  # lines in a view, up to which they commonly stand clear of each other's bars
EVERY = 3.0  # mm on paper between bars
STRAIGHT = 1e-9  # 1/mm; a radius of a thousand kilometres: a straight line, and no bars


@dataclass(frozen=True, slots=True)
class Bending:
    """The hardest bend of a view, to which all its bars are drawn."""

    hardest: float  # 1/mm; 0 where every line is straight
    longest: float  # mm on paper, the bar that stands for it

    @classmethod
    def of(cls, views: Sequence[FairedView]) -> Bending:
        hardest = max((float(np.abs(bend(view, places(view, 200))).max()) for view in views), default=0.0)
        return cls(hardest if hardest > STRAIGHT else 0.0, LONGEST if len(views) <= FEW else LONGEST_OF_MANY)


def bending_bars(view: FairedView, where: Field, bending: Bending, *, sign: float) -> Iterator[Stroke]:
    """Bars away from the centre of each bend, and the line through their ends."""
    if not bending.hardest:
        return
    run = float(view.from_fp[-1] - view.from_fp[0]) / where.along
    x = places(view, max(9, round(run / EVERY)))
    feet = where.on_paper(np.column_stack([x, sign * view.batten.value(x)]))
    # A curve hollow above bends about a centre above it: its bars hang below.
    lengths = -sign * bend(view, x) / bending.hardest * bending.longest
    tips = feet + np.column_stack([np.zeros(len(x)), lengths])
    for foot, tip in zip(feet, tips, strict=True):
        yield Stroke(np.array([foot, tip]), "bending")
    yield Stroke(tips, "bending")
