"""``scrieve nest``: the boat's parts on the builder's sheets. ``scrieve loft`` does the same with the quick effort."""

from __future__ import annotations

import os
from collections.abc import Sequence
from pathlib import Path

from patterns.cli.loft_words import tell_warnings
from patterns.cli.screen import WARNING, paragraph
from patterns.cli.telling import tell_kept, tell_read
from patterns.errors import PatternsError
from patterns.parts.cautions import Caution
from patterns.parts.whole import Job, loft
from patterns.reading.boat.boat_toml import BoatFile, read_boat
from patterns.reading.settings.read_placements import read_placements
from patterns.shop.nest.nesting import Effort
from patterns.shop.nest.off_sheets import cautions_of_sheets, in_kinds
from patterns.shop.nest.sheet_pictures import sheet_picture, sheet_title
from patterns.shop.nest.sheet_stock import SheetRoom
from patterns.shop.nest.sheets import NO_ROOM, Piece, SheetPlan, fill_as_placed, fill_sheets
from patterns.shop.router.contours import Contours
from patterns.shop.router.router_parts import cautions_of, ready_to_cut
from patterns.units.lengths import write_length
from patterns.writing.folder.job_folder import job_folder
from patterns.writing.ink.dxf import write_sheet
from patterns.writing.ink.svg import picture_text
from patterns.writing.report.joint_words import joints_told
from patterns.writing.tables.placements_toml import is_edited, placements_toml

Files = dict[str, bytes | str]

PLACEMENTS = "placements.toml"


def nest_boat(boat: Path, *, out: Path | None, effort: str, placements: Path | None) -> None:
    """Lay a boat's parts on sheets, or prove a placement file, and write the sheets.

    Raises
    ------
    PatternsError
        Bad input, no sheets, placements that cannot be cut, or a folder that cannot be written.
    """
    read = read_boat(boat)
    if read.sheets is None:
        raise PatternsError("boat.toml, [stock]: found no sheet, wanted sheet or sheets to lay parts on")
    folder = out or (boat if os.path.isdir(boat) else boat.parent) / "sheets"
    with job_folder(folder) as place:
        refuse_edited(folder / PLACEMENTS, but=placements)
        plan, job = _on_sheets(read, read.sheets, effort, placements)
        files = plywood_files(plan, boat=job.boat.name, show=job.boat.show, router="", pictures="")
        written = place.write(files, used=(*read.files, *([placements] if placements else [])))
        print(f"Wrote  {len(plan.sheets)} sheets, a picture of each, and {PLACEMENTS} to {folder}.")
        tell_kept(folder, place, written)


def _on_sheets(read: BoatFile, room: SheetRoom, effort: str, placements: Path | None) -> tuple[SheetPlan, Job]:
    """The boat's parts laid on sheets, or proved as a placement file has them; told."""
    tell_read(read)
    job = loft(read.boat)
    contours = ready_to_cut(job.to_cut, read.router, boat=job.boat.name, show=job.boat.show, numbers=job.numbers)
    pieces = pieces_of(job, contours)
    off = cautions_of_sheets(job.to_cut, room, job.boat.show)
    tell_warnings((*job.warnings, *cautions_of(contours), *off))
    tell_joints(job)
    print("Laying parts on sheets ...", flush=True)
    if placements is None:
        plan = fill_sheets(pieces, room, Effort[effort.upper()])
    else:
        plan = fill_as_placed(pieces, room, read_placements(placements, room))
    if not plan.sheets:
        raise PatternsError(_nothing_to_lay(plan, off))
    tell_sheets(plan, job.boat.show)
    return plan, job


def _nothing_to_lay(plan: SheetPlan, off: Sequence[Caution]) -> str:
    """Why every sheet would stay empty, a reason a line, each with its cure."""
    reasons = [f"  {one.where}: {one.text}" for one in off]
    reasons += [f"  {'; '.join(in_kinds(names))}: {why}." for why, names in _by_reason(plan).items()]
    expected = "boat.toml, [stock]: found no part to lay on its sheets, expected at least one of their material"
    return "\n".join([expected, *reasons])


def _by_reason(plan: SheetPlan) -> dict[str, list[str]]:
    reasons: dict[str, list[str]] = {}
    for name, why in plan.left_off:
        reasons.setdefault(why, []).append(name)
    return reasons


def refuse_edited(file: Path, *, but: Path | None = None) -> None:
    """A placement file edited by hand is not written over, unless it is the one (``but``) the sheets are made by.

    Raises
    ------
    PatternsError
        It would be.
    """
    if not file.is_file() or (but is not None and but.exists() and file.samefile(but)):
        return
    if is_edited(file.read_text(encoding="utf-8", errors="replace")):
        raise PatternsError(
            f"{file}: has been edited since it was written, and would be lost; move it away, or have the sheets made "
            f"by it: scrieve nest BOAT --placements {file}"
        )


def pieces_of(job: Job, contours: Sequence[Contours]) -> list[Piece]:
    """Every piece of wood with its contours, which are known by the part's title."""
    known = {one.title: one for one in contours}
    return [Piece(part, known[part.title]) for part in job.to_cut]


def plywood_files(plan: SheetPlan, *, boat: str, show: str, router: str, pictures: str) -> Files:
    """Every file of the sheets, under the folders ``router`` and ``pictures``, such as "router/"."""
    files: Files = {}
    for sheet in plan.sheets:
        lying = [contours for _, contours in sheet.lying]
        words = (f"sheet {sheet.number}", f"{sheet.thickness:.4g} mm {sheet.material}")
        files[f"{router}sheet-{sheet.number}.dxf"] = write_sheet(lying, sheet.stock, words)
        files[f"{pictures}sheet-{sheet.number}.svg"] = picture_text(sheet_picture(sheet, show))
    if plan.sheets:
        files[f"{router}{PLACEMENTS}"] = placements_toml(plan, boat=boat)
    return files


def tell_joints(job: Job) -> None:
    """Every joint, a paragraph each."""
    for words in joints_told(job):
        print(paragraph("Joined", words))


def tell_sheets(plan: SheetPlan, show: str) -> None:
    """Each sheet with its largest offcut; then what is on none, by reason."""
    for sheet in plan.sheets:
        left = [f"{write_length(o.length, show)} x {write_length(o.width, show)}" for o in sheet.left[:1]]
        print(paragraph("", f"{sheet_title(sheet, show)}{''.join(f'; largest piece left {size}' for size in left)}"))
    for why, names in _by_reason(plan).items():
        # What wants one more sheet is named piece by piece; of what comes from boards it is enough to say what kind.
        lost = why == NO_ROOM
        named = "; ".join(names if lost else in_kinds(names))
        print(paragraph(WARNING if lost else "", f"on no sheet, because {why}: {named}"))
