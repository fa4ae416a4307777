"""A boat's plywood parts on the builder's sheets, without the rest of the job."""

from __future__ import annotations

from collections.abc import Sequence
from pathlib import Path

from patterns.errors import PatternsError
from patterns.job.boat_job import BoatJob
from patterns.job.making import Steps, joints
from patterns.job.products.made import Made
from patterns.job.products.wood_files import left_off_by_reason, plywood_files, sheets_told
from patterns.job.shared.cutting import contours_of, pieces_of
from patterns.job.told import Stage, Warned
from patterns.parts.cautions import Caution
from patterns.reading.settings.read_placements import read_placements
from patterns.shop.nest.nesting import Effort
from patterns.shop.nest.off_sheets import cautions_of_sheets, in_kinds
from patterns.shop.nest.sheet_stock import SheetRoom
from patterns.shop.nest.sheets import Piece, SheetPlan, fill_as_placed, fill_sheets
from patterns.shop.router.router_parts import cautions_of


def nest_steps(job: BoatJob, effort: Effort, placements: Path | None = None) -> Steps:
    """Lay the parts on sheets, or check and take them as a placement file has them.

    Raises
    ------
    PatternsError
        No sheets, nothing to lay on them, or placements that cannot be cut.
    """
    room = sheets_asked(job)
    lofted = job.lofted
    contours = contours_of(lofted.to_cut, lofted, job.read)
    off = cautions_of_sheets(lofted.to_cut, room, job.show)
    yield Warned((*lofted.warnings, *cautions_of(contours), *off))
    yield from joints(lofted)
    yield Stage.ON_SHEETS
    plan = _plan(pieces_of(lofted, contours), room, effort, placements)
    if not plan.sheets:
        raise PatternsError(_nothing_to_lay(plan, off))
    yield from sheets_told(plan, job.show)
    yield Made(plywood_files(job, plan, router="", pictures=""))


def sheets_asked(job: BoatJob) -> SheetRoom:
    """The sheets that boat.toml names.

    Raises
    ------
    PatternsError
        It names none.
    """
    if job.read.sheets is None:
        raise PatternsError("boat.toml, [stock]: found no sheet, expected sheet or sheets to lay parts on")
    return job.read.sheets


def _plan(pieces: Sequence[Piece], room: SheetRoom, effort: Effort, placements: Path | None) -> SheetPlan:
    if placements is None:
        return fill_sheets(pieces, room, effort)
    return fill_as_placed(pieces, room, read_placements(placements, room))


def _nothing_to_lay(plan: SheetPlan, off: Sequence[Caution]) -> str:
    """Why every sheet would stay empty, a reason a line, each with its cure."""
    reasons = [f"  {one.where}: {one.text}" for one in off]
    reasons += [f"  {'; '.join(in_kinds(some))}: {why}." for why, some in left_off_by_reason(plan).items()]
    expected = "boat.toml, [stock]: found no part that its sheets hold, expected at least one. The reasons:"
    return "\n".join([expected, *reasons])
