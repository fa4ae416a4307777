"""The lines of a boat, faired as its builder asks."""

from __future__ import annotations

import math
from dataclasses import dataclass, replace

from patterns.errors import ShapeError
from patterns.hull.doubts.suspects import FROM_FP, Suspect
from patterns.hull.fairing import FairedCut, FairedLine, fair, fair_cuts
from patterns.hull.fairing_rules import HEIGHT, FairingRule
from patterns.parts.asked.rules import Boat


def fair_lines(boat: Boat) -> tuple[FairedLine, ...]:
    """The lines of the hull from the sheer down.

    Raises
    ------
    ShapeError
        A line that never meets the profile of an end.
    """
    return fair(
        boat.offsets,
        fore=boat.fore,
        aft=boat.aft,
        within=boat.fair_within,
        rules=boat.fairing,
        knuckles=boat.knuckles,
    )


def fair_cuts_of(boat: Boat) -> tuple[FairedCut, ...]:
    """Its waterlines, diagonals and buttocks."""
    return fair_cuts(boat.offsets, within=boat.fair_within, rules=boat.fairing, knuckles=boat.knuckles)


@dataclass(frozen=True, slots=True)
class Without:
    """What a line reads where one of its offsets is left out of its fairing."""

    reads: float  # mm, height above base or half-breadth
    may_be_out: float  # mm, half the width of its band there; NaN where too few offsets are left to say


def line_without(boat: Boat, suspect: Suspect) -> Without | None:
    """A line faired without the figure that is in doubt; None for a station's distance, and where a line ends there.

    The other offsets move and meet the ends as they would if the builder left the figure out.
    """
    if suspect.line == FROM_FP or suspect.column in (boat.offsets.columns[0], boat.offsets.columns[-1]):
        return None
    left_out = FairingRule(suspect.line, suspect.view, suspect.column, math.nan)
    try:
        lines = fair_lines(replace(boat, fairing=(*boat.fairing, left_out)))
    except ShapeError:
        return None
    line = next(one for one in lines if one.name == suspect.line)
    view = line.height if suspect.view == HEIGHT else line.half_breadth
    place = view.columns.index(suspect.column)
    return Without(float(view.faired[place]), float(view.band_at(view.from_fp[[place]])[0]))
