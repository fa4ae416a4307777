"""What a figure of a table may have been before someone copied it wrong."""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass
from enum import StrEnum

from patterns.units.lengths import INCH, read_length
from patterns.units.notations import Notation, write_offset

FOOT = 12 * INCH


class Slip(StrEnum):
    """A kind of slip in copying a table."""

    FOOT = "one foot out"
    INCH = "one inch out"
    DIGIT = "a digit misread"
    SWAPPED_DIGITS = "digits swapped"
    BREADTH = "full breadth for half, or half for full"
    OTHER_LINE = "the figure of another line"
    SIGN = "a sign lost or added"
    NEIGHBOURS = "neighbouring stations swapped"
    SPACING = "a station misplaced"
    APART = "apart from what it meets at an end"


COMMON = {
    Slip.FOOT: 0.15,
    Slip.INCH: 0.15,
    Slip.DIGIT: 0.25,
    Slip.SWAPPED_DIGITS: 0.12,
    Slip.BREADTH: 0.1,
    Slip.OTHER_LINE: 0.1,
    Slip.SIGN: 0.05,
    Slip.NEIGHBOURS: 0.1,
    Slip.SPACING: 0.1,
}
"""How common each is held to be among slips. Judgement of this program; no published count is known to it."""

LOOKALIKES = {
    "0": "689",
    "1": "74",
    "2": "73",
    "3": "852",
    "4": "91",
    "5": "63",
    "6": "850",
    "7": "12",
    "8": "3609",
    "9": "480",
}
"""Digits that a worn print or a hasty pencil makes look alike."""


@dataclass(frozen=True, slots=True)
class Reading:
    """Another value a cell may have had, and the slip that made it what it is."""

    slip: Slip
    meant: float  # mm
    cause: str


def readings_of_figure(value: float, notation: Notation) -> Iterator[Reading]:
    """What one figure may have been, by itself: digits, signs, whole feet and inches."""
    if notation.unit in ("in", "ft"):
        for size, slip, word in ((FOOT, Slip.FOOT, "foot"), (INCH, Slip.INCH, "inch")):
            yield Reading(slip, value - size, f"one {word} too much")
            yield Reading(slip, value + size, f"one {word} too little")
    text = write_offset(value, notation)
    for place, digit in enumerate(text):
        for other in LOOKALIKES.get(digit, ""):
            changed = text[:place] + other + text[place + 1 :]
            article = "an" if other == "8" else "a"
            yield from _read(changed, notation, Slip.DIGIT, f"{article} {other} misread as {digit}")
    for changed in _swapped(text):
        yield from _read(changed, notation, Slip.SWAPPED_DIGITS, "figures changed about")
    if value:
        yield Reading(Slip.SIGN, -value, "a minus lost" if value > 0 else "a minus too many")


def readings_of_breadth(value: float) -> Iterator[Reading]:
    yield Reading(Slip.BREADTH, value / 2, "the full breadth in place of the half-breadth")
    yield Reading(Slip.BREADTH, value * 2, "half of the half-breadth, as if it were the full breadth")


def _read(text: str, notation: Notation, slip: Slip, cause: str) -> Iterator[Reading]:
    try:
        yield Reading(slip, read_length(text, notation.unit).mm, cause)
    except ValueError:
        return  # 2-3-9 and the like: nobody wrote that


def _swapped(text: str) -> set[str]:
    """The text with two of its digits side by side, or two of the parts of 2-3-5, changed about."""
    found = {
        text[:i] + text[i + 1] + text[i] + text[i + 2 :] for i in range(len(text) - 1) if text[i : i + 2].isdigit()
    }
    figures = text.rstrip("+-")
    sign, mark = "-" * text.startswith("-"), text[len(figures) :]
    parts = figures.removeprefix("-").split("-")
    if len(parts) == 3:
        feet, inches, eighths = parts
        for order in ((inches, feet, eighths), (feet, eighths, inches), (eighths, inches, feet)):
            found.add(sign + "-".join(order) + mark)
    return found - {text}
