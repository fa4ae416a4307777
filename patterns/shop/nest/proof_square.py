"""A square of 100 mm scored on the waste of every sheet: measured first, it shows the file came through full size."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass

import numpy as np
import shapely

from patterns.drawing.engraving import engraved, engraved_width, is_plain, plain
from patterns.geometry.arc_lines import ArcLine, straight
from patterns.geometry.arrays import Floats
from patterns.shop.nest.sheet_stock import SheetStock
from patterns.shop.router.contours import Contours, Lettering

SIDE = 100.0  # mm
CLEAR = 12.0  # mm to the next part
STEP = 20.0  # mm between places tried
AT_CORNER = 3.0  # mm from the sheet's corner, where there is no room for the whole square
WORDS, SIZE = "proof 100 mm", 6.0  # mm, height of capitals
PITCH = 12.0  # mm from line to line
LINE = 0.9  # share of the square's side a line of words may be long


@dataclass(frozen=True, slots=True, eq=False)
class ProofSquare:
    """What is scored, and the lettering in it."""

    line: ArcLine
    lettering: Lettering


def proof_square(
    parts: Sequence[Contours], sheet: SheetStock, words: Sequence[str] = (), margin: float = 0.0
) -> ProofSquare | None:
    """A square where a sheet is free; else two of its sides in the sheet's corner; else none.

    Parameters
    ----------
    words : sequence of str
        Lines engraved in it, above its own: which sheet this is.
    margin : float
        mm kept free along the sheet's edges, where clamps may stand.
    """
    edge = max(CLEAR, margin)
    strips = [shapely.box(*strip.box) for strip in sheet.forbidden]
    taken = shapely.STRtree([*(part.wood for part in parts), *strips])
    length, width = sheet.length, sheet.width
    x, y = (np.arange(edge, size - SIDE - edge, STEP) for size in (length, width))
    corners = np.stack(np.meshgrid(x, y, indexing="ij"), axis=-1).reshape(-1, 2)
    boxes = shapely.box(*(corners - CLEAR).T, *(corners + SIDE + CLEAR).T)
    crowded = set(taken.query(boxes, predicate="intersects")[0].tolist())
    free = [corner for number, corner in enumerate(corners) if number not in crowded]
    if free:
        # The farthest along the sheet: what is left of it is left there.
        return _square(free[-1], words)
    line = AT_CORNER + np.array([[SIDE, 0.0], [0.0, 0.0], [0.0, SIDE]])
    if min(length, width) < SIDE + AT_CORNER or len(taken.query(shapely.LineString(line), predicate="intersects")):
        return None
    return ProofSquare(straight(line), Lettering(np.zeros((0, 2)), ()))


def _square(corner: Floats, words: Sequence[str]) -> ProofSquare:
    sides = corner + SIDE * np.array([[0.0, 0.0], [1.0, 0.0], [1.0, 1.0], [0.0, 1.0]])
    lines = [line for line in (*words, WORDS) if is_plain(line)]
    x, y = (corner + SIDE / 2).tolist()
    points: list[Floats] = []
    counts: list[int] = []
    for number, line in enumerate(map(plain, lines)):
        size = min(SIZE, SIZE * LINE * SIDE / engraved_width(line, SIZE))
        word, strokes = engraved(line, (x, y + ((len(lines) - 1) / 2 - number) * PITCH), size=size)
        points.append(word)
        counts.extend(strokes)
    return ProofSquare(straight(sides, closed=True), Lettering(np.concatenate(points), tuple(counts)))
