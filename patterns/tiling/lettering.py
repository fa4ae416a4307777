"""Labels shared out over the tiles: every one whole on some sheet, none cut by a sheet's edge."""

from __future__ import annotations

import math
from collections.abc import Iterable, Sequence
from dataclasses import dataclass, replace
from itertools import compress

import numpy as np
from numpy.typing import NDArray

from patterns.drawing.marks import Ink, Label, Stroke
from patterns.drawing.obstacles import obstacles
from patterns.drawing.text import label_box, text_width, wrapped
from patterns.geometry.arrays import Floats
from patterns.tiling.clip import Box
from patterns.tiling.grid import Cell, Grid

LINE_PITCH = 1.8  # of a capital's height, from line to line of a broken label
FURTHER_IN = (0.0, 1.0, 3.0, 6.0, 10.0, 15.0, 22.0, 32.0)  # mm inside a tile's edge, tried for a label moved on to it
TIGHT = 0.98  # of the room; a label made to fit leaves a little air


def fitted(labels: Iterable[Label], room: tuple[float, float]) -> tuple[Label, ...]:
    """The labels, those too long for any one tile broken into lines and, where that is no help, made smaller."""
    return tuple(line for label in labels for line in _fitted(label, room))


def _fitted(label: Label, room: tuple[float, float]) -> tuple[Label, ...]:
    if _fits(label, room):
        return (label,)
    width = text_width(label.text, label.size)
    for count in range(2, len(label.text.split()) + 1):
        texts = wrapped(label.text, size=label.size, width=max(width / count, _longest_word(label)) * 1.1)
        lines = _stacked(label, texts)
        if all(_fits(line, room) for line in lines):
            return lines
    left, bottom, right, top = box_round(label)
    scale = TIGHT * min(room[0] / (right - left), room[1] / (top - bottom))
    return (replace(label, size=label.size * scale),)


def _longest_word(label: Label) -> float:
    return max(text_width(word, label.size) for word in label.text.split())


def _stacked(label: Label, texts: Sequence[str]) -> tuple[Label, ...]:
    down = (math.sin(label.angle), -math.cos(label.angle))
    lines = []
    for number, text in enumerate(texts):
        drop = (number - (len(texts) - 1) / 2) * LINE_PITCH * label.size
        lines.append(replace(label, text=text, at=(label.at[0] + drop * down[0], label.at[1] + drop * down[1])))
    return tuple(lines)


def _fits(label: Label, room: tuple[float, float]) -> bool:
    left, bottom, right, top = box_round(label)
    return right - left <= room[0] and top - bottom <= room[1]


def box_round(label: Label) -> Box:
    """The level box round a label, mm."""
    corners = label_box(label)
    (left, bottom), (right, top) = corners.min(axis=0), corners.max(axis=0)
    return float(left), float(bottom), float(right), float(top)


def boxes_round(labels: Sequence[Label]) -> Floats:
    """Level boxes, (n, 4) mm: left, bottom, right, top."""
    return np.array([box_round(label) for label in labels]).reshape(-1, 4)


@dataclass(frozen=True, slots=True, eq=False)
class SharedOut:
    """Which tile shows which labels, where they stand on the pattern."""

    by_tile: dict[Cell, tuple[Label, ...]]
    every: tuple[Label, ...]  # each once, as moved


def shared_out(labels: Sequence[Label], strokes: Sequence[Stroke], grid: Grid, kept: Sequence[Cell]) -> SharedOut:
    """Share the labels out.

    A label is shown by every tile that shows it whole. One that no tile shows whole is moved as little as may be,
    along its own line if that is enough, on to a tile beside it, clear of other ink if it can be.
    """
    boxes = boxes_round(labels)
    windows = np.array([grid.window(place) for place in kept])
    whole: NDArray[np.bool_] = np.all(boxes[None, :, :2] >= windows[:, None, :2], axis=2)
    whole &= np.all(boxes[None, :, 2:] <= windows[:, None, 2:], axis=2)
    shown = {place: list(compress(labels, row)) for place, row in zip(kept, whole.tolist(), strict=True)}
    somewhere: NDArray[np.bool_] = np.any(whole, axis=0)
    every = list(compress(labels, somewhere.tolist()))
    moved = _moved(list(compress(labels, (~somewhere).tolist())), [*strokes, *every], windows)
    for label, number in moved:
        shown[kept[number]].append(label)
    by_tile = {place: tuple(found) for place, found in shown.items()}
    return SharedOut(by_tile, (*every, *(label for label, _ in moved)))


def _moved(labels: Sequence[Label], ink: Sequence[Ink], windows: Floats) -> list[tuple[Label, int]]:
    """Labels cut by every tile's edge, moved on to one: each with the tile's number."""
    if not labels:
        return []
    taken = obstacles(ink)
    placed: list[tuple[Label, int]] = []
    boxes = np.empty((0, 4))
    for label in labels:
        tries = _tries(label, windows)
        free = taken.free(np.array([label_box(one) for one, _ in tries]))
        rounds = boxes_round([one for one, _ in tries])
        over = (rounds[:, None, :2] < boxes[None, :, 2:]) & (rounds[:, None, 2:] > boxes[None, :, :2])
        free &= ~np.any(np.all(over, axis=2), axis=1)
        # Free is False everywhere in the thick of things: then the shortest move is the least harm.
        best = int(np.argmax(free))
        placed.append(tries[best])
        boxes = np.vstack([boxes, rounds[best]])
    return placed


def _tries(label: Label, windows: Floats) -> list[tuple[Label, int]]:
    """The label moved on to each tile it touches, and further in, nearest first."""
    left, bottom, right, top = box_round(label)
    meets = (windows[:, 0] < right) & (windows[:, 2] > left) & (windows[:, 1] < top) & (windows[:, 3] > bottom)
    numbers = np.flatnonzero(meets)
    if not len(numbers):
        centres = (windows[:, :2] + windows[:, 2:]) / 2
        numbers = np.abs(centres - label.at).max(axis=1).argsort()[:1]
    tries = []
    for number in numbers.tolist():
        for inset in FURTHER_IN:
            x0, y0, x1, y1 = windows[number].tolist()
            if right - left <= x1 - x0 - 2 * inset and top - bottom <= y1 - y0 - 2 * inset:
                window = (x0 + inset, y0 + inset, x1 - inset, y1 - inset)
                tries.append((_moved_into(label, window), number))
    return sorted(tries, key=lambda one: (math.dist(one[0].at, label.at), one[1]))


def _moved_into(label: Label, window: Box) -> Label:
    box = box_round(label)
    ways = (math.cos(label.angle), math.sin(label.angle))
    lows = [window[axis] - box[axis] for axis in (0, 1)]
    highs = [window[axis + 2] - box[axis + 2] for axis in (0, 1)]
    along = _least_along(ways, lows, highs)
    if along is None:
        dx, dy = (min(max(0.0, low), high) for low, high in zip(lows, highs, strict=True))
    else:
        dx, dy = along * ways[0], along * ways[1]
    return replace(label, at=(label.at[0] + dx, label.at[1] + dy))


def _least_along(ways: Sequence[float], lows: Sequence[float], highs: Sequence[float]) -> float | None:
    """The shortest way along a line that brings a box within bounds both across and up, None for no way."""
    least, most = -math.inf, math.inf
    for way, low, high in zip(ways, lows, highs, strict=True):
        if abs(way) < 1e-9:
            if not low <= 0.0 <= high:
                return None
            continue
        one, other = sorted((low / way, high / way))
        least, most = max(least, one), min(most, other)
    return min(max(0.0, least), most) if least <= most else None
