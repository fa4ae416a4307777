"""Story sticks: on the roll, and on pages joined end to end where they are wished for."""

from __future__ import annotations

from collections.abc import Iterator

from patterns.job.boat_job import BoatJob
from patterns.job.products.made import Made
from patterns.job.products.paper_files import on_paper
from patterns.plates.bench.story_stick import stacked_sticks
from patterns.tiling.roll.roll import rolled
from patterns.tiling.roll.roll_key import roll_pages
from patterns.tiling.tiles.tiles import tile

ON_ROLL = "paper/story-sticks-roll.pdf"


def stick_files(job: BoatJob) -> Iterator[str]:
    """One for the roll, and one for pages if they are wished for; none of a boat without long parts."""
    if job.sticks:
        yield ON_ROLL
        if job.wishes.sticks:
            yield on_paper("story-sticks", job.paper)


def make_sticks(job: BoatJob) -> Made:
    """The sticks side by side on the roll, and under each other on pages."""
    from patterns.writing.ink.pdf import pdf_bytes

    if not job.sticks:
        return Made()
    title = f"{job.marked_name}: story sticks"
    laid = rolled(job.sticks, job.read.roll, show=job.show, one_page=job.wishes.one_page)
    files: dict[str, bytes | str] = {ON_ROLL: pdf_bytes(roll_pages(laid), title=title, any_length=job.wishes.one_page)}
    if job.wishes.sticks:
        paper = job.printed.room
        stacks = stacked_sticks(job.sticks, high=min(*paper.step, *paper.turned().step))
        tilings = [tile(one, paper, show=job.show) for one in stacks]
        pages = job.printed.pages([page for tiling in tilings for page in tiling.pages])
        files[on_paper("story-sticks", job.paper)] = pdf_bytes(pages, title=title)
    return Made(files)
