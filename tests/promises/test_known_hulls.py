"""Boats of planes and cones, lofted from their tables: patterns as their surfaces have them (shared/known_hulls)."""

from __future__ import annotations

import json
from dataclasses import replace
from functools import cache
from pathlib import Path
from typing import Any

import numpy as np
import pytest
import shapely
from boats import Floats
from known_chines import turned
from scipy.optimize import least_squares

from patterns.geometry.cuts import station_plane
from patterns.hull.planking.lap_bevels import lap_bevels
from patterns.hull.planking.sections import cut_inside
from patterns.hull.planking.transition import transition
from patterns.parts.part import Part
from patterns.parts.whole import Job, loft
from patterns.reading.boat.boat_toml import read_boat
from patterns.shop.layout.setting_up import setting_up

KNOWN = Path(__file__).parents[2] / "shared" / "known_hulls"
V_BOTTOMS = ("v_wedge", "v_cone", "coaxial")
CORNERS, FLATS, ANGLE = 0.05, 0.2, 0.1  # mm, mm, degrees
PLACES = 181  # along an edge
END = 2  # places from either end of an edge that are not held to its line: there it meets another

pytestmark = pytest.mark.slow


@cache
def lofted(name: str) -> Job:
    return loft(read_boat(KNOWN / name).boat)


@cache
def expected(name: str) -> dict[str, Any]:
    return json.loads((KNOWN / name / "expected.json").read_text(encoding="utf-8"))  # type: ignore[no-any-return]


@pytest.mark.parametrize("name", V_BOTTOMS)
def test_frames_of_a_table_have_their_corners_where_the_surfaces_meet(name: str) -> None:
    hull, held = lofted(name).hull, 0
    for frame in expected(name)["frames"].values():
        section = cut_inside(hull, station_plane(frame["from_fp"], facing_aft=True))
        found = [section.runs[-1][-1], *(run[0] for run in section.runs[::-1]), section.floor[len(section.floor) // 2]]
        for corner, known in zip(found, frame["corners"].values(), strict=False):
            assert np.linalg.norm(corner[1:] - known) < CORNERS
            held += 1
    assert held > 20


@pytest.mark.parametrize("name", V_BOTTOMS)
def test_the_setting_up_sheet_has_every_corner_of_a_frame_where_the_surfaces_meet(name: str) -> None:
    plan, held = setting_up(lofted(name)), 0
    stands = {frame.running: frame for frame in plan.frames}
    for frame in expected(name)["frames"].values():
        if frame["from_fp"] not in stands:
            continue
        standing = stands[frame["from_fp"]]
        found = {corner.line: (corner.half, plan.datum + corner.height) for corner in standing.corners}
        assert list(found) == list(frame["corners"])
        for line, known in frame["corners"].items():
            assert np.linalg.norm(np.subtract(found[line], known)) < CORNERS
            held += 1
        lowest = [
            one
            for step in plan.steps
            for one in step.checks
            if one.what.startswith(f"{standing.name}: height at the corner")
        ][-1]
        assert "keel" in lowest.what
        assert lowest.boxes == 1, "the keel is on the center plane: one figure for both sides"
    assert held > 8


@pytest.mark.parametrize("name", V_BOTTOMS)
def test_chines_of_a_table_open_as_the_surfaces_do(name: str) -> None:
    hull = lofted(name).hull
    for corner in hull.corners:
        joints = transition(hull, corner).joints
        x = np.array([joint.from_fp for joint in joints])
        opening = np.degrees([joint.opening for joint in joints])
        told = [one for one in expected(name)["chines"][corner.line] if x[0] < one["at"][0] < x[-1]]
        assert len(told) >= 3
        for one in told:
            assert np.interp(one["at"][0], x, opening) == pytest.approx(one["opening"], abs=ANGLE)


@pytest.mark.parametrize("name", V_BOTTOMS)
def test_panels_of_a_table_are_the_surfaces_unrolled(name: str) -> None:
    panels = [part for part in lofted(name).parts if part.name.endswith("panel") and part.hand == "starboard"]
    for panel, known in zip(panels, expected(name)["panels"].values(), strict=True):
        upper, lower = known["between"]
        pairs = []
        for key, points in known["flat"].items():
            which, face = key.split()
            if which != "stem" and not (lower == "keel" and key == "lower inside"):
                edge = panel.edge(upper if which == "upper" else lower)
                pairs.append((spread(edge.points if face == "inside" else edge.far), np.array(points)))
        assert len(pairs) >= 3
        assert worst_apart(pairs) < FLATS


def spread(points: Floats) -> Floats:
    """So many places evenly along a line, on its chords too."""
    line = shapely.LineString(points)
    shares = np.linspace(0.0, 1.0, PLACES)
    return np.asarray(shapely.get_coordinates(shapely.line_interpolate_point(line, shares, normalized=True)))


def worst_apart(pairs: list[tuple[Floats, Floats]]) -> float:
    """mm that lines lie off known ones once all are turned and shifted, never mirrored, to fit best."""
    own, known = pairs[0]
    ways = [np.arctan2(*(line[-1] - line[0])[::-1]) for line in (own, known)]
    own_way = ways[0] if np.sign(own[-1, 0] - own[0, 0]) > 0 else ways[0] + np.pi
    turn = ways[1] - own_way
    first = own if np.sign(own[-1, 0] - own[0, 0]) > 0 else own[::-1]
    start = np.array([turn, *(known[0] - turned(np.array([turn, 0.0, 0.0]), first[:1])[0])])

    lines = [(line, shapely.LineString(known)) for line, known in pairs]

    def off(place: Floats) -> Floats:
        return np.concatenate(
            [shapely.distance(shapely.points(turned(place, own_line[END:-END])), line) for own_line, line in lines]
        )

    return float(off(least_squares(off, start, x_scale=[1e-3, 1.0, 1.0]).x).max())


def test_a_lapped_trough_has_the_bevels_and_the_faces_that_vectors_give() -> None:
    boat = read_boat(KNOWN / "lapped_trough").boat
    assert boat.skin.lap is not None
    job = loft(replace(boat, skin=replace(boat.skin, lap=replace(boat.skin.lap, gain=0.0))))
    laps = [corner for corner in job.hull.corners if corner.lapped]
    strakes = expected("lapped_trough")["strakes"]
    assert len(laps) == 2
    for corner, known in zip(laps, strakes, strict=False):
        told = lap_bevels(job.hull, corner, transition(job.hull, corner))
        assert np.degrees(told.angle) == pytest.approx(known["bevel_degrees"], abs=0.02)
        assert told.left == pytest.approx(known["left"], abs=0.02)
    for strake, known in zip(job.hull.standing, strakes, strict=True):
        panel = job.part(f"{strake.name} panel, starboard")
        assert np.sort(sides(panel)) == pytest.approx(np.sort(lengths(np.array(known["inside_face"]))), abs=CORNERS)


def sides(panel: Part) -> Floats:
    return lengths(np.array([edge.points[0] for edge in panel.edges]))


def lengths(corners: Floats) -> Floats:
    return np.asarray(np.linalg.norm(np.roll(corners, -1, axis=0) - corners, axis=1))
