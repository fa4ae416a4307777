"""Drawings on a roll of paper: side by side on long pages, and in several where one is too wide or too long."""

from __future__ import annotations

import math
from collections.abc import Sequence
from dataclasses import dataclass, replace
from math import fsum

import numpy as np

from patterns.drawing.marks import Cross, Drawing, Label
from patterns.drawing.obstacles import obstacles
from patterns.drawing.text import text_width
from patterns.geometry.short_repr import brief
from patterns.tiling.paper.page import Page
from patterns.tiling.paper.paper import (
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
from patterns.tiling.paper.side_by_side import laid_marks, lay_out
from patterns.tiling.paper.stacked import stacked
from patterns.tiling.seams.clip import Segments
from patterns.tiling.seams.crosses import Place
from patterns.tiling.seams.furniture import BAR_UP
from patterns.tiling.seams.grid import SHIFT, best_grid, inked_places, kept_cells
from patterns.tiling.seams.key_plan import HOW_TO_TAPE, OnGrid, long_diagonals
from patterns.tiling.seams.page_labels import boxes_round, fitted
from patterns.tiling.tiles.ink_and_labels import ink_of, labels_of, middles_of
from patterns.tiling.tiles.tiles import Tiling, cut_to_grid
from patterns.units.lengths import write_length

KEY_PAPER = PaperSetup(210.0, 297.0, name="A4")  # for a roll's key plan, which needs no roll
STRIPS = (LEFT_STRIP, BOTTOM_STRIP)  # mm
GAP = 12.0  # mm between patterns: room for scissors
CELL = 13.5  # mm; 64 of them lie across the commonest roll
WARNING = 3.0  # mm, capitals


@dataclass(frozen=True, slots=True, eq=False)
class RollSheet:
    """One page of the roll and what lies on it."""

    page: Page
    titles: tuple[str, ...]  # of the patterns
    label: str  # "A2": which page of one pattern it is that comes in several
    length: float  # mm, along the roll
    check: tuple[Place, Place]  # two crosses far apart, their places as lettered, mm

    @property
    def shows(self) -> str:
        """What lies on it, in words."""
        return "; ".join(self.titles) + (f": {self.label}" if self.label else "")


@dataclass(frozen=True, slots=True, eq=False)
class Rolled:
    """Every pattern on a roll of paper."""

    width: float  # mm, of the roll
    sheets: tuple[RollSheet, ...]
    keys: tuple[Page, ...]  # key plans of the patterns that come in several pages
    show: str  # how lengths are printed
    run: str = ""  # the run mark

    __repr__ = brief

    @property
    def too_long(self) -> bool:
        """Whether a page is longer than every reader takes."""
        return any(sheet.length > LONGEST_PAGE for sheet in self.sheets)

    @property
    def length(self) -> float:
        """Of paper for all pages, mm."""
        return fsum(sheet.length for sheet in self.sheets)


def rolled(
    drawings: Sequence[Drawing], width: float = ROLL_WIDTH, *, show: str = "mm", one_page: bool = False
) -> Rolled:
    """Drawings side by side on a roll, as much on a page as it takes; those too wide or too long in several pages.

    Parameters
    ----------
    one_page : bool
        No limit to a page's length. Some readers refuse or crop pages over 5 m.
    """
    longest = math.inf if one_page else LONGEST_PAGE
    ground = _setup(width, BAR_ROOM, along=0)
    most = fsum(max(_size_of(drawing)) + 2 * GAP for drawing in drawings) if one_page else _most(longest, along=0)
    laid, left_over = lay_out(drawings, (most - SHIFT, ground.step[1]), gap=GAP, cell=CELL)
    sheets: list[RollSheet] = []
    run = next((drawing.run for drawing in drawings), "")
    for number, sheet in enumerate(laid, start=1):
        titles = tuple(drawings[one.number].title for one in sheet)
        together = Drawing(
            f"roll page {number}: {'; '.join(titles)}", f"roll-{number}", laid_marks(drawings, sheet), run=run
        )
        sheets.append(_sheets(roll(together, width, show=show, longest=longest, along=0), titles, width, show)[0])
    keys: list[Drawing] = []
    for number in left_over:
        split = roll(drawings[number], width, show=show, longest=longest)
        keys += [split.key] if split.key else []
        sheets += _sheets(split, (drawings[number].title,), width, show)
    marked = f"roll, run {run}" if run else "roll"
    laid_keys = stacked(keys, KEY_PAPER, boat=marked, title="key plans", note=HOW_TO_TAPE) if keys else None
    return Rolled(width, tuple(sheets), laid_keys.pages if laid_keys else (), show, run)


def _sheets(tiling: Tiling, titles: tuple[str, ...], width: float, show: str) -> list[RollSheet]:
    found = []
    for tile in tiling.tiles:
        label = tile.label if len(tiling.tiles) > 1 else ""
        page = _with_warning(tile.page, show)
        crosses = {cross.at for cross in page.marks if isinstance(cross, Cross) and cross.layer == "sheet"}
        (one, other), _ = long_diagonals(crosses)
        dx, dy = tile.shift
        length = page.width if page.height == width else page.height
        check = (one[0] - dx, one[1] - dy), (other[0] - dx, other[1] - dy)
        found.append(RollSheet(page, titles, label, length, check))
    return found


def roll(
    drawing: Drawing,
    width: float = ROLL_WIDTH,
    *,
    show: str = "mm",
    longest: float = LONGEST_PAGE,
    along: int | None = None,
) -> Tiling:
    """Cut a drawing to a roll of paper, the page no longer than it need be.

    A pattern wider than the roll or longer than a reader's longest page comes in several pages with the same
    crosses as tiles.

    Parameters
    ----------
    along : 0 or 1
        Which of the drawing's axes runs along the roll; its longer one if it is not said.
    """
    ink = ink_of(drawing)
    size = _size(ink, labels_of(drawing))
    if along is None:
        along = 0 if size[0] >= size[1] else 1
    # The grid starts at a whole ten, so the ink may begin up to that far into its first page.
    pages = max(1, math.ceil((size[along] + SHIFT) / _most(longest, along=along)))
    setup = _setup(width, max(_whole_seams((size[along] + SHIFT) / pages), _whole_seams(BAR_ROOM)), along=along)
    labels = fitted(labels_of(drawing), setup.step)
    grid = best_grid(inked_places(ink), boxes_round(labels), step=setup.step, overlap=OVERLAP)
    kept = kept_cells(grid, ink, middles_of(labels))
    laid = OnGrid(drawing, ink, grid, kept, setup)
    return cut_to_grid(laid, obstacles(ink.strokes), labels, key_paper=KEY_PAPER, show=show)


def _most(longest: float, *, along: int) -> float:
    """The longest step from seam to seam on pages no longer than ``longest``, mm."""
    if math.isinf(longest):
        return longest
    return _whole_seams(longest - 2 * MARGIN - STRIPS[along] - OVERLAP, down=True)


def _setup(width: float, step: float, *, along: int) -> PaperSetup:
    lengths = [width, width]
    lengths[along] = step + OVERLAP + STRIPS[along] + 2 * MARGIN
    return PaperSetup(lengths[0], lengths[1], name=f"roll {width:g} mm wide")


def _with_warning(page: Page, show: str) -> Page:
    """The page, saying so if it is longer than every reader takes."""
    length = max(page.width, page.height)
    if length <= LONGEST_PAGE:
        return page
    text = (
        f"THIS PAGE IS {write_length(length, show)} LONG: some programs refuse, crop or shrink pages over "
        f"{write_length(LONGEST_PAGE, show)} without a word. "
        "Measure both bars and from end to end before you cut."
    )
    size = min(WARNING, WARNING * (page.width - 2 * MARGIN - 2 * BAR_ROOM) / text_width(text, WARNING))
    label = Label(text, (page.width - MARGIN - 2.0, MARGIN + BAR_UP), size, anchor="end", layer="sheet")
    return replace(page, marks=(*page.marks, label))


def _whole_seams(length: float, *, down: bool = False) -> float:
    return SEAM_PITCH * (math.floor if down else math.ceil)(length / SEAM_PITCH)


def _size(ink: Segments, labels: Sequence[Label]) -> tuple[float, float]:
    """Width and height of everything on a drawing, mm."""
    points = np.concatenate([ink.start, ink.end, boxes_round(labels).reshape(-1, 2)])
    if not len(points):
        return 0.0, 0.0
    width, height = np.ptp(points, axis=0).tolist()
    return width, height


def _size_of(drawing: Drawing) -> tuple[float, float]:
    return _size(ink_of(drawing), labels_of(drawing))
