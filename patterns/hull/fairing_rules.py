"""How far a batten may leave each offset: what the builder says of single offsets, lines and views."""

from __future__ import annotations

import math
from collections.abc import Iterable
from dataclasses import dataclass
from enum import StrEnum

import numpy as np

from patterns.geometry.arrays import Floats
from patterns.geometry.batten_fits import Break

SAME_PLACE = 0.5  # mm; a knuckle and an offset nearer than this stand at one place
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


class KnuckleKind(StrEnum):
    ANGLE = "angle"
    INTO_CURVE = "straight into curve"


@dataclass(frozen=True, slots=True)
class Knuckle:
    """A place where a line is meant not to run fair, in both its views."""

    line: str
    place: str  # "3" for a station of the table, or the distance as the builder wrote it
    from_fp: float  # mm
    kind: KnuckleKind


BEYOND_KNUCKLE = 2  # offsets on either side of a knuckle; fewer do not say how the line goes on


def breaks_at(knuckles: Iterable[Knuckle], line: str, from_fp: Floats) -> tuple[Break, ...]:
    """What a batten through offsets at distances from FP (n,) is freed of; a view with too few of them keeps fair."""
    return tuple(
        Break(one.from_fp, 1 if one.kind is KnuckleKind.ANGLE else 2)
        for one in sorted(knuckles, key=lambda one: one.from_fp)
        if one.line == line and min(offsets_beyond(one.from_fp, from_fp)) >= BEYOND_KNUCKLE
    )


def offsets_beyond(at: float, from_fp: Floats) -> tuple[int, int]:
    """How many of offsets at distances from FP (n,) stand forward of a place, and how many aft."""
    return int((from_fp < at - SAME_PLACE).sum()), int((from_fp > at + SAME_PLACE).sum())
