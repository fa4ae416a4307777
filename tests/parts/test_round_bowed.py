"""A round hull whose transom is bowed to a cylinder: hull and cylinder are both known by formula."""

from __future__ import annotations

from dataclasses import dataclass, fields
from functools import cache

import numpy as np
import pytest
from closed_round import ClosedRound, hollow
from round_boats import PLANKING, round_boat
from scipy.spatial import cKDTree

from patterns.geometry.arrays import Floats
from patterns.hull.build import TransomFace
from patterns.hull.round.fair_round import fair_round
from patterns.hull.round.figures import RoundLines
from patterns.hull.round.planked import plank_round
from patterns.parts.asked.end_rules import TransomWork
from patterns.parts.ends.transom import cut_transom
from patterns.parts.part import Part
from patterns.parts.stands import transom_face

RADIUS = 1500.0  # mm, of the outer face


@dataclass(frozen=True, eq=False)
class Bowed(ClosedRound):
    """A form with its after transom on a cylinder about an axis along the rake."""

    @property
    def rake(self) -> float:
        """rad off plumb, the head aft."""
        (x1, z1), (x0, z0) = self.aft.profile[[0, -1]].tolist()
        return float(np.arctan2(x1 - x0, z1 - z0))

    def x_end(self, p: Floats, *, aft: bool) -> Floats:
        if not aft:
            return super().x_end(p, aft=False)
        x0, z0 = self.aft.profile[-1].tolist()
        x = np.full(len(p), x0)
        for _ in range(200):
            y, z = self.section(x, p)
            # A place is the radius off the axis: ((x - x0) cos r - (z - z0) sin r + R)^2 + y^2 = R^2.
            ahead = np.sqrt(RADIUS**2 - y**2) - RADIUS
            x = x0 + ((z - z0) * np.sin(self.rake) + ahead) / np.cos(self.rake)
        return x

    def off_axis(self, points: Floats) -> Floats:
        """(n, 3) from the cylinder's axis, square to it, to places in the boat."""
        x0, z0 = self.aft.profile[-1].tolist()
        back = np.array([np.cos(self.rake), 0.0, -np.sin(self.rake)])
        along = np.array([np.sin(self.rake), 0.0, np.cos(self.rake)])
        away = points - (np.array([x0, 0.0, z0]) - RADIUS * back)
        return np.asarray(away - (away @ along)[:, None] * along)

    @cache  # noqa: B019 - one form, kept as long as the tests run
    def near_transom(self) -> tuple[cKDTree, Floats, Floats]:
        """Places of the outside by their nearest, and their normals."""
        x, p = (axis.ravel() for axis in np.meshgrid(np.linspace(3500, 4260, 400), np.linspace(0, 1, 400)))
        surface = np.stack([x, *self.section(x, p)], axis=1)
        return cKDTree(surface), surface, self.normals(x, p)

    def skin_at(self, points: Floats) -> tuple[Floats, Floats]:
        """Depths (n,) mm under the outside, and normals (n, 3) of it, nearest to points (n, 3) near the transom."""
        tree, surface, normals = self.near_transom()
        _, nearest = tree.query(points)
        return np.vecdot(surface[nearest] - points, normals[nearest]), normals[nearest]


@cache
def form() -> Bowed:
    flat = hollow()
    given = {one.name: getattr(flat, one.name) for one in fields(ClosedRound)}
    return Bowed(**given | {"aft": TransomFace(flat.aft.profile, radius=RADIUS)})


@cache
def board() -> Part:
    boat = round_boat(form())
    hull = plank_round(form().hull, skin=boat.skin, fore=boat.fore, aft=boat.aft)
    return cut_transom(hull, boat.aft, TransomWork(), aft=True)


def test_both_faces_of_a_bowed_transom_end_on_the_inside_of_the_planking_and_on_their_own_arcs() -> None:
    face = transom_face(round_boat(form()).aft, aft=True)
    (edge,) = [one for one in board().edges if one.name == "planking starboard"]
    for flat, depth in ((edge.points, 0.0), (edge.far, board().thickness)):
        space = face.shifted(-depth).in_space(flat)
        assert np.linalg.norm(form().off_axis(space), axis=1) == pytest.approx(RADIUS - depth, abs=1e-6)
        assert np.abs(form().skin_at(space[1:-1])[0] - PLANKING).max() < 0.05


def test_bevels_of_a_bowed_transom_are_the_angles_of_the_skin_to_its_radius() -> None:
    face = transom_face(round_boat(form()).aft, aft=True)
    (edge,) = [one for one in board().edges if one.name == "planking starboard"]
    run = np.concatenate([[0.0], np.cumsum(np.hypot(*np.diff(edge.points, axis=0).T))])
    space = face.in_space(edge.points)
    for bevel in edge.bevels:
        place = np.array([[np.interp(bevel.along, run, space[:, axis]) for axis in range(3)]])
        radius = form().off_axis(place)[0] / RADIUS
        known = np.arcsin(form().skin_at(place)[1][0] @ radius)
        assert np.degrees(bevel.angle) == pytest.approx(np.degrees(known), abs=1.0)
    assert np.ptp([np.degrees(bevel.angle) for bevel in edge.bevels]) > 5


def test_a_fine_table_gives_the_bowed_transom_and_the_rabbet_of_the_formula() -> None:
    """Written to 0.01 mm. Of a raked flat transom the same form has 0.48 mm, as here."""
    lines = RoundLines(form().table(0.01), form().fore, form().aft, 0.02, (), form().diagonal_places)
    skin = fair_round(lines).skin
    v = np.linspace(0.0, 1.0, 41)
    edge = skin.at(np.ones(41), v)
    assert np.linalg.norm(form().off_axis(edge), axis=1) == pytest.approx(RADIUS, abs=0.1)
    p = np.linspace(0, 1, 4001)
    known = np.stack([form().x_end(p, aft=True), *form().section(form().x_end(p, aft=True), p)], axis=1)
    assert cKDTree(known).query(edge)[0].max() < 0.6
    rabbet = skin.at(np.linspace(0.02, 1.0, 60), np.zeros(60))
    assert np.abs(rabbet[:, 2] - form().section(rabbet[:, 0], np.zeros(60))[1]).max() < 0.2
