"""Suspects in words, with figures as the table writes them."""

from __future__ import annotations

from patterns.hull.offsets import Offsets
from patterns.hull.suspects import FROM_FP, Suspect
from patterns.units.datums import BASE
from patterns.units.lengths import write_length
from patterns.units.notations import notation_for, write_offset

SIDES = {"height": ("above", "below"), "half-breadth": ("outside", "inside")}


def where(suspect: Suspect) -> str:
    """``sheer height at 3``."""
    if suspect.line == FROM_FP:
        return f"{suspect.line} at {suspect.column}"
    return f"{suspect.line} {suspect.view} at {suspect.column}"


def told(suspect: Suspect, offsets: Offsets, show: str) -> str:
    """``2-1-1 lies 3/4" below the fair curve of the others; a 7 misread as 1? did you mean 2-1-7?``"""
    notation = offsets.notation or notation_for(offsets.rounding)
    datum = offsets.datum if suspect.view == "height" else BASE
    given, off = write_offset(datum.given(suspect.given), notation), write_length(abs(suspect.off), show)
    if suspect.line == FROM_FP:
        text = f"{given} does not suit the lines"
    else:
        side = SIDES[suspect.view][0 if suspect.off > 0 else 1]
        text = f"{given} lies {off} {side} the fair curve of the others"
    cause = f"; {suspect.cause}?" if suspect.cause else ""
    meant = "" if suspect.meant is None else f" did you mean {write_offset(datum.given(suspect.meant), notation)}?"
    return text + cause + meant
