"""Pages judged as the owner of a home printer would: is there work on one, and can it be read."""

from __future__ import annotations

from collections.abc import Iterator

import numpy as np
import shapely

from patterns.drawing.marks import Cross, Drawing, Label, Stroke
from patterns.drawing.text import CAP_HEIGHT, label_boxes
from patterns.tiling.paper.page import Page
from patterns.tiling.tiles.tiles import Tile, Tiling

POINT = 25.4 / 72  # mm
LEAST_TYPE = 7 * POINT * CAP_HEIGHT  # mm, capitals of 7 point type
WORK = ("cut-outside", "cut-inside", "far-face", "saw", "drill")
ENOUGH = 1.0  # mm of a line


def idle(tiling: Tiling) -> Iterator[str]:
    """Pages of a pattern without a line to cut, prick or measure: found from the ink on the page alone."""
    for one in tiling.tiles:
        if not _work_on(one, tiling.drawing):
            yield one.page.name


def _work_on(one: Tile, drawing: Drawing) -> bool:
    wood = None if drawing.wood is None else shapely.Polygon(drawing.wood).buffer(2.0)
    for mark in one.page.marks:
        if isinstance(mark, Stroke) and len(mark.points) > 1:
            line = shapely.LineString(mark.points - one.shift)
            if mark.layer in WORK and line.length > ENOUGH:
                return True
            on_wood = line if wood is None else line.intersection(wood)
            if mark.layer == "mark" and on_wood.length > ENOUGH:
                return True
        if isinstance(mark, Cross) and mark.layer == "mark":
            return True
    return False


def unreadable(page: Page) -> Iterator[str]:
    """Words that touch words, a cross or a line, and words set smaller than 7 point."""
    labels = [mark for mark in page.marks if isinstance(mark, Label)]
    boxes = np.asarray(shapely.polygons(label_boxes(labels))) if labels else np.empty(0, dtype=object)
    lines = [line for mark in page.marks if not isinstance(mark, Label) for line in _lines(mark)]
    for label, line in shapely.STRtree(lines).query(boxes, predicate="intersects").T:
        place = shapely.get_coordinates(lines[line])[0].round(1).tolist()
        yield f"{page.name}: {labels[label].text!r} on a line at {place}"
    for one, other in shapely.STRtree(boxes).query(boxes, predicate="intersects").T:
        if one < other:
            yield f"{page.name}: {labels[one].text!r} on {labels[other].text!r}"
    for label in labels:
        if label.size < LEAST_TYPE - 1e-3:
            points = label.size / CAP_HEIGHT / POINT
            yield f"{page.name}: {label.text!r} is set in {points:.1f} point"


def _lines(mark: Stroke | Cross) -> list[shapely.LineString]:
    if isinstance(mark, Stroke):
        ring = [*mark.points, mark.points[0]] if mark.closed else mark.points
        return [shapely.LineString(ring)] if len(ring) > 1 else []
    x, y = mark.at
    return [
        shapely.LineString([(x - mark.arm, y), (x + mark.arm, y)]),
        shapely.LineString([(x, y - mark.arm), (x, y + mark.arm)]),
    ]
