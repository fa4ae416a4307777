"""What parts, edges and marks say they are, and how they are asked for by name."""

from __future__ import annotations

import re
from pathlib import Path

import numpy as np
import plate_parts
import pytest
from boat_folders import EVERYTHING, changed
from sample_jobs import SAMPLES, sample
from two_chines import two_chined

from patterns.errors import UnknownNameError
from patterns.hull.build import Joint
from patterns.parts.asked.joint_rules import JointKind, JointSizes
from patterns.parts.edges import as_laid
from patterns.parts.panels.joints import join
from patterns.parts.panels.panels import panels
from patterns.parts.part import Edge, Mark, Part
from patterns.parts.role import TIMBERS, EdgeKind, MarkKind, Role
from patterns.parts.whole import loft
from patterns.reading.boat.boat_toml import read_boat
from patterns.shop.layout.layout_tables import worth_a_table
from patterns.tiling.roll.card_model import in_model

CALLED = {
    r"(side|strake \d+|bottom) panel": Role.PANEL,
    r"(side|bottom) panel (fore|middle|after) piece": Role.PANEL_PIECE,
    r"(side|bottom) panel butt block": Role.BUTT_BLOCK,
    r"frame \S+": Role.FRAME,
    r"mould \S+": Role.MOULD,
    r"(frame \S+|(bow )?transom framing) side timber": Role.SIDE_TIMBER,
    r"(frame \S+|(bow )?transom framing) floor timber": Role.FLOOR_TIMBER,
    r"frame \S+ gusset": Role.GUSSET,
    r"(bow )?transom": Role.TRANSOM,
    r"(bow )?transom framing": Role.FRAMING,
    r"stem|sternpost": Role.STEM,
    r"false (stem|sternpost)": Role.FALSE_STEM,
    r"chine log": Role.LOG,
    r"thwart \d+": Role.THWART,
    r"thwart \d+ knee|(bow )?quarter knee": Role.KNEE,
    r"(after )?breasthook": Role.BREASTHOOK,
    r"riser( \d+)?": Role.RISER,
    r"inwale|outwale|rub rail|keel batten|keelson|skeg": None,  # called as what they are
}
"""By what the builder reads on the pattern, what it is. All else are stringers, which he names himself."""


def called(part: Part) -> Role:
    for name, role in CALLED.items():
        if re.fullmatch(name, part.name):
            return role or Role(part.name)
    return Role.STRINGER


@pytest.mark.parametrize("name", SAMPLES)
def test_every_part_and_piece_of_a_boat_is_what_its_builder_reads_on_it(name: str) -> None:
    job = sample(name)[1]
    for part in (*job.parts, *job.pieces):
        assert part.role is called(part), part.title


@pytest.mark.slow
def test_long_pieces_a_skeg_and_the_framing_of_a_transom_are_what_they_are_asked_for_as(tmp_path: Path) -> None:
    job = loft(read_boat(changed("duckweed", tmp_path, {}, more=EVERYTHING)).boat)
    assert {part.title: part.role for part in job.parts} == {part.title: called(part) for part in job.parts}
    roles = {part.role for part in job.parts}
    assert roles >= {Role.STRINGER, Role.INWALE, Role.OUTWALE, Role.RUB_RAIL, Role.KEEL_BATTEN, Role.SKEG}
    assert roles >= {Role.FRAMING, *(TIMBERS - {Role.MOULD_PIECE}), Role.LOG, Role.THWART, Role.PANEL}


@pytest.mark.slow
def test_a_stringer_called_as_another_part_is_not_one(tmp_path: Path) -> None:
    """What a builder calls a piece says nothing of what it is."""
    more = EVERYTHING.replace("Fender lath", "lath by the side panel")
    job = loft(read_boat(changed("duckweed", tmp_path, {}, more=more)).boat)
    lath = job.part("lath by the side panel, port")
    assert (lath.role, lath.material_key) == (Role.STRINGER, "[[stringer]] material")
    assert lath not in job.timbers
    assert not in_model(lath)
    assert worth_a_table(lath)


@pytest.mark.parametrize("name", SAMPLES)
def test_both_hands_of_a_part_are_the_same_and_at_most_one_has_its_bow_drawn_to_the_right(name: str) -> None:
    job = sample(name)[1]
    ports = [part for part in (*job.parts, *job.pieces) if part.hand == "port"]
    assert ports
    for port in ports:
        starboard = job.part(f"{port.name}, starboard")
        assert (port.role, port.strake, port.material_key) == (starboard.role, starboard.strake, starboard.material_key)
        assert sorted(edge.kind for edge in port.edges) == sorted(edge.kind for edge in starboard.edges)
        assert not (port.upside_down and starboard.upside_down)
        words = [any("so the bow lies to the right" in one for one in part.remarks) for part in (port, starboard)]
        if port.role is not Role.PANEL_PIECE:
            assert words == [port.upside_down, starboard.upside_down]


@pytest.mark.parametrize("name", SAMPLES)
def test_a_piece_is_of_a_pattern_there_is_and_what_is_cut_holds_no_pattern_of_timbers(name: str) -> None:
    job = sample(name)[1]
    pieces = (Role.PANEL_PIECE, Role.BUTT_BLOCK, Role.SIDE_TIMBER, Role.FLOOR_TIMBER, Role.GUSSET)
    for part in (*job.parts, *job.pieces):
        assert bool(part.of) is (part.role in pieces), part.title
        if part.of:
            assert part.name.startswith(job.part(part.of).name)
    wholes = {timber.of for timber in job.timbers} | {joined.panel.title for joined in job.long_panels.joined}
    assert {part.title for part in job.parts} - {part.title for part in job.to_cut} == wholes


@pytest.mark.parametrize("laps", [Joint.LOWER_OVER, Joint.UPPER_OVER])
def test_a_panels_edges_know_the_chines_from_the_sheer_and_from_the_ends(laps: Joint) -> None:
    made = {part.title: part for part in panels(two_chined((laps, laps)), ())}
    marked = EdgeKind.LAPPING if laps is Joint.LOWER_OVER else EdgeKind.CHINE
    kinds = {
        title: {edge.name: edge.kind for edge in part.edges if edge.kind is not EdgeKind.NET}
        for title, part in made.items()
    }
    side, strake = {"chine 1": EdgeKind.CHINE}, {"chine 1": marked, "chine 2": EdgeKind.CHINE}
    bottom = dict.fromkeys(("chine 2 port", "chine 2 starboard"), EdgeKind.LAPPING)
    assert kinds == {
        **{f"side panel, {hand}": side for hand in ("port", "starboard")},
        **{f"strake 2 panel, {hand}": strake for hand in ("port", "starboard")},
        "bottom panel": bottom,
    }
    for part in made.values():  # where fastenings stand in from the next panel's inside, that line is marked
        lapped = [mark for mark in part.marks if mark.kind is MarkKind.LAPPED]
        assert len(lapped) == sum(edge.kind is EdgeKind.LAPPING for edge in part.edges)


@pytest.mark.parametrize(
    ("joint", "kind"),
    [(JointKind.SCARF, EdgeKind.SCARF), (JointKind.BUTT, EdgeKind.BUTT), (JointKind.TOOTHED, EdgeKind.TOOTHED)],
)
def test_a_joined_panels_pieces_keep_what_its_edges_are_and_have_one_edge_of_each_joint(
    joint: JointKind, kind: EdgeKind
) -> None:
    panel = plate_parts.side_panel()
    joined = join(panel, joint, (1400.0, 2900.0), JointSizes(longest=2000.0), taken=False)
    assert [sum(edge.kind is kind for edge in piece.edges) for piece in joined.pieces] == [1, 2, 1]
    for piece in joined.pieces:
        assert (piece.role, piece.of) == (Role.PANEL_PIECE, panel.title)
        assert piece.edge("chine").kind is EdgeKind.CHINE
        assert {mark.name for mark in piece.marks if mark.kind is MarkKind.FRAME} <= {f"frame {n}" for n in range(1, 7)}
    assert sum(mark.kind is MarkKind.FRAME for piece in joined.pieces for mark in piece.marks) == 6
    assert all(block.role is Role.BUTT_BLOCK for block in joined.blocks)


def two_edged() -> Part:
    """A board whose top is cut in two, with three marks, two of one name."""
    corners = np.array([[0.0, 0], [400, 0], [400, 100], [200, 80], [0, 100]])
    names = ("bottom", "after", "top", "top", "fore")
    edges = tuple(
        Edge(name, np.stack([corners[n], corners[(n + 1) % 5]]), np.stack([corners[n], corners[(n + 1) % 5]]), ())
        for n, name in enumerate(names)
    )
    marks = tuple(
        Mark(name, np.array([[x, 10.0], [x, 60.0]]))
        for name, x in (("frame 1", 50.0), ("sheer", 80.0), ("sheer", 320.0))
    )
    return Part("board", "port", 9.0, "oak", "inside face", edges, marks, role=Role.PANEL)


@pytest.mark.parametrize("name", SAMPLES)
def test_an_edge_called_by_a_hand_is_of_that_hand_and_lies_across_the_centre_line_from_its_twin(name: str) -> None:
    seen = 0
    for part in (one for one in sample(name)[1].parts if one.hand == "none"):
        handed = [edge for edge in part.edges if edge.hand != "none"]
        called_so = [edge for edge in part.edges if edge.name.endswith((" port", " starboard"))]
        assert [edge.name for edge in handed] == [edge.name for edge in called_so], part.title
        middles: dict[str, list[np.ndarray]] = {"port": [], "starboard": []}
        for edge in handed:
            assert edge.name == f"{edge.either_hand} {edge.hand}"
            middles[edge.hand].append(edge.points.mean(axis=0))
        if handed:
            port, starboard = (np.sign(np.stack(found)) for found in middles.values())
            # Pieces seen from an end have the centre line at x = 0, those seen from above at y = 0.
            assert any(np.ptp(np.concatenate([port, -starboard])[:, axis]) == 0 for axis in (0, 1)), part.title
            seen += len(handed)
    assert seen > 40


def test_edges_and_marks_are_found_by_their_names() -> None:
    board = two_edged()
    assert board.edge("after") is board.edges[1]
    assert board.edges_of("top") == board.edges[2:4]
    assert board.mark("frame 1") is board.marks[0]
    assert board.marks_of("sheer") == board.marks[1:]


def test_what_has_no_such_name_says_which_names_there_are() -> None:
    board = two_edged()
    with pytest.raises(UnknownNameError) as edge:
        board.edge("chine")
    assert str(edge.value) == (
        "edge of board, port: found 'chine', expected one such as 'bottom', 'after', 'top', 'fore'"
    )
    with pytest.raises(UnknownNameError) as mark:
        board.marks_of("chine")
    assert str(mark.value) == "mark of board, port: found 'chine', expected one such as 'frame 1', 'sheer'"


def test_one_of_several_is_never_taken_without_a_word() -> None:
    board = two_edged()
    with pytest.raises(LookupError) as edge:
        board.edge("top")
    assert str(edge.value) == "edge of board, port: found 2 named 'top', expected one: edges_of gives them all"
    with pytest.raises(LookupError) as mark:
        board.mark("sheer")
    assert str(mark.value) == "mark of board, port: found 2 named 'sheer', expected one: marks_of gives them all"


def test_a_part_is_found_by_its_title_and_so_is_the_piece_of_a_joined_panel() -> None:
    job = sample("saltmeadow")[1]
    assert job.pieces
    for part in (*job.parts, *job.pieces):
        assert job.part(part.title) is part
    with pytest.raises(UnknownNameError, match=r"^part: found 'side panel', expected one such as 'side panel, port', "):
        job.part("side panel")


@pytest.mark.parametrize("name", SAMPLES)
def test_a_part_is_laid_with_its_upper_edge_up_and_never_turned_over(name: str) -> None:
    """A turned-over hand is turned half round on the bench: the same outline, its far face still behind it."""
    for part in sample(name)[1].parts:
        laid = as_laid(part)
        if not part.upside_down:
            assert laid is part
            continue
        assert (part.bow, laid.bow) == ("left", "right")
        ways = [ring - ring.mean(axis=0) for ring in (part.outline, laid.outline)]
        assert np.allclose(ways[0], -ways[1])
        fars = [one.far_outline - one.outline.mean(axis=0) for one in (part, laid)]
        assert np.allclose(fars[0], -fars[1])
        upper, lower = (
            [edge.points[:, 1].mean() for edge in laid.edges if edge.name in names]
            for names in ({"sheer", "upper"}, {"keel", "chine", "lower"})
        )
        if upper and lower:
            assert min(upper) > max(lower), part.title
