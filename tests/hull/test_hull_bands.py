"""How far lines may be out, bay by bay, and as it stands in job.json."""

from __future__ import annotations

import json

import numpy as np
import pytest
from boats import EIGHTH, saltmeadow

from patterns.hull.bands import bay_bands
from patterns.hull.fairing import FairedLine, FairedView, fair
from patterns.hull.fairing_rules import HEIGHT, FairingRule
from patterns.writing.job_json.job_text import _line


def lines(*rules: FairingRule) -> tuple[FairedLine, ...]:
    boat = saltmeadow()
    return fair(boat.offsets, fore=boat.fore, aft=boat.aft, within=EIGHTH, rules=rules)


def test_a_bay_is_told_where_its_band_is_widest() -> None:
    view = lines()[1].height
    bays = bay_bands(view)
    assert [bay.columns for bay in bays] == list(zip(view.columns[:-1], view.columns[1:], strict=True))
    for bay in bays:
        x = np.linspace(*bay.from_fp, 400)[1:-1]
        assert bay.from_fp[0] < bay.at < bay.from_fp[1]
        assert bay.half_width == pytest.approx(view.band_at(x).max(), rel=0.05)


def test_an_offset_left_out_leaves_one_wide_bay_with_the_wider_band() -> None:
    every = {bay.columns: bay.half_width for bay in bay_bands(lines()[0].height)}
    without = {
        bay.columns: bay.half_width
        for bay in bay_bands(lines(FairingRule("sheer", HEIGHT, "3", float("nan")))[0].height)
    }
    assert without["2", "4"] > max(every["2", "3"], every["3", "4"])
    assert ("2", "3") not in without


def test_one_more_offset_narrows_the_band_most_about_itself() -> None:
    view = lines()[1].height
    goal = np.linspace(300.0, 4000.0, 38)
    left = view.helps(goal, goal)
    assert (left <= view.band_at(goal)[:, None] + 1e-9).all()
    narrowed = left / view.band_at(goal)[:, None]
    assert (np.abs(goal[narrowed.argmin(axis=0)] - goal) <= 700.0).all()


def test_job_json_has_the_band_of_every_bay_and_nothing_where_nobody_can_say() -> None:
    line = lines()[1]
    told = _line(line)
    for key, view in (("band_height", line.height), ("band_half_breadth", line.half_breadth)):
        assert [one["may_be_out"] for one in told[key]] == [bay.half_width for bay in bay_bands(view)]
    few = FairedView(("a", "b", "c"), np.array([0.0, 500.0, 1000.0]), np.zeros(3), np.zeros(3))
    told = json.loads(json.dumps(_line(FairedLine("keel", line.height, few)), allow_nan=False))
    assert [one["may_be_out"] for one in told["band_half_breadth"]] == [None, None]
