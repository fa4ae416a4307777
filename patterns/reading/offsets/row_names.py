"""Names of the rows of a table of offsets."""

from __future__ import annotations

import math
import re

from patterns.hull.table_form import HALF_BREADTHS, HEIGHTS
from patterns.units.datums import Datum
from patterns.units.lengths import read_length

A_ROW = (
    "one of 'sheer', 'chine', 'chine 1' and so on, 'keel', 'buttock 9 in', 'waterline 6 in', 'diagonal A', "
    f"'from FP', '{HEIGHTS}' or '{HALF_BREADTHS}'"
)
"""The wording for a row no table has."""

ABOVE_BASE = "heights above base"
_HEADINGS = {
    "heights": HEIGHTS,
    ABOVE_BASE: HEIGHTS,
    "half-breadths": HALF_BREADTHS,
    "half breadths": HALF_BREADTHS,
    "halfbreadths": HALF_BREADTHS,
}
_OWN_LINE = re.compile(r"sheer|keel|chine(?: (?P<number>[1-9][0-9]?))?")
_CUT = re.compile(r"(?P<cut>waterline|buttock|diagonal) (?P<which>.+)")


def plain_name(written: str) -> str:
    """A name with case, dashes and spaces made plain; a cut keeps the case of what tells it from the others."""
    plain = re.sub(r"[‐‑‒–—−]", "-", " ".join(written.split()))
    first, space, rest = plain.partition(" ")
    return f"{first.lower()} {rest}" if space and _CUT.match(plain.lower()) else plain.lower()


def heading_kind(name: str) -> str:
    """Which block a heading opens, or nothing where it is no heading."""
    return _HEADINGS.get(name, "")


def row_kinds(name: str, unit: str | None) -> tuple[str, ...]:
    """The blocks a line or cut can stand in; none where no table has such a row."""
    if _OWN_LINE.fullmatch(name):
        return (HEIGHTS, HALF_BREADTHS)
    cut = _CUT.fullmatch(name)
    if cut is None or (cut["cut"] != "diagonal" and not _is_length(cut["which"], unit)):
        return ()
    return (HEIGHTS,) if cut["cut"] == "buttock" else (HALF_BREADTHS,)


def is_cut(name: str) -> bool:
    """Whether a row is a cut of the hull (waterline, buttock, diagonal) and not one of its own lines."""
    return _CUT.fullmatch(name) is not None


def level_of(name: str, unit: str | None, datum: Datum) -> float:
    """mm: how high a waterline lies above base, how far a buttock lies off the centre plane; NaN of other rows.

    A waterline is named by its height from where the table's heights are measured.

    >>> level_of("waterline 6 in", None, Datum()), level_of("buttock 200", "mm", Datum())
    (152.4, 200.0)
    """
    cut = _CUT.fullmatch(name)
    if cut is None or cut["cut"] == "diagonal":
        return math.nan
    mm = read_length(cut["which"], unit).mm
    return datum.height(mm) if cut["cut"] == "waterline" else mm


def place_from_sheer(line: str) -> int:
    """The place of one of the hull's own lines counted from the sheer down, to sort by."""
    match = _OWN_LINE.fullmatch(line)
    if match is None:
        raise KeyError(line)
    if line in ("sheer", "keel"):
        return 0 if line == "sheer" else 1000
    return int(match["number"] or 1)


def _is_length(text: str, unit: str | None) -> bool:
    try:
        read_length(text, unit)
    except ValueError:
        return False
    return True
