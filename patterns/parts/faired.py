"""The lines of a boat, faired as its builder asks."""

from __future__ import annotations

import math
from dataclasses import dataclass, replace
from functools import lru_cache

from patterns.errors import ShapeError
from patterns.hull.build import Diagonal, EndFace
from patterns.hull.doubts.judged_rows import FROM_FP
from patterns.hull.fairing import FairedCut, FairedLine, FairedView, fair, fair_cuts
from patterns.hull.fairing_rules import HEIGHT, FairingRule
from patterns.hull.offsets import Offsets
from patterns.hull.round.fair_round import fair_round
from patterns.hull.round.figures import RoundLines, is_round
from patterns.hull.round.round_hull import RoundHull
from patterns.parts.asked.rules import BoatLines


def fair_hull(boat: BoatLines) -> RoundHull:
    """The surface of a round hull that all its lines agree on."""
    return _fitted(boat.offsets, boat.fore, boat.aft, boat.fair_within, boat.fairing, boat.diagonals)


@lru_cache(maxsize=4)
def _fitted(
    offsets: Offsets, fore: EndFace, aft: EndFace, within: float, rules: tuple[FairingRule, ...],
    diagonals: tuple[Diagonal, ...],
) -> RoundHull:  # fmt: skip
    """Kept, because fairing, the trial of the loft and what is told ask for the same hull."""
    return fair_round(RoundLines(offsets, fore, aft, within, rules, diagonals))


def fair_lines(boat: BoatLines) -> tuple[FairedLine, ...]:
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


def fair_cuts_of(boat: BoatLines) -> tuple[FairedCut, ...]:
    """Its waterlines, diagonals and buttocks."""
    return fair_cuts(boat.offsets, within=boat.fair_within, rules=boat.fairing, knuckles=boat.knuckles)


@dataclass(frozen=True, slots=True)
class Without:
    """A line faired with one of its offsets left out, and what it reads there."""

    view: FairedView
    reads: float  # mm, height above base or half-breadth
    may_be_out: float  # mm, half the width of its band there; NaN where too few offsets are left to say


def line_without(boat: BoatLines, place: tuple[str, str, str]) -> Without | None:
    """A line faired without the figure that is in doubt; None for a station's distance, and where a line ends there.

    None of a round hull too: the surface without a figure says itself what it expects there.

    ``place`` names line, view and column, as `Suspect.place` does.
    The other offsets move and meet the ends as they would if the builder left the figure out.
    """
    name, kind, column = place
    if name == FROM_FP or is_round(boat.offsets) or column in (boat.offsets.columns[0], boat.offsets.columns[-1]):
        return None
    left_out = FairingRule(name, kind, column, math.nan)
    try:
        lines = fair_lines(replace(boat, fairing=(*boat.fairing, left_out)))
    except ShapeError:
        return None
    line = next(one for one in lines if one.name == name)
    view = line.height if kind == HEIGHT else line.half_breadth
    there = view.columns.index(column)
    return Without(view, float(view.faired[there]), float(view.band_at(view.from_fp[[there]])[0]))
