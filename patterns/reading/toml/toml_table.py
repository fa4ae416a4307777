"""What every table of boat.toml shares: what a key means, an example of it, and its default."""

from __future__ import annotations

from typing import Any, NamedTuple, TypeVar

from pydantic import BaseModel, ConfigDict, Field
from pydantic.fields import FieldInfo
from pydantic_core import PydanticUndefined

from patterns.reading.wording import one_of
from patterns.units.lengths import read_length


class Meaning(NamedTuple):
    """What a builder is told of a key or a table."""

    means: str
    example: Any = None  # a value he might write, lengths in inches; None where the default is the example
    metric: Any = None  # example, and default if there is one, of a boat in metric units; None where alike


def words(kind: Any) -> Any:
    """What a fault says is expected: one of the words of an enum."""
    return Field(description=one_of(str(member.value) for member in kind))


def needed(means: str, example: Any, *, alias: str | None = None, description: str | None = None) -> Any:
    """A key that has no default: what it means, and an example of it."""
    more: dict[str, Any] = {} if description is None else {"description": description}
    return Field(alias=alias, json_schema_extra=_extra(Meaning(means, example)), **more)


def optional(
    means: str, example: Any, *, alias: str | None = None, description: str | None = None, metric: Any = None
) -> Any:
    """A key that may be left out, and then says nothing."""
    more: dict[str, Any] = {} if description is None else {"description": description}
    return Field(default=None, alias=alias, json_schema_extra=_extra(Meaning(means, example, metric)), **more)


def taken(written: str | float | bool, means: str, example: Any = None, *, metric: Any = None) -> Any:
    """A key with a default in the builder's own writing, checked like anything he writes."""
    return Field(default=written, json_schema_extra=_extra(Meaning(means, example, metric)))


def table(means: str) -> Any:
    """A table that may be left out."""
    return Field(default=None, json_schema_extra=_extra(Meaning(means)))


def said(means: str) -> dict[str, Any]:
    """For a table whose default is an empty one."""
    return _extra(Meaning(means))


def _extra(meaning: Meaning) -> dict[str, Any]:
    return {"means": meaning.means, "example": meaning.example, "metric": meaning.metric}


def meaning_of(field: FieldInfo) -> Meaning:
    """What `needed`, `optional`, `taken` or `table` says of a key."""
    extra = field.json_schema_extra
    if not isinstance(extra, dict):
        raise AssertionError("a key of boat.toml says what it means")
    example = extra["example"]
    if example is None and field.default not in (None, PydanticUndefined):
        example = field.default
    return Meaning(str(extra["means"]), example, extra["metric"])


class Table(BaseModel):
    """A table of boat.toml: keys it does not know are faults."""

    model_config = ConfigDict(extra="forbid", frozen=True, validate_default=True)


_Any = TypeVar("_Any", bound=Table)


def with_metric_defaults(table: _Any) -> _Any:
    """A table whose lengths that are left out are the defaults of metric units; they still count as left out."""
    fields = type(table).model_fields
    lengths = {key: meaning_of(field).metric for key, field in fields.items() if key not in table.model_fields_set}
    metric = {key: read_length(written, None).mm for key, written in lengths.items() if isinstance(written, str)}
    return type(table).model_construct(set(table.model_fields_set), **{**dict(table), **metric})
