"""The words every pattern carries: whose, which way up, which face, what stock; set where the wood leaves room."""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from collections.abc import Set as AbstractSet
from dataclasses import dataclass

import numpy as np
import shapely
from numpy.typing import NDArray

from patterns.drawing.block_setting import Columns, in_one_column
from patterns.drawing.marks import Ink, Label, Layer, Sentence, Sign, Stroke, TitleBlock
from patterns.drawing.moved_marks import placed
from patterns.drawing.obstacles import Obstacles
from patterns.drawing.text import capitals, text_width, without_strangers
from patterns.geometry.arrays import Floats
from patterns.parts.materials import material_words
from patterns.parts.part import Part
from patterns.plates.pattern.bow import bow_ink, bow_size, grain_ink, grain_size
from patterns.units.lengths import write_length

TITLE_SIZE = 6.0  # mm, capitals
BOAT_SIZE = 4.0  # mm
TEXT_SIZE = 2.5  # mm
WIDTHS = (130.0, 95.0)  # mm, block widths tried in turn
BRIEF_WIDTH = 88.0  # mm, of a small pattern's block
BRIEF = 0.75  # of the size of its name's letters
BEVEL_BAND = 25.0  # mm kept free for bevels between the block and any line, where there is room
CLEAR = 4.0  # mm, of the grain's arrow from any line
TIGHT = 16.0  # mm, where there is not; nearer, leaders find no way round the block
NOTE_BAND = 4.0  # mm kept free between the block and a note: the note finds its place without a leader
SLENDER = 4.0  # times as long as broad
CELL = 6.0  # mm, of the grid on which room is looked for first
BELOW = 20.0  # mm from the pattern to a block that fits nowhere inside


PRINTED = "printed on"
BLANK_LINE = 45.0  # mm to write a date on
CAUTION = "Try one part before you cut the rest. Shapes only, not strength: follow local codes."
BEVELS = "bevels: degrees off square, then how far the far edge is set in (under) or set out (standing)"
SQUARE = "edges without a bevel are square"


@dataclass(frozen=True, slots=True)
class Said:
    """What the title block says beside what the part itself knows."""

    boat: str
    show: str  # how lengths are printed
    number: int = 1  # of the pattern, of so many
    count: int = 1
    run: str = ""  # the run mark
    date: str = ""  # as the builder wrote it; a blank line to write on where there is none
    pricks: str = ""  # what is said of the prick points
    notes: bool = True  # whether bevels and remarks are told
    grain: bool = True  # whether the grain's arrow is here, and not on the wood
    brief: bool = False  # a small pattern's block is not to be bigger than the pattern
    lengths: str = ""  # the part's own, in words


def title_block(part: Part, said: Said, *, ink: Sequence[Ink], among: Obstacles, notes: Obstacles) -> TitleBlock:
    """The title block of a pattern, clear of the ``ink`` already drawn and made ready as obstacles.

    ``notes`` are words that will stand at one place only: the block leaves it to them.
    """
    layers = {mark.layer for mark in ink if isinstance(mark, Stroke)}
    items = tuple(_items(part, said, tuple(words(part, said, layers=layers))))
    blocks = [in_one_column(items, width) for width in ((BRIEF_WIDTH,) if said.brief else WIDTHS)]
    for clear in (BEVEL_BAND, TIGHT):
        for block in blocks:
            middle = _room(part.outline, np.array([block.width, block.height]), among, notes, clear=clear)
            if middle is not None:
                return TitleBlock(block.set_down(middle), items)
    # Under a long slender piece, a low block lets the piece lie along the paper's better side.
    length, breadth = np.ptp(part.outline, axis=0)
    block = blocks[-1].in_two() if length > SLENDER * breadth and not said.brief else blocks[0]
    return TitleBlock(block.set_down(_underneath(ink, block)), items)


def grain_on_wood(part: Part, among: Obstacles, *, notes: Obstacles) -> tuple[Ink, ...]:
    """The grain's arrow where it lies on the wood itself, clear of all else; nothing where there is no room."""
    if part.grain_angle is None:
        return ()
    size = wide, _ = grain_size(part.grain_angle)
    middle = _room(part.outline, np.array(size), among, notes, clear=CLEAR, elsewhere=False)
    if middle is None:
        return ()
    at = (float(middle[0]) - wide / 2, float(middle[1]))
    return tuple(placed(mark, at) for mark in grain_ink(part.grain_angle))


def words(part: Part, said: Said, *, layers: AbstractSet[Layer]) -> Iterator[str]:
    """What the builder must know of a pattern: what to cut, how it is drawn, what to do, what to check."""
    yield f"{part.marked_face} toward you; make {part.count}; part {said.number} of {said.count}"
    material = material_words(part.material)
    yield f"{material}{', ' if material else ''}{write_length(part.thickness, said.show)} {part.thickness_is}"
    if said.lengths:
        yield said.lengths
    yield f"grain: {part.grain}"
    yield "; ".join(_lines_told(part, said.show, layers))
    if said.notes:
        bevelled = any(bevel.kind != "square" for edge in part.edges for bevel in edge.bevels)
        yield f"{BEVELS}; {SQUARE}" if bevelled else "all edges are square"
        yield from part.remarks
        yield from _landing_words(part, said.show)
    if said.pricks:
        yield said.pricks


def _lines_told(part: Part, show: str, layers: AbstractSet[Layer]) -> Iterator[str]:
    """What each kind of line is that this pattern has."""
    yield f"heavy: finished line{f', {part.line}' if part.line else ''}"
    if "far-face" in layers:
        yield "dashes: far face"
    if "saw" in layers:
        yield f"dash-dot: saw line, {write_length(part.saw_allowance, show)} allowance for the plane"


def _landing_words(part: Part, show: str) -> Iterator[str]:
    if part.landings:
        yield "landing bevels, off the center plane, at heights above base:"
    several = len({landing.strake for landing in part.landings}) > 1
    for landing in part.landings:
        half = f"half face {write_length(landing.half_face, show)}" if landing.half_face > 0 else "sharp"
        where = f"{write_length(landing.height, show)}{f', {landing.strake}' if several else ''}"
        yield f"{where}: {np.rad2deg(landing.angle):.1f}°, {half}"


def _items(part: Part, said: Said, lines: Sequence[str]) -> Iterator[Sentence | Sign]:
    title, scale = capitals(part.title[:1]) + part.title[1:], BRIEF if said.brief else 1.0
    yield Sentence(f"{said.boat}, run {said.run}" if said.run else said.boat, BOAT_SIZE * scale)
    yield Sentence(title, TITLE_SIZE * scale)
    across, high = bow_size(part)
    yield Sign(bow_ink(part), across, high + 2 * TEXT_SIZE)
    if part.grain_angle is not None and said.grain:
        across, high = grain_size(part.grain_angle)
        yield Sign(grain_ink(part.grain_angle), across, high + TEXT_SIZE)
    yield from (Sentence(line, TEXT_SIZE) for line in lines)
    yield _dated(said.date)
    yield Sentence(CAUTION, TEXT_SIZE)


def _dated(date: str) -> Sign:
    """When it was printed, or a line to write that on."""
    text = without_strangers(f"{PRINTED} {date}" if date else PRINTED)
    label, width = Label(text, (0.0, 0.0), TEXT_SIZE, anchor="start"), text_width(text, TEXT_SIZE)
    if date:
        return Sign((label,), width, 3 * TEXT_SIZE)
    start, foot = width + 2.0, -TEXT_SIZE / 2
    line = Stroke(np.array([[start, foot], [start + BLANK_LINE, foot]]), "mark")
    return Sign((label, line), start + BLANK_LINE, 3 * TEXT_SIZE)


def _room(
    outline: Floats, size: Floats, among: Obstacles, notes: Obstacles, *, clear: float, elsewhere: bool = True
) -> Floats | None:
    """The middle of free room so wide and high: on the wood, else in the pattern's opening, else beside it; or None.

    Never beyond the pattern's own length and height, which would cost paper. Of the places that are free the one
    nearest the middle of the pattern is taken. The outline is one of the lines the block is to be ``clear`` of.
    """
    low, high = outline.min(axis=0), outline.max(axis=0)
    half = size / 2
    # So near to filling the pattern one way, the room it wants reaches over both its edges there, wherever it lies.
    if np.any(high - low <= 2 * half + clear):
        return None
    steps = [np.linspace(a, b, _count(b - a)) for a, b in zip(low + half, high - half, strict=True)]
    spots = np.stack(np.meshgrid(*steps), axis=-1).reshape(-1, 2)
    spots = spots[_hardly_inked(spots, half + clear, among)]
    if not len(spots):
        return None
    spots = spots[np.argsort(np.abs(spots - (low + high) / 2) @ (1.0, 1.0), kind="stable")]
    ways = np.array([[-1, -1], [1, -1], [1, 1], [-1, 1]])
    corners, beside_notes = ways * (half + clear), ways * (half + NOTE_BAND)
    wood = shapely.Polygon(outline)
    for ground in (wood, wood.convex_hull, wood.envelope) if elsewhere else (wood,):
        shapely.prepare(ground)
        on_it = shapely.contains_xy(ground, spots)
        # A few at a time: the first that are left are mostly free.
        for some in np.split(spots[on_it], range(16, on_it.sum(), 64)):
            free = some[among.free(some[:, None] + corners)]
            free = free[notes.free(free[:, None] + beside_notes)]
            if len(free):
                return np.asarray(free[0])
        spots = spots[~on_it]
    return None


def _hardly_inked(spots: Floats, reach: Floats, among: Obstacles) -> NDArray[np.bool_]:
    """Which of (n, 2) spots have no ink well inside ``reach`` of them both ways, (n,): a quick sieve for many spots.

    The ink is dotted on to a grid of cells, and the dots summed from its corner: four sums tell how many lie in any
    box. Ink may still run through a spot's box between the dots, or in the cells at its edge.
    """
    start, end = among.pieces[:, 0], among.pieces[:, 1]
    dots = np.concatenate([start + share * (end - start) for share in (0.0, 0.25, 0.5, 0.75)])
    low = dots.min(axis=0)
    cells = ((dots - low) // CELL).astype(np.intp)
    across, up = size = cells.max(axis=0) + 1
    sums = np.zeros(size + 1, dtype=np.intp)
    sums[1:, 1:] = np.bincount(cells @ (up, 1), minlength=across * up).reshape(size).cumsum(axis=0).cumsum(axis=1)
    left, bottom = np.clip(np.ceil((spots - reach - low) / CELL), 0, size).astype(np.intp).T
    right, top = np.clip(np.floor((spots + reach - low) / CELL), 0, size).astype(np.intp).T
    # A box beyond the grid holds no whole cell; its sums cancel.
    bare: NDArray[np.bool_] = sums[right, top] - sums[left, top] - sums[right, bottom] + sums[left, bottom] == 0
    return bare


def _count(length: float) -> int:
    """Places tried over a length: every 12 mm, at most 80."""
    return int(np.clip(np.ceil(length / 12.0), 1, 80)) + 1


def _underneath(ink: Sequence[Ink], block: Columns) -> Floats:
    """Below the pattern, flush with its left end."""
    points = np.concatenate([mark.points if isinstance(mark, Stroke) else np.array([mark.at]) for mark in ink])
    left, low = points.min(axis=0)
    return np.array([left + block.width / 2, low - BELOW - block.height / 2])
