"""What of a drawing is ink that a page's edge may cut, and what is lettering that stays whole."""

from __future__ import annotations

import math
from collections.abc import Iterable, Sequence

import numpy as np
import shapely

from patterns.drawing.marks import Cross, Drawing, Ink, Label, Stroke, leaders
from patterns.geometry.arrays import Floats
from patterns.tiling.seams.clip import Segments, segments
from patterns.tiling.seams.page_labels import boxes_round


def lean_of(marks: Sequence[Ink]) -> float:
    """How far the least box round the ink leans from level or upright, rad, within an eighth of a turn."""
    strokes = [mark.points for mark in (*marks, *leaders(marks)) if isinstance(mark, Stroke)]
    box = shapely.minimum_rotated_rectangle(shapely.multipoints(np.concatenate([np.empty((0, 2)), *strokes])))
    if not isinstance(box, shapely.Polygon):
        return 0.0
    (x, y), (to_x, to_y) = shapely.get_coordinates(box)[:2].tolist()
    lean = math.atan2(to_y - y, to_x - x)
    return (lean + math.pi / 4) % (math.pi / 2) - math.pi / 4


def labels_of(drawing: Drawing) -> tuple[Label, ...]:
    return labels_in(drawing.marks)


def labels_in(marks: Iterable[Ink]) -> tuple[Label, ...]:
    return tuple(mark for mark in marks if isinstance(mark, Label))


def ink_of(drawing: Drawing) -> Segments:
    """Everything but the lettering."""
    return segments(strokes_of(drawing.marks))


def strokes_of(marks: Iterable[Ink]) -> list[Stroke]:
    """Marks that are no lettering as strokes; crosses too, for a tile's edge may cut one."""
    strokes: list[Stroke] = []
    for mark in marks:
        if isinstance(mark, Stroke):
            strokes.append(mark)
        elif isinstance(mark, Cross):
            arm = np.array([mark.arm, 0.0])
            strokes += [Stroke(np.array([mark.at - way, mark.at + way]), mark.layer) for way in (arm, arm[::-1])]
    return strokes


def block_marks(drawing: Drawing) -> tuple[Ink, ...]:
    return drawing.block.marks if drawing.block else ()


def middles_of(labels: Sequence[Label]) -> Floats:
    boxes = boxes_round(labels)
    middles: Floats = (boxes[:, :2] + boxes[:, 2:]) / 2
    return middles
