"""The line to saw to: outside the finished line by the wood left for the plane, and outside the far face's too."""

from __future__ import annotations

from collections.abc import Iterator

import numpy as np
import shapely

from patterns.drawing.marks import Stroke
from patterns.parts.part import Part


def saw_strokes(part: Part) -> Iterator[Stroke]:
    """The saw line of a part with an allowance for the plane. A square saw must leave the larger face whole."""
    if part.saw_allowance <= 0.0:
        return
    faces = [shapely.Polygon(ring) for ring in (part.outline, part.far_outline)]
    wood = shapely.union_all([face if face.is_valid else shapely.make_valid(face) for face in faces])
    for piece in shapely.get_parts(shapely.buffer(wood, part.saw_allowance, join_style="mitre", mitre_limit=2.0)):
        ring = shapely.get_coordinates(shapely.get_exterior_ring(piece))[:-1]
        yield Stroke(np.asarray(ring), "saw", closed=True)
