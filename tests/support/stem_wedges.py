"""A wedge: straight sides that open at a known half angle from an upright stem."""

from __future__ import annotations

import numpy as np
from boats import flat_skin

from patterns.hull.build import Joint, LinesTo, Planking, Stem, Transom
from patterns.hull.offsets import OffsetRow, Offsets
from patterns.parts.asked.end_rules import (
    StemWork,
)
from patterns.parts.asked.rules import Boat

HALF_ANGLE = np.radians(14.0)
PLANK = 9.0
SIDED = 80.0


def wedge(work: StemWork, *, ends_at: float = SIDED / 2) -> Boat:
    """An upright wedge: straight sides that open at a known half angle from an upright stem, a level bottom."""
    x = np.linspace(0.0, 2400.0, 7)
    half = ends_at + x * np.tan(HALF_ANGLE)
    columns = ("stem", "1", "2", "3", "4", "5", "transom")
    offsets = Offsets(
        columns,
        np.array([np.nan, *x[1:-1], np.nan]),
        (OffsetRow("sheer", np.full(7, 520.0)), OffsetRow("chine", np.full(7, 100.0))),
        (OffsetRow("sheer", half), OffsetRow("chine", half)),
        0.01,
    )
    return Boat(
        name="wedge",
        about="",
        offsets=offsets,
        fair_within=0.01,
        fore=Stem(np.array([[0.0, 560.0], [0.0, 60.0]]), SIDED, 90.0),
        aft=Transom(np.array([[2400.0, 560.0], [2400.0, 60.0]]), 18.0, 0.0, "oak"),
        skin=flat_skin(LinesTo.OUTSIDE, Planking(PLANK, "ply"), Planking(12.0, "ply"), Joint.LOWER_OVER),
        frames=None,
        show="mm",
        fore_work=work,
    )
