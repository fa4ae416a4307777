"""Labels shared out over the tiles: each whole on one of them, joined to its home where moved out of sight of it."""

from __future__ import annotations

import math
from collections.abc import Sequence
from dataclasses import dataclass, field, replace
from itertools import compress

import numpy as np
from numpy.typing import NDArray

from patterns.drawing.marks import Cross, Label, Stroke
from patterns.drawing.obstacles import Obstacles, obstacles
from patterns.drawing.placing import FRESH_STARTS, LEADER_GAP
from patterns.drawing.sight import in_sight, parting_lines, ways_home
from patterns.drawing.text import grown, label_boxes
from patterns.drawing.touching import box_meets_box, box_meets_line, near_pairs
from patterns.geometry.arrays import Floats, lengths
from patterns.tiling.clip import Box
from patterns.tiling.grid import Cell, Grid
from patterns.tiling.lettering import FROM_SEAM, box_round, boxes_free_of, boxes_round, free_of

FURTHER_IN = (0.0, 1.0, 3.0, 6.0, 10.0, 15.0, 22.0, 32.0)  # mm inside a tile's edge, tried for a label moved on to it
# mm across and up, tried for one that finds no room so: close about, then far off.
ALL_ROUND = (np.arange(-60.0, 60.1, 4.0), np.arange(-240.0, 240.1, 12.0))
AIR = 0.6  # mm kept between a label moved and any other ink
NEAR, BESIDE = 25.0, 3.5  # mm from its home, where a label needs no leader: one that had none, one that had
# What a leader costs beside the length of the move, mm: itself, each line it crosses, a word, and another tile's home.
LEADER, LINE_CROSSED, WORD_CROSSED, AWAY = 12.0, 10.0, 400.0, 30.0
IN_A_CROWD = 0.6  # of its size, for a label whose every leader would run through words
HOME_KEPT = 2.0 * np.array([[-1.0, -1.0], [1.0, -1.0], [1.0, 1.0], [-1.0, 1.0]])  # mm about a home
GOOD_ENOUGH = 30.0  # mm; cheaper moves are taken without a look further round


@dataclass(frozen=True, slots=True, eq=False)
class SharedOut:
    """Which tile shows which labels, where they stand on the pattern, and what room is left between the ink."""

    by_tile: dict[Cell, tuple[Label, ...]]
    leaders: tuple[Stroke, ...]
    taken: tuple[Obstacles, ...]


def shared_out(
    labels: Sequence[Label], strokes: Sequence[Stroke], crosses: Sequence[Cross], grid: Grid, kept: Sequence[Cell]
) -> SharedOut:
    """Share the labels out.

    A label stays where it is if one tile shows it whole, no seam cuts it and no cross of the seams stands on it. Any
    other is moved as little as may be, along its own line if that is enough, to stand whole and clear of other ink on
    one tile; out of sight of the place it speaks of, it is joined to that by a leader.
    """
    boxes = boxes_round(labels)
    among = set(kept)
    whole = _within(boxes, np.array([grid.window(place) for place in kept]))
    shy = (FROM_SEAM, FROM_SEAM, -FROM_SEAM, -FROM_SEAM)
    rooms = np.array([grid.in_sight(place, among) for place in kept]) + shy
    register = obstacles(crosses)
    sound = np.any(_within(boxes, rooms), axis=0) & np.array(free_of([register], labels), dtype=np.bool_)
    in_the_way: list[int] = []  # of a leader: moved too, after the others
    for _ in range(FRESH_STARTS):
        staying = list(compress(labels, sound.tolist()))
        taken = obstacles([*strokes, *staying, *leaders_of(staying)])
        first = [label for number, label in enumerate(labels) if not sound[number] and number not in in_the_way]
        moving = [*first, *(labels[number] for number in in_the_way)]
        moved = _moved(moving, taken, register, obstacles(staying), parting_lines(strokes), rooms)
        led = np.array([label.leader for label, _ in moved if label.leader]).reshape(-1, 2, 2)
        which, word = near_pairs(led, label_boxes(labels))
        hit = word[box_meets_line(label_boxes(labels)[word], led[which])]
        shut = [int(each) for each in np.unique(hit) if sound[each]]
        if not shut:
            break
        in_the_way += shut
        sound[shut] = False
    shown = {place: list(compress(labels, row)) for place, row in zip(kept, (whole & sound).tolist(), strict=True)}
    for label, number in moved:
        shown[kept[number]].append(label)
    by_tile = {place: tuple(found) for place, found in shown.items()}
    elsewhere = [label for label, _ in moved]
    also_taken = obstacles([*elsewhere, *leaders_of(elsewhere)])
    return SharedOut(by_tile, leaders_of([*staying, *elsewhere]), (taken, also_taken))


def leaders_of(labels: Sequence[Label]) -> tuple[Stroke, ...]:
    return tuple(Stroke(np.array(label.leader), "mark", leader=True) for label in labels if label.leader)


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
        return self.set_down(grown(label_boxes([self.label]), AIR))

    def choice(self, number: int) -> tuple[Label, int]:
        (x, y), (dx, dy) = self.label.at, self.by[number].tolist()
        return replace(self.label, at=(x + dx, y + dy), leader=None), int(self.tiles[number])

    def set_down(self, box: Floats) -> Floats:
        """A box moved every way, (n, 4, 2) mm."""
        moved: Floats = box + self.by[:, None]
        return moved


def _moved(
    labels: Sequence[Label], taken: Obstacles, register: Obstacles, words: Obstacles, lines: Obstacles, rooms: Floats
) -> list[tuple[Label, int]]:
    """Labels cut by a tile's edge or standing on a cross, each moved on to one tile, with the tile's number."""
    ground = _Ground((taken, register), words, lines, rooms, np.array([each.home for each in labels if each.home]))
    tries = [_tries(label, rooms) for label in labels]
    free = boxes_free_of(ground.taken, np.concatenate([np.empty((0, 4, 2)), *(found.boxes for found in tries)]))
    ends = np.cumsum([len(found.by) for found in tries])[:-1]
    return [ground.set_down(found, clear) for found, clear in zip(tries, np.split(free, ends), strict=False)]


@dataclass(slots=True, eq=False)
class _Ground:
    """What a moved label has to keep clear of, growing as labels are set down."""

    taken: tuple[Obstacles, ...]  # ink, labels that stay, crosses
    words: Obstacles  # labels that stay
    lines: Obstacles  # those that would part a label from its home
    rooms: Floats  # (n, 4) mm, of the tiles
    homes: Floats  # (n, 2) mm, of all labels to be moved: covered, a leader could not come to them
    boxes: Floats = field(default_factory=lambda: np.empty((0, 4, 2)))  # of labels set down
    leaders: Floats = field(default_factory=lambda: np.empty((0, 2, 2)))  # theirs, mm

    def set_down(self, near: _Tries, free: NDArray[np.bool_]) -> tuple[Label, int]:
        """The label where it is moved least and best joined to its home."""
        best = self._best(near, free)
        shrunk = replace(near.label, size=near.label.size * IN_A_CROWD)
        crowded = [replace(shrunk, angle=angle) for angle in (shrunk.angle, 0.0, math.pi / 2)]
        usual = [(GOOD_ENOUGH, near.label, reach) for reach in ALL_ROUND]
        for enough, label, reach in usual + [(WORD_CROSSED, label, reach) for reach in ALL_ROUND for label in crowded]:
            if best is None or best[0] > enough:
                further = _tries_all_round(label, self.rooms, reach)
                found = self._best(further, boxes_free_of(self.taken, further.boxes))
                best = min((way for way in (best, found) if way), key=lambda way: way[0], default=None)
        # Where nothing is clear, in the thick of things, the shortest move does least harm.
        label, number = best[1:] if best else near.choice(0)
        self.boxes = np.concatenate([self.boxes, label_boxes([label])])
        if label.leader is not None:
            self.leaders = np.concatenate([self.leaders, np.array([label.leader])])
        return label, number

    def _best(self, tries: _Tries, free: NDArray[np.bool_]) -> tuple[float, Label, int] | None:
        """The cheapest of the free moves, and its cost: its length, and what a leader adds."""
        clear = np.flatnonzero(free)
        boxes = tries.boxes[clear]
        apart = np.ones(len(clear), dtype=np.bool_)
        homes = self.homes.reshape(-1, 1, 2)
        if tries.label.home is not None:
            homes = homes[(homes[:, 0] != tries.label.home).any(axis=1)]
        for others, meet in (
            (self.boxes, box_meets_box),
            (self.leaders, box_meets_line),
            (homes + HOME_KEPT, box_meets_box),
        ):
            which, other = near_pairs(boxes, others)
            apart[which[meet(boxes[which], others[other])]] = False
        clear = clear[apart]
        if not len(clear):
            return None
        if tries.label.home is None:
            number = int(clear[0])
            return float(np.hypot(*tries.by[number])), *tries.choice(number)
        cost, leaders, joined = self._joined(tries, clear)
        best = int(cost.argmin())
        label, tile = tries.choice(int(clear[best]))
        (x, y), (to_x, to_y) = leaders[best].tolist()
        leader = ((x, y), (to_x, to_y)) if joined[best] else None
        return float(cost[best]), replace(label, leader=leader), tile

    def _joined(self, tries: _Tries, clear: NDArray[np.intp]) -> tuple[Floats, Floats, NDArray[np.bool_]]:
        """What each of the clear moves costs, (n,) mm; its leader, (n, 2, 2) mm; and whether it wants one, (n,)."""
        home = np.array(tries.label.home)
        ways = ways_home(np.broadcast_to(home, (len(clear), 2)), tries.set_down(label_boxes([tries.label]))[clear])
        far = lengths(ways[:, 1] - ways[:, 0])
        joined = (far > (BESIDE if tries.label.leader else NEAR)) | ~in_sight(ways, self.lines)
        cost = np.hypot(*tries.by[clear].T)
        gap = (LEADER_GAP / np.maximum(far, 3 * LEADER_GAP))[:, None] * (ways[:, 1] - ways[:, 0])
        leaders = np.stack([ways[:, 0] + gap, ways[:, 1] - gap], axis=1)
        led = leaders[joined]
        away = np.any((home < self.rooms[tries.tiles[clear], :2]) | (home > self.rooms[tries.tiles[clear], 2:]), axis=1)
        over = self.words.crossings(led) > 0
        which, other = near_pairs(led, self.boxes)
        over[which[box_meets_line(self.boxes[other], led[which])]] = True
        cost[joined] += LEADER + LINE_CROSSED * self.taken[0].crossings(led) + WORD_CROSSED * over + AWAY * away[joined]
        return cost, leaders, joined


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
