"""What a boat's parts are cut by: the contours of every part and piece, worked out by all the machine's cores."""

from __future__ import annotations

from collections.abc import Sequence

from patterns.cli.workers import by_many_hands
from patterns.hull.doubts.suspects import ACCUSED
from patterns.parts.whole import Job, table_looked_at
from patterns.reading.boat.boat_toml import BoatFile
from patterns.shop.router.contours import Contours
from patterns.shop.router.router_parts import ready_to_cut


def contours_of(job: Job, read: BoatFile) -> Sequence[Contours]:
    """The contours of every part and of every piece it is joined of, by the rules of the boat's file.

    Raises
    ------
    PatternsError
        Which part no cutter can cut, and why.
    """
    with table_looked_at(job.boat, least=ACCUSED):
        return ready_to_cut(
            (*job.parts, *job.pieces),
            read.router,
            boat=job.boat.name,
            show=job.boat.show,
            numbers=job.numbers,
            through=by_many_hands,
        )
