"""The lines of a boat, faired as its builder asks."""

from __future__ import annotations

from patterns.hull.fairing import FairedCut, FairedLine, fair, fair_cuts
from patterns.parts.rules import Boat


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
