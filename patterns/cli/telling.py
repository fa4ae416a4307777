"""What commands say of a boat they have read."""

from __future__ import annotations

from collections.abc import Iterable

from patterns.reading.boat_toml import BoatFile
from patterns.units.datums import BASE, HEIGHTS_IN_TOML


def tell_read(read: BoatFile, *, tables: Iterable[str] = ()) -> None:
    """The boat, its lines, what its heights are measured from, and what was not given and so was taken.

    ``tables`` are those of boat.toml whose defaults count for the command; all where none is named.
    """
    headings = tuple(f"[{table}]" for table in tables) or ("[",)
    boat = read.boat
    print(f"{boat.name}: {boat.about}" if boat.about else boat.name)
    ends = f"{boat.offsets.columns[0]} to {boat.offsets.columns[-1]}"
    stations = len(boat.offsets.columns) - 2
    print(f"Read   lines {', '.join(boat.offsets.lines)} at {stations} stations, {ends}, to {boat.skin.lines_to}.")
    if read.table.read_as:
        print(f"       {read.table.file} was read as {read.table.read_as}.")
    if read.table.datum != BASE:
        print(f"       {read.table.datum.told(boat.show)}\n       {HEIGHTS_IN_TOML}")
    for default in (default for default in read.defaults if default.key.startswith(headings)):
        print(f"       not given, so taken: {default.key} = {default.value}")


def tell_unused(read: BoatFile) -> None:
    if read.unused:
        print(f"       read and checked, but no pattern is made of it yet: {', '.join(read.unused)}")
