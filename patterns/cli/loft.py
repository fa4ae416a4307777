"""``scrieve loft``: one boat folder to one job folder."""

from __future__ import annotations

import os
import re
from collections.abc import Mapping
from dataclasses import replace
from pathlib import Path
from typing import Any

from patterns.cli.job_words import STAGES, in_short, tell, tell_progress, warned
from patterns.cli.loft_words import tell_next, tell_written
from patterns.cli.printer import correction_told
from patterns.cli.screen import Screen, paragraph, screen
from patterns.cli.telling import tell_kept, tell_read
from patterns.errors import PatternsError
from patterns.job.boat_job import BoatJob, to_make
from patterns.job.edited import refuse_edited
from patterns.job.making import make_whole
from patterns.job.products.made import Made
from patterns.job.products.wood_files import PLACEMENTS
from patterns.job.told import Counted, OnSheet, Stage, Told
from patterns.job.wishes.chosen_names import names_asked, refuse_unknown_words
from patterns.job.wishes.wishes import NO_PRINTER, Wishes
from patterns.reading.boat.boat_toml import BoatFile, read_boat
from patterns.tiling.paper.correction import Correction
from patterns.tiling.roll.card_model import LEAST, MOST
from patterns.units.lengths import read_length
from patterns.units.papers import paper_name
from patterns.writing.folder.job_folder import Written, job_folder

MOST_ALLOWANCE = 25.4  # mm; more is a slip of the unit, 1m for 1mm, and would be cut to


def loft_boat(boat: Path, *, out: Path | None, quiet: bool, verbose: bool, printer: str | None, **asked: Any) -> None:
    """Read a boat folder, make every pattern, write the job folder, and say what was done.

    ``asked`` are the other options, as `wishes_asked` reads them.

    Raises
    ------
    PatternsError
        Bad input, a shape that makes no boat, or a folder that cannot be written.
    """
    folder = out or (boat if os.path.isdir(boat) else boat.parent) / "out"
    read = read_boat(boat)
    refuse_unknown_words(names_asked(asked.get("only") or ()), read.boat.offsets.columns)
    with screen(quiet=quiet, verbose=verbose) as terminal, job_folder(folder) as place:
        refuse_edited(folder / "router" / PLACEMENTS)
        job = BoatJob(read, wishes_asked(asked))
        paper = job.paper.name
        tell_read(read, verbose=verbose)
        job = replace(
            job, wishes=replace(job.wishes, printer=_correction(read, printer, paper, terminal) or NO_PRINTER)
        )
        terminal.stages(len(STAGES) - (0 if read.sheets else 1))
        made = make_whole(job, lambda news: shown(news, terminal, job.show))
        written = place.write(made.files, used=read.files)
        _tell_end(job, made, written, folder, terminal)
        tell_kept(folder, place, written, terminal)


def _tell_end(job: BoatJob, made: Made, written: Written, folder: Path, terminal: Screen) -> None:
    """What needs an eye, what was made, what to do next."""
    for news in made.told:
        for words in warned(news):
            terminal.warn(words)
    tell_written(len(to_make(job.lofted.parts)), len(written.names), folder)
    sheets = len([news for news in made.told if isinstance(news, OnSheet)])
    if not terminal.verbose:
        for news in made.told:
            print("\n".join(in_short(news, job.show)), end="\n" * any(in_short(news, job.show)))
        if sheets:
            print(paragraph("Sheets", f"{sheets} of plywood, drawn in router/cut-plan.pdf"))
        elif job.read.sheets:
            print(
                paragraph(
                    "Sheets", "none: no part is of the material and thickness of a sheet of [stock], or fits on one."
                )
            )
    tell_next(folder)


def shown(news: Stage | Counted | Told, terminal: Screen, show: str) -> None:
    """A stage and its counts as they come, and details where they are wished; warnings wait for the end."""
    if isinstance(news, Stage | Counted):
        tell_progress(news, terminal)
    elif terminal.verbose:
        tell(news, show)


def wishes_asked(asked: Mapping[str, Any]) -> Wishes:
    """Wishes from the options of the command, by the names they are stored under.

    Raises
    ------
    PatternsError
        An option that cannot be read.
    """
    values = {"only": (), **asked}
    for name, read in (("scale", read_scale), ("paper", _paper), ("saw_allowance", _saw_allowance), ("only", tuple)):
        if values.get(name) is not None:
            values[name] = read(values[name])
    return Wishes(**{name: value for name, value in values.items() if value is not None})


def read_scale(text: str) -> int:
    """How many times smaller: 8 for ``1:8``.

    Raises
    ------
    PatternsError
        Anything else than one to a whole number, or a scale that makes no model.
    """
    match = re.fullmatch(r"\s*1\s*[:/]\s*([0-9]{1,4})\s*", text)
    if match is None:
        raise PatternsError(f"--scale: found '{text}', expected one to a whole number, such as 1:8")
    scale = int(match[1])
    if not LEAST <= scale <= MOST:
        raise PatternsError(f"--scale: found '{text}', expected a scale from 1:{LEAST} to 1:{MOST}, such as 1:8")
    return scale


def _paper(name: str) -> str:
    try:
        return paper_name(name)
    except ValueError as error:
        raise PatternsError(f"--paper: found {name!r}, expected {error}") from None


def _correction(read: BoatFile, printer: str | None, paper: str, terminal: Screen) -> Correction | None:
    said = "boat.toml, [printer] name" if printer is None and read.printer else "--printer"
    return correction_told(printer or read.printer or None, said=said, paper=paper, terminal=terminal)


def _saw_allowance(text: str) -> float:
    try:
        allowance = read_length(text, None).mm
    except ValueError as error:
        raise PatternsError(f"--saw-allowance: found {text!r}, expected {error}") from None
    if not 0.0 <= allowance <= MOST_ALLOWANCE:
        raise PatternsError(f"--saw-allowance: found {text!r}, expected what a saw leaves, from 0 mm to 1 in (25.4 mm)")
    return allowance
