"""The page that says how the others lie: a small plan, the figures to check, and how to print and join."""

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
from patterns.tiling.paper.check_bars import level_bar, upright_bar
from patterns.tiling.paper.page import Page
from patterns.tiling.paper.paper import BOTTOM_STRIP, LEFT_STRIP, PaperSetup
from patterns.tiling.seams.clip import Box, Segments
from patterns.tiling.seams.crosses import Place, written
from patterns.tiling.seams.furniture import ARROW, BAR_UP, GAP, small_arrow
from patterns.tiling.seams.grid import Cell, Grid
from patterns.units.lengths import figures_in, write_length

TITLE = 5.0  # mm
HEADING = 3.2  # mm
TEXT = 2.4  # mm
SMALL = 1.9  # mm, 7 points
LINE = 1.9  # of a capital's height, from line to line
OUTLINES: tuple[Layer, ...] = ("cut-outside", "cut-inside")  # the rest would clog so small a plan
BIGGEST_NAME, LEAST_NAME = 4.0, 1.85  # mm; the lesser is over 7 points
WAY_UP = 2.6  # mm
EDGE = 2.2  # mm, names of edges
SMOOTH = 0.05  # mm on the plan; points nearer to their neighbours than this are left out
AIR = 0.3  # mm between a name on the plan and a line broken for it
RING = 1.6  # mm, radius of the ring round a cross of a diagonal

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


@dataclass(frozen=True, slots=True)
class _Plan:
    """Where the small plan lies on the page."""

    scale: float
    shift: tuple[float, float]  # mm on the page

    def __call__(self, points: Floats) -> Floats:
        placed: Floats = points * self.scale + self.shift
        return placed


def key_plan(laid: OnGrid, crosses: Mapping[Cell, Sequence[Cross]], paper: PaperSetup, *, show: str) -> Page:
    """The key plan of one pattern on a page of ``paper``."""
    drawing = laid.drawing
    diagonals = long_diagonals({cross.at for found in crosses.values() for cross in found})
    said = _words(laid, diagonals, show)
    left, right, top = paper.margin + LEFT_STRIP, paper.width - paper.margin, paper.height - paper.margin
    text, foot = _text_block(said, left, right, paper.margin + BOTTOM_STRIP)
    title = Label(drawing.title, (left, top - TITLE), TITLE, anchor="start")
    scale = min(1.0, (right - left) / text_width(drawing.title, TITLE))
    run = f"run {drawing.run}, " if drawing.run else ""
    under = Label(f"Key plan, {run}not to scale", (left, top - 2.4 * TITLE), HEADING, anchor="start")
    plan = _plan(laid.grid, (left, foot + 2 * HEADING), (right, top - 5.4 * TITLE))
    outline = list(_outline(laid.ink, plan))
    drawn = (*_cells(laid.grid, laid.kept, plan), *_diagonals(diagonals, plan, paper, show))
    names = [mark for mark in drawn if isinstance(mark, Label)]
    room = (left, foot, right, top - 4.0 * TITLE)
    names += _edge_names(drawing, plan, outline, names, room)
    lines = [*outline, *(mark for mark in drawn if isinstance(mark, Stroke))]
    marks: tuple[Ink, ...] = (
        *broken(lines, names, air=AIR),
        *names,
        Label(title.text, title.at, title.size * scale, anchor="start"),
        under,
        *_way_up(drawing, (left, top - 3.5 * TITLE)),
        *text,
        *level_bar(paper.margin + LEFT_STRIP, paper.margin + BAR_UP),
        *upright_bar(paper.margin + BAR_UP, paper.margin + BOTTOM_STRIP),
    )
    return Page(paper.width, paper.height, marks, f"{drawing.title}: key plan", drawing.title)


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


def _words(laid: OnGrid, diagonals: Sequence[tuple[Place, Place]], show: str) -> Iterator[str]:
    drawing, paper, grid = laid.drawing, laid.paper, laid.grid
    width, height = np.ptp(_net(laid.ink), axis=0).tolist()
    pages = "1 page" if len(laid.kept) == 1 else f"{len(laid.kept)} pages"
    yield " ".join(f"{told}." for told in (f"{pages} of {called(paper)}", drawing.about) if told)
    net = f"{write_length(width, show)} across and {write_length(height, show)} up"
    yield f"The finished line measures {net} as it lies here."
    if drawing.turn:
        way = "counter-clockwise" if drawing.turn > 0 else "clockwise"
        yield f"Turned {abs(math.degrees(drawing.turn)):.1f}° {way} to save paper."
    for one, other in diagonals if paper.grid else ():
        length = write_length(math.dist(one, other), show)
        yield f"Check: cross {written(one, show)} to cross {written(other, show)} measures {length}."
    if len(laid.kept) < grid.rows * grid.columns:
        yield "Where no page is named there is nothing to print."
    yield (
        "A page's letter is its row from the top, its number the column from the left. Tape each row from its right "
        "end "
        "to the left, the top row first. Trim a page where it says 'trim here', and lay it on the edges that name it: "
        "two crosses or more must meet."
    )
    if paper.grid:
        yield (
            f"Figures by a cross say where it is, {figures_in(show)} across and up: equal figures are one place. "
            "Dotted "
            "lines run straight through each row and column: sight along them, or stretch a string."
        )
        yield "Measure the checks on the joined pages before you prick through."


def _net(ink: Segments) -> Floats:
    """Points of the finished line, or of all ink where there is none, (n, 2) mm."""
    net = [stroke.points for stroke in ink.strokes if stroke.layer == "cut-outside"]
    return np.concatenate(net or [ink.start, ink.end] if len(ink.start) else [np.zeros((1, 2))])


def called(paper: PaperSetup) -> str:
    return paper.name[:1].upper() + paper.name[1:]


def _text_block(lines: Iterator[str], left: float, right: float, bottom: float) -> tuple[tuple[Label, ...], float]:
    """Paragraphs above the strip, and where they end at the top."""
    rows = [row for line in lines for row in wrapped(line, size=TEXT, width=right - left)]
    up = [bottom + TEXT * LINE * (len(rows) - number) for number in range(len(rows))]
    labels = tuple(Label(row, (left, y), TEXT, anchor="start") for row, y in zip(rows, up, strict=True))
    return labels, max(up) + TEXT


def _plan(grid: Grid, low: tuple[float, float], high: tuple[float, float]) -> _Plan:
    """The grid as big as fits, in the middle of its room."""
    size = np.array([grid.columns * grid.step[0], grid.rows * grid.step[1]])
    room = np.subtract(high, low) - 2 * RING
    scale = float((room / size).min())
    shift = (np.add(low, high) - size * scale) / 2 - np.array(grid.origin) * scale
    return _Plan(scale, (float(shift[0]), float(shift[1])))


def _outline(ink: Segments, plan: _Plan) -> Iterator[Stroke]:
    chosen = [stroke for stroke in ink.strokes if stroke.layer in OUTLINES] or list(ink.strokes)
    for stroke in chosen:
        points = thinned(plan(stroke.points))
        if len(points) > 1:
            yield Stroke(points, "cut-outside", closed=stroke.closed)


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


def _diagonals(diagonals: Sequence[tuple[Place, Place]], plan: _Plan, page: PaperSetup, show: str) -> Iterator[Ink]:
    """A ring round each cross a check is taken from, its figures, and a line from one to the other."""
    turn = np.linspace(0.0, 2 * np.pi, 25)[:-1]
    ring = RING * np.column_stack([np.cos(turn), np.sin(turn)])
    middle = np.mean(np.array(diagonals)[..., 1])
    for pair in diagonals:
        ends = plan(np.array(pair))
        yield Stroke(ends, "sheet")
        for cross, end in zip(pair, ends, strict=True):
            yield Stroke(end + ring, "sheet", closed=True)
            x, y = end.tolist()
            y += (RING + 1.5 * SMALL) * (1 if cross[1] > middle else -1)
            half = text_width(written(cross, show), SMALL) / 2
            x = min(max(x, page.margin + LEFT_STRIP + half), page.width - page.margin - half)
            yield Label(written(cross, show), (x, y), SMALL)
