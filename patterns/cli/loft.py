"""``scrieve loft``: one boat folder to one job folder."""

from __future__ import annotations

import os
from collections.abc import Sequence
from dataclasses import replace
from pathlib import Path

from patterns.cli.bench import BenchWork, PagesOf, bench_files, bench_work, made_tables, tell_bench_work
from patterns.cli.book import book_files
from patterns.cli.cutting import contours_of
from patterns.cli.drawing_wishes import Drawn
from patterns.cli.loft_words import tell_moves, tell_warnings, tell_written
from patterns.cli.long_work import SAW_SET_UPS, at_bench, bench_pdf, cautions_of_bench, tell_bench, with_verdicts
from patterns.cli.nest import PLACEMENTS, pieces_of, plywood_files, refuse_edited, tell_joints, tell_sheets
from patterns.cli.printed_parts import left_off, on_paper
from patterns.cli.printer import correction_for
from patterns.cli.screen import Screen, screen
from patterns.cli.sheets import ROLL, Wishes, read_scale, sheet_files, tiles_name
from patterns.cli.telling import tell_kept, tell_read
from patterns.cli.workers import begun
from patterns.errors import PatternsError
from patterns.parts.part import Part
from patterns.parts.whole import Job, loft
from patterns.plates.pattern.end_blocks import end_blocks
from patterns.reading.boat.boat_toml import BoatFile, read_boat
from patterns.shop.nest.nesting import Effort
from patterns.shop.nest.off_sheets import cautions_of_sheets
from patterns.shop.nest.sheets import SheetPlan, fill_sheets
from patterns.shop.router.contours import Contours
from patterns.shop.router.router_parts import cautions_of, wholes_apart
from patterns.shop.saw.long_bench import BenchPiece, bench
from patterns.tiling.paper.correction import Correction
from patterns.tiling.paper.paper import PaperSetup
from patterns.tiling.seams.key_plan import called
from patterns.units.lengths import read_length
from patterns.units.papers import paper_name, paper_size
from patterns.writing.folder.job_folder import job_folder

Files = dict[str, bytes | str]

MOST_PROUD = 25.4  # mm; more is a slip of the unit, 1m for 1mm, and would be cut to


def loft_boat(
    boat: Path,
    *,
    out: Path | None,
    paper: str | None,
    printer: str | None,
    one_page: bool,
    svg_tiles: bool,
    scale: str | None,
    only: Sequence[str],
    timbers: bool,
    date: str,
    proud: str | None,
    notes: bool,
    grid: bool,
    pricks: bool,
    quiet: bool,
    half: bool,
) -> None:
    """Read a boat folder, make every pattern, write the job folder, and say what was done.

    Raises
    ------
    PatternsError
        Bad input, a shape that makes no boat, or a folder that cannot be written.
    """
    folder = out or (boat if os.path.isdir(boat) else boat.parent) / "out"
    read = read_boat(boat)
    with screen(quiet=quiet) as terminal, job_folder(folder) as place:
        refuse_edited(folder / "router" / PLACEMENTS)
        small = None if scale is None else read_scale(scale)
        size = read.paper if paper is None else _paper(paper)
        setup = PaperSetup(*paper_size(size), read.margin, read.overlap, size, grid=grid)
        drawn = Drawn(date, _proud(proud), notes=notes, pricks=pricks, half=half or read.half)
        tell_read(read)
        wishes = Wishes(setup, _correction(read, printer, size), read.roll, one_page, svg_tiles, small, read.boat.show)
        terminal.stage("Fairing the lines, laying the planking, shaping the parts")
        job = loft(read.boat)
        tell_moves(job)
        tell_joints(job)
        terminal.stage("Making ready for saw and router")
        contours = contours_of(job, read)
        contours = wholes_apart(contours, job.to_cut)
        made = bench(job.long_pieces, read.bench)
        off_sheets = cautions_of_sheets(job.to_cut, read.sheets, job.boat.show)
        warnings = (*job.warnings, *cautions_of(contours), *cautions_of_bench(made, job.boat.show), *off_sheets)
        job = replace(job, parts=with_verdicts(job.parts, made, job.boat.show), warnings=warnings)
        printed = on_paper(job, only, timbers=timbers)
        wishes = replace(wishes, left_off=left_off(job, printed, only))
        tell_bench(made, job.boat.show)
        files = _files(read, job, contours, made, printed, wishes, drawn, terminal)
        written = place.write(files, used=read.files)
        tell_warnings(job.warnings)
        tell_written(job, folder, written.names)
        tell_kept(folder, place, written)


def _paper(name: str) -> str:
    try:
        return paper_name(name)
    except ValueError as error:
        raise PatternsError(f"--paper: found {name!r}, wanted {error}") from None


def _correction(read: BoatFile, printer: str | None, paper: str) -> Correction | None:
    said = "boat.toml, [printer] name" if printer is None and read.printer else "--printer"
    return correction_for(printer or read.printer or None, said=said, paper=paper)


def _proud(text: str | None) -> float:
    try:
        proud = read_length(text, None).mm if text is not None else 0.0
    except ValueError as error:
        raise PatternsError(f"--proud: found {text!r}, wanted {error}") from None
    if not 0.0 <= proud <= MOST_PROUD:
        raise PatternsError(f"--proud: found {text!r}, wanted what a saw leaves, from 0 mm to 1 in (25.4 mm)")
    return proud


def _files(
    read: BoatFile,
    job: Job,
    contours: tuple[Contours, ...],
    worked: tuple[BenchPiece, ...],
    printed: Sequence[Part],
    wishes: Wishes,
    drawn: Drawn,
    terminal: Screen,
) -> Files:
    from patterns.writing.ink.svg import svg_text
    from patterns.writing.job_json.job_text import job_text
    from patterns.writing.report.fair_tables import FairedTable, bands_file
    from patterns.writing.tables.cut_list_csv import CUT_LIST, cut_list_csv
    from patterns.writing.tables.faired_csv import faired_csv

    with begun(lambda: _wood(read, job, contours)) as wood, begun(lambda: _for_bench(read, job, wishes)) as for_bench:
        terminal.stage("Drawing the patterns")
        drawings = drawn.drawings(job, worked)
        files: Files = {}
        files |= {_svg_name(part): svg_text(drawing) for part, drawing in zip(job.parts, drawings, strict=True)}
        blocks = {piece.part.file_name: end_blocks(piece, boat=job.boat.name) for piece in job.long_pieces}
        files |= {f"svg/{block.file_name}.svg": svg_text(block) for own in blocks.values() for block in own}
        if read.sheets:
            terminal.stage("Laying parts on sheets")
        plan, on_wood = wood()
        work, on_bench, found = for_bench()
    files |= on_wood | on_bench
    tables = made_tables(work)
    shown = {part.file_name for part in printed}
    on_sheets = [drawing for drawing in drawings if drawing.file_name in shown]
    on_sheets += [block for name, own in blocks.items() if name in shown for block in own]
    terminal.stage("Laying the patterns on paper")
    halved = drawn.halved(job, drawings, wishes.room)
    with begun(lambda: bench_pdf(worked, at_bench(wishes), boat=job.boat.name)) as bench_sheets:
        sheets = sheet_files(job.parts, on_sheets, wishes, boat=job.boat.name, halved=halved)
        files |= sheets.files
        if worked:
            files[SAW_SET_UPS], set_ups = bench_sheets()
            found = {**found, SAW_SET_UPS: set_ups}
    paper = (tiles_name(wishes.paper), ROLL)
    made: dict[str, tuple[str, ...]] = {
        name: (_dxf_name(cut), f"svg/{name}.svg", *tables.get(name, ()), *(paper if name in shown else ()))
        for name, cut in zip((d.file_name for d in drawings), contours, strict=False)
    }  # contours of the pieces come after those of the parts
    made |= {
        piece.file_name: (_dxf_name(cut), *tables.get(piece.file_name, ()))
        for piece, cut in zip(job.pieces, contours[len(job.parts) :], strict=True)
    }
    files["job.json"] = job_text(job, made, plan, worked, work.figures)
    files[CUT_LIST] = cut_list_csv(job.to_cut, plan, worked, job.boat.show)
    files["offsets-faired.csv"] = faired_csv(read.table, job.boat.offsets, job.lines, job.cuts)
    table = FairedTable(job.boat, read.table, job.lines, job.cuts, job.suspects, ())
    files["tables/lines-may-be-out.csv"] = bands_file(table)
    terminal.stage("Writing the job book")
    found = {**found, paper[0]: sheets.pages, ROLL: sheets.on_roll}
    files |= book_files(read, job, plan, worked, work, made=made, pages=found, written=files, paper=wishes.paper)
    return files


def _wood(read: BoatFile, job: Job, contours: Sequence[Contours]) -> tuple[SheetPlan, Files]:
    """What a router cuts, each part by itself and laid on sheets; the sheets are told."""
    from patterns.writing.ink.dxf import write_dxf

    plan = _plywood(read, job, contours)
    files: Files = {_dxf_name(cut): write_dxf(cut) for cut in contours}
    return plan, files | plywood_files(plan, boat=job.boat.name, show=job.boat.show, router="router/", pictures="svg/")


def _for_bench(read: BoatFile, job: Job, wishes: Wishes) -> tuple[BenchWork, Files, PagesOf]:
    """Tables, boards, setting up and fit, and their files; what was proved is told."""
    work, on = bench_work(read, job), at_bench(wishes)
    tell_bench_work(work)
    if on is not wishes:
        small, takes = called(wishes.paper), called(on.paper)
        print(f"       {small} is too small for bench sheets, bevel boards and setting up: they are on {takes}.")
    return work, *bench_files(work, on.paper, on.correction)


def _plywood(read: BoatFile, job: Job, contours: Sequence[Contours]) -> SheetPlan:
    """The sheets that plywood parts are cut from, where the builder names sheets."""
    if read.sheets is None:
        return SheetPlan()
    plan = fill_sheets(pieces_of(job, contours), read.sheets, Effort.QUICK)
    tell_sheets(plan, job.boat.show)
    return plan


def _svg_name(part: Part) -> str:
    return f"svg/{part.file_name}.svg"


def _dxf_name(cut: Contours) -> str:
    return f"router/{cut.file_name}.dxf"
