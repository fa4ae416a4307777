"""Lengths as the trade writes them, read to mm and written for the bench."""

from __future__ import annotations

import math
import re
import unicodedata
from dataclasses import dataclass
from fractions import Fraction
from functools import cache, lru_cache

MM_PER_UNIT = {
    "mm": Fraction(1),
    "cm": Fraction(10),
    "m": Fraction(1000),
    "in": Fraction("25.4"),
    "ft": Fraction("304.8"),
}
UNITS = tuple(MM_PER_UNIT)
INCH = float(MM_PER_UNIT["in"])  # mm

SHOWS = (
    "ft-in-8ths",
    "ft-in-16ths",
    "ft-in-32nds",
    "in-8ths",
    "in-16ths",
    "in-32nds",
    "in",
    "mm",
    "cm",
    "m",
)
"""How lengths can be printed: feet and inches or inches alone to a fraction; inches to 0.01; mm to 0.1, cm to
0.01 and m to 0.0001 (all three the same tenth of a millimetre)."""

_SHOWN_DIGITS = {"in": 2, "mm": 1, "cm": 2, "m": 4}

SIZES_ALIKE = 0.02  # mm; two sizes of a tool or of stock that differ by less are one
COARSE = 2.0  # mm; nobody needs to know to a tenth what may be out by more

A_LENGTH = "a length such as 2-3-5, 27 5/8 in or 701.7 mm"
"""The wording for whatever is no length at all."""

MADE_A_DATE = "a spreadsheet made a date of it: format the column as text and type it again"

# Sixteenths and thirty-seconds beyond the eighth: common practice, + a sixteenth more, - a sixteenth less.
_MARKS = {"": (0, 8), "+": (2, 16), "-": (-2, 16), "+-": (1, 32), "++": (3, 32)}

_UNIT_WORDS = {
    **{unit: unit for unit in UNITS},
    **dict.fromkeys(('"', "in.", "inch", "inches"), "in"),
    **dict.fromkeys(("'", "ft.", "foot", "feet"), "ft"),
}
_LOOKALIKES = {
    **dict.fromkeys("‘’′´ʹʼ`", "'"),
    **dict.fromkeys("“”″ʺ˝〃", '"'),
    **dict.fromkeys("‐‑‒–—―−﹣-", "-"),
    "⁄": "/",
    "∕": "/",
}
_NUMBER = r"[0-9]{0,9}[.,][0-9]{1,9}|[0-9]{1,9}"
_FRACTION = r"(?:(?P<whole>[0-9]{1,6})(?:\s*-\s*|\s+))?(?P<top>[0-9]{1,3})\s*/\s*(?P<bottom>[0-9]{1,3})"
_INCHES = rf"(?:{_FRACTION}|(?P<number>{_NUMBER}))"
# Feet of three digits at most: 2001-2-3 is a date that a spreadsheet made of 1-2-3.
_EIGHTHS = re.compile(r"(?P<feet>[0-9]{1,3})-(?P<inches>[0-9]{1,2})-(?P<eighths>[0-9])\s*(?P<mark>[+-]{0,2})")
_FEET_INCHES = re.compile(
    rf"""(?P<feet>[0-9]{{1,6}})\s*(?:'|ft\.?|foot|feet)(?:\s*-\s*|\s*){_INCHES}\s*(?P<word>"|in\.?|inch|inches)?"""
)
_ONE_UNIT = re.compile(rf"""{_INCHES}(?P<suffix>\s*(?P<word>["']|[a-z]+\.?)?)""")
_DATES = re.compile(
    r"[0-9]{1,4}([-/.])[0-9]{1,2}\1[0-9]{2,4}|[0-9]{4}-[0-9]{1,2}-[0-9]{1,2}.*"
    r"|[0-9]{1,2}-[a-z]{3}(-[0-9]{2,4})?|[a-z]{3}-[0-9]{2}"
)


@dataclass(frozen=True, slots=True)
class Length:
    """A length and how finely it was written, both in mm."""

    mm: float
    step: float  # the finest step the notation as written carries: 3.175 for 2-3-5, 0.1 for 701.7 mm


@dataclass(frozen=True, slots=True)
class Written:
    """A length with everything its notation says, exact."""

    mm: Fraction
    step: Fraction  # mm
    style: str  # "eighths" (2-3-5), "feet-inches" (2' 3 5/8"), "fractions" (27 5/8 in) or "decimals" (701.7 mm)
    unit: str
    fineness: int  # parts of the unit for the first three styles, digits after the point for decimals
    suffix: str  # what stood behind the number: "", '"', " in", "mm"
    comma: bool  # a decimal comma


def read_length(text: str, unit: str | None) -> Length:
    """Read a length in any notation of the trade.

    Parameters
    ----------
    text : str
        Such as ``2-3-5+``, ``2' 3 5/8"``, ``27 5/8 in``, ``27,625 in``, ``0.7017 m`` or ``701.7``. A leading
        minus makes the whole of it negative, marks and all: ``-0-0-3+`` is minus seven sixteenths.
    unit : str or None
        What a bare number means, one of `UNITS`; None where nothing says, and then a bare number is refused.

    Raises
    ------
    ValueError
        Not a length; the text says what was wanted.

    >>> read_length("2-3-5", "mm")
    Length(mm=701.675, step=3.175)
    """
    written = read_written(text, unit)
    # Adding zero turns a written -0 into 0.
    return Length(mm=float(written.mm) + 0.0, step=float(written.step))


def read_written(text: str, unit: str | None) -> Written:
    """The length with its notation. Arguments and errors as in `read_length`."""
    plain = _plain(text)
    sign = -1 if plain.startswith("-") else 1
    plain = plain[1:].lstrip() if plain[:1] in ("-", "+") else plain
    if match := _EIGHTHS.fullmatch(plain):
        return _eighths(match, sign)
    if match := _FEET_INCHES.fullmatch(plain):
        return _feet_inches(match, sign)
    if (match := _ONE_UNIT.fullmatch(plain)) and (match["word"] is None or match["word"] in _UNIT_WORDS):
        return _one_unit(match, sign, unit)
    if _DATES.fullmatch(plain):
        raise ValueError(f"{A_LENGTH} ({MADE_A_DATE})")
    raise ValueError(A_LENGTH)


def _plain(text: str) -> str:
    """The text with the primes, quotes, fractions, dashes and spaces a spreadsheet slipped in made plain."""
    plain = "".join(_plain_character(character) for character in text)
    return re.sub(r"\s+", " ", plain.replace("''", '"')).strip().lower()


def _plain_character(character: str) -> str:
    kind, _, digits = unicodedata.decomposition(character).partition(" ")
    if kind == "<fraction>":
        # The space keeps 27⅝ from becoming 275/8.
        return " " + "".join(chr(int(code, 16)) for code in digits.split()).replace("⁄", "/")
    return _LOOKALIKES.get(character, " " if character.isspace() else character)


def _eighths(match: re.Match[str], sign: int) -> Written:
    if match["mark"] not in _MARKS:
        raise ValueError("no mark, or one of + - ++ +- after the eighths")
    more, parts = _MARKS[match["mark"]]
    inches = _inches_under_a_foot(Fraction(match["inches"]))
    if int(match["eighths"]) > 7:
        raise ValueError("eighths from 0 to 7")
    inches += 12 * int(match["feet"]) + Fraction(match["eighths"]) / 8 + Fraction(more, 32)
    return _in_parts(sign * inches, "in", parts, style="eighths", suffix="")


def _feet_inches(match: re.Match[str], sign: int) -> Written:
    inches, parts = _number(match)
    total = sign * (12 * int(match["feet"]) + _inches_under_a_foot(inches))
    if match["number"] and parts:
        return _in_digits(total, "in", parts, suffix='"', comma="," in match["number"])
    return _in_parts(total, "in", max(parts, 1), style="feet-inches", suffix='"')


def _one_unit(match: re.Match[str], sign: int, unit: str | None) -> Written:
    own = _UNIT_WORDS[match["word"]] if match["word"] else unit
    if own is None:
        raise ValueError(f"{A_LENGTH}: units in [boat] says nothing of bare numbers")
    value, fineness = _number(match)
    if match["top"] is None:
        comma = "," in match["number"]
        return _in_digits(sign * value, own, fineness, suffix=match["suffix"].rstrip(), comma=comma)
    if own not in ("in", "ft"):
        raise ValueError(f"{own} in decimals, or {A_LENGTH}")
    return _in_parts(sign * value, own, fineness, style="fractions", suffix=match["suffix"].rstrip())


def _number(match: re.Match[str]) -> tuple[Fraction, int]:
    """The number, and the parts its fraction counts or the digits after its point."""
    if match["top"] is None:
        whole, _, digits = match["number"].replace(",", ".").partition(".")
        return Fraction(f"{whole or 0}.{digits or 0}"), len(digits)
    top, bottom = int(match["top"]), int(match["bottom"])
    if top >= bottom:
        raise ValueError("a fraction below 1, such as 5/8")
    return int(match["whole"] or 0) + Fraction(top, bottom), bottom


def _inches_under_a_foot(inches: Fraction) -> Fraction:
    if inches >= 12:
        raise ValueError("inches from 0 to 11")
    return inches


def _in_parts(value: Fraction, unit: str, parts: int, *, style: str, suffix: str) -> Written:
    size = MM_PER_UNIT[unit]
    return Written(value * size, size / parts, style, unit, parts, suffix, comma=False)


def _in_digits(value: Fraction, unit: str, digits: int, *, suffix: str, comma: bool) -> Written:
    size = MM_PER_UNIT[unit]
    return Written(value * size, size / 10**digits, "decimals", unit, digits, suffix, comma)


@lru_cache(maxsize=32_768)  # one figure goes into a table's file, its drawing and the book
def write_length(mm: float, show: str) -> str:
    """A length for the bench, with its unit, rounded to the nearest step of ``show``.

    Parameters
    ----------
    mm : float
        Finite.
    show : str
        One of `SHOWS`.

    >>> write_length(701.675, "ft-in-16ths"), write_length(701.675, "in-16ths"), write_length(701.675, "mm")
    ('2\\' 3 5/8"', '27 5/8"', '701.7 mm')
    """
    if show in _SHOWN_DIGITS:
        return f"{decimals(mm, show, _SHOWN_DIGITS[show])} {show}"
    parts = shown_parts(show)
    return (feet_and_inches if show.startswith("ft-in-") else inches_and_parts)(mm, parts) + '"'


def write_small(mm: float, show: str) -> str:
    """A small length that still means work, such as a bevel's set-in: never 0 where there is wood to plane.

    >>> write_small(2.0, "in-16ths"), write_small(0.5, "in-16ths"), write_small(0.01, "mm")
    ('1/16"', '< 1/16"', '< 0.1 mm')
    """
    step = shown_step(show)
    return write_length(mm, show) if mm >= step / 2 else f"< {write_length(step, show)}"


def write_size(mm: float, show: str) -> str:
    """A size of a tool or of stock as it is sold or read off calipers: never rounded to another one.

    >>> write_size(2.38125, "in-16ths"), write_size(9.525, "in-16ths"), write_size(6.1, "in-16ths")
    ('3/32"', '3/8"', '0.240 in')
    >>> write_size(6.2, "mm"), write_size(0.875, "mm")
    ('6.2 mm', '0.88 mm')
    """
    step = shown_step(show)
    if abs(mm - step * round(mm / step)) < SIZES_ALIKE:
        return write_length(mm, show)
    if show in ("mm", "cm", "m"):
        return f"{mm:.2f} mm"
    sixty_fourths = mm / INCH * 64
    if show != "in" and abs(sixty_fourths - round(sixty_fourths)) * INCH / 64 < SIZES_ALIKE:
        return f'{inches_and_parts(mm, 64)}"'
    return f"{mm / INCH:.3f} in"


def write_difference(mm: float, show: str) -> str:
    """By how much one thing is more (+) or less (-) than another; 0 where the step of ``show`` tells no difference.

    >>> write_difference(-3.0, "in-16ths"), write_difference(0.2, "mm"), write_difference(0.2, "in-16ths")
    ('-1/8"', '+0.2 mm', '0')
    """
    step = shown_step(show)
    if abs(mm) < step / 2:
        return "0"
    return ("+" if mm > 0 else "") + write_length(mm, show)


def write_figure(mm: float, show: str) -> str:
    """A length as a figure alone, where words beside it name the unit (`figures_in`).

    >>> write_figure(320.0, "ft-in-16ths"), write_figure(320.0, "mm"), write_figure(320.0, "cm")
    ('12 5/8', '320', '32')
    """
    if show in _SHOWN_DIGITS:
        figure = decimals(mm, show, _SHOWN_DIGITS[show])
        return figure.rstrip("0").rstrip(".") if "." in figure else figure
    return inches_and_parts(mm, shown_parts(show))


def figures_in(show: str) -> str:
    """The unit of `write_figure`: ``inches``, ``mm``, ``cm`` or ``m``."""
    return show if show in _SHOWN_DIGITS and show != "in" else "inches"


def write_long(mm: float, show: str) -> str:
    """A length of many feet or metres, rounded up: ``80 ft``, ``24.31 m``."""
    if figures_in(show) == "inches":
        return f"{math.ceil(mm / float(MM_PER_UNIT['ft']) - 1e-9)} ft"
    return f"{mm / 1000:.2f} m"


def write_at_most(mm: float, show: str) -> str:
    """How far a thing may be out, rounded up to a step of ``show``; metric to half a mm from 2 mm on.

    >>> write_at_most(8.6, "in-16ths"), write_at_most(8.6, "mm"), write_at_most(0.02, "mm")
    ('3/8"', '9.0 mm', '0.1 mm')
    """
    step = shown_step(show)
    if show in ("mm", "cm", "m") and mm >= COARSE:
        step *= 5
    # Nine digits: what arithmetic left a hair over a step is that step.
    return write_length(step * max(math.ceil(round(mm / step, 9)), 1), show)


_IN_A_LENGTH = re.compile(
    r"(?<=[0-9]') (?=[0-9])|(?<=[0-9]) (?=[0-9]+/[0-9]+)|(?<=[0-9]) (?=(?:mm|cm|m|in|thicknesses)\b)"
)


def kept_whole(text: str) -> str:
    """Words in which no line ends within a length: 7' 9 1/2" has blanks that do not break."""
    return _IN_A_LENGTH.sub("\N{NO-BREAK SPACE}", text)


def unbroken(shown: str) -> str:
    """A length that no line of a report is broken within."""
    return shown.replace(" ", "\N{NO-BREAK SPACE}")


def shown_step(show: str) -> float:
    """The step in mm to which `write_length` rounds."""
    if show in _SHOWN_DIGITS:
        return float(MM_PER_UNIT[show] / 10 ** _SHOWN_DIGITS[show])
    return INCH / shown_parts(show)


@cache
def shown_parts(show: str) -> int:
    """Parts of an inch of a show in fractions: 16 for ``ft-in-16ths``."""
    if show not in SHOWS:
        raise KeyError(show)
    return int(re.sub(r"\D", "", show))


def default_show(unit: str) -> str:
    """How lengths are printed for a builder who writes in ``unit`` and does not say."""
    return "ft-in-16ths" if unit in ("in", "ft") else "mm"


def steps_of(mm: float, unit: str, parts: int) -> int:
    """How many of so many ``parts`` of a unit come nearest to ``mm``; halves go away from zero, port as starboard."""
    if not math.isfinite(mm):
        raise ValueError(f"{mm} is no length")
    # Ten digits: a half-way value that arithmetic left a hair short still counts as half-way.
    count = math.floor(round(abs(mm) / _step(unit, parts), 10) + 0.5)
    return -count if mm < 0 else count


@cache
def _step(unit: str, parts: int) -> float:
    """mm, the float nearest to a part of a unit."""
    return float(MM_PER_UNIT[unit] / parts)


def decimals(mm: float, unit: str, digits: int) -> str:
    """``mm`` in ``unit`` with so many digits after the point and no unit: ``27.625``."""
    count = steps_of(mm, unit, 10**digits)
    figures = f"{abs(count):0{digits + 1}d}"
    cut = len(figures) - digits
    return ("-" if count < 0 else "") + figures[:cut] + ("." + figures[cut:] if digits else "")


def feet_and_inches(mm: float, parts: int) -> str:
    """``2' 3 5/8`` to the nearest of ``parts`` to the inch, inch mark left off."""
    count = steps_of(mm, "in", parts)
    feet, rest = divmod(abs(count), 12 * parts)
    return ("-" if count < 0 else "") + (f"{feet}' " if feet else "") + _with_fraction(rest, parts, bool(feet))


def inches_and_parts(mm: float, parts: int, unit: str = "in") -> str:
    """``27 5/8`` to the nearest of ``parts`` to the inch (or foot), unit left off."""
    count = steps_of(mm, unit, parts)
    return ("-" if count < 0 else "") + _with_fraction(abs(count), parts, False)


def _with_fraction(count: int, parts: int, always_whole: bool) -> str:
    whole, over = divmod(count, parts)
    if not over:
        return str(whole)
    common = math.gcd(over, parts)
    lead = f"{whole} " if whole or always_whole else ""
    return f"{lead}{over // common}/{parts // common}"
