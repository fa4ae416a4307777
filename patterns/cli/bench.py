"""What a job holds for the bench: layout tables, bevel boards, the setting-up sheet, the fit report."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass
from typing import Any

from patterns.cli.screen import in_rows
from patterns.parts.part import Part
from patterns.parts.whole import Job
from patterns.plates.bench.bevel_board import bevel_strips
from patterns.plates.bench.layout_drawing import layout_drawing
from patterns.plates.bench.set_up_pages import set_up_sheets
from patterns.plates.bench.twist_picture import twist_picture
from patterns.reading.boat.boat_toml import BoatFile
from patterns.shop.fit.fit_report import FitReport, fit_report
from patterns.shop.layout.bevel_boards import BevelBoard, bevel_boards
from patterns.shop.layout.layout_tables import LayoutTable, layout_table, worth_a_table
from patterns.shop.layout.setting_up import SettingUp, setting_up
from patterns.tiling.paper.correction import Correction
from patterns.tiling.paper.page import first_pages
from patterns.tiling.paper.paper import PaperSetup
from patterns.tiling.paper.stacked import room, stacked
from patterns.writing.job_json.job_fit import board_figures, fit_figures, set_up_figures
from patterns.writing.report.fit_csv import fit_csv
from patterns.writing.report.fit_marks import FIT_CSV
from patterns.writing.report.fit_sections import fit_words
from patterns.writing.tables.layout_csv import layout_csv

Files = dict[str, bytes | str]
PagesOf = Mapping[str, Mapping[str, tuple[int, int]]]  # by a file, by a part in it, its first and last page

WIDE = 80  # columns of a terminal
UNDER = " " * 7
BEVEL_BOARDS, SETTING_UP = "paper/bevel-boards.pdf", "paper/setting-up.pdf"
ON_BOARDS = "Stock of the gauge along the heavy line, wood on the left of each thin one: the blade lies along that."


@dataclass(frozen=True, slots=True, eq=False)
class BenchWork:
    """All of a job that is for the bench and is no pattern."""

    tables: tuple[LayoutTable, ...]
    boards: tuple[BevelBoard, ...]
    setting_up: SettingUp
    fit: FitReport

    @property
    def figures(self) -> Mapping[str, Any]:
        """What job.json says of it."""
        return {
            "bevel_boards": [board_figures(board) for board in self.boards],
            "setting_up": set_up_figures(self.setting_up),
            "fit": fit_figures(self.fit),
        }


def bench_work(read: BoatFile, job: Job) -> BenchWork:
    """Made from the parts: nothing of it moves wood that the patterns do not."""
    show = job.boat.show
    return BenchWork(layout_tables(read, job), bevel_boards(job.parts, show=show), setting_up(job), fit_report(job))


def layout_tables(read: BoatFile, job: Job) -> tuple[LayoutTable, ...]:
    """A table for each part laid out by itself, whole and as the pieces it is joined from."""
    parts = [part for part in (*job.parts, *job.pieces) if worth_a_table(part)]
    return tuple(layout_table(part, room=read.sheets, show=job.boat.show) for part in parts)


def bench_files(work: BenchWork, paper: PaperSetup, correction: Correction | None) -> tuple[Files, PagesOf]:
    """Files for the bench, by their names in the job's folder, and on which page of them a part is found by name."""
    from patterns.writing.ink.pdf import pdf_bytes
    from patterns.writing.ink.svg import picture_text

    files: Files = {}
    for table in work.tables:
        names = table_names(table.part)
        files |= {names[0]: layout_csv(table), names[1]: picture_text(layout_drawing(table))}
    boat, show = work.setting_up.boat, work.setting_up.show
    files[FIT_CSV] = fit_csv(work.fit.meetings, show)
    fitting = correction.room(paper) if correction else paper
    width = room(fitting)[0]
    strips = [(board.name, strip) for board in work.boards for strip in bevel_strips(board, width=width, show=show)]
    boards = stacked(
        [strip for _, strip in strips], fitting, boat=boat, title="bevel boards", note=ON_BOARDS, in_order=False
    )
    blocks = list(set_up_sheets(work.setting_up, width=width))
    steps = stacked(blocks, fitting, boat=boat, title="setting up")
    for name, title, pages in ((BEVEL_BOARDS, "bevel boards", boards.pages), (SETTING_UP, "setting up", steps.pages)):
        if pages:
            corrected = [correction.sheet(page, paper) for page in pages] if correction else pages
            files[name] = pdf_bytes(corrected, title=f"{boat}: {title}", subject="for the bench, full size")
    for skin in work.fit.skins:
        picture = twist_picture(skin, show)
        files[f"svg/{picture.file_name}.svg"] = picture_text(picture)
    on_boards = first_pages([name for name, _ in strips], boards.numbers)
    at_steps = first_pages([block.title for block in blocks], steps.numbers)
    standing = {name: at_steps[f"step {step.number}"] for step in work.setting_up.steps for name in step.of}
    return files, {BEVEL_BOARDS: on_boards, SETTING_UP: standing}


def table_names(part: Part) -> tuple[str, str]:
    """Its table, and the drawing that belongs to it."""
    return f"tables/{part.file_name}.csv", f"tables/{part.file_name}.svg"


def made_tables(work: BenchWork) -> dict[str, tuple[str, ...]]:
    """By the file name of a part that has a table, the files of it."""
    return {table.part.file_name: table_names(table.part) for table in work.tables}


def tell_bench_work(work: BenchWork) -> None:
    """What was proved of the fit, and what setting up has assumed."""
    for words in fit_words(work.fit, work.setting_up.show):
        print(*in_rows(words, WIDE, under=UNDER), sep="\n")
    if work.setting_up.assumed:
        print(*in_rows(f"not given, so taken: {work.setting_up.assumed}", WIDE, first=UNDER, under=UNDER), sep="\n")
