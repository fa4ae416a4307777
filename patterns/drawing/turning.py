"""Drawings turned on the paper, and how far their ink reaches."""

from __future__ import annotations

import math
from collections.abc import Iterable, Iterator
from dataclasses import replace
from functools import partial
from typing import assert_never

import numpy as np

from patterns.drawing.marks import Cross, Drawing, Ink, Label, Pointer, Shapes, Stroke
from patterns.drawing.text import label_box
from patterns.geometry.arrays import Floats


def turned(drawing: Drawing, angle: float) -> Drawing:
    """A drawing turned counter-clockwise about its origin by ``angle`` rad, lettering and all."""
    if not angle:
        return drawing
    cos, sin = math.cos(angle), math.sin(angle)
    turn = np.array([[cos, sin], [-sin, cos]])
    pointer = drawing.pointer
    if pointer is not None and pointer.angle is not None:
        pointer = Pointer(pointer.word, pointer.angle + angle)
    marks = tuple(_turned(mark, turn, angle) for mark in drawing.marks)
    shapes = Shapes(partial(_turned_shapes, drawing.shapes, turn, angle))
    return replace(drawing, marks=marks, shapes=shapes, pointer=pointer, turn=drawing.turn + angle)


def _turned_shapes(shapes: Shapes, turn: Floats, angle: float) -> Iterator[tuple[Ink, ...]]:
    for shape in shapes.made:
        yield tuple(_turned(mark, turn, angle) for mark in shape)


def _turned(mark: Ink, turn: Floats, angle: float) -> Ink:
    match mark:
        case Stroke():
            return replace(mark, points=mark.points @ turn)
        case Cross():
            return replace(mark, at=_turned_place(mark.at, turn))
        case Label():
            home = None if mark.home is None else _turned_place(mark.home, turn)
            leader = None
            if mark.leader is not None:
                leader = _turned_place(mark.leader[0], turn), _turned_place(mark.leader[1], turn)
            spot = _turned_place(mark.at, turn)
            return replace(mark, at=spot, angle=mark.angle + angle, home=home, leader=leader)
        case _:
            assert_never(mark)


def _turned_place(at: tuple[float, float], turn: Floats) -> tuple[float, float]:
    x, y = (np.array(at) @ turn).tolist()
    return x, y


def extent(marks: Iterable[Ink]) -> tuple[float, float, float, float]:
    """Left, bottom, right and top of all ink, mm; of none, the origin."""
    points = np.concatenate([_outermost(mark) for mark in marks] or [np.zeros((1, 2))])
    (left, bottom), (right, top) = points.min(axis=0).tolist(), points.max(axis=0).tolist()
    return left, bottom, right, top


def _outermost(mark: Ink) -> Floats:
    match mark:
        case Stroke():
            return mark.points
        case Cross():
            return np.array([np.subtract(mark.at, mark.arm), np.add(mark.at, mark.arm)])
        case Label():
            return label_box(mark)
        case _:
            assert_never(mark)
