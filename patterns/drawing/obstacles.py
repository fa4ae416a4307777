"""What lettering must keep clear of: every stroke of a drawing as short straight pieces, found by place."""

from __future__ import annotations

from collections.abc import Iterable
from dataclasses import dataclass
from typing import assert_never

import numpy as np
import shapely
from shapely.geometry.base import BaseGeometry

from patterns.drawing.marks import Cross, Ink, Label, Stroke
from patterns.drawing.text import label_box
from patterns.geometry.arrays import Floats, lengths

STRAIGHT_ENOUGH = 0.05  # mm; a stroke may leave the pieces it is tested by so far: nothing beside the clearance
PIECE = 150.0  # mm; longer pieces lie askew in boxes too big to sort by


@dataclass(frozen=True, slots=True, eq=False)
class Obstacles:
    """Ink already on the drawing."""

    tree: shapely.STRtree

    def free(self, boxes: Floats) -> np.ndarray[tuple[int], np.dtype[np.bool_]]:
        """Which of (n, 4, 2) boxes touch nothing, (n,)."""
        clear = np.ones(len(boxes), dtype=bool)
        if len(boxes):
            hit, _ = self.tree.query(shapely.polygons(boxes), predicate="intersects")
            clear[hit] = False
        return clear

    def crossings(self, lines: Floats) -> np.ndarray[tuple[int], np.dtype[np.int64]]:
        """How many pieces of ink each of (n, 2, 2) straight lines crosses, (n,)."""
        hit, _ = self.tree.query(shapely.linestrings(lines), predicate="intersects")
        return np.bincount(hit, minlength=len(lines)).astype(np.int64)


def obstacles(ink: Iterable[Ink]) -> Obstacles:
    """The ink of a drawing, ready to be asked what is free."""
    strokes: list[Floats] = []
    boxes: list[BaseGeometry] = []
    for mark in ink:
        match mark:
            case Stroke():
                strokes.append(_ring(mark))
            case Cross():
                strokes.extend(_arms(mark))
            case Label():
                boxes.append(shapely.Polygon(label_box(mark)))
            case _:
                assert_never(mark)
    pieces = np.asarray(shapely.linestrings(_pieces(strokes)))
    return Obstacles(shapely.STRtree([*pieces, *boxes]))


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
