"""The page that says how the others lie: a small plan, the figures to check, and how to print and join."""

from __future__ import annotations

import math
from collections.abc import Iterator, Mapping, Sequence
from dataclasses import dataclass

import numpy as np

from patterns.drawing.breaking import broken
from patterns.drawing.marks import Cross, Drawing, Ink, Label, Layer, Stroke
from patterns.drawing.text import text_width, wrapped
from patterns.geometry.arrays import Floats, lengths
from patterns.tiling.paper.check_bars import level_bar, upright_bar
from patterns.tiling.paper.page import Page
from patterns.tiling.paper.paper import BOTTOM_STRIP, LEFT_STRIP, PaperSetup
from patterns.tiling.seams.clip import Segments
from patterns.tiling.seams.crosses import Place, written
from patterns.tiling.seams.furniture import BAR_UP
from patterns.tiling.seams.grid import Cell, Grid
from patterns.units.lengths import figures_in, write_length

TITLE = 5.0  # mm
HEADING = 3.2  # mm
TEXT = 2.4  # mm
SMALL = 1.9  # mm, 7 points
LINE = 1.9  # of a capital's height, from line to line
OUTLINES: tuple[Layer, ...] = ("cut-outside", "cut-inside")  # the rest would clog so small a plan
BIGGEST_NAME = 4.0  # mm
SMOOTH = 0.05  # mm on the plan; points nearer to their neighbours than this are left out
AIR = 0.3  # mm between a name on the plan and a line broken for it
RING = 1.6  # mm, radius of the ring round a cross of a diagonal

CAUTION = (
    "Prove the pattern before you cut stock: check the bars, the figures above and a card model. This program gives "
    "shapes, not strength, stability or capacity: follow local codes and a licensed professional."
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
    plan = _plan(laid.grid, (left, foot + 2 * HEADING), (right, top - 4.8 * TITLE))
    drawn = (*_cells(laid.grid, laid.kept, plan), *_diagonals(diagonals, plan, paper, show))
    names = [mark for mark in drawn if isinstance(mark, Label)]
    lines = [*_outline(laid.ink, plan), *(mark for mark in drawn if isinstance(mark, Stroke))]
    marks: tuple[Ink, ...] = (
        *broken(lines, names, air=AIR),
        *names,
        Label(title.text, title.at, title.size * scale, anchor="start"),
        under,
        *text,
        *level_bar(paper.margin + LEFT_STRIP, paper.margin + BAR_UP),
        *upright_bar(paper.margin + BAR_UP, paper.margin + BOTTOM_STRIP),
    )
    return Page(paper.width, paper.height, marks, f"{drawing.title}: key plan", drawing.title)


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
    yield f"As it lies here the heavy line, of the marked face alone, measures {net}."
    if drawing.turn:
        way = "counter-clockwise" if drawing.turn > 0 else "clockwise"
        yield f"Turned {abs(math.degrees(drawing.turn)):.1f}° {way} from how it is drawn elsewhere, to save paper."
    for one, other in diagonals if paper.grid else ():
        length = write_length(math.dist(one, other), show)
        yield f"Check: cross {written(one, show)} to cross {written(other, show)} measures {length}."
    blank = [grid.label(place) for place in grid.cells() if place not in set(laid.kept)]
    if blank:
        yield f"Left out, nothing on them: {', '.join(blank)}."
    yield (
        "Print at 100 % (actual size, no fit to page). Lay a rule on both bars of every page: 100 mm, or 3 15/16 in. "
        "If one is out by the width of a pencil line, do not cut to the page: the pattern is out by as much in every "
        "such length."
    )
    yield (
        "Trim the right and the top edge on the dash-dot line where the page says so. Tape in the order of the small"
        " figures on the plan, which are the pages' numbers: each row from its right end to the left, each row below"
        " the one before. Every page is laid over those taped already so that the half crosses on its trimmed edges "
        "meet the whole ones below, two at the least."
    )
    if paper.grid:
        yield (
            f"Figures by a cross are its place, {figures_in(show)} across and up: equal figures are the same place. "
            "Sparse dotted lines "
            "run straight through every row and every column: sight along them, or stretch a string."
        )
    yield "Measure the checks above on the joined pages, then prick through and join the marks with a batten."
    yield CAUTION


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
            yield Stroke(points, "mark", closed=stroke.closed)


def thinned(points: Floats) -> Floats:
    """Points of which none stands nearer to the one kept before it than the plan can show, ends kept."""
    run = np.concatenate([[0.0], np.cumsum(lengths(np.diff(points, axis=0)))])
    steps = np.floor(run / (10 * SMOOTH))
    keep = np.concatenate([[True], np.diff(steps) > 0])
    keep[-1] = True
    kept: Floats = points[keep]
    return kept


def _cells(grid: Grid, kept: Sequence[Cell], plan: _Plan) -> Iterator[Ink]:
    """Each page's outline, its name, and in a corner its place in the order of taping."""
    width, height = grid.step[0] * plan.scale, grid.step[1] * plan.scale
    order = {place: number for number, place in enumerate(taping_order(kept), 1)}
    for place in kept:
        left, bottom, right, top = grid.cell(place)
        corners = np.array([[left, bottom], [right, bottom], [right, top], [left, top]])
        name, number = grid.label(place), str(order[place])
        size = min(BIGGEST_NAME, 0.3 * height, 0.6 * width / text_width(name, 1.0))
        small = min(SMALL, 0.6 * size, 0.4 * width / text_width(number, 1.0))
        placed = plan(corners)
        yield Stroke(placed, "sheet", closed=True)
        x, y = placed.mean(axis=0).tolist()
        yield Label(name, (x, y - 0.12 * height), size)
        x, y = (placed[2] - (0.5, 0.5 + small / 2 + 0.2)).tolist()
        yield Label(number, (x, y), small, anchor="end", layer="sheet")


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
