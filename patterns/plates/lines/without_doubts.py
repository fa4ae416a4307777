"""A line as it would run otherwise: without an offset that is in doubt, or eased against twist."""

from __future__ import annotations

from collections.abc import Iterable, Iterator

import numpy as np

from patterns.drawing.marks import Stroke
from patterns.hull.fairing import FairedView
from patterns.plates.lines.band_tints import SAMPLES, stretches
from patterns.plates.view_field import Field

WITHOUT = "A dashed line shows the line without an offset in doubt."
EASED = "A dashed line shows the line as eased against twist, what it moves drawn {times} times full size."
BUILT = "A dashed line shows the line through the frames as they stand, what it moves drawn {times} times full size."
EASED_TIMES = 10  # that what is eased be seen: a few mm at most
PARTS = 0.3  # mm on paper; lines nearer than that are one
DASHES = (2.0, 1.0)  # mm


def lines_without(view: FairedView, others: Iterable[FairedView], where: Field, *, sign: float) -> Iterator[Stroke]:
    """A dashed stroke along each stretch where one of ``others`` parts from a line; arguments as for `band_tints`."""
    x = np.linspace(float(view.from_fp[0]), float(view.from_fp[-1]), SAMPLES)
    for other in others:
        line = other.batten.value(x)
        for stretch in stretches(np.abs(line - view.batten.value(x)) >= PARTS * where.up):
            points = np.column_stack([x[stretch], sign * line[stretch]])
            yield Stroke(where.on_paper(points), "given", dashes=DASHES)


def lines_eased(view: FairedView, eased: FairedView, where: Field, *, sign: float) -> Iterator[Stroke]:
    """A dashed stroke along each stretch where a line is eased, its moves enlarged; arguments as for `band_tints`."""
    x = np.linspace(float(view.from_fp[0]), float(view.from_fp[-1]), SAMPLES)
    moved = EASED_TIMES * (eased.batten.value(x) - view.batten.value(x))
    for stretch in stretches(np.abs(moved) >= PARTS * where.up):
        points = np.column_stack([x[stretch], sign * (view.batten.value(x) + moved)[stretch]])
        yield Stroke(where.on_paper(points), "given", dashes=DASHES)
