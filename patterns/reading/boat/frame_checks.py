"""What the tables of frames must agree on with each other."""

from __future__ import annotations

from collections.abc import Iterator, Mapping, Sequence

from patterns.errors import Problem
from patterns.parts.asked.rules import FrameKind, Way
from patterns.reading.toml.faults import cell
from patterns.reading.toml.frame_tables import BuildingTable, FramesTable, OneFrameTable
from patterns.reading.toml.toml_lines import Path
from patterns.reading.wording import one_of, quoted
from patterns.units.lengths import write_length


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


def faults_of_building(
    table: BuildingTable | None,
    heads: Mapping[str, float],
    *,
    file: str,
    lines: Mapping[Path, int],
    show: str,
) -> Iterator[Problem]:
    """A boat built upside down stands on its strongback at a height, and cross spalls lie between it and the boat.

    Parameters
    ----------
    heads : mapping of str to float
        mm above base, the table's sheer where each frame stands, by the frame's name.
    """
    if table is None:
        return
    down = table.way is Way.UPSIDE_DOWN
    if down and table.strongback is None:
        where = cell(file, lines, ("building", "strongback"))
        yield Problem(where, "nothing", "how high the strongback's top lies above base, the boat seen right side up")
    elif down and table.strongback is not None and _legless(table.strongback, heads):
        name = max(heads, key=lambda one: heads[one])
        found, high = (write_length(mm, show) for mm in (table.strongback, heads[name]))
        wanted = (
            f"more than {high} above base, the height of the sheer at '{name}', and room for legs: frames and moulds "
            "stand on the strongback bottom up"
        )
        yield Problem(cell(file, lines, ("building", "strongback")), found, wanted)
    elif table.spall is not None and table.strongback is not None:
        past = table.spall >= table.strongback if down else table.spall <= table.strongback
        if past:
            found, top = (write_length(mm, show) for mm in (table.spall, table.strongback))
            wanted = (
                f"less than the {top} above base at which the legs end on the strongback"
                if down
                else f"more than the {top} above base at which the strongback's top lies"
            )
            yield Problem(cell(file, lines, ("building", "spall")), found, wanted)


def _legless(strongback: float, heads: Mapping[str, float]) -> bool:
    """Whether legs from the sheer could not reach the strongback. One sheer above it may be a slip in the table."""
    return sum(head >= strongback for head in heads.values()) >= min(2, max(1, len(heads)))


def faults_of_boards(
    table: FramesTable | None, own: Sequence[OneFrameTable], file: str, lines: Mapping[Path, int]
) -> Iterator[Problem]:
    """Boards for moulds that have no opening: only open ones are got out of boards."""
    if table is None or table.mould_board is None:
        return
    kinds = {table.kind, *(one.kind for one in own if one.kind)}
    if FrameKind.MOULD in kinds and table.mould != "open":
        said = "mould" in table.model_fields_set
        found = quoted(table.mould) if said else f"nothing, which stands for {quoted(table.mould)}"
        wanted = "'open': only open moulds are got out of boards, as mould_board asks"
        yield Problem(cell(file, lines, ("frames", "mould")), found, wanted)
