"""What lettering must keep clear of: every stroke of a drawing as short straight pieces, found by place."""

from __future__ import annotations

from collections.abc import Iterable
from dataclasses import dataclass
from typing import assert_never

import numpy as np
import shapely
from numpy.typing import NDArray

from patterns.drawing.marks import Cross, Ink, Label, Stroke
from patterns.drawing.text import label_boxes
from patterns.drawing.touching import box_meets_box, box_meets_line, lines_meet
from patterns.geometry.arrays import Floats, lengths

STRAIGHT_ENOUGH = 0.05  # mm; a stroke may leave the pieces it is tested by so far: nothing beside the clearance
PIECE = 150.0  # mm; longer pieces lie askew in boxes too big to sort by


@dataclass(frozen=True, slots=True, eq=False)
class Obstacles:
    """Ink already on the drawing: straight pieces and the boxes round words, and a tree of the level boxes of both."""

    pieces: Floats  # (p, 2, 2) mm
    boxes: Floats  # (b, 4, 2) mm
    tree: shapely.STRtree  # the pieces come first

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
    labels: list[Label] = []
    for mark in ink:
        match mark:
            case Stroke():
                strokes.append(_ring(mark))
            case Cross():
                strokes.extend(_arms(mark))
            case Label():
                labels.append(mark)
            case _:
                assert_never(mark)
    pieces, boxes = _pieces(strokes), label_boxes(labels)
    return Obstacles(pieces, boxes, shapely.STRtree(np.concatenate([_level(pieces), _level(boxes)])))


def _level(shapes: Floats) -> NDArray[np.object_]:
    """(n, k, 2) shapes as lines, for the tree: it goes by the level boxes round them."""
    return np.asarray(shapely.linestrings(shapes), dtype=np.object_)


def _ring(stroke: Stroke) -> Floats:
    return np.concatenate([stroke.points, stroke.points[:1]]) if stroke.closed else stroke.points


def _arms(cross: Cross) -> list[Floats]:
    arm = np.array([cross.arm, 0.0])
    return [np.array([cross.at - to, cross.at + to]) for to in (arm, arm[::-1])]


def _pieces(strokes: list[Floats]) -> Floats:
    """Strokes as straight pieces of moderate length, (n, 2, 2)."""
    if not strokes:
        return np.empty((0, 2, 2))
    which = np.repeat(np.arange(len(strokes)), [len(stroke) for stroke in strokes])
    lines = shapely.linestrings(np.concatenate(strokes), indices=which)
    simple = shapely.simplify(lines, STRAIGHT_ENOUGH, preserve_topology=False)
    points, owner = shapely.get_coordinates(simple, return_index=True)
    same = owner[1:] == owner[:-1]
    pieces = np.stack([points[:-1][same], points[1:][same]], axis=1)
    return _cut(pieces)


def _cut(pieces: Floats) -> Floats:
    """(n, 2, 2) pieces, the long ones cut into equal lengths."""
    parts = np.maximum(1, np.ceil(lengths(pieces[:, 1] - pieces[:, 0]) / PIECE)).astype(np.int64)
    owner = np.repeat(np.arange(len(pieces)), parts)
    number = np.arange(len(owner)) - np.repeat(np.cumsum(parts) - parts, parts)
    start, step = pieces[owner, 0], (pieces[owner, 1] - pieces[owner, 0]) / parts[owner, None]
    return np.stack([start + number[:, None] * step, start + (number[:, None] + 1) * step], axis=1)
