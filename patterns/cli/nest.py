"""``scrieve nest``: the boat's parts on the builder's sheets. ``scrieve loft`` does the same with the quick effort."""

from __future__ import annotations

import os
from pathlib import Path

from patterns.cli.job_words import tell, tell_progress, warned
from patterns.cli.screen import Screen, paragraph, screen
from patterns.cli.telling import tell_kept, tell_read
from patterns.job.boat_job import BoatJob
from patterns.job.edited import refuse_edited
from patterns.job.making import gathered
from patterns.job.nest_steps import nest_steps, sheets_asked
from patterns.job.products.wood_files import PLACEMENTS
from patterns.job.told import Counted, OnNoSheet, OnSheet, Stage, Told
from patterns.reading.boat.boat_toml import read_boat
from patterns.shop.nest.nesting import Effort
from patterns.writing.folder.job_folder import job_folder


def nest_boat(
    boat: Path, *, out: Path | None, effort: str, placements: Path | None, quiet: bool, verbose: bool
) -> None:
    """Lay a boat's parts on sheets, or check a placement file, and write the sheets.

    Raises
    ------
    PatternsError
        Bad input, no sheets, placements that cannot be cut, or a folder that cannot be written.
    """
    job = BoatJob(read_boat(boat))
    sheets_asked(job)
    folder = out or (boat if os.path.isdir(boat) else boat.parent) / "sheets"
    with screen(quiet=quiet, verbose=verbose) as terminal, job_folder(folder) as place:
        refuse_edited(folder / PLACEMENTS, but=placements)
        tell_read(job.read, verbose=verbose)
        steps = nest_steps(job, Effort[effort.upper()], placements)
        made = gathered(steps, lambda news: _shown(news, terminal, job.show))
        written = place.write(made.files, used=(*job.read.files, *([placements] if placements else [])))
        for news in made.told:
            for words in warned(news):
                terminal.warn(words)
        count = len([news for news in made.told if isinstance(news, OnSheet)])
        print(paragraph("Wrote", f"{count} sheets, a picture of each, and {PLACEMENTS} to {folder}."))
        tell_kept(folder, place, written, terminal)


def _shown(news: Stage | Counted | Told, terminal: Screen, show: str) -> None:
    """The sheets as they are laid; joints and the like where they are wished."""
    if isinstance(news, Stage | Counted):
        tell_progress(news, terminal)
    elif terminal.verbose or isinstance(news, OnSheet | OnNoSheet):
        tell(news, show)
