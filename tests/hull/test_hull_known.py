"""Small things of the hull whose answers are known beforehand: bowed ends, corners planed to the half angle, noise."""

from __future__ import annotations

from dataclasses import replace

import numpy as np
import pytest
from boats import exact_hulls
from sample_jobs import sample

from patterns.hull import fairing
from patterns.hull.build import Transom, end_cut
from patterns.hull.offsets import OffsetRow
from patterns.hull.planking.skin import plank
from patterns.hull.planking.transition import transition


def test_a_bowed_transom_bulges_out_of_the_boat_at_either_end() -> None:
    """Its corners lie nearer midship than its middle: forward of it aft, aft of it on a pram's bow."""
    upright = np.array([[2400.0, 400.0], [2400.0, 100.0]])
    board = Transom(upright, thickness=18.0, crown=0.0, material="ply", radius=900.0)
    corner = np.array([300.0])
    assert end_cut(board, aft=True).set_back(corner)[0] > 0
    assert end_cut(board, aft=False).set_back(corner)[0] < 0


def test_edges_planed_to_the_half_angle_share_the_corner_evenly() -> None:
    """Both edges are off square by what half the corner wants of a right angle: square to a corner of 180 degrees."""
    boat = exact_hulls()[0].boat()
    lines = fairing.fair(boat.offsets, fore=boat.fore, aft=boat.aft, within=boat.fair_within)
    hull = plank(lines, skin=boat.skin, fore=boat.fore, aft=boat.aft)
    joints = transition(hull, hull.corners[0]).joints
    assert len(joints) > 10
    for joint in joints:
        assert joint.mitre == pytest.approx(np.pi / 2 - joint.opening / 2)
        assert joint.lap == pytest.approx(np.pi / 2 - joint.opening)
        assert 0.0 < joint.mitre < np.pi / 2


@pytest.mark.slow
def test_a_waterlines_noise_is_the_rounding_of_its_figures_over_the_root_of_twelve(
    monkeypatch: pytest.MonkeyPatch,
) -> None:
    """A figure rounded to a step lies anywhere within it alike: its standard deviation is the step over root 12."""
    offsets = sample("saltmeadow")[0].boat.offsets
    row = offsets.half_breadth("sheer")
    assert row is not None
    table = replace(offsets, half_breadths=(*offsets.half_breadths, OffsetRow("WL 1", row.values)))
    told: list[float] = []
    fit_batten = fairing.fit_batten

    def asked(*places: object, **how: object) -> object:
        told.append(how["noise"])  # type: ignore[arg-type]
        return fit_batten(*places, **how)  # type: ignore[arg-type]

    monkeypatch.setattr(fairing, "fit_batten", asked)
    assert [cut.name for cut in fairing.fair_cuts(table, within=3.0)] == ["WL 1"]
    assert told == [pytest.approx(offsets.rounding / 12**0.5)]
