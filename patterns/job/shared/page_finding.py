"""On which pages of the tiles and of the roll each drawing is found."""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from itertools import pairwise

import numpy as np

from patterns.drawing.marks import Drawing
from patterns.tiling.paper.page import first_pages
from patterns.tiling.roll.roll import Rolled
from patterns.tiling.roll.roll_key import pages_before
from patterns.tiling.tiles.page_set import PageSet

PageOf = Mapping[str, tuple[int, int]]  # by title or name, the first and the last page


def tile_page_of(drawings: Sequence[Drawing], pages: PageSet, halved: Mapping[str, Sequence[Drawing]]) -> PageOf:
    """By a drawing's title, the pages it is on, alone or among the small ones; key plans are in front of them all.

    ``drawings`` are those that were cut to pages; ``halved`` has the halves among them by the title of the whole.
    """
    tilings = pages.tilings
    ends = np.cumsum([1 + len(pages.keys), *(len(tiling.pages) for tiling in tilings)]).tolist()
    runs = {
        title: (first + 1, last)
        for tiling, (first, last) in zip(tilings, pairwise(ends), strict=True)
        for title in tiling.drawing.titles
    }
    found = {drawing.title: runs[drawing.title] for drawing in drawings if drawing.title in runs}
    for title, pair in halved.items():
        if all(one.title in found for one in pair):
            firsts, lasts = zip(*(found[one.title] for one in pair), strict=True)
            found[title] = min(firsts), max(lasts)
    return found


def roll_page_of(drawings: Sequence[Drawing], rolled: Rolled) -> PageOf:
    """By a drawing's title, the pages it is on."""
    where = [
        (drawing.title, number)
        for number, one in enumerate(rolled.sheets, pages_before(rolled) + 1)
        for drawing in drawings
        if drawing.title in one.titles
    ]
    return first_pages([title for title, _ in where], [number for _, number in where])
