"""Edges that meet as CSV: lengths and marks, as the tape reads them and unrounded."""

from __future__ import annotations

import csv
import io
from collections.abc import Sequence

from patterns.shop.fit.meetings import Meeting
from patterns.units.cells import shielded
from patterns.units.tape import tape_length, tape_rounding
from patterns.writing.report.fit_marks import why_words
from patterns.writing.tables.layout_csv import unrounded

LENGTHS = (
    "edge",
    "mate",
    "long",
    "mate_long",
    "long_mm",
    "mate_long_mm",
    "thickness_mm",
    "rest_mm",
    "apart_mm",
    "told",
)
MARKS = (
    *("edge", "from", "mark", "along", "mate", "mate_from", "mate_mark", "mate_along"),
    *("along_mm", "mate_along_mm", "difference_mm", "thickness_mm", "rest_mm", "apart_mm"),
)


def fit_csv(meetings: Sequence[Meeting], show: str) -> str:
    """Words, a row for each pair of edges, then a row for each pair of marks."""
    text = io.StringIO()
    out = csv.writer(text, lineterminator="\n")
    out.writerows(
        ("about", words)
        for words in (
            "Edges that meet, and the marks that must come together. Along: by a tape bent to the edge as drawn.",
            f"Figures are {tape_rounding(show)}; columns ending in _mm are unrounded. Port is as starboard.",
            "A difference is of the first less the second, from where the two begin to run together; thickness goes "
            "when both are bent, the rest does not. Apart: in the boat.",
            "An empty mark is a place found in the boat, where only the other edge bears one.",
        )
    )
    out.writerow(())
    out.writerow(LENGTHS)
    for one in meetings:
        lengths = tape_length(one.drawn_a, show), tape_length(one.drawn_b, show)
        exact = map(unrounded, (one.drawn_a, one.drawn_b, one.by_thickness, one.left, one.gap))
        out.writerow((shielded(one.a), shielded(one.b), *lengths, *exact, why_words(one, show)))
    out.writerow(())
    out.writerow(MARKS)
    for one in meetings:
        for mark in one.marks:
            first = *map(shielded, (one.a, one.from_a, mark.name)), tape_length(mark.along_a, show)
            second = *map(shielded, (one.b, one.from_b, mark.mate)), tape_length(mark.along_b, show)
            along = map(unrounded, (mark.along_a, mark.along_b, mark.difference))
            exact = map(unrounded, (mark.by_thickness, mark.left, mark.apart))
            out.writerow((*first, *second, *along, *exact))
    return text.getvalue()
