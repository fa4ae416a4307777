"""What commands say of a boat they have read."""

from __future__ import annotations

from collections.abc import Iterable, Iterator, Sequence
from pathlib import Path

from patterns.cli.screen import INDENT, WARNING, Screen, paragraph
from patterns.hull.offsets import Offsets
from patterns.reading.boat.boat_toml import Default, LinesFile
from patterns.units.datums import BASE, HEIGHTS_IN_TOML
from patterns.writing.folder.folder_plan import Kept
from patterns.writing.folder.job_folder import JobFolder, Written
from patterns.writing.report.band_tables import extras_told

OF_PROFILES = "[offsets]"  # defaults of the table: end heights that a profile gives


def tell_read(read: LinesFile, *, tables: Iterable[str] = (), verbose: bool = False) -> None:
    """The boat, its lines, what its heights are measured from, and what was not given, so that a default holds.

    ``tables`` are those of boat.toml whose defaults count for the command; all where none is named. ``verbose`` lists
    the defaults. Otherwise only heights that a profile gives are listed.
    """
    headings = tuple(f"[{table}]" for table in tables) or ("[",)
    boat = read.boat
    ends = f"{boat.offsets.columns[0]} to {boat.offsets.columns[-1]}"
    stations = len(boat.offsets.stations)
    defaults = [default for default in read.defaults if default.key.startswith(headings)]
    of_profiles = [default for default in defaults if default.key.startswith(OF_PROFILES)]
    untold = len(defaults) - len(of_profiles)
    if verbose and boat.about:
        print(paragraph(f"{boat.name}:", boat.about))
    more = f"; {untold} defaults, listed in the book" if untold > 1 and not tables else ""
    lines = ", ".join((*boat.offsets.lines, *_cuts(boat.offsets)))
    print(paragraph("Read", f"{boat.name}: {lines} at {stations} stations, {ends}, to the {boat.lines_to}{more}."))
    for table in read.unheeded:
        print(paragraph("", f"{table} is not used: a round hull has one planking, and [planking.side] says which."))
    for words in extras_told(boat.offsets, boat.show):
        print(paragraph("", f"Extra figure, at no station: {words}."))
    if read.table.read_as:
        print(paragraph("", f"{read.table.file} was read as {read.table.read_as}."))
    if read.table.datum != BASE:
        print(paragraph("", f"{read.table.datum.told(boat.show)} {HEIGHTS_IN_TOML}"))
    if verbose:
        _tell_defaults(defaults)
    elif of_profiles:
        heights = (f"{one.key.removeprefix(OF_PROFILES).strip()} {one.value.partition(',')[0]}" for one in of_profiles)
        print(paragraph("", f"From the profiles: {', '.join(heights)}."))


def _cuts(offsets: Offsets) -> Iterator[str]:
    """``4 waterlines``, ``a buttock`` and ``2 diagonals``, as a table has them."""
    names = dict.fromkeys(row.name for row in (*offsets.half_breadths, *offsets.heights))
    for kind in ("waterline", "buttock", "diagonal"):
        count = len([name for name in names if name.startswith(kind)])
        if count:
            yield f"a {kind}" if count == 1 else f"{count} {kind}s"


def tell_kept(folder: Path, place: JobFolder, written: Written, terminal: Screen) -> None:
    """Each file of an earlier job that was not written over, and where the new one is."""
    for kept in written.kept:
        terminal.warn(paragraph(WARNING, _kept(folder, kept)))
    if place.stood_in:
        print(f'{INDENT}The folder was exchanged as a whole. To see the new files here: cd "$PWD"')


def _kept(folder: Path, kept: Kept) -> str:
    why = "this command has read the file" if kept.used else "you have changed the file since scrieve wrote it"
    new = f"The new file is {folder / kept.instead}." if kept.instead else "This job has no file of that name."
    return f"{folder / kept.name}: {why}, so it was kept as it is. {new}"


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
