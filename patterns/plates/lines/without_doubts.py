"""A line as it would run without an offset that is in doubt."""

from __future__ import annotations

from collections.abc import Iterable, Iterator

import numpy as np

from patterns.drawing.marks import Stroke
from patterns.hull.fairing import FairedView
from patterns.plates.lines.band_tints import SAMPLES, stretches
from patterns.plates.view_field import Field

WITHOUT = "A dashed line shows the line without an offset in doubt."
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
