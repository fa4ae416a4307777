"""Faults of boat.toml in the builder's words: where, what was found, what was wanted."""

from __future__ import annotations

import datetime
import re
import tomllib
from collections.abc import Iterator, Mapping
from typing import Any, get_args

from pydantic import BaseModel, ValidationError
from pydantic.fields import FieldInfo
from pydantic_core import ErrorDetails

from patterns.errors import Problem
from patterns.reading.offsets.laid_out import BLANK
from patterns.reading.toml.boat_tables import BoatToml
from patterns.reading.toml.examples import as_toml
from patterns.reading.toml.planking_tables import PlankingTable, StrakeTable
from patterns.reading.toml.toml_lines import Path, line_of
from patterns.reading.wording import one_of, printable, quoted

ENDLESS = re.compile(r"(?<!\w)[+-]?[0-9](?:_?[0-9]){4299,}")  # Python reads 4300 digits at most
STAND_IN = 918273645546372819  # for such a number while its key is looked for: no builder writes it
MOST_SHOWN = 10**12  # a larger whole number is told by its length
MOST_COUNTED = 10**4000  # Python writes none of more than 4300 digits
LONGEST_LISTED = 60  # characters of a list or a table; of a longer one its size says enough
LONGEST_SHOWN = 80  # characters of a value; a longer one is shown by its beginning


def details_of(error: ValidationError) -> list[ErrorDetails]:
    """Every fault pydantic found."""
    return error.errors(include_url=False)


def is_blank(detail: ErrorDetails) -> bool:
    """Whether a key is absent or still waits for its figure."""
    return detail["type"] == "missing" or detail["input"] == BLANK


def problem_of(detail: ErrorDetails, file: str, lines: Mapping[Path, int]) -> Problem:
    """A fault pydantic found, worded."""
    path = tuple(detail["loc"])
    if path[1:2] == ("profile",) and detail["input"] == BLANK:  # told once, however many of its figures are blank
        return Problem(cell(file, lines, path[:2]), _found(detail), expected_at(path[:2]))
    return Problem(cell(file, lines, path), _found(detail), _wanted(detail, path))


def cell(file: str, lines: Mapping[Path, int], path: Path) -> str:
    """Where a key stands: ``boat.toml, line 12, [stem] sided``."""
    if path[1:2] == (0,) and path[:2] not in lines:  # a list of one, written as the table itself
        path = (path[0], *path[2:])
    line = line_of(dict(lines), path)
    return ", ".join(filter(None, (file, f"line {line}" if line else "", spelled(path))))


def endless_number(text: str, file: str) -> Problem:
    """The fault of a whole number with more digits than Python reads."""
    number = ENDLESS.search(text)
    digits = f"a number of {sum(map(str.isdigit, number[0]))} digits" if number else "a number too long to read"
    return Problem(_place_of(number, text, file) if number else file, digits, "a length or a count, of a few digits")


def _place_of(number: re.Match[str], text: str, file: str) -> str:
    """The line of a number and its key, for which the file is read with short numbers in place of all endless ones."""
    line = text.count("\n", 0, number.start()) + 1
    short = ENDLESS.sub("0", text[: number.start()]) + str(STAND_IN) + ENDLESS.sub("0", text[number.end() :])
    try:
        path = next(_paths_to(STAND_IN, tomllib.loads(short)), ())
    except (tomllib.TOMLDecodeError, RecursionError):
        path = ()
    return ", ".join(filter(None, (file, f"line {line}", spelled(path) if path else "")))


def _paths_to(value: int, data: Any, path: Path = ()) -> Iterator[Path]:
    """Where a value stands in what was read of a file."""
    items = data.items() if isinstance(data, dict) else enumerate(data) if isinstance(data, list) else ()
    for key, inner in items:
        yield from [(*path, key)] if inner == value else _paths_to(value, inner, (*path, key))


def spelled(path: Path) -> str:
    """A key with its table as they stand in the file: ``[planking.side] thickness``, ``[[thwart]] 2 width``."""
    if path[:1] in (("planking",), ("diagonals",)):
        table, rest = ".".join(map(str, path[:2])), path[2:]
    else:
        table, rest = str(path[0]), path[1:]
    repeated = bool(rest) and isinstance(rest[0], int)
    heading = f"[[{table}]]" if repeated else f"[{table}]"
    return " ".join((heading, *_words(rest)))


def _words(path: Path) -> Iterator[str]:
    """The keys behind a heading; places in a list count from 1, and those in a profile have names."""
    for place, part in enumerate(path):
        if isinstance(part, str):
            yield part
        elif path[0] != "profile":
            yield str(part + 1)
        else:
            yield f"point {part + 1}" if place == 1 else ("distance from FP", "height")[part]


def as_written(value: Any) -> str:
    """A value of the file as the builder wrote it, near enough to find it by."""
    match value:
        case str():
            return f"'{printable(value)}'" if len(value) <= LONGEST_SHOWN else quoted(value)
        case bool():
            return str(value).lower()
        case int() if abs(value) > MOST_COUNTED:
            return "a number of thousands of digits"
        case int() if abs(value) > MOST_SHOWN:
            return f"a number of {len(str(abs(value)))} digits"
        case float():
            return str(value).replace("e+", "e")
        case list():
            return _in_short(value) or (f"a list of {len(value)}" if value else "an empty list")
        case dict():
            return _in_short(value) or "a table"
        case datetime.date() | datetime.time():
            return f"the date or time {value}"
        case _:
            return str(value)


def _in_short(value: list[Any] | dict[Any, Any]) -> str:
    """A list or a table as the file has it; nothing where it is long, or holds what cannot be written so."""
    try:
        written = as_toml(value) if value else ""
    except (TypeError, ValueError, RecursionError):
        return ""
    return printable(written) if len(written) <= LONGEST_LISTED else ""


def _found(detail: ErrorDetails) -> str:
    if detail["type"] == "missing":
        return "nothing"
    if detail["type"] == "extra_forbidden":
        return "an unknown table" if isinstance(detail["input"], dict) else "an unknown key"
    if found := detail.get("ctx", {}).get("found"):
        return str(found)
    if detail["input"] == BLANK:
        return f"'{BLANK}', still blank"
    return as_written(detail["input"])


def _wanted(detail: ErrorDetails, path: Path) -> str:
    match detail["type"]:
        case "wanted":
            return str(detail["ctx"]["wanted"])
        case "missing":
            return expected_at(path)
        case "extra_forbidden":
            return one_of(_keys(_model_at(path[:-1])), str(path[-1]))
        case "list_type" | "tuple_type" if len(path) == 1:
            return f"[[{path[0]}]], in double brackets"
        case "list_type" | "tuple_type":
            return expected_at(path, otherwise="a list")
        case _ if isinstance(detail["input"], list):
            return f"[{'.'.join(map(str, path))}] once, in single brackets"
        case _:
            return "a table"


def field_at(path: Path) -> FieldInfo | None:
    """What the models say of a key."""
    fields = {field.alias or name: field for name, field in _model_at(path[:-1]).model_fields.items()}
    return fields.get(str(path[-1]))


def expected_at(path: Path, otherwise: str = "a table") -> str:
    """What is expected of a key."""
    field = field_at(path)
    if field is None:
        return otherwise
    return field.description or _description_in(field.annotation) or otherwise


def _description_in(annotation: Any) -> str | None:
    """What is said inside ``Annotated[kind, ...] | None``."""
    own = [said.description for said in getattr(annotation, "__metadata__", ()) if isinstance(said, FieldInfo)]
    return next((found for found in (*own, *map(_description_in, get_args(annotation))) if found), None)


def _keys(model: type[BaseModel]) -> list[str]:
    return [field.alias or name for name, field in model.model_fields.items()]


def _model_at(path: Path) -> type[BaseModel]:
    """The model of the table a path leads to."""
    model: type[BaseModel] = BoatToml
    for part in path:
        fields = {field.alias or name: field for name, field in model.model_fields.items()}
        if part in fields:
            model = model_in(fields[str(part)].annotation) or model
        elif model is PlankingTable:
            model = StrakeTable
    return model


def model_in(annotation: Any) -> type[BaseModel] | None:
    """The model inside ``Model``, ``Model | None`` or ``list[Model] | None``."""
    if isinstance(annotation, type) and issubclass(annotation, BaseModel):
        return annotation
    return next((model for inner in get_args(annotation) if (model := model_in(inner))), None)
