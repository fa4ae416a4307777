"""Moulds, transom and stem of round hulls against the formulas their skins are laid on."""

from __future__ import annotations

from dataclasses import replace
from functools import cache

import numpy as np
import pytest
import shapely
from closed_round import ClosedRound, double_ender, ellipsoid, hollow
from round_boats import known_hull, moulds_at, round_boat
from sample_jobs import sample
from scipy.spatial import cKDTree

from patterns.errors import ShapeError
from patterns.geometry.arrays import Floats, lengths
from patterns.hull.build import Layer, Stem, Transom
from patterns.hull.planking.skin import Hull
from patterns.hull.planking.smooth_edges import FINEST, bearding
from patterns.hull.round.planked import plank_round
from patterns.parts.asked.end_rules import PlankEnds, StemWork, TransomWork
from patterns.parts.asked.rules import Boat, Building, FrameKind, FramePlace, MouldPieces, RoundKeel, Way
from patterns.parts.ends.round_stem import cut_round_stem
from patterns.parts.ends.transom import cut_transom
from patterns.parts.frames.centre_timbers import Seat, seat_words
from patterns.parts.frames.frame import FrameShape, shape_frame
from patterns.parts.frames.frame_outline import Outer
from patterns.parts.frames.frame_pieces import frame_parts
from patterns.parts.frames.mould_faces import inner_of_both
from patterns.parts.part import Part
from patterns.parts.role import EdgeKind, Role
from patterns.parts.shaping import Line, Shape, check_alike, shape_of
from patterns.parts.stands import stand_frame, transom_face
from patterns.parts.whole import loft, loft_round
from patterns.shop.fit.skin_checks import skin_checks
from patterns.shop.layout.mould_figures import mould_figures

FORMS = {"hollow": hollow(), "ellipsoid": ellipsoid(), "double ender": double_ender()}
LEGS = Building(Way.UPSIDE_DOWN, 900.0, 650.0)
LAID = 0.02  # mm, how near the skins lie to their formulas


@cache
def planked(name: str, *layers: Layer) -> tuple[ClosedRound, Boat, Hull]:
    form = FORMS[name]
    boat = round_boat(form, layers=layers)
    return form, boat, plank_round(form.hull, skin=boat.skin, fore=boat.fore, aft=boat.aft)


def mould(name: str, number: int, *layers: Layer, **rules: object) -> FrameShape:
    form, _, hull = planked(name, *layers)
    own = moulds_at(form, **rules)
    return shape_frame(hull, own, stand_frame(hull, own, own.places[number]), building=None)


def inside_lines(form: ClosedRound, x: float, depth: float) -> shapely.LineString:
    return shapely.LineString(form.inside(x, depth, 401)[0])


@pytest.mark.parametrize("name", FORMS)
def test_a_square_mould_lies_inside_both_its_sections_and_touches_one_of_them_everywhere(name: str) -> None:
    form = FORMS[name]
    for number in (0, 1, 4, 8):
        x, shape = float(form.stations[number]), mould(name, number)
        far = x - 18 * shape.stand.face.facing[0]
        lines = [inside_lines(form, at, 9.0) for at in (x, far)]
        edge = shape.outer.side[shape.outer.side[:, 0] > form.keel_half + 9]
        off = np.stack([shapely.distance(shapely.points(edge), line) for line in lines])
        assert off.min(axis=0).max() < LAID
        for line in lines:
            room = shapely.Polygon([*line.coords, (-1e4, line.coords[-1][1]), (-1e4, line.coords[0][1])])
            low, high = line.coords[0][1], line.coords[-1][1]
            within = edge[(edge[:, 1] > low) & (edge[:, 1] < high)]
            assert shapely.distance(shapely.points(within), room).max() < LAID


def test_by_the_widest_station_both_faces_touch_and_the_pattern_says_where() -> None:
    """Hollow, station 6: the bottom still grows where the topsides shrink."""
    shape = mould("hollow", 5)
    assert shape.touching is not None
    (clear,) = shape.touching.clear
    assert clear.low < 60 < 200 < clear.high < 300
    assert 0.3 < clear.gap < 0.8
    words = " ".join(frame_parts(shape).whole.remarks)
    assert "the after face touches the planking. This fore face stands up to" in words
    assert mould("hollow", 1).touching.clear == ()  # type: ignore[union-attr]


@pytest.mark.parametrize("name", FORMS)
def test_thickness_over_the_cosine_of_the_bevel_is_the_true_normal(name: str) -> None:
    """TRADE's rule, T / cos b along the section's normal in the body plan, with the bevel of the true skin."""
    form, _, hull = planked(name)
    assert hull.smooth is not None
    for x in form.stations[[1, 7]].tolist():
        outside, bevels = form.outside(x, 801), form.normals(np.full(801, x), np.linspace(form.begins(x), 1, 801))
        cos_b = np.hypot(bevels[:, 1], bevels[:, 2])
        moved = outside - (9.0 / cos_b / cos_b)[:, None] * bevels[:, 1:]
        found = shapely.LineString(hull.smooth.section(_station(x), 9.0).cut.points[:, 1:])
        kept = moved[(moved[:, 0] > form.keel_half + 9) & (moved[:, 1] < outside[-1, 1] - 20)]
        assert shapely.distance(shapely.points(kept), found).max() < LAID + 0.03


def _station(x: float):  # type: ignore[no-untyped-def]
    from patterns.geometry.cuts import station_plane

    return station_plane(x, facing_aft=True)


def test_planking_of_no_thickness_gives_the_lines_back() -> None:
    form = FORMS["hollow"]
    boat = round_boat(form, thickness=0.0)
    hull = plank_round(form.hull, skin=boat.skin, fore=boat.fore, aft=boat.aft)
    assert hull.smooth is not None
    for x in form.stations.tolist():
        line = shapely.LineString(form.outside(x, 801))
        cut = hull.smooth.section(_station(x), 0.0).cut.points
        assert shapely.distance(shapely.points(cut[:, 1:]), line).max() < LAID


def test_ribbands_and_frames_lie_between_planking_and_moulds_and_not_on_the_transom() -> None:
    layers = Layer("ribbands", 20.0, on_moulds=True), Layer("bent frames", 8.0, on_moulds=True)
    shape, plain = mould("hollow", 3, *layers), mould("hollow", 3)
    line = inside_lines(FORMS["hollow"], 1600.0, 37.0)
    edge = shape.outer.side[shape.outer.side[:, 0] > 60]
    assert shapely.distance(shapely.points(edge), line).max() < 2 * LAID
    _, boat, hull = planked("hollow", *layers)
    _, _, bare = planked("hollow")
    assert isinstance(boat.aft, Transom)
    boards = [cut_transom(one, boat.aft, TransomWork(), aft=True) for one in (hull, bare)]
    assert np.array_equal(boards[0].outline, boards[1].outline)
    assert plain.outer.side[-1, 0] - shape.outer.side[-1, 0] > 20


def test_bevels_of_a_bevelled_mould_are_those_of_the_skin() -> None:
    """Over its thickness the skin turns: the bevel halfway through it is held against the run from face to face."""
    shape = mould("hollow", 1, bevelled=True)
    part = frame_parts(shape).whole
    form = FORMS["hollow"]
    middle = 700.0 - 9.0 * shape.stand.face.facing[0]
    exact, bevels = form.inside(middle, 9.0, 2001)
    tree = cKDTree(exact)
    (edge,) = [one for one in part.edges if one.name == "planking starboard"]
    run = np.concatenate([[0.0], np.cumsum(np.hypot(*np.diff(edge.points, axis=0).T))])
    for bevel in edge.bevels[1:-1]:
        place = np.array([np.interp(bevel.along, run, edge.points[:, axis]) for axis in (0, 1)])
        _, nearest = tree.query(np.abs(place))
        assert np.degrees(abs(bevel.angle + bevels[nearest])) < 0.4  # the hull grows aft: negative there, standing here


def test_waterlines_and_diagonals_are_marked_where_the_skin_has_them() -> None:
    part = frame_parts(mould("hollow", 3)).whole
    form = FORMS["hollow"]
    for height in form.waterlines:
        (mark,) = part.marks_of(f"waterline {height:g}")
        assert np.abs(mark.points[:, 1] - height).max() < 1e-9
        assert mark.points[0, 0] == pytest.approx(-mark.points[-1, 0], abs=1e-6)
    for letter, (apex, angle) in zip("AB", form.diagonals, strict=False):
        for mark in part.marks_of(f"diagonal {letter}"):
            y, z = np.abs(mark.points[:, 0]), mark.points[:, 1]
            assert np.abs((z - apex) * np.cos(angle) + y * np.sin(angle)).max() < 1e-3


def test_legs_go_up_to_the_strongback_and_open_moulds_have_an_opening() -> None:
    form, _, hull = planked("hollow")
    own = moulds_at(form, solid=False, inside_corner=30.0)
    part = frame_parts(shape_frame(hull, own, stand_frame(hull, own, own.places[4]), building=LEGS)).whole
    assert part.outline[:, 1].max() == pytest.approx(900.0)
    assert any(edge.name.startswith("inner") for edge in part.edges)
    assert any(mark.name.startswith("cross spall") for mark in part.marks)
    wood = shapely.Polygon(part.outline)
    assert wood.is_valid
    assert not wood.contains(shapely.Point(0.0, 400.0))


@pytest.mark.parametrize("kind", [FrameKind.MOULD, FrameKind.SHEET])
def test_every_mould_of_the_boat_is_a_part_of_the_job(kind: FrameKind) -> None:
    form = FORMS["hollow"]
    rules = moulds_at(form, kind=kind, solid=False)
    first = 0 if kind is FrameKind.MOULD else 2  # a ring of plywood has no room at the bow
    boat = round_boat(form, frames=replace(rules, places=rules.places[first:]))
    job = loft_round(boat, known_hull(form))
    names = [part.name for part in job.parts]
    word = "mould" if kind is FrameKind.MOULD else "frame"
    assert [f"{word} {number}" for number in range(first + 1, 10)] == names[: 9 - first]
    if kind is FrameKind.MOULD:
        assert "It is solid: there is no room here for an opening." in job.part("mould 1").remarks
    assert {"transom", "stem"} <= set(names)


def test_the_transom_is_the_inside_of_the_planking_in_its_rake_on_both_faces() -> None:
    form, boat, hull = planked("hollow")
    assert isinstance(boat.aft, Transom)
    part = cut_transom(hull, boat.aft, TransomWork(), aft=True)
    face = transom_face(boat.aft, aft=True)
    (edge,) = [one for one in part.edges if one.name == "planking starboard"]
    for points, plane in ((edge.points, face), (edge.far, face.shifted(-part.thickness))):
        space = plane.in_space(points)
        assert np.abs(_depth(form, space[1:-1]) - 9.0).max() < 0.05
    standing = [np.degrees(bevel.angle) for bevel in edge.bevels]
    assert 5 < min(standing) < max(standing) < 30  # it narrows aft: the inner face is the larger


def _depth(form: ClosedRound, points: Floats) -> Floats:
    """(n,) mm, how deep points lie under the formula's surface: the nearest of its tangent planes on a fine grid."""
    x = np.linspace(3600.0, 4230.0, 400)
    p = np.linspace(0, 1, 400)
    grid_x, grid_p = (axis.ravel() for axis in np.meshgrid(x, p))
    y, z = form.section(grid_x, grid_p)
    surface = np.stack([grid_x, y, z], axis=1)
    _, nearest = cKDTree(surface).query(points)
    normals = form.normals(grid_x[nearest], grid_p[nearest])
    return np.asarray(np.vecdot(surface[nearest] - points, normals))


def test_the_bearding_stands_the_half_siding_off_and_the_planking_deep() -> None:
    form, boat, hull = planked("double ender")
    for aft, end in ((False, boat.fore), (True, boat.aft)):
        assert isinstance(end, Stem)
        part, *_ = cut_round_stem(hull, end, StemWork(PlankEnds.RABBET), aft=aft)
        (bearding,) = [mark for mark in part.marks if mark.name == "bearding line"]
        for x, z in bearding.points[2:-1:6].tolist():
            section, _ = form.inside(x, 9.0, 2001)
            nearest = section[np.hypot(section[:, 0] - end.sided / 2, section[:, 1] - z).argmin()]
            assert np.hypot(nearest[0] - end.sided / 2, nearest[1] - z) < 0.3
        rabbet = part.mark("rabbet line").points
        assert np.abs(rabbet[0] - end.profile[0]).max() < 0.1
        for landing in part.landings:
            assert landing.angle > FINEST
            assert landing.depth == pytest.approx(9.0 / np.sin(landing.angle), rel=0.15)  # first order, flat skin


def test_no_chord_of_a_bearding_line_cuts_a_corner_of_the_forefoot() -> None:
    """A chord of length c that turns by an angle a stands c a / 8 off its curve; on a forefoot sheer to keel too."""
    read, job = sample("withywater")
    assert isinstance(read.boat.fore, Stem)
    assert job.hull.smooth is not None
    line = bearding(job.hull.smooth, read.boat.fore.sided / 2, aft=False)[:, [0, 2]]
    chords = np.diff(line, axis=0)
    turns = np.abs(np.diff(np.unwrap(np.arctan2(chords[:, 1], chords[:, 0]))))
    long = np.maximum(lengths(chords[1:]), lengths(chords[:-1]))
    assert (long * turns / 8).max() < 0.1


def test_where_the_planking_lies_along_the_keel_nothing_is_drawn_and_it_is_said() -> None:
    """At a knuckled forefoot stem and keel lie both in the timber's side, and the skin with them."""
    _, boat, hull = planked("hollow")
    assert isinstance(boat.fore, Stem)
    part, *_ = cut_round_stem(hull, boat.fore, StemWork(PlankEnds.RABBET), aft=False)
    (doubt,) = part.doubts
    assert doubt.startswith("the planking lies along its side from 80.3 mm to")
    lowest = min(landing.height for landing in part.landings)
    assert part.mark("bearding line").points[:, 1].min() > lowest - 20


def test_scale_is_a_factor_and_both_sides_are_alike() -> None:
    form = FORMS["hollow"]
    boat = round_boat(form)
    shape = mould("hollow", 4)
    ring = shapely.Polygon(frame_parts(shape).whole.outline)
    assert ring.symmetric_difference(shapely.Polygon(frame_parts(shape).whole.outline * (-1, 1))).area < 1e-6
    assert isinstance(boat.fore, Stem)
    assert isinstance(boat.aft, Transom)
    k = 3.0
    grown = replace(form.hull, skin=form.hull.skin.scaled(k))
    large = plank_round(
        grown,
        skin=round_boat(form, thickness=9.0 * k).skin,
        fore=Stem(boat.fore.profile * k, boat.fore.sided * k, boat.fore.moulded * k),
        aft=Transom(boat.aft.profile * k, 18.0 * k, 0.0, ""),
    )
    assert large.smooth is not None
    _, _, hull = planked("hollow")
    assert hull.smooth is not None
    for x in form.stations.tolist():
        one, three = (h.smooth.section(_station(at), t).cut for h, at, t in ((hull, x, 9.0), (large, k * x, 9.0 * k)))  # type: ignore[union-attr]
        assert np.abs(three.points - k * one.points).max() < 1e-5
        assert np.abs(three.bevels - one.bevels).max() < 1e-9


def test_pieces_of_a_mould_are_together_the_mould() -> None:
    _, _, hull = planked("hollow")
    for pieces in (MouldPieces(halves=True), MouldPieces(board=150.0)):
        rules = moulds_at(FORMS["hollow"], solid=pieces.board is None, inside_corner=30.0, pieces=pieces)
        shape = shape_frame(hull, rules, stand_frame(hull, rules, rules.places[4]), building=LEGS)
        made = frame_parts(shape)
        wood = [shapely.Polygon(part.outline) for part in made.pieces if part.role is Role.MOULD_PIECE]
        whole = shapely.Polygon(made.whole.outline)
        assert sum(one.area for one in wood) == pytest.approx(whole.area, rel=1e-6)
        assert shapely.union_all(wood).symmetric_difference(whole).area < 1.0
        for one in wood:
            sides = np.diff(np.asarray(one.minimum_rotated_rectangle.exterior.coords), axis=0)
            assert pieces.board is None or np.hypot(*sides.T).min() < pieces.board + 0.5
        cleats = [part for part in made.pieces if part.role is Role.CLEAT]
        assert sum(cleat.count for cleat in cleats) == len(wood) - 1  # one over each joint
        for cleat in cleats:
            assert whole.buffer(0.1).contains(shapely.Polygon(cleat.outline))
            # Its line lies on a joint of the whole, so that he need not guess which way it goes.
            line = shapely.LineString(cleat.mark("joint").points)
            assert min(shapely.LineString(one.points).distance(line) for one in made.whole.marks_of("joint")) < 1e-6


def test_a_mould_that_no_sheet_holds_is_made_in_halves_and_narrow_boards_are_refused() -> None:
    small = mould("hollow", 4, pieces=MouldPieces(sheets=((1000.0, 700.0),)))
    made = frame_parts(small)
    assert [part.title for part in made.pieces] == [
        "mould 5 half, port",
        "mould 5 half, starboard",
        "mould 5 center cleat",
    ]
    assert "No sheet holds it whole, so it is made in two halves, joined on the center line." in made.whole.remarks
    assert frame_parts(mould("hollow", 0, pieces=MouldPieces(sheets=((1000.0, 700.0),)))).pieces == ()
    narrow = mould("hollow", 4, solid=False, inside_corner=30.0, pieces=MouldPieces(board=40.0))
    with pytest.raises(ShapeError, match=r"mould_board 40\.0 mm is too narrow"):
        frame_parts(narrow)


def test_lines_on_the_moulds_are_figured_where_the_pattern_has_them_and_with_the_bevel_of_the_skin() -> None:
    form = FORMS["hollow"]
    job = loft_round(round_boat(form), known_hull(form))
    for x, mould in zip(form.stations.tolist(), mould_figures(job), strict=True):
        part = job.part(mould.name)
        exact, bevels = form.inside(x, 9.0, 2001)
        for one in mould.places:
            marks = [mark.points for mark in part.marks if mark.name == one.line]
            ends = np.abs(np.concatenate([points[[0, -1]] for points in marks])) if marks else np.zeros((0, 2))
            # Where the far face touches, the pattern's edge stands inside the section at the marked face.
            assert np.hypot(*(ends - (one.half, one.height)).T).min(initial=np.inf) < 1.0, (mould.name, one.line)
            i = np.hypot(*(exact - (one.half, one.height)).T).argmin()
            assert np.hypot(*(exact[i] - (one.half, one.height))) < 0.3
            standing = -bevels[i] if mould.face == "fore face" else bevels[i]
            assert np.degrees(abs(one.bevel.angle - standing)) < 0.3


def test_a_mould_measured_from_the_pattern_outward_touches_and_stands_nowhere_into_the_planking() -> None:
    form = FORMS["hollow"]
    boat = round_boat(form)
    job = loft_round(boat, known_hull(form))
    checks = skin_checks(job)
    assert len(checks) == 9
    assert max(one.into for one in checks) < 0.01
    assert max(one.clear for one in checks) < 0.05
    # Made a hair too large, every mould stands that far into the planking.
    grown = replace(job, parts=tuple(_grown(part) for part in job.parts))
    assert min(one.into for one in skin_checks(grown)) > 0.3


def _grown(part: Part) -> Part:
    edges = tuple(replace(edge, points=edge.points * (1.005, 1.0), far=edge.far * (1.005, 1.0)) for edge in part.edges)
    return replace(part, edges=edges)


def test_the_keel_has_the_rabbet_of_the_skin_and_moulds_are_notched_over_it() -> None:
    form = FORMS["hollow"]
    boat = replace(round_boat(form), keel=RoundKeel(2 * form.keel_half, 80.0, 40.0, "white oak"))
    job = loft_round(boat, known_hull(form))
    keel = job.part("keel")
    rabbet = keel.mark("rabbet line").points
    exact = form.section(rabbet[:, 0], np.zeros(len(rabbet)))[1]  # p = 0 is the rabbet
    assert np.abs(rabbet[2:-2, 1] - exact[2:-2]).max() < 2 * LAID
    upper, lower = (shapely.LineString(keel.edge(name).points) for name in ("upper", "lower"))
    inner = shapely.points(rabbet[5:-5])
    assert np.abs(shapely.distance(inner, upper) - 40.0).max() < 0.05
    assert np.abs(shapely.distance(inner, lower) - 40.0).max() < 0.05
    mould = job.part("mould 5")
    notch = np.concatenate([edge.points for edge in mould.edges if edge.kind is EdgeKind.NOTCH])
    assert np.abs(np.abs(notch[:, 0]) - form.keel_half).max() < 1e-4
    top = upper.intersection(shapely.LineString([(2050.0, 0.0), (2050.0, 500.0)]))
    assert notch[:, 1].max() == pytest.approx(top.y, abs=0.1)


def test_moulds_stand_clear_of_stem_and_keel_and_say_what_their_notches_measure() -> None:
    """Station 1 stands forward of the forefoot, over the stem."""
    form = FORMS["hollow"]
    keel = RoundKeel(2 * form.keel_half, 80.0, 40.0, "white oak")
    boat = replace(round_boat(form, frames=moulds_at(form, solid=False)), keel=keel)
    job = loft_round(boat, known_hull(form))
    timbers = [job.part("keel"), job.part("stem")]
    over = []
    for rules, stand in job.stands:
        part = job.part(f"mould {stand.place.name}")
        half = form.keel_half - 0.1
        wood = shapely.Polygon(part.outline).intersection(shapely.box(-half, 0.0, half, 1e3))
        x = sorted((stand.face.origin[0], stand.face.origin[0] + stand.wood * rules.sided))
        for timber in timbers:
            passing = shapely.Polygon(timber.outline).intersection(shapely.box(x[0], 0.0, x[1], 1e3))
            if passing.is_empty:
                continue
            top, foot = passing.bounds[3], part.outline[:, 1].min()
            assert wood.bounds[1] >= top - 1e-6
            if top > foot + 1.0:
                over.append(timber.name)
                deep = f"{2 * form.keel_half:.1f} mm wide and {top - foot:.1f} mm deep; its top lies {top:.1f} mm above"
                assert any(deep in remark for remark in part.remarks)
    assert set(over) == {"keel", "stem"}


def test_a_mould_within_the_stem_is_refused_and_one_within_the_transom_is_told() -> None:
    form = FORMS["hollow"]
    rules = moulds_at(form, places=(FramePlace("55 mm", 55.0),))
    with pytest.raises(ShapeError, match=r"mould 55 mm: the stem stands up to .* further from the end of the boat"):
        loft_round(round_boat(form, frames=rules), known_hull(form))
    _, foot = form.aft.profile
    x, low = float(foot[0]) + 60.0, float(foot[1])
    rules = moulds_at(form, places=(FramePlace("aft", x),))
    job = loft_round(round_boat(form, frames=rules), known_hull(form))
    (told,) = [one.text for one in job.warnings if one.where == "mould aft"]
    up_to = low + (60.0 + 18.0 / np.cos(np.radians(14))) / np.tan(np.radians(14))
    assert told.startswith("the transom stands in its wood up to")
    assert float(told.split()[8]) == pytest.approx(up_to, abs=0.1)
    clear = float(told.split()[-4])
    assert told.endswith(f"set the whole mould forward of {clear} mm from FP.")
    # There the mould reaches down to the foot of the transom, which is thick square to its rake.
    assert clear == pytest.approx(float(foot[0]) - 18.0 / np.cos(np.radians(14)), abs=0.1)
    job = loft_round(round_boat(form, frames=moulds_at(form, places=(FramePlace("aft", clear),))), known_hull(form))
    assert not [one for one in job.warnings if "stands in its wood" in one.text]


def test_a_keel_of_another_siding_than_the_table_has_is_refused() -> None:
    form = FORMS["hollow"]
    boat = replace(round_boat(form), keel=RoundKeel(50.0, 80.0, 40.0, "white oak"))
    with pytest.raises(
        ShapeError, match=r"keel: sided 50\.0 mm, but the table ends the planking at a half-breadth of 18"
    ):
        loft_round(boat, known_hull(form))


def test_a_skin_that_dips_below_the_rabbet_leaves_a_mould_without_a_curl() -> None:
    """Where few figures hold the skin along the keel its inside can run out level, dip and cross that level again."""
    bottom = np.array([[-24.0, 100.0], [0.0, 100.0], [24.0, 100.0]])
    dipping = np.array([[24.0, 100.0], [26.0, 98.0], [22.0, 101.0], [23.0, 104.0], [80.0, 150.0], [200.0, 400.0]])
    outer = Outer((("side", dipping),), bottom, None, (False,), round=True)
    edge = inner_of_both(outer, outer).outer.half
    assert shapely.is_simple(shapely.LineString(edge))
    assert np.allclose(edge[[0, -1]], [[0.0, 100.0], [200.0, 400.0]])


def test_a_mould_tells_of_a_notch_where_one_is_cut_and_only_there() -> None:
    """A bevelled bottom edge may lie below the stem's top on one face and above it on the other: no notch is cut."""
    read, _ = sample("withywater")
    assert read.boat.frames is not None
    early = replace(
        read.boat.frames, bevelled=True, places=tuple(FramePlace(f"{x} mm", x) for x in (440.0, 600.0, 900.0))
    )
    job = loft(replace(read.boat, frames=early))
    for part in (one for one in job.parts if one.role is Role.MOULD):
        told = any("notch for the" in remark for remark in part.remarks)
        assert told == any(edge.kind is EdgeKind.NOTCH for edge in part.edges), part.title
    (words,) = seat_words([Seat("keel", top=150.4, half=15.0, deep=1.7)], "mm")
    assert words.startswith("The keel's top lies 1.7 mm above the bottom edge of this face: plane the edge")


def test_a_bottom_as_wide_as_its_notch_leaves_no_speck_of_an_edge_on_one_face() -> None:
    """The keel is as wide as the bottom, and its half siding comes out of a fit: a hair more or less on each face."""

    def face(hair: float) -> Shape:
        low = 18.0 + hair
        corners = [("bottom", -low, 0.0), ("side", low, 0.0), ("top", 60.0, 80.0), ("port", -60.0, 80.0)]
        after = [*corners[1:], corners[0]]
        lines = [
            Line(name, np.array([[y, z], [to, up]])) for (name, y, z), (_, to, up) in zip(corners, after, strict=True)
        ]
        notch = np.array([[-18.0, -50.0], [18.0, -50.0], [18.0, 20.0], [-18.0, 20.0]])
        return shape_of(lines).without(notch, "notch")

    check_alike(face(1e-5), face(-1e-5))
    assert [line.name for line, _ in face(1e-5).runs] == ["side", "top", "port", "notch", "notch", "notch"]
