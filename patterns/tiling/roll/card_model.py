"""The boat's skin and frames small, on card, to be cut out and taped together before a sheet of plywood is cut.

Every page says in its head, its foot and both its sides that it is a model and at what scale, and its bars say what
they are on the boat: nobody is to cut wood to it.
"""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from dataclasses import dataclass
from itertools import product
from math import fsum

import numpy as np
import shapely

from patterns.drawing.along_lines import beside, line_gap, steps
from patterns.drawing.label_placing import Request, request_boxes
from patterns.drawing.marks import Drawing, Ink, Label, Stroke
from patterns.drawing.moved_marks import QUARTER, placed
from patterns.drawing.obstacles import obstacles
from patterns.drawing.text import text_reach, text_width, without_strangers
from patterns.errors import PatternsError
from patterns.geometry.arrays import Floats, lengths, run_along
from patterns.parts.part import Part
from patterns.parts.role import Role
from patterns.tiling.paper.check_bars import level_bar, upright_bar
from patterns.tiling.paper.page import Page
from patterns.tiling.paper.paper import BAR, BAR_ROOM, PaperSetup
from patterns.tiling.paper.side_by_side import Laid, laid_marks, lay_out

LEAST, MOST = 2, 40  # one to so many; beyond the last a frame's arm of 2 in is narrower than knife and rule can cut
SCALES = (4, 5, 6, 8, 10, 12, 15, 16, 20, 24, 30, 32, 40)  # tried for one that fits; 12 is an inch to the foot
SHEETS = 2  # of card, at the most
GAP, CELL = 5.0, 2.0  # mm
HEAD, FOOT, SIDE = 12.0, 10.0, 9.0  # mm of each page kept for its words and bars
TITLE, WARNING, TEXT = 4.0, 3.0, 2.0  # mm, capitals
NAMES = (3.0, 2.4, 1.8)  # mm, capitals of a piece's name, the biggest that fits; smaller is not read at arm's length
MARKS = 1.8  # mm, of a mark's name
SHELL = (Role.PANEL, Role.TRANSOM, Role.FRAME, Role.MOULD)  # a model has whole frames and not what they are made of
CLEAR = 0.6  # mm between a name and any line
BEVELS = "Cut on the heavy line. Bevels are left off."


@dataclass(frozen=True, slots=True, eq=False)
class Model:
    """A model's pages."""

    scale: int  # one to so many
    paper: PaperSetup
    pages: tuple[Page, ...]


def model(parts: Sequence[Part], scale: int, papers: Sequence[PaperSetup], *, boat: str) -> Model:
    """A model on the first of the papers that takes it on two pages.

    Raises
    ------
    PatternsError
        A scale at which no paper takes the boat.
    """
    pieces = _pieces(parts, scale)
    for paper in papers:
        found = _on(pieces, paper)
        if found is not None:
            setup, sheets = found
            pages = tuple(
                _page(laid_marks(pieces, sheet), scale, setup, boat=boat, number=number, count=len(sheets))
                for number, sheet in enumerate(sheets, start=1)
            )
            return Model(scale, setup, pages)
    takes = largest_scale(parts, papers[-1], over=scale)
    also = f"; 1:{takes} goes on {papers[-1].name}" if takes else ""
    raise PatternsError(f"--scale: found 1:{scale}, expected one at which all pieces go on {SHEETS} pages{also}")


def largest_scale(parts: Sequence[Part], paper: PaperSetup, *, over: int) -> int | None:
    """The largest of the usual model scales smaller than one to ``over`` that a paper takes."""
    return next((scale for scale in SCALES if scale > over and _on(_pieces(parts, scale), paper)), None)


def in_model(part: Part) -> bool:
    """Whether a part is of the shell or a whole frame."""
    return part.role in SHELL


def _pieces(parts: Sequence[Part], scale: int) -> list[Drawing]:
    return [_piece(part, scale) for part in parts if in_model(part)]


def _on(pieces: Sequence[Drawing], paper: PaperSetup) -> tuple[PaperSetup, tuple[tuple[Laid, ...], ...]] | None:
    """The paper upright or on its side, whichever takes fewer pages, and where the pieces lie."""
    ways = []
    for setup in (paper, paper.turned()):
        (left, bottom), (right, top) = _ground(setup)
        room = (right - left, top - bottom)
        if not _may_go(pieces, room):
            continue
        sheets, left_over = lay_out(pieces, room, gap=GAP, cell=CELL)
        if not left_over and len(sheets) <= SHEETS:
            ways.append((setup, sheets))
    return min(ways, key=lambda way: len(way[1]), default=None)


def _may_go(pieces: Sequence[Drawing], room: tuple[float, float]) -> bool:
    """Whether the longest piece is no longer than the room, and all have no more area: quick to ask."""
    outlines = [shapely.Polygon(piece.marks[0].points) for piece in pieces if isinstance(piece.marks[0], Stroke)]
    longest = max((float(np.ptp(shapely.get_coordinates(one), axis=0).max()) for one in outlines), default=0.0)
    return longest <= max(room) and fsum(one.area for one in outlines) <= SHEETS * room[0] * room[1]


def _ground(paper: PaperSetup) -> tuple[tuple[float, float], tuple[float, float]]:
    edge = paper.margin
    return (edge + SIDE, edge + FOOT), (paper.width - edge - SIDE, paper.height - edge - HEAD)


def _piece(part: Part, scale: int) -> Drawing:
    """A part small: finished line, openings, what of its marks lies on the piece, and what names fit."""
    wood = shapely.Polygon(part.outline / scale, [hole / scale for hole in part.holes])
    strokes = [Stroke(np.asarray(wood.exterior.coords)[:-1], "cut-outside", closed=True)]
    strokes += [Stroke(np.asarray(ring.coords)[:-1], "cut-inside", closed=True) for ring in wood.interiors]
    marks = [(mark.name, line) for mark in part.marks for line in _on_the_piece(mark.points / scale, wood)]
    strokes += [Stroke(line, "mark") for _, line in marks]
    title = _first_free(_title(part, wood), wood, strokes)
    labels = list(title)
    for name, line in marks:
        labels += _first_free([_mark_name(name, line)], wood, (*strokes, *labels))
    if not title:
        labels.append(_underneath(part, wood))
    return Drawing(part.title, part.file_name, (*strokes, *labels))


def _on_the_piece(points: Floats, wood: shapely.Polygon) -> Iterator[Floats]:
    """A mark cut to the piece; what only touches its edge is left out."""
    cut = shapely.line_merge(shapely.intersection(shapely.LineString(points), wood.buffer(-0.01)))
    for line in shapely.get_parts(cut):
        if isinstance(line, shapely.LineString) and line.length > 1.0:
            yield np.asarray(line.coords)


def _title(part: Part, wood: shapely.Polygon) -> list[Request]:
    """The part's name and face where the piece is widest first, level or upright; the name alone where that is all."""
    widest = shapely.get_point(shapely.maximum_inscribed_circle(wood), 0)
    home = (widest.x, widest.y)
    left, bottom, right, top = wood.bounds
    grid = np.stack(np.meshgrid(np.linspace(left, right, 24), np.linspace(bottom, top, 12)), axis=-1).reshape(-1, 2)
    near = np.argsort(np.round(lengths(grid - home), 3), kind="stable")
    spots = np.concatenate([[home], grid[near]])
    places = np.concatenate([np.column_stack([spots, np.full(len(spots), angle)]) for angle in (0.0, QUARTER)])
    name = without_strangers(part.title)
    texts = (f"{name}, {without_strangers(part.marked_face)}", name)
    return [Request(text, size, places, home) for text, size in product(texts, NAMES)]


def _mark_name(name: str, line: Floats) -> Request:
    text = without_strangers(name)
    gap, length = line_gap(text, MARKS), float(run_along(line)[-1])
    offsets = steps((gap, -gap), [share * length for share in (0.0, -0.2, 0.2, -0.35, 0.35)])
    places = beside(line, text, size=MARKS, along=length / 2, offsets=offsets)
    return Request(text, MARKS, places, (float(line[0, 0]), float(line[0, 1])))


def _first_free(requests: Sequence[Request], wood: shapely.Polygon, ink: Sequence[Ink]) -> list[Label]:
    """The first of the texts that has room on the piece, in its first free place; none where none has."""
    taken = obstacles(ink)
    shapely.prepare(wood)
    for request in requests:
        boxes = request_boxes(request, request.places, clear=CLEAR)
        free = taken.free(boxes) & shapely.contains(wood, shapely.polygons(boxes))
        if free.any():
            x, y, angle = request.places[free.argmax()].tolist()
            return [Label(request.text, (x, y), request.size, angle)]
    return []


def _underneath(part: Part, wood: shapely.Polygon) -> Label:
    """The name of a piece too small to carry it."""
    text = without_strangers(part.title)
    left, bottom, right, _ = wood.bounds
    return Label(text, ((left + right) / 2, bottom - 1.0 - text_reach(text, NAMES[-1])[0]), NAMES[-1])


def _page(pieces: Sequence[Ink], scale: int, paper: PaperSetup, *, boat: str, number: int, count: int) -> Page:
    """One page of card: what lies on it, what it is, and bars that say what they are on the boat."""
    (left, bottom), _ = _ground(paper)
    edge, width, height = paper.margin, paper.width, paper.height
    bar = f"this bar is {BAR:.0f} mm on paper = {BAR * scale:.0f} mm on the boat"
    what = f"MODEL 1:{scale}, NOT A PATTERN FOR WOOD"
    head = f"{what}: {without_strangers(boat)}"
    about = f"page {number} of {count}. Print on card at 100 %, actual size; measure both bars. {BEVELS}"
    marks: tuple[Ink, ...] = (
        *(placed(mark, (left, bottom)) for mark in pieces),
        _fitted(head, (edge + 1.0, height - edge - TITLE), TITLE, width - 2 * edge - 2.0),
        _fitted(about, (edge + 1.0, height - edge - 2.2 * TITLE), TEXT, width - 2 * edge - 2.0),
        *level_bar(edge + 1.0, edge + 3.0, words=bar),
        *upright_bar(edge + 3.0, bottom, words=bar),
        *_all_along(what, (edge + BAR_ROOM + 4.0, width - edge), edge + FOOT / 2),
        *_all_along(what, (bottom + BAR_ROOM, height - edge - HEAD), edge + SIDE / 2, upright=True),
        *_all_along(what, (edge + FOOT, height - edge - HEAD), width - edge - SIDE / 2, upright=True),
    )
    return Page(width, height, marks, f"model 1:{scale}, page {number}", f"model 1:{scale}, page {number}")


def _all_along(text: str, ends: tuple[float, float], aside: float, *, upright: bool = False) -> Iterator[Label]:
    """The words again and again along a margin, so that no corner torn off is without them."""
    low, high = ends
    size = min(WARNING, WARNING * (high - low) / text_width(text, WARNING))
    count = max(1, int((high - low) / (2 * text_width(text, size))))
    for along in low + (np.arange(count) + 0.5) * (high - low) / count:
        at = (aside, float(along)) if upright else (float(along), aside)
        yield Label(text, at, size, angle=QUARTER if upright else 0.0)


def _fitted(text: str, at: tuple[float, float], size: float, room: float) -> Label:
    return Label(text, at, min(size, size * room / text_width(text, size)), anchor="start")
