"""The outline on the face turned away, where a bevel parts it from the finished line."""

from __future__ import annotations

import shapely

from patterns.drawing.marks import Stroke
from patterns.parts.part import Edge, Part

APART = 0.05  # mm; nearer than this the two faces' lines are one


def far_strokes(part: Part) -> tuple[Stroke, ...]:
    """The far face's line of each edge that is not cut square."""
    return tuple(Stroke(edge.far, "far-face") for edge in part.edges if _parts(edge))


def _parts(edge: Edge) -> bool:
    net = shapely.LineString(edge.points)
    if shapely.distance(shapely.Point(edge.far[len(edge.far) // 2]), net) > APART:  # as most bevels do
        return True
    shapely.prepare(net)
    return bool(shapely.distance(shapely.points(edge.far), net).max() > APART)
