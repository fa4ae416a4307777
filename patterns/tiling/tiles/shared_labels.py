"""Labels shared out over the tiles: each whole on one of them, joined to its home where moved out of sight of it."""

from __future__ import annotations

import math
from collections.abc import Sequence
from dataclasses import dataclass, field, replace
from functools import cache
from itertools import compress

import numpy as np
from numpy.typing import NDArray

from patterns.drawing.label_placing import FRESH_STARTS, LEADER_GAP, LEADERS_APART
from patterns.drawing.marks import Label
from patterns.drawing.obstacles import Obstacles, obstacles
from patterns.drawing.overlaps import banded, box_meets_box, box_meets_line, level_bounds, near_pairs
from patterns.drawing.sight_lines import in_sight, ways_home
from patterns.drawing.text import grown, label_boxes
from patterns.geometry.arrays import Floats, lengths
from patterns.tiling.seams.clip import Box
from patterns.tiling.seams.grid import Cell, Grid
from patterns.tiling.seams.page_labels import FROM_SEAM, box_round

FURTHER_IN = (0.0, 1.0, 3.0, 6.0, 10.0, 15.0, 22.0, 32.0)  # mm inside a tile's edge, tried for a label moved on to it
# mm across and up, tried for one that finds no room so: close about, then far off.
ALL_ROUND = ((60.0, 4.0), (240.0, 12.0))  # so far, in such steps
AIR = 0.6  # mm kept between a label moved and any other ink
NEAR, BESIDE = 25.0, 3.5  # mm from its home, where a label needs no leader: one that had none, one that had
# What a leader costs beside the length of the move, mm: itself, each line it crosses, a word, and another tile's home.
LEADER, LINE_CROSSED, WORD_CROSSED, AWAY = 12.0, 10.0, 400.0, 30.0
MIXED_UP = 50.0  # mm; what a leader costs that crosses another or comes too near to it
IN_A_CROWD = 0.6  # of its size, for a label whose every leader would run through words
HOME_KEPT = 2.0 * np.array([[-1.0, -1.0], [1.0, -1.0], [1.0, 1.0], [-1.0, 1.0]])  # mm about a home
GOOD_ENOUGH = 30.0  # mm; cheaper moves are taken without a look further round
SOME = 128  # of the moves all round, tried before those further off

_Way = tuple[float, Label, int]  # a move's cost, the label moved, and its tile's number


@dataclass(frozen=True, slots=True, eq=False)
class SharedOut:
    """Which tile shows which labels, where they stand on the pattern, and what room is left between the ink."""

    by_tile: dict[Cell, tuple[Label, ...]]
    taken: Obstacles


def shared_out(
    labels: Sequence[Label], ink: Obstacles, register: Obstacles, grid: Grid, kept: Sequence[Cell]
) -> SharedOut:
    """Share the labels out.

    A label stays where it is if one tile shows it whole, no seam cuts it and no cross of the seams stands on it. Any
    other is moved as little as may be, along its own line if that is enough, to stand whole and clear of other ink on
    one tile; out of sight of the place it speaks of, it is joined to that by a leader.

    Parameters
    ----------
    ink : Obstacles
        Of the drawing, without its lettering.
    register : Obstacles
        The crosses of the seams.
    """
    corners = label_boxes(labels)
    boxes, among = level_bounds(corners), set(kept)
    whole = _within(boxes, np.array([grid.window(place) for place in kept]))
    shy = (FROM_SEAM, FROM_SEAM, -FROM_SEAM, -FROM_SEAM)
    rooms = np.array([grid.in_sight(place, among) for place in kept]) + shy
    sound = np.any(_within(boxes, rooms), axis=0) & register.free(corners)
    parting = ink.parting_lines()
    in_the_way: list[int] = []  # of a leader: moved too, after the others
    for _ in range(FRESH_STARTS):
        staying = list(compress(labels, sound.tolist()))
        taken = ink.joined(obstacles(staying))
        words, lines = taken.boxes_alone(), taken.pieces_alone()
        first = [number for number in np.flatnonzero(~sound).tolist() if number not in in_the_way]
        moving = [labels[number] for number in (*first, *in_the_way)]
        ground = _Ground(taken.joined(register), words, lines, parting, rooms, _homes(moving), _led(staying))
        moved = _moved(moving, ground)
        led = _led([label for label, _ in moved])
        which, word = near_pairs(led, corners)
        hit = word[box_meets_line(corners[word], led[which])]
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
    return SharedOut(by_tile, taken.joined(obstacles(elsewhere)) if elsewhere else taken)


def _led(labels: Sequence[Label]) -> Floats:
    """The leaders of labels, (n, 2, 2) mm."""
    return np.array([label.leader for label in labels if label.leader]).reshape(-1, 2, 2)


def _within(boxes: Floats, rooms: Floats) -> NDArray[np.bool_]:
    """Which of (n, 4) boxes lie whole in which of (m, 4) rooms, (m, n)."""
    low: NDArray[np.bool_] = np.all(boxes[None, :, :2] >= rooms[:, None, :2], axis=2)
    high: NDArray[np.bool_] = np.all(boxes[None, :, 2:] <= rooms[:, None, 2:], axis=2)
    return low & high


@dataclass(frozen=True, slots=True, eq=False)
class _Tries:
    """Moves of one label, nearest first, each on to one tile."""

    label: Label
    box: Floats  # (4, 2) mm, round the label where it stands
    by: Floats  # (n, 2) mm
    tiles: NDArray[np.intp]  # (n,) numbers of the tiles
    far: Floats  # (n,) mm, length of the moves

    def boxes(self, air: float = 0.0) -> Floats:
        """Round the label when moved, with some air, (n, 4, 2) mm."""
        box = grown(self.box[None], air) if air else self.box[None]
        moved: Floats = box + self.by[:, None]
        return moved

    def part(self, which: slice | NDArray[np.bool_]) -> _Tries:
        return replace(self, by=self.by[which], tiles=self.tiles[which], far=self.far[which])

    def choice(self, number: int) -> tuple[Label, int]:
        (x, y), (dx, dy) = self.label.at, self.by[number].tolist()
        return replace(self.label, at=(x + dx, y + dy), leader=None), int(self.tiles[number])


def _homes(labels: Sequence[Label]) -> Floats:
    return np.array([each.home for each in labels if each.home]).reshape(-1, 1, 2)


def _moved(labels: Sequence[Label], ground: _Ground) -> list[tuple[Label, int]]:
    """Labels cut by a tile's edge or standing on a cross, each moved on to one tile, with the tile's number."""
    if not labels:
        return []
    tries = [_tries(label, ground.rooms) for label in labels]
    free = ground.taken.free(np.concatenate([found.boxes(AIR) for found in tries]))
    ends = np.cumsum([len(found.by) for found in tries])[:-1]
    clear = [found.part(some) for found, some in zip(tries, np.split(free, ends), strict=True)]
    return [ground.set_down(found, priced) for found, priced in zip(tries, ground.priced(clear), strict=True)]


@dataclass(frozen=True, slots=True, eq=False)
class _Priced:
    """Moves free of ink, and what a leader would add to the length of each, as far as the ink alone tells."""

    tries: _Tries
    leaders: Floats  # (n, 2, 2) mm
    joined: NDArray[np.bool_]  # (n,) whether it wants one
    over: NDArray[np.bool_]  # (n,) whether its leader would run through a word
    added: Floats  # (n,) mm, words aside

    def part(self, which: NDArray[np.bool_]) -> _Priced:
        leaders, joined = self.leaders[which], self.joined[which]
        return _Priced(self.tries.part(which), leaders, joined, self.over[which], self.added[which])


@dataclass(slots=True, eq=False)
class _Ground:
    """What a moved label has to keep clear of, growing as labels are set down."""

    taken: Obstacles  # all that is below, and crosses of the seams
    words: Obstacles  # labels that stay
    lines: Obstacles  # the ink, and leaders of those labels
    parting: Obstacles  # lines that would part a label from its home
    rooms: Floats  # (n, 4) mm, of the tiles
    homes: Floats  # (n, 1, 2) mm, of all labels to be moved: covered, a leader could not come to them
    leaders: Floats  # (n, 2, 2) mm, of labels that stay and of those set down
    boxes: Floats = field(default_factory=lambda: np.empty((0, 4, 2)))  # of labels set down

    def set_down(self, near: _Tries, priced: _Priced) -> tuple[Label, int]:
        """The label where it is moved least and best joined to its home, near by, those free priced, or all round."""
        best = self._best(priced.part(self._clear(priced.tries)))
        shrunk = replace(near.label, size=near.label.size * IN_A_CROWD)
        usual = [(GOOD_ENOUGH, near.label, reach) for reach in ALL_ROUND]
        crowded = [
            (WORD_CROSSED, replace(shrunk, angle=angle), reach)
            for reach in ALL_ROUND
            for angle in (shrunk.angle, 0.0, math.pi / 2)
        ]
        for enough, label, reach in usual + crowded:
            if best is None or best[0] > enough:
                best = self._nearest(_tries_all_round(label, self.rooms, *reach), best)
        # Where nothing is clear, in the thick of things, the shortest move does least harm.
        label, number = best[1:] if best else near.choice(0)
        self.boxes = np.concatenate([self.boxes, label_boxes([label])])
        if label.leader is not None:
            self.leaders = np.concatenate([self.leaders, np.array([label.leader])])
        return label, number

    def _nearest(self, tries: _Tries, best: _Way | None) -> _Way | None:
        """The cheapest of many moves, if it is cheaper than the best so far: no move costs less than its length."""
        start = 0
        while start < len(tries.by) and (best is None or tries.far[start] < best[0]):
            some = tries.part(slice(start, start + SOME))
            some = some.part(self.taken.free(some.boxes(AIR)))
            found = self._best(*self.priced([some.part(self._clear(some))]))
            if found and (best is None or found[0] < best[0]):
                best = found
            start += SOME
        return best

    def _best(self, priced: _Priced) -> _Way | None:
        """The cheapest of moves that are clear: its length, and what a leader adds."""
        tries, over = priced.tries, priced.over
        if not len(tries.by):
            return None
        led = np.flatnonzero(priced.joined)
        which, other = near_pairs(priced.leaders[led], self.boxes)
        if len(which):
            over = over.copy()
            over[led[which[box_meets_line(self.boxes[other], priced.leaders[led[which]])]]] = True
        mixed_up = np.zeros(len(over), dtype=np.bool_)
        bands = banded(priced.leaders[led], LEADERS_APART)
        which, other = near_pairs(bands, self.leaders)
        mixed_up[led[which[box_meets_line(bands[which], self.leaders[other])]]] = True
        cost = tries.far + (priced.added + WORD_CROSSED * over + MIXED_UP * mixed_up)
        best = int(cost.argmin())
        label, tile = tries.choice(best)
        if priced.joined[best]:
            (x, y), (to_x, to_y) = priced.leaders[best].tolist()
            label = replace(label, leader=((x, y), (to_x, to_y)))
        return float(cost[best]), label, tile

    def _clear(self, tries: _Tries) -> NDArray[np.bool_]:
        """Which of moves touch no label set down, no leader of one, and no home but their own."""
        homes = self.homes
        if tries.label.home is not None:
            homes = homes[(homes[:, 0] != tries.label.home).any(axis=1)]
        return self._clear_of_others(tries.boxes(AIR), homes + HOME_KEPT)

    def _clear_of_others(self, boxes: Floats, homes: Floats) -> NDArray[np.bool_]:
        """Which of (n, 4, 2) boxes touch no label set down, no leader of one, and no (m, 4, 2) homes."""
        clear = np.ones(len(boxes), dtype=np.bool_)
        for others, meet in ((self.boxes, box_meets_box), (self.leaders, box_meets_line), (homes, box_meets_box)):
            which, other = near_pairs(boxes, others)
            if len(which):
                clear[which[meet(boxes[which], others[other])]] = False
        return clear

    def priced(self, tries: Sequence[_Tries]) -> list[_Priced]:
        """Moves of labels that are free of ink, and the leaders they want, all at once."""
        counts = [len(found.by) for found in tries]
        # A label without a home has none to be joined to: it is taken to be at home everywhere.
        homes = np.array([found.label.home or found.label.at for found in tries]).repeat(counts, axis=0)
        homeless = np.array([found.label.home is None for found in tries]).repeat(counts)
        beside = np.array([BESIDE if found.label.leader else NEAR for found in tries]).repeat(counts)
        ways = ways_home(homes, np.concatenate([found.boxes() for found in tries]))
        far = lengths(ways[:, 1] - ways[:, 0])
        joined = far > beside
        joined[~joined] = ~in_sight(ways[~joined], self.parting)
        joined &= ~homeless
        gap = (LEADER_GAP / np.maximum(far, 3 * LEADER_GAP))[:, None] * (ways[:, 1] - ways[:, 0])
        leaders = np.stack([ways[:, 0] + gap, ways[:, 1] - gap], axis=1)
        led, added, over = leaders[joined], np.zeros(len(far)), np.zeros(len(far), dtype=np.bool_)
        rooms = self.rooms[np.concatenate([found.tiles for found in tries])][joined]
        away = np.any((homes[joined] < rooms[:, :2]) | (homes[joined] > rooms[:, 2:]), axis=1)
        words = self.words.crossings(led)
        over[joined] = words > 0
        added[joined] = LEADER + LINE_CROSSED * (words + self.lines.crossings(led)) + AWAY * away
        ends = np.cumsum(counts)[:-1]
        columns = (np.split(values, ends) for values in (leaders, joined, over, added))
        return [_Priced(found, *values) for found, *values in zip(tries, *columns, strict=True)]


def _tries(label: Label, rooms: Floats) -> _Tries:
    """The label moved on to each tile it touches, and further in, nearest first."""
    left, bottom, right, top = box = box_round(label)
    moves = []
    for number in _touched(box, label, rooms):
        x0, y0, x1, y1 = rooms[number].tolist()
        for inset in FURTHER_IN:
            if right - left <= x1 - x0 - 2 * inset and top - bottom <= y1 - y0 - 2 * inset:
                dx, dy = _move_into(box, label.angle, (x0 + inset, y0 + inset, x1 - inset, y1 - inset))
                moves.append((number, dx, dy))
    tiles, across, up = np.array(moves).reshape(-1, 3).T
    far = np.hypot(across, up)
    order = np.lexsort((up, across, tiles, far))
    by = np.stack([across, up], axis=1)
    return _Tries(label, label_boxes([label])[0], by[order], tiles[order].astype(np.intp), far[order])


def _tries_all_round(label: Label, rooms: Floats, reach: float, step: float) -> _Tries:
    """The label moved every way, on to any tile that shows it whole, nearest first."""
    left, bottom, right, top = box = box_round(label)
    numbers = _touched((left - reach, bottom - reach, right + reach, top + reach), label, rooms)
    moves, far = _moves_all_round(reach, step)
    which, move = np.nonzero(_within(np.array(box) + np.tile(moves, 2), rooms[numbers]))
    order = np.argsort(far[move], kind="stable")  # of two as long, on the first tile
    which, move = which[order], move[order]
    return _Tries(label, label_boxes([label])[0], moves[move], np.array(numbers, dtype=np.intp)[which], far[move])


@cache
def _moves_all_round(reach: float, step: float) -> tuple[Floats, Floats]:
    """Moves, (n, 2) mm, and their lengths, (n,) mm, the shortest first."""
    way = np.arange(-reach, reach + step / 2, step)
    dx, dy = (axis.ravel() for axis in np.meshgrid(way, way, indexing="ij"))
    far = np.hypot(dx, dy)
    order = np.lexsort((dy, dx, far))
    return np.stack([dx, dy], axis=1)[order], far[order]


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
