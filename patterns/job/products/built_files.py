"""The table to fill in at the strongback, and the boat as she stands held against the plan."""

from __future__ import annotations

from collections.abc import Iterator

from patterns.job.boat_job import BoatJob
from patterns.job.products.made import Made
from patterns.job.products.report_paper import on_paper
from patterns.job.told import Built
from patterns.plates.words.built_words import told_of_built
from patterns.shop.layout.setting_up import setting_up
from patterns.units.lengths import write_at_most
from patterns.writing.tables.built_csv import AS_BUILT, BLANK, as_built_csv, blank_csv
from patterns.writing.tables.marked_csv import marked_csv

OLD_AND_NEW = "paper/old-and-new.pdf"


def built_files(job: BoatJob) -> Iterator[str]:
    """The table to fill in, where there are frames; and what came of it, where it was filled in."""
    if job.setting_up.frames:
        yield BLANK
    if job.as_built:
        yield AS_BUILT
        if job.as_built.changed:
            yield OLD_AND_NEW


def make_built(job: BoatJob) -> Made:
    """Both tables, parts that changed drawn over the planned ones, and what to tell of what is out."""
    from patterns.writing.book.book_built import old_and_new_section

    files: dict[str, bytes | str] = {}
    # What was measured is held against the plan, so the table to fill in has the plan's figures.
    plan = setting_up(job.as_built.planned) if job.as_built else job.setting_up
    if plan.frames:
        files[BLANK] = marked_csv(blank_csv(plan), job.run_mark)
    if job.as_built is None:
        return Made(files)
    if job.as_built.changed:
        section = old_and_new_section(job.as_built, job.show)
        files[OLD_AND_NEW] = on_paper(job, f"{job.name}: {section.title.lower()}", (), (section,))
    files[AS_BUILT] = marked_csv(as_built_csv(job.as_built, job.show), job.run_mark)
    misfits = tuple((one.title, write_at_most(one.by, job.show)) for one in job.as_built.misfits)
    return Made(files, (Built(told_of_built(job.as_built, job.show), misfits),))
