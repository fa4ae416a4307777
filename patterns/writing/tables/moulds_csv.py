"""Where the lines of a round hull cross its moulds, as CSV."""

from __future__ import annotations

import csv
import io
from collections.abc import Sequence

import numpy as np

from patterns.shop.layout.mould_figures import MouldFigures
from patterns.units.cells import shielded
from patterns.units.tape import tape_length

MOULDS_CSV = "tables/moulds.csv"
COLUMNS = (
    *("mould", "face", "from FP", "line", "half-breadth", "height above base", "bevel", "is"),
    *("from_fp_mm", "half_breadth_mm", "height_mm", "bevel_deg"),
)


def moulds_csv(moulds: Sequence[MouldFigures], show: str) -> str:
    """A row for each line on each mould; columns that end in _mm or _deg are unrounded, standing bevels positive."""
    text = io.StringIO()
    out = csv.writer(text, lineterminator="\n")
    out.writerow(COLUMNS)
    for mould in moulds:
        for one in mould.places:
            lengths = (mould.from_fp, one.half, one.height)
            told = [tape_length(mm, show) for mm in lengths]
            degrees = float(np.degrees(one.bevel.angle))
            figures = (*told[:1], shielded(one.line), *told[1:], f"{abs(degrees):.1f}", one.bevel.kind)
            exact = (repr(round(value, 9) + 0.0) for value in (*lengths, degrees))
            out.writerow((shielded(mould.name), mould.face, *figures, *exact))
    return text.getvalue()
