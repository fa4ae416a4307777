"""The skin laid between exact lines: rulings, thickness, sections and unrolling against closed forms.

Every line here lies exactly on a cone, a cylinder, a plane or another surface whose flat shape is known; what is
left is the error of the rulings themselves. Wanted: 0.05 mm and 0.02 degrees.
"""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import dataclass
from functools import cache

import numpy as np
import pytest
from boats import (
    Cone,
    ExactHull,
    Floats,
    LineOn,
    cone_side,
    exact_hulls,
    figures,
    flared_side,
    parabola,
    unit,
    wedge_side,
)
from shapely import LineString, MultiPoint, Point

from patterns.geometry.cuts import Plane, station_plane
from patterns.geometry.development import develop
from patterns.geometry.ruled import Ruled
from patterns.geometry.rulings import lay_athwart, lay_rulings

WITHIN = 0.05  # mm
WITHIN_ANGLE = np.radians(0.02)
DEPTHS = (-12.7, -9.0, 0.0, 6.0)

HULLS = exact_hulls()
hulls = pytest.mark.parametrize("hull", HULLS, ids=lambda hull: hull.name)
depths = pytest.mark.parametrize("depth", DEPTHS)


@cache
def laid(hull: ExactHull) -> Ruled:
    return lay_rulings(hull.line("sheer"), hull.line("chine"))


def inside_ends(hull: ExactHull, ruled: Ruled) -> Floats:
    """Numbers of the rulings that lie wholly between the real ends of both lines."""
    sheer, chine = hull.line("sheer"), hull.line("chine")
    top = (ruled.middle - ruled.reach[:, None] * ruled.along)[:, 0]
    foot = (ruled.middle + ruled.reach[:, None] * ruled.along)[:, 0]
    held = (top > sheer.first) & (top < sheer.last) & (foot > chine.first) & (foot < chine.last)
    return ruled.numbers[held]


def places(ruled: Ruled, numbers: Floats) -> tuple[Floats, Floats]:
    """Places all over the skin, between rulings too, from edge to edge."""
    s = np.linspace(numbers[0], numbers[-1], 401)
    share = np.linspace(-1.0, 1.0, 9)
    grid_s, grid_share = np.meshgrid(s, share)
    return grid_s.ravel(), (grid_share * ruled.at(ruled.reach, s)).ravel()


def aligned(points: Floats, target: Floats) -> Floats:
    """Points laid on their target by the one turn and shift that fit best; never by a mirror."""
    a, b = points - points.mean(axis=0), target - target.mean(axis=0)
    u, _, vt = np.linalg.svd(a.T @ b)
    keep = np.diag([1.0, np.sign(np.linalg.det(u @ vt))])
    return np.asarray(a @ u @ keep @ vt + target.mean(axis=0))


def angle_between(a: Floats, b: Floats) -> Floats:
    return np.arctan2(np.linalg.norm(np.cross(a, b), axis=-1), np.einsum("...k,...k->...", a, b))


@hulls
@depths
def test_a_face_lies_its_thickness_off_the_exact_surface_everywhere(hull: ExactHull, depth: float) -> None:
    ruled = laid(hull)
    s, t = places(ruled, inside_ends(hull, ruled))
    missed = hull.side.beyond(ruled.point(s, t, depth)) - depth
    assert np.abs(missed).max() < WITHIN


@pytest.mark.parametrize("hull", HULLS[:2], ids=lambda hull: hull.name)  # a plane has straight lines every way
def test_the_rulings_found_are_the_straight_lines_of_the_surface(hull: ExactHull) -> None:
    ruled = laid(hull)
    i = inside_ends(hull, ruled).astype(int)
    down = -hull.side.ruling(ruled.middle[i])
    assert angle_between(ruled.along[i], down).max() < WITHIN_ANGLE


@hulls
def test_normals_are_those_of_the_surface(hull: ExactHull) -> None:
    ruled = laid(hull)
    i = inside_ends(hull, ruled).astype(int)
    for share in (-1.0, 0.0, 1.0):
        points = ruled.middle[i] + (share * ruled.reach[i])[:, None] * ruled.along[i]
        assert angle_between(ruled.normal[i], hull.side.normal(points)).max() < WITHIN_ANGLE


@hulls
@depths
def test_the_skin_unrolls_to_the_known_flat_shape(hull: ExactHull, depth: float) -> None:
    ruled = laid(hull)
    s, t = places(ruled, inside_ends(hull, ruled))
    flat = develop(ruled, depth=depth).point(s, t)
    known = hull.side.unrolled(ruled.point(s, t, depth), depth)
    assert np.linalg.norm(aligned(flat, known) - known, axis=1).max() < WITHIN


@hulls
def test_the_skin_reports_no_twist_where_there_is_none(hull: ExactHull) -> None:
    ruled = laid(hull)
    i = inside_ends(hull, ruled).astype(int)
    assert np.abs(ruled.twist[i]).max() < WITHIN_ANGLE


@hulls
@depths
@pytest.mark.parametrize("lean_deg", [0.0, 14.0])
def test_a_plane_cuts_the_skin_where_it_cuts_the_exact_surface(hull: ExactHull, depth: float, lean_deg: float) -> None:
    lean = np.radians(lean_deg)
    ruled = laid(hull)
    sheer, chine = hull.line("sheer"), hull.line("chine")
    for x in np.linspace(chine.first + 250.0, chine.last - 50.0, 7):
        up = np.array([np.sin(lean), 0.0, np.cos(lean)])
        plane = Plane(np.array([x, 0.0, 0.0]), np.array([0.0, 1.0, 0.0]), up)
        s, t = ruled.crossing(plane.signed, -ruled.reach, ruled.reach, depth, lanes=33)
        points = ruled.point(s, t, depth)
        assert np.abs(plane.signed(points)).max() < WITHIN
        assert np.abs(hull.side.beyond(points) - depth).max() < WITHIN
        # Its ends lie on the two lines, moved square to the surface.
        for line, end in ((sheer, points[0]), (chine, points[-1])):
            at = np.linspace(end[0] - 20.0, end[0] + 20.0, 401)
            moved = line.point(at) + depth * hull.side.normal(line.point(at))
            assert Point(end).distance(LineString(moved)) < WITHIN  # seen from above
            assert np.linalg.norm(moved - end, axis=1).min() < WITHIN + (at[1] - at[0]) / 2


@hulls
@depths
def test_a_line_pierces_a_face_where_it_pierces_the_exact_surface(hull: ExactHull, depth: float) -> None:
    rng = np.random.default_rng(5)
    ruled = laid(hull)
    numbers = inside_ends(hull, ruled)
    s = rng.uniform(numbers[0], numbers[-1], 200)
    t = rng.uniform(-1, 1, 200) * ruled.at(ruled.reach, s)
    ways = unit(ruled.at(ruled.normal, s) + rng.uniform(-0.6, 0.6, (200, 3)))
    starts = ruled.point(s, t, depth) - rng.uniform(-80, 80, 200)[:, None] * ways
    distance = ruled.pierced_by(starts, ways, depth)
    met = starts + distance[:, None] * ways
    slant = np.einsum("nk,nk->n", ways, hull.side.normal(met))
    assert np.abs((hull.side.beyond(met) - depth) / slant).max() < WITHIN


def test_frame_bevels_on_a_flat_side_are_those_of_known_flare_and_sweep() -> None:
    """trade_geometry.toml, [frame_edge]: bevel = atan(tan s cos f)."""
    rows = figures("trade_geometry.toml")["frame_edge"]["f_s_bevel"]
    for flare, sweep, bevel in rows:
        side = wedge_side(flare, sweep)
        sheer = LineOn(side, parabola(480.0, 2600.0, 120.0, 2600.0), 0.0, 3900.0)
        chine = LineOn(side, parabola(0.0, 2200.0, 70.0, 2200.0), 0.0, 3900.0)
        ruled = lay_rulings(sheer, chine)
        for x in (600.0, 2000.0, 3300.0):
            near, far = (_section(ruled, at) for at in (x, x + 19.0))
            way = unit(near[-1] - near[0])
            run = (far.mean(axis=0) - near[0]) @ np.array([-way[1], way[0]])
            assert abs(np.degrees(np.arctan2(abs(run), 19.0)) - bevel) < 0.02
            # and the planking measured in the station plane is T / cos(bevel)
            inner = _section(ruled, x, depth=-9.0)
            across = abs((inner.mean(axis=0) - near[0]) @ np.array([-way[1], way[0]]))
            assert abs(across - 9.0 / np.cos(np.radians(bevel))) < WITHIN


def _section(ruled: Ruled, x: float, depth: float = 0.0) -> Floats:
    cut = station_plane(x, facing_aft=True)
    s, t = ruled.crossing(cut.signed, -ruled.reach, ruled.reach, depth, lanes=17)
    return cut.flat(ruled.point(s, t, depth))


def test_a_flared_side_unrolls_with_the_known_drop_of_its_level_edge() -> None:
    """developments.toml, [flared_side]: R 4000 leaning 15 degrees, lower edge level, u along the run and its drop."""
    known = figures("developments.toml")["flared_side"]
    side = flared_side()

    def level(z: float) -> Callable[[Floats], Floats]:
        return lambda x: np.full(np.shape(x), z)

    # ends 2000 mm of run either side of midships, where the plan is 1917.7022 mm out
    reach = known["u_drop_x_inset"][-1][2]
    sheer = LineOn(side, level(400.0), 1800.0 - reach, 1800.0 + reach)
    chine = LineOn(side, level(0.0), 1800.0 - reach, 1800.0 + reach)
    ruled = lay_rulings(sheer, chine)
    flat = develop(ruled, depth=0.0)
    s = ruled.numbers
    lower = flat.point(s, ruled.reach)
    x = ruled.point(s, ruled.reach, 0.0)[:, 0] - 1800.0
    middle = np.array([np.interp(0.0, x, lower[:, axis]) for axis in range(2)])
    turn = np.array([np.interp(0.0, x, flat.along[:, axis]) for axis in range(2)])
    down = unit(turn)
    along = np.array([-down[1], down[0]])
    for u, drop, out, inset in known["u_drop_x_inset"]:
        for hand in (1.0, -1.0):
            at = np.array([np.interp(hand * out, x, lower[:, axis]) for axis in range(2)])
            assert abs((at - middle) @ along - hand * u) < WITHIN
            # The printed edge curves down at its ends, off the straight line square to the rulings.
            assert abs((at - middle) @ down - drop) < WITHIN
        y = chine.point(np.array([1800.0 + out]))[0, 1]
        assert abs((600.0 - y) - inset) < WITHIN
    ends = (np.abs(x) <= reach + 1e-9).nonzero()[0]
    inner = np.linalg.norm(np.diff(lower[ends], axis=0), axis=1).sum()
    assert abs(inner - 2 * known["edge_length_to_u_2000"]) < 2 * 5000.0 / len(ruled) * 2


def test_a_cone_cut_by_a_slanting_plane_unrolls_to_the_known_polar_shape() -> None:
    """developments.toml, [right_cone_oblique_cut]: half angle 20 degrees, z = 1000 + 0.3 x, apex moved anywhere."""
    known = figures("developments.toml")["right_cone_oblique_cut"]
    a = np.radians(known["a_deg"])
    turn = _turned(0.4, 1.1)
    cone = Cone(np.array([310.0, -70.0, 45.0]), turn[:, 2], a, turn[:, 0])

    def cut(h: float) -> Callable[[Floats], Floats]:
        return lambda t: h / (np.cos(a) - known["m"] * np.sin(a) * np.cos(t))

    upper = _OnCone(cone, cut(0.8 * known["h"]), np.radians(-90.0), np.radians(90.0))
    lower = _OnCone(cone, cut(known["h"]), np.radians(-90.0), np.radians(90.0))
    ruled = lay_rulings(upper, lower)
    flat = develop(ruled, depth=0.0)
    edge = flat.point(ruled.numbers, ruled.reach)
    space = ruled.point(ruled.numbers, ruled.reach, 0.0)
    e1, e2 = cone._frame()
    t = np.degrees(np.arctan2((space - cone.apex) @ e2, (space - cone.apex) @ e1))
    assert (np.diff(t) > 0).all()
    rows = [row for row in known["t_L_polar_x_y"] if abs(row[0]) <= 90]
    found = np.array([[np.interp(row[0], t, edge[:, axis]) for axis in range(2)] for row in rows])
    target = np.array([row[3:] for row in rows])
    target = target * (1.0, np.sign(np.linalg.det(_span(found)) * np.linalg.det(_span(target))))
    assert np.linalg.norm(aligned(found, target) - target, axis=1).max() < WITHIN
    length = np.interp([-90.0, 90.0], t, np.r_[0.0, np.cumsum(np.linalg.norm(np.diff(edge, axis=0), axis=1))])
    assert abs(length[1] - length[0] - known["cut_length_minus90_to_90"]) < WITHIN


def _span(points: Floats) -> Floats:
    return np.stack([points[len(points) // 2] - points[0], points[-1] - points[0]])


def _turned(about_x: float, about_z: float) -> Floats:
    c, s = np.cos(about_x), np.sin(about_x)
    d, r = np.cos(about_z), np.sin(about_z)
    return np.array([[1, 0, 0], [0, c, -s], [0, s, c]]) @ np.array([[d, -r, 0], [r, d, 0], [0, 0, 1.0]])


@dataclass(frozen=True, eq=False)
class _OnCone:
    """A curve on a cone, slant over the angle about its axis."""

    cone: Cone
    slant: Callable[[Floats], Floats]
    first: float
    last: float

    def point(self, at: Floats) -> Floats:
        return self.cone.at(np.asarray(at), self.slant(np.asarray(at)))

    def tangent(self, at: Floats) -> Floats:
        return np.asarray((self.point(at + 1e-5) - self.point(at - 1e-5)) / 2e-5)


@dataclass(frozen=True, eq=False)
class _Helix:
    """Where the tangents of the helix (a cos s, a sin s, b s) have run a given length."""

    a: float
    b: float
    length: float
    first: float
    last: float

    def point(self, at: Floats) -> Floats:
        c = np.hypot(self.a, self.b)
        run = self.length / c
        return np.stack(
            [
                self.a * (np.cos(at) - run * np.sin(at)),
                self.a * (np.sin(at) + run * np.cos(at)),
                self.b * (at + run),
            ],
            axis=-1,
        )

    def tangent(self, at: Floats) -> Floats:
        return np.asarray((self.point(at + 1e-5) - self.point(at - 1e-5)) / 2e-5)


@pytest.mark.parametrize(("near", "end", "turn"), [(0.6, 1.0, 2.5), (3.0, 4.0, 1.0)])
def test_a_skin_of_fanning_rulings_unrolls_to_the_known_flat_ring(near: float, end: float, turn: float) -> None:
    """developments.toml, [helix_tangent_surface]: the general developable; rulings meet in no point, nor run level."""
    known = figures("developments.toml")["helix_tangent_surface"]
    a, b, tangent = known["a"], known["b"], known["tangent"]
    upper, lower = (_Helix(a, b, share * tangent, 0.0, turn) for share in (near, end))
    ruled = lay_rulings(upper, lower)
    held = slice(len(ruled) // 7, -len(ruled) // 7)
    assert np.abs(ruled.twist[held]).max() < WITHIN_ANGLE
    flat = develop(ruled, depth=0.0)
    edge = flat.point(ruled.numbers, ruled.reach)[held]
    other = flat.point(ruled.numbers, -ruled.reach)[held]
    centre, _ = _circle_through(edge)
    c = np.hypot(a, b)
    for line, length in ((edge, end * tangent), (other, near * tangent)):
        reached = np.hypot(a, length * a / c)  # R, where tangents of this length reach: tangent_length solved for R
        ring = (c / a) * np.hypot(reached, b)  # ring_outer_radius
        assert np.abs(np.linalg.norm(line - centre, axis=1) - ring).max() < WITHIN
    # Rulings stay tangent to the ring's inner circle, the unrolled helix.
    way, to = flat.along[held], flat.middle[held] - centre
    inner = np.abs(way[:, 0] * to[:, 1] - way[:, 1] * to[:, 0])
    assert np.abs(inner - known["inner_radius"]).max() < 4 * WITHIN


def _circle_through(points: Floats) -> tuple[Floats, float]:
    system = np.concatenate([2 * points, np.ones((len(points), 1))], axis=1)
    x, y, c = np.linalg.lstsq(system, (points**2).sum(axis=1), rcond=None)[0]
    return np.array([x, y]), float(np.sqrt(c + x**2 + y**2))


@dataclass(frozen=True)
class _Straight:
    start: Floats
    way: Floats
    first: float
    last: float

    def point(self, at: Floats) -> Floats:
        return self.start + np.asarray(at)[..., None] * self.way

    def tangent(self, at: Floats) -> Floats:
        return np.broadcast_to(self.way, (*np.shape(at), 3))


@pytest.mark.parametrize("p", [1500.0, 6000.0])
def test_a_warped_skin_owns_up_to_its_twist_and_no_more(p: float) -> None:
    """developments.toml, [not_developable]: z = x y / p. From edge to edge at x the normals, (-y, -x, p), turn by
    2 atan(b / sqrt(p^2 + x^2)); rulings straight across are the shortest there are."""
    b = 300.0
    upper, lower = (_Straight(np.array([0.0, y, 0.0]), np.array([1.0, 0.0, y / p]), -1000.0, 1000.0) for y in (b, -b))
    ruled = lay_rulings(upper, lower)
    known = 2 * np.arctan(b / np.hypot(p, ruled.middle[:, 0]))
    held = np.abs(ruled.middle[:, 0]) < 1000.0
    assert np.abs(np.abs(ruled.twist[held]) - known[held]).max() < 0.03 * known.max()


@hulls
def test_a_flat_bottom_is_the_cylinder_of_its_chine(hull: ExactHull) -> None:
    chine = hull.line("chine")
    ruled = lay_athwart(chine)
    held = (ruled.middle[:, 0] > chine.first) & (ruled.middle[:, 0] < chine.last)
    numbers = ruled.numbers[held]
    s, t = places(ruled, numbers)
    for depth in DEPTHS:
        assert np.abs(hull.under(ruled.point(s, t, depth)) + depth).max() < WITHIN
    # Unrolled, its length is the length of the rocker's parabola.
    flat = develop(ruled, depth=0.0)
    run = np.linalg.norm(np.diff(flat.point(numbers, np.zeros(len(numbers))), axis=0), axis=1).sum()
    x = np.linspace(*ruled.middle[held][[0, -1], 0], 200_001)
    assert abs(run - np.hypot(np.diff(x), np.diff(hull.chine(x))).sum()) < WITHIN


# --- A second opinion: fine triangles cut by planes, no closed form asked ---


def naive_section(ruled: Ruled, plane: Plane, depth: float) -> MultiPoint:
    """Where a plane cuts a face, by cutting every edge of a fine net of triangles laid over it."""
    n, m = len(ruled), 41
    share = np.linspace(-1.0, 1.0, m)
    points = (
        ruled.middle[:, None]
        + depth * ruled.normal[:, None]
        + (ruled.reach[:, None] * share)[..., None] * ruled.along[:, None]
    )
    rows = [
        (points[:-1], points[1:]),
        (points[:, :-1], points[:, 1:]),
        (points[:-1, :-1], points[1:, 1:]),
    ]
    found = []
    for start, end in rows:
        a, b = start.reshape(-1, 3), end.reshape(-1, 3)
        before, after = plane.signed(a), plane.signed(b)
        cut = (before <= 0) != (after <= 0)
        part = (before[cut] / (before[cut] - after[cut]))[:, None]
        found.append(a[cut] + part * (b[cut] - a[cut]))
    assert n == len(points)
    return MultiPoint(plane.flat(np.concatenate(found)))


@hulls
@pytest.mark.parametrize("lean_deg", [-10.0, 0.0, 12.0])
def test_sections_agree_with_a_slow_net_of_triangles(hull: ExactHull, lean_deg: float) -> None:
    lean = np.radians(lean_deg)
    ruled = laid(hull)
    chine = hull.line("chine")
    for x in (chine.first + 400.0, (chine.first + chine.last) / 2, chine.last - 200.0):
        up = np.array([np.sin(lean), 0.0, np.cos(lean)])
        plane = Plane(np.array([x, 0.0, 0.0]), np.array([0.0, 1.0, 0.0]), up)
        s, t = ruled.crossing(plane.signed, -ruled.reach, ruled.reach, -9.0, lanes=65)
        line = LineString(plane.flat(ruled.point(s, t, -9.0)))
        net = naive_section(ruled, plane, -9.0)
        away = np.array([point.distance(line) for point in net.geoms])
        assert len(away) > 60
        assert away.max() < 0.01
        bounds = np.array(line.bounds) - np.array(net.bounds)
        assert np.abs(bounds).max() < WITHIN


def test_the_cone_of_the_tests_is_hollow_nowhere_and_the_lines_lie_on_it() -> None:
    # A test of the tests: the closed forms agree with one another and with a number of differences.
    cone = cone_side()
    points = exact_hulls()[0].line("sheer").point(np.linspace(100.0, 4400.0, 50))
    step = 1e-3
    slopes = np.stack(
        [(cone.beyond(points + e) - cone.beyond(points - e)) / (2 * step) for e in step * np.eye(3)], axis=1
    )
    assert np.abs(slopes - cone.normal(points)).max() < 1e-6
    assert np.abs(np.einsum("nk,nk->n", cone.normal(points), cone.ruling(points))).max() < 1e-12
    space = np.linalg.norm(np.diff(points, axis=0), axis=1)
    flat = np.linalg.norm(np.diff(cone.unrolled(points, 0.0), axis=0), axis=1)
    assert (space < flat).all() or np.abs(space - flat).max() < 0.05
