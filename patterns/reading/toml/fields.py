"""Kinds of values in boat.toml: each checked in our own words.

Every check raises one kind of pydantic error, "wanted", that carries what the builder is told; the wording of the
whole fault is put together in `patterns.reading.toml.faults`.
"""

from __future__ import annotations

import re
from collections.abc import Callable
from dataclasses import dataclass
from enum import Enum
from itertools import pairwise
from math import inf
from typing import Annotated, Any, get_args

from pydantic import AfterValidator, BeforeValidator, Field, PlainValidator, ValidationInfo
from pydantic_core import PydanticCustomError

from patterns.drawing.text import LONGEST_NAME
from patterns.hull.table_form import HALF_BREADTHS, HEIGHTS
from patterns.reading.decimal_marks import two_readings
from patterns.reading.names import (
    LONGEST_LABEL,
    LONGEST_TEXT,
    fault_of_letters,
    fault_of_name,
    spaced,
)
from patterns.reading.wording import one_of, quoted
from patterns.units.datums import BASE, Datum
from patterns.units.lengths import A_LENGTH, INCH, MM_PER_UNIT, SHOWS, UNITS, read_length
from patterns.units.papers import paper_name, paper_names

THICKEST_PLANKING = 2 * INCH  # mm; thicker than any plank of a boat this program is for
DATUMS = {"base_above": "base above", "water_line": "water line"}
A_DATUM = (
    '"base", { base_above = "3-0-0" } for heights measured down, or { water_line = "0-7-4" } for heights + above it '
    "and - below, each with how far it lies above base"
)
LONGEST = 1e6  # in any unit, far beyond any boat
LONGEST_CURRENCY = 5  # signs
MOST_PLACES = 200  # in one list, far beyond any boat
_LAYER_NAME = re.compile(r"[A-Za-z0-9_-]{1,31}")


def fault(wanted: str, found: str = "") -> PydanticCustomError:
    """The one error our checks raise; ``found`` says what was, where that is one item of a list."""
    return PydanticCustomError("wanted", "{wanted}", {"wanted": wanted, "found": found})


def _length(value: Any, info: ValidationInfo) -> float:
    """A length in mm; the unit of a bare number comes with the validation."""
    unit: str | None = (info.context or {}).get("unit")
    # TOML's true is a Python number.
    if isinstance(value, int | float) and not isinstance(value, bool):
        if unit is None:
            raise fault(f"{A_LENGTH}: units in [boat] says nothing of bare numbers")
        # Compared before it is made mm: TOML's whole numbers can be too long for a float.
        if not abs(value) < LONGEST:
            raise fault(f"{A_LENGTH}; this number is too large" if abs(value) < inf else A_LENGTH)
        return value * float(MM_PER_UNIT[unit])
    if not isinstance(value, str):
        raise fault(f"{A_LENGTH}, in quotes")
    two = two_readings(value, unit)
    # TOML's own decimal mark is the point; a comma was typed by someone who may have meant thousands.
    if two and two.mark == ",":
        raise fault(two.wanted)
    try:
        return read_length(value, unit).mm
    except ValueError as wanted:
        raise fault(str(wanted)) from None


def _heights_from(value: Any, info: ValidationInfo) -> Datum:
    """What the table's heights are measured from; the key is the datum's name, its value stands above base."""
    if value == BASE.name:
        return BASE
    if not isinstance(value, dict) or len(value) != 1 or next(iter(value)) not in DATUMS:
        raise fault(A_DATUM)
    [(key, written)] = value.items()
    try:
        above = _length(written, info)
    except PydanticCustomError as error:
        raise fault(f"{key}: {error.message()}") from None
    if above <= 0:
        raise fault(f"{key}: how far above base it lies, more than 0")
    return Datum(DATUMS[key], above)


def _more_than_nothing(mm: float) -> float:
    if mm <= 0:
        raise fault("a length of more than 0")
    return mm


def _nothing_or_more(mm: float) -> float:
    if mm < 0:
        raise fault("a length of 0 or more")
    return mm


def _thin_enough(mm: float) -> float:
    if mm >= THICKEST_PLANKING:
        raise fault("a thickness of planking, less than 2 in (50.8 mm)")
    return mm


def _words(value: Any) -> str:
    if not isinstance(value, str) or not value.strip():
        raise fault("a word or more, in quotes")
    return spaced(value)


def _file_name(value: Any) -> str:
    return _lettered(_words(value), fault_of_letters, LONGEST_TEXT)


def _word(value: Any) -> str:
    return _lettered(_words(value), fault_of_letters, LONGEST_NAME)


def _name(value: Any) -> str:
    return _lettered(_words(value), fault_of_name, LONGEST_NAME)


def _text(value: Any) -> str:
    if not isinstance(value, str):
        raise fault("text in quotes")
    return _lettered(spaced(value), fault_of_letters, LONGEST_TEXT)


def _lettered(text: str, fault_of: Callable[[str, int], str], longest: int) -> str:
    if wanted := fault_of(text, longest):
        raise fault(wanted)
    return text


def _number(low: float, high: float, what: str, *, whole: bool = False) -> Callable[[Any], float]:
    def number(value: Any) -> float:
        fits = isinstance(value, int if whole else int | float) and not isinstance(value, bool)
        if not fits or not low <= value <= high:
            raise fault(what)
        return float(value)

    return number


@dataclass(frozen=True, slots=True)
class Choice:
    """One of some words, in any case."""

    choices: tuple[str, ...]

    def __call__(self, value: Any) -> str:
        plain = " ".join(value.split()).lower() if isinstance(value, str) else ""
        if plain not in self.choices:
            raise fault(one_of(self.choices, plain))
        return plain


def choices_in(said: Any) -> tuple[str, ...]:
    """The words a key may have, found in what its model says of it; none where it may be anything."""
    for one in (*getattr(said, "metadata", ()), *getattr(said, "__metadata__", ())):
        if isinstance(func := getattr(one, "func", None), Choice):
            return func.choices
    inner = (getattr(said, "annotation", None), *get_args(said))
    return next((found for one in inner if one is not None and (found := choices_in(one))), ())


def one_of_enum(kind: type[Enum]) -> BeforeValidator:
    """One of the words of an enum, in any case."""
    return BeforeValidator(Choice(tuple(str(member.value) for member in kind)))


def one_of_words(*choices: str) -> Any:
    """One of some words, in any case."""
    return PlainValidator(Choice(choices))


def _paper(value: Any) -> str:
    try:
        return paper_name(value if isinstance(value, str) else "")
    except ValueError:
        raise fault(one_of(paper_names(), str(value))) from None


def pair(what: str) -> Callable[[Any], Any]:
    def two(value: Any) -> Any:
        if not isinstance(value, list) or len(value) != 2:
            raise fault(what)
        return value

    return two


def _listed(value: Any) -> Any:
    """A list, also where one thing stands alone."""
    return value if isinstance(value, list) else [value]


def _falling(points: tuple[tuple[float, float], ...]) -> tuple[tuple[float, float], ...]:
    if len(points) < 2:
        raise fault("at least two points, from the sheer down")
    for number, ((_, upper), (_, lower)) in enumerate(pairwise(points), start=1):
        if lower >= upper:
            found = f"point {number + 1} no lower than point {number}"
            raise fault("points from the sheer down, each lower than the one before", found)
    return points


def _straight(points: tuple[tuple[float, float], ...]) -> tuple[tuple[float, float], ...]:
    if len(points) > 2:
        raise fault("two points: a transom is flat and its profile straight")
    return points


def _places(value: Any) -> tuple[str, ...]:
    """Station names or distances; a bare number names a station."""
    if not isinstance(value, list) or not value or len(value) > MOST_PLACES:
        raise fault('stations of the table or distances from FP, such as ["1", "2", "5-3-0"]')
    if any(isinstance(item, bool) or not isinstance(item, str | int | float) for item in value):
        raise fault('each a station or a distance in quotes, such as ["1", "2", "5-3-0"]')
    names = tuple(spaced(str(item)) for item in value)
    for name in names:
        if wanted := fault_of_letters(name, LONGEST_LABEL):
            raise fault(wanted, found=quoted(name))
    return names


def _station_name(value: Any) -> str:
    """The name of a column; a bare number names a station."""
    written = _word(str(value) if isinstance(value, int) and not isinstance(value, bool) else value)
    return _lettered(written, fault_of_letters, LONGEST_LABEL)


def _layer_name(value: Any) -> str:
    """As every release of DXF takes it: R12 has no other signs, and no longer names."""
    written = _word(value)
    if not _LAYER_NAME.fullmatch(written):
        raise fault("1 to 31 plain letters, digits, - or _, such as CUT_OUTSIDE")
    return written


def _currency(value: Any) -> str:
    """A sign of money or its letters."""
    return _lettered(_words(value), fault_of_letters, LONGEST_CURRENCY)


def _yes(value: Any) -> bool:
    if value is not True:
        raise fault("true, or no such key")
    return True


def _yes_no(value: Any) -> bool:
    if not isinstance(value, bool):
        raise fault("true or false")
    return value


Distance = Annotated[float, PlainValidator(_length), Field(description=A_LENGTH)]
Positive = Annotated[Distance, AfterValidator(_more_than_nothing)]
NotNegative = Annotated[Distance, AfterValidator(_nothing_or_more)]
PlankThickness = Annotated[Positive, AfterValidator(_thin_enough)]
Word = Annotated[str, PlainValidator(_word), Field(description="a word or more, in quotes")]
Name = Annotated[str, PlainValidator(_name), Field(description="a word or more, in quotes")]
FileName = Annotated[str, PlainValidator(_file_name), Field(description="a file's name, in quotes")]
Materials = Annotated[
    tuple[Word, ...],
    BeforeValidator(_listed),
    Field(description='materials in quotes, such as ["marine plywood"]'),
]
HeightsFrom = Annotated[Datum, PlainValidator(_heights_from)]
Lengths = Annotated[
    tuple[Positive, ...],
    BeforeValidator(_listed),
    Field(description='lengths such as ["8-0-0"]'),
]
LayerName = Annotated[str, PlainValidator(_layer_name)]
Currency = Annotated[str, PlainValidator(_currency), Field(description="a sign of money, in quotes")]
StationName = Annotated[str, PlainValidator(_station_name)]
Yes = Annotated[bool, PlainValidator(_yes)]
FairingView = Annotated[str, PlainValidator(Choice((HEIGHTS, HALF_BREADTHS)))]
Text = Annotated[str, PlainValidator(_text)]
Unit = Annotated[str, PlainValidator(Choice(UNITS))]
Show = Annotated[str, PlainValidator(Choice(SHOWS))]
Paper = Annotated[str, PlainValidator(_paper)]
Degrees = Annotated[float, PlainValidator(_number(0, 60, "degrees from 0 to 60"))]
Slope = Annotated[float, PlainValidator(_number(0, 89, "degrees from 0 to 89"))]
YesNo = Annotated[bool, PlainValidator(_yes_no)]
Count = Annotated[float, PlainValidator(_number(1, 1000, "a whole number from 1 to 1000", whole=True))]
Tabs = Annotated[float, PlainValidator(_number(0, 100, "a whole number from 0 to 100", whole=True))]
Taper = Annotated[float, PlainValidator(_number(0.2, 2, "a number from 0.2 to 2"))]
Ratio = Annotated[float, PlainValidator(_number(1, 50, "length over thickness, from 1 to 50"))]
Moisture = Annotated[float, PlainValidator(_number(4, 40, "the moisture of wood in percent, from 4 to 40"))]
Places = Annotated[tuple[str, ...], PlainValidator(_places), Field(description="stations of the table")]
_Point = Annotated[tuple[Distance, Distance], BeforeValidator(pair("a distance from FP and a height"))]
Profile = Annotated[
    tuple[_Point, ...],
    AfterValidator(_falling),
    Field(description='points such as [["0-0-0", "2-6-4"], ["1-1-4", "0-4-2"]], from the sheer down'),
]
StraightProfile = Annotated[Profile, AfterValidator(_straight)]
