"""Commas and points that can be read in two ways: refused with both readings, never guessed."""

from __future__ import annotations

import re
from collections.abc import Iterable
from dataclasses import dataclass

from patterns.units.lengths import Written, read_written

LONGEST_BOAT = 15_000.0  # mm; twice what this program is for: a figure read as more was never meant so
_GROUPED = re.compile(r"[+-]?\s*[1-9][0-9]{0,2}(?P<mark>[.,])[0-9]{3}(?![0-9])")


@dataclass(frozen=True, slots=True)
class TwoReadings:
    """A number such as 1,219: one and a bit, or a thousand and more."""

    mark: str
    small: str  # "1.219"
    large: str  # "1219"

    @property
    def wanted(self) -> str:
        word = "comma" if self.mark == "," else "point"
        return (
            f"{self.small} or {self.large}, whichever is meant: "
            f"this {word} can be a decimal mark or stand between thousands"
        )


def two_readings(text: str, unit: str | None) -> TwoReadings | None:
    """Both readings of a number whose mark may stand between thousands, where either could be on a boat."""
    match = _GROUPED.match(text.strip())
    written = _written(text, unit)
    if match is None or written is None or written.style != "decimals" or _beyond_any_boat(written):
        return None
    number = match[0].replace(",", ".")
    return TwoReadings(match["mark"], number, number.replace(".", ""))


def settled_marks(texts: Iterable[str], unit: str | None) -> set[str]:
    """The marks that some number of a table shows to be decimal ones."""
    marks = set()
    for text in texts:
        found = re.search(r"[.,]", text)
        written = _written(text, unit) if found else None
        if found and written and written.style == "decimals" and two_readings(text, unit) is None:
            marks.add(found[0])
    return marks


def looks_like_decimals(cells: Iterable[str]) -> bool:
    """Whether cells of a row too long are what commas made of numbers with decimal commas."""
    figures = [cell for cell in cells if cell]
    return len(figures) > 1 and all(re.fullmatch(r"[+-]?[0-9]+", cell) for cell in figures)


def _beyond_any_boat(written: Written) -> bool:
    """Whether the figures without their mark give more than any boat: then it is a decimal one."""
    return abs(float(written.mm)) * 1000 > LONGEST_BOAT


def _written(text: str, unit: str | None) -> Written | None:
    try:
        return read_written(text, unit)
    except ValueError:
        return None
