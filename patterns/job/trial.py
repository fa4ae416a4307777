"""Whether a boat can be made and sheets hold its parts, tried without drawings and files."""

from __future__ import annotations

from dataclasses import dataclass

from patterns.errors import PatternsError
from patterns.job.boat_job import BoatJob
from patterns.job.products.wood_files import sheets_told
from patterns.job.shared.cutting import pieces_of
from patterns.job.told import OnNoSheet, OnSheet
from patterns.parts.cautions import Caution
from patterns.shop.nest.off_sheets import cautions_of_sheets
from patterns.shop.nest.sheets import too_large


@dataclass(frozen=True, slots=True)
class Trial:
    """What came of it."""

    refused: str = ""  # why the boat cannot be made; empty where it can
    cautions: tuple[Caution, ...] = ()  # of parts that no sheet is for
    on_none: tuple[OnSheet | OnNoSheet, ...] = ()  # parts that no sheet holds


def tried(job: BoatJob) -> Trial:
    """The job as far as it can fail, and each part on a bare sheet."""
    try:
        contours, _ = job.contours, job.worked
    except PatternsError as error:
        return Trial(refused=str(error))
    lofted, room = job.lofted, job.read.sheets
    if room is None:
        return Trial()
    large = too_large(pieces_of(lofted, contours), room)
    off = cautions_of_sheets(lofted.to_cut, room, job.show)
    return Trial("", off, tuple(sheets_told(large, job.show)))
