"""Whether ``scrieve loft`` can make a boat and its sheets hold the parts, tried without drawings and files."""

from __future__ import annotations

from collections.abc import Sequence

from patterns.cli.cutting import contours_of
from patterns.cli.loft_words import tell_warnings
from patterns.cli.nest import pieces_of, tell_sheets
from patterns.cli.screen import WARNING, paragraph
from patterns.errors import PatternsError
from patterns.parts.whole import Job, loft
from patterns.reading.boat.boat_toml import BoatFile
from patterns.shop.nest.off_sheets import cautions_of_sheets
from patterns.shop.nest.sheets import SheetPlan, too_large
from patterns.shop.router.contours import Contours
from patterns.shop.saw.long_bench import bench


def tell_trial(read: BoatFile) -> None:
    """Say what loft will refuse, in its own words; where it makes the boat, what it will lay on no sheet."""
    try:
        job, contours = _tried(read)
    except PatternsError as error:
        print("", paragraph(WARNING, "scrieve loft will refuse this boat as it stands:"), sep="\n")
        for line in str(error).splitlines():
            print(paragraph("", line))
        return
    off = cautions_of_sheets(job.to_cut, read.sheets, job.boat.show)
    large = too_large(pieces_of(job, contours), read.sheets) if read.sheets else SheetPlan()
    if off or large.left_off:
        print()
        tell_warnings(off)
        tell_sheets(large, job.boat.show)


def _tried(read: BoatFile) -> tuple[Job, Sequence[Contours]]:
    """The job as far as it can fail, and its contours.

    Raises
    ------
    PatternsError
        Why this boat cannot be made.
    """
    job = loft(read.boat)
    contours = contours_of(job, read)
    bench(job.long_pieces, read.bench)
    return job, contours
