"""Labels on a tile: made to fit it, and the boxes round them."""

from __future__ import annotations

import math
from collections.abc import Iterable, Sequence
from dataclasses import replace

import numpy as np

from patterns.drawing.marks import Label
from patterns.drawing.overlaps import level_bounds
from patterns.drawing.text import label_boxes, text_width, wrapped
from patterns.geometry.arrays import Floats
from patterns.tiling.seams.clip import Box

LINE_PITCH = 1.8  # of a capital's height, from line to line of a broken label
FROM_SEAM = 1.0  # mm between lettering and a seam, where the trim line runs
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
    lines: list[Label] = []
    for number, text in enumerate(texts):
        drop = (number - (len(texts) - 1) / 2) * LINE_PITCH * label.size
        at = label.at[0] + drop * down[0], label.at[1] + drop * down[1]
        lines.append(replace(label, text=text, at=at, leader=None if lines else label.leader))
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
