"""The general hull: strakes of one side and a corner between each two, held against planes."""

from __future__ import annotations

from itertools import product

import numpy as np
import pytest
from boats import Floats, unit
from two_chines import LOWER, STEM, THICK, TRANSOM, UPPER, two_chined

from patterns.geometry.cuts import station_plane
from patterns.hull.build import Closing, Joint, closing_of, strake_names
from patterns.hull.planking.sections import cut_inside, in_view
from patterns.hull.planking.transition import transition
from patterns.parts.asked.rules import FrameKind, FramePlace, FrameRules, StationFace
from patterns.parts.frames.frame import frame_part, shape_frame
from patterns.parts.panels.panels import panels
from patterns.parts.stands import stand_frame

LAPS = [*product((Joint.LOWER_OVER, Joint.UPPER_OVER), repeat=2)]


def amidships(points: Floats) -> Floats:
    """Those of points (n, 3) that lie clear of both ends, where the skin is only carried on."""
    return points[(points[:, 0] > 300.0) & (points[:, 0] < 3000.0)]


def test_strakes_and_corners_are_named_from_the_sheer_down() -> None:
    hull = two_chined((Joint.LOWER_OVER, Joint.LOWER_OVER))
    assert [strake.name for strake in hull.strakes] == ["side", "strake 2", "bottom"]
    assert [(s.upper, s.lower) for s in hull.strakes] == [
        ("sheer", "chine 1"), ("chine 1", "chine 2"), ("chine 2", "chine 2")
    ]  # fmt: skip
    assert [(c.line, c.above.name, c.below.name) for c in hull.corners] == [
        ("chine 1", "side", "strake 2"), ("chine 2", "strake 2", "bottom")
    ]  # fmt: skip
    assert hull.closing is Closing.FLAT
    assert [strake.athwart for strake in hull.strakes] == [False, False, True]


@pytest.mark.parametrize(
    ("lines", "closing"),
    [(("sheer", "chine"), Closing.FLAT), (("sheer", "chine 1", "keel"), Closing.KEEL), (("sheer",), Closing.OPEN)],
)
def test_what_closes_the_hull_follows_from_its_lines(lines: tuple[str, ...], closing: Closing) -> None:
    assert closing_of(lines) is closing


def test_strakes_are_named_as_many_as_there_are() -> None:
    assert strake_names(2) == ("side", "bottom")
    assert strake_names(4) == ("side", "strake 2", "strake 3", "bottom")


@pytest.mark.parametrize("laps", LAPS)
def test_inside_corners_lie_as_deep_as_both_strakes_are_thick(laps: tuple[Joint, Joint]) -> None:
    hull = two_chined(laps)
    corner = hull.corners[0]
    for points in (corner.points, corner.points_on_below):
        assert np.abs(UPPER.beyond(amidships(points)) + THICK[0]).max() < 0.005
        assert np.abs(LOWER.beyond(amidships(points)) + THICK[1]).max() < 0.005


@pytest.mark.parametrize(
    ("laps", "upper_to", "lower_to"), [(Joint.LOWER_OVER, -THICK[1], 0.0), (Joint.UPPER_OVER, 0.0, -THICK[0])]
)
def test_the_lap_decides_which_face_each_edge_runs_to(laps: Joint, upper_to: float, lower_to: float) -> None:
    """Lapping over, the lower strake's inside face bears on the upper one's edge; let in, the upper one passes it."""
    corner = two_chined((laps, Joint.LOWER_OVER)).corners[0]
    above, below = corner.above, corner.below
    for strake, face, edge, plane, wanted in (
        (above, above.inside, corner.above_inside, LOWER, upper_to),
        (above, above.outside, corner.above_outside, LOWER, upper_to),
        (below, below.inside, corner.below_inside, UPPER, lower_to),
        (below, below.outside, corner.below_outside, UPPER, lower_to),
    ):
        assert np.abs(plane.beyond(amidships(strake.ruled.points(edge, face))) - wanted).max() < 0.005


def test_a_section_runs_from_corner_to_corner_strake_by_strake() -> None:
    hull = two_chined((Joint.LOWER_OVER, Joint.LOWER_OVER))
    plane = station_plane(1700.0, facing_aft=True)
    section = cut_inside(hull, plane)
    assert len(section.runs) == 2
    lower, upper = section.runs
    assert np.abs(LOWER.beyond(lower) + THICK[1]).max() < 0.005
    assert np.abs(UPPER.beyond(upper) + THICK[0]).max() < 0.005
    assert (lower[-1] == upper[0]).all()
    assert (section.floor[-1] == lower[0]).all()
    assert len(in_view(plane, section).side) == len(lower) + len(upper) - 1


def test_the_opening_of_a_chine_is_the_angle_between_its_planes() -> None:
    hull = two_chined((Joint.LOWER_OVER, Joint.LOWER_OVER))
    opening = np.pi - np.arccos(UPPER.outward @ LOWER.outward)
    chine = transition(hull, hull.corners[0])
    assert (chine.above, chine.below) == ("side", "strake 2")
    assert max(abs(joint.opening - opening) for joint in chine.joints) < np.radians(0.005)


@pytest.mark.parametrize("laps", LAPS)
def test_both_panels_of_a_chine_have_it_as_long_and_straight_as_the_planes_do(laps: tuple[Joint, Joint]) -> None:
    """A plane is its own development: what is straight in the boat is straight, and as long, in the flat."""
    hull = two_chined(laps)
    made = {part.title: part for part in panels(hull, ())}
    assert list(made) == [
        "side panel, port", "side panel, starboard", "strake 2 panel, port", "strake 2 panel, starboard", "bottom panel"
    ]  # fmt: skip
    way = unit(np.cross(UPPER.outward, LOWER.outward))
    x0, z0 = STEM[0]
    for name in ("side panel", "strake 2 panel"):
        edge = next(edge.points for edge in made[f"{name}, starboard"].edges if edge.name == "chine 1")
        chord = float(np.hypot(*(edge[-1] - edge[0])))
        assert np.hypot(*np.diff(edge, axis=0).T).sum() == pytest.approx(chord, abs=1e-3)
        # From the stem's plane to the transom's, along the planes' line on that face.
        stem, transom = (
            np.array([(z[1] - z[0]), 0.0, -(x[1] - x[0])]) for x, z in (STEM.T.tolist(), TRANSOM.T.tolist())
        )
        depths = {"side panel": (-THICK[0], None), "strake 2 panel": (None, -THICK[1])}[name]
        # Turned so little, a lower strake laps as far as at 45 degrees: the root of two thicknesses past the corner.
        turn = np.arccos(UPPER.outward @ LOWER.outward)
        reach = THICK[0] * (np.sqrt(2.0) * np.sin(turn) - 1.0)
        lap_upper, lap_lower = (-THICK[1], reach) if laps[0] is Joint.LOWER_OVER else (0.0, -THICK[0])
        upper_at = depths[0] if depths[0] is not None else lap_lower
        lower_at = depths[1] if depths[1] is not None else lap_upper
        ends = [
            np.linalg.solve(
                np.stack([UPPER.outward, LOWER.outward, end]),
                [UPPER.origin @ UPPER.outward + upper_at, LOWER.origin @ LOWER.outward + lower_at, end @ place],
            )
            for end, place in ((stem, [x0, 0.0, z0]), (transom, [TRANSOM[0, 0], 0.0, TRANSOM[0, 1]]))
        ]
        assert chord == pytest.approx(abs((ends[1] - ends[0]) @ way), abs=0.01)


def test_a_frame_has_an_edge_and_a_mark_for_every_strake_and_chine() -> None:
    hull = two_chined((Joint.LOWER_OVER, Joint.LOWER_OVER))
    place = FramePlace("2", 1700.0)
    rules = FrameRules((place,), 18.0, 45.0, 45.0, StationFace.AFT, FrameKind.SHEET, "plywood")
    frame = frame_part(shape_frame(hull, rules, stand_frame(hull, rules, place)))
    edges = {edge.name: edge for edge in frame.edges}
    chines = [mark.name for mark in frame.marks if mark.name.startswith("chine")]
    assert sorted(chines) == ["chine 1", "chine 1", "chine 2", "chine 2"]
    for name, plane, thick in (("side starboard", UPPER, THICK[0]), ("strake 2 starboard", LOWER, THICK[1])):
        points = edges[name].points  # seen from aft starboard lies on the right: y to the right, height up
        space = np.stack([np.full(len(points), 1700.0), *points.T], axis=1)
        assert np.abs(plane.beyond(space) + thick).max() < 0.01
        n = plane.outward
        bevel = np.arctan(abs(n[0]) / np.hypot(n[1], n[2]))
        assert max(abs(abs(one.angle) - bevel) for one in edges[name].bevels) < np.radians(0.01)
