"""What lettering must keep clear of: every stroke of a drawing as short straight pieces, found by place."""

from __future__ import annotations

from collections.abc import Iterable
from dataclasses import dataclass
from functools import cached_property
from typing import assert_never

import numpy as np
import shapely
from numpy.typing import NDArray

from patterns.drawing.marks import Cross, Ink, Label, Layer, Shading, Stroke
from patterns.drawing.overlaps import box_meets_box, box_meets_line, lines_meet
from patterns.drawing.text import label_boxes
from patterns.geometry.arrays import Floats, lengths

STRAIGHT_ENOUGH = 0.05  # mm; a stroke may leave the pieces it is tested by so far: nothing beside the clearance
# A word beyond a line of one of these layers seems to speak of that line.
PARTING: tuple[Layer, ...] = ("cut-outside", "cut-inside", "mark")
PIECE = 150.0  # mm; longer pieces lie askew in boxes too big to sort by


@dataclass(frozen=True, eq=False)
class Obstacles:
    """Ink already on the drawing: straight pieces and the boxes round words."""

    pieces: Floats  # (p, 2, 2) mm
    parting: NDArray[np.bool_]  # (p,) whether a word beyond one of the pieces would seem to speak of it
    boxes: Floats  # (b, 4, 2) mm

    @cached_property
    def tree(self) -> shapely.STRtree:
        """The level boxes of both, the pieces' first."""
        return shapely.STRtree(np.concatenate([_level(self.pieces), _level(self.boxes)]))

    def joined(self, other: Obstacles) -> Obstacles:
        """The ink of both."""
        pieces, boxes = (np.concatenate(pair) for pair in ((self.pieces, other.pieces), (self.boxes, other.boxes)))
        return Obstacles(pieces, np.concatenate([self.parting, other.parting]), boxes)

    def parting_lines(self) -> Obstacles:
        """The pieces alone that part a word from its place."""
        return Obstacles(self.pieces[self.parting], self.parting[self.parting], np.empty((0, 4, 2)))

    def pieces_alone(self) -> Obstacles:
        """The lines without the words."""
        return Obstacles(self.pieces, self.parting, np.empty((0, 4, 2)))

    def boxes_alone(self) -> Obstacles:
        """The words without the lines."""
        return Obstacles(np.empty((0, 2, 2)), np.empty(0, dtype=np.bool_), self.boxes)

    def free(self, boxes: Floats) -> NDArray[np.bool_]:
        """Which of (n, 4, 2) boxes touch nothing, (n,)."""
        clear = np.ones(len(boxes), dtype=np.bool_)
        which, piece, word, box = self._near(boxes)
        if len(which):
            clear[which[box_meets_line(boxes[which], self.pieces[piece])]] = False
        if len(word):
            clear[word[box_meets_box(boxes[word], self.boxes[box])]] = False
        return clear

    def crossed(self, lines: Floats) -> tuple[NDArray[np.intp], NDArray[np.intp]]:
        """Numbers of (n, 2, 2) straight lines and of the pieces of ink they cross, pair by pair."""
        which, piece, _, _ = self._near(lines)
        hit = lines_meet(lines[which], self.pieces[piece])
        return which[hit], piece[hit]

    def crossings(self, lines: Floats) -> NDArray[np.int64]:
        """How many pieces of ink each of (n, 2, 2) straight lines crosses, (n,)."""
        which, piece, word, box = self._near(lines)
        hit = which[lines_meet(lines[which], self.pieces[piece])]
        words = word[box_meets_line(self.boxes[box], lines[word])]
        return np.bincount(np.concatenate([hit, words]), minlength=len(lines)).astype(np.int64)

    def _near(self, shapes: Floats) -> tuple[NDArray[np.intp], ...]:
        """Pairs whose level boxes meet: of (n, k, 2) shapes and pieces, then of shapes and boxes round words."""
        which, other = self.tree.query(_level(shapes))
        of_pieces = other < len(self.pieces)
        return which[of_pieces], other[of_pieces], which[~of_pieces], other[~of_pieces] - len(self.pieces)


def obstacles(ink: Iterable[Ink]) -> Obstacles:
    """The ink of a drawing, ready to be asked what is free."""
    strokes: list[Floats] = []
    parting: list[bool] = []
    labels: list[Label] = []
    for mark in ink:
        match mark:
            case Stroke():
                strokes.append(_ring(mark))
                parting.append(mark.layer in PARTING)
            case Cross():
                strokes.extend(_arms(mark))
                parting += (False, False)
            case Label():
                labels.append(mark)
                if mark.leader is not None:
                    strokes.append(np.array(mark.leader))
                    parting.append(False)
            case Shading():
                strokes.append(np.concatenate([mark.box, mark.box[:1]]))
                parting.append(False)
            case _:
                assert_never(mark)
    pieces, owner = _pieces(strokes)
    return Obstacles(pieces, np.array(parting, dtype=np.bool_)[owner], label_boxes(labels))


def _level(shapes: Floats) -> NDArray[np.object_]:
    """(n, k, 2) shapes as lines, for the tree: it goes by the level boxes round them."""
    return np.asarray(shapely.linestrings(shapes), dtype=np.object_)


def _ring(stroke: Stroke) -> Floats:
    return np.concatenate([stroke.points, stroke.points[:1]]) if stroke.closed else stroke.points


def _arms(cross: Cross) -> tuple[Floats, Floats]:
    (x, y), arm = cross.at, cross.arm
    return np.array([[x - arm, y], [x + arm, y]]), np.array([[x, y - arm], [x, y + arm]])


def _pieces(strokes: list[Floats]) -> tuple[Floats, NDArray[np.intp]]:
    """Strokes as straight pieces of moderate length, (n, 2, 2), and the number of each one's stroke, (n,)."""
    if not strokes:
        return np.empty((0, 2, 2)), np.empty(0, dtype=np.intp)
    which = np.repeat(np.arange(len(strokes)), [len(stroke) for stroke in strokes])
    lines = shapely.linestrings(np.concatenate(strokes), indices=which)
    simple = shapely.simplify(lines, STRAIGHT_ENOUGH, preserve_topology=False)
    points, owner = shapely.get_coordinates(simple, return_index=True)
    same = np.flatnonzero(owner[1:] == owner[:-1])
    pieces, number = _cut(np.stack([points[same], points[same + 1]], axis=1))
    return pieces, owner[same][number]


def _cut(pieces: Floats) -> tuple[Floats, NDArray[np.intp]]:
    """(n, 2, 2) pieces, the long ones cut into equal lengths, and the number of the piece each is of."""
    parts = np.maximum(1, np.ceil(lengths(pieces[:, 1] - pieces[:, 0]) / PIECE)).astype(np.intp)
    owner = np.repeat(np.arange(len(pieces)), parts)
    number = np.arange(len(owner)) - np.repeat(np.cumsum(parts) - parts, parts)
    start, step = pieces[owner, 0], (pieces[owner, 1] - pieces[owner, 0]) / parts[owner, None]
    return np.stack([start + number[:, None] * step, start + (number[:, None] + 1) * step], axis=1), owner
