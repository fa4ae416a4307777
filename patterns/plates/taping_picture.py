"""How two pages are taped: a picture for whoever has never done it. Of no boat, and to no scale."""

from __future__ import annotations

import numpy as np

from patterns.drawing.marks import Cross, Drawing, Ink, Label, Stroke
from patterns.geometry.arrays import Floats

PAGE, OVERLAP = (46.0, 34.0), 9.0  # mm in the picture
CAPITAL = 2.4  # mm


def taping_picture() -> Drawing:
    """Two pages, the second on top of the first, crosses on crosses."""
    wide, high = PAGE
    second = wide - OVERLAP
    x = np.linspace(4.0, second + wide - 4.0, 41)
    edge = np.stack([x, 8.0 + 12.0 * np.sin(x / 34.0)], axis=1)
    ink: tuple[Ink, ...] = (
        Stroke(_page(second, OVERLAP), "band", closed=True),
        Stroke(_page(0.0, wide), "sheet", closed=True),
        Stroke(_page(second, wide), "mark", closed=True),
        Stroke(edge, "cut-outside"),
        *(Cross((second + OVERLAP / 2, y), 2.0, "mark") for y in (4.0, high - 4.0)),
        Label("A1", (second / 2, high - 5.0), CAPITAL),
        Label("A2 goes on top", (second + OVERLAP + (wide - OVERLAP) / 2, high - 5.0), CAPITAL),
        Label("crosses on crosses", (second + OVERLAP / 2, -4.0), CAPITAL),
    )
    return Drawing("two pages taped", "taping", ink)


def _page(left: float, wide: float) -> Floats:
    high = PAGE[1]
    return np.array([[left, 0.0], [left + wide, 0.0], [left + wide, high], [left, high]])
