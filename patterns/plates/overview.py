"""Small pictures of parts by their outlines: to know a thing again, not to measure it."""

from __future__ import annotations

import numpy as np
import shapely

from patterns.drawing.marks import Drawing, Layer, Stroke
from patterns.geometry.arrays import Floats
from patterns.parts.edges import as_laid
from patterns.parts.part import Part

ROOM = (150.0, 55.0)  # mm, width and height a part's picture fills at the most
THINNED = 0.06  # mm of the picture; a line moved less looks the same


def part_picture(part: Part, room: tuple[float, float] = ROOM) -> Drawing:
    """A part without words: both faces' outlines, holes and marks, small, its marked face toward the reader."""
    part = as_laid(part)
    everything = np.concatenate([part.outline, part.far_outline])
    low, size = everything.min(axis=0), np.ptp(everything, axis=0)
    scale = float(min(room[0] / size[0], room[1] / size[1], 1.0))

    def small(points: Floats, layer: Layer, *, closed: bool = False) -> Stroke:
        return Stroke(_thinned((points - low) * scale, closed=closed), layer, closed=closed)

    ink = (
        small(part.outline, "cut-outside", closed=True),
        *(small(hole, "cut-inside", closed=True) for hole in part.holes),
        *(small(edge.far, "far-face") for edge in part.edges if _shows(edge.points, edge.far, scale)),
        *(small(mark.points, "mark") for mark in part.marks),
    )
    return Drawing(part.title, f"picture-{part.file_name}", ink)


def _shows(points: Floats, far: Floats, scale: float) -> bool:
    """Whether the far face's edge lies clear of the finished line in a picture."""
    return scale * shapely.LineString(far).hausdorff_distance(shapely.LineString(points)) > 2 * THINNED


def _thinned(points: Floats, *, closed: bool) -> Floats:
    if len(points) < 3:
        return points
    ring = np.vstack([points, points[:1]]) if closed else points
    line = shapely.simplify(shapely.LineString(ring), THINNED, preserve_topology=False)
    kept = np.asarray(line.coords)
    return kept[:-1] if closed else kept
