"""Bevels of whole hulls of known shape, from exact lines, within 0.02 degrees; and thickness in edges that mate.

Frames' and transoms' bevels are held by ``test_hull_exact``; here are the panels', read off the known outlines of
both faces by plain intersection.
"""

from __future__ import annotations

import numpy as np
import pytest
import shapely
from boats import Floats, unit
from exact_parts import HULLS, LAPS, down, known_edge, lofted
from shapely import LineString

from patterns.hull.build import Joint
from patterns.hull.planking.skin import plank
from patterns.parts.panels.mating import matings
from patterns.parts.part import HAIR, Bevel

CORNER = 3.0  # mm from a corner within which an edge's direction is taken from further along it


def run_on(line: Floats, by: float = 60.0) -> Floats:
    ends = [line[end] + by * unit(line[end] - line[inner]) for end, inner in ((0, 1), (-1, -2))]
    return np.concatenate([[ends[0]], line, [ends[1]]])


@pytest.mark.slow
@pytest.mark.parametrize("name", HULLS)
@pytest.mark.parametrize("laps", LAPS)
def test_bevels_of_the_side_panel_are_those_of_its_known_outlines(name: str, laps: Joint) -> None:
    boat = lofted(name, "exact lines", laps)
    panel = boat.part("side panel, starboard")
    for edge in panel.edges:
        near, far = (known_edge(boat, edge.name, face) for face in ("inside", "outside"))
        line, other = LineString(near), LineString(run_on(far))
        share = line.length / edge.bevels[-1].along
        for bevel in edge.bevels:
            at = bevel.along * share
            place = np.array(line.interpolate(at).coords[0])
            level = min(max(at, CORNER), line.length - CORNER)
            way = unit(
                np.array(line.interpolate(level + CORNER).coords[0])
                - np.array(line.interpolate(level - CORNER).coords[0])
            )
            right = np.array([way[1], -way[0]])
            ray = LineString([place - 60 * right, place + 60 * right])
            reach = (shapely.get_coordinates(shapely.intersection(ray, other)) - place) @ right
            known = np.arctan2(reach[np.abs(reach).argmin()], panel.thickness)
            assert abs(np.degrees(bevel.angle - known)) < 0.02


@pytest.mark.parametrize("name", HULLS)
def test_thickness_explains_why_mating_edges_differ_in_length(name: str) -> None:
    """The corner's own length, and its image on the middle of each panel, by the surfaces' closed forms.

    trade_geometry.toml, [neutral_layer]: a layer half the thickness out is longer by that times the angle turned.
    """
    boat = lofted(name, "exact lines", Joint.LOWER_OVER)
    hull = plank(boat.known.lines(), skin=boat.boat.skin, fore=boat.boat.fore, aft=boat.boat.aft)  # type: ignore[arg-type]
    side, bottom = boat.part("side panel, starboard"), boat.part("bottom panel")
    (found,) = matings(hull, [side, bottom], [])
    ruled = hull.sheer_strake.ruled
    corner = ruled.middle + hull.corners[0].on_above[:, None] * ruled.along + hull.sheer_strake.inside * ruled.normal
    corner = corner[(hull.fore_cut.signed(corner) > 0) & (hull.aft_cut.signed(corner) < 0)]
    on_side = corner + boat.side / 2 * boat.known.side.normal(corner)
    on_bottom = corner + boat.bottom / 2 * down(boat.known, corner)
    lengths = [np.linalg.norm(np.diff(line, axis=0), axis=1).sum() for line in (on_side, on_bottom)]
    # The few mm between the last rulings and the ends themselves turn next to nothing.
    assert found.by_thickness == pytest.approx(lengths[0] - lengths[1], abs=0.02)
    assert abs(found.left) < 0.02
    assert abs(found.length_a - found.length_b) > 0.5


def test_an_edge_out_by_less_than_a_hair_is_square() -> None:
    assert Bevel(0.0, np.arctan2(0.9 * HAIR, 0.5), 0.9 * HAIR).kind == "square"
    assert Bevel(0.0, np.arctan2(-2 * HAIR, 3.0), -2 * HAIR).kind == "under"
    assert Bevel(0.0, np.arctan2(2 * HAIR, 3.0), 2 * HAIR).kind == "standing"
