"""One drawing cut to paper: tiles that meet at lettered crosses, and a key plan to lay them out by."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass, replace

import numpy as np

from patterns.drawing.marks import Cross, Drawing, Ink, Label, Stroke
from patterns.drawing.obstacles import obstacles
from patterns.drawing.text import without_strangers
from patterns.geometry.arrays import Floats
from patterns.tiling.clip import Box, Segments, segments
from patterns.tiling.crosses import Lettered, lettered_crosses
from patterns.tiling.furniture import furniture, names_of, seam_words
from patterns.tiling.grid import Cell, Grid, best_grid, inked_places, kept_cells
from patterns.tiling.key_plan import key_plan
from patterns.tiling.lettering import boxes_round, fitted, shared_out
from patterns.tiling.page import Page
from patterns.tiling.paper import PaperSetup, paper

__all__ = ["Page", "PaperSetup", "Tile", "Tiling", "paper", "tile"]


@dataclass(frozen=True, slots=True, eq=False)
class Tile:
    """One sheet's worth of a drawing."""

    label: str  # "B3"
    row: str  # "B", from the top
    column: int  # from 1, from the left
    window: Box  # mm on the pattern, what the tile shows, overlap and all
    shift: tuple[float, float]  # mm, from the pattern's axes to the page's
    page: Page


@dataclass(frozen=True, slots=True, eq=False)
class Tiling:
    """A drawing cut to paper."""

    drawing: Drawing
    paper: PaperSetup  # as the tiles lie on it, upright or on its side
    grid: Grid
    tiles: tuple[Tile, ...]  # as one reads
    blank: tuple[str, ...]  # labels of tiles with nothing on them, left out
    key: Page

    @property
    def pages(self) -> tuple[Page, ...]:
        """The key plan, where there is anything to lay out by it, and every tile."""
        sheets = tuple(tile.page for tile in self.tiles)
        return sheets if len(sheets) == 1 else (self.key, *sheets)


def tile(drawing: Drawing, paper: PaperSetup, *, show: str = "mm") -> Tiling:
    """Cut a drawing to sheets of ``paper``, upright or on its side, whichever takes fewer.

    Parameters
    ----------
    show : str
        How the key plan writes lengths beside millimetres: "ft-in-16ths", "mm", ...
    """
    ink = ink_of(drawing)
    places, ways = inked_places(ink), []
    for setup in (paper, paper.turned()):
        across, up = setup.step
        labels = fitted(labels_of(drawing), (across, up))
        grid = best_grid(places, boxes_round(labels), step=setup.step, overlap=setup.overlap)
        ways.append((setup, labels, grid, kept_cells(grid, ink, middles_of(labels))))
    setup, labels, grid, kept = min(ways, key=lambda way: (len(way[3]), way[2].rows * way[2].columns))
    return cut_to_grid(drawing, ink, labels, grid, kept, setup, key_paper=setup, show=show)


def labels_of(drawing: Drawing) -> tuple[Label, ...]:
    return tuple(mark for mark in drawing.marks if isinstance(mark, Label))


def ink_of(drawing: Drawing) -> Segments:
    """Everything but the lettering as strokes; crosses too, for a tile's edge may cut one."""
    strokes: list[Stroke] = []
    for mark in drawing.marks:
        if isinstance(mark, Stroke):
            strokes.append(mark)
        elif isinstance(mark, Cross):
            arm = np.array([mark.arm, 0.0])
            strokes += [Stroke(np.array([mark.at - way, mark.at + way]), mark.layer) for way in (arm, arm[::-1])]
    return segments(strokes)


def middles_of(labels: Sequence[Label]) -> Floats:
    boxes = boxes_round(labels)
    middles: Floats = (boxes[:, :2] + boxes[:, 2:]) / 2
    return middles


def cut_to_grid(
    drawing: Drawing,
    ink: Segments,
    labels: Sequence[Label],
    grid: Grid,
    kept: Sequence[Cell],
    setup: PaperSetup,
    *,
    key_paper: PaperSetup,
    show: str,
) -> Tiling:
    title = without_strangers(drawing.title)
    lettering = shared_out(labels, ink.strokes, grid, kept)
    crosses = lettered_crosses(grid, kept, lettering.taken)
    register: list[Ink] = []
    for lettered in crosses.values():
        register += [*lettered.crosses, *lettered.labels]
    words = seam_words(grid, kept, [*lettering.taken, obstacles(register)])
    tiles = []
    for place in kept:
        on_pattern = (*lettering.by_tile[place], *words[place], *crosses[place].labels)
        names = names_of(title, grid, kept, place)
        window = grid.window(place)
        shift = setup.corner[0] - window[0], setup.corner[1] - window[1]
        marks = (*_shifted(ink.within(window), on_pattern, crosses[place], shift), *furniture(names, setup))
        page = Page(setup.width, setup.height, marks, f"{title}: {names.own}", title if len(kept) == 1 else "")
        tiles.append(Tile(names.own, names.row, names.column, window, shift, page))
    blank = tuple(grid.label(place) for place in grid.cells() if place not in set(kept))
    named = {place: crosses[place].crosses for place in kept}
    key = key_plan(replace(drawing, title=title), ink, grid, kept, named, key_paper, setup, show=show)
    return Tiling(drawing, setup, grid, tuple(tiles), blank, key)


def _shifted(
    strokes: Sequence[Stroke], labels: Sequence[Label], crosses: Lettered, shift: tuple[float, float]
) -> tuple[Ink, ...]:
    dx, dy = shift
    return (
        *(replace(stroke, points=stroke.points + shift) for stroke in strokes),
        *(Cross((cross.at[0] + dx, cross.at[1] + dy), cross.arm, cross.layer) for cross in crosses.crosses),
        *(replace(label, at=(label.at[0] + dx, label.at[1] + dy)) for label in labels),
    )
