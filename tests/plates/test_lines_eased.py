"""The lines before and after they are eased against twist, on one drawing."""

from __future__ import annotations

from dataclasses import replace

import numpy as np
from boats import saltmeadow

from patterns.drawing.marks import Stroke
from patterns.hull.fairing import FairedLine, fair
from patterns.plates.lines.lines_plan import Beside, lines_plan
from patterns.plates.lines.without_doubts import DASHES, EASED, EASED_TIMES
from patterns.plates.view_field import View

PAPER = (250.0, 160.0)


def drawn(raised: float) -> tuple[tuple[FairedLine, ...], View, View]:
    """Saltmeadow's lines, her sheer raised all along, with what is drawn in profile and in half-breadth plan."""
    boat = saltmeadow()
    lines = fair(boat.offsets, fore=boat.fore, aft=boat.aft, within=boat.fair_within)
    sheer = lines[0].height
    up = replace(sheer, faired=sheer.faired + raised, fit=None)
    eased = (replace(lines[0], height=up), *lines[1:])
    profile, plan, _ = lines_plan(boat, lines, (), paper=PAPER, beside=Beside(eased=eased), lettered=False)
    return lines, profile, plan


def dashed(view: View) -> list[Stroke]:
    return [mark for mark in view.drawing.marks if isinstance(mark, Stroke) and mark.dashes == DASHES]


def test_a_line_is_dashed_where_it_is_eased_ten_times_as_far_as_it_moves() -> None:
    _, profile, plan = drawn(4.0)
    (stroke,) = dashed(profile)
    solid = max(
        (mark for mark in profile.drawing.marks if isinstance(mark, Stroke) and mark.layer == "line"),
        key=lambda mark: float(np.mean(mark.points[:, 1])),
    )
    x = stroke.points[len(stroke.points) // 2, 0]
    above = stroke.points[len(stroke.points) // 2, 1] - np.interp(x, solid.points[:, 0], solid.points[:, 1])
    scale = np.ptp(solid.points[:, 0]) / np.ptp(drawn(0.0)[0][0].height.from_fp)
    # Heights may be drawn larger than lengths, never smaller.
    assert above >= EASED_TIMES * 4.0 * scale * 0.99
    assert not dashed(plan)
    assert EASED.format(times=EASED_TIMES) in profile.notes


def test_lines_that_are_not_eased_have_no_second_line() -> None:
    _, profile, plan = drawn(0.0)
    assert not dashed(profile)
    assert not dashed(plan)
