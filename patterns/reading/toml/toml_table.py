"""What every table of boat.toml shares."""

from __future__ import annotations

from typing import Any

from pydantic import BaseModel, ConfigDict, Field

from patterns.reading.wording import one_of


def words(kind: Any) -> Any:
    """What a fault says is wanted: one of the words of an enum."""
    return Field(description=one_of(str(member.value) for member in kind))


def taken(written: str | int) -> Any:
    """A default in the builder's own writing, checked like anything he writes."""
    return Field(default=written)


class Table(BaseModel):
    """A table of boat.toml: keys it does not know are faults."""

    model_config = ConfigDict(extra="forbid", frozen=True, validate_default=True)
