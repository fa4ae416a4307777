"""One drawing cut to paper: tiles that meet at lettered crosses, and a key plan to lay them out by."""

from __future__ import annotations

import math
from collections.abc import Iterator, Mapping, Sequence
from dataclasses import dataclass, replace
from itertools import chain, islice

import numpy as np
import shapely

from patterns.drawing.marks import Cross, Drawing, Ink, Label, Stroke, leaders
from patterns.drawing.moved_marks import placed
from patterns.drawing.obstacles import Obstacles, obstacles
from patterns.drawing.text import label_boxes, without_strangers
from patterns.drawing.turning import extent, turned
from patterns.geometry.arrays import Floats
from patterns.geometry.short_repr import brief
from patterns.tiling.paper.page import Page
from patterns.tiling.paper.paper import PaperSetup, paper
from patterns.tiling.seams.clip import Box, Segments, segments
from patterns.tiling.seams.crosses import Lettered, lettered_crosses, seam_crosses, written
from patterns.tiling.seams.datum_lines import datum_strokes
from patterns.tiling.seams.furnished import Furnished, furnished, with_figure
from patterns.tiling.seams.furniture import furniture, names_of, seam_words
from patterns.tiling.seams.grid import ROUNDED, Cell, Grid, best_grid, inked_places, kept_cells, one_cell
from patterns.tiling.seams.key_plan import OnGrid, key_figure, key_widths, taping_order
from patterns.tiling.seams.page_labels import boxes_round, fitted
from patterns.tiling.tiles.ink_and_labels import (
    block_marks,
    ink_of,
    labels_in,
    labels_of,
    lean_of,
    middles_of,
    strokes_of,
)
from patterns.tiling.tiles.off_pages import Unseen, brought_back, needed
from patterns.tiling.tiles.shared_labels import shared_out
from patterns.tiling.tiles.title_blocks import block_beside, block_reshaped, block_whole
from patterns.units.lengths import write_length

LEAST_LEAN = math.radians(2.0)  # less is as good as level
TURNS = tuple(np.radians(np.arange(-40.0, 46.0, 10.0)).tolist())  # tried beside the drawing's own lean
FEW_PAGES = 20  # a pattern of more is long or broad, and a turn other than its own lean saves none
TURNS_TRIED = 3
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
    key: Drawing | None  # a figure of how the pages lie; none where one page is all, or shows it
    key_on: str = ""  # the label of the tile that has that figure

    __repr__ = brief

    @property
    def pages(self) -> tuple[Page, ...]:
        """Every page of the pattern, in the order they are taped."""
        return tuple(tile.page for tile in self.tiles)


def tile(drawing: Drawing, paper: PaperSetup, *, show: str = "mm") -> Tiling:
    """Cut a drawing to pages of ``paper``, the drawing turned and the paper upright or on its side as takes fewest.

    Parameters
    ----------
    show : str
        How lengths are printed: "ft-in-16ths", "mm", ...
    """
    best: Tiling | None = None
    for strips in (False, True):
        ways = _ways(drawing, paper.for_pages(strips=strips))
        for number, way in enumerate(ways):
            if best is not None and len(best.tiles) <= len(way.kept):
                break
            tiling = _cut_way(way, paper, show=show)
            if tiling is not None:
                best = tiling
                if number == 0:
                    return best
                break
    assert best is not None  # strips have room for all that stands in them
    return best


def _ways(drawing: Drawing, paper: PaperSetup) -> list[_Way]:
    """Ways of laying the drawing on paper, that with the fewest pages first."""
    best = _best_way(drawing, paper)
    assert best is not None  # nothing was asked of it
    ways = [best]
    # Nothing takes less than one page.
    for lean in _leans(drawing, paper, len(best.kept)) if len(best.kept) > 1 or not best.whole else ():
        most = (1 - WORTH_TURNING) * len(ways[0].kept) if ways[0].whole else math.inf
        better = _best_way(turned(drawing, -lean), paper, most=most)
        ways = [better, *ways] if better else ways
    return ways


def _cut_way(way: _Way, paper: PaperSetup, *, show: str) -> Tiling | None:
    """None where bars and names have no strips and find no room."""
    drawing = way.drawing
    labels = fitted(labels_of(drawing), way.setup.step)
    among = obstacles((*strokes_of(drawing.body), *strokes_of(block_marks(drawing))))
    laid = OnGrid(drawing, ink_of(drawing), way.grid, way.kept, way.setup, joined=len(way.kept) > 1)
    return _cut(laid, among, labels, key_paper=paper, show=show)


def _leans(drawing: Drawing, paper: PaperSetup, pages: int) -> Iterator[float]:
    """Turns of the drawing, rad, that are likely to save pages, the likeliest last."""
    one_page = [angle for angle in one_page_turns(drawing, paper) if angle]
    if one_page:
        yield from one_page[:TURNS_TRIED]
        return
    lean = lean_of(drawing.body)
    tries = [lean] if abs(lean) > LEAST_LEAN else []
    turns = TURNS if pages <= FEW_PAGES else ()
    tries += [angle for angle in turns if all(abs(angle - other) > LEAST_LEAN for other in tries)]
    counts = [(_roughly(needed(turned(drawing, -angle)), paper), number) for number, angle in enumerate(tries)]
    for count, number in sorted(counts)[TURNS_TRIED - 1 :: -1]:
        if count < pages:
            yield tries[number]


def about_pages(drawing: Drawing, paper: PaperSetup) -> int:
    """How many pages a drawing takes as it lies, its words aside."""
    return _roughly(needed(drawing), paper.for_pages(strips=False))


def takes_fewer_pages(drawing: Drawing, paper: PaperSetup, *, than: int) -> bool:
    """Whether fewer pages take a drawing as it lies, and bars and names beside it."""
    way = _best_way(drawing, paper)
    return way is not None and len(way.kept) < than and _cut_way(way, paper, show="mm") is not None


def one_page_turns(drawing: Drawing, paper: PaperSetup) -> Iterator[float]:
    """Turns of the drawing, rad, by which one page may hold all its ink but the title block, the least first."""
    ink = segments(needed(drawing))
    points = np.concatenate([ink.start, ink.end])
    if not len(points):
        return
    hull = shapely.get_coordinates(shapely.convex_hull(shapely.multipoints(points)))
    for angle in sorted(np.radians(np.arange(-85.0, 91.0, 5.0)).tolist(), key=abs):
        cos, sin = math.cos(-angle), math.sin(-angle)
        size = np.ptp(hull @ np.array([[cos, sin], [-sin, cos]]), axis=0)
        if any((size <= np.array(setup.step) + setup.overlap - 2 * ROUNDED).all() for setup in _both_ways(paper)):
            yield angle


def _roughly(strokes: Sequence[Stroke], paper: PaperSetup) -> int:
    """How many pages the ink takes at the least, its words aside."""
    ink = segments(strokes)
    return min(len(_fewest_sheets(ink, inked_places(ink, setup.pitch), (), setup)[1]) for setup in _both_ways(paper))


def _both_ways(paper: PaperSetup) -> tuple[PaperSetup, PaperSetup]:
    return paper, paper.turned()


@dataclass(frozen=True, slots=True)
class _Way:
    """One way of laying a drawing on paper."""

    drawing: Drawing
    setup: PaperSetup
    grid: Grid
    kept: tuple[Cell, ...]
    whole: bool  # whether its title block stands on one page


def _best_way(drawing: Drawing, paper: PaperSetup, *, most: float = math.inf) -> _Way | None:
    """The paper upright or on its side, with the grid on it that takes the fewest pages.

    Parameters
    ----------
    most : float
        None is given back where it would take more pages than these, or would cut the title block up. Infinite, there
        is always a way.
    """
    ink, labels = segments(needed(drawing)), labels_in(drawing.body)
    among = obstacles(drawing.body)
    places = inked_places(ink, paper.pitch)
    if drawing.holds:
        # Of patterns set down together the words have their places too.
        places = np.concatenate([places, label_boxes(labels).reshape(-1, 2)])
    best: _Way | None = None
    for setup in _both_ways(paper):
        alone = _on_one_sheet(drawing, among, places, setup)
        if alone:
            return alone
    for setup in _both_ways(paper):
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
    return best


def on_one_page(drawing: Drawing, paper: PaperSetup) -> Drawing | None:
    """The drawing with its title block where one page, upright or on its side, holds both; None where none does."""
    among = obstacles(drawing.body)
    places = inked_places(segments(needed(drawing)), paper.pitch)
    ways = (_on_one_sheet(drawing, among, places, setup) for setup in _both_ways(paper))
    return next((way.drawing for way in ways if way), None)


def _on_one_sheet(drawing: Drawing, among: Obstacles, places: Floats, setup: PaperSetup) -> _Way | None:
    across, up = (step + setup.overlap - 2 * ROUNDED for step in setup.step)
    settled = block_beside(drawing, among, places, (across, up))
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
        ink = segments([*needed(drawing), *strokes_of(block_marks(drawing))])
        found = _fewest_sheets(ink, inked_places(ink, setup.pitch), labels_of(drawing), setup)
        return _Way(drawing, setup, *found, whole=False)
    whole, wider, more = settled
    return _Way(whole, setup, wider, more, whole=True)


def _slid(grid: Grid, places: Floats) -> Iterator[Grid]:
    """The grid, and where one row or one column holds all the ink, the grid with the ink at either side of it."""
    yield grid
    room = np.array(grid.step) + grid.overlap - grid.pitch
    for axis, count in enumerate((grid.columns, grid.rows)):
        low, high = float(places[:, axis].min()), float(places[:, axis].max())
        if count > 1 or high - low > room[axis]:
            continue
        half = grid.overlap / 2
        for start in (
            math.floor((low + half) / grid.pitch) * grid.pitch,
            math.ceil((high - half - grid.step[axis]) / grid.pitch) * grid.pitch,
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
    boxes = boxes_round(lettering)
    grid = best_grid(places, boxes, step=setup.step, overlap=setup.overlap, pitch=setup.pitch)
    return grid, kept_cells(grid, ink, none if len(places) else middles_of(lettering))


def cut_to_grid(laid: OnGrid, among: Obstacles, labels: Sequence[Label], *, key_paper: PaperSetup, show: str) -> Tiling:
    """The pages of a grid that are kept, each with strips of its own for bars and names.

    ``among`` is the ink, for lettering to keep clear of.
    """
    tiling = _cut(laid, among, labels, key_paper=key_paper, show=show)
    assert tiling is not None
    return tiling


def _cut(laid: OnGrid, among: Obstacles, labels: Sequence[Label], *, key_paper: PaperSetup, show: str) -> Tiling | None:
    """The pages of a grid; None where bars and names have no strips and find no room."""
    laid = _as_printed(laid)
    drawing, grid, kept, setup = laid.drawing, laid.grid, laid.kept, laid.paper
    windows = [grid.window(place) for place in kept]
    labels, unseen = brought_back(labels, strokes_of(drawing.body), windows)
    seams = obstacles(seam_crosses(grid, kept) if laid.joined else ())
    lettering = shared_out(labels, among, seams, grid, kept)
    crosses = (
        lettered_crosses(grid, kept, lettering.taken, show=show if setup.grid else "")
        if laid.joined
        else dict.fromkeys(kept, Lettered((), ()))
    )
    figures = obstacles(label for lettered in crosses.values() for label in lettered.labels)
    words = seam_words(grid, kept, lettering.taken.joined(seams).joined(figures))
    lettered = {place: (*lettering.by_tile[place], *words[place], *crosses[place].labels) for place in kept}
    block = block_marks(drawing)
    beside: dict[Cell, Furnished] = {}
    named = {place: crosses[place].crosses for place in kept}
    key, key_on = None, ""
    if not setup.strips:
        taken = lettering.taken.joined(seams).joined(figures)
        taken = taken.joined(obstacles(chain.from_iterable(words.values())))
        found = _furnished(laid, taken, _figured(unseen, named, show) if setup.grid else {})
        if found is None:
            return None
        beside = found
        if len(kept) > 1:
            key_on = _with_key(laid, named, taken, beside, key_paper, show=show)
    if len(kept) > 1 and not key_on:
        key = key_figure(laid, named, key_widths(laid, key_paper)[0], show=show)
    datum = _datum(grid, lettered, block, beside) if setup.grid and laid.joined else {}
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
        own = () if setup.strips else beside[place].marks
        strips = furniture(names, setup) if setup.strips else ()
        marks = (*chain.from_iterable(lines), *(placed(mark, shift) for mark in (*others, *own)), *strips)
        entry = drawing.title if len(kept) == 1 else ""
        page = Page(setup.width, setup.height, marks, f"{drawing.title}: {names.own}", entry)
        tiles.append(Tile(names.own, grid.row_letter(place[0]), place[1] + 1, window, shift, page))
    blank = tuple(grid.label(place) for place in grid.cells() if place not in set(kept))
    return Tiling(drawing, setup, grid, tuple(tiles), blank, key, key_on)


def _with_key(
    laid: OnGrid,
    crosses: Mapping[Cell, Sequence[Cross]],
    taken: Obstacles,
    beside: dict[Cell, Furnished],
    paper: PaperSetup,
    *,
    show: str,
) -> str:
    """Set the key plan down on the first page that has room for it; the page's name, or nothing where none has."""
    for width in key_widths(laid, paper)[1:]:
        figure = key_figure(laid, crosses, width, show=show, brief=True).body
        for place in laid.kept:
            found = with_figure(beside[place], figure, laid.in_sight(place), taken)
            if found is not None:
                beside[place] = found
                return laid.grid.label(place)
    return ""


def _figured(
    unseen: Sequence[Unseen], crosses: Mapping[Cell, Sequence[Cross]], show: str
) -> dict[Cell, tuple[str, ...]]:
    """By page, where lines lie that no page shows: how far from the nearest cross."""
    found: dict[Cell, tuple[str, ...]] = {}
    every = [(place, cross.at) for place, some in crosses.items() for cross in some]
    for one in unseen if every else ():
        away = shapely.distance(shapely.points([at for _, at in every]), one.line)
        place, at = every[int(np.argmin(away))]
        ahead = one.line.interpolate(one.line.project(shapely.Point(at)))
        dx, dy = ahead.x - at[0], ahead.y - at[1]
        way = ("right of" if dx > 0 else "left of") if abs(dx) > abs(dy) else ("above" if dy > 0 else "below")
        words = f"{one.name}: {write_length(float(away.min()), show)} {way} cross {written(at, show)}"
        found[place] = (*found.get(place, ()), words)
    return found


def _furnished(laid: OnGrid, taken: Obstacles, figured: Mapping[Cell, Sequence[str]]) -> dict[Cell, Furnished] | None:
    """Bars and names of every page, and figures of lines off the pages; None where one has no room for them."""
    grid, kept = laid.grid, laid.kept
    found: dict[Cell, Furnished] = {}
    for place in kept:
        names = names_of(laid.drawing, grid, kept, place)
        own = furnished(names, grid.window(place), laid.in_sight(place), taken, figured.get(place, ()))
        if own is None:
            return None
        found[place] = own
    return found


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
    grid: Grid, lettered: Mapping[Cell, Sequence[Label]], block: Sequence[Ink], beside: Mapping[Cell, Furnished]
) -> dict[Cell, tuple[Stroke, ...]]:
    """The datum lines of every tile, clear of its lettering, of its bars and of the title block."""
    boxes = iter(boxes_round([label for labels in lettered.values() for label in labels]).tolist())
    whole = [extent(block)] if block else []
    return {
        place: tuple(datum_strokes(grid, place, [*whole, *islice(boxes, len(labels)), *_boxes_of(beside.get(place))]))
        for place, labels in lettered.items()
    }


def _boxes_of(beside: Furnished | None) -> tuple[Box, ...]:
    return () if beside is None else beside.boxes
