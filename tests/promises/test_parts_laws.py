"""Laws that hold for every boat, whatever its lines: scale, mirror, lengths kept, faces that agree."""

from __future__ import annotations

from dataclasses import replace

import numpy as np
import pytest
import shapely
from boats import EIGHTH, ExactHull, Floats, exact_hulls, saltmeadow, scaled, unit
from drawn_boats import COUNT, every_skiff, skiff
from measured import DRAWN, apart, dense, length, naive_distance, stands, to_lines
from shapely import LineString, Polygon

from patterns.geometry.ruled import Ruled
from patterns.hull.build import Joint, LinesTo
from patterns.parts.asked.rules import Boat
from patterns.parts.whole import Job, loft

FACTORS = np.linspace(0.7, 1.9, COUNT).tolist()


# --- Scale and mirror ---


@pytest.mark.slow
@every_skiff
def test_scaling_a_boat_scales_its_outlines_and_leaves_its_bevels_alone(number: int) -> None:
    once, k = skiff(number), FACTORS[number]
    twice = loft(scaled(once.boat, k))
    for small, large in zip(once.parts, twice.parts, strict=True):
        assert small.title == large.title
        assert apart(small.outline * k, large.outline) < DRAWN * max(1.0, k)
        assert apart(small.far_outline * k, large.far_outline) < DRAWN * max(1.0, k)
        for a, b in zip(small.edges, large.edges, strict=True):
            near, far = ([b.angle for b in run.bevels] for run in (a, b))
            # Bevels are figured at even steps of mm, so only those at both ends stand at the same places.
            assert np.degrees(abs(near[0] - far[0])) < 0.02
            assert np.degrees(abs(near[-1] - far[-1])) < 0.02
            half = [np.interp(0.5, np.linspace(0, 1, len(run)), run) for run in (near, far)]
            assert np.degrees(abs(half[0] - half[1])) < 0.5


@pytest.mark.slow
@every_skiff
def test_the_port_side_is_the_starboard_side_turned_over(number: int) -> None:
    job = skiff(number)
    port, starboard = job.part("side panel, port"), job.part("side panel, starboard")
    assert Polygon(port.outline).exterior.is_ccw
    assert Polygon(starboard.outline).exterior.is_ccw
    assert port.bow == starboard.bow
    turned = [points * (1.0, -1.0) for points in (starboard.outline, starboard.far_outline)]
    for points, mirrored in zip((port.outline, port.far_outline), turned, strict=True):
        assert apart(points - points.mean(axis=0), mirrored - mirrored.mean(axis=0)) < 1e-6
    for ours in port.edges:
        theirs = starboard.edge(ours.name)
        run = length(theirs.points)
        for bevel, twin in zip(ours.bevels, theirs.bevels[::-1], strict=True):
            assert bevel.angle == pytest.approx(twin.angle)
            assert bevel.along == pytest.approx(run - twin.along, abs=1e-6)
    assert [mark.name for mark in port.marks] == [mark.name for mark in starboard.marks]


@pytest.mark.slow
@every_skiff
def test_frames_transom_and_bottom_are_alike_on_both_hands(number: int) -> None:
    job = skiff(number)
    for each in job.parts:
        if each.hand == "none" and not each.name.startswith(("stem", "stern")):
            over = np.array([1.0, -1.0]) if each.name == "bottom panel" else np.array([-1.0, 1.0])
            assert apart(each.outline, each.outline * over) < DRAWN
            assert apart(each.far_outline, each.far_outline * over) < DRAWN


# --- Lengths that bending keeps ---


@pytest.mark.slow
@every_skiff
def test_panel_edges_keep_the_length_of_the_mid_surface_curves_they_come_from(number: int) -> None:
    job = skiff(number)
    hull = job.hull
    side = hull.sheer_strake
    panel = job.part("side panel, starboard")
    for name, t in (("sheer", hull.sheer_edge), ("chine", hull.inside(hull.sheer_strake).lower)):
        first, last = (_ruling_at(side.ruled, t, side.inside, cut.signed) for cut in (hull.fore_cut, hull.aft_cut))
        s = np.linspace(first, last, 20_001)
        curve = side.ruled.point(s, side.ruled.at(t, s), side.middle)
        in_space = float(np.linalg.norm(np.diff(curve, axis=0), axis=1).sum())
        assert length(panel.edge(name).points) == pytest.approx(in_space, rel=1e-5)


def _ruling_at(ruled: Ruled, t: Floats, depth: float, signed: object) -> float:
    """The number of the ruling where a line on a face passes an end, by plain looking along it."""
    s = np.linspace(0, len(ruled) - 1, 200_001)
    past = signed(ruled.point(s, ruled.at(t, s), depth))  # type: ignore[operator]
    return float(s[(past > 0).argmax()])


@pytest.mark.slow
@every_skiff
def test_frame_marks_on_the_side_have_the_girth_of_the_frames_side_to_within_the_thickness(number: int) -> None:
    job = skiff(number)
    panel = job.part("side panel, starboard")
    for frame, _ in stands(job):
        mark = next(mark for mark in panel.marks if mark.name == frame.name)
        girth, own = length(mark.points), length(frame.edge("side starboard").points)
        # The mark is laid on the middle of the thickness: longer than the inside face by half of it for each radian
        # turned (trade_geometry.toml, [neutral_layer]).
        if job.boat.skin.joints[0] is Joint.LOWER_OVER:
            assert abs(girth - own) < job.boat.skin.planking[0].thickness / 2 * np.radians(3.0) + DRAWN
        else:
            # The side runs on past the inside corner, by the bottom's thickness and its own slant.
            assert own - 1.0 < girth < own + 1.6 * job.boat.skin.planking[-1].thickness


# --- Frames against the planking ---


@pytest.mark.slow
@every_skiff
def test_a_frames_outline_lies_on_the_inside_of_the_planking_on_both_faces(number: int) -> None:
    job = skiff(number)
    hull = job.hull
    for frame, stand in stands(job):
        for plane, face in ((stand.face, "points"), (stand.far, "far")):
            for name, strake in (("side starboard", hull.sheer_strake), ("bottom", hull.floor)):
                flat = dense(getattr(frame.edge(name), face))
                # A frame seen from forward has starboard on the left: its place in space says so by itself.
                space = plane.origin + flat[:, :1] * plane.right + flat[:, 1:] * plane.up
                distance = naive_distance(strake.ruled, space)
                assert np.abs(distance - strake.planking.thickness).max() < 0.03


@pytest.mark.slow
@every_skiff
def test_the_far_face_and_the_bevel_agree(number: int) -> None:
    job = skiff(number)
    for each in job.parts:
        for run in each.edges:
            line, far = LineString(run.points), LineString(run.far)
            for bevel in run.bevels:
                assert bevel.run == pytest.approx(each.thickness * np.tan(bevel.angle), abs=1e-9)
            if run.name in ("top", "inner") or each.name.startswith(("stem", "stern")):
                continue
            for bevel in run.bevels[1:-1]:
                at, ahead = (np.array(line.interpolate(bevel.along + step).coords[0]) for step in (-2.0, 2.0))
                way = unit(ahead - at)
                right = np.array([way[1], -way[0]])
                here = np.array(line.interpolate(bevel.along).coords[0])
                ray = LineString([here - 80 * right, here + 80 * right])
                met = shapely.get_coordinates(shapely.intersection(ray, far))
                assert len(met) >= 1
                reach = (met - here) @ right
                assert bevel.run == pytest.approx(reach[np.abs(reach).argmin()], abs=0.05)


@pytest.mark.slow
@every_skiff
def test_outlines_are_closed_and_cross_themselves_nowhere(number: int) -> None:
    job = skiff(number)
    for each in job.parts:
        assert Polygon(each.outline).is_valid
        assert Polygon(each.outline).exterior.is_ccw
        for run, after in zip(each.edges, (*each.edges[1:], each.edges[0]), strict=True):
            assert np.linalg.norm(run.points[-1] - after.points[0]) < 1e-6


# --- What the plan says of its lines, and of the chine ---


def to_the_inside(boat: Boat) -> Boat:
    return replace(boat, skin=replace(boat.skin, lines_to=LinesTo.INSIDE))


@pytest.mark.slow
@every_skiff
def test_lines_to_the_inside_put_a_frames_side_out_by_thickness_over_the_cosine_of_its_bevel(number: int) -> None:
    """trade_geometry.toml, [frame_edge]: plank_in_station_plane = T / cos(bevel)."""
    outer = skiff(number)
    assert outer.boat.skin.lines_to is LinesTo.OUTSIDE
    inner = loft(to_the_inside(outer.boat))
    thickness = outer.boat.skin.planking[0].thickness
    for (near, stand), (wide, _) in zip(stands(outer), stands(inner), strict=True):
        line = LineString(wide.edge("side starboard").points)
        own = near.edge("side starboard").points
        for flat in dense(own)[2:-2]:
            moved = line.distance(shapely.Point(flat))
            space = stand.face.origin + flat[0] * stand.face.right + flat[1] * stand.face.up
            nearest = int(
                to_lines(space, inner.hull.sheer_strake.ruled.middle, inner.hull.sheer_strake.ruled.along).argmin()
            )
            bevel = np.arcsin(inner.hull.sheer_strake.ruled.normal[nearest][0])
            assert moved == pytest.approx(thickness / np.cos(bevel), abs=0.05)


@pytest.mark.slow
@pytest.mark.parametrize("hull", exact_hulls(), ids=lambda hull: hull.name)
def test_how_the_chine_laps_changes_panels_by_the_thickness_and_frames_not_at_all(hull: ExactHull) -> None:
    """Common practice, no single source: the bottom over the side's edge, or between the sides."""
    over, between = (loft(hull.boat(laps=laps)) for laps in (Joint.LOWER_OVER, Joint.UPPER_OVER))
    for (a, _), (b, _) in zip(stands(over), stands(between), strict=True):
        assert apart(a.outline, b.outline) < DRAWN
        assert apart(a.far_outline, b.far_outline) < DRAWN
    # The inside face of the bottom reaches the side's outside, or only its inside: T / (n . athwart) less each hand.
    thickness = over.hull.sheer_strake.planking.thickness
    wide, narrow = (job.part("bottom panel") for job in (over, between))
    marks = [mark for mark in wide.marks if mark.name == "frame 6"], [m for m in narrow.marks if m.name == "frame 6"]
    breadths = [length(each[0].points) for each in marks]
    foot = over.hull.lines[1].curve.point(np.array(_station(over, "6")))
    normal = hull.side.normal(foot[None])[0]
    assert (breadths[0] - breadths[1]) / 2 == pytest.approx(thickness / normal[1], abs=0.05)
    # The side reaches the bottom's inside, or runs on past its edge to the outside: by about its thickness over cos f.
    deep, shallow = (job.part("side panel, starboard") for job in (between, over))
    depths = [length(next(m for m in each.marks if m.name == "frame 6").points) for each in (deep, shallow)]
    flare = np.arcsin(-normal[2])
    assert depths[0] - depths[1] == pytest.approx(over.hull.floor.planking.thickness / np.cos(flare), abs=0.15)


def _station(job: Job, name: str) -> float:
    assert job.boat.frames is not None
    return next(place.from_fp for place in job.boat.frames.places if place.name == name)


# --- Saltmeadow ---


def test_saltmeadow_is_faired_within_an_eighth_and_needs_no_caution() -> None:
    job = loft(saltmeadow())
    assert job.warnings == ()
    moves = [np.abs(view.moved).max() for line in job.lines for view in (line.height, line.half_breadth)]
    assert max(moves) <= EIGHTH
    assert [each.title for each in job.parts] == [
        "side panel, port",
        "side panel, starboard",
        "bottom panel",
        *(f"frame {n}" for n in range(1, 7)),
        *(
            f"frame {n} {piece}"
            for n in range(1, 7)
            for piece in ("floor timber", "side timber, port", "side timber, starboard")
        ),
        "transom",
        "stem",
    ]


def test_edges_of_saltmeadow_that_meet_in_the_boat_are_of_one_length() -> None:
    job = loft(saltmeadow())
    assert len(job.matings) == 7
    for mating in job.matings:
        assert abs(mating.left) < 0.02
