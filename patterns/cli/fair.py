"""``scrieve fair``: the lines faired and doubted, without patterns."""

from __future__ import annotations

import os
from pathlib import Path

from patterns.cli.columns import in_lines
from patterns.cli.job_words import tell
from patterns.cli.loft_words import tell_warnings
from patterns.cli.screen import WARNING, paragraph
from patterns.cli.telling import tell_kept, tell_read
from patterns.job.boat_job import BoatJob
from patterns.job.faired_lines import eased_table, fair_files, faired_table
from patterns.job.trial import Trial, tried
from patterns.parts.asked.rules import Boat
from patterns.parts.cautions import siding_cautions
from patterns.reading.boat.boat_toml import BoatFile, LinesFile, read_lines
from patterns.reading.boat.wood_needs import WoodNeededError, lines_to_paste
from patterns.shop.fit.ease_twist import Eased
from patterns.writing.folder.job_folder import job_folder
from patterns.writing.report.fair_tables import FairedTable, report
from patterns.writing.report.fit_sections import eased_blocks
from patterns.writing.report.report_blocks import Paragraph


def fair_boat(boat: Path, *, out: Path | None, ease_twist: bool) -> None:
    """Read a boat's lines, fair and draw them, and tell what was moved.

    Last it tells what wood still needs, or what loft will refuse and which parts no sheet will hold. None of it
    changes the fairing.

    Raises
    ------
    PatternsError
        Bad input, lines that meet no end, or a folder that cannot be written.
    """
    folder = out or (boat if os.path.isdir(boat) else boat.parent) / "lines"
    read = read_lines(boat)
    whole = read if isinstance(read, BoatFile) else None
    if ease_twist and whole is None:
        raise WoodNeededError(read.files[0].name, read.needs)
    with job_folder(folder) as place:
        tell_read(read, tables=["boat", "offsets"])
        table = _faired(read)
        eased = _eased(table, whole.boat) if ease_twist and whole else None
        written = place.write(fair_files(read, table, eased), used=read.files)
        print(f"\nWrote  {', '.join(sorted(written.names))} to {folder}.")
        tell_kept(folder, place, written)
    if whole:
        _tell_trial(tried(BoatJob(whole)), whole.boat.show)
    else:
        tell_warnings(tuple(siding_cautions(read.boat, table.lines, read.sided)))
        _tell_needs(read)


def _tell_needs(read: LinesFile) -> None:
    """What boat.toml lacks for wood."""
    file, many = read.files[0].name, len(read.needs)
    keys = f"{many} more keys of {file}" if many > 1 else f"1 more key of {file}"
    print("", f"Before 'scrieve loft' can make patterns, it needs {keys}:", *lines_to_paste(read.needs), sep="\n")


def _faired(read: LinesFile) -> FairedTable:
    """The table faired; told."""
    table = faired_table(read)
    for section in report(table):
        print("", f"{section.title}:", *in_lines(section.blocks), sep="\n")
    return table


def _eased(table: FairedTable, boat: Boat) -> Eased | None:
    """The lines eased against twist, told; None where the side is not twisted."""
    eased = eased_table(table, boat)
    show = table.boat.show
    blocks = [*eased_blocks(eased, show)] if eased else [Paragraph("No strake twists: nothing to ease.")]
    print("", "Against twist:", *in_lines(blocks), sep="\n")
    return eased


def _tell_trial(trial: Trial, show: str) -> None:
    """Say what loft will refuse, in its own words; where it makes the boat, what it will lay on no sheet."""
    if trial.refused:
        print("", paragraph(WARNING, "scrieve loft will refuse this boat as it stands:"), sep="\n")
        for line in trial.refused.splitlines():
            print(paragraph("", line))
    elif trial.cautions or trial.on_none:
        print()
        tell_warnings(trial.cautions)
        for news in trial.on_none:
            tell(news, show)
