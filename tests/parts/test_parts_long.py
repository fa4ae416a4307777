"""Long pieces held to closed forms, to the planking they lie on, and to each other's hands."""

from __future__ import annotations

from dataclasses import replace
from functools import cache
from pathlib import Path

import numpy as np
import pytest
from boats import Cone, Flat, exact_hulls, parabola, unit, wedge_side
from ends import random_form
from level_hulls import DRAIN, EVERYTHING, LOG, level_hull, log_of, planked
from shapely import LineString, Point, Polygon

from patterns.errors import ShapeError
from patterns.geometry.arrays import Floats, lengths, run_along
from patterns.geometry.cuts import Plane, station_plane
from patterns.geometry.development import develop
from patterns.geometry.parallels import parallel_on
from patterns.hull.build import LinesTo
from patterns.hull.planking.sections import cut_inside
from patterns.parts.asked.long_rules import LongAsked, SkegRules, StringerRules
from patterns.parts.long.long_pieces import LongPiece
from patterns.parts.long.longitudinals import solids
from patterns.parts.part import Edge, Part
from patterns.parts.stands import stand_frame
from patterns.parts.whole import Job, loft
from patterns.reading.boat.boat_toml import read_boat

TABLES = (Path(__file__).parents[2] / "samples").glob("*/boat.toml")
SAMPLES = sorted(path.parent for path in TABLES if "\n[chine_log]" in path.read_text(encoding="utf-8"))


def round_side(half_angle_deg: float = 15.0, radius: float = 4000.0) -> Cone:
    """An upright cone abreast of x = 2200, of which every level line is an arc and the flare is everywhere the same."""
    half = np.radians(half_angle_deg)
    slant = radius / np.sin(half)
    start = np.array([0.0, 1.0, 0.0])
    apex = np.array([2200.0, 500.0, 0.0]) - slant * (np.sin(half) * start + np.cos(half) * np.array([0.0, 0.0, 1.0]))
    return Cone(apex, np.array([0.0, 0.0, 1.0]), half, start)


def edge(part: Part, name: str) -> Edge:
    return next(one for one in part.edges if one.name == name)


def figured(piece: LongPiece, name: str) -> Floats:
    return np.array([getattr(place, name) for place in piece.places])


NAMES = [*(place.name for place in SAMPLES), *(known.name for known in exact_hulls())]


@cache
def job_of(name: str) -> Job:
    """A sample as its builder wrote it, or a hull of known shape with every long piece there is."""
    for place in SAMPLES:
        if place.name == name:
            return loft(read_boat(place).boat)
    boat = next(known for known in exact_hulls() if known.name == name).boat()
    assert boat.frames is not None
    # Floors deep enough that the log's notch does not take their tops.
    return loft(replace(boat, long=EVERYTHING, frames=replace(boat.frames, floor_moulded=110.0, side_moulded=80.0)))


# --- closed forms ---


def test_constant_flare_gives_one_bevel_and_the_straight_log_of_two_planes() -> None:
    """A plane side over a level bottom: bevel = asin of how far the side's normal dips (vectors)."""
    side = wedge_side(20.0, 12.0)
    hull, _ = planked(level_hull(side))
    log = log_of(hull)
    dip = np.arcsin(-side.outward[2])
    assert figured(log, "lower") == pytest.approx(dip, abs=1e-7)
    assert figured(log, "upper") == pytest.approx(-(dip + DRAIN), abs=1e-6)
    assert figured(log, "slope") == pytest.approx(DRAIN, abs=1e-7)
    assert np.abs(figured(log, "edgewise")).max() < 1e-8
    assert np.abs(figured(log, "flatwise")).max() < 1e-8
    lower = edge(log.part, "lower").points
    assert np.abs(lower[:, 1] - lower[0, 1]).max() == pytest.approx(abs(lower[-1, 1] - lower[0, 1]), abs=1e-6)


def test_five_degrees_of_flare_and_a_ten_degree_top_bevel_leave_five_degrees_of_slope() -> None:
    """Common practice, no single source: 5 degrees flare, 5 degree lower bevel, 10 degree top bevel, 5 degrees left."""
    hull, _ = planked(level_hull(wedge_side(5.0, 0.0)))
    log = log_of(hull, replace(LOG, drain=None, top_bevel=np.radians(10.0)))
    assert np.degrees(figured(log, "lower")) == pytest.approx(5.0, abs=1e-5)
    assert np.degrees(figured(log, "slope")) == pytest.approx(5.0, abs=1e-5)


def test_a_log_on_a_cone_unrolls_to_the_arc_of_the_cone_s_development() -> None:
    """A level line of a cone lies at one slant from the apex, so flat it is an arc of that radius (closed form)."""
    known = level_hull(round_side())
    hull, boat = planked(known)
    rules = replace(LOG, drain=None)
    log = log_of(hull, rules, "port")
    assert figured(log, "lower") == pytest.approx(np.radians(15.0), abs=2e-4)
    side = known.side
    assert isinstance(side, Cone)
    # The inside of the bottom stands its thickness above the chine, where the planking's outside meets its underside.
    depth = -boat.skin.planking[0].thickness - rules.sided / 2
    corner = log.places[len(log.places) // 2].at * (1, -1, 1)
    middle = corner - rules.sided / 2 * side.normal(corner)
    slant = float(np.linalg.norm(side.unrolled(middle, depth)))
    for line, away in (("lower", 0.0), ("upper", rules.moulded)):
        points = edge(log.part, line).points
        centre, radius = circle_through(points)
        assert radius == pytest.approx(slant + away, rel=2e-4), line
        assert np.abs(lengths(points - centre) - radius).max() < 0.01


def circle_through(points: Floats) -> tuple[Floats, float]:
    """Least squares circle."""
    a = np.column_stack([2 * points, np.ones(len(points))])
    x, y, c = np.linalg.lstsq(a, (points**2).sum(axis=1), rcond=None)[0]
    return np.array([x, y]), float(np.sqrt(c + x**2 + y**2))


def test_edgewise_and_flatwise_curves_follow_from_plan_rocker_and_flare() -> None:
    """kg = kr cos f - kp sin f and kn = kp cos f + kr sin f (plane geometry), where the log runs fore and aft.

    Abreast of the cone's axis the chine is z = x^2/(2 R); on an upright cone its plan curve is then
    kp = 1/r - tan(f) kr.
    """
    flare, radius, rocker = np.radians(15.0), 4000.0, 60.0 / 2200.0**2 * 2
    known = replace(level_hull(round_side()), chine=parabola(0.0, 2200.0, 60.0, 2200.0))
    known = replace(known, stem=np.array([[700.0, 500.0], [740.0, -60.0]]))
    hull, _ = planked(known, lines_to=LinesTo.INSIDE)
    log = log_of(hull, replace(LOG, sided=0.01, drain=None), "port")
    plan = 1 / radius - np.tan(flare) * rocker
    edgewise = rocker * np.cos(flare) - plan * np.sin(flare)
    flatwise = plan * np.cos(flare) + rocker * np.sin(flare)
    at = np.array([place.at[0] for place in log.places])
    assert np.interp(2200.0, at, figured(log, "edgewise")) == pytest.approx(edgewise, abs=1e-6)
    assert np.interp(2200.0, at, figured(log, "flatwise")) == pytest.approx(flatwise, rel=2e-3)
    # The pattern itself, by the sag over ever shorter chords.
    lower = edge(log.part, "lower").points
    run = run_along(lower)
    along = np.interp(2200.0, at, [place.along for place in log.places])
    errors = []
    for step in (800.0, 400.0, 200.0):
        three = np.stack([np.interp([along - step, along, along + step], run, lower[:, i]) for i in (0, 1)], axis=1)
        chord = three[2] - three[0]
        aside = three[0] - three[1]
        sag = (chord[0] * aside[1] - chord[1] * aside[0]) / np.linalg.norm(chord)
        errors.append(abs(2 * sag / step**2 - edgewise))
    assert errors[-1] < 3e-7  # of about 6e-5: chords of thinned points, good to 0.004 mm, over 200 mm each way
    assert errors[0] > errors[-1]


def test_ends_are_where_two_known_planes_meet() -> None:
    """A plane side, a level bottom and a plane transom: every corner and angle of the after end by vectors."""
    known = level_hull(wedge_side(20.0, 12.0))
    hull, boat = planked(known)
    log = log_of(hull, replace(LOG, drain=None))
    side, bottom = known.side, np.array([0.0, 0.0, 1.0])
    assert isinstance(side, Flat)
    rake = unit(known.transom[0] - known.transom[1])
    end = np.array([rake[1], 0.0, -rake[0]])
    foot = np.array([known.transom[1, 0], 0.0, known.transom[1, 1]]) - boat.aft.thickness * end  # type: ignore[union-attr]
    floor = boat.skin.planking[-1].thickness
    inside = side.origin - boat.skin.planking[0].thickness * side.outward
    along = unit(np.cross(bottom, side.outward)) * np.sign(np.cross(bottom, side.outward)[0])
    up = np.cross(along, side.outward)

    def corner(depth: float, *, top: bool) -> Floats:
        other, height = (up, 63.5 + (inside + (corner_on_bottom - inside)) @ up) if top else (bottom, floor)
        planes = np.stack([side.outward, other, end])
        return np.linalg.solve(planes, [(inside - depth * side.outward) @ side.outward, height, foot @ end])

    corner_on_bottom = np.linalg.solve(
        np.stack([side.outward, bottom, end]), [inside @ side.outward, floor, foot @ end]
    )
    found = log.after
    assert log.places[-1].at == pytest.approx(corner_on_bottom, abs=1e-4)
    wanted = [(corner(depth, top=top) - corner_on_bottom) @ along for depth, top in ((0, 1), (38.1, 1), (38.1, 0))]
    got = [found.upper_corner, found.far_upper_corner, found.far_lower_corner]
    assert got == pytest.approx(wanted, abs=1e-3)
    on_face, through = np.cross(side.outward, end), np.cross(up, end)
    assert found.on_face == pytest.approx(np.arctan((on_face @ along) / (on_face @ up)), abs=1e-6)
    assert found.through == pytest.approx(np.arctan((through @ along) / (through @ -side.outward)), abs=1e-6)


# --- in the boat ---


@pytest.mark.slow
@pytest.mark.parametrize("name", NAMES)
def test_the_log_touches_side_and_bottom_at_200_sections_with_no_gap_and_no_overlap(name: str) -> None:
    job = job_of(name)
    log = next(piece for piece in job.long_pieces if piece.part.title == "chine log, starboard")
    least, most = log.places[0].at[0] + 40.0, log.places[-1].at[0] - 40.0
    for x in np.linspace(least, most, 200):
        plane = station_plane(float(x), facing_aft=True)
        section = cut_inside(job.hull, plane)
        side, bottom = plane.flat(section.side), plane.flat(section.floor)
        lower, middle, upper, far_upper, far_middle, far_lower = log.solid.cut(plane)
        share = np.linspace(0.0, 1.0, 7)[:, None]
        for face, start, end in ((side, lower, middle), (side, middle, upper), (bottom, lower, far_lower)):
            gaps = [LineString(face).distance(Point(point)) for point in start + share * (end - start)]
            assert max(gaps) < 0.05, (name, x)
        room = Polygon(np.concatenate([bottom, side, [[0.0, side[-1, 1]]]]))
        wood = Polygon([lower, middle, upper, far_upper, far_middle, far_lower])
        assert wood.is_valid
        assert wood.difference(room.buffer(0.05)).area == 0.0, (name, x)


@pytest.mark.slow
@pytest.mark.parametrize("name", NAMES)
def test_the_top_falls_inboard_by_the_drain_in_the_plane_square_to_the_log(name: str) -> None:
    job = job_of(name)
    log = next(piece for piece in job.long_pieces if piece.part.title == "chine log, starboard")
    for place in log.places[1:-1]:
        square = Plane(place.at, place.out, np.cross(place.aft, place.out))
        section = log.solid.cut(square)
        points = square.origin + section[:, :1] * square.right + section[:, 1:] * square.up
        fall = unit(points[3] - points[2])
        assert np.degrees(np.arcsin(-fall[2])) == pytest.approx(5.0, abs=0.1), (name, place.along)


@pytest.mark.slow
@pytest.mark.parametrize("name", NAMES)
def test_solids_run_through_every_frame_their_piece_crosses(name: str) -> None:
    job = job_of(name)
    assert job.boat.frames is not None
    stands = {f"frame {p.name}": stand_frame(job.hull, job.boat.frames, p) for p in job.boat.frames.places}
    crossed = 0
    for piece in job.long_pieces:
        for place in piece.places:
            if place.name and piece.inside:
                stand = stands[place.name]
                assert piece.solid.reaches(stand.face)
                assert piece.solid.reaches(stand.far)
                crossed += 1
    assert crossed > 5
    asked = {piece.part.name for piece in job.long_pieces if piece.inside}
    assert "chine log" in asked
    assert {solid.name for solid in solids(job.long_pieces)} == asked


@pytest.mark.slow
@pytest.mark.parametrize("name", NAMES)
def test_each_hand_lies_on_its_own_side_and_its_pattern_shows_the_face_it_names(name: str) -> None:
    """Laid marked face up with x running aft, a piece's far face is away from the reader: on one hand only."""
    job = job_of(name)
    for piece in job.long_pieces:
        part = piece.part
        breadth = piece.solid.corners[:, :, 1]
        if part.hand != "none":
            assert np.sign(breadth.mean()) == (1 if part.hand == "starboard" else -1), part.title
        lower, upper = (edge(part, word).points[:, 1].mean() for word in ("lower", "upper"))
        place = piece.places[len(piece.places) // 2]
        toward_reader = np.cross(place.aft, place.up * np.sign(upper - lower))
        to_planking = place.out if piece.inside else -place.out
        if part.hand != "none":
            assert toward_reader @ to_planking > 0.99, part.title


@pytest.mark.parametrize("name", NAMES)
def test_port_and_starboard_are_mirror_images_in_geometry_and_not_in_words(name: str) -> None:
    job = job_of(name)
    pairs = {piece.part.name for piece in job.long_pieces if piece.part.hand != "none"}
    assert pairs >= ({"chine log", "inwale", "outwale", "rub rail"} if name == "saltmeadow" else {"chine log"})
    for word in pairs:
        port, starboard = (
            next(p for p in job.long_pieces if p.part.title == f"{word}, {hand}") for hand in ("port", "starboard")
        )
        assert np.abs(port.solid.corners[::-1] * (1, -1, 1) - starboard.solid.corners).max() < 1e-9
        top = starboard.part.outline[:, 1].max() + starboard.part.outline[:, 1].min()
        over = Polygon(np.column_stack([port.part.outline[:, 0], top - port.part.outline[:, 1]]))
        assert over.symmetric_difference(Polygon(starboard.part.outline)).area < 1e-3
        for name_of in ("lower", "upper", "fore end", "after end"):
            angles = [sorted(b.angle for b in edge(p.part, name_of).bevels) for p in (port, starboard)]
            assert angles[0] == pytest.approx(angles[1])
        assert (port.part.notes == ()) == (starboard.part.notes == ())
        assert [n.text for n in port.part.notes] == [n.text for n in starboard.part.notes]


@pytest.mark.parametrize("name", NAMES)
def test_rails_lie_where_they_are_asked(name: str) -> None:
    job = job_of(name)
    hull = job.hull
    ruled = hull.sheer_strake.ruled
    pieces = {piece.part.title: piece for piece in job.long_pieces}
    for title, depth, below in (
        ("inwale, starboard", hull.sheer_strake.inside, 0.0),
        ("outwale, starboard", hull.sheer_strake.outside, 0.0),
        ("rub rail, starboard", hull.sheer_strake.outside, 127.0),
    ):
        if title not in pieces:
            assert name in ("duckweed", "fennel", "marram", "reedling", "sandlark")  # which ask for fewer
            continue
        sheer = ruled.middle + depth * ruled.normal + hull.sheer_edge[:, None] * ruled.along
        upper = pieces[title].solid.corners[2][20:-20:20]
        away = lengths(upper[:, None] - sheer[None]).min(axis=1)  # to the nearest of points 10 mm apart
        assert np.abs(away - below).max() < 0.15, title


def test_keel_batten_and_keelson_lie_on_each_other_along_the_centre_line() -> None:
    job = job_of("wedge")
    batten, keelson = (
        next(p for p in job.long_pieces if p.part.name == word).solid.corners for word in ("keel batten", "keelson")
    )
    assert np.abs(batten[2, :, 1] - 63.5).max() < 1e-6
    assert np.abs(batten[0, :, 1] + 63.5).max() < 1e-6
    top = LineString(batten[3][:, [0, 2]])
    assert max(top.distance(Point(p)) for p in keelson[2][:, [0, 2]][10:-10]) < 0.01


def test_the_skeg_lies_on_the_bottom_and_is_as_deep_as_asked() -> None:
    known = next(known for known in exact_hulls() if known.name == "wedge")
    skeg = next(part for part in job_of("wedge").parts if part.name == "skeg")
    upper, lower = edge(skeg, "upper").points, edge(skeg, "lower").points
    in_space = np.column_stack([upper[:, 0], np.zeros(len(upper)), upper[:, 1]])
    assert np.abs(known.under(in_space)).max() < 0.5  # a table of 13 columns, rounded
    assert lower[0] == pytest.approx(upper[-1])
    assert upper[0, 1] - lower[-1, 1] == pytest.approx(100.0)
    assert lower[0, 0] == pytest.approx(2500.0)
    assert known.past_end(np.array([[lower[-1, 0], 0.0, lower[-1, 1]]]), aft=True) == pytest.approx(0.0, abs=0.01)


@pytest.mark.parametrize(("sided", "moulded"), [(44.0, 14.0), (12.9, 35.1), (26.0, 19.0)])
@pytest.mark.parametrize("name", [place.name for place in SAMPLES])
def test_logs_of_any_section_have_ends_as_far_off_square_through_the_wood_as_their_faces_lie(
    name: str, sided: float, moulded: float
) -> None:
    """Bevelled across the thickness by what the far face's end lies further on, however short the end is."""
    piece = log_of(job_of(name).hull, replace(LOG, sided=sided, moulded=moulded, drain=None))
    for end in ("fore end", "after end"):
        run = edge(piece.part, end)
        far = LineString(run.far)
        for bevel in run.bevels:
            at = np.array(LineString(run.points).interpolate(bevel.along).coords[0])
            way = run.points[-1] - run.points[0]
            square = np.array([way[1], -way[0]]) / np.hypot(*way)
            reach = np.array([np.dot(point - at, square) for point in np.array(far.coords)])
            assert reach.min() - 1.0 < bevel.run < reach.max() + 1.0


@pytest.mark.slow
@pytest.mark.parametrize(("fore", "aft"), [("stem", "transom"), ("bow transom", "transom"), ("stem", "sternpost")])
def test_boats_of_every_pair_of_ends_have_their_long_pieces(fore: str, aft: str) -> None:
    boat = random_form(np.random.default_rng(5), fore, aft).boat()
    log = replace(LOG, sided=25.0, moulded=45.0)
    rub_rail = replace(EVERYTHING.rub_rail, below_sheer=60.0)  # type: ignore[type-var]
    asked = replace(EVERYTHING, chine_logs=(log,), rub_rail=rub_rail, stringers=(), skeg=None)
    job = loft(replace(boat, frames=None, long=asked))
    assert len(job.long_pieces) == 10
    for piece in job.long_pieces:
        assert Polygon(piece.part.outline).is_valid
        assert Polygon(piece.part.far_outline).is_valid
        words = (piece.fore.against.split(",")[0], piece.after.against.split(",")[0])
        assert words == (fore, aft)


def test_lines_beside_an_edge_stand_off_it_by_their_distance_where_rulings_fan() -> None:
    """Against brute force: the least distance between the two lines, laid flat."""
    job = job_of("saltmeadow")
    hull = job.hull
    flat = develop(hull.sheer_strake.ruled, depth=0.0)
    s = hull.sheer_strake.ruled.numbers
    edge, beside = (
        flat.point(s, t) for t in (hull.corners[0].on_above, parallel_on(flat, hull.corners[0].on_above, 60.0))
    )
    whole = LineString(edge[np.isfinite(edge).all(axis=1)])
    away = [whole.distance(Point(point)) for point in beside[60:-60:20]]
    assert np.abs(np.array(away) - 60.0).max() < 0.002


# --- what is told and refused ---


@pytest.mark.slow
def test_a_top_that_holds_water_is_told_of() -> None:
    boat = replace(exact_hulls()[0].boat(), frames=None, long=LongAsked(chine_logs=(replace(LOG, drain=None),)))
    told = [caution.text for caution in loft(boat).warnings if caution.where == "chine log"]
    assert len(told) == 1
    assert "holds water" in told[0]
    boat = replace(
        boat,
        long=LongAsked(chine_logs=(replace(LOG, top_bevel=np.radians(22.0)),)),
    )
    told = [caution.text for caution in loft(boat).warnings if caution.where == "chine log"]
    assert "expected 5.0° or more" in told[0]
    boat = replace(boat, long=LongAsked(chine_logs=(LOG,)))
    assert not [caution for caution in loft(boat).warnings if caution.where == "chine log"]


def test_a_skeg_that_starts_behind_the_boat_is_refused_by_name() -> None:
    boat = replace(exact_hulls()[0].boat(), long=LongAsked(skeg=SkegRules(9000.0, 100.0, 32.0, "oak")))
    with pytest.raises(ShapeError, match="skeg: from = 9000"):
        loft(boat)


def test_a_piece_too_low_for_the_side_is_refused_by_name() -> None:
    riser = StringerRules("riser", 19.0, 38.0, "oak", 1.6, below_sheer=2000.0)
    with pytest.raises(ShapeError, match="riser"):
        loft(replace(exact_hulls()[0].boat(), long=LongAsked(stringers=(riser,))))
