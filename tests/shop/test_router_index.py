"""Index holes and skins: a dowel must find its hole in both parts, in wood that holds it; what is left is told."""

from __future__ import annotations

from dataclasses import replace
from functools import cache

import numpy as np
import pytest
import shapely
import shapely.affinity
from parts_to_cut import block, joined_panel
from sample_jobs import SAMPLES, sample

from patterns.parts.asked.joint_rules import JointKind
from patterns.parts.part import Part
from patterns.parts.role import EdgeKind, Role
from patterns.shop.router.index_holes import IndexHoles, index_holes, index_words
from patterns.shop.router.proof import NotFitToCutError, prove, prove_pinned
from patterns.shop.router.router_parts import cautions_of, ready_to_cut
from patterns.shop.router.router_rules import Relief, RouterRules

PILOTS = RouterRules(pilot=2.4, pilot_edge=10.0, pilot_spacing=60.0, frame_spacing=120.0, frame_sided=18.0)
SIX = replace(PILOTS, index=6.0, cutter=6.0)


@cache
def held(name: str) -> tuple[dict[str, Part], IndexHoles]:
    parts = [part for part in sample(name)[1].to_cut if part.of]
    return {part.title: part for part in parts}, index_holes(parts, SIX)


def rims(part: Part, places: np.ndarray) -> list[float]:
    """mm from each hole's rim to the nearest line of either face; negative outside of the wood."""
    faces = [shapely.Polygon(face) for face in (part.outline, part.far_outline)]
    holes = [shapely.Point(place) for place in places]
    return [min(f.exterior.distance(h) * (1 if f.contains(h) else -1) for f in faces) - 3.0 for h in holes]


@pytest.mark.slow
@pytest.mark.parametrize("name", SAMPLES)
def test_every_index_hole_has_six_millimetres_of_wood_round_it_on_both_faces(name: str) -> None:
    parts, index = held(name)
    assert not index.without
    assert len(index.pinned) >= 7
    for title, places in index.places.items():
        assert min(rims(parts[title], places)) > 5.9, title
        planked = [e for e in parts[title].edges if e.kind in (EdgeKind.PLANKED, EdgeKind.FLOOR, EdgeKind.CHINE)]
        lines = [shapely.LineString(face) for edge in planked for face in (edge.points, edge.far)]
        # Screws that come in through the planking reach an inch.
        assert all(line.distance(shapely.Point(place)) > 27.5 for line in lines for place in places), title


@pytest.mark.slow
@pytest.mark.parametrize("name", SAMPLES)
def test_a_dowel_stands_in_both_parts_of_a_frame_where_they_lie_in_the_boat(name: str) -> None:
    """A gusset's pattern is drawn where it lies to starboard of the frame's own axes, or turned over to port."""
    parts, index = held(name)
    gussets = [pin for pin in index.pinned if parts[pin.one].role is Role.GUSSET]
    for pin in gussets:
        own = pin.in_other
        assert np.linalg.norm(own[0] - own[1]) >= 4 * 6.0
        wood = shapely.Polygon(parts[pin.one].outline)
        lying = [wood, shapely.affinity.scale(wood, -1, 1, origin=(0, 0))]
        for place in own:
            assert any(shape.contains(shapely.Point(place).buffer(3.0)) for shape in lying), pin.other
            assert shapely.Polygon(parts[pin.other].outline).contains(shapely.Point(place).buffer(3.0))
        assert np.allclose(np.abs(pin.in_one), np.abs(own))
    timbers = [t for t, part in parts.items() if part.role in (Role.SIDE_TIMBER, Role.FLOOR_TIMBER)]
    if gussets:
        assert set(timbers) <= {pin.other for pin in gussets}


@pytest.mark.slow
def test_holes_of_the_files_are_as_far_apart_in_both_parts_and_off_pilot_holes() -> None:
    parts, index = held("saltmeadow")
    made = ready_to_cut(tuple(parts.values()), SIX, boat="Saltmeadow", show="mm")
    known = {one.title: one for one in made}
    prove_pinned(made, index)
    assert any(one.drilled and not one.drilled[-1].index for one in made)
    for one in made:
        centers = np.array([hole.at for hole in one.drilled if hole.index]).reshape(-1, 2)
        pilots = np.array([hole.at for hole in one.drilled if not hole.index]).reshape(-1, 2)
        assert len(centers) == len(index.places.get(one.title, ()))
        if len(centers) and len(pilots):
            assert np.linalg.norm(centers[:, None] - pilots[None], axis=2).min() > 3.0 + 1.2 + 6.0
    gusset = known["frame 3 gusset"]
    moved = replace(gusset.drilled[0], at=(gusset.drilled[0].at[0] + 0.05, gusset.drilled[0].at[1]))
    wrong = gusset.told(drilled=(moved, *gusset.drilled[1:]))
    with pytest.raises(NotFitToCutError, match=r"frame 3 gusset and frame 3 .* index holes .* mm apart"):
        prove_pinned([wrong if one is gusset else one for one in made], index)
    near = replace(gusset.drilled[0], at=(float(gusset.outer.points[0, 0]) + 1.0, float(gusset.outer.points[0, 1])))
    with pytest.raises(NotFitToCutError, match=r"an index hole at .* is too near an edge or another hole"):
        prove(gusset.told(drilled=(near, *gusset.drilled[1:])))


@pytest.mark.parametrize("kind", list(JointKind)[:3])
def test_the_pieces_of_a_joined_panel_share_holes_in_one_line(kind: JointKind) -> None:
    joined = joined_panel(kind)
    index = index_holes(joined.cut, SIX)
    [joint] = joined.joints
    if kind is JointKind.TOOTHED:
        [pin] = index.pinned
        assert pin.strap % 100.0 == 0
        # Each has a neighbor straight across the joint, a strap's length off.
        assert np.allclose(pin.in_other - pin.in_one, [pin.strap, 0.0])
        assert np.isclose((pin.in_one + pin.in_other)[:, 0].mean() / 2, joint.at, atol=0.01)
    else:
        assert [len(index.places[part.title]) for part in joined.pieces] == [2, 2]
        assert all(np.allclose(pin.in_one, pin.in_other) for pin in index.pinned)
    assert len(index.pinned) == (2 if kind is JointKind.BUTT else 1)
    for part in joined.cut:
        assert min(rims(part, index.places[part.title])) > 5.9
    told = " ".join(index_words(index, SIX, "mm"))
    assert ("100.0 mm apart" in told) == (kind is JointKind.TOOTHED)


@pytest.mark.slow
@pytest.mark.parametrize("relief", list(Relief))
def test_index_holes_keep_off_wide_reliefs(relief: Relief) -> None:
    _, job = sample("duckweed")
    parts = [part for part in job.to_cut if part.of]
    rules = RouterRules(index=5.0, cutter=12.0, relief=relief, clearance=1.0)
    for one in ready_to_cut(parts, rules, boat="Duckweed", show="mm"):
        for hole in one.drilled:
            assert one.wood.boundary.distance(shapely.Point(hole.at)) > 2.5 + 2.0


def test_parts_without_room_and_boats_without_joints_are_told() -> None:
    _, job = sample("duckweed")
    parts = [part for part in job.to_cut if part.of_a is Role.FRAME]
    told = cautions_of(ready_to_cut(parts, RouterRules(index=16.0), boat="Duckweed", show="mm"))
    [words] = [one for one in told if "index" in one.text and "side timber" in one.text]
    assert words.where.startswith("router, frame 2 gusset")
    assert words.text.startswith("no room for two index holes where it joins the side timber, clear of edges")
    [alone] = [
        one for one in cautions_of(ready_to_cut([block((0,) * 4)], SIX, boat="b", show="mm")) if "index" in one.text
    ]
    assert alone.where == "router"
    assert alone.text.startswith("index holes are asked for, but no part of this boat lies on another")


def test_nothing_is_bored_where_no_index_is_asked_for() -> None:
    _, job = sample("duckweed")
    assert index_holes(job.to_cut, RouterRules()) == IndexHoles()
    assert index_words(IndexHoles(), RouterRules(), "mm") == ()
