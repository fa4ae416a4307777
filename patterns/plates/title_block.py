"""The words every pattern carries: whose, which way up, which face, what stock; set where the wood leaves room."""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from dataclasses import dataclass

import numpy as np
import shapely

from patterns.drawing.marks import Ink, Label, Stroke
from patterns.drawing.obstacles import Obstacles, obstacles
from patterns.drawing.text import text_width, without_strangers, wrapped
from patterns.geometry.arrays import Floats
from patterns.parts.part import Part
from patterns.plates.bevels import SQUARE_WITHIN
from patterns.plates.bow import bow_ink, bow_size
from patterns.units.lengths import write_length

TITLE_SIZE = 6.0  # mm, capitals
BOAT_SIZE = 4.0  # mm
TEXT_SIZE = 3.0  # mm
LEADING = 1.75  # line spacing, in heights of a capital
WIDTHS = (130.0, 95.0)  # mm, block widths tried in turn
BEVEL_BAND = 25.0  # mm kept free for bevels between the block and any line, where there is room
TIGHT = 8.0  # mm, where there is not
BELOW = 20.0  # mm from the pattern to a block that fits nowhere inside


@dataclass(frozen=True, slots=True)
class Row:
    """One line of the block; the row without text holds the bow arrow."""

    text: str
    size: float  # mm
    height: float  # mm


@dataclass(frozen=True, slots=True)
class Block:
    """Rows set flush left under each other."""

    rows: tuple[Row, ...]
    width: float  # mm

    @property
    def height(self) -> float:
        return sum(row.height for row in self.rows)


def title_block(part: Part, *, boat: str, show: str, ink: Sequence[Ink]) -> tuple[Ink, ...]:
    """The title block of a pattern, clear of the ``ink`` already drawn."""
    among = obstacles(ink)
    dashed = any(isinstance(mark, Stroke) and mark.layer == "far-face" for mark in ink)
    said = tuple(words(part, show, dashed=dashed))
    blocks = [_block(part, boat, said, width=width) for width in WIDTHS]
    for clear in (BEVEL_BAND, (BEVEL_BAND + TIGHT) / 2, TIGHT):
        for block in blocks:
            middle = _room(part.outline, block, among, clear=clear)
            if middle is not None:
                return _set_down(block, part, middle)
    return _set_down(blocks[0], part, _underneath(ink, blocks[0]))


def words(part: Part, show: str, *, dashed: bool) -> Iterator[str]:
    """What the builder must know of a pattern, a sentence each."""
    yield f"marked face: {part.marked_face}, towards you"
    material = f"{part.material}, " if part.material else ""
    yield f"{material}{write_length(part.thickness, show)} thick as measured"
    yield f"grain: {part.grain}"
    yield f"make {part.count}"
    yield "heavy line: net line, the finished edge on the marked face"
    if dashed:
        yield "dashed line: the edge on the far face"
    yield from _bevel_words(part)
    yield from part.remarks
    yield from _landing_words(part, show)


def _bevel_words(part: Part) -> Iterator[str]:
    degrees = np.rad2deg([bevel.angle for edge in part.edges for bevel in edge.bevels])
    if np.any(np.abs(degrees) >= SQUARE_WITHIN):
        yield "bevels: degrees off square, then the run over the thickness"
    if np.any(degrees <= -SQUARE_WITHIN):
        yield "under: far face smaller, cut away behind the line"
    if np.any(degrees >= SQUARE_WITHIN):
        yield "standing: far face larger, leave wood outside the line"


def _landing_words(part: Part, show: str) -> Iterator[str]:
    if part.landings:
        yield "landing bevels, off the centre plane, at heights above base:"
    for landing in part.landings:
        height, half = write_length(landing.height, show), write_length(landing.half_face, show)
        yield f"{height}: {np.rad2deg(landing.angle):.1f}°, half face {half}"


def _block(part: Part, boat: str, said: Sequence[str], *, width: float) -> Block:
    across, high = bow_size(part)
    title = part.title[:1].upper() + part.title[1:]
    rows = [
        *_rows(boat, BOAT_SIZE, width),
        *_rows(title, TITLE_SIZE, width),
        Row("", 0.0, high + 2 * TEXT_SIZE),
        *(row for line in said for row in _rows(line, TEXT_SIZE, width)),
    ]
    widest = max(text_width(row.text, row.size) for row in rows if row.text)
    return Block(tuple(rows), max(across, widest))


def _rows(text: str, size: float, width: float) -> Iterator[Row]:
    for line in wrapped(without_strangers(text), size=size, width=width):
        yield Row(line, size, size * LEADING)


def _room(outline: Floats, block: Block, among: Obstacles, *, clear: float) -> Floats | None:
    """The middle of free room for a block: on the wood, else in the pattern's opening, else beside it; or None.

    Never beyond the pattern's own length and height, which would cost paper. Of the places that are free the one
    nearest the middle of the pattern is taken.
    """
    low, high = outline.min(axis=0), outline.max(axis=0)
    half = np.array([block.width, block.height]) / 2
    if np.any(high - low < 2 * half):
        return None
    steps = [np.linspace(a, b, _count(b - a)) for a, b in zip(low + half, high - half, strict=True)]
    spots = np.stack(np.meshgrid(*steps), axis=-1).reshape(-1, 2)
    spots = spots[np.argsort(np.abs(spots - (low + high) / 2) @ (1.0, 1.0), kind="stable")]
    corners = np.array([[-1, -1], [1, -1], [1, 1], [-1, 1]]) * (half + clear)
    spots = spots[among.free(spots[:, None] + corners)]
    wood = shapely.Polygon(outline)
    for ground in (wood, wood.convex_hull, wood.envelope):
        on_it = shapely.contains_xy(ground, spots)
        if on_it.any():
            return np.asarray(spots[on_it.argmax()])
    return None


def _count(length: float) -> int:
    """Places tried over a length: every 12 mm, at most 80."""
    return int(np.clip(np.ceil(length / 12.0), 1, 80)) + 1


def _underneath(ink: Sequence[Ink], block: Block) -> Floats:
    """Below the pattern, flush with its left end."""
    points = np.concatenate([mark.points if isinstance(mark, Stroke) else np.array([mark.at]) for mark in ink])
    left, low = points.min(axis=0)
    return np.array([left + block.width / 2, low - BELOW - block.height / 2])


def _set_down(block: Block, part: Part, middle: Floats) -> tuple[Ink, ...]:
    """The block's lettering and bow arrow, the block's middle at ``middle``."""
    left, top = float(middle[0] - block.width / 2), float(middle[1] + block.height / 2)
    marks: list[Ink] = []
    for row in block.rows:
        level = top - row.height / 2
        if row.text:
            marks.append(Label(row.text, (left, level), row.size, anchor="start"))
        else:
            marks.extend(bow_ink(part, left=left, middle=level))
        top -= row.height
    return tuple(marks)
