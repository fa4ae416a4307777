"""A figure that says how the pages of a pattern lie: a small plan and the lengths to check."""

from __future__ import annotations

import math
from collections.abc import Iterator, Mapping, Sequence
from dataclasses import dataclass

import numpy as np

from patterns.drawing.along_lines import Course, all_beside, line_gap, steps
from patterns.drawing.breaking import broken
from patterns.drawing.marks import Cross, Drawing, Ink, Label, Layer, Stroke
from patterns.drawing.obstacles import obstacles
from patterns.drawing.overlaps import level_bounds
from patterns.drawing.text import label_boxes, text_width, without_strangers, wrapped
from patterns.geometry.arrays import Floats, lengths
from patterns.tiling.paper.paper import PaperSetup
from patterns.tiling.paper.stacked import BETWEEN, room
from patterns.tiling.seams.clip import Box, Segments
from patterns.tiling.seams.crosses import Place, written
from patterns.tiling.seams.furniture import ARROW, GAP, small_arrow
from patterns.tiling.seams.grid import Cell, Grid, neighbours
from patterns.units.lengths import write_length

TITLE = 3.4  # mm
TEXT = 2.0  # mm
SMALL = 1.9  # mm, 7 points: no smaller letter is read at arm's length
TALLEST = 72.0  # mm, of the plan alone
LESS_TALL = 46.0  # mm, of one on a page of the pattern
ON_PATTERN = (100.0, 84.0, 70.0, 58.0)  # mm, widths of a plan on a page of the pattern itself
LEAST_WIDTH, LEAST_COLUMN = 56.0, 9.0  # mm, of a plan and of a page on it: narrower, names do not go in
HALVED = 160.0  # mm; a page with so much room takes two plans side by side
FEW_COLUMNS = 9  # of pages; a plan of more would have them too narrow for their names at half the width
LINE = 1.9  # of a capital's height, from line to line
OUTLINES: tuple[Layer, ...] = ("cut-outside", "cut-inside")  # the rest would clog so small a plan
BIGGEST_NAME, LEAST_NAME = 4.0, 1.85  # mm; the lesser is over 7 points
WAY_UP = 2.6  # mm
EDGE = 2.2  # mm, names of edges
SMOOTH = 0.05  # mm on the plan; points nearer to their neighbours than this are left out
AIR = 0.3  # mm between a name on the plan and a line broken for it
SIDE = 5.0  # mm beside the plan, for names of edges and rings
RING = 1.6  # mm, radius of the ring round a cross of a diagonal

HOW_TO_TAPE = (
    "Key plans, not to scale. A page's letter is its row from the top, its number the column from the left. Tape each "
    "row from its right end to the left, the top row first. Then measure both checks."
)
CAUTION = (
    "Check the bars, the figures above and a card model before you cut stock. This program gives shapes, not strength, "
    "stability or capacity: follow local codes and a licensed professional."
)


@dataclass(frozen=True, slots=True, eq=False)
class OnGrid:
    """A drawing laid over a grid of pages."""

    drawing: Drawing
    ink: Segments  # all of it but the lettering
    grid: Grid
    kept: tuple[Cell, ...]  # the cells that are printed
    paper: PaperSetup
    joined: bool = True  # whether crosses are wanted: a page that joins no other needs none, a roll is checked by them

    def in_sight(self, place: Cell) -> Box:
        """What a page shows, mm, without what is trimmed off at its right and its top."""
        left, bottom, right, top = self.grid.window(place)
        _, _, seam_right, seam_top = self.grid.cell(place)
        _, to_right, above, _ = neighbours(place)
        return left, bottom, seam_right if to_right in self.kept else right, seam_top if above in self.kept else top


@dataclass(frozen=True, slots=True)
class _Plan:
    """Where the small plan lies on the page."""

    scale: float
    shift: tuple[float, float]  # mm on the page

    def __call__(self, points: Floats) -> Floats:
        placed: Floats = points * self.scale + self.shift
        return placed


def key_widths(laid: OnGrid, paper: PaperSetup) -> tuple[float, ...]:
    """How wide a key plan may be, mm: on a page of its own among others first, then on a page of the pattern."""
    whole = room(paper)[0]
    halved = laid.grid.columns <= FEW_COLUMNS and whole > HALVED
    least = max(LEAST_WIDTH, LEAST_COLUMN * laid.grid.columns)
    return ((whole - BETWEEN) / 2 if halved else whole, *(width for width in ON_PATTERN if width >= least))


def key_figure(
    laid: OnGrid, crosses: Mapping[Cell, Sequence[Cross]], width: float, *, show: str, brief: bool = False
) -> Drawing:
    """The key plan of one pattern, so many mm wide, its upper left corner at nought.

    Parameters
    ----------
    brief : bool
        Without what the pattern's own pages say.
    """
    drawing = laid.drawing
    diagonals = long_diagonals({cross.at for found in crosses.values() for cross in found})
    about = (f"{drawing.about}.",) if drawing.about else ()
    said = (*(about if brief else _words(laid, show)), *_checks(laid, diagonals, show))
    lines = (
        *((line, TITLE) for line in wrapped("Key plan" if brief else drawing.title, size=TITLE, width=width)),
        *((row, TEXT) for words in said for row in wrapped(words, size=TEXT, width=width)),
    )
    words, low = [], 0.0
    for line, size in lines:
        words.append(Label(line, (0.0, low - size * LINE / 2), size, anchor="start"))
        low -= size * LINE
    way_up = () if brief else tuple(_way_up(drawing, (0.0, low - WAY_UP)))
    low -= 2 * WAY_UP if way_up else 0.0
    plan = _plan(laid.grid, (width, LESS_TALL if brief else TALLEST), low - RING - 3 * SMALL)
    # On a page of the pattern itself the plan is drawn like all that is no pattern.
    outline = list(_outline(laid.ink, plan, "sheet" if brief else "cut-outside"))
    drawn = (*_cells(laid.grid, laid.kept, plan), *_diagonals(diagonals, plan, width, "" if brief else show))
    names = [mark for mark in drawn if isinstance(mark, Label)]
    foot = float(plan(np.array([laid.grid.origin]))[0, 1]) - 3 * SMALL
    names += _edge_names(drawing, plan, outline, names, (0.0, foot, width, low))
    strokes = [*outline, *(mark for mark in drawn if isinstance(mark, Stroke))]
    marks: tuple[Ink, ...] = (*broken(strokes, names, air=AIR), *names, *words, *way_up)
    return Drawing(drawing.title, f"{drawing.file_name}-key", marks)


def _way_up(drawing: Drawing, at: tuple[float, float]) -> Iterator[Ink]:
    """Which face is toward the reader and where the bow lies."""
    (x, y), pointer = at, drawing.pointer
    for text in (drawing.foot, pointer.word if pointer else ""):
        if text:
            yield Label(text, (x, y), WAY_UP, anchor="start")
            x += text_width(text, WAY_UP) + GAP
    if pointer is not None and pointer.angle is not None:
        yield from small_arrow((x + ARROW / 2, y), pointer.angle)


def _edge_names(
    drawing: Drawing, plan: _Plan, outline: Sequence[Stroke], names: Sequence[Label], room: Box
) -> Iterator[Label]:
    """The edges' names beside them, outside the part where there is room; a short edge goes without.

    Where all is crowded a name stands clear of other words alone, and lines are broken for it.
    """
    words = obstacles(names)
    ink = words.joined(obstacles(outline))
    for name, line in drawing.named:
        text = without_strangers(name)
        course, wide = Course.of(thinned(plan(line))), text_width(text, EDGE)
        if course.length < wide:
            continue
        close, half = line_gap(text, EDGE), course.length / 2
        offsets = steps(
            [side * (close + step) for step in (0.0, 1.5, 3.0) for side in (-1.0, 1.0)],
            [share * half for share in (0.0, 0.3, -0.3, 0.6, -0.6, 0.8, -0.8)],
        )
        [places] = all_beside(course, np.array([wide]), along=np.array([half]), offsets=offsets)
        labels = [Label(text, (x, y), EDGE, angle) for x, y, angle in places.tolist()]
        boxes = label_boxes(labels)
        bounds = level_bounds(boxes)
        inside = (bounds[:, :2] >= room[:2]).all(axis=1) & (bounds[:, 2:] <= room[2:]).all(axis=1)
        free = next((one for one in (inside & ink.free(boxes), inside & words.free(boxes)) if one.any()), None)
        if free is not None:
            label = labels[int(free.argmax())]
            words, ink = (one.joined(obstacles([label])) for one in (words, ink))
            yield label


def long_diagonals(crosses: set[Place]) -> tuple[tuple[Place, Place], ...]:
    """The two longest ways over the pattern from printed cross to printed cross, one rising and one falling."""
    points = np.array(sorted(crosses))
    spread = np.ptp(points, axis=0)
    x, y = (points / np.where(spread > 0, spread, 1.0)).T
    pairs = []
    for sums in (x + y, x - y):
        one, other = points[int(sums.argmin())].tolist(), points[int(sums.argmax())].tolist()
        pairs.append(((one[0], one[1]), (other[0], other[1])))
    return tuple(pairs)


def _words(laid: OnGrid, show: str) -> Iterator[str]:
    drawing, paper = laid.drawing, laid.paper
    width, height = np.ptp(_net(laid.ink), axis=0).tolist()
    pages = "1 page" if len(laid.kept) == 1 else f"{len(laid.kept)} pages"
    yield " ".join(f"{told}." for told in (f"{pages} of {called(paper)}", drawing.about) if told)
    net = f"{write_length(width, show)} across and {write_length(height, show)} up"
    yield f"The finished line measures {net} as it lies here."
    if drawing.turn:
        way = "counter-clockwise" if drawing.turn > 0 else "clockwise"
        yield f"Turned {abs(math.degrees(drawing.turn)):.1f}° {way} to save paper."
    if len(laid.kept) < laid.grid.rows * laid.grid.columns:
        yield "Where no page is named there is nothing to print."


def _checks(laid: OnGrid, diagonals: Sequence[tuple[Place, Place]], show: str) -> Iterator[str]:
    for one, other in diagonals if laid.paper.grid else ():
        length = write_length(math.dist(one, other), show)
        yield f"Check: cross {written(one, show)} to cross {written(other, show)} measures {length}."


def _net(ink: Segments) -> Floats:
    """Points of the finished line, or of all ink where there is none, (n, 2) mm."""
    net = [stroke.points for stroke in ink.strokes if stroke.layer == "cut-outside"]
    return np.concatenate(net or [ink.start, ink.end] if len(ink.start) else [np.zeros((1, 2))])


def called(paper: PaperSetup) -> str:
    return paper.name[:1].upper() + paper.name[1:]


def _plan(grid: Grid, room_for: tuple[float, float], top: float) -> _Plan:
    """The grid as big as fits under what is said of it, from the left."""
    size = np.array([grid.columns * grid.step[0], grid.rows * grid.step[1]])
    scale = float(((np.array(room_for) - (2 * SIDE, 0.0)) / size).min())
    corner = np.array([SIDE, top - size[1] * scale])
    shift = corner - np.array(grid.origin) * scale
    return _Plan(scale, (float(shift[0]), float(shift[1])))


def _outline(ink: Segments, plan: _Plan, layer: Layer) -> Iterator[Stroke]:
    chosen = [stroke for stroke in ink.strokes if stroke.layer in OUTLINES] or list(ink.strokes)
    for stroke in chosen:
        points = thinned(plan(stroke.points))
        if len(points) > 1:
            yield Stroke(points, layer, closed=stroke.closed)


def thinned(points: Floats) -> Floats:
    """Points of which none stands nearer to the one kept before it than the plan can show, ends kept."""
    run = np.concatenate([[0.0], np.cumsum(lengths(np.diff(points, axis=0)))])
    steps = np.floor(run / (10 * SMOOTH))
    keep = np.concatenate([[True], np.diff(steps) > 0])
    keep[-1] = True
    kept: Floats = points[keep]
    return kept


def _cells(grid: Grid, kept: Sequence[Cell], plan: _Plan) -> Iterator[Ink]:
    """Each page's outline and its name."""
    width, height = grid.step[0] * plan.scale, grid.step[1] * plan.scale
    for cell in kept:
        left, bottom, right, top = grid.cell(cell)
        placed = plan(np.array([[left, bottom], [right, bottom], [right, top], [left, top]]))
        name = grid.label(cell)
        size = max(LEAST_NAME, min(BIGGEST_NAME, 0.3 * height, 0.6 * width / text_width(name, 1.0)))
        yield Stroke(placed, "sheet", closed=True)
        x, y = placed.mean(axis=0).tolist()
        yield Label(name, (x, y), size)


def taping_order(kept: Sequence[Cell]) -> list[Cell]:
    """Rows from the top, each from its right end: so each page's trimmed edges come over those lying already."""
    return sorted(kept, key=lambda place: (-place[0], -place[1]))


def _diagonals(diagonals: Sequence[tuple[Place, Place]], plan: _Plan, width: float, show: str) -> Iterator[Ink]:
    """A ring round each cross a check is taken from, its figures, and a line from one to the other.

    Without ``show`` they go without figures: beside crosses of the pattern those would be read as a cross's own.
    """
    turn = np.linspace(0.0, 2 * np.pi, 25)[:-1]
    ring = RING * np.column_stack([np.cos(turn), np.sin(turn)])
    middle = np.mean(np.array(diagonals)[..., 1])
    for pair in diagonals:
        ends = plan(np.array(pair))
        yield Stroke(ends, "sheet")
        for cross, end in zip(pair, ends, strict=True):
            yield Stroke(end + ring, "sheet", closed=True)
            if not show:
                continue
            x, y = end.tolist()
            y += (RING + 1.5 * SMALL) * (1 if cross[1] > middle else -1)
            half = text_width(written(cross, show), SMALL) / 2
            x = min(max(x, half), width - half)
            yield Label(written(cross, show), (x, y), SMALL)
