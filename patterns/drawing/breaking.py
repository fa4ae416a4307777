"""Lines broken where lettering stands, as a draughtsman breaks them: for lines that lettering cannot keep clear of."""

from __future__ import annotations

from collections.abc import Iterable, Iterator, Sequence
from dataclasses import replace

import numpy as np
import shapely

from patterns.drawing.marks import Label, Stroke
from patterns.drawing.text import grown, label_boxes
from patterns.geometry.arrays import Floats
from patterns.geometry.outlines import line_strings


def broken(strokes: Iterable[Stroke], labels: Sequence[Label], *, air: float) -> Iterator[Stroke]:
    """The strokes, left out where they would come within ``air`` mm of a label."""
    boxes = label_boxes(labels)
    words = np.asarray(shapely.polygons(grown(boxes, air) if len(boxes) else boxes))
    strokes = list(strokes)
    wholes = line_strings([_line(stroke) for stroke in strokes])
    crossing, crossed = shapely.STRtree(words).query(wholes, predicate="intersects")
    for number, (stroke, whole) in enumerate(zip(strokes, wholes, strict=True)):
        near = crossed[crossing == number]
        if not len(near):
            yield stroke
            continue
        rest = shapely.difference(whole, shapely.union_all(words[near]))
        for part in shapely.get_parts(shapely.line_merge(rest)):
            points = shapely.get_coordinates(part)
            if len(points):
                run = stroke.run + whole.project(shapely.Point(points[0]))
                yield replace(stroke, points=points, closed=False, run=run)


def _line(stroke: Stroke) -> Floats:
    return np.concatenate([stroke.points, stroke.points[:1]]) if stroke.closed else stroke.points
