"""Words and leaders set down one after another, and what room they leave for the next."""

from __future__ import annotations

import numpy as np
from numpy.typing import NDArray

from patterns.drawing.overlaps import banded, box_meets_box, box_meets_line, level_bounds, near_bounds
from patterns.geometry.arrays import Floats


class SetDown:
    """Shapes of so many corners, added to one by one, and the level bounds they are sorted by."""

    def __init__(self, shapes: Floats) -> None:
        self._count, self._shapes, self._bounds = len(shapes), shapes, level_bounds(shapes)

    @property
    def shapes(self) -> Floats:
        """(n, corners, 2) mm."""
        return self._shapes[: self._count]

    @property
    def bounds(self) -> Floats:
        """Left, bottom, right and top of each, (n, 4) mm."""
        return self._bounds[: self._count]

    def add(self, shape: Floats, bounds: Floats) -> None:
        """One more, (corners, 2), and its (4,) bounds."""
        if self._count == len(self._shapes):  # room for many more at once: not all copied anew for each one
            room = 32 + self._count
            self._shapes = np.concatenate([self._shapes, np.empty((room, *shape.shape))])
            self._bounds = np.concatenate([self._bounds, np.empty((room, 4))])
        self._shapes[self._count], self._bounds[self._count] = shape, bounds
        self._count += 1


class Taken:
    """Boxes of words and leaders set down so far."""

    def __init__(self, words: Floats) -> None:
        self._words, self._leaders = SetDown(words), SetDown(np.empty((0, 2, 2)))
        self._bounds: list[list[float]] = self._words.bounds.tolist()  # of both

    def add_word(self, box: Floats, bounds: Floats) -> None:
        """A (4, 2) box and its (4,) level bounds."""
        self._words.add(box, bounds)
        self._bounds.append(bounds.tolist())

    def add_leader(self, line: Floats) -> None:
        """A (2, 2) line."""
        [bounds] = level_bounds(line[None])
        self._leaders.add(line, bounds)
        self._bounds.append(bounds.tolist())

    def first_clear(self, boxes: Floats, bounds: Floats) -> int | None:
        """The number of the first of (n, 4, 2) boxes that touches nothing set down; with their (n, 4) level bounds."""
        if not len(boxes):
            return None
        # Most words find room at their first place, with nothing near: one box is sooner looked at number by number.
        if self._nothing_near(*bounds[0].tolist()):
            return 0
        clear = self.clear_boxes(boxes, bounds)
        first = int(clear.argmax())
        return first if clear[first] else None

    def _nothing_near(self, left: float, bottom: float, right: float, top: float) -> bool:
        for to_left, below, to_right, above in self._bounds:
            if to_left <= right and to_right >= left and below <= top and above >= bottom:
                return False
        return True

    def clear_boxes(self, boxes: Floats, bounds: Floats) -> NDArray[np.bool_]:
        """Which of (n, 4, 2) boxes, with their (n, 4) level bounds, touch nothing set down so far, (n,)."""
        clear = np.ones(len(boxes), dtype=np.bool_)
        for others, meet in ((self._words, box_meets_box), (self._leaders, box_meets_line)):
            which, other = np.nonzero(near_bounds(bounds, others.bounds))
            if len(which):
                clear[which[meet(boxes[which], others.shapes[other])]] = False
        return clear

    def clear_leaders(self, lines: Floats) -> NDArray[np.bool_]:
        """Which of (n, 2, 2) leaders touch no word, (n,)."""
        clear = np.ones(len(lines), dtype=np.bool_)
        which, other = np.nonzero(near_bounds(level_bounds(lines), self._words.bounds))
        clear[which[box_meets_line(self._words.shapes[other], lines[which])]] = False
        return clear

    def near_leaders(self, lines: Floats, clear: float) -> NDArray[np.bool_]:
        """Which of (n, 2, 2) leaders cross another or come so near to one that their words could be exchanged, (n,)."""
        near = np.zeros(len(lines), dtype=np.bool_)
        bands = banded(lines, clear)
        which, other = np.nonzero(near_bounds(level_bounds(bands), self._leaders.bounds))
        near[which[box_meets_line(bands[which], self._leaders.shapes[other])]] = True
        return near
