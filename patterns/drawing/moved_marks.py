"""Marks set down elsewhere: turned by quarters and moved."""

from __future__ import annotations

import math
from typing import assert_never

import numpy as np

from patterns.drawing.marks import Cross, Ink, Label, Shading, Stroke
from patterns.geometry.arrays import Floats

QUARTER = math.pi / 2  # rad


def placed(mark: Ink, at: tuple[float, float], *, quarters: int = 0) -> Ink:
    """A mark turned counter-clockwise about nought, then moved by ``at``.

    Parameters
    ----------
    at : (float, float) mm
    quarters : int
        Quarter turns, 0 to 3.
    """
    match mark:
        case Stroke():
            points = placed_points(mark.points, at, quarters=quarters)
            return Stroke(points, mark.layer, mark.closed, mark.run, mark.dashes)
        case Cross():
            return Cross(_place(mark.at, at, quarters), mark.arm, mark.layer)
        case Label():
            return mark.carried(lambda place: _place(place, at, quarters), turn=quarters * QUARTER)
        case Shading():
            box = placed_points(mark.box, at, quarters=quarters)
            (left, bottom), (width, height) = box.min(axis=0).tolist(), np.ptp(box, axis=0).tolist()
            return Shading(np.rot90(mark.greys, quarters), (left, bottom), width, height, mark.layer)
        case _:
            assert_never(mark)


def placed_points(points: Floats, at: tuple[float, float], *, quarters: int = 0) -> Floats:
    """(n, 2) mm; exact, as sines and cosines of quarter turns need not be."""
    x, y = points[:, 0], points[:, 1]
    turned = ((x, y), (-y, x), (-x, -y), (y, -x))[quarters]
    found: Floats = np.column_stack(turned) + at
    return found


def _place(place: tuple[float, float], at: tuple[float, float], quarters: int) -> tuple[float, float]:
    x, y = place
    x, y = ((x, y), (-y, x), (-x, -y), (y, -x))[quarters]
    return x + at[0], y + at[1]
