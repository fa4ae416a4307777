"""Drawings turned on the paper, and how far their ink reaches."""

from __future__ import annotations

import math
from collections.abc import Iterable
from dataclasses import replace
from typing import assert_never

import numpy as np

from patterns.drawing.marks import Cross, Drawing, Ink, Label, Pointer, Shading, Stroke
from patterns.drawing.text import label_box
from patterns.geometry.arrays import Floats


def turned(drawing: Drawing, angle: float) -> Drawing:
    """A drawing turned counter-clockwise about its origin by ``angle`` rad, lettering and all."""
    if not angle:
        return drawing
    pointer, block = drawing.pointer, drawing.block
    if pointer is not None and pointer.angle is not None:
        pointer = Pointer(pointer.word, pointer.angle + angle)
    if block is not None:
        block = replace(block, marks=turned_marks(block.marks, angle), turn=block.turn + angle)
    body = turned_marks(drawing.body, angle)
    named = tuple((name, line @ _turning(angle)) for name, line in drawing.named)
    wood = None if drawing.wood is None else drawing.wood @ _turning(angle)
    drawn = replace(drawing, body=body, block=block, pointer=pointer, named=named, wood=wood)
    return replace(drawn, turn=drawing.turn + angle)


def turned_marks(marks: Iterable[Ink], angle: float) -> tuple[Ink, ...]:
    """Marks turned counter-clockwise about nought by ``angle`` rad."""
    turn = _turning(angle)
    return tuple(_turned(mark, turn, angle) for mark in marks)


def _turning(angle: float) -> Floats:
    """Turns rows (n, 2) counter-clockwise by ``angle`` rad."""
    cos, sin = math.cos(angle), math.sin(angle)
    return np.array([[cos, sin], [-sin, cos]])


def _turned(mark: Ink, turn: Floats, angle: float) -> Ink:
    match mark:
        case Stroke():
            return replace(mark, points=mark.points @ turn)
        case Cross():
            return replace(mark, at=_turned_place(mark.at, turn))
        case Label():
            return mark.carried(lambda place: _turned_place(place, turn), turn=angle)
        case Shading():
            raise ValueError("a picture in greys is turned by quarters alone")
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
            box = label_box(mark)
            return box if mark.leader is None else np.concatenate([box, mark.leader])
        case Shading():
            return mark.box
        case _:
            assert_never(mark)
