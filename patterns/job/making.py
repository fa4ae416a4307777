"""A job's products made: some by name, or the whole job, its long work shared out over processes."""

from __future__ import annotations

from collections.abc import Callable, Generator, Iterator, Sequence
from contextlib import closing, contextmanager
from functools import reduce
from itertools import compress
from operator import or_
from typing import Any, TypeAlias

from patterns.job.boat_job import BoatJob
from patterns.job.processes import begun, watched
from patterns.job.products.made import Made
from patterns.job.products.table import product, products_of
from patterns.job.shared.bench_words import at_saw
from patterns.job.told import BenchPaper, Counted, Joint, Moved, Moves, Stage, Told, Warned
from patterns.parts.whole import Job
from patterns.writing.report.joint_words import joints_told

Step: TypeAlias = Stage | Told | Made
Steps: TypeAlias = Generator[Step, None, None]
Hear: TypeAlias = Callable[[Stage | Counted | Told], None]

# Work for a process of its own: products, and values of the job that others need of it.
_WOOD = (("router", "sheets"), ("plan",))
_BENCH = (
    ("layout tables", "fit", "setting up", "bevel boards", "story sticks"),
    ("tables", "boards", "setting_up", "fit", "board_page_of", "step_page_of"),
)
_SAW = (("saw set-ups", "weight and floating"), ("saw_page_of", "pictures", "afloat"))
_ROLL = (("roll",), ("roll_page_of",))
_HERE = ("svg", "paper", "svg tiles", "model", "book")  # made in this process, each in its place
_IN_PLACE = {*_HERE, *(name for products, _ in (_WOOD, _BENCH, _SAW, _ROLL) for name in products)}


def make(job: BoatJob, *names: str) -> Made:
    """Products by their names; where none is named, the whole job.

    Raises
    ------
    PatternsError
        No product has the name, or the boat cannot have it.
    """
    if not names:
        return make_whole(job)
    return reduce(or_, [product(name).make(job) for name in names])


def make_whole(job: BoatJob, hear: Hear = lambda news: None) -> Made:
    """Every product that is wished. ``hear`` gets each stage, its counts, and all news of the job."""
    return gathered(_steps(job), hear)


def gathered(steps: Steps, hear: Hear) -> Made:
    """What steps made and told. That the paper is too small for the bench is told once."""
    files: dict[str, bytes | str] = {}
    told: list[Told] = []

    def tell(news: Told) -> None:
        if not (isinstance(news, BenchPaper) and news in told):
            told.append(news)
            hear(news)

    # Closed when whoever hears raises: no process may outlive that.
    with watched(lambda done, of: hear(Counted(done, of))), closing(steps) as until_done:
        for step in until_done:
            if isinstance(step, Stage):
                hear(step)
            elif isinstance(step, Made):
                files |= step.files
                for news in step.told:
                    tell(news)
            else:
                tell(step)
    return Made(files, tuple(told))


def _steps(job: BoatJob) -> Steps:
    yield Stage.FAIRING
    yield moves(job.lofted)
    yield from joints(job.lofted)
    yield Stage.CUTTING
    yield from _made_ready(job)
    with _ahead(job, *_WOOD) as wood, _ahead(job, *_BENCH) as bench:
        yield Stage.DRAWING
        yield make(job, "svg")
        if job.read.sheets:
            yield Stage.ON_SHEETS
        yield wood()
        yield bench()
    yield Stage.ON_PAPER
    yield from _laid_on_paper(job)
    yield from (one.make(job) for one in products_of(job) if one.name not in _IN_PLACE)
    yield Stage.BOOK
    yield make(job, "book")
    yield Warned(job.cautions)


def _made_ready(job: BoatJob) -> Steps:
    """What all further work needs, and may be refused for, before it is shared out."""
    job.work_out("cautions", "printed_parts")
    yield from at_saw(job.worked, job.show)


def _laid_on_paper(job: BoatJob) -> Steps:
    """Tiles here, the roll, saw set-ups and the boat's pictures beside them."""
    job.work_out("halved")
    with _ahead(job, *_SAW) as saw:
        with _ahead(job, *_ROLL) as roll:
            yield make(job, "paper")
            if job.wishes.svg_tiles:
                yield make(job, "svg tiles")
            yield roll()
        if job.wishes.scale is not None:
            yield make(job, "model")
        yield saw()


@contextmanager
def _ahead(job: BoatJob, products: Sequence[str], values: Sequence[str]) -> Iterator[Callable[[], Made]]:
    """Make products in a process of its own; what is given waits for them, and has the job know values of that work."""

    def work() -> tuple[Made, dict[str, Any]]:
        return make(job, *products), {name: getattr(job, name) for name in values}

    with begun(work) as done:

        def handed_over() -> Made:
            made, known = done()
            job.knows(known)
            return made

        yield handed_over


def moves(job: Job) -> Moves:
    """How far fairing moved every line."""
    views = [
        (line.name, *view)
        for line in job.lines
        for view in (("heights", line.height), ("half-breadths", line.half_breadth))
    ]
    views += [(cut.name, "as cut", cut.view) for cut in job.cuts]
    moved = []
    for line, name, view in views:
        # A figure left out is not moved: the line goes without it.
        kept = [column not in view.left_out for column in view.columns]
        moved.append(Moved(line, name, tuple(compress(view.columns, kept)), tuple(compress(view.moved.tolist(), kept))))
    return Moves(job.boat.fair_within, tuple(moved))


def joints(job: Job) -> Iterator[Joint]:
    """Where panels longer than their sheets are joined."""
    return map(Joint, joints_told(job))
