"""What the tables of frames must agree on with each other."""

from __future__ import annotations

from collections.abc import Iterator, Mapping, Sequence

from patterns.errors import Problem
from patterns.parts.asked.rules import Way
from patterns.reading.toml.faults import cell
from patterns.reading.toml.frame_tables import BuildingTable, OneFrameTable
from patterns.reading.toml.toml_lines import Path
from patterns.reading.wording import one_of, quoted


def faults_of_own_frames(
    own: Sequence[OneFrameTable], names: Sequence[str], file: str, lines: Mapping[Path, int]
) -> Iterator[Problem]:
    """Frames with rules of their own must be frames of the boat, each once."""
    seen: set[str] = set()
    for number, one in enumerate(own):
        where = cell(file, lines, ("frame", number, "station"))
        if one.station not in names:
            yield Problem(where, quoted(one.station), f"{one_of(names, one.station)}, as in [frames] stations")
        elif one.station in seen:
            yield Problem(where, f"{quoted(one.station)} again", "each frame once")
        seen.add(one.station)


def faults_of_building(table: BuildingTable | None, file: str, lines: Mapping[Path, int]) -> Iterator[Problem]:
    """A boat built upside down stands on its strongback at a height."""
    if table is not None and table.way is Way.UPSIDE_DOWN and table.strongback is None:
        where = cell(file, lines, ("building", "strongback"))
        yield Problem(where, "nothing", "how high the strongback's top lies above base, the boat seen right side up")
