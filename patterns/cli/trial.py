"""Whether ``scrieve loft`` can make a boat, found by trying it without drawings and files."""

from __future__ import annotations

from patterns.cli.hands import by_many_hands
from patterns.cli.loft_words import tell_warnings
from patterns.cli.screen import WARNING, paragraph
from patterns.errors import PatternsError
from patterns.parts.whole import Job, loft
from patterns.reading.boat_toml import BoatFile
from patterns.shop.long_bench import bench
from patterns.shop.off_sheets import cautions_of_sheets
from patterns.shop.router_parts import ready_to_cut


def tell_trial(read: BoatFile) -> None:
    """Say what loft will refuse, in its own words; where it makes the boat, what it will lay on no sheet."""
    try:
        job = _tried(read)
    except PatternsError as error:
        print("", paragraph(WARNING, "scrieve loft will refuse this boat as it stands:"), sep="\n")
        for line in str(error).splitlines():
            print(paragraph("", line))
        return
    if off := cautions_of_sheets(job.to_cut, read.sheets, job.boat.show):
        print()
        tell_warnings(off)


def _tried(read: BoatFile) -> Job:
    """The job as far as it can fail.

    Raises
    ------
    PatternsError
        Why this boat cannot be made.
    """
    job = loft(read.boat)
    ready_to_cut(
        (*job.parts, *job.pieces),
        read.router,
        boat=job.boat.name,
        show=job.boat.show,
        numbers=job.numbers,
        through=by_many_hands,
    )
    bench(job.long_pieces, read.bench)
    return job
