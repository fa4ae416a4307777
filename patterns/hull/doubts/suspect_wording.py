"""Suspects in words, with figures as the table writes them."""

from __future__ import annotations

from patterns.hull.doubts.judged_rows import FROM_FP, Suspect
from patterns.hull.doubts.row_doubts import RowDoubt, RowSlip
from patterns.hull.offsets import Offsets
from patterns.units.datums import BASE
from patterns.units.lengths import unbroken, write_at_most, write_length
from patterns.units.notations import notation_for, write_offset

SIDES = {"height": ("above", "below"), "half-breadth": ("outside", "inside")}


def where(suspect: Suspect) -> str:
    """``sheer height at 3``."""
    if suspect.line == FROM_FP:
        return f"{suspect.line} at {suspect.column}"
    return f"{suspect.line} {suspect.view} at {suspect.column}"


def told(suspect: Suspect, offsets: Offsets, show: str) -> str:
    """``2-1-1 lies 3/4" below the fair curve of the others; a 7 misread as 1? did you mean 2-1-7?``"""
    given, off = _figure(suspect, suspect.given, offsets), unbroken(write_length(abs(suspect.off), show))
    if suspect.line == FROM_FP:
        found = f"{given} does not suit the lines"
    elif suspect.deniers:
        return _denied(suspect, offsets, show)
    else:
        side = SIDES[suspect.view][0 if suspect.off > 0 else 1]
        found = f"{given} lies {off} {side} the fair curve of the others"
    return f"{found}; {_cause(suspect, offsets)}"


def advised(suspect: Suspect, offsets: Offsets, show: str) -> str:
    """The same, and what to do: a sentence after ``2-1-7?`` or ``about 2-1-7``."""
    words = told(suspect, offsets, show)
    return f"{words}{'' if words.endswith(('?', '.')) else '.'} Look at the plan again."


def row_place(doubt: RowDoubt, offsets: Offsets) -> str:
    """``offsets.csv, row 6 and row 7: ``; nothing for a table that was read from no file."""
    blocks = {"height": offsets.heights, "half-breadth": offsets.half_breadths}
    pair = (doubt.first, doubt.second)
    first, second = (row.cell for line, view in pair for row in blocks[view] if row.name == line)
    return f"{first} and {second.rpartition(', ')[2]}: " if first and second else ""


def row_told(doubt: RowDoubt) -> str:
    """``the chine's half-breadths from 1 to 6 are the sheer's, figure for figure: ...``"""
    (first, view), (second, other) = doubt.first, doubt.second
    reach = f"from {doubt.columns[0]} to {doubt.columns[1]}"
    if doubt.slip is RowSlip.CHANGED_ABOUT:
        return (
            f"the {second}'s {view}s are greater than the {first}'s all the way {reach}: were the two rows changed "
            f"about? Look at the plan again."
        )
    return (
        f"the {second}'s {other}s {reach} are the {first}'s {view}s, figure for figure: one of the two rows is a copy "
        f"of the other. Look at the plan again."
    )


def _denied(suspect: Suspect, offsets: Offsets, show: str) -> str:
    """Who denies a figure of a round hull, what they expect, and the slip that explains it, if one does."""
    given, expected = (_figure(suspect, mm, offsets) for mm in (suspect.given, suspect.expected))
    give = unbroken(write_at_most(suspect.give, show))
    if suspect.rival is not None:
        line, view, column = suspect.rival
        return (
            f"{given} and the {line} {view} at {column} contradict each other: one of the two is wrong, and no other "
            f"figure says which. Without the latter {expected} is expected, give or take {give}."
        )
    who = _deniers_told(suspect)
    found = f"{given} is denied by {who}, which expect {expected}, give or take {give}"
    if suspect.meant is None:
        return f"{found}."
    return f"{found}; {suspect.cause}? did you mean {_figure(suspect, suspect.meant, offsets)}?"


def _deniers_told(suspect: Suspect) -> str:
    """``diagonal A, buttock 150 at 5; waterline 210 at 4, 6``"""
    at: dict[str, list[str]] = {}
    for line, _, column in suspect.deniers:
        at.setdefault(column, [])
        if line not in at[column]:
            at[column].append(line)
    here = at.pop(suspect.column, [])
    parts = [f"{', '.join(here)} there"] if here else []
    beside: dict[str, list[str]] = {}
    for column, lines in at.items():
        for line in lines:
            beside.setdefault(line, []).append(column)
    parts += [f"{line} at {', '.join(columns)}" for line, columns in beside.items()]
    return " and ".join(parts) if len(parts) < 3 else f"{', '.join(parts[:-1])} and {parts[-1]}"


def _cause(suspect: Suspect, offsets: Offsets) -> str:
    """The likeliest slip, as a question; where none is known, about where the others have the line."""
    cause = f"{suspect.cause}? " if suspect.cause else ""
    if suspect.meant is None:
        return f"{cause}the figure expected from the others is about {_figure(suspect, suspect.expected, offsets)}"
    return f"{cause}did you mean {_figure(suspect, suspect.meant, offsets)}?"


def _figure(suspect: Suspect, mm: float, offsets: Offsets) -> str:
    """A figure as the table has it: heights from its own datum."""
    datum = offsets.datum if suspect.view == "height" else BASE
    return write_offset(datum.given(mm), offsets.notation or notation_for(offsets.rounding))
