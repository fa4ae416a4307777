"""Whether ``scrieve loft`` can make a boat, found by trying it without drawings and files."""

from __future__ import annotations

from patterns.cli.hands import by_many_hands
from patterns.cli.screen import WARNING, paragraph
from patterns.errors import PatternsError
from patterns.parts.whole import loft
from patterns.reading.boat_toml import BoatFile
from patterns.shop.long_bench import bench
from patterns.shop.router_parts import ready_to_cut


def tell_refusal(read: BoatFile) -> None:
    """Say what loft will refuse, in its own words; say nothing where it makes the boat."""
    refusal = refusal_of(read)
    if refusal:
        print("", paragraph(WARNING, "scrieve loft will refuse this boat as it stands:"), sep="\n")
        for line in refusal.splitlines():
            print(paragraph("", line))


def refusal_of(read: BoatFile) -> str:
    """Why this boat cannot be made; empty where it can."""
    try:
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
    except PatternsError as error:
        return str(error)
    return ""
