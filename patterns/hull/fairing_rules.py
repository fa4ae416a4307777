"""How far a batten may leave each offset: what the builder says of single offsets, lines and views."""

from __future__ import annotations

import math
from dataclasses import dataclass

import numpy as np

from patterns.geometry.arrays import Floats

HEIGHT = "height"
HALF_BREADTH = "half-breadth"


@dataclass(frozen=True, slots=True)
class FairingRule:
    """One rule; what it does not name it holds for all of."""

    line: str | None
    view: str | None  # HEIGHT or HALF_BREADTH
    column: str | None
    within: float  # mm; 0 locks, NaN leaves the offset out of fairing

    def holds(self, line: str, view: str) -> bool:
        return self.line in (None, line) and self.view in (None, view)

    @property
    def leaves_out(self) -> bool:
        return math.isnan(self.within)


def limits_of(rules: tuple[FairingRule, ...], within: float, line: str, view: str, columns: tuple[str, ...]) -> Floats:
    """(columns,) mm a batten may leave each offset of one row by, NaN where it is left out; of two rules the later."""
    limits = np.full(len(columns), within)
    for rule in rules:
        if rule.holds(line, view):
            limits[[rule.column in (None, column) for column in columns]] = rule.within
    return limits
