"""Tables and keys of boat.toml written out from what the models say of them: as the file has them, and as a page."""

from __future__ import annotations

import textwrap
from collections.abc import Iterator, Mapping
from dataclasses import dataclass, field
from typing import Any

from patterns.reading.offsets.laid_out import BLANK
from patterns.reading.toml.examples import as_toml, in_units
from patterns.reading.toml.reference import KeySaid, TableSaid, tables_said
from patterns.units.weights import METRIC

WIDE = 110  # characters of a row of boat.toml


@dataclass(frozen=True, slots=True)
class Blanks:
    """What is written for a key: a value that is known, a blank, or an example."""

    units: str | None = None  # of the examples; None for inches
    known: Mapping[tuple[str, str], object] = field(default_factory=dict)  # by table and key

    def value(self, table: TableSaid, key: KeySaid, *, waits: bool) -> str:
        """The value as the file has it."""
        if (table.heading, key.name) in self.known:
            return as_toml(self.known[table.heading, key.name])
        if key.of_lines and key.needed and not waits:
            return as_toml(_blank(key.example))
        return as_toml(in_units(key.example, self.units) if key.metric is None or not self.metric else key.metric)

    @property
    def metric(self) -> bool:
        return self.units in METRIC


def _blank(example: Any) -> Any:
    """The same shape with a blank for every figure."""
    return [_blank(item) for item in example] if isinstance(example, list) else BLANK


def prose(text: str) -> list[str]:
    """Words as rows that no reader of the file heeds."""
    return textwrap.wrap(text, WIDE, initial_indent="# ", subsequent_indent="# ", break_on_hyphens=False)


def table_lines(table: TableSaid, blanks: Blanks) -> Iterator[str]:
    """A table with its keys. What the lines do without waits behind a ``#`` without a space."""
    waits = not (table.of_lines and table.needed)
    mark = "#" if waits else ""
    yield f"{mark}{table.written}  # {table.means}" if waits else table.written
    yield from key_lines(table, blanks, waits=waits)


def key_lines(table: TableSaid, blanks: Blanks, *, waits: bool) -> Iterator[str]:
    """Its keys, one a row, each with its meaning."""
    rows = [(key, f"{_mark(key, waits)}{key.name}", blanks.value(table, key, waits=waits)) for key in table.keys]
    wide = max(len(name) for _, name, _ in rows)
    most = max((len(value) for _, _, value in rows if len(value) < 36), default=0)
    for key, name, value in rows:
        row = f"{name:{wide}} = {value:{most}}  # "
        said = _said(key, table, blanks, waits=waits)
        if len(row) + len(said) <= WIDE:
            yield row + said
        else:
            yield from prose(f"{key.name}: {said}")
            yield row.removesuffix("# ").rstrip()


def _mark(key: KeySaid, waits: bool) -> str:
    return "" if not waits and key.of_lines and key.needed else "#"


def _said(key: KeySaid, table: TableSaid, blanks: Blanks, *, waits: bool) -> str:
    """A key's meaning with the words it may be, its default, and whether wood needs it."""
    choices = f": {_or(key.choices)}" if key.choices and len(key.choices) < 6 else ""
    later = "before scrieve loft: " if not waits and table.needed and key.needed and not key.of_lines else ""
    own = in_units(key.default, blanks.units) if key.metric is None or not blanks.metric else key.metric
    default = "" if key.default is None else f"; default {as_toml(own)}"
    return f"{later}{key.means}{choices}{default}"


def _or(words: tuple[str, ...]) -> str:
    quoted = [f'"{word}"' for word in words]
    return f"{', '.join(quoted[:-1])} or {quoted[-1]}" if len(quoted) > 1 else quoted[0]


# --- The reference as a page ---

INTRO = (
    "Every table and key that `boat.toml` may have. `scrieve new DIR --full` writes them all into a new boat's file. "
    "Lengths here are in inches; yours may be in any unit ([your boat](your-boat.md)). **Lines** need the keys marked "
    "so; **wood** needs the keys marked so in each table that the file has. All other keys may be left out."
)


def keys_page() -> str:
    """The guide's page of keys."""
    rows = ["# Every key of boat.toml", "", *textwrap.wrap(INTRO, 120, break_on_hyphens=False)]
    for table in tables_said():
        rows += ["", f"## `{table.written}`", "", f"{_sentence(table.means)}", ""]
        rows += ["| key | means | example | default | needed for |", "|---|---|---|---|---|"]
        rows += [_row(key) for key in table.keys]
    return "\n".join(rows) + "\n"


def _row(key: KeySaid) -> str:
    needed = ("lines" if key.of_lines else "wood") if key.needed else ""
    metric = "" if key.metric is None else f"; metric `{as_toml(key.metric)}`"
    default = "" if key.default is None else f"`{as_toml(key.default)}`{metric}"
    choices = f": {_or(key.choices)}" if key.choices else ""
    return f"| `{key.name}` | {key.means}{choices} | `{as_toml(key.example)}` | {default} | {needed} |"


def _sentence(words: str) -> str:
    return f"{words[:1].upper()}{words[1:]}."
