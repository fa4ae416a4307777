"""What the boat weighs and how she floats, as tables."""

from __future__ import annotations

from collections.abc import Iterator

from patterns.job.boat_job import BoatJob
from patterns.job.products.made import Made
from patterns.job.told import Floating
from patterns.writing.report.afloat_words import swamp_words, told_in_short
from patterns.writing.tables.afloat_csv import FLOATS, WEIGHTS, floats_csv, weights_csv
from patterns.writing.tables.marked_csv import marked_csv


def afloat_files(job: BoatJob) -> Iterator[str]:
    """Weights by part, and the boat afloat."""
    yield from (WEIGHTS, FLOATS)


def make_afloat(job: BoatJob) -> Made:
    """Two tables, and what to tell of them."""
    boat, show = job.afloat, job.show
    files = {WEIGHTS: weights_csv(boat, show), FLOATS: floats_csv(boat)}
    told = Floating(
        tuple(told_in_short(boat, show)),
        tuple((one.name, swamp_words(one, show)) for one in boat.swamped),
    )
    return Made({path: marked_csv(text, job.run_mark) for path, text in files.items()}, (told,))
