"""Every table and key of boat.toml with its meaning, read off the models."""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from dataclasses import dataclass, replace
from typing import Any, get_args, get_origin

from pydantic import BaseModel
from pydantic_core import PydanticUndefined

from patterns.parts.materials import NOT_STATED
from patterns.reading.toml.boat_tables import BoatToml
from patterns.reading.toml.faults import model_in
from patterns.reading.toml.fields import choices_in
from patterns.reading.toml.lines_tables import LinesToml
from patterns.reading.toml.planking_tables import PlankingTable, StrakeTable
from patterns.reading.toml.toml_table import meaning_of


@dataclass(frozen=True, slots=True)
class KeySaid:
    """One key."""

    name: str
    means: str
    example: Any  # lengths in inches
    default: Any  # None where there is none
    choices: tuple[str, ...]  # the words it may be; none where it may be anything
    needed: bool  # whether its table must have it
    of_lines: bool  # whether the lines need it or heed it
    metric: Any = None  # the example of a boat in metric units, and its default if it has one; None where it is alike

    def as_needed(self) -> KeySaid:
        """The same key where a boat of one kind must have it."""
        return replace(self, needed=True)


@dataclass(frozen=True, slots=True)
class TableSaid:
    """One table."""

    heading: str  # "planking.side"
    repeated: bool  # [[thwart]], each time for one more
    means: str
    keys: tuple[KeySaid, ...]
    needed: bool  # whether every boat that is lofted has it
    of_lines: bool  # whether the lines need it or heed it

    @property
    def written(self) -> str:
        """As it stands in the file: ``[stem]``, ``[[thwart]]``."""
        return f"[[{self.heading}]]" if self.repeated else f"[{self.heading}]"

    def with_keys(self, keys: Sequence[KeySaid], *, needed: bool) -> TableSaid:
        """The same table with these keys, as a boat of one kind has it."""
        return replace(self, keys=tuple(keys), needed=needed)


def tables_said() -> tuple[TableSaid, ...]:
    """Every table, in the order of the models: what the lines need first, the printer last."""
    names = sorted(BoatToml.model_fields, key=lambda name: (name == "printer", name not in LinesToml.model_fields))
    return tuple(one for name in names for one in _tables(BoatToml, name, "", LinesToml))


def _tables(parent: type[BaseModel], name: str, above: str, lines: type[BaseModel] | None) -> Iterator[TableSaid]:
    """The table of a key, and those inside it. ``lines`` is what the lines need where it stands."""
    field = parent.model_fields[name]
    model, heading = model_in(field.annotation), above + (field.alias or name)
    if model is None:
        raise AssertionError(f"{heading} is no table")
    own = None if lines is None or name not in lines.model_fields else model_in(lines.model_fields[name].annotation)
    heading = f"{heading}.A" if _is_named(field) else heading
    yield from _table(
        model, heading, meaning_of(field).means, own, needed=field.is_required(), repeated=_is_list(field)
    )


def _table(
    model: type[BaseModel],
    heading: str,
    means: str,
    lines: type[BaseModel] | None,
    *,
    needed: bool,
    repeated: bool,
) -> Iterator[TableSaid]:
    inner = [name for name, field in model.model_fields.items() if model_in(field.annotation)]
    keys = tuple(_key(model, name, lines) for name in model.model_fields if name not in inner)
    if keys:
        yield TableSaid(heading, repeated, means, keys, needed, lines is not None)
    for name in inner:
        yield from _tables(model, name, f"{heading}.", lines)
        if model is PlankingTable and name == "side":
            between = (
                "a strake between side and bottom, numbered from the sheer down; what it leaves out is as above it"
            )
            yield from _table(StrakeTable, f"{heading}.strake_2", between, None, needed=False, repeated=False)


def _key(model: type[BaseModel], name: str, lines: type[BaseModel] | None) -> KeySaid:
    field = model.model_fields[name]
    meaning = meaning_of(field)
    default = None if field.default in (PydanticUndefined, "", NOT_STATED) else field.default
    of_lines = lines is not None and name in lines.model_fields
    return KeySaid(
        field.alias or name,
        meaning.means,
        meaning.example,
        default,
        choices_in(field),
        field.is_required(),
        of_lines,
        meaning.metric,
    )


def _is_list(field: Any) -> bool:
    """Whether the table is written [[so]], once for each."""
    return _holds(field.annotation, list)


def _is_named(field: Any) -> bool:
    """Whether the table is written [so.A], once for each name."""
    return _holds(field.annotation, dict)


def _holds(annotation: Any, kind: type) -> bool:
    return get_origin(annotation) is kind or any(_holds(inner, kind) for inner in get_args(annotation))
