"""Port is starboard turned over: every mark, note, hole, edge and bevel of every pair, point by point."""

from __future__ import annotations

from dataclasses import replace

import numpy as np
import pytest
from boats import FLAT_JOINTS, reskinned
from drawn_boats import every_skiff, skiff
from hypothesis import assume, given, settings
from hypothesis import strategies as st
from sample_jobs import SAMPLES, sample
from twins import other_hand, pairs, unlike

from patterns.errors import ShapeError
from patterns.hull.build import LinesTo
from patterns.hull.offsets import OffsetRow
from patterns.parts.asked.joint_rules import JointKind
from patterns.parts.asked.rules import Boat, FrameJoint, FrameKind, StationFace
from patterns.parts.edges import make_edge, mirrored
from patterns.parts.panels.joints import join
from patterns.parts.part import Mark, Note, Part
from patterns.parts.role import EdgeKind, MarkKind, Role
from patterns.parts.stands import stand_frame
from patterns.parts.whole import Job, loft

DRAWN = 0.01  # mm; outlines leave out points that move a line less than 0.002 mm, and not the same ones on either hand
ALIKE = ("bottom panel", "frame", "transom", "bow transom", "thwart", "breasthook", "after breasthook")
"""Pieces across the centre line, by how their names begin."""


def faults(job: Job) -> dict[str, list[str]]:
    """What is not alike, by part: pairs, their pieces, and the two halves of what lies across the centre line."""
    both = pairs((*job.parts, *job.pieces))
    found = {port.title: unlike(port, starboard, DRAWN) for port, starboard in both}
    for part in job.parts:
        if part.hand == "none" and part.name.startswith(ALIKE) and "gusset" not in part.name:
            # The line to join the pieces of a bottom by is drawn to one side of the centre line.
            whole = replace(part, marks=tuple(mark for mark in part.marks if mark.name != "alignment line"))
            found[part.title] = unlike(whole, whole, DRAWN)
    return {title: told for title, told in found.items() if told}


@st.composite
def varied_samples(draw: st.DrawFn) -> Boat:
    """A sample boat with other planking, frames and beam: all its fittings and long pieces with it."""
    read, _ = sample(draw(st.sampled_from(SAMPLES)))
    boat = read.boat
    assert boat.frames is not None
    beam, frames = draw(st.floats(0.95, 1.06)), boat.frames
    breadths = tuple(OffsetRow(row.name, row.values * beam) for row in boat.offsets.half_breadths)
    kind = draw(st.sampled_from([FrameKind.SAWN, FrameKind.SAWN, FrameKind.SHEET]))
    return replace(
        boat,
        offsets=replace(boat.offsets, half_breadths=breadths),
        skin=reskinned(
            replace(boat.skin, lines_to=draw(st.sampled_from(LinesTo))),
            laps=draw(st.sampled_from(FLAT_JOINTS)),
            side=draw(st.floats(0.8, 1.3)),
        ),
        frames=replace(
            frames,
            station_face=draw(st.sampled_from(StationFace)),
            kind=kind,
            joint=draw(st.sampled_from(FrameJoint)),
            limber=draw(st.sampled_from([0.0, 8.0])),
            shy=draw(st.sampled_from([0.0, 0.8])),
        ),
    )


@pytest.mark.parametrize("name", SAMPLES)
def test_every_pair_of_a_sample_is_one_part_and_the_same_turned_over(name: str) -> None:
    job = sample(name)[1]
    assert len(pairs(job.parts)) >= 7
    assert faults(job) == {}


@pytest.mark.slow
@every_skiff
def test_every_pair_of_a_random_skiff_is_one_part_and_the_same_turned_over(number: int) -> None:
    assert faults(skiff(number)) == {}


@pytest.mark.slow
@settings(max_examples=10, deadline=None)
@given(varied_samples())
def test_every_pair_is_turned_over_however_the_boat_is_planked_and_framed(boat: Boat) -> None:
    try:
        job = loft(boat)
    except ShapeError:
        assume(False)
    assert faults(job) == {}


# --- One part with everything on it that a mirror could leave behind ---


def lopsided(*, upright: bool) -> Part:
    """A board no line, word or hole of which lies as its mirror image does."""
    ring = np.array([[100.0, 50.0], [500.0, 80.0], [480.0, 260.0], [140.0, 210.0]])
    out = np.array([[-3.0, -2.0], [5.0, -4.0], [6.0, 7.0], [-8.0, 9.0]])
    far = ring + out
    edges = tuple(
        replace(make_edge(name, *(np.stack([face[n], face[n - 3]]) for face in (ring, far)), thickness=12.0), kind=kind)
        for n, (name, kind) in enumerate(
            (
                ("chine starboard", EdgeKind.CHINE),
                ("transom", EdgeKind.NET),
                ("sheer", EdgeKind.LAPPING),
                ("notch chine log starboard", EdgeKind.NOTCH),
            )
        )
    )
    return Part(
        name="board",
        role=Role.PANEL,
        hand="starboard",
        thickness=12.0,
        material="oak",
        marked_face="inside face",
        edges=edges,
        marks=(
            Mark("frame 1", np.array([[150.0, 70.0], [170.0, 190.0]]), MarkKind.FRAME),
            Mark(
                "inside of side, starboard", np.array([[210.0, 90.0], [300.0, 120.0], [400.0, 100.0]]), MarkKind.LAPPED
            ),
        ),
        holes=(np.array([[300.0, 150.0], [330.0, 150.0], [330.0, 190.0], [310.0, 170.0]]),),
        notes=(Note("X", (180.0, 100.0)), Note("STARBOARD", (250.0, 200.0))),
        bow="away from you" if upright else "left",
        grain_angle=0.4,
        remarks=("The starboard edge is planed last.",),
        doubts=("The starboard edge is short of wood.",),
    )


@pytest.mark.parametrize("upright", [False, True])
def test_a_mirrored_part_takes_everything_over_and_every_word_of_its_hand(upright: bool) -> None:
    starboard = lopsided(upright=upright)
    port = mirrored(starboard, upright=upright)
    assert (port.hand, port.flat) == ("port", None)
    assert unlike(port, starboard) == []
    again = mirrored(port, upright=upright)
    assert again.hand == "starboard"
    assert np.abs(again.outline - starboard.outline).max() < 1e-9


@pytest.mark.parametrize("left", ["marks", "notes", "holes", "edges", "grain_angle", "remarks", "doubts"])
def test_a_part_of_which_anything_is_left_as_it_was_is_not_the_other_hand(left: str) -> None:
    """The measure itself: what the tests above look at is seen to be wrong where it is left unmirrored."""
    starboard = lopsided(upright=False)
    port = replace(mirrored(starboard), **{left: getattr(starboard, left)})
    assert unlike(port, starboard) != []


@pytest.mark.parametrize("face", ["points", "far"])
def test_one_face_of_one_edge_left_as_it_was_is_seen(face: str) -> None:
    starboard = lopsided(upright=False)
    port = mirrored(starboard)
    moved = getattr(port.edges[0], face) + np.array([0.0, 0.1])
    first = replace(port.edges[0], **{face: moved})
    assert any(text.startswith("edge") for text in unlike(replace(port, edges=(first, *port.edges[1:])), starboard))


# --- Pieces of joined panels, and long pieces ---


@pytest.mark.slow
@pytest.mark.parametrize("kind", [JointKind.SCARF, JointKind.BUTT, JointKind.TOOTHED])
def test_pieces_of_a_panel_joined_at_the_same_places_are_turned_over_too(kind: JointKind) -> None:
    read, _ = sample("saltmeadow")
    assert read.boat.joints is not None
    bare = loft(replace(read.boat, joints=None))
    [(port, starboard)] = [pair for pair in pairs(bare.parts) if pair[0].name == "side panel"]
    ours, theirs = (
        join(panel, kind, (1300.0, 2900.0), read.boat.joints.of("side").sizes, taken=False)
        for panel in (port, starboard)
    )
    assert unlike(ours.panel, theirs.panel, DRAWN) == []
    for one, other in zip(ours.cut, theirs.cut, strict=True):
        assert unlike(one, other, DRAWN) == [], one.title


@pytest.mark.parametrize("name", SAMPLES)
def test_a_long_piece_of_port_lies_across_the_centre_line_from_its_twin(name: str) -> None:
    pieces = {piece.part.title: piece for piece in sample(name)[1].long_pieces}
    ports = [piece for piece in pieces.values() if piece.part.hand == "port"]
    assert ports
    for port in ports:
        twin = pieces[other_hand(port.part.title)]
        assert (port.solid.hand, twin.solid.hand) == ("port", "starboard")
        assert np.abs(port.solid.corners - twin.solid.corners[::-1] * (1, -1, 1)).max() < 1e-9
        assert twin.solid.corners[..., 1].mean() > 0
        for here, there in zip(port.places, twin.places, strict=True):
            for key in ("at", "aft", "out", "up"):
                assert np.abs(getattr(here, key) - getattr(there, key) * (1, -1, 1)).max() < 1e-9
            assert here.out[1] < 0 < there.out[1]
            same = ("name", "along", "along_upper", "lower", "upper", "slope", "edgewise", "flatwise", "twist")
            assert [getattr(here, key) for key in same] == [getattr(there, key) for key in same]
        assert (port.fore, port.after, port.arrises) == (twin.fore, twin.after, twin.arrises)


# --- Which side of a line the wood lies on ---


@pytest.mark.slow
@pytest.mark.parametrize("face", list(StationFace))
def test_the_x_beside_a_frames_line_on_a_panel_stands_where_its_wood_is(face: StationFace) -> None:
    """Bow to the left: on the right of its line where the frame's wood lies aft of the face on the station."""
    boat = sample("saltmeadow")[0].boat
    assert boat.frames is not None
    job = loft(replace(boat, frames=replace(boat.frames, station_face=face)))
    for place in boat.frames.places:
        stand = stand_frame(job.hull, replace(boat.frames, station_face=face).at(place), place)
        far = float(stand.far.origin[0] - stand.face.origin[0])
        assert abs(far) == pytest.approx(boat.frames.sided)
        for panel in (part for part in job.parts if part.name.endswith("panel")):
            line = next(mark for mark in panel.marks if mark.name == f"frame {place.name}")
            x = [note.at for note in panel.notes if note.text == "X"]
            at = min(x, key=lambda one: float(np.abs(line.points - np.array(one)).max(axis=1).min()))
            here = line.points[np.abs(line.points[:, 1] - at[1]).argmin(), 0]
            assert np.sign(at[0] - here) == np.sign(far)
