"""Fastening lines on the patterns of panels, broken where no fastening goes."""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from dataclasses import replace

import numpy as np
import shapely

from patterns.parts.part import Mark, Part
from patterns.parts.role import MarkKind
from patterns.shop.fastening.seam import Seam
from patterns.units.lengths import write_length

LEAST_RUN = 5.0  # mm; a shorter one holds no fastening that the line beside it does not
TOLD = (
    "Fasten along the fastening lines. Where a line is broken no fastening goes: a notch, a joint or an edge to be "
    "planed is too near."
)


def with_fastening_lines(parts: Sequence[Part], seams: Sequence[Seam], show: str) -> tuple[Part, ...]:
    """The parts; panels with a mark along each run of their seams where a fastening may stand."""
    return tuple(_with_lines(part, [seam for seam in seams if seam.part == part.title], show) for part in parts)


def _with_lines(part: Part, seams: Sequence[Seam], show: str) -> Part:
    marks = tuple(mark for seam in seams if seam.clear is not None for mark in _marks(seam, show))
    return replace(part, marks=(*part.marks, *marks), remarks=(*part.remarks, TOLD)) if marks else part


def _marks(seam: Seam, show: str) -> Iterator[Mark]:
    """The longest run says how many fastenings its whole seam has."""
    runs = [line for line in shapely.get_parts(seam.clear) if line.length > LEAST_RUN]
    runs.sort(key=lambda line: -line.length)
    words = f"{seam.count} fastenings, {write_length(seam.spacing, show)} apart"
    for number, line in enumerate(runs):
        yield Mark("" if number else words, np.asarray(line.coords), MarkKind.FASTENED)
