"""What boat.toml still lacks before wood can be cut: every key that lines do without, with a line to paste."""

from __future__ import annotations

from collections.abc import Iterator, Mapping, Sequence
from dataclasses import dataclass
from itertools import groupby

from patterns.errors import InputError, Problem
from patterns.reading.toml.examples import as_toml, in_units
from patterns.reading.toml.faults import cell, expected_at, field_at, model_in, spelled
from patterns.reading.toml.toml_lines import Path, line_of
from patterns.reading.toml.toml_table import meaning_of

MORE = (
    "Frames, logs, rails and thwarts are made where boat.toml has a table for them.\n"
    "'scrieve new DIR --full' writes every table and key with its meaning."
)


@dataclass(frozen=True, slots=True)
class Need:
    """A key that wood needs and boat.toml does not have."""

    path: Path
    table: str  # "[stem]"
    table_line: int | None  # where that table stands; None where it is a new one
    key_line: int | None  # where the key waits for a figure; None where it is absent
    example: str  # 'sided = "2 1/2 in"'
    means: str
    problem: Problem


class WoodNeededError(InputError):
    """Lines without the figures that wood needs: every key, each with a line to paste."""

    def __init__(self, file: str, needs: Sequence[Need]) -> None:
        super().__init__([need.problem for need in needs])
        self.needs = tuple(needs)
        self.file = file

    def __str__(self) -> str:
        many = f"{len(self.needs)} more keys" if len(self.needs) > 1 else "1 more key"
        first = f"{self.file} has all that the lines need. The wood needs {many}. Add these, with your own figures:"
        more = () if self.begun else (MORE,)
        return "\n".join((first, *lines_to_paste(self.needs), *more))

    @property
    def begun(self) -> bool:
        """Whether the file says something of the planking already."""
        return all(need.path[0] != "planking" or need.table_line for need in self.needs)


def lines_to_paste(needs: Sequence[Need]) -> Iterator[str]:
    """The missing keys by their tables, as they stand in boat.toml."""
    for heading, group in groupby(needs, key=lambda need: need.table):
        own = tuple(group)
        at = own[0].table_line
        yield f"  {heading}" if at is None else f"  {heading}  (your table, line {at})"
        width = max(len(need.example) for need in own)
        for need in own:
            waits = f"line {need.key_line}, still '?': " if need.key_line is not None else ""
            yield f"  {need.example:{width}}  # {waits}{need.means.partition(';')[0]}"


def keys_by_table(needs: Sequence[Need]) -> Iterator[tuple[str, tuple[str, ...]]]:
    """The missing keys by name, for each table."""
    for heading, group in groupby(needs, key=lambda need: need.table):
        yield heading, tuple(str(need.path[-1]) for need in group)


def needs_at(paths: Sequence[Path], file: str, lines: Mapping[Path, int], units: str | None) -> tuple[Need, ...]:
    """A need for each key at these paths; for a table, one for each key that the table must have."""
    leaves = dict.fromkeys(leaf for path in paths for leaf in _leaves(path))
    ordered = sorted(leaves, key=lambda path: path[:-1] not in lines)  # tables that are begun come first
    return tuple(_need(path, file, lines, units) for path in ordered)


def _leaves(path: Path) -> Iterator[Path]:
    field = field_at(path)
    model = model_in(field.annotation) if field else None
    if model is None:
        yield path
        return
    for name, inner in model.model_fields.items():
        if inner.is_required():
            yield from _leaves((*path, inner.alias or name))


def _need(path: Path, file: str, lines: Mapping[Path, int], units: str | None) -> Need:
    field = field_at(path)
    if field is None:
        raise AssertionError(f"no model has the key {path}")
    meaning, heading = meaning_of(field), path[:-1]
    example = f"{path[-1]} = {as_toml(in_units(meaning.example, units))}"
    found = "nothing" if path not in lines else "'?', still blank"
    expected = f"{expected_at(path)}, such as {example}"
    return Need(
        path,
        spelled(heading),
        line_of(dict(lines), heading) if heading in lines else None,
        lines.get(path),
        example,
        meaning.means,
        Problem(cell(file, lines, path), found, expected),
    )
