"""``scrieve fair``: the lines faired and doubted, without patterns."""

from __future__ import annotations

from contextlib import nullcontext
from dataclasses import replace
from pathlib import Path

from patterns.cli.columns import in_lines
from patterns.cli.telling import tell_kept, tell_read
from patterns.cli.trial import tell_trial
from patterns.hull.doubts.suspects import suspects
from patterns.hull.planking.skin import plank
from patterns.parts.cautions import fairing_cautions
from patterns.parts.faired import fair_cuts_of, fair_lines
from patterns.plates.lines.lines_plan import lines_plan
from patterns.reading.boat.boat_toml import BoatFile, read_boat
from patterns.shop.fit.ease_twist import Eased, ease_twist
from patterns.units.notations import Notation
from patterns.units.papers import paper_size
from patterns.writing.folder.job_folder import job_folder
from patterns.writing.report.fair_tables import FairedTable, bands_file, report
from patterns.writing.report.fit_sections import eased_blocks
from patterns.writing.report.report_blocks import Paragraph
from patterns.writing.tables.faired_csv import faired_csv

PAGE = (250.0, 160.0)  # mm; a view on a page of HTML, which shows it as wide as it is itself


def fair_boat(boat: Path, *, out: Path | None, ease_twist: bool) -> None:
    """Read a boat folder, fair its lines, and tell what was moved; with ``out``, draw them there.

    Last it tells what loft will refuse, and which parts no sheet will hold. Neither changes the fairing.

    Raises
    ------
    PatternsError
        Bad input, lines that meet no end, or a folder that cannot be written.
    """
    read = read_boat(boat)
    with nullcontext() if out is None else job_folder(out) as place:
        table, eased = _faired(read, against_twist=ease_twist)
        if out is not None and place is not None:
            files = _files(read, table)
            if eased:
                files["offsets-eased.csv"] = _eased_csv(read, table, eased)
            written = place.write(files, used=read.files)
            print(f"\nWrote  {', '.join(sorted(written.names))} to {out}.")
            tell_kept(out, place, written)
    tell_trial(read)


def _faired(read: BoatFile, *, against_twist: bool) -> tuple[FairedTable, Eased | None]:
    """The table faired, and eased against twist where that is asked; told."""
    tell_read(read, tables=["boat", "offsets"])
    asked = read.boat
    lines, cuts = fair_lines(asked), fair_cuts_of(asked)
    doubted = suspects(asked.offsets, fore=asked.fore, aft=asked.aft)
    table = FairedTable(asked, read.table, lines, cuts, doubted, fairing_cautions(asked, lines))
    for section in report(table):
        print("", f"{section.title}:", *in_lines(section.blocks), sep="\n")
    return table, _told_eased(table) if against_twist else None


def _told_eased(table: FairedTable) -> Eased | None:
    """The lines eased against twist, told; None where the side is not twisted."""
    boat = table.boat
    hull = plank(table.lines, skin=boat.skin, fore=boat.fore, aft=boat.aft)
    eased = ease_twist(boat, table.lines, hull)
    blocks = [*eased_blocks(eased, boat.show)] if eased else [Paragraph("The side does not twist: nothing to ease.")]
    print("", "Against twist:", *in_lines(blocks), sep="\n")
    return eased


def _eased_csv(read: BoatFile, table: FairedTable, eased: Eased) -> str:
    """The eased table in decimals: what eases a twist may be less than the builder's own notation can say."""
    inches = read.table.notation.unit in ("in", "ft")
    fine = Notation("decimals", "in", 3, " in") if inches else Notation("decimals", "mm", 2, " mm")
    return faired_csv(replace(read.table, notation=fine), table.boat.offsets, eased.lines, table.cuts)


def _files(read: BoatFile, table: FairedTable) -> dict[str, bytes | str]:
    # Only drawings wait for the libraries that make pages.
    from patterns.writing.report.lines_page import lines_html, lines_pdf

    short, long = sorted(paper_size(read.paper))
    room = (long - 2 * read.margin, short - 2 * read.margin)
    doubts = frozenset(one.place for one in table.suspects)
    on_page = lines_plan(table.boat, table.lines, table.cuts, paper=PAGE, doubts=doubts, lettered=False)
    on_paper = lines_plan(table.boat, table.lines, table.cuts, paper=room, doubts=doubts)
    return {
        "lines.html": lines_html(table, on_page),
        "lines.pdf": lines_pdf(table, on_paper, width=long, height=short, margin=read.margin),
        "lines-may-be-out.csv": bands_file(table),
        "offsets-faired.csv": faired_csv(table.form, table.boat.offsets, table.lines, table.cuts),
    }
