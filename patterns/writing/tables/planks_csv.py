"""The planks of a round hull as CSV: how broad each is where, and where its edges lie on a board."""

from __future__ import annotations

import csv
import io

import numpy as np

from patterns.shop.layout.plank_figures import PlankFigures
from patterns.units.cells import shielded
from patterns.units.tape import tape_length

PLANKS_CSV = "tables/planks.csv"
COLUMNS = ("place", "plank", "breadth", "upper edge from sheer", "breadth_mm", "from_sheer_mm")
STRIP_COLUMNS = ("place", "girth", "strips", "girth_mm")


def planks_csv(figures: PlankFigures, show: str) -> str:
    """A row for each plank (or space between ribbands) at each place; of strips one for each place.

    Lengths run along the inside of the planking. Columns that end in _mm are unrounded.
    """
    text = io.StringIO()
    out = csv.writer(text, lineterminator="\n")
    out.writerow(STRIP_COLUMNS if figures.strips else COLUMNS)
    if figures.strips:
        for place, strips in zip(figures.places, figures.strips, strict=True):
            out.writerow((shielded(place.name), tape_length(place.girth, show), strips, _exact(place.girth)))
        return text.getvalue()
    for place in figures.places:
        down = (*place.from_sheer, 0.0)
        for number, (breadth, from_sheer) in enumerate(zip(place.breadths, down, strict=True), 1):
            told = ("" if mm is None else tape_length(mm, show) for mm in (breadth, from_sheer))
            out.writerow((shielded(place.name), number, *told, *map(_exact, (breadth, from_sheer))))
    return text.getvalue()


def _exact(mm: float | None) -> str:
    return "" if mm is None or np.isnan(mm) else repr(round(mm, 9) + 0.0)
