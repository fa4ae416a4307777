"""What a reader's eye crosses on its way from a word to the place the word speaks of."""

from __future__ import annotations

from collections.abc import Iterable

import numpy as np
from numpy.typing import NDArray

from patterns.drawing.marks import Ink
from patterns.drawing.obstacles import Obstacles, obstacles
from patterns.geometry.arrays import Floats, lengths

AT_HOME = 1.2  # mm; a line that comes so near to the place is what the word speaks of, its tick or its prick's ring


def parting_lines(ink: Iterable[Ink]) -> Obstacles:
    """The lines that part a word from its place."""
    return obstacles(ink).parting_lines()


def ways_home(homes: Floats, boxes: Floats) -> Floats:
    """From each of (n, 2) homes the straight way to the nearest place of its (n, 4, 2) box, (n, 2, 2) mm."""
    corner = boxes[:, 0]
    ahead, up = boxes[:, 1] - corner, boxes[:, 3] - corner
    along, over = (
        np.clip(((homes - corner) * side).sum(axis=1) / (side * side).sum(axis=1), 0.0, 1.0) for side in (ahead, up)
    )
    nearest = corner + along[:, None] * ahead + over[:, None] * up
    return np.stack([homes, nearest], axis=1)


def in_sight(ways: Floats, lines: Obstacles) -> NDArray[np.bool_]:
    """Which of (n, 2, 2) ways home cross no line but those at home, (n,)."""
    clear = np.ones(len(ways), dtype=np.bool_)
    which, piece = lines.crossed(ways)
    start, end = lines.pieces[piece, 0], lines.pieces[piece, 1]
    home, along = ways[which, 0], end - start
    share = np.clip(((home - start) * along).sum(axis=1) / np.maximum((along * along).sum(axis=1), 1e-12), 0.0, 1.0)
    away = lengths(home - start - share[:, None] * along)
    clear[which[away > AT_HOME]] = False
    return clear
