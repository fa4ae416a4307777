"""``scrieve stock``: boards and sheets to buy, with a layout of every board. ``scrieve loft`` makes the same list."""

from __future__ import annotations

import os
from pathlib import Path, PurePosixPath

from patterns.cli.job_words import tell, tell_progress, warned
from patterns.cli.screen import paragraph, screen
from patterns.cli.telling import tell_kept, tell_read
from patterns.job.boat_job import BoatJob
from patterns.job.making import gathered
from patterns.job.stock_steps import stock_steps, yard_asked
from patterns.job.told import Counted, Stage, ToBuy, Told
from patterns.reading.boat.boat_toml import read_boat
from patterns.writing.folder.job_folder import job_folder


def list_stock(boat: Path, *, out: Path | None, quiet: bool, verbose: bool) -> None:
    """Lay the boat's blanks on boards of the yard and write what to buy.

    Raises
    ------
    PatternsError
        Bad input, no yard, or a folder that cannot be written.
    """
    job = BoatJob(read_boat(boat))
    yard_asked(job)
    folder = out or (boat if os.path.isdir(boat) else boat.parent) / "stock"
    with screen(quiet=quiet, verbose=verbose) as terminal, job_folder(folder) as place:
        tell_read(job.read, tables=("stock",), verbose=verbose)

        def hear(news: Stage | Counted | Told) -> None:
            if isinstance(news, Stage | Counted):
                tell_progress(news, terminal)
            elif verbose or isinstance(news, ToBuy):
                tell(news, job.show)

        made = gathered(stock_steps(job), hear)
        written = place.write(made.files, used=job.read.files)
        for news in made.told:
            for words in warned(news):
                terminal.warn(words)
        names = " and ".join(PurePosixPath(name).name for name in made.files)
        print(paragraph("Wrote", f"{names} to {folder}."))
        tell_kept(folder, place, written, terminal)
