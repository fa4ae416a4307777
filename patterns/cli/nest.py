"""``scrieve nest``: the boat's parts on the builder's sheets. ``scrieve loft`` does the same with the quick effort."""

from __future__ import annotations

import os
from pathlib import Path

from patterns.cli.job_words import STAGES, tell
from patterns.cli.telling import tell_kept, tell_read
from patterns.job.boat_job import BoatJob
from patterns.job.edited import refuse_edited
from patterns.job.making import gathered
from patterns.job.nest_steps import nest_steps, sheets_asked
from patterns.job.products.wood_files import PLACEMENTS
from patterns.job.told import OnSheet, Stage, Told
from patterns.reading.boat.boat_toml import read_boat
from patterns.shop.nest.nesting import Effort
from patterns.writing.folder.job_folder import job_folder


def nest_boat(boat: Path, *, out: Path | None, effort: str, placements: Path | None) -> None:
    """Lay a boat's parts on sheets, or check a placement file, and write the sheets.

    Raises
    ------
    PatternsError
        Bad input, no sheets, placements that cannot be cut, or a folder that cannot be written.
    """
    job = BoatJob(read_boat(boat))
    sheets_asked(job)
    folder = out or (boat if os.path.isdir(boat) else boat.parent) / "sheets"
    with job_folder(folder) as place:
        refuse_edited(folder / PLACEMENTS, but=placements)
        tell_read(job.read)
        made = gathered(nest_steps(job, Effort[effort.upper()], placements), lambda news: _shown(news, job.show))
        written = place.write(made.files, used=(*job.read.files, *([placements] if placements else [])))
        count = len([news for news in made.told if isinstance(news, OnSheet)])
        print(f"Wrote  {count} sheets, a picture of each, and {PLACEMENTS} to {folder}.")
        tell_kept(folder, place, written)


def _shown(news: Stage | Told, show: str) -> None:
    if isinstance(news, Stage):
        print(f"{STAGES[news]} ...", flush=True)
    else:
        tell(news, show)
