"""The notation of a table, so that it can be written as it came."""

from __future__ import annotations

import math
from collections import Counter
from collections.abc import Iterable
from dataclasses import dataclass
from fractions import Fraction

from patterns.units.lengths import (
    MM_PER_UNIT,
    Written,
    decimals,
    feet_and_inches,
    inches_and_parts,
    read_written,
    steps_of,
)

_OF_PARTS = ("feet-inches", "fractions")
_MARKS = ("", "+-", "+", "++")  # thirty-seconds of an inch beyond the eighth
# mm, a sixteenth of an inch: a table given coarser than this would hide what fairing moved.
_FINE_ENOUGH = Fraction("1.5875")


@dataclass(frozen=True, slots=True)
class Notation:
    """How a table writes its lengths."""

    style: str  # "eighths" (2-3-5+), "feet-inches" (2' 3 5/8"), "fractions" (27 5/8 in) or "decimals" (701.7)
    unit: str  # one of UNITS
    fineness: int  # parts of the inch (or foot) for the first three, digits after the point for decimals
    suffix: str = ""  # what stands behind each number: "", '"', " in", " mm"
    comma: bool = False  # a decimal comma

    @property
    def step(self) -> float:
        """The finest step in mm."""
        return float(_step(self.style, self.unit, self.fineness))


def notation_of(texts: Iterable[str], unit: str | None) -> Notation:
    """The notation most of the lengths in ``texts`` are in, as fine as the finest of them.

    A notation coarser than a sixteenth of an inch is made that fine. Texts that are no lengths do not count;
    where none is, decimals in ``unit``.
    """
    lengths = [written for text in texts if (written := _written(text, unit))]
    if not lengths:
        return _fine_enough(Notation("decimals", unit or "mm", 0))
    telling = [length for length in lengths if not _whole(length)] or lengths
    kinds = Counter((length.style, length.unit) for length in telling)
    style, own_unit = kinds.most_common(1)[0][0]
    alike = [length for length in telling if (length.style, length.unit) == (style, own_unit)]
    suffix = Counter(length.suffix for length in alike).most_common(1)[0][0]
    fineness = _finest(style, [length for length in telling if length.unit == own_unit])
    return _fine_enough(Notation(style, own_unit, fineness, suffix, any(length.comma for length in alike)))


def _whole(length: Written) -> bool:
    """Whether a length is whole feet or inches, as every notation in feet and inches writes it."""
    return length.style == "decimals" and length.fineness == 0 and length.unit in ("in", "ft")


def _finest(style: str, lengths: list[Written]) -> int:
    """Digits that hold every decimal, or parts that hold every fraction; eighths have no more than their marks."""
    if style in _OF_PARTS:
        # A foot and an inch are halved into parts alike, and inches under a foot stand without one.
        return math.lcm(*(length.fineness for length in lengths if length.style in _OF_PARTS))
    return max(length.fineness for length in lengths if length.style == style)


def notation_for(step: float) -> Notation:
    """A notation that can write every multiple of a step in mm, for a table that was never written."""
    parts = float(MM_PER_UNIT["in"]) / step
    if parts >= 1 and math.isclose(parts, round(parts), rel_tol=1e-9) and 32 % round(parts) == 0:
        return Notation("eighths", "in", max(round(parts), 8))
    return Notation("decimals", "mm", max(0, math.ceil(-math.log10(step) - 1e-9)))


def write_offset(mm: float, notation: Notation) -> str:
    """A length in a table's notation, rounded to its nearest step.

    >>> write_offset(703.2625, Notation("eighths", "in", 16))
    '2-3-5+'
    """
    match notation.style:
        case "eighths":
            return _eighths(mm, notation.fineness)
        case "feet-inches":
            return feet_and_inches(mm, notation.fineness) + notation.suffix
        case "fractions":
            return inches_and_parts(mm, notation.fineness, notation.unit) + notation.suffix
        case _:
            figures = decimals(mm, notation.unit, notation.fineness)
            return (figures.replace(".", ",") if notation.comma else figures) + notation.suffix


def _written(text: str, unit: str | None) -> Written | None:
    try:
        return read_written(text, unit)
    except ValueError:
        return None


def _fine_enough(notation: Notation) -> Notation:
    fineness = notation.fineness
    while _step(notation.style, notation.unit, fineness) > _FINE_ENOUGH:
        fineness = fineness + 1 if notation.style == "decimals" else fineness * 2
    return Notation(notation.style, notation.unit, fineness, notation.suffix, notation.comma)


def _step(style: str, unit: str, fineness: int) -> Fraction:
    return MM_PER_UNIT[unit] / (10**fineness if style == "decimals" else fineness)


def _eighths(mm: float, parts: int) -> str:
    """Feet-inches-eighths with the marks + (a sixteenth more), +- and ++ (one and three thirty-seconds)."""
    count = steps_of(mm, "in", parts)
    eighths, over = divmod(abs(count) * (32 // parts), 4)
    if count < 0 and eighths == 0 and _MARKS[over] == "+":
        return "0-0-0-"  # -0-0-0+ would be taken for a sixteenth over nothing
    feet, rest = divmod(eighths, 96)
    return f"{'-' if count < 0 else ''}{feet}-{rest // 8}-{rest % 8}{_MARKS[over]}"
