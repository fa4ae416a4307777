"""Papers for test blocks: folded round their section, the cut they carry is one plane, the plane of the end."""

from __future__ import annotations

from dataclasses import replace

import numpy as np
import pytest
from boats import exact_hulls, wedge_side
from level_hulls import EVERYTHING, LOG, level_hull, log_of, planked
from shapely import box

from patterns.drawing.marks import Label, Stroke
from patterns.drawing.text import label_box
from patterns.parts.long.long_pieces import LongPiece
from patterns.parts.whole import loft
from patterns.plates.pattern.end_blocks import end_blocks


def folded(piece: LongPiece, which: int) -> np.ndarray:
    """The cut of one paper folded round its section: (4, 3) mm, x along the piece."""
    # A tall paper has its section in a drawing of its own, which follows it.
    end = (piece.fore, piece.after)[which].end.replace(" ", "-")
    drawn = [block for block in end_blocks(piece, boat="b") if f"-{end}-block" in block.file_name]
    strokes = [mark for block in drawn for mark in block.marks if isinstance(mark, Stroke)]
    cut, section = (stroke.points for stroke in strokes if stroke.layer == "cut-outside")
    # The paper's folds: far lower, lower, upper, far upper; the section's corners: lower, upper, far upper, far lower.
    along = cut[[1, 2, 3, 4], 0]
    sides = np.abs(np.diff(cut[:, 1]))
    around = np.linalg.norm(np.roll(section, -1, axis=0) - section, axis=1)
    assert sides == pytest.approx(np.roll(around, 1), abs=1e-9)
    return np.column_stack([along, section])


@pytest.mark.parametrize("hand", ["port", "starboard"])
def test_the_cut_folded_round_the_section_is_plane(hand: str) -> None:
    hull, _ = planked(level_hull(wedge_side(20.0, 12.0)))
    piece = log_of(hull, replace(LOG, drain=None), hand)
    for which in (0, 1):
        corners = folded(piece, which)
        _, size, _ = np.linalg.svd(corners - corners.mean(axis=0))
        assert size[2] < 1e-3
        assert size[1] > 10.0


def test_papers_of_both_hands_are_mirror_images() -> None:
    hull, _ = planked(level_hull(wedge_side(20.0, 12.0)))
    port, starboard = (
        [m.points for d in end_blocks(log_of(hull, LOG, hand), boat="b") for m in d.marks if isinstance(m, Stroke)]
        for hand in ("port", "starboard")
    )
    for a, b in zip(port, starboard, strict=True):
        if len(a) == 5:  # the cut across four faces
            assert a[:, 0] == pytest.approx(b[:, 0])
            assert a[:, 1] - a[:, 1].min() == pytest.approx(b[:, 1].max() - b[:, 1])


@pytest.mark.slow
def test_lettering_overlaps_nothing() -> None:
    job = loft(replace(exact_hulls()[0].boat(), frames=None, long=EVERYTHING))
    drawn = [block for piece in job.long_pieces for block in end_blocks(piece, boat="A boat of some name")]
    assert len(drawn) >= 16
    for drawing in drawn:
        boxes = [
            box(*corners.min(axis=0), *corners.max(axis=0))
            for corners in (label_box(mark) for mark in drawing.marks if isinstance(mark, Label))
        ]
        for i, one in enumerate(boxes):
            assert not any(one.intersects(other) for other in boxes[i + 1 :]), drawing.title
