"""One drawing cut to paper: tiles that meet at lettered crosses, and a key plan to lay them out by."""

from __future__ import annotations

import math
from collections.abc import Iterable, Iterator, Mapping, Sequence
from dataclasses import dataclass, replace
from itertools import chain, islice

import numpy as np
import shapely

from patterns.drawing.marks import Cross, Drawing, Ink, Label, Stroke, leaders
from patterns.drawing.moved_marks import placed
from patterns.drawing.obstacles import Obstacles, obstacles
from patterns.drawing.text import without_strangers
from patterns.drawing.turning import extent, turned
from patterns.geometry.arrays import Floats
from patterns.geometry.short_repr import brief
from patterns.tiling.paper.page import Page
from patterns.tiling.paper.paper import PaperSetup, paper
from patterns.tiling.seams.clip import Box, Segments, segments
from patterns.tiling.seams.crosses import lettered_crosses, seam_crosses
from patterns.tiling.seams.datum_lines import datum_strokes
from patterns.tiling.seams.furniture import furniture, names_of, seam_words
from patterns.tiling.seams.grid import ROUNDED, SHIFT, Cell, Grid, best_grid, inked_places, kept_cells, one_cell
from patterns.tiling.seams.key_plan import OnGrid, key_plan, taping_order
from patterns.tiling.seams.page_labels import boxes_round, fitted
from patterns.tiling.tiles.shared_labels import shared_out
from patterns.tiling.tiles.title_blocks import block_beside, block_reshaped, block_whole

LEAST_LEAN = math.radians(2.0)  # less is as good as level
# Share of the pages a turn must save: on a turned pattern the figures by the crosses are no longer those of the boat.
WORTH_TURNING = 0.1

__all__ = ["Page", "PaperSetup", "Tile", "Tiling", "paper", "tile"]


@dataclass(frozen=True, slots=True, eq=False)
class Tile:
    """One page's worth of a drawing."""

    label: str  # "B3"
    row: str  # "B", from the top
    column: int  # from 1, from the left
    window: Box  # mm on the pattern, what the tile shows, overlap and all
    shift: tuple[float, float]  # mm, from the pattern's axes to the page's
    page: Page

    __repr__ = brief


@dataclass(frozen=True, slots=True, eq=False)
class Tiling:
    """A drawing cut to paper."""

    drawing: Drawing
    paper: PaperSetup  # as the tiles lie on it, upright or on its side
    grid: Grid
    tiles: tuple[Tile, ...]  # as one reads
    blank: tuple[str, ...]  # labels of tiles with nothing on them, left out
    key: Page | None  # none where one page is all: nothing is to be laid out by it

    __repr__ = brief

    @property
    def pages(self) -> tuple[Page, ...]:
        """The key plan, where there is anything to lay out by it, and every tile."""
        sheets = tuple(tile.page for tile in self.tiles)
        return sheets if self.key is None else (self.key, *sheets)


def tile(drawing: Drawing, paper: PaperSetup, *, show: str = "mm") -> Tiling:
    """Cut a drawing to pages of ``paper``, the drawing turned and the paper upright or on its side as takes fewest.

    Parameters
    ----------
    show : str
        How lengths are printed: "ft-in-16ths", "mm", ...
    """
    found = _best_way(drawing, paper)
    assert found is not None  # nothing was asked of it
    best, inked = found
    # Nothing takes less than one page.
    lean = lean_of(drawing.body) if len(best.kept) > 1 or not best.whole else 0.0
    if abs(lean) > LEAST_LEAN:
        most = (1 - WORTH_TURNING) * len(best.kept) if best.whole else math.inf
        best, inked = _best_way(turned(drawing, -lean), paper, most=most) or found
    ink, labels = ink_of(best.drawing), fitted(labels_of(best.drawing), best.setup.step)
    among = inked.joined(obstacles(strokes_of(_block_marks(best.drawing))))
    laid = OnGrid(best.drawing, ink, best.grid, best.kept, best.setup)
    return cut_to_grid(laid, among, labels, key_paper=best.setup, show=show)


@dataclass(frozen=True, slots=True)
class _Way:
    """One way of laying a drawing on paper."""

    drawing: Drawing
    setup: PaperSetup
    grid: Grid
    kept: tuple[Cell, ...]
    whole: bool  # whether its title block stands on one page


def _best_way(drawing: Drawing, paper: PaperSetup, *, most: float = math.inf) -> tuple[_Way, Obstacles] | None:
    """The paper upright or on its side, with the grid on it that takes the fewest pages; the ink without its block.

    Parameters
    ----------
    most : float
        None is given back where it would take more pages than these, or would cut the title block up. Infinite, there
        is always a way.
    """
    ink, labels = segments(strokes_of(drawing.body)), labels_in(drawing.body)
    inked = obstacles(ink.strokes)
    among = inked.joined(obstacles(labels))
    places = inked_places(ink)
    best: _Way | None = None
    for setup in (paper, paper.turned()):
        alone = _on_one_sheet(drawing, among, places, setup)
        if alone:
            return alone, inked
    for setup in (paper, paper.turned()):
        # The title block goes where there is room on pages the rest takes anyway.
        grid, kept = _fewest_sheets(ink, places, labels, setup)
        # The block may add pages, and never saves one: what loses without it need not be tried with it.
        if len(kept) > (min(most, len(best.kept)) if best and best.whole else most):
            continue
        way = _with_block(drawing, among, places, setup, grid, kept)
        if (way.whole or math.isinf(most)) and len(way.kept) <= most and (best is None or _sheets(way) < _sheets(best)):
            best = way
        if best and _sheets(best) == _FEWEST:
            break
    return (best, inked) if best else None


def _on_one_sheet(drawing: Drawing, among: Obstacles, places: Floats, setup: PaperSetup) -> _Way | None:
    across, up = (step + setup.overlap - 2 * ROUNDED for step in setup.step)
    settled = block_beside(drawing, among, places, (across, up), setup.overlap)
    grid = settled and one_cell(settled[1], setup.step, setup.overlap)
    return _Way(settled[0], setup, grid, ((0, 0),), whole=True) if settled and grid else None


def _with_block(
    drawing: Drawing, among: Obstacles, places: Floats, setup: PaperSetup, grid: Grid, kept: Sequence[Cell]
) -> _Way:
    settled = block_whole(drawing, among, places, grid, kept)
    if settled is None or len(settled[2]) > len(kept):
        # Words alone are not to take a page where they find room set otherwise.
        for slid in _slid(grid, places):
            reshaped = block_reshaped(drawing, among, places, slid, kept)
            if reshaped:
                return _Way(reshaped, setup, slid, tuple(kept), whole=True)
    if settled is None:
        ink = ink_of(drawing)
        return _Way(drawing, setup, *_fewest_sheets(ink, inked_places(ink), labels_of(drawing), setup), whole=False)
    whole, wider, more = settled
    return _Way(whole, setup, wider, more, whole=True)


def _slid(grid: Grid, places: Floats) -> Iterator[Grid]:
    """The grid, and where one row or one column holds all the ink, the grid with the ink at either side of it."""
    yield grid
    room = np.array(grid.step) + grid.overlap - SHIFT
    for axis, count in enumerate((grid.columns, grid.rows)):
        low, high = float(places[:, axis].min()), float(places[:, axis].max())
        if count > 1 or high - low > room[axis]:
            continue
        half = grid.overlap / 2
        for start in (
            math.floor((low + half) / SHIFT) * SHIFT,
            math.ceil((high - half - grid.step[axis]) / SHIFT) * SHIFT,
        ):
            x, y = grid.origin
            yield replace(grid, origin=(start, y) if axis == 0 else (x, start))


def _sheets(way: _Way) -> tuple[bool, int, int]:
    """What is to be least: a title block cut up, pages, and cells of the grid."""
    return not way.whole, len(way.kept), way.grid.rows * way.grid.columns


_FEWEST = (False, 1, 1)


def _fewest_sheets(
    ink: Segments, places: Floats, labels: Sequence[Label], setup: PaperSetup
) -> tuple[Grid, tuple[Cell, ...]]:
    """The grid that takes the fewest pages, and the cells of it that do.

    Parameters
    ----------
    places : (n, 2) mm
        Of the ink, as `inked_places` finds them.
    """
    none, lettering = np.empty((0, 2)), fitted(labels, setup.step)
    grid = best_grid(places, boxes_round(lettering), step=setup.step, overlap=setup.overlap)
    return grid, kept_cells(grid, ink, none if len(places) else middles_of(lettering))


def lean_of(marks: Sequence[Ink]) -> float:
    """How far the least box round the ink leans from level or upright, rad, within an eighth of a turn."""
    strokes = [mark.points for mark in (*marks, *leaders(marks)) if isinstance(mark, Stroke)]
    box = shapely.minimum_rotated_rectangle(shapely.multipoints(np.concatenate([np.empty((0, 2)), *strokes])))
    if not isinstance(box, shapely.Polygon):
        return 0.0
    (x, y), (to_x, to_y) = shapely.get_coordinates(box)[:2].tolist()
    lean = math.atan2(to_y - y, to_x - x)
    return (lean + math.pi / 4) % (math.pi / 2) - math.pi / 4


def labels_of(drawing: Drawing) -> tuple[Label, ...]:
    return labels_in(drawing.marks)


def labels_in(marks: Iterable[Ink]) -> tuple[Label, ...]:
    return tuple(mark for mark in marks if isinstance(mark, Label))


def ink_of(drawing: Drawing) -> Segments:
    """Everything but the lettering."""
    return segments(strokes_of(drawing.marks))


def strokes_of(marks: Iterable[Ink]) -> list[Stroke]:
    """Marks that are no lettering as strokes; crosses too, for a tile's edge may cut one."""
    strokes: list[Stroke] = []
    for mark in marks:
        if isinstance(mark, Stroke):
            strokes.append(mark)
        elif isinstance(mark, Cross):
            arm = np.array([mark.arm, 0.0])
            strokes += [Stroke(np.array([mark.at - way, mark.at + way]), mark.layer) for way in (arm, arm[::-1])]
    return strokes


def _block_marks(drawing: Drawing) -> tuple[Ink, ...]:
    return drawing.block.marks if drawing.block else ()


def middles_of(labels: Sequence[Label]) -> Floats:
    boxes = boxes_round(labels)
    middles: Floats = (boxes[:, :2] + boxes[:, 2:]) / 2
    return middles


def cut_to_grid(laid: OnGrid, among: Obstacles, labels: Sequence[Label], *, key_paper: PaperSetup, show: str) -> Tiling:
    """The tiles of a grid that are kept. ``among`` is the ink, for lettering to keep clear of."""
    laid = _as_printed(laid)
    drawing, grid, kept, setup = laid.drawing, laid.grid, laid.kept, laid.paper
    seams = obstacles(seam_crosses(grid, kept))
    lettering = shared_out(labels, among, seams, grid, kept)
    crosses = lettered_crosses(grid, kept, lettering.taken, show=show if setup.grid else "")
    figures = obstacles(label for lettered in crosses.values() for label in lettered.labels)
    words = seam_words(grid, kept, lettering.taken.joined(seams).joined(figures))
    lettered = {place: (*lettering.by_tile[place], *words[place], *crosses[place].labels) for place in kept}
    block = _block_marks(drawing)
    datum = _datum(grid, lettered, block) if setup.grid else {}
    windows = [grid.window(place) for place in kept]
    (x, y), tiles = setup.corner, []
    shifts = [(x - left, y - bottom) for left, bottom, _, _ in windows]
    signs = strokes_of(block)
    inked = (segments(strokes_of(drawing.body)) if signs else laid.ink).within_each(windows, shifts)
    signed = _signs(signs, windows, shifts)
    labelled = _labelled(lettering.by_tile, windows)
    for place, window, shift, told, *lines in zip(kept, windows, shifts, labelled, inked, signed, strict=True):
        names = names_of(drawing, grid, kept, place)
        register: tuple[Ink, ...] = (*datum.get(place, ()), *crosses[place].crosses)
        others = (*register, *told, *words[place], *crosses[place].labels)
        marks = (*chain.from_iterable(lines), *(placed(mark, shift) for mark in others), *furniture(names, setup))
        entry = drawing.title if len(kept) == 1 else ""
        page = Page(setup.width, setup.height, marks, f"{drawing.title}: {names.own}", entry)
        tiles.append(Tile(names.own, grid.row_letter(place[0]), place[1] + 1, window, shift, page))
    blank = tuple(grid.label(place) for place in grid.cells() if place not in set(kept))
    named = {place: crosses[place].crosses for place in kept}
    key = key_plan(laid, named, key_paper, show=show) if len(kept) > 1 else None
    return Tiling(drawing, setup, grid, tuple(tiles), blank, key)


def _as_printed(laid: OnGrid) -> OnGrid:
    """In letters there are, its pages in the order they are taped: so they leave the printer."""
    drawing = laid.drawing
    title, foot = without_strangers(drawing.title), without_strangers(drawing.foot)
    drawing = replace(drawing, title=title, foot=foot, holds=drawing.titles)
    return replace(laid, drawing=drawing, kept=tuple(taping_order(laid.kept)))


def _labelled(by_tile: Mapping[Cell, Sequence[Label]], windows: Sequence[Box]) -> Iterator[tuple[Ink, ...]]:
    """Each tile's labels, their leaders cut off at its edge; and what shows on it of the leaders of other labels."""
    led = dict.fromkeys(label for labels in by_tile.values() for label in labels if label.leader)
    for own, window in zip(by_tile.values(), windows, strict=True):
        strays = segments(list(leaders(label for label in led if label not in own)))
        yield (*strays.within(window), *(_cut_leader(label, window) for label in own))


def _cut_leader(label: Label, window: Box) -> Label:
    if label.leader is None:
        return label
    shown = segments(list(leaders([label]))).within(window)
    ends = [(x, y) for stroke in shown for x, y in stroke.points.tolist()]
    return replace(label, leader=(ends[0], ends[-1]) if ends else None)


def _signs(
    signs: Sequence[Stroke], windows: Sequence[Box], shifts: Sequence[tuple[float, float]]
) -> list[tuple[Stroke, ...]]:
    """The title block's strokes on each tile: all or none; cut up only where no tile shows them whole."""
    if not signs:
        return [() for _ in windows]
    left, bottom, right, top = extent(signs)
    shown = segments(signs).within_each(windows, shifts)
    whole = [x0 <= left and y0 <= bottom and right <= x1 and top <= y1 for x0, y0, x1, y1 in windows]
    return [strokes if all_here or not any(whole) else () for strokes, all_here in zip(shown, whole, strict=True)]


def _datum(
    grid: Grid, lettered: Mapping[Cell, Sequence[Label]], block: Sequence[Ink]
) -> dict[Cell, tuple[Stroke, ...]]:
    """The datum lines of every tile, clear of its lettering and of the title block."""
    boxes = iter(boxes_round([label for labels in lettered.values() for label in labels]).tolist())
    whole = [extent(block)] if block else []
    return {
        place: tuple(datum_strokes(grid, place, [*whole, *islice(boxes, len(labels))]))
        for place, labels in lettered.items()
    }
