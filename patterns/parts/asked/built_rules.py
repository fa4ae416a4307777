"""The boat as she was built so far: what was measured at the strongback, and which parts are cut already."""

from __future__ import annotations

from dataclasses import dataclass
from enum import StrEnum

from patterns.errors import Problem

CLOSE = 1.5875  # mm (1/16 in); how near a tape is read at the strongback, common practice, no single source


class Measure(StrEnum):
    """What a figure says."""

    HEIGHT = "height"
    HALF_BREADTH = "half-breadth"
    FROM_ZERO = "from zero"


@dataclass(frozen=True, slots=True)
class BuiltFigure:
    """One figure of built.csv, as it is measured in the shop."""

    cell: str  # "built.csv, row 7, column 'figure'"
    place: str  # the frame's, as `FramePlace.name` has it
    line: str  # "sheer"; empty for a distance from the zero
    side: str  # "port", "starboard"; empty for one on the centre line
    measure: Measure
    mm: float


@dataclass(frozen=True, slots=True)
class BuiltAsked:
    """What boat.toml and built.csv say together."""

    file: str
    figures: tuple[BuiltFigure, ...]
    within: float  # mm, how near the builder measures
    cut: tuple[str, ...]  # parts that are cut to the plan already, or the words their names begin with
    unread: tuple[Problem, ...] = ()  # faults of the table, to be told with those of `cut`
