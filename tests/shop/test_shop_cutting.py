"""What is cut of a part: which face, notches eased, corners relieved, places out of reach, tabs and pilot holes."""

from __future__ import annotations

from dataclasses import replace

import numpy as np
import plate_parts
import pytest
import shapely
import shapely.affinity
from hypothesis import given, settings
from hypothesis import strategies as st
from parts_to_cut import SQUARE, block, joined_panel, made, notched

from patterns.drawing.engraving import engraved, plain
from patterns.geometry.arc_lines import ArcLine, circle, straight
from patterns.geometry.arrays import Floats
from patterns.parts.asked.joint_rules import JointKind
from patterns.parts.part import Bevel, Edge, Mark, Note, Part
from patterns.parts.role import EdgeKind, MarkKind, Role
from patterns.shop.router.contours import Contours, Scored
from patterns.shop.router.cut_lines import cut_edges
from patterns.shop.router.cutter import relieved, unreachable
from patterns.shop.router.proof import NotFitToCutError, prove
from patterns.shop.router.router_parts import cautions_of, ready_to_cut, wholes_apart
from patterns.shop.router.router_rules import CutTo, Relief, RouterRules

RULES = RouterRules()
HAIR = 1e-4  # mm; what rounding leaves between two lines that are one


@pytest.mark.parametrize(
    ("cut", "size"),
    [(CutTo.FINISHED, (300.0, 200.0)), (CutTo.LARGER, (308.0, 203.0)), (CutTo.SMALLER, (298.0, 196.0))],
)
def test_a_bevelled_board_is_cut_to_the_face_asked_for(cut: CutTo, size: tuple[float, float]) -> None:
    """Right and left stand out by 5 and 3, the top by 3; bottom lies under by 4, so that both faces have a say."""
    part = block((-4.0, 5.0, 3.0, 3.0)) if cut is not CutTo.SMALLER else block((-4.0, -2.0, 3.0, 3.0))
    low, high = made(part, RouterRules(cut=cut)).bounds
    np.testing.assert_allclose(high - low, size, atol=1e-6)


def test_edges_cut_to_different_faces_meet_in_one_corner() -> None:
    """Where one edge follows the far face and the next the near one, both are run on until they meet."""
    outer = made(block((-4.0, 5.0, -3.0, 0.0)), RouterRules()).outer
    np.testing.assert_allclose(sorted(outer.points.tolist()), [[0, 0], [0, 200], [305, 0], [305, 200]], atol=1e-6)


def test_an_edge_whose_bevel_changes_sides_leaves_wood_for_both_faces() -> None:
    x = np.linspace(0.0, 300.0, 61)
    near, far = np.column_stack([x, 0 * x]), np.column_stack([x, (x - 150.0) / 50.0])
    runs = (Bevel(0.0, 0.15, 3.0), Bevel(150.0, 0.0, 0.0), Bevel(300.0, -0.15, -3.0))
    part = block((0.0, 0.0, 0.0, 0.0))
    part = replace(part, edges=(Edge("bottom", near, far, runs), *part.edges[1:]))
    wood = made(part, RouterRules()).wood
    both = shapely.Polygon(part.outline).union(shapely.Polygon([*far.tolist(), [300, 200], [0, 200]]))
    assert wood.area == pytest.approx(both.area, abs=0.5)
    assert wood.buffer(0.01).contains(shapely.affinity.translate(both, 0.0, 3.0))


def test_what_is_not_cut_of_a_bevel_is_scored_and_its_amount_engraved() -> None:
    standing, under = made(block((4.0, 4.0, 4.0, 4.0)), RouterRules()), made(block((-4.0,) * 4), RouterRules())
    assert {score.layer for score in standing.scored} == {"mark"}
    assert {score.layer for score in under.scored} == {"far-face", "mark"}
    assert len(under.lettering.counts) > 100


def test_a_notch_is_wider_by_its_clearance_and_no_deeper() -> None:
    exact = made(notched(width=40.0, depth=60.0), RouterRules()).outer
    eased = made(notched(width=40.0, depth=60.0), RouterRules(clearance=0.4)).outer
    slot = sorted(point for point in eased.points.tolist() if 0 < point[0] < 300)
    np.testing.assert_allclose(slot, [[129.8, 140], [129.8, 200], [170.2, 140], [170.2, 200]], atol=1e-6)
    assert exact.area - eased.area == pytest.approx(0.4 * 60.0)


@pytest.mark.parametrize("relief", [Relief.CORNER, Relief.SIDE])
def test_relief_lets_a_square_piece_seat_and_the_cutter_pass(relief: Relief) -> None:
    cutter = 6.35
    part = made(notched(), RouterRules(cutter=cutter, relief=relief))
    arcs = part.outer.turns < 0
    assert arcs.sum() == 2
    assert (part.outer.radii[arcs] >= cutter / 2).all()
    # The circle runs through the corner or its far side beyond it: the whole square notch is open.
    assert shapely.box(130.0, 140.0, 170.0, 200.0).intersection(part.wood).area < 1e-3
    assert not list(unreachable(part.wood, (part.outer,), cutter=cutter))
    assert not part.cautions


def test_relief_along_one_side_leaves_the_other_whole() -> None:
    """The slot is deeper than broad: its walls are opened, its bottom is not."""
    part = made(notched(), RouterRules(cutter=6.0, relief=Relief.SIDE))
    low = shapely.box(130.5, 139.0, 169.5, 139.99)
    assert part.wood.contains(low)
    assert not part.wood.contains(shapely.Point(129.0, 142.0))


def test_corners_left_sharp_are_told_with_their_place() -> None:
    part = made(notched(), RouterRules(cutter=6.0, relief=Relief.NONE))
    # Both leave as much; a page of places for every part is not read.
    assert part.cautions == (
        "an inside corner is sharp for the 6.0 mm cutter at 130.0 mm, 140.0 mm from the file's corner: wood stays "
        "there, the most of 2 such places",
    )
    assert len(cautions_of([part, part])) == 1


def test_no_cutter_named_is_told_where_there_are_inside_corners() -> None:
    assert "a round cutter cannot reach into their inside corners" in made(notched(), RouterRules()).cautions[0]
    assert not made(block((0.0,) * 4), RouterRules()).cautions


def test_a_hole_smaller_than_the_cutter_and_a_narrow_slot_are_told() -> None:
    turn = np.linspace(0.0, 2 * np.pi, 121)[:-1]
    hole = np.column_stack([60 + 2.0 * np.cos(turn), 60 + 2.0 * np.sin(turn)])
    part = made(replace(block((0.0,) * 4), holes=(hole,)), RouterRules(cutter=6.0))
    [text] = part.cautions
    assert text.startswith("an inside radius is only 2.0 mm for the 6.0 mm cutter")
    slot = made(notched(width=4.0), RouterRules(cutter=6.0))
    assert slot.cautions


def test_a_hollow_edge_gentler_than_the_cutter_is_followed() -> None:
    wood = straight(np.array([[0.0, 0], [300, 0], [300, 200], [0, 200]]), closed=True)
    hole = circle((100.0, 100.0), 3.2)
    clockwise = ArcLine(hole.points[::-1], -hole.bulges, closed=True)
    polygon = shapely.Polygon(wood.flat(), [clockwise.flat()])
    assert not list(unreachable(polygon, (wood, clockwise), cutter=6.35))
    assert relieved(clockwise, cutter=6.35, relief=Relief.CORNER).area == clockwise.area


def test_tabs_stand_off_corners_and_from_each_other() -> None:
    rules = RouterRules(tabs=5, tab_length=12.0, tab_height=3.0)
    part = made(notched(), rules)
    tabs = [score.line for score in part.scored if score.layer == "tab"]
    assert len(tabs) == 5
    corners = shapely.MultiPoint(part.outer.points)
    for k, tab in enumerate(tabs):
        line = shapely.LineString(tab.points)
        assert line.length == pytest.approx(12.0, abs=0.05)
        assert line.distance(corners) > 9.0
        assert part.outer.closed
        assert line.distance(part.wood.exterior) == pytest.approx(1.0, abs=0.05)
        assert all(line.distance(shapely.LineString(other.points)) > 9.0 for other in tabs[k + 1 :])


def test_tabs_keep_off_tight_curves() -> None:
    """A limber of 12 mm radius in the lower edge: a straight bridge would stand half across it."""
    board = block((0.0,) * 4)
    turn = np.linspace(np.pi, 0.0, 65)
    limber = np.column_stack([40 + 12 * np.cos(turn), 12 * np.sin(turn)])
    x = ([0.0, 0], [28.0, 0], [52.0, 0], [300.0, 0])
    lower = [np.array([x[0], x[1]]), limber, np.array([x[2], x[3]])]
    edges = tuple(
        Edge(name, line, line, SQUARE) for name, line in zip(("bottom", "limber", "bottom"), lower, strict=True)
    )
    part = made(replace(board, edges=(*edges, *board.edges[1:])), RouterRules(tabs=21, tab_length=12.0, tab_height=2.0))
    hole = shapely.Point(40.0, 0.0).buffer(12.5)
    tabs = [shapely.LineString(score.line.points) for score in part.scored if score.layer == "tab"]
    assert len(tabs) > 10
    assert not any(tab.intersects(hole) for tab in tabs)


def test_pilot_holes_stand_in_the_wood_under_the_panel() -> None:
    panel = plate_parts.side_panel()
    rules = RouterRules(
        pilot=2.4, pilot_edge=9.5, pilot_spacing=63.5, frame_spacing=127.0, frame_sided=19.0
    )  # fmt: skip
    part = made(panel, rules)
    places = np.array([hole.at for hole in part.drilled])
    assert len(places) > 100
    edge = part.wood.exterior
    assert min(edge.distance(shapely.Point(place)) for place in places) > 9.0
    apart = np.hypot(*(places[:, None] - places[None]).transpose(2, 0, 1)) + 1e9 * np.eye(len(places))
    assert apart.min() >= 12.0
    shift = made(panel, RouterRules()).bounds[0] - panel.outline.min(axis=0)
    line = shapely.LineString(panel.marks[2].points + shift)
    beside = [place for place in places if line.distance(shapely.Point(place)) < 9.6]
    # In the middle of the frame's 19 mm, on the side its X stands.
    assert len(beside) >= 4
    inner = [place for place in beside if 40 < line.project(shapely.Point(place)) < line.length - 40]
    assert all(line.distance(shapely.Point(place)) == pytest.approx(9.5, abs=0.1) for place in inner)
    assert all(place[0] > line.interpolate(line.project(shapely.Point(place))).x for place in inner)
    assert not made(panel, RouterRules()).drilled


def test_frames_are_not_bored() -> None:
    assert not made(plate_parts.frame(), RouterRules(pilot=2.4, pilot_edge=9.5, pilot_spacing=60.0)).drilled


def test_two_parts_never_share_a_file() -> None:
    from patterns.errors import ShapeError

    parts = [replace(plate_parts.frame(), name=name) for name in ("frame 3/4", "frame 3 4")]
    with pytest.raises(ShapeError, match="'frame 3/4' and 'frame 3 4' would have the same file"):
        ready_to_cut(parts, RouterRules(), boat="Test", show="mm")


def test_file_names_say_what_to_cut() -> None:
    assert made(plate_parts.rail(), RouterRules()).file_name == "test-boat-inwale-port-white-oak-19mm-2off"


def engraves(part: Contours, words: str) -> bool:
    """Whether the strokes of words stand one after another among a part's."""
    spelled = engraved(plain(words), (0.0, 0.0), size=10.0)[1]
    counts = part.lettering.counts
    return any(counts[place : place + len(spelled)] == spelled for place in range(len(counts)))


def test_a_material_without_strokes_is_told_and_the_thickness_engraved() -> None:
    part = made(replace(plate_parts.frame(), material="ağac ə"), RouterRules())
    [told] = part.cautions[:1]
    assert told == (
        "the router cannot engrave '19 mm ağac ə', which has letters without single strokes: it engraves '19 mm'"
    )
    assert part.lettering.counts


def test_a_name_without_strokes_is_engraved_by_number_and_plain_english_and_told() -> None:
    parts = [replace(plate_parts.frame(), name="frame ə"), replace(plate_parts.rail(), name="ə", role=Role.STRINGER)]
    frame, rail = ready_to_cut(parts, RouterRules(), boat="Test", show="mm", numbers={"frame ə": 7, "ə, port": 12})
    assert "it engraves 'part 7: frame'" in frame.cautions[0]
    assert "it engraves 'part 12: stringer, port'" in rail.cautions[0]
    assert len(cautions_of([frame, rail])) >= 2
    assert engraves(rail, "part 12: stringer, port")


@pytest.mark.parametrize("name", ["чайка", "Πεύκο", "Frêne ấ"])
def test_names_in_other_alphabets_are_engraved_as_they_are(name: str) -> None:
    part = made(replace(plate_parts.frame(), name=name, material=name), RouterRules())
    assert not [text for text in part.cautions if "engrave" in text]
    assert engraves(part, name)


def spoilt(what: str) -> Contours:
    part = made(block((0.0,) * 4), RouterRules())
    points: Floats = part.outer.points
    match what:
        case "crosses itself":
            return replace(part, outer=straight(points[[0, 2, 1, 3]], closed=True))
        case "not closed":
            return replace(part, outer=straight(points))
        case "a run of 0.0100 mm":
            return replace(part, outer=straight(np.insert(points, 1, points[0] + (0.01, 0.0), axis=0), closed=True))
        case "runs the wrong way round":
            return replace(part, outer=straight(points[::-1], closed=True))
        case "a line is drawn twice":
            scored = Scored("mark", straight(np.array([[50.0, 50], [90, 50]])))
            return replace(part, scored=(scored, scored))
        case "something is scored beside the wood":
            return replace(part, scored=(Scored("mark", straight(np.array([[50.0, 50], [900, 50]]))),))
        case "holes cross the outline":
            hole = circle((0.0, 50.0), 20.0)
            return replace(part, inner=(ArcLine(hole.points[::-1], -hole.bulges, closed=True),))
    raise AssertionError(what)


@pytest.mark.parametrize(
    "what",
    [
        "crosses itself", "not closed", "a run of 0.0100 mm", "runs the wrong way round", "a line is drawn twice",
        "something is scored beside the wood", "holes cross the outline",
    ],
)  # fmt: skip
def test_contours_gone_wrong_are_never_written(what: str) -> None:
    with pytest.raises(NotFitToCutError, match=what):
        prove(spoilt(what))


def test_marks_and_notes_of_planking_find_each_other_when_mirrored() -> None:
    """Wood aft of a frame's line on one hand lies aft of it on the other."""
    x = np.array([[0.0, 0], [400, 0], [400, 300], [0, 300], [0, 0]])
    edges = tuple(Edge(name, x[k : k + 2], x[k : k + 2], SQUARE) for k, name in enumerate(("chine", "a", "sheer", "b")))
    marks = (Mark("frame 1", np.array([[200.0, 0], [200, 300]]), MarkKind.FRAME),)
    rules = RouterRules(pilot=2.0, pilot_edge=10.0, pilot_spacing=500.0, frame_spacing=100.0, frame_sided=20.0)
    for way in (1.0, -1.0):
        panel = Part(
            *("side panel", "port", 9.0, "ply", "inside face", edges, marks),
            notes=(Note("X", (200 + 14 * way, 150.0)),),
            role=Role.PANEL,
        )
        inner = [hole.at for hole in made(panel, rules).drilled if 30 < hole.at[1] < 270 and 100 < hole.at[0] < 300]
        assert inner
        assert all(place[0] == pytest.approx(200 + 10 * way) for place in inner)


@pytest.mark.parametrize("size", [0.0, 1e-7, 0.03])
def test_an_edge_left_without_length_is_a_corner(size: float) -> None:
    """Its neighbours, run on to meet it, have left nothing to cut: they meet."""
    corners = np.array([[0.0, 0], [100, 0], [100, 50 - size], [100 - size, 50], [0, 50], [0, 0]])
    edges = tuple(
        Edge(name, corners[k : k + 2], corners[k : k + 2], SQUARE)
        for k, name in enumerate(("lower", "after end", "sliver", "upper", "fore end"))
    )
    runs = cut_edges(Part("board", "none", 9.0, "ply", "top", edges, role=Role.THWART), RouterRules())
    assert len(runs) == 4
    for run, after in zip(runs, (*runs[1:], runs[0]), strict=True):
        np.testing.assert_array_equal(run[-1], after[0])


@pytest.mark.parametrize("ends", ["first", "last"])
def test_an_edge_whose_far_line_ends_before_it_crosses_the_near_one_is_cut_without_turning_back(ends: str) -> None:
    """As at the bow of a bottom whose sides are square and whose stem edge is bevelled."""
    side = [[300.0, 0], [40, 0], [10, 0], [2, 0], [0, -0.02]], [[300.0, -10], [40, -HAIR], [10, -HAIR], [8, -HAIR]]
    near = side[0], [[0.0, -0.02], [0, -80]], [[0.0, -80], [300, -80]], [[300.0, -80], [300, 0]]
    far = side[1], [[8.0, -HAIR], [8, -80]], [[8.0, -80], [300, -80]], [[300.0, -80], [300, -10]]
    bevels = Bevel(0.0, -0.6, -10.0), Bevel(300.0, 0.0, 0.02)
    edges = [Edge(str(k), np.array(a), np.array(b), bevels) for k, (a, b) in enumerate(zip(near, far, strict=True))]
    if ends == "first":  # the same part turned over
        over = np.array([1.0, -1.0])
        edges = [replace(one, points=one.points[::-1] * over, far=one.far[::-1] * over) for one in edges[::-1]]
    rules = RouterRules(cut=CutTo.LARGER)
    polygon = shapely.Polygon(np.concatenate(cut_edges(replace(block((0.0,) * 4), edges=tuple(edges)), rules)))
    assert polygon.is_valid
    assert polygon.length == pytest.approx(2 * (300.0 + 80.0), abs=0.1)


def test_walls_drawn_as_edges_of_their_own_are_eased_as_one_notch() -> None:
    """Frames name each wall of a notch alike; where the first edge begins does not matter."""
    board = notched(width=40.0, depth=60.0)
    slot = next(edge for edge in board.edges if edge.name.startswith("notch"))
    walls = [replace(slot, points=slot.points[k : k + 2], far=slot.far[k : k + 2]) for k in range(3)]
    before, after = board.edges[:3], board.edges[4:]
    for edges in ((*before, *walls, *after), (*walls[1:], *after, *before, walls[0])):
        eased = made(replace(board, edges=edges), RouterRules(clearance=0.4)).outer
        slot_points = sorted(point for point in eased.points.tolist() if 0 < point[0] < 300)
        np.testing.assert_allclose(slot_points, [[129.8, 140], [129.8, 200], [170.2, 140], [170.2, 200]], atol=1e-6)


def test_a_corner_cut_off_short_is_relieved_as_one() -> None:
    """A chamfer of 1 mm across an inside corner leaves no room for two reliefs, and wants only one."""
    points = np.array([[0.0, 0], [300, 0], [300, 100], [151, 100], [150, 101], [150, 200], [0, 200]])
    line = relieved(straight(points, closed=True), cutter=6.0, relief=Relief.CORNER)
    assert (line.turns < 0).sum() == 1
    wood = shapely.Polygon(line.flat())
    assert not list(unreachable(wood, (line,), cutter=6.0))
    assert wood.area == pytest.approx(shapely.Polygon(points).area, abs=3.0**2 * np.pi)


@pytest.mark.parametrize("kind", [JointKind.SCARF, JointKind.TOOTHED, JointKind.BUTT])
def test_no_pilot_hole_is_bored_where_pieces_are_glued_to_each_other(kind: JointKind) -> None:
    rules = RouterRules(pilot=2.4, pilot_edge=9.5, pilot_spacing=63.5, frame_spacing=127.0, frame_sided=19.0)
    joined = joined_panel(kind)
    [joint] = joined.joints
    for piece, end in zip(joined.pieces, (1, 0), strict=True):
        bored = made(piece, rules)
        # The joint's end is the piece's own: its other end may be cut outside the marked face's line.
        edge = bored.bounds[end][0]
        from_end = np.abs(np.array([hole.at[0] for hole in bored.drilled]) - edge)
        assert len(from_end) > 40
        beside = np.count_nonzero(np.abs(from_end - 9.5) < 0.5)
        if kind is JointKind.SCARF:
            assert from_end.min() > joint.overlap + 11.0
        else:
            # A butt is fastened to its block all along; a key to nothing.
            assert beside > 5 if kind is JointKind.BUTT else beside < 3
    assert not any(made(block, rules).drilled for block in joined.blocks)


def test_a_line_that_runs_along_another_is_scored_once() -> None:
    across, twice = np.array([[20.0, 100], [280, 100]]), np.array([[10.0, 100.02], [200, 100.02]])
    crossing = np.array([[150.0, 20], [150, 180]])
    marks = tuple(Mark(name, line) for name, line in (("a", across), ("b", twice), ("c", crossing)))
    part = replace(block((0.0, 0.0, 0.0, 0.0)), marks=marks)
    runs = [shapely.LineString(score.line.points) for score in made(part, RouterRules()).scored]
    assert sorted(round(run.length) for run in runs) == [10, 160, 260]


@given(
    turns=st.lists(st.floats(-2.9, 2.9).filter(lambda turn: abs(turn) > 1e-3), min_size=3, max_size=6),
    turned=st.floats(0, 6.28),
)
@settings(max_examples=30, deadline=None)
def test_bounds_take_in_what_arcs_reach_past_their_ends(turns: list[float], turned: float) -> None:
    angle = turned + np.arange(len(turns)) * 2 * np.pi / len(turns)
    points = 500 * np.stack([np.cos(angle), np.sin(angle)], axis=1)
    line = ArcLine(points, np.tan(np.array(turns) / 4), closed=True)
    low, high = line.bounds
    dense = line.flat(1e-5)
    np.testing.assert_allclose(low, dense.min(axis=0), atol=2e-5)
    np.testing.assert_allclose(high, dense.max(axis=0), atol=2e-5)


def test_a_whole_that_is_cut_in_pieces_has_a_file_no_shop_takes_for_one_to_cut() -> None:
    whole, piece = replace(notched(), name="frame 1"), replace(notched(), name="frame 1 floor timber")
    made_both = ready_to_cut([whole, piece], RouterRules(), boat="Test", show="mm")
    apart = wholes_apart(made_both, [piece])
    assert apart[0].file_name.startswith("whole/test-frame-1-")
    assert apart[0].file_name.endswith("-cut-in-pieces")
    assert apart[1] is made_both[1]


def test_a_corner_board_with_a_notch_at_its_head_is_cut_alike_on_both_hands() -> None:
    """An inwale's notch in the heads of fashion pieces: its short wall reaches the long one only once it is run on."""
    runs = {
        "bottom": ([[-400, 0], [-100, 0]], [[-420, -20], [-100, -20]]),
        "inner": ([[-100, 0], [-100, 585]], [[-100, -20], [-100, 585]]),
        "top": ([[-100, 585], [-142, 585]], [[-100, 585], [-168, 585]]),
        "notch inwale": ([[-142, 585], [-137, 554.5], [-160, 544.8]], [[-168, 585], [-159, 535.2], [-182, 525.3]]),
        "side": ([[-160, 544.8], [-400, 0]], [[-182, 525.3], [-420, -20]]),
    }
    bevels, kinds = (Bevel(0.0, 0.6, 20.0), Bevel(100.0, 0.6, 20.0)), {"notch inwale": EdgeKind.NOTCH}
    edges = [
        Edge(name, np.array(near, float), np.array(far, float), bevels, kinds.get(name, EdgeKind.NET))
        for name, (near, far) in runs.items()
    ]
    over = np.array([-1.0, 1.0])
    turned = [replace(one, points=one.points[::-1] * over, far=one.far[::-1] * over) for one in edges[::-1]]
    port, starboard = (
        shapely.Polygon(np.concatenate(cut_edges(replace(block((0.0,) * 4), edges=tuple(each)), RULES)))
        for each in (edges, turned)
    )
    assert port.is_valid
    assert starboard.is_valid
    assert shapely.affinity.scale(port, -1.0, 1.0, origin=(0, 0)).symmetric_difference(starboard).area < 1e-6
