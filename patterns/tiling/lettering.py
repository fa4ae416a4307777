"""Labels shared out over the tiles: every one whole on some sheet, none cut by a sheet's edge."""

from __future__ import annotations

import math
from collections.abc import Iterable, Sequence
from dataclasses import dataclass, replace
from itertools import compress

import numpy as np
from numpy.typing import NDArray

from patterns.drawing.marks import Cross, Label, Stroke
from patterns.drawing.obstacles import Obstacles, obstacles
from patterns.drawing.text import grown, label_boxes, text_width, wrapped
from patterns.drawing.touching import level_bounds
from patterns.geometry.arrays import Floats
from patterns.tiling.clip import Box
from patterns.tiling.grid import Cell, Grid

LINE_PITCH = 1.8  # of a capital's height, from line to line of a broken label
FURTHER_IN = (0.0, 1.0, 3.0, 6.0, 10.0, 15.0, 22.0, 32.0)  # mm inside a tile's edge, tried for a label moved on to it
# mm across and up, tried for one that finds no room so: close about, then far off.
ALL_ROUND = (np.arange(-60.0, 60.1, 4.0), np.arange(-240.0, 240.1, 12.0))
FROM_SEAM = 1.0  # mm between lettering and a seam, where the trim line runs
AIR = 0.6  # mm kept between a label moved and any other ink
TIGHT = 0.98  # of the room; a label made to fit leaves a little air


def fitted(labels: Iterable[Label], room: tuple[float, float]) -> tuple[Label, ...]:
    """The labels, those too long for any one tile broken into lines and, where that is no help, made smaller."""
    labels = tuple(labels)
    return tuple(
        line
        for label, fits in zip(labels, _fits(labels, room), strict=True)
        for line in ((label,) if fits else _made_to_fit(label, room))
    )


def _made_to_fit(label: Label, room: tuple[float, float]) -> tuple[Label, ...]:
    width = text_width(label.text, label.size)
    for count in range(2, len(label.text.split()) + 1):
        texts = wrapped(label.text, size=label.size, width=max(width / count, _longest_word(label)) * 1.1)
        lines = _stacked(label, texts)
        if all(_fits(lines, room)):
            return lines
    left, bottom, right, top = box_round(label)
    scale = min((room[0] - 2 * FROM_SEAM) / (right - left), (room[1] - 2 * FROM_SEAM) / (top - bottom)) * TIGHT
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


def _fits(labels: Sequence[Label], room: tuple[float, float]) -> list[bool]:
    boxes = boxes_round(labels)
    fits: list[bool] = np.all(boxes[:, 2:] - boxes[:, :2] <= np.array(room) - 2 * FROM_SEAM, axis=1).tolist()
    return fits


def box_round(label: Label) -> Box:
    """The level box round a label, mm."""
    left, bottom, right, top = boxes_round([label])[0].tolist()
    return left, bottom, right, top


def boxes_round(labels: Sequence[Label]) -> Floats:
    """Level boxes, (n, 4) mm: left, bottom, right, top."""
    return level_bounds(label_boxes(labels))


@dataclass(frozen=True, slots=True, eq=False)
class SharedOut:
    """Which tile shows which labels, where they stand on the pattern, and what room is left between the ink."""

    by_tile: dict[Cell, tuple[Label, ...]]
    taken: tuple[Obstacles, ...]


def shared_out(
    labels: Sequence[Label], strokes: Sequence[Stroke], crosses: Sequence[Cross], grid: Grid, kept: Sequence[Cell]
) -> SharedOut:
    """Share the labels out.

    A label stays where it is if one tile shows it whole, no seam cuts it and no cross of the seams stands on it. Any
    other is moved as little as may be, along its own line if that is enough, to stand whole and clear of other ink on
    one tile.
    """
    boxes = boxes_round(labels)
    among = set(kept)
    whole = _within(boxes, np.array([grid.window(place) for place in kept]))
    shy = (FROM_SEAM, FROM_SEAM, -FROM_SEAM, -FROM_SEAM)
    rooms = np.array([grid.in_sight(place, among) for place in kept]) + shy
    register = obstacles(crosses)
    sound = np.any(_within(boxes, rooms), axis=0) & np.array(free_of([register], labels), dtype=np.bool_)
    staying = list(compress(labels, sound.tolist()))
    taken = obstacles([*strokes, *staying])
    moved = _moved(list(compress(labels, (~sound).tolist())), (taken, register), rooms)
    shown = {place: list(compress(labels, row)) for place, row in zip(kept, (whole & sound).tolist(), strict=True)}
    for label, number in moved:
        shown[kept[number]].append(label)
    by_tile = {place: tuple(found) for place, found in shown.items()}
    return SharedOut(by_tile, (taken, obstacles([label for label, _ in moved])))


def free_of(taken: Iterable[Obstacles], labels: Sequence[Label], *, air: float = 0.0) -> list[bool]:
    """Which labels touch nothing, not even with so many mm of ``air`` about them."""
    boxes = label_boxes(labels)
    if air and len(boxes):
        boxes = grown(boxes, air)
    answer: list[bool] = boxes_free_of(taken, boxes).tolist()
    return answer


def boxes_free_of(taken: Iterable[Obstacles], boxes: Floats) -> NDArray[np.bool_]:
    """Which of (n, 4, 2) boxes touch nothing, (n,)."""
    free = np.ones(len(boxes), dtype=np.bool_)
    for ink in taken:
        free[free] = ink.free(boxes[free])
    return free


def _within(boxes: Floats, rooms: Floats) -> NDArray[np.bool_]:
    """Which of (n, 4) boxes lie whole in which of (m, 4) rooms, (m, n)."""
    low: NDArray[np.bool_] = np.all(boxes[None, :, :2] >= rooms[:, None, :2], axis=2)
    high: NDArray[np.bool_] = np.all(boxes[None, :, 2:] <= rooms[:, None, 2:], axis=2)
    return low & high


@dataclass(frozen=True, slots=True, eq=False)
class _Tries:
    """Moves of one label, nearest first, each on to one tile."""

    label: Label
    by: Floats  # (n, 2) mm
    tiles: NDArray[np.intp]  # (n,) numbers of the tiles

    @property
    def boxes(self) -> Floats:
        """Round the label when moved, with some air, (n, 4, 2) mm."""
        return self._set_down(grown(label_boxes([self.label]), AIR))

    def first_clear(self, free: NDArray[np.bool_], others: Floats) -> tuple[Label, int] | None:
        """The first that is free and touches none of (n, 4) level boxes."""
        left_free = np.flatnonzero(free)
        rounds = level_bounds(self._set_down(label_boxes([self.label])))[left_free]
        over = (rounds[:, None, :2] < others[None, :, 2:]) & (rounds[:, None, 2:] > others[None, :, :2])
        clear = left_free[~np.any(np.all(over, axis=2), axis=1)]
        return self.choice(int(clear[0])) if len(clear) else None

    def choice(self, number: int) -> tuple[Label, int]:
        (x, y), (dx, dy) = self.label.at, self.by[number].tolist()
        return replace(self.label, at=(x + dx, y + dy)), int(self.tiles[number])

    def _set_down(self, box: Floats) -> Floats:
        moved: Floats = box + self.by[:, None]
        return moved


def _moved(labels: Sequence[Label], taken: Sequence[Obstacles], rooms: Floats) -> list[tuple[Label, int]]:
    """Labels cut by a tile's edge or standing on a cross, each moved on to one tile, with the tile's number."""
    placed: list[tuple[Label, int]] = []
    tries = [_tries(label, rooms) for label in labels]
    free = boxes_free_of(taken, np.concatenate([np.empty((0, 4, 2)), *(found.boxes for found in tries)]))
    ends = np.cumsum([len(found.by) for found in tries])[:-1]
    boxes = np.empty((0, 4))
    for found, clear in zip(tries, np.split(free, ends), strict=False):
        best = found.first_clear(clear, boxes)
        for reach in ALL_ROUND:
            if best is None:
                further = _tries_all_round(found.label, rooms, reach)
                best = further.first_clear(boxes_free_of(taken, further.boxes), boxes)
        # Where nothing is clear, in the thick of things, the shortest move does least harm.
        placed.append(best or found.choice(0))
        boxes = np.vstack([boxes, box_round(placed[-1][0])])
    return placed


def _tries(label: Label, rooms: Floats) -> _Tries:
    """The label moved on to each tile it touches, and further in, nearest first."""
    left, bottom, right, top = box = box_round(label)
    moves = []
    for number in _touched(box, label, rooms):
        for inset in FURTHER_IN:
            x0, y0, x1, y1 = rooms[number].tolist()
            if right - left <= x1 - x0 - 2 * inset and top - bottom <= y1 - y0 - 2 * inset:
                dx, dy = _move_into(box, label.angle, (x0 + inset, y0 + inset, x1 - inset, y1 - inset))
                moves.append((number, dx, dy))
    return _by_length(label, np.array(moves).reshape(-1, 3))


def _tries_all_round(label: Label, rooms: Floats, reach: Floats) -> _Tries:
    """The label moved every way, on to any tile that shows it whole, nearest first."""
    box = box_round(label)
    numbers = _touched(tuple(np.add(box, (reach[0], reach[0], reach[-1], reach[-1]))), label, rooms)
    moves = np.stack(np.meshgrid(reach, reach, indexing="ij"), axis=-1).reshape(-1, 2)
    whole = _within(np.array(box) + np.tile(moves, 2), rooms[numbers])
    which, number = np.nonzero(whole)
    return _by_length(label, np.column_stack([np.array(numbers)[which], moves[number]]))


def _touched(box: tuple[float, ...], label: Label, rooms: Floats) -> list[int]:
    """Numbers of the rooms a box meets, or of the nearest one."""
    left, bottom, right, top = box
    meets = (rooms[:, 0] < right) & (rooms[:, 2] > left) & (rooms[:, 1] < top) & (rooms[:, 3] > bottom)
    numbers = np.flatnonzero(meets)
    if not len(numbers):
        centres = (rooms[:, :2] + rooms[:, 2:]) / 2
        numbers = np.abs(centres - label.at).max(axis=1).argsort()[:1]
    found: list[int] = numbers.tolist()
    return found


def _by_length(label: Label, moves: Floats) -> _Tries:
    """(n, 3) moves, each a tile's number and mm across and up, in order of their lengths."""
    number, dx, dy = moves.T
    order = np.lexsort((dy, dx, number, np.hypot(dx, dy)))
    return _Tries(label, moves[order, 1:], number[order].astype(np.intp))


def _move_into(box: Box, angle: float, room: Box) -> tuple[float, float]:
    """The least move of a label's box into a room, along the label's line if that is enough."""
    ways = (math.cos(angle), math.sin(angle))
    lows = [room[axis] - box[axis] for axis in (0, 1)]
    highs = [room[axis + 2] - box[axis + 2] for axis in (0, 1)]
    along = _least_along(ways, lows, highs)
    if along is not None:
        return along * ways[0], along * ways[1]
    dx, dy = (min(max(0.0, low), high) for low, high in zip(lows, highs, strict=True))
    return dx, dy


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
