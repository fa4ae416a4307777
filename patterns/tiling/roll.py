"""One drawing cut to a roll of paper: one long page, or as few as readers take."""

from __future__ import annotations

import math
from collections.abc import Sequence

import numpy as np

from patterns.drawing.marks import Drawing, Label
from patterns.tiling.clip import Segments
from patterns.tiling.grid import SHIFT, best_grid, inked_places, kept_cells
from patterns.tiling.lettering import boxes_round, fitted
from patterns.tiling.paper import (
    BAR_ROOM,
    BOTTOM_STRIP,
    LEFT_STRIP,
    LONGEST_PAGE,
    MARGIN,
    OVERLAP,
    ROLL_WIDTH,
    SEAM_PITCH,
    PaperSetup,
)
from patterns.tiling.tiles import Tiling, cut_to_grid, ink_of, labels_of, middles_of

KEY_PAPER = PaperSetup(210.0, 297.0, name="A4")  # for a roll's key plan, which needs no roll


def roll(drawing: Drawing, width: float = ROLL_WIDTH, *, show: str = "mm") -> Tiling:
    """Cut a drawing to a roll of paper, its long side along the roll and the page no longer than it need be.

    A pattern wider than the roll or longer than a reader's longest page comes in several pages with the same
    crosses as tiles.
    """
    ink = ink_of(drawing)
    size = _size(ink, labels_of(drawing))
    along = 0 if size[0] >= size[1] else 1
    strips = (LEFT_STRIP, BOTTOM_STRIP)
    most = _whole_seams(LONGEST_PAGE - 2 * MARGIN - strips[along] - OVERLAP, down=True)
    # The grid starts at a whole ten, so the ink may begin up to that far into its first page.
    pages = max(1, math.ceil((size[along] + SHIFT) / most))
    step = max(_whole_seams((size[along] + SHIFT) / pages), _whole_seams(BAR_ROOM))
    lengths = [width, width]
    lengths[along] = step + OVERLAP + strips[along] + 2 * MARGIN
    setup = PaperSetup(lengths[0], lengths[1], name=f"roll {width:g} mm wide")
    labels = fitted(labels_of(drawing), setup.step)
    grid = best_grid(inked_places(ink), boxes_round(labels), step=setup.step, overlap=OVERLAP)
    kept = kept_cells(grid, ink, middles_of(labels))
    return cut_to_grid(drawing, ink, labels, grid, kept, setup, key_paper=KEY_PAPER, show=show)


def _whole_seams(length: float, *, down: bool = False) -> float:
    return SEAM_PITCH * (math.floor if down else math.ceil)(length / SEAM_PITCH)


def _size(ink: Segments, labels: Sequence[Label]) -> tuple[float, float]:
    """Width and height of everything on a drawing, mm."""
    points = np.concatenate([ink.start, ink.end, boxes_round(labels).reshape(-1, 2)])
    if not len(points):
        return 0.0, 0.0
    width, height = np.ptp(points, axis=0).tolist()
    return width, height
