"""How far a mark's ink reaches, for tests of pages."""

from __future__ import annotations

import numpy as np

from patterns.drawing.marks import Cross, Ink, Label, Stroke
from patterns.drawing.text import label_box
from patterns.geometry.arrays import Floats


def extent(mark: Ink) -> Floats:
    """Points no ink of a mark lies beyond, (n, 2) mm."""
    match mark:
        case Stroke():
            return mark.points
        case Cross():
            return np.array([np.subtract(mark.at, mark.arm), np.add(mark.at, mark.arm)])
        case Label():
            return label_box(mark)
