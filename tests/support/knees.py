"""A quarter knee, as a drawing and on pages."""

from __future__ import annotations

import numpy as np

from patterns.drawing.marks import Cross, Drawing, Label, Stroke
from patterns.tiling.paper.paper import PaperSetup
from patterns.tiling.tiles.tiles import Tiling, tile


def knee_tiling() -> Tiling:
    outline = np.array([[0, 0], [420, 0], [300, 90], [120, 330], [0, 430]], float)
    marks = (
        Stroke(outline, "cut-outside", closed=True),
        Stroke(np.array([[30, 0], [30, 380]], float), "far-face"),
        Stroke(np.array([[0, 60], [340, 60]], float), "saw"),
        Cross((60.0, 60.0), 4.0, "drill"),
        Label("quarter knee 3/4″ ⅝ 12.5° é", (90.0, 150.0), 4.0),
    )
    return tile(Drawing("quarter knee", "quarter-knee", marks), PaperSetup(210.0, 297.0, name="A4"))


def knee(file_name: str = "quarter-knee") -> Drawing:
    marks = (
        Stroke(
            np.array([[0, 0], [420, 0], [300, 90], [120, 330], [0, 430.1234567]], float), "cut-outside", closed=True
        ),
        Stroke(np.array([[30, 0], [30, 380]], float), "far-face", run=7.0),
        Cross((60.0, 60.0), 4.0, "drill"),
        Label("knee <3/4″> & ⅝", (90.0, 150.0), 4.0, angle=0.5, anchor="start"),
    )
    return Drawing("quarter knee", file_name, marks)
