"""What a router cuts: each part by itself, and sheets of plywood with the parts laid on them."""

from __future__ import annotations

from collections.abc import Iterator

from patterns.job.boat_job import BoatJob
from patterns.job.products.made import Files, Made
from patterns.job.shared.bench_pages import bench_paper
from patterns.job.told import OnNoSheet, OnSheet
from patterns.plates.bench.cut_plan_pages import CutPlan, cut_plan_pages
from patterns.shop.nest.off_sheets import Named, in_kinds, named
from patterns.shop.nest.sheet_pictures import sheet_picture, sheet_title
from patterns.shop.nest.sheets import NO_ROOM, SheetPlan
from patterns.shop.router.contours import Contours
from patterns.shop.stock.cut_list import off_sheets

PLACEMENTS, CUT_PLAN = "placements.toml", "cut-plan.pdf"


def router_files(job: BoatJob) -> Iterator[str]:
    """A file for each part and each piece of a joined panel."""
    contours = _to_cut(job)
    yield from map(dxf_name, contours)
    if job.read.router.svg:
        yield from map(_svg_name, contours)


def make_router(job: BoatJob) -> Made:
    """Each part by itself as DXF, and as SVG where that is asked for."""
    from patterns.writing.ink.cut_svg import write_cut_svg
    from patterns.writing.ink.dxf import write_dxf

    form, run, contours = job.read.router.form, job.run_mark, _to_cut(job)
    files: dict[str, bytes | str] = {dxf_name(one): write_dxf(one, form, run=run) for one in contours}
    if job.read.router.svg:
        files |= {_svg_name(one): write_cut_svg(one, form, run=run) for one in contours}
    return Made(files)


def _to_cut(job: BoatJob) -> tuple[Contours, ...]:
    """The contours of what is not cut already."""
    parts = (*job.lofted.parts, *job.lofted.pieces)
    return tuple(one for part, one in zip(parts, job.contours, strict=True) if not part.as_cut)


def dxf_name(contours: Contours) -> str:
    return f"router/{contours.file_name}.dxf"


def _svg_name(contours: Contours) -> str:
    return f"router/{contours.file_name}.svg"


def sheet_files(job: BoatJob) -> Iterator[str]:
    """Two files for each sheet, and where the parts lie."""
    for sheet in job.plan.sheets:
        yield from (f"router/{sheet.file_name(job.name)}.dxf", f"svg/sheet-{sheet.number}.svg")
        if job.read.router.svg:
            yield f"router/{sheet.file_name(job.name)}.svg"
    if job.plan.sheets:
        yield from (f"router/{PLACEMENTS}", f"router/{CUT_PLAN}")


def make_sheets(job: BoatJob) -> Made:
    """The builder's sheets of plywood with the parts laid on them, as DXF and as pictures."""
    files = plywood_files(job, job.plan, router="router/", pictures="svg/")
    return Made(files, tuple(sheets_told(job.plan, job.show)))


def plywood_files(job: BoatJob, plan: SheetPlan, *, router: str, pictures: str) -> Files:
    """Every file of the sheets of a plan, under the folders ``router`` and ``pictures``, such as "router/"."""
    from patterns.writing.ink.cut_svg import write_cut_sheet
    from patterns.writing.ink.dxf import write_sheet
    from patterns.writing.ink.svg import picture_text
    from patterns.writing.tables.placements_toml import placements_toml

    files: dict[str, bytes | str] = {}
    run, form = job.run_mark, job.read.router.form
    margin = job.read.sheets.clearances.margin if job.read.sheets else 0.0
    for sheet in plan.sheets:
        lying = [contours for _, contours in sheet.lying]
        words = (f"sheet {sheet.number}", f"{sheet.thickness:.4g} mm {sheet.material}", f"run {run}")
        files[f"{router}{sheet.file_name(job.name)}.dxf"] = write_sheet(
            lying, sheet.stock, words, form, run=run, margin=margin
        )
        if job.read.router.svg:
            title = f"{job.name}: {sheet_title(sheet, job.show)}"
            files[f"{router}{sheet.file_name(job.name)}.svg"] = write_cut_sheet(
                lying, sheet.stock, title, form, run=run
            )
        files[f"{pictures}sheet-{sheet.number}.svg"] = picture_text(sheet_picture(sheet, job.show), run=run)
    if plan.sheets:
        files[f"{router}{PLACEMENTS}"] = placements_toml(plan, boat=job.name)
        files[f"{router}{CUT_PLAN}"] = _cut_plan(job, plan)
    return files


def _cut_plan(job: BoatJob, plan: SheetPlan) -> bytes:
    """The pages a shop reads beside the sheets."""
    from patterns.writing.ink.pdf import pdf_bytes

    names = {sheet.number: f"{sheet.file_name(job.name)}.dxf" for sheet in plan.sheets}
    rest = tuple(in_kinds(map(named, off_sheets(job.shaped.to_cut, plan))))
    drawings = cut_plan_pages(CutPlan(job.marked_name, job.show, plan, job.read.router, names, rest))
    pages = job.at_bench.pages([bench_paper(drawing, job.at_bench.room) for drawing in drawings])
    return pdf_bytes(pages, title=f"{job.name}: cut plan", subject="pages for a router shop, pictures not full size")


def sheets_told(plan: SheetPlan, show: str) -> Iterator[OnSheet | OnNoSheet]:
    """Each sheet with its largest offcut; then what is on none, by reason."""
    for sheet in plan.sheets:
        left = next(((one.length, one.width) for one in sheet.left[:1]), None)
        yield OnSheet(sheet_title(sheet, show), left)
    for why, pieces in left_off_by_reason(plan).items():
        # What needs one more sheet is named part by part; of what comes from boards it is enough to say what kind.
        no_room = why == NO_ROOM
        yield OnNoSheet(why, tuple([piece.name for piece in pieces] if no_room else in_kinds(pieces)), no_room)


def left_off_by_reason(plan: SheetPlan) -> dict[str, list[Named]]:
    """The parts on no sheet, by why they are on none."""
    reasons: dict[str, list[Named]] = {}
    for piece, why in plan.left_off:
        reasons.setdefault(why, []).append(piece)
    return reasons
