"""``scrieve fair``: the lines faired and doubted, without patterns."""

from __future__ import annotations

from contextlib import nullcontext
from pathlib import Path

from patterns.cli.columns import in_lines
from patterns.cli.job_words import tell
from patterns.cli.loft_words import tell_warnings
from patterns.cli.screen import WARNING, paragraph
from patterns.cli.telling import tell_kept, tell_read
from patterns.job.boat_job import BoatJob
from patterns.job.faired_lines import eased_table, fair_files, faired_table
from patterns.job.trial import Trial, tried
from patterns.reading.boat.boat_toml import BoatFile, read_boat
from patterns.shop.fit.ease_twist import Eased
from patterns.writing.folder.job_folder import job_folder
from patterns.writing.report.fair_tables import FairedTable, report
from patterns.writing.report.fit_sections import eased_blocks
from patterns.writing.report.report_blocks import Paragraph


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
        tell_read(read, tables=["boat", "offsets"])
        table = _faired(read)
        eased = _eased(table) if ease_twist else None
        if out is not None and place is not None:
            written = place.write(fair_files(read, table, eased), used=read.files)
            print(f"\nWrote  {', '.join(sorted(written.names))} to {out}.")
            tell_kept(out, place, written)
    _tell_trial(tried(BoatJob(read)), read.boat.show)


def _faired(read: BoatFile) -> FairedTable:
    """The table faired; told."""
    table = faired_table(read)
    for section in report(table):
        print("", f"{section.title}:", *in_lines(section.blocks), sep="\n")
    return table


def _eased(table: FairedTable) -> Eased | None:
    """The lines eased against twist, told; None where the side is not twisted."""
    eased = eased_table(table)
    show = table.boat.show
    blocks = [*eased_blocks(eased, show)] if eased else [Paragraph("The side does not twist: nothing to ease.")]
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
