"""What to buy of a boat, without the rest of the job."""

from __future__ import annotations

from pathlib import PurePosixPath

from patterns.errors import PatternsError
from patterns.job.boat_job import BoatJob
from patterns.job.making import Steps, make
from patterns.job.products.made import Made
from patterns.job.products.stock_files import stock_told
from patterns.job.told import Stage
from patterns.plates.words.buying_words import yard_to_paste


def stock_steps(job: BoatJob) -> Steps:
    """The list and its layouts, in a folder of their own."""
    yield Stage.FAIRING
    job.work_out("worked")
    if job.read.sheets:
        yield Stage.ON_SHEETS
    made = make(job, "what to buy")
    yield from stock_told(job, alone=True)
    yield Made({PurePosixPath(name).name: data for name, data in made.files.items()})


def yard_asked(job: BoatJob) -> None:
    """Refuse a boat that names no boards of a yard, with lines to paste.

    Raises
    ------
    PatternsError
        There are none.
    """
    if not job.read.yard.boards:
        lines = yard_to_paste(job.shaped.to_cut, job.read.boat.plywood, job.show)
        raise PatternsError(
            "boat.toml, [stock]: found no yard, expected the boards that your yard sells. Paste these lines under "
            "[stock] and put in the sizes your yard has:\n" + "\n".join(lines)
        )
