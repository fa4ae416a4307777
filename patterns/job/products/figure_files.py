"""Tables of figures: job.json, the cut list, the table as faired, how far lines may be out."""

from __future__ import annotations

from collections.abc import Iterator, Mapping, Sequence

from patterns.job.boat_job import BoatJob
from patterns.job.products.bench_files import table_names
from patterns.job.products.made import Made
from patterns.job.products.paper_files import ROLL, tiles_name
from patterns.job.products.wood_files import dxf_name
from patterns.parts.panels.boards import bottom_boards
from patterns.parts.part import Part
from patterns.shop.router.contours import Contours
from patterns.writing.report.fair_tables import FairedTable, bands_file
from patterns.writing.tables.boards_csv import BOTTOM_BOARDS, boards_csv
from patterns.writing.tables.cut_list_csv import CUT_LIST, cut_list_csv
from patterns.writing.tables.faired_csv import faired_csv
from patterns.writing.tables.fastenings_csv import FASTENINGS, fastenings_csv
from patterns.writing.tables.marked_csv import marked_csv

JOB_JSON, FAIRED, MAY_BE_OUT = "job.json", "offsets-faired.csv", "tables/lines-may-be-out.csv"


def job_json_files(job: BoatJob) -> Iterator[str]:
    """One."""
    yield JOB_JSON


def make_job_json(job: BoatJob) -> Made:
    """Every figure of the job, unrounded."""
    from patterns.writing.job_json.job_afloat import afloat_figures
    from patterns.writing.job_json.job_built import built_figures
    from patterns.writing.job_json.job_buying import buying_figures
    from patterns.writing.job_json.job_fastening import fastening_figures
    from patterns.writing.job_json.job_fit import board_figures, fit_figures, mould_figures_told, set_up_figures
    from patterns.writing.job_json.job_planks import plank_figures_told
    from patterns.writing.job_json.job_text import job_text

    figures = {
        "run_mark": job.run_mark,
        "bevel_boards": [board_figures(board) for board in job.boards],
        "setting_up": set_up_figures(job.setting_up),
        "fit": fit_figures(job.fit),
        **({"plank_lines": plank_figures_told(job.plank_figures)} if job.plank_figures else {}),
        **({"moulds": mould_figures_told(job.mould_figures)} if job.mould_figures else {}),
        **({"as_built": built_figures(job.as_built)} if job.as_built else {}),
        "weight_and_floating": afloat_figures(job.afloat),
        "what_to_buy": buying_figures(job.buying),
        "fastening_and_finishing": fastening_figures(job.seams, job.finishing),
    }
    return Made(
        {JOB_JSON: job_text(job.warned, files_by_part(job), job.plan, job.worked, figures, job.read.yard.boards)}
    )


def files_by_part(job: BoatJob) -> Mapping[str, Sequence[str]]:
    """By the file name of a part, or of a piece of a joined panel, the paths of the files it is in."""
    parts, pieces = job.shaped.parts, job.shaped.pieces
    tables = {table.part.file_name: table_names(table.part) for table in job.tables}
    shown, paper = {part.file_name for part in job.printed_parts}, (tiles_name(job.paper), ROLL)

    def of(part: Part, cut: Contours, *others: str) -> tuple[str, ...]:
        if part.as_cut:
            return ()
        printed = paper if part.file_name in shown and others else ()
        return (dxf_name(cut), *others, *tables.get(part.file_name, ()), *printed)

    whole, cut_from = job.contours[: len(parts)], job.contours[len(parts) :]
    return {
        **{one.file_name: of(one, cut, f"svg/{one.file_name}.svg") for one, cut in zip(parts, whole, strict=True)},
        **{one.file_name: of(one, cut) for one, cut in zip(pieces, cut_from, strict=True)},
    }


def cut_list_files(job: BoatJob) -> Iterator[str]:
    """One."""
    yield CUT_LIST


def make_cut_list(job: BoatJob) -> Made:
    """Every piece of wood, its lengths, what it is cut from and what to buy."""
    return Made(
        {
            CUT_LIST: marked_csv(
                cut_list_csv(job.shaped.to_cut, job.plan, job.worked, job.show, job.read.yard.boards), job.run_mark
            )
        }
    )


def fastening_files(job: BoatJob) -> Iterator[str]:
    """One."""
    yield FASTENINGS


def make_fastenings(job: BoatJob) -> Made:
    """Fastenings by seam, glue and finish."""
    text = fastenings_csv(job.seams, job.finishing, job.show)
    return Made({FASTENINGS: marked_csv(text, job.run_mark)})


def bottom_board_files(job: BoatJob) -> Iterator[str]:
    """One, where the bottom is laid of boards."""
    if job.read.boat.skin.planking[-1].boards:
        yield BOTTOM_BOARDS


def make_bottom_boards(job: BoatJob) -> Made:
    """The boards of a bottom laid athwart, each by itself."""
    boards = job.read.boat.skin.planking[-1].boards
    if not boards:
        return Made({})
    panel = job.lofted.part(job.lofted.hull.floor.panel)
    return Made({BOTTOM_BOARDS: marked_csv(boards_csv(bottom_boards(panel, boards), job.show), job.run_mark)})


def faired_files(job: BoatJob) -> Iterator[str]:
    """One."""
    yield FAIRED


def make_faired(job: BoatJob) -> Made:
    """The table of offsets as faired."""
    lofted, form = job.lofted, job.read.table
    text = faired_csv(form, lofted.boat.offsets, lofted.lines, lofted.cuts)
    return Made({FAIRED: f"{text}# run {job.run_mark}{form.newline}"})


def may_be_out_files(job: BoatJob) -> Iterator[str]:
    """One."""
    yield MAY_BE_OUT


def make_may_be_out(job: BoatJob) -> Made:
    """How far each line may be out, bay by bay."""
    lofted = job.lofted
    table = FairedTable(lofted.boat, job.read.table, lofted.lines, lofted.cuts, lofted.suspects, ())
    return Made({MAY_BE_OUT: marked_csv(bands_file(table), job.run_mark)})
