"""A large value in one line, for whoever looks at it in a terminal, a notebook or a debugger."""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import Field, fields

import numpy as np

LONGEST = 160  # characters: two lines of a terminal


def one_line(value: object, words: str) -> str:
    """The kind of a value and words on it, ``<Part frame 3: 12 edges>``, cut where they are too many."""
    line = " ".join(f"<{type(value).__name__} {words}>".split())
    return line if len(line) <= LONGEST else f"{line[: LONGEST - 2]}…>"


def brief(self: object) -> str:
    """The repr of a frozen dataclass as its fields have it: short ones as they are, of long ones how many they hold.

    To be named in the class: ``__repr__ = brief``.
    """
    named: tuple[Field[object], ...] = fields(self)  # type: ignore[arg-type]
    names = [one.name for one in named if one.repr]
    called = ["title"] if isinstance(getattr(type(self), "title", None), property) else []
    return one_line(self, ", ".join(_told((name, getattr(self, name)) for name in (*called, *names))))


def _told(values: Iterator[tuple[str, object]]) -> Iterator[str]:
    for name, value in values:
        match value:
            case np.ndarray():
                yield f"{name} {' x '.join(map(str, value.shape))}"
            case str():
                if value:
                    yield f"{name} {value!r}"
            case bool() | int():
                yield f"{name} {value}"
            case float():
                yield f"{name} {value:.6g}"
            case tuple() | list() | dict():
                if value:
                    yield f"{name} {len(value)}"
            case _:
                pass  # what is one value of many fields is asked for by name
