"""What the builder is warned of, in his own units."""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass

from patterns.hull.fairing import FairedLine
from patterns.hull.fairing_rules import HALF_BREADTH, HEIGHT
from patterns.hull.fairness import Unfair, ends_apart, unfair
from patterns.hull.suspect_wording import told, where
from patterns.hull.suspects import Suspect, ranked
from patterns.parts.rules import Boat
from patterns.units.lengths import write_length
from patterns.units.notations import notation_for, write_offset


@dataclass(frozen=True, slots=True)
class Caution:
    where: str
    text: str


def fairing_cautions(boat: Boat, lines: tuple[FairedLine, ...]) -> tuple[Caution, ...]:
    """Lines held back by their limits, lines left unfair by them, and end columns that contradict the profiles."""
    return (*_held_back(boat, lines), *_unfair(boat, lines), *_ends_apart(boat))


def _held_back(boat: Boat, lines: tuple[FairedLine, ...]) -> Iterator[Caution]:
    """Lines the batten would have moved further than it may, and the offset of each that suits the others least."""
    doubtful: tuple[Suspect, ...] = ()
    for line in lines:
        for word, view in ((HEIGHT, line.height), (HALF_BREADTH, line.half_breadth)):
            if not view.held:
                continue
            doubtful = doubtful or ranked(boat.offsets, fore=boat.fore, aft=boat.aft)
            worst = next((one for one in doubtful if (one.line, one.view) == (line.name, word)), None)
            first = f" Look first at {where(worst)}: {told(worst, boat.offsets, boat.show)}" if worst else ""
            text = f"held back by fair_within at {', '.join(view.held)}: a batten would go further.{first}"
            yield Caution(f"{line.name}, {word}s", text)


def _unfair(boat: Boat, lines: tuple[FairedLine, ...]) -> Iterator[Caution]:
    for one in unfair(lines, boat.offsets, within=boat.fair_within, rules=boat.fairing):
        yield Caution(f"{one.line}, {one.view}s", unfair_told(one, boat.show))


def unfair_told(one: Unfair, show: str) -> str:
    """``the limit at 3 leaves a hollow that a batten would not show: 3/16" more room there would do``"""
    told = f"the limit at {one.column} leaves {one.what} that a batten with room enough would not have"
    if one.needs is None:
        return f"{told}; more room there alone would not do"
    return f"{told}; {write_length(one.needs, show)} ({one.needs:.1f} mm) more room there would do"


def _ends_apart(boat: Boat) -> Iterator[Caution]:
    notation = boat.offsets.notation or notation_for(boat.offsets.rounding)
    for one in ends_apart(boat.offsets, fore=boat.fore, aft=boat.aft, within=boat.fair_within):
        table, profile = (write_offset(mm, notation) for mm in (one.table, one.profile))
        text = (
            f"the table has {table}, the {one.where} of the {one.column}'s profile is at {profile}: the profile runs "
            f"between the ends of the uppermost and the lowest line, so one of the two is wrong or not meant so"
        )
        yield Caution(f"{one.line} height at {one.column}", text)
