"""Fastenings by seam, and glue and finish, as CSV."""

from __future__ import annotations

import csv
import io
from collections.abc import Sequence

from patterns.plates.words.fastening_words import SEAM_COLUMNS, amount_words, seam_cells, size_words, what_words
from patterns.shop.fastening.finishing import Finishing
from patterns.shop.fastening.seam import Seam
from patterns.units.cells import shielded
from patterns.writing.tables.layout_csv import unrounded

FASTENINGS = "tables/fastenings.csv"


def fastenings_csv(seams: Sequence[Seam], done: Finishing, show: str) -> str:
    """A row for each seam of each hand, then one for each thing to buy by amount."""
    text = io.StringIO()
    out = csv.writer(text, lineterminator="\n")
    out.writerow(("about", "Each hand by itself. Lengths ending in _mm are unrounded."))
    out.writerow(())
    out.writerow(("part", *SEAM_COLUMNS, "length_mm", "spacing_mm", "fastening_mm", "shank_mm", "edge_mm"))
    for seam in seams:
        figures = seam.length, seam.spacing, seam.fastening.length, seam.fastening.shank, seam.edge
        cells = seam_cells(seam, seam.count, show)
        out.writerow((shielded(seam.part), *map(shielded, cells), *map(unrounded, figures)))
    out.writerow(())
    out.writerow(("what", "on", "net", "with waste"))
    for one in done.amounts:
        out.writerow((shielded(what_words(one, show)), size_words(one, show), *amount_words(one, show)))
    return text.getvalue()
