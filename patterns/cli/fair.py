"""``scrieve fair``: the lines faired and doubted, without patterns."""

from __future__ import annotations

from pathlib import Path

from patterns.cli.columns import aligned
from patterns.cli.telling import tell_read
from patterns.hull.fairing import fair, fair_cuts
from patterns.plates.lines_plan import lines_plan
from patterns.reading.boat_toml import BoatFile, read_boat
from patterns.units.papers import paper_size
from patterns.writing.blocks import Section, Table
from patterns.writing.fair_tables import FairedTable, moves_table, turns_table
from patterns.writing.folder import write_folder
from patterns.writing.offsets_csv import faired_csv

PAGE = (250.0, 160.0)  # mm; a view on a page of HTML, which shows it as wide as it is itself


def fair_boat(boat: Path, *, out: Path | None) -> None:
    """Read a boat folder, fair its lines, and tell what was moved; with ``out``, draw them there.

    Raises
    ------
    PatternsError
        Bad input, lines that meet no end, or a folder that cannot be written.
    """
    read = read_boat(boat)
    tell_read(read)
    asked = read.boat
    lines = fair(asked.offsets, fore=asked.fore, aft=asked.aft, within=asked.fair_within)
    table = FairedTable(asked, read.table, lines, fair_cuts(asked.offsets, within=asked.fair_within))
    sections = _sections(table)
    for section in sections:
        for block in section.blocks:
            if isinstance(block, Table):
                print("", *aligned(block), sep="\n")
    if out is not None:
        files = _files(read, table, sections)
        write_folder(out, files)
        print(f"\nWrote  {', '.join(sorted(files))} to {out}.")


def _sections(table: FairedTable) -> tuple[Section, ...]:
    return (
        Section("What was moved", (moves_table(table),)),
        Section("How the lines curve", (turns_table(table),)),
    )


def _files(read: BoatFile, table: FairedTable, sections: tuple[Section, ...]) -> dict[str, bytes | str]:
    # Only drawings wait for the libraries that make pages.
    from patterns.writing.lines_page import lines_html, lines_pdf

    short, long = sorted(paper_size(read.paper))
    room = (long - 2 * read.margin, short - 2 * read.margin)
    on_page = lines_plan(table.boat, table.lines, table.cuts, paper=PAGE, lettered=False)
    on_paper = lines_plan(table.boat, table.lines, table.cuts, paper=room)
    return {
        "lines.html": lines_html(table, on_page, sections),
        "lines.pdf": lines_pdf(table.boat.name, on_paper, width=long, height=short, margin=read.margin),
        "offsets-faired.csv": faired_csv(table.form, table.boat.offsets, table.lines, table.cuts),
    }
