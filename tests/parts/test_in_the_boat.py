"""Every part as wood in its place: closed, as much as its pattern says, and where the boat has it."""

from __future__ import annotations

import numpy as np
import pytest
import shapely
from sample_jobs import SAMPLES, sample

from patterns.hull.build import LinesTo
from patterns.parts.asked.rules import FrameKind
from patterns.parts.frames.frame import frame_name
from patterns.parts.in_the_boat import Placed, in_the_boat
from patterns.parts.part import Part
from patterns.parts.role import MarkKind, Role

COARSE = 0.4  # mm; what pictures are made by


def placed(name: str, within: float = 0.0) -> tuple[Placed, ...]:
    return in_the_boat(sample(name)[1], within=within)


def areas(part: Part) -> tuple[float, float]:
    near, far = (shapely.Polygon(ring).area for ring in (part.outline, part.far_outline))
    return near, far


@pytest.mark.slow
@pytest.mark.parametrize("name", SAMPLES)
@pytest.mark.parametrize("within", [0.0, COARSE])
def test_every_part_of_every_sample_is_closed_wood_turned_outward(name: str, within: float) -> None:
    job = sample(name)[1]
    wood = in_the_boat(job, within=within)
    whole = {timber.of for timber in job.timbers}
    assert [one.part.title for one in wood] == [part.title for part in job.parts if part.title not in whole]
    assert [one.part.title for one in wood if one.wood.torn] == []
    assert [one.part.title for one in wood if one.wood.volume <= 0] == []


@pytest.mark.slow
@pytest.mark.parametrize("name", SAMPLES)
def test_wood_is_as_much_as_its_pattern_times_its_thickness(name: str) -> None:
    """Of a part planed off toward an edge, less. Between two faces lies no less than the smaller holds, nor more."""
    for one in placed(name):
        part, pieces = one.part, max(1, len(one.part.stands_in))
        if part.role in (Role.FRAME, Role.SIDE_TIMBER) and part.outline[:, 1].max() > one.wood.points[:, 2].max() + 1.0:
            continue  # its legs are sawn off
        low, high = (pieces * part.thickness * area for area in sorted(areas(part)))
        if any(mark.kind is MarkKind.PLANED for mark in part.marks):
            assert 0.4 * low < one.wood.volume < high
        else:
            # Strips between rulings are chords of the bent faces.
            assert 0.998 * low < one.wood.volume < 1.002 * high, part.title


@pytest.mark.slow
@pytest.mark.parametrize("name", SAMPLES)
def test_the_planking_is_as_broad_and_as_high_as_the_sheer_is_drawn(name: str) -> None:
    """The lines' own greatest breadth and least and greatest height, which no pattern was asked for."""
    job = sample(name)[1]
    if job.boat.skin.lines_to is not LinesTo.OUTSIDE:
        pytest.skip("its lines are drawn to the inside")
    side = next(one.wood for one in placed(name) if one.part.strake == job.hull.sheer_strake.name)
    sheer = job.hull.lines[0].curve
    x = np.linspace(sheer.first, sheer.last, 4001)
    assert np.abs(side.points[:, 1]).max() == pytest.approx(float(sheer.breadth.value(x).max()), abs=0.3)
    # The edge is cut square, so a flaring side's inner corner stands a little higher than the line on its outside.
    above = side.points[:, 2].max() - float(sheer.height.value(x).max())
    assert -0.1 < above < job.hull.sheer_strake.planking.thickness


@pytest.mark.slow
@pytest.mark.parametrize("name", SAMPLES)
def test_frames_stand_on_their_stations_inside_the_planking_and_end_at_the_sheer(name: str) -> None:
    job = sample(name)[1]
    all_wood = placed(name)
    planking = [one.wood.points for one in all_wood if one.part.role is Role.PANEL]
    beam = max(float(np.abs(points[:, 1]).max()) for points in planking)
    for rules, stand in job.stands:
        title = frame_name(rules, stand)
        timbers = [one for one in all_wood if one.part.role is not Role.GUSSET]
        own = [one.wood for one in timbers if title in (one.part.title, one.part.of)]
        assert own
        points = np.concatenate([mesh.points for mesh in own])
        ends = points[:, 0].min(), points[:, 0].max()
        assert min(abs(end - stand.face.origin[0]) for end in ends) < 1e-6
        assert ends[1] - ends[0] == pytest.approx(rules.sided)
        if rules.kind is not FrameKind.MOULD:
            sheer = float(job.lines[0].curve.height.value(np.array([stand.place.from_fp]))[0])
            assert points[:, 2].max() == pytest.approx(sheer, abs=15.0)
            assert np.abs(points[:, 1]).max() < beam


@pytest.mark.slow
def test_both_hands_of_a_piece_are_mirror_images() -> None:
    wood = {one.part.title: one.wood for one in placed("saltmeadow")}
    for title, mesh in wood.items():
        if title.endswith(", port"):
            twin = wood[title.replace(", port", ", starboard")]
            assert mesh.volume == pytest.approx(twin.volume, rel=1e-4)
            assert np.allclose(mesh.centroid, twin.centroid * (1.0, -1.0, 1.0), atol=0.05)
