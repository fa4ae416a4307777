"""What commands say of a boat they have read."""

from __future__ import annotations

from collections.abc import Iterable, Sequence

from patterns.cli.screen import INDENT, paragraph
from patterns.reading.boat_toml import BoatFile, Default
from patterns.units.datums import BASE, HEIGHTS_IN_TOML


def tell_read(read: BoatFile, *, tables: Iterable[str] = ()) -> None:
    """The boat, its lines, what its heights are measured from, and what was not given and so was taken.

    ``tables`` are those of boat.toml whose defaults count for the command; all where none is named.
    """
    headings = tuple(f"[{table}]" for table in tables) or ("[",)
    boat = read.boat
    print(paragraph(f"{boat.name}:", boat.about) if boat.about else boat.name)
    ends = f"{boat.offsets.columns[0]} to {boat.offsets.columns[-1]}"
    stations = len(boat.offsets.columns) - 2
    print(
        paragraph(
            "Read", f"lines {', '.join(boat.offsets.lines)} at {stations} stations, {ends}, to {boat.skin.lines_to}."
        )
    )
    if read.table.read_as:
        print(f"       {read.table.file} was read as {read.table.read_as}.")
    if read.table.datum != BASE:
        print(f"       {read.table.datum.told(boat.show)}\n       {HEIGHTS_IN_TOML}")
    _tell_defaults([default for default in read.defaults if default.key.startswith(headings)])


def _tell_defaults(defaults: Sequence[Default]) -> None:
    """What was not given, a paragraph for each table of boat.toml."""
    if not defaults:
        return
    print(f"{INDENT}Not given, so these defaults hold:")
    tables: dict[str, list[str]] = {}
    for default in defaults:
        table, _, key = default.key.partition("] ")
        tables.setdefault(f"{table}]", []).append(f"{key} = {default.value}")
    for heading, taken in tables.items():
        print(paragraph("", f"{heading} {', '.join(taken)}"))
