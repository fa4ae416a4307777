"""What is for the bench and is no pattern: layout tables, bevel boards, setting up, the fit check, saw set-ups."""

from __future__ import annotations

from collections.abc import Iterator

from patterns.job.boat_job import BoatJob
from patterns.job.products.made import Made
from patterns.job.shared.bench_pages import Booklet
from patterns.job.told import Assumed, BenchPaper, FitChecked
from patterns.parts.part import Part
from patterns.plates.bench.layout_drawing import layout_drawing
from patterns.plates.bench.twist_picture import twist_picture
from patterns.tiling.seams.key_plan import called
from patterns.writing.report.fit_marks import FIT_CSV
from patterns.writing.tables.moulds_csv import MOULDS_CSV
from patterns.writing.tables.planks_csv import PLANKS_CSV

BEVEL_BOARDS, SETTING_UP = "paper/bevel-boards.pdf", "paper/setting-up.pdf"
SAW_SET_UPS = "paper/saw-set-ups.pdf"
FULL_SIZE = "for the bench, full size"
TO_SCALE = "bench pages, drawings to the scales they state"


def table_names(part: Part) -> tuple[str, str]:
    """The files of a part's table, and of the drawing that belongs to it."""
    return f"tables/{part.file_name}.csv", f"tables/{part.file_name}.svg"


def table_files(job: BoatJob) -> Iterator[str]:
    """Two for each part that has a table."""
    return (name for table in job.tables for name in table_names(table.part))


def make_tables(job: BoatJob) -> Made:
    """Running measures for tape and batten, with a drawing of each."""
    from patterns.writing.ink.svg import picture_text
    from patterns.writing.tables.layout_csv import layout_csv
    from patterns.writing.tables.marked_csv import marked_csv

    files: dict[str, bytes | str] = {}
    for table in job.tables:
        names = table_names(table.part)
        table_text, picture = layout_csv(table), layout_drawing(table)
        files |= {names[0]: marked_csv(table_text, job.run_mark), names[1]: picture_text(picture, run=job.run_mark)}
    return Made(files)


def board_files(job: BoatJob) -> Iterator[str]:
    """One, where any edge is bevelled."""
    if any(board.edges for board in job.boards):
        yield BEVEL_BOARDS


def make_boards(job: BoatJob) -> Made:
    """Bevels to set the gauge by."""
    return _printed(job, BEVEL_BOARDS, job.boards_laid, FULL_SIZE)


def mould_files(job: BoatJob) -> Iterator[str]:
    """One, of a round hull with moulds."""
    if job.read.boat.skin.smooth and job.read.boat.frames:
        yield MOULDS_CSV


def make_moulds(job: BoatJob) -> Made:
    """Where the lines of a round hull cross its moulds."""
    from patterns.writing.tables.marked_csv import marked_csv
    from patterns.writing.tables.moulds_csv import moulds_csv

    if not (job.read.boat.skin.smooth and job.read.boat.frames):
        return Made({})
    return Made({MOULDS_CSV: marked_csv(moulds_csv(job.mould_figures, job.show), job.run_mark)})


def plank_files(job: BoatJob) -> Iterator[str]:
    """One, of a round hull whose girth is divided."""
    if job.read.boat.skin.planks:
        yield PLANKS_CSV


def make_planks(job: BoatJob) -> Made:
    """How broad each plank of a round hull is where."""
    from patterns.writing.tables.marked_csv import marked_csv
    from patterns.writing.tables.planks_csv import planks_csv

    if job.plank_figures is None:
        return Made({})
    return Made({PLANKS_CSV: marked_csv(planks_csv(job.plank_figures, job.show), job.run_mark)})


def set_up_files(job: BoatJob) -> Iterator[str]:
    """One."""
    yield SETTING_UP


def make_setting_up(job: BoatJob) -> Made:
    """What to measure at the strongback."""
    assumed = job.setting_up.assumed
    return Made(told=(Assumed(assumed),) if assumed else ()) | _printed(job, SETTING_UP, job.steps_laid, FULL_SIZE)


def fit_files(job: BoatJob) -> Iterator[str]:
    """The table of edges that meet, and a picture of each panel's twist."""
    yield FIT_CSV
    yield from (f"svg/twist-{skin.part.file_name}.svg" for skin in job.fit.skins)


def make_fit(job: BoatJob) -> Made:
    """Whether the parts fit together: the table of edges that meet, and pictures of the twist."""
    from patterns.writing.ink.svg import picture_text
    from patterns.writing.report.fit_csv import fit_csv
    from patterns.writing.report.fit_sections import fit_words
    from patterns.writing.tables.marked_csv import marked_csv

    files: dict[str, bytes | str] = {FIT_CSV: marked_csv(fit_csv(job.fit.meetings, job.show), job.run_mark)}
    for skin in job.fit.skins:
        picture = twist_picture(skin, job.show)
        files[f"svg/{picture.file_name}.svg"] = picture_text(picture, run=job.run_mark)
    return Made(files, (FitChecked(tuple(fit_words(job.fit, job.show))),))


def saw_files(job: BoatJob) -> Iterator[str]:
    """One, where there are long pieces."""
    if job.worked or job.keels:
        yield SAW_SET_UPS


def make_saw_set_ups(job: BoatJob) -> Made:
    """How each long piece is sawn and bent."""
    return _printed(job, SAW_SET_UPS, job.saw_laid, TO_SCALE)


def _printed(job: BoatJob, name: str, booklet: Booklet, subject: str) -> Made:
    """The PDF of a booklet, nothing where it has no pages."""
    from patterns.writing.ink.pdf import pdf_bytes

    asked, taken = job.printed, job.at_bench
    if not booklet.pages:
        return Made()
    told = () if taken == asked else (BenchPaper(called(asked.paper), called(taken.paper)),)
    data = pdf_bytes(taken.pages(booklet.pages), title=f"{job.marked_name}: {booklet.title}", subject=subject)
    return Made({name: data}, told)
