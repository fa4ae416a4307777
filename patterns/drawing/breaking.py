"""Lines broken where lettering stands, as a draughtsman breaks them: for lines that lettering cannot keep clear of."""

from __future__ import annotations

from collections.abc import Iterable, Iterator, Sequence
from dataclasses import replace

import numpy as np
import shapely

from patterns.drawing.marks import Label, Stroke
from patterns.drawing.text import label_box
from patterns.geometry.arrays import Floats


def broken(strokes: Iterable[Stroke], labels: Sequence[Label], *, air: float) -> Iterator[Stroke]:
    """The strokes, left out where they would come within ``air`` mm of a label."""
    boxes = np.array([label_box(label) for label in labels]).reshape(-1, 4, 2)
    low, high = boxes.min(axis=1) - air, boxes.max(axis=1) + air
    for stroke in strokes:
        line = _line(stroke)
        near = boxes[((high >= line.min(axis=0)) & (low <= line.max(axis=0))).all(axis=1)]
        if not len(near):
            yield stroke
            continue
        words = shapely.union_all(shapely.buffer(shapely.polygons(near), air, join_style="mitre"))
        whole = shapely.LineString(line)
        if not whole.intersects(words):
            yield stroke
            continue
        for part in shapely.get_parts(shapely.line_merge(shapely.difference(whole, words))):
            points = shapely.get_coordinates(part)
            if len(points):
                run = stroke.run + whole.project(shapely.Point(points[0]))
                yield replace(stroke, points=points, closed=False, run=run)


def _line(stroke: Stroke) -> Floats:
    return np.concatenate([stroke.points, stroke.points[:1]]) if stroke.closed else stroke.points
