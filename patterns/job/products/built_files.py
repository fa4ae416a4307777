"""The table to fill in at the strongback, and the boat as she stands held against the plan."""

from __future__ import annotations

from collections.abc import Iterator

from patterns.job.boat_job import BoatJob
from patterns.job.products.made import Made
from patterns.job.told import Built
from patterns.plates.words.built_words import told_of_built
from patterns.units.lengths import write_at_most
from patterns.writing.tables.built_csv import AS_BUILT, BLANK, as_built_csv, blank_csv
from patterns.writing.tables.marked_csv import marked_csv


def built_files(job: BoatJob) -> Iterator[str]:
    """The table to fill in, where there are frames; and what came of it, where it was filled in."""
    if job.setting_up.frames:
        yield BLANK
    if job.read.built:
        yield AS_BUILT


def make_built(job: BoatJob) -> Made:
    """Both tables, and what to tell of what is out."""
    files: dict[str, bytes | str] = {}
    if job.setting_up.frames:
        files[BLANK] = marked_csv(blank_csv(job.setting_up), job.run_mark)
    if job.as_built is None:
        return Made(files)
    files[AS_BUILT] = marked_csv(as_built_csv(job.as_built, job.show), job.run_mark)
    misfits = tuple((one.title, write_at_most(one.by, job.show)) for one in job.as_built.misfits)
    return Made(files, (Built(told_of_built(job.as_built, job.show), misfits),))
