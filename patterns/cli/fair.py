"""``scrieve fair``: the lines faired, drawn and doubted, without patterns."""

from __future__ import annotations

import os
from collections.abc import Iterator
from pathlib import Path

from patterns.cli.columns import in_lines
from patterns.cli.job_words import tell, warned
from patterns.cli.loft_words import tell_warnings
from patterns.cli.screen import WARNING, Screen, paragraph, screen
from patterns.cli.telling import tell_kept, tell_read
from patterns.job.boat_job import BoatJob
from patterns.job.faired_lines import eased_table, fair_files, faired_table
from patterns.job.trial import Trial, tried
from patterns.parts.asked.rules import Boat
from patterns.parts.cautions import point_cautions, siding_cautions
from patterns.reading.boat.boat_toml import BoatFile, LinesFile, read_lines
from patterns.reading.boat.wood_needs import WoodNeededError, keys_by_table
from patterns.shop.fit.ease_twist import Eased
from patterns.writing.folder.job_folder import job_folder
from patterns.writing.report.fair_tables import FairedTable, in_brief, next_figure, report
from patterns.writing.report.fit_sections import eased_blocks
from patterns.writing.report.report_blocks import Block, Bullets, Paragraph

PAGE = "lines.html"  # of what is written, what to open first


def fair_boat(boat: Path, *, out: Path | None, ease_twist: bool, quiet: bool, verbose: bool) -> None:
    """Read a boat's lines, fair and draw them, and tell what was moved and what is in doubt.

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
    with screen(quiet=quiet, verbose=verbose) as terminal, job_folder(folder) as place:
        terminal.stages(3 if whole else 2)
        tell_read(read, tables=["boat", "offsets"], verbose=verbose)
        terminal.stage("Fairing the lines and looking for figures in doubt")
        table = faired_table(read)
        eased = eased_table(table, whole.boat) if ease_twist and whole else None
        terminal.stage("Drawing the lines")
        written = place.write(fair_files(read, table, eased), used=read.files)
        trial = _tried(whole, terminal) if whole else None
        _tell_faired(table, verbose=verbose)
        if ease_twist and whole:
            _tell_eased(eased, whole.boat)
        _tell_wood(read, table, trial, terminal)
        print(paragraph("Drawn", f"{folder / PAGE} for the screen, lines.pdf for paper, and each view as SVG"))
        tell_kept(folder, place, written, terminal)
        _tell_next(read, table, verbose=verbose)


def _tried(whole: BoatFile, terminal: Screen) -> Trial:
    terminal.stage("Checking whether patterns can be made")
    return tried(BoatJob(whole))


def _tell_faired(table: FairedTable, *, verbose: bool) -> None:
    """All there is to tell of the lines, or what needs an eye."""
    if verbose:
        for section in report(table):
            print("", f"{section.title}:", *in_lines(section.blocks), sep="\n")
        return
    for first, blocks in in_brief(table):
        print("\n".join(_set_in(first, blocks)))


def _set_in(first: str, blocks: tuple[Block, ...]) -> Iterator[str]:
    """A heading in the margin and its blocks. Lines to copy are not wrapped."""
    for block in blocks:
        match block:
            case Paragraph():
                texts: tuple[str, ...] = (block.text,)
            case Bullets():
                texts = block.entries
            case _:
                texts = ()
                yield from in_lines([block])
        for text in texts:
            yield paragraph(first, text)
            first = ""


def _tell_eased(eased: Eased | None, boat: Boat) -> None:
    """The lines eased against twist; None where the side is not twisted."""
    blocks = [*eased_blocks(eased, boat.show)] if eased else [Paragraph("No strake twists: nothing to ease.")]
    print("", "Against twist:", *in_lines(blocks), sep="\n")


def _tell_wood(read: LinesFile, table: FairedTable, trial: Trial | None, terminal: Screen) -> None:
    """Say what loft will refuse, in its own words; where it makes the boat, what it will lay on no sheet."""
    show = read.boat.show
    if trial is None:
        ends = siding_cautions(read.boat, table.lines, read.sided), point_cautions(read.boat, table.lines)
        tell_warnings([one for cautions in ends for one in cautions], terminal)
    elif trial.refused:
        terminal.warn(paragraph(WARNING, "scrieve loft will refuse this boat as it stands:"))
        for line in trial.refused.splitlines():
            terminal.warn(paragraph("", line))
    else:
        tell_warnings(trial.cautions, terminal)
        for news in trial.on_none:
            for words in warned(news):
                terminal.warn(words)
            tell(news, show)


def _tell_next(read: LinesFile, table: FairedTable, *, verbose: bool) -> None:
    """What the builder does now; what boat.toml lacks for wood."""
    folder = read.files[0].parent
    print(paragraph("Next", f"Open {PAGE} and look along every line."))
    if not verbose and (words := next_figure(table)):
        print(paragraph("", words))
    if read.needs:
        keys = "; ".join(f"{table} {', '.join(names)}" for table, names in keys_by_table(read.needs))
        print(paragraph("", f"Before 'scrieve loft {folder}' say what wood there is in {read.files[0].name}: {keys}."))
    else:
        print(paragraph("", f"When the lines look right: scrieve loft {folder}"))
