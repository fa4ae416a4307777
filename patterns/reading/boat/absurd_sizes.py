"""Sizes no boat has: a slip of a unit or of a decimal point sooner than a wish."""

from __future__ import annotations

from collections.abc import Iterator, Mapping

import numpy as np

from patterns.errors import Problem
from patterns.hull.offsets import Offsets
from patterns.reading.toml.boat_tables import BoatToml
from patterns.reading.toml.faults import cell
from patterns.reading.toml.lines_tables import LinesToml
from patterns.reading.toml.toml_lines import Path
from patterns.units.lengths import INCH, write_length

MOST_MOVED = INCH  # mm; over 1/4 in a move is suspect already (common practice, no single source)
OF_BEAM = 1 / 20  # thickest planking or transom, in beams: three times what small boats carry
LONGEST_LEG = 2000.0  # mm from the boat to a strongback; half of it is much
OF_SPACING = 1 / 2  # thickest frame, in least distances between stations
_Size = tuple[Path, float | None, float, str]  # a key, its mm, the most there may be, and why


def faults_of_limit(toml: LinesToml, *, file: str, lines: Mapping[Path, int], show: str) -> Iterator[Problem]:
    """Room for fairing that leaves nothing of the table."""
    further = (("boat", "fair_within"), toml.boat.fair_within, MOST_MOVED, "further, a batten draws another boat")
    yield from _too_large(further, file=file, lines=lines, show=show)


def faults_of_sizes(
    toml: BoatToml, offsets: Offsets, *, file: str, lines: Mapping[Path, int], show: str
) -> Iterator[Problem]:
    """Every size of wood in boat.toml that is out of all proportion to the table of offsets."""
    beam = 2 * max(float(np.nanmax(row.values)) for row in offsets.half_breadths)
    spacing = np.diff([x for _, x in offsets.stations])
    frame = OF_SPACING * float(spacing.min()) if len(spacing) else np.inf
    sizes: list[_Size] = [
        (("frames", "sided"), toml.frames.sided if toml.frames else None, frame, "half the least station spacing"),
        (("frames", "cleat"), toml.frames.cleat if toml.frames else None, frame, "half the least station spacing"),
    ]
    boards = ((("planking", key), table) for key, table in toml.planking.tables)
    ends = (("transom",), toml.transom), (("bow_transom",), toml.bow_transom)
    for key, board in (*boards, *ends):
        thickness = board.thickness if board else None
        sizes.append(((*key, "thickness"), thickness, OF_BEAM * beam, "a twentieth of the beam"))
    high = max(float(np.nanmax(row.values)) for row in offsets.heights)
    top = toml.building.strongback if toml.building else None
    out_of_reach = "a leg longer than that no builder reaches over"
    if top is not None and top > 0.0:
        sizes.append((("building", "strongback"), top, high + LONGEST_LEG, f"above base; {out_of_reach}"))
    elif top is not None and -top > LONGEST_LEG:
        wanted = f"no more than {write_length(LONGEST_LEG, show)} below base ({out_of_reach})"
        yield Problem(cell(file, lines, ("building", "strongback")), write_length(top, show), wanted)
    yield from _too_large(*sizes, file=file, lines=lines, show=show)


def _too_large(*sizes: _Size, file: str, lines: Mapping[Path, int], show: str) -> Iterator[Problem]:
    for path, size, most, why in sizes:
        if size is not None and size > most:
            wanted = f"at most {write_length(most, show)} ({why})"
            yield Problem(cell(file, lines, path), write_length(size, show), wanted)
