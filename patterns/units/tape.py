"""Lengths as a builder reads them off a tape: to 1/16 in, or to 1 mm, whichever he measures in."""

from __future__ import annotations

from patterns.units.lengths import INCH, decimals, write_length

_DIGITS = {"mm": 0, "cm": 1, "m": 3}


def tape_length(mm: float, show: str) -> str:
    """A length rounded to the tape.

    >>> tape_length(701.675, "ft-in-32nds"), tape_length(701.675, "in"), tape_length(701.675, "mm")
    ('2\\' 3 5/8"', '27 5/8"', '702 mm')
    """
    if show in _DIGITS:
        return f"{decimals(mm, show, _DIGITS[show])} {show}"
    return write_length(mm, "ft-in-16ths" if show.startswith("ft") else "in-16ths")


def tape_step(show: str) -> float:
    """mm, what a figure off the tape is rounded to."""
    return 1.0 if show in _DIGITS else INCH / 16


def about_length(mm: float, show: str) -> str:
    """A length that follows from weights, which nobody knows well: to 1/4 in, or to 5 mm.

    >>> about_length(123.4, "mm"), about_length(123.4, "ft-in-16ths")
    ('125 mm', '4 3/4"')
    """
    step = about_step(show)
    return tape_length(step * round(mm / step), show)


def about_step(show: str) -> float:
    """mm, what such a length is rounded to."""
    return 5.0 if show in _DIGITS else INCH / 4


def tape_rounding(show: str) -> str:
    """What a table says of its rounding."""
    return f"rounded to the nearest {'1 mm' if show in _DIGITS else '1/16 in'}"
