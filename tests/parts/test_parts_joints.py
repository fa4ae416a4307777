"""Long panels from shorter sheets: pieces that make the whole, joints that match, places a builder would choose."""

from __future__ import annotations

from dataclasses import replace

import numpy as np
import pytest
import shapely
from boats import saltmeadow
from hypothesis import given, settings
from hypothesis import strategies as st

from patterns.errors import ShapeError
from patterns.parts.asked.joint_rules import JointKind, JointRule, JointRules, JointSizes, PanelJoints
from patterns.parts.edges import make_edge, mirrored
from patterns.parts.panels.joint_places import Bend, check_places, choose_places
from patterns.parts.panels.joints import JoinedPanel, join
from patterns.parts.part import Mark, Part
from patterns.parts.role import MarkKind, Role
from patterns.parts.whole import Job, loft
from patterns.shop.router.cut_lines import cut_edges
from patterns.shop.router.router_rules import RouterRules

SHEET = JointSizes(longest=2413.0)
KINDS = (JointKind.SCARF, JointKind.BUTT, JointKind.TOOTHED)
LENGTH = 4600.0
THICKNESS = 9.5


def panel() -> Part:
    """A side panel of plain curves: its lower edge a parabola, its after end raked, its lower edge bevelled."""
    x = np.linspace(0.0, LENGTH - 200.0, 200)
    lower = np.stack([x, 60 * (2 * x / LENGTH - 1) ** 2], axis=1)
    upper = np.stack([np.linspace(LENGTH, 0.0, 200), np.full(200, 560.0)], axis=1)

    def edge(name: str, points: np.ndarray, run: float = 0.0) -> object:
        return make_edge(name, points, points - (0.0, run), thickness=THICKNESS)

    edges = (
        edge("chine", lower, 2.0),
        edge("transom", np.stack([lower[-1], upper[0]])),
        edge("sheer", upper),
        edge("stem", np.stack([upper[-1], lower[0]])),
    )
    frame = Mark("frame 4", np.array([[2300.0, 10.0], [2300.0, 555.0]]), MarkKind.FRAME)
    what = ("side panel", "starboard", THICKNESS, "marine plywood", "inside face")
    return Part(*what, edges, marks=(frame,), role=Role.PANEL)  # type: ignore[arg-type]


def wood(part: Part) -> shapely.Polygon:
    return shapely.Polygon(part.outline)


def length(part: Part) -> float:
    return float(np.ptp(part.outline[:, 0]))


def joined(kind: JointKind, *places: float, part: Part | None = None, sizes: JointSizes = SHEET) -> JoinedPanel:
    return join(part or panel(), kind, places, sizes, taken=False)


@given(kind=st.sampled_from(KINDS), places=st.lists(st.floats(500, 4000), min_size=1, max_size=3), port=st.booleans())
@settings(max_examples=25, deadline=None)
def test_pieces_less_their_overlaps_are_as_long_as_the_panel(kind: JointKind, places: list[float], port: bool) -> None:
    whole = mirrored(panel()) if port else panel()
    places = sorted(places)
    if min(np.diff(places), default=1e3) < 250:
        return
    made = joined(kind, *places, part=whole)
    assembled = sum(map(length, made.pieces)) - sum(joint.overlap for joint in made.joints)
    # A key's pieces stand apart by the clearance.
    if kind is JointKind.TOOTHED:
        assembled += len(places) * SHEET.tooth_clearance
    assert assembled == pytest.approx(length(whole), abs=0.05)
    assert all(wood(piece).is_valid and shapely.LinearRing(piece.outline).is_ccw for piece in made.pieces)
    cover = shapely.union_all([wood(piece) for piece in made.pieces])
    lost = wood(whole).symmetric_difference(cover.buffer(0.11).buffer(-0.11)).area
    assert lost < 40.0  # mm2 of 2.3 m2: ends of a key's clearance, and what thinned lines leave out


@given(at=st.floats(600, 3900), ratio=st.floats(6, 12))
@settings(max_examples=20, deadline=None)
def test_both_faces_of_a_scarf_are_one_plane(at: float, ratio: float) -> None:
    """Each piece tapers from where its scarf begins, full thickness, to the end of the other: to nothing."""
    made = joined(JointKind.SCARF, at, sizes=replace(SHEET, scarf_ratio=ratio))
    fore, after = made.pieces
    fore_end, after_end = fore.outline[:, 0].max(), after.outline[:, 0].min()
    begins = {mark.name: mark.points[:, 0] for piece in made.pieces for mark in piece.marks}
    assert begins["scarf begins on this face"] == pytest.approx(after_end, abs=1e-9)
    assert begins["scarf begins behind"] == pytest.approx(fore_end, abs=1e-9)
    assert fore_end - after_end == pytest.approx(ratio * THICKNESS, abs=1e-9)


@pytest.mark.parametrize("cutter", [3.175, 6.35, 12.7])
def test_a_keys_teeth_fit_with_their_clearance_and_a_cutter_reaches_every_corner(cutter: float) -> None:
    made = joined(JointKind.TOOTHED, 2000.0, sizes=replace(SHEET, cutter=cutter, tooth_clearance=0.3))
    fore, after = map(wood, made.pieces)
    assert fore.distance(after) == pytest.approx(0.3, abs=0.01)
    # Nowhere wider than the clearance either: grown by it, each touches the other all along the teeth.
    line = made.joints[0].fore.teeth
    assert shapely.distance(shapely.points(line), after).max() == pytest.approx(0.3, abs=0.01)
    for piece in (fore, after):
        # What a cutter outside the piece cannot clear away stays in its inside corners.
        left_standing = piece.buffer(cutter / 2, quad_segs=64).buffer(-cutter / 2, quad_segs=64).difference(piece)
        assert left_standing.area < 0.5


def test_a_butt_block_reaches_both_ways_and_stays_clear_of_the_long_edges() -> None:
    made = joined(JointKind.BUTT, 2000.0, sizes=replace(SHEET, block_clear=60.0))
    (block,) = made.blocks
    low, high = block.outline.min(axis=0), block.outline.max(axis=0)
    assert (low[0], high[0]) == pytest.approx((2000 - 12 * THICKNESS, 2000 + 12 * THICKNESS))
    assert wood(panel()).exterior.distance(wood(block)) == pytest.approx(60.0, abs=1.0)


def test_marks_of_the_panel_lie_on_the_piece_they_fall_on_and_the_alignment_line_on_both() -> None:
    fore, after = joined(JointKind.SCARF, 2100.0).pieces
    on_fore, on_after = ({mark.name for mark in piece.marks} for piece in (fore, after))
    assert "frame 4" not in on_fore
    assert "frame 4" in on_after
    assert "alignment line" in on_fore & on_after
    lines = [mark.points for piece in (fore, after) for mark in piece.marks if mark.name == "alignment line"]
    assert np.ptp(np.concatenate(lines)[:, 1]) == 0.0


def test_an_alignment_line_never_lies_on_the_centre_line_and_the_pattern_tells_of_its_pieces() -> None:
    middle = Mark("center line", np.array([[0.0, 280.0], [4600.0, 280.0]]))
    whole = replace(panel(), marks=(middle,))
    made = joined(JointKind.SCARF, LENGTH / 2, part=whole)
    [line] = [mark.points for mark in made.panel.marks if mark.name == "alignment line"]
    assert abs(line[0, 1] - 280.0) > 50.0
    assert any(remark.startswith("Cut in 2 pieces. No pattern of a piece") for remark in made.panel.remarks)


def test_pieces_of_many_are_counted_from_forward() -> None:
    names = [piece.name for piece in joined(JointKind.BUTT, 1000.0, 2000.0, 3000.0).pieces]
    assert names[1] == "side panel piece 2 of 4 from forward"


def ask(
    kind: JointKind | None = JointKind.SCARF, *at: float, stagger: float = 0.0, longest: float = 2413.0
) -> PanelJoints:
    return PanelJoints("side", JointRule(kind, at, stagger), replace(SHEET, longest=longest), "[planking.side]")


FLAT = Bend(np.array([0.0, LENGTH]), np.array([1e-3, 1e-3]))
NO_FRAMES = np.zeros((0, 2))


def test_joints_are_as_few_as_the_sheets_allow_and_every_piece_fits() -> None:
    for longest, count in ((4000.0, 1), (2413.0, 1), (2300.0, 2), (1300.0, 3)):
        places = choose_places(panel(), ask(longest=longest), JointKind.SCARF, bend=FLAT, zones=NO_FRAMES)
        assert len(places) == count
        check_places(panel(), ask(None, *places, longest=longest), JointKind.SCARF, places)


def test_a_fore_piece_fits_its_sheet_where_a_square_cutter_makes_it_longer_than_either_face() -> None:
    """Its bow a point of 20 degrees, the lower edge larger on the far face and the sheer on the marked one.

    The point that is cut lies 2 mm / tan(20 degrees) ahead of both: a V bottom was joined to pieces that no sheet held.
    """
    rise, run = LENGTH * np.tan(np.radians(20.0)), 2.0
    bow, foot, head = np.array([[0.0, 0.0], [LENGTH, 0.0], [LENGTH, rise]])

    def edge(name: str, *points: np.ndarray, inward: float = 0.0) -> object:
        line = np.linspace(*points, 50)
        return make_edge(name, line, line + np.array([0.0, inward]), thickness=THICKNESS)

    edges = edge("chine", bow, foot, inward=-run), edge("transom", foot, head), edge("sheer", head, bow)
    pointed = replace(panel(), edges=edges, marks=())
    (at,) = choose_places(pointed, ask(), JointKind.SCARF, bend=FLAT, zones=NO_FRAMES)
    fore = joined(JointKind.SCARF, at, part=pointed).pieces[0]
    cut = np.concatenate(cut_edges(fore, RouterRules()))
    assert cut[:, 0].min() == pytest.approx(-run / np.tan(np.radians(20.0)), abs=0.01)
    assert 2413.0 - 6.0 < np.ptp(cut[:, 0]) <= 2413.0


def test_joints_keep_off_frames_and_hard_bends_and_seek_the_after_part() -> None:
    longest = ask(longest=3500.0)
    (aftmost,) = choose_places(panel(), longest, JointKind.SCARF, bend=FLAT, zones=NO_FRAMES)
    assert aftmost == pytest.approx(3500 - 4 * THICKNESS, abs=5.0)
    hard_aft = Bend(np.array([0.0, 2800.0, 2900.0, LENGTH]), np.array([1e-4, 1e-4, 1e-3, 1e-3]))
    (flat,) = choose_places(panel(), longest, JointKind.SCARF, bend=hard_aft, zones=NO_FRAMES)
    assert 2700 < flat <= 2800
    frame = np.array([[aftmost - 30, aftmost - 10]])
    (clear,) = choose_places(panel(), longest, JointKind.SCARF, bend=FLAT, zones=frame)
    assert clear + 4 * THICKNESS < frame[0, 0]


def test_places_the_builder_gave_are_refused_with_figures_where_no_sheet_holds_the_piece() -> None:
    with pytest.raises(ShapeError) as told:
        check_places(panel(), ask(JointKind.SCARF, 1000.0), JointKind.SCARF, (1000.0,))
    assert str(told.value) == (
        "side panel, starboard: [planking.side] joint_at: piece 2 from forward is 3638.0 mm long, "
        "and no sheet holds more than 2413.0 mm"
    )


def lofted(side: PanelJoints) -> Job:
    bottom = replace(ask(), strake="bottom", table="[planking.bottom]")
    return loft(replace(saltmeadow(), joints=JointRules((side, bottom))))


def joint_places(job: Job) -> dict[str, list[float]]:
    return {one.panel.title: [joint.at for joint in one.joints] for one in job.long_panels.joined}


def test_the_sample_skiff_is_joined_between_frames_and_staggered_where_asked() -> None:
    job = lofted(ask(stagger=60.0))
    places = joint_places(job)
    assert len(places) == 3
    assert abs(places["side panel, port"][0] - places["side panel, starboard"][0]) >= 60.0
    for one in job.long_panels.joined:
        frames = [mark.points[:, 0].mean() for mark in one.panel.marks if mark.name.startswith("frame ")]
        assert all(abs(joint.at - x) > joint.reach + 20 for joint in one.joints for x in frames)
        assert all(np.ptp(piece.outline[:, 0]) <= 2413.0 for piece in one.pieces)
    titles = [part.title for part in job.to_cut]
    assert "side panel fore piece, port" in titles
    assert "side panel, port" not in titles
    assert "side panel, port" in [part.title for part in job.parts]


def test_no_joint_for_a_panel_too_long_is_an_error_with_the_figures() -> None:
    with pytest.raises(ShapeError) as told:
        lofted(ask(JointKind.NONE))
    assert "side panel, port: is 14' 11 11/16\" long" in str(told.value)
    assert "a sheet holds is 7' 11\", expected [planking.side] joint = 'scarf'" in str(told.value)
    assert "offsets" not in str(told.value)


def test_where_the_program_chose_and_finds_no_place_the_panel_is_whole_and_it_is_told() -> None:
    job = lofted(ask(None, longest=200.0))
    assert "side panel, port" not in joint_places(job)
    assert any(
        caution.where == "side panel, port" and "no place off the frames" in caution.text for caution in job.warnings
    )
