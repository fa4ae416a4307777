"""Thwarts, risers, knees and breasthook: fitted to the inside of the planking, or refused by name."""

from __future__ import annotations

from dataclasses import replace
from functools import cache

import numpy as np
import pytest
from boats import Floats, saltmeadow
from measured import naive_distance
from shapely import LineString, Point, Polygon

from patterns.errors import ShapeError
from patterns.geometry.cuts import Plane
from patterns.hull.planking.level_cuts import hollowed, level_plane
from patterns.parts.asked.fitting_rules import BreasthookRules, FittingsAsked, KneeRules, ThwartRules
from patterns.parts.asked.long_rules import LongAsked, LongRules, RiserRules
from patterns.parts.fittings.fittings import fittings
from patterns.parts.long.risers import riser
from patterns.parts.part import Edge, Part
from patterns.parts.stands import transom_inner_face
from patterns.parts.whole import Job, loft

HANDS = ("port", "starboard")
FITS = 0.05  # mm
THWART = ThwartRules("thwart 1", 1600.2, 228.6, 323.85, 19.05, "pine")
KNEE = KneeRules(on_side=180.0, on_other=200.0, thickness=25.4, hollow=12.0, material="oak")
HOOK = BreasthookRules(length=250.0, thickness=25.4, hollow=25.0, crown=6.0, material="oak")
RISER = RiserRules("riser", 19.05, 38.1, "pine", 1.6, height=304.8, start=1450.0, end=1980.0)


@cache
def job(inwale: bool = False) -> Job:
    asked = FittingsAsked((THWART,), KNEE, HOOK, KNEE)
    rail = LongRules("inwale", 19.05, 38.1, "oak", 1.6) if inwale else None
    return loft(replace(saltmeadow(), fitted=asked, long=LongAsked(inwale=rail, risers=(RISER,))))


def part(title: str, *, inwale: bool = False) -> Part:
    return next(part for part in job(inwale).parts if part.title == title)


def edge(part: Part, name: str) -> Edge:
    return next(edge for edge in part.edges if edge.name == name)


def off_the_side(plane: Plane, points: Floats) -> Floats:
    """How far points in a plane lie inside the outside of the side planking, by looking at every ruling."""
    return naive_distance(job().hull.sheer_strake.ruled, plane.origin + points @ np.stack([plane.right, plane.up]))


@pytest.mark.slow
def test_a_thwarts_ends_lie_on_the_planking_at_top_and_underside() -> None:
    thwart = part("thwart 1")
    for height, face in ((THWART.height, "points"), (THWART.height - THWART.thickness, "far")):
        ends = getattr(edge(thwart, "end starboard"), face)
        assert np.abs(off_the_side(level_plane(height), ends) - 9.525).max() < FITS
        assert ends[:, 0].min() == pytest.approx(THWART.at)
        assert ends[:, 0].max() == pytest.approx(THWART.at + THWART.width)
    # The side flares, so the underside is the shorter: under, as the trade says.
    assert all(bevel.angle < 0 for bevel in edge(thwart, "end starboard").bevels)


def test_port_end_is_the_starboard_end_across_the_centre_line() -> None:
    thwart = part("thwart 1")
    port, starboard = edge(thwart, "end port").points, edge(thwart, "end starboard").points
    assert np.abs(port * (1, -1) - starboard[::-1]).max() < 1e-9


def test_a_riser_carries_the_thwart_all_along() -> None:
    riser = next(piece for piece in job().long_pieces if piece.part.title == "riser, starboard")
    upper = riser.solid.corners[2]
    assert np.abs(upper[:, 2] - RISER.height).max() < FITS
    assert np.abs(naive_distance(job().hull.sheer_strake.ruled, upper[::10]) - 9.525).max() < FITS
    # Its moulded size is measured square to it, down the side.
    lower = riser.solid.corners[0]
    down = [np.linalg.norm(upper - point, axis=1).min() for point in lower[20:-20:10]]
    assert np.abs(np.array(down) - RISER.moulded).max() < 0.1


@pytest.mark.parametrize(("span", "told"), [((10.0, 600.0), "past the stem"), ((2000.0, 4500.0), "past the transom")])
def test_a_riser_past_an_end_of_the_boat_is_refused(span: tuple[float, float], told: str) -> None:
    with pytest.raises(ShapeError, match=f"riser: would run from .* to .* aft of FP, {told}: move the thwart"):
        riser(job().hull, replace(RISER, start=span[0], end=span[1]))


def test_a_breasthook_fits_the_sides_and_the_stem() -> None:
    hook = part("breasthook")
    sheer = job().hull.sheer_strake
    plane = _sheer_plane(hook)
    for shift, face in ((0.0, "points"), (-HOOK.thickness, "far")):
        side = getattr(edge(hook, "side starboard"), face)
        assert np.abs(off_the_side(plane.shifted(shift), side) - sheer.planking.thickness).max() < FITS
    # Hollow on the centre line, so much forward of its corners.
    after = edge(hook, "after edge").points
    assert after[0, 0] - after[:, 0].min() == pytest.approx(HOOK.hollow, abs=1e-6)
    length = after[0, 0] - edge(hook, "fore end").points[0, 0]
    assert length == pytest.approx(HOOK.length, abs=1e-6)


def test_with_inwales_the_breasthook_fits_between_them() -> None:
    plain, between = part("breasthook"), part("breasthook", inwale=True)
    assert between.line == "inside of the inwales"
    plane = _sheer_plane(between)
    side = edge(between, "side starboard").points
    assert np.abs(off_the_side(plane, side) - 9.525 - 19.05).max() < FITS
    assert side[0, 1] < edge(plain, "side starboard").points[0, 1]


def _sheer_plane(hook: Part) -> Plane:
    """The plane through the inside of the sheer where the breasthook begins and ends, found from its own corners."""
    ruled, hull = job().hull.sheer_strake.ruled, job().hull
    top = ruled.middle + hull.sheer_edge[:, None] * ruled.along + hull.sheer_strake.inside * ruled.normal
    stem = 88.9 / np.cos(np.arctan2(13.25, 26.25))
    x0 = float(np.interp(0, _behind_stem(top, stem), top[:, 0]))
    z0, z1 = (float(np.interp(x, top[:, 0], top[:, 2])) for x in (x0, x0 + HOOK.length))
    way = np.array([HOOK.length, 0.0, z1 - z0]) / np.hypot(HOOK.length, z1 - z0)
    return Plane(np.array([0.0, 0.0, z0 - x0 * way[2] / way[0]]), way, np.array([0.0, 1.0, 0.0]))


def _behind_stem(points: Floats, level: float) -> Floats:
    """Fore and aft distance behind the stem's inner face: 13 1/4 in aft in 26 1/4 in down, 3 1/2 in moulded."""
    slope = 13.25 / 26.25
    return np.asarray(points[:, 0] - (30.5 * 25.4 - points[:, 2]) * slope - level)


@pytest.mark.parametrize("title", ["quarter knee, starboard", "quarter knee, port"])
def test_a_quarter_knee_fits_side_and_transom_and_is_hollow(title: str) -> None:
    knee = part(title)
    side, transom, long = (edge(knee, name) for name in ("side", "transom", "long edge"))
    assert np.linalg.norm(np.ptp(transom.points, axis=0)) == pytest.approx(KNEE.on_other, abs=0.01)
    assert np.ptp(side.points[:, 0]) == pytest.approx(KNEE.on_side, abs=0.01)
    chord = long.points[-1] - long.points[0]
    off = _cross(chord, long.points - long.points[0]) / np.linalg.norm(chord)
    assert np.abs(off).max() == pytest.approx(KNEE.hollow, abs=1e-3)
    corner = transom.points[np.abs(transom.points[:, None] - side.points[None]).sum(axis=2).min(axis=1).argmin()]
    toward = _cross(chord, corner - long.points[0])
    assert (np.sign(off[np.abs(off) > 1e-6]) == np.sign(toward)).all()
    # The transom rakes aft, so on the knee's underside its inner face lies further forward: under there.
    inner = transom_inner_face(job().boat.aft, aft=True)  # type: ignore[arg-type]
    assert inner.up[0] > 0
    assert all(bevel.angle < 0 for bevel in transom.bevels)


@pytest.mark.parametrize("title", [f"{name} knee, {hand}" for name in ("quarter", "thwart 1") for hand in HANDS])
def test_a_knees_toes_and_long_edge_are_square_and_nothing_of_its_far_face_stands_outside(title: str) -> None:
    knee = part(title)
    for each in knee.edges:
        if "toe" in each.name or each.name == "long edge":
            line = LineString(each.points)
            assert max(line.distance(Point(*point)) for point in each.far) < 1e-6
    # Both its bevels are under.
    assert Polygon(knee.far_outline).is_valid
    assert Polygon(knee.far_outline).difference(Polygon(knee.outline).buffer(0.01)).is_empty


def _cross(a: Floats, b: Floats) -> Floats:
    return np.asarray(a[0] * b[..., 1] - a[1] * b[..., 0])


def test_port_and_starboard_knees_are_mirror_images_in_shape_alone() -> None:
    for name in ("quarter knee", "thwart 1 knee"):
        port, starboard = part(f"{name}, port"), part(f"{name}, starboard")
        assert (port.hand, starboard.hand) == ("port", "starboard")
        mirror = (-1.0, 1.0) if "thwart" in name else (1.0, -1.0)
        a, b = port.outline, starboard.outline * mirror
        nearest = np.linalg.norm((a - a.mean(axis=0))[:, None] - (b - b.mean(axis=0))[None], axis=2).min(axis=1)
        assert nearest.max() < 1e-6


def test_a_thwart_knee_stands_on_the_thwart_against_the_side() -> None:
    knee = part("thwart 1 knee, starboard")
    middle = THWART.at + THWART.width / 2
    for x, face in ((middle + KNEE.thickness / 2, "points"), (middle - KNEE.thickness / 2, "far")):
        plane = Plane(np.array([x, 0.0, 0.0]), np.array([0.0, 1.0, 0.0]), np.array([0.0, 0.0, 1.0]))
        assert np.abs(off_the_side(plane, getattr(edge(knee, "side"), face)) - 9.525).max() < FITS
    assert edge(knee, "thwart").points[:, 1] == pytest.approx(THWART.height)


def test_pieces_there_is_no_room_for_are_refused_by_name() -> None:
    high = replace(THWART, height=900.0)
    with pytest.raises(ShapeError, match="thwart 1: the side does not reach"):
        loft(replace(saltmeadow(), fitted=FittingsAsked((high,))))
    long = replace(KNEE, on_other=900.0)
    with pytest.raises(ShapeError, match="quarter knee: its arm along the transom is longer than half the transom"):
        loft(replace(saltmeadow(), fitted=FittingsAsked(quarter_knee=long)))


ABSURD = {
    "thwart 1: it runs .* into the transom": {"thwarts": (replace(THWART, at=4260.0),)},
    "thwart 1: it runs .* into the stem": {"thwarts": (replace(THWART, at=330.0, width=150.0),)},
    "thwart 1: the side does not reach": {"thwarts": (replace(THWART, height=3000.0),)},
    "breasthook: its hollow of .* leaves nothing of its length": {"breasthook": replace(HOOK, length=20.0)},
    "breasthook: its hollow of .* is deeper than half its breadth": {"breasthook": replace(HOOK, hollow=230.0)},
    "quarter knee: its arms are": {"quarter_knee": replace(KNEE, on_other=5.0)},
    "thwart 1 knee: its arms are": {"thwarts": (THWART,), "thwart_knee": replace(KNEE, on_side=5.0)},
}


@pytest.mark.parametrize("told", ABSURD)
def test_fittings_the_boat_cannot_hold_are_refused_by_name_with_what_is_wrong(told: str) -> None:
    with pytest.raises(ShapeError, match=told):
        list(fittings(job().hull, FittingsAsked(**ABSURD[told]), (), inwale=None, show="mm"))  # type: ignore[arg-type]


def test_a_long_breasthook_says_how_far_the_sheer_curves_from_its_flat_top() -> None:
    short, long = (
        list(fittings(job().hull, FittingsAsked(breasthook=replace(HOOK, length=x)), (), inwale=None, show="mm"))
        for x in (120.0, 900.0)
    )
    assert not any("curves" in remark for remark in short[0].remarks)
    words = next(remark for remark in long[0].remarks if "curves" in remark)
    # The sheer of boat.toml is hollow: below the straight line between the hook's ends.
    ruled, hull = job().hull.sheer_strake.ruled, job().hull
    top = ruled.middle + hull.sheer_edge[:, None] * ruled.along + hull.sheer_strake.inside * ruled.normal
    x = np.array([top[0, 0], top[0, 0] + 900.0])
    inner = top[(top[:, 0] > x[0]) & (top[:, 0] < x[1])]
    chord = np.interp(inner[:, 0], x, np.interp(x, top[:, 0], top[:, 2]))
    assert "below its flat top" in words
    assert float(words.split("up to ")[1].split()[0]) == pytest.approx((chord - inner[:, 2]).max(), rel=0.3)


def test_an_arc_has_the_sagitta_asked_for() -> None:
    # R = c^2/(8 s) + s/2 (trade_geometry.toml, [sagitta]).
    arc = hollowed(np.array([0.0, 0.0]), np.array([300.0, 0.0]), 20.0)
    radius = 300.0**2 / 160.0 + 10.0
    assert np.abs(np.hypot(arc[:, 0] - 150.0, arc[:, 1] - 20.0 + radius) - radius).max() < 1e-9
