"""What a boat's parts are cut by: the contours of each part and piece, worked out by all the machine's cores."""

from __future__ import annotations

from collections.abc import Sequence

from patterns.geometry.arrays import Floats
from patterns.hull.doubts.suspects import ACCUSED
from patterns.job.processes import in_processes
from patterns.parts.part import Part
from patterns.parts.whole import Job, table_looked_at
from patterns.reading.boat.boat_toml import BoatFile
from patterns.shop.fastening.seams import fastened_places, seams
from patterns.shop.nest.sheets import Piece
from patterns.shop.router.contours import Contours
from patterns.shop.router.router_parts import ready_to_cut


def contours_of(parts: Sequence[Part], job: Job, read: BoatFile) -> tuple[Contours, ...]:
    """The contours of parts of a job, by the rules of the boat's file.

    Raises
    ------
    PatternsError
        Which part no cutter can cut, and why.
    """
    boat = job.boat
    with table_looked_at(boat, least=ACCUSED):
        return ready_to_cut(
            parts,
            read.router,
            boat=boat.name,
            show=boat.show,
            numbers=job.numbers,
            fastenings=_fastenings(job, read),
            through=in_processes,
        )


def _fastenings(job: Job, read: BoatFile) -> dict[str, Floats] | None:
    """Where panels are fastened; None where nothing is bored for that."""
    if read.router.pilot is None:
        return None
    return fastened_places(job, seams(job, read.router, read.fastenings))


def pieces_of(job: Job, contours: Sequence[Contours]) -> list[Piece]:
    """Every piece of wood with its contours, which are known by the part's title."""
    known = {one.title: one for one in contours}
    return [Piece(part, known[part.title]) for part in job.to_cut]
