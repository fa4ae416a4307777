"""Stem, keel and transom of round hulls against solids whose insides are known: a cone, a wedge, a bowed board."""

from __future__ import annotations

from dataclasses import dataclass
from functools import cached_property

import numpy as np
import pytest

from patterns.geometry.arrays import Floats, run_along, unit
from patterns.geometry.cuts import Profile
from patterns.hull.planking.smooth_edges import bearding, post_lines
from patterns.hull.planking.smooth_skin import SmoothSkin

HALF, THICK = 15.0, 9.0  # mm, half a siding and a planking
LONG = 3000.0  # mm, of the skin along a level line


@dataclass(frozen=True)
class Places:
    points: Floats
    normals: Floats
    along: Floats
    up: Floats


@dataclass(frozen=True)
class Cone:
    """The starboard lower side of a cone about a level axis; it ends on a timber's side, so in a hyperbola.

    u runs along its rulings from that edge, v up round it.
    """

    apex: Floats  # (3,) mm
    opening: float  # rad, from axis to ruling
    low: float = 0.03  # rad round the axis, from straight down
    high: float = 1.35

    corners: tuple[float, ...] = ()

    @cached_property
    def slope(self) -> float:
        return float(np.tan(self.opening))

    def edge(self, round_it: Floats) -> Floats:
        """(n,) mm along the axis from the apex, where a ruling leaves the timber's side."""
        return np.asarray(HALF / np.sin(round_it) / self.slope)

    def places(self, u: Floats, v: Floats) -> Places:
        at = self.low + (self.high - self.low) * v
        first = self.edge(at)
        x = first + u * (LONG - first)
        d_first = -first / np.tan(at)
        s, c, k = np.sin(at), np.cos(at), self.slope
        way = np.stack([np.ones_like(x), k * s, -k * c], axis=1)
        points = self.apex + x[:, None] * way
        turned = x[:, None] * np.stack([np.zeros_like(x), k * c, k * s], axis=1)
        up = (self.high - self.low) * (turned + ((1 - u) * d_first)[:, None] * way)
        normals = np.stack(
            [np.full_like(x, -np.sin(self.opening)), np.cos(self.opening) * s, -np.cos(self.opening) * c], axis=1
        )
        return Places(points, normals, (LONG - first)[:, None] * way, up)

    def edge_at(self, z: Floats, set_back: float = 0.0) -> Floats:
        """(n,) mm, x of the hyperbola in the timber's side at heights below the axis, of the cone moved aft."""
        return np.asarray(self.apex[0] + set_back + np.hypot(z - self.apex[2], HALF) / self.slope)


CONE = Cone(np.array([-230.0, 0.0, 700.0]), np.radians(24.0))


@pytest.fixture(scope="module")
def cone() -> tuple[SmoothSkin, Profile]:
    rabbet = CONE.places(np.zeros(41), np.linspace(1.0, 0.0, 41) ** 0.5).points
    return SmoothSkin(CONE, 0.0, THICK, THICK), Profile(rabbet[:, [0, 2]])


def test_rabbet_apex_and_angle_of_a_stem_are_those_of_a_cone(cone: tuple[SmoothSkin, Profile]) -> None:
    lines = post_lines(*cone, half=HALF, aft=False)
    assert np.abs(lines.rabbet[:, 0] - CONE.edge_at(lines.rabbet[:, 1])).max() < 1e-9
    # Both the rabbet and the skin's trace lie square to the normal, which leans from athwart as much as they from it.
    athwart = (HALF / (lines.rabbet[:, 0] - CONE.apex[0]) / CONE.slope) * np.cos(CONE.opening)
    assert np.degrees(np.abs(lines.rabbet_angle - np.arccos(athwart)))[2:-2].max() < 0.2
    moved = lines.apex - lines.rabbet
    round_it = np.arcsin(HALF / (lines.rabbet[:, 0] - CONE.apex[0]) / CONE.slope)
    exact = THICK * np.stack([np.full(len(moved), np.sin(CONE.opening)), np.cos(CONE.opening) * np.cos(round_it)], 1)
    assert np.abs(moved - exact).max() < 1e-9


def test_the_bearding_is_that_of_the_cone_moved_in_also_between_its_places(
    cone: tuple[SmoothSkin, Profile],
) -> None:
    """Planking of a cone lies in a cone whose apex is further aft by t over the sine of its opening."""
    line = bearding(cone[0], HALF, aft=False)
    back = THICK / np.sin(CONE.opening)
    fine = np.concatenate([line[:-1] + share * np.diff(line, axis=0) for share in (0.0, 0.25, 0.5, 0.75)])
    assert np.abs(fine[:, 1] - HALF).max() < 1e-3
    within = fine[fine[:, 0] < 0.3 * LONG]
    aside = CONE.edge_at(within[:, 2], back) - within[:, 0]
    assert np.abs(aside).max() < 0.1
    # Nowhere does it turn at once: curvature changes from place to place by no more than it does along the hyperbola.
    kept = line[line[:, 0] < 0.3 * LONG][:, [0, 2]]
    way = np.unwrap(np.arctan2(*np.diff(kept, axis=0).T[::-1]))
    along = run_along(kept)
    bend = np.diff(way) / ((along[2:] - along[:-2]) / 2)
    assert np.abs(np.diff(bend)).max() < 0.1 * np.abs(bend).max()


@dataclass(frozen=True)
class Wedge:
    """A flat side that comes in on a raked straight stem."""

    head: Floats  # (2,) mm, in profile
    foot: Floats
    fine: float  # rad, of its waterlines off the centre line
    corners: tuple[float, ...] = ()

    @cached_property
    def square_to(self) -> Floats:
        rake = (self.foot[0] - self.head[0]) / (self.foot[1] - self.head[1])
        return unit(np.array([-np.tan(self.fine), 1.0, np.tan(self.fine) * rake]))

    def places(self, u: Floats, v: Floats) -> Places:
        stem = self.foot + v[:, None] * (self.head - self.foot)
        x = u * LONG
        points = np.stack([stem[:, 0] + x, HALF + x * np.tan(self.fine), stem[:, 1]], axis=1)
        normals = np.tile(self.square_to, (len(u), 1))
        along = np.tile([LONG, LONG * np.tan(self.fine), 0.0], (len(u), 1))
        (dx, dz) = (self.head - self.foot).tolist()
        return Places(points, normals, along, np.tile([dx, 0.0, dz], (len(u), 1)))


@pytest.mark.parametrize("degrees", [14.0, 22.0, 40.0])
def test_a_flat_side_leaves_the_timber_its_thickness_over_the_sine_of_its_angle_further_aft(
    degrees: float,
) -> None:
    wedge = Wedge(np.array([0.0, 640.0]), np.array([210.0, 90.0]), np.radians(degrees))
    skin, profile = SmoothSkin(wedge, 0.0, THICK, THICK), Profile(np.array([wedge.head, wedge.foot]))
    lines = post_lines(skin, profile, half=HALF, aft=False)
    alpha = np.arccos(wedge.square_to[1])
    assert np.degrees(np.abs(lines.rabbet_angle - alpha)).max() < 1e-6
    way = unit(wedge.foot - wedge.head)
    aft = np.array([-way[1], way[0]])
    for line, deep in ((lines.bearding, THICK / np.sin(alpha)), (lines.apex, THICK * np.sin(alpha))):
        assert np.abs(np.abs((line - wedge.head) @ aft) - deep).max() < 1e-6


def test_the_sternpost_is_the_stem_seen_the_other_way(cone: tuple[SmoothSkin, Profile]) -> None:
    """A cone turned about, u from the far end: the same lines, the other way along the boat."""

    class Turned:
        corners: tuple[float, ...] = ()

        def places(self, u: Floats, v: Floats) -> Places:
            one = CONE.places(1.0 - u, v)
            over = np.array([-1.0, 1.0, 1.0])
            return Places(one.points * over, one.normals * over, -one.along * over, one.up * over)

    skin, profile = cone
    turned = SmoothSkin(Turned(), 0.0, THICK, THICK)
    fore = post_lines(skin, profile, half=HALF, aft=False)
    aft = post_lines(turned, Profile(profile.points * (-1.0, 1.0)), half=HALF, aft=True)
    for name in ("rabbet", "apex", "face", "bearding"):
        one, other = getattr(fore, name), getattr(aft, name) * (-1.0, 1.0)
        assert np.abs(one - other).max() < 1e-6, name
