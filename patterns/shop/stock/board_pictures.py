"""A picture of a board to buy: its blanks by number, the parts in them, and what is cut off its ends and edges."""

from __future__ import annotations

from collections.abc import Iterator

import numpy as np

from patterns.drawing.marks import Drawing, Ink, Label, Stroke
from patterns.drawing.text import text_width
from patterns.geometry.arrays import Floats
from patterns.shop.nest.sheet_pictures import box_ring
from patterns.shop.stock.buying import BoughtBoard, OnBoard

WIDTH = 170.0  # mm, of a picture: the width of a page
LEAST_NUMBER, NUMBER = 1.6, 3.0  # mm, capitals
TALLER = 2.0  # times: a board is so long that its width is drawn to a larger scale than its length


def board_picture(board: BoughtBoard) -> Drawing:
    """A board as it is bought, its lower left corner at the origin, as long as a page is wide.

    Widths are drawn larger than lengths.
    """
    scale = np.array([1.0, TALLER]) * WIDTH / board.board.length
    return Drawing(f"board {board.number} to buy", f"board-to-buy-{board.number}", tuple(_ink(board, scale)))


def _ink(board: BoughtBoard, scale: Floats) -> Iterator[Ink]:
    yield Stroke(scale * box_ring(0.0, 0.0, board.board.length, board.board.width), "mark", closed=True)
    for number, cut in enumerate(board.cuts, start=1):
        yield from _blank(number, cut, scale)


def _blank(number: int, cut: OnBoard, scale: Floats) -> Iterator[Ink]:
    blank = cut.blank
    ring = box_ring(cut.left, cut.bottom, cut.left + blank.length, cut.bottom + blank.width)
    yield Stroke(scale * ring, "saw", closed=True)
    for outline in blank.outlines:
        yield Stroke(scale * (outline + np.array([cut.left, cut.bottom])), "sheet", closed=True)
    words, (x, y) = str(number), scale * ring.mean(axis=0)
    high, wide = scale[1] * blank.width, scale[0] * blank.length
    size = max(LEAST_NUMBER, min(NUMBER, 0.6 * high, 0.8 * NUMBER * wide / text_width(words, NUMBER)))
    yield Label(words, (float(x), float(y)), size)
