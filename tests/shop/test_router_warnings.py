"""What the router would ruin: wood cut short is told, tabs are moved, sizes no wood has room for are refused."""

from __future__ import annotations

import re
from dataclasses import replace
from pathlib import Path

import numpy as np
import plate_parts
import pytest
import shapely
from boat_folders import changed
from parts_to_cut import block, joined_panel, made, notched
from sample_jobs import sample

from patterns.errors import InputError
from patterns.geometry.arrays import Floats
from patterns.parts.asked.joint_rules import JointKind
from patterns.parts.part import Part
from patterns.reading.boat.boat_toml import read_boat
from patterns.shop.router.cut_lines import cut_edges
from patterns.shop.router.router_parts import cautions_of, ready_to_cut
from patterns.shop.router.router_rules import CutTo, RouterRules
from patterns.shop.router.tabs import is_seat

SIZE = "length = 2440, width = 1220"
NET = RouterRules(cut=CutTo.FINISHED, cutter=3.0)


def refused(folder: Path, router: str, *, stock: str = "sheet = { length = 2440, width = 1220 }") -> list[str]:
    stocks = {"sheet = { length = 2440, width = 1220 }": stock}
    with pytest.raises(InputError) as told:
        read_boat(changed("duckweed", folder, stocks, more=f"[router]\n{router}\n" if router else ""))
    return [str(problem).split(", ", 2)[2] for problem in told.value.problems]


def test_standing_bevels_cut_to_the_net_line_are_one_warning_with_the_worst_place() -> None:
    read, job = sample("duckweed")
    contours = ready_to_cut(job.to_cut, NET, boat="Duckweed", show=read.boat.show)
    runs = [(bevel.run, part.title) for part in job.to_cut for edge in part.edges for bevel in edge.bevels]
    worst, title = max(runs)
    [told] = [one for one in cautions_of(contours) if one.where == "router"]
    assert worst > 15.0
    assert f": {worst:.1f} mm of wood is missing on the far face of {title}, edge" in told.text
    assert told.text.startswith('cut = "finished line" cuts standing bevels short: ')
    assert told.text.endswith('Use cut = "larger face"')


@pytest.mark.slow
def test_without_a_cutter_the_sharp_corners_of_a_whole_boat_are_one_short_warning_with_the_key() -> None:
    read, job = sample("duckweed")
    assert read.router.cutter is None
    [told] = cautions_of(ready_to_cut(job.to_cut, read.router, boat="Duckweed", show="mm"))
    assert re.fullmatch(r"router, \d+ patterns, such as [a-z0-9 ]+", told.where)
    assert "write its diameter as cutter under [router] in boat.toml" in told.text


@pytest.mark.parametrize(("cut", "short"), [(CutTo.LARGER, None), (CutTo.FINISHED, 4.0), (CutTo.SMALLER, 7.0)])
def test_how_much_wood_a_cut_lacks_is_the_bevels_own_set_out(cut: CutTo, short: float | None) -> None:
    part = made(block((4.0, 0.0, -7.0, 0.0)), replace(NET, cut=cut))
    assert (part.short.by if part.short else None) == short


def test_under_bevels_cut_to_the_net_line_lack_no_wood() -> None:
    assert made(block((-4.0, -5.0, -7.0, 0.0)), NET).short is None


def _tabs(part: Part, rules: RouterRules) -> tuple[list[Floats], list[str]]:
    """Tabs where the part's own edges lie, and what the part is warned of."""
    cut = made(part, rules)
    shift = cut.bounds[0] - np.concatenate(cut_edges(part, rules)).min(axis=0)
    return [score.line.points - shift for score in cut.scored if score.layer == "tab"], list(cut.cautions)


@pytest.mark.slow
@pytest.mark.parametrize("kind", [JointKind.TOOTHED, JointKind.SCARF, JointKind.BUTT])
@pytest.mark.parametrize("tabs", [3, 7, 20, 61])
def test_tabs_keep_off_the_joints_of_a_panel(kind: JointKind, tabs: int) -> None:
    for piece in joined_panel(kind).pieces:
        places, _ = _tabs(piece, RouterRules(tabs=tabs, tab_length=8.0, tab_height=2.0))
        seats = shapely.union_all([shapely.LineString(edge.points) for edge in piece.edges if is_seat(edge)])
        assert seats.length > 100
        assert len(places) >= min(tabs, 20)
        assert min(shapely.LineString(place).distance(seats) for place in places) > 5.0


@pytest.mark.slow
@pytest.mark.parametrize("name", ["duckweed", "saltmeadow", "reedling"])
@pytest.mark.parametrize("tabs", [2, 6, 9])
def test_tabs_keep_off_the_edge_where_two_panels_meet_while_other_edges_have_room(name: str, tabs: int) -> None:
    _, job = sample(name)
    panels = [part for part in job.to_cut if part.name.startswith("side panel")]
    assert panels
    for panel in panels:
        places, told = _tabs(panel, RouterRules(tabs=tabs, tab_length=12.0, tab_height=3.0))
        chine = shapely.union_all([shapely.LineString(edge.points) for edge in panel.edges if edge.name == "chine"])
        assert len(places) == tabs
        assert min(shapely.LineString(place).distance(chine) for place in places) > 5.0
        assert not any("meet another panel" in text for text in told)
        # Not all in one corner: they reach over most of the panel's length.
        middles = np.array([place.mean(axis=0) for place in places])
        assert np.ptp(middles[:, 0]) > 0.4 * np.ptp(panel.outline[:, 0]) * (1 - 1 / tabs)


def test_tabs_that_must_stand_where_panels_meet_are_counted_and_told() -> None:
    _, job = sample("duckweed")
    [bottom] = [part for part in job.to_cut if part.name == "bottom panel"]
    rules = RouterRules(tabs=120, tab_length=12.0, tab_height=3.0)
    places, told = _tabs(bottom, rules)
    chine, ends = (
        shapely.union_all([shapely.LineString(e.points) for e in bottom.edges if e.name.startswith("chine") is kind])
        for kind in (True, False)
    )
    middles = [shapely.Point(place.mean(axis=0)) for place in places]
    on_chine = sum(middle.distance(chine) < middle.distance(ends) for middle in middles)
    assert on_chine > 20
    assert any(text.startswith(f"{on_chine} of 120 tabs stand on edges that meet another panel") for text in told)
    few, told = _tabs(bottom, replace(rules, tabs=4))
    assert len(few) == 4
    assert not any("meet another panel" in text for text in told)


@pytest.mark.slow
@pytest.mark.parametrize("name", ["duckweed", "saltmeadow"])
def test_tabs_keep_off_notches_and_joints_of_frames(name: str) -> None:
    _, job = sample(name)
    frames = [part for part in job.to_cut if part.name.startswith("frame") and any(map(is_seat, part.edges))]
    assert frames
    for frame in frames:
        places, told = _tabs(frame, RouterRules(tabs=30, tab_length=8.0, tab_height=2.0))
        seats = shapely.union_all([shapely.LineString(edge.points) for edge in frame.edges if is_seat(edge)])
        assert all(shapely.LineString(place).distance(seats) > 3.0 for place in places), frame.title
        assert len(places) == 30 or any(f"only {len(places)} of 30 tabs" in text for text in told)


def test_a_slot_as_deep_as_a_tab_is_long_holds_none() -> None:
    places, _ = _tabs(notched(width=60.0, depth=90.0), RouterRules(tabs=30, tab_length=12.0, tab_height=3.0))
    assert places
    assert not any(120 < x < 180 and y > 105 for x, y in np.concatenate(places))


def test_tabs_without_a_place_are_told() -> None:
    _, told = _tabs(block((0.0,) * 4), RouterRules(tabs=60, tab_length=12.0, tab_height=3.0))
    assert any(text.startswith("only ") and "of 60 tabs have a place clear of corners" in text for text in told)
    assert not any(
        "tabs have a place" in text for text in _tabs(block((0.0,) * 4), RouterRules(tabs=4, tab_length=12.0))[1]
    )


@pytest.mark.parametrize("cut", list(CutTo))
def test_no_pilot_hole_runs_through_an_edge_of_either_face(cut: CutTo) -> None:
    rules = RouterRules(cut=cut, pilot=6.0, pilot_edge=4.0, pilot_spacing=40.0, frame_spacing=40.0, frame_sided=19.0)
    panel = plate_parts.side_panel()
    bored = made(panel, rules)
    shift = bored.bounds[0] - np.concatenate(cut_edges(panel, rules)).min(axis=0)
    faces = [shapely.Polygon(face + shift).buffer(0.05) for face in (panel.outline, panel.far_outline)]
    assert len(bored.drilled) > 50
    for hole in bored.drilled:
        round_hole = shapely.Point(hole.at).buffer(hole.diameter / 2)
        assert all(face.contains(round_hole) for face in (*faces, bored.wood))


@pytest.mark.parametrize(
    ("router", "told"),
    [
        ("pilot = 40", "[router] pilot: found 40.0 mm, expected at most"),
        ("pilot = 2.4\npilot_edge = 0.5", "[router] pilot_edge: found 0.5 mm, expected at least 2.2 mm for holes of"),
        ("pilot = 8\npilot_spacing = 10", "[router] pilot_spacing: found 10.0 mm, expected at least two diameters"),
        ("tabs = 4\ntab_height = 6.2", "[router] tab_height: found 6.2 mm, expected less than 6.2 mm, the thickness"),
        ("tabs = 4\ntab_height = 30", "([planking.side] thickness): make tab_height smaller"),
    ],
)  # fmt: skip
def test_sizes_the_wood_has_no_room_for_are_refused_by_key(tmp_path: Path, router: str, told: str) -> None:
    assert any(told in problem for problem in refused(tmp_path, router))


@pytest.mark.parametrize("router", ["pilot = 2.4\npilot_edge = 2.2", "tabs = 4\ntab_height = 6.1", "tab_height = 30"])
def test_sizes_the_wood_just_has_room_for_are_taken(tmp_path: Path, router: str) -> None:
    assert read_boat(changed("duckweed", tmp_path, {}, more=f"[router]\n{router}\n"))


@pytest.mark.parametrize(
    ("stock", "told"),
    [
        ("sheet = { length = 1220, width = 2440 }", "[stock] sheet length: found 1220.0 mm, expected at least its"),
        ("sheets = [{ length = 1220, width = 2440 }]", "found 1220.0 mm, expected at least its width, 2440.0 mm"),
        (
            f"sheets = [{{ {SIZE}, forbidden = [{{ left = 2400, bottom = 0, length = 90, width = 5 }}] }}]",
            "a strip that ends 2490.0 mm from the sheet's left edge, expected at most the sheet's length, 2440.0 mm",
        ),
        (
            f"sheets = [{{ {SIZE}, forbidden = [{{ left = 0, bottom = 1200, length = 90, width = 50 }}] }}]",
            "a strip that ends 1250.0 mm from the sheet's bottom edge, expected at most the sheet's width, 1220.0 mm",
        ),
    ],
)  # fmt: skip
def test_sheets_and_strips_that_cannot_be_are_refused_by_key(tmp_path: Path, stock: str, told: str) -> None:
    assert any(told in problem for problem in refused(tmp_path, "", stock=stock))


def test_every_size_without_room_is_refused_at_once(tmp_path: Path) -> None:
    router = "tabs = 4\ntab_height = 30\npilot = 40\npilot_edge = 0.5\npilot_spacing = 10\nframe_spacing = 10"
    found = refused(tmp_path, router, stock="sheet = { length = 1220, width = 2440 }")
    keys = ("tab_height", "pilot_edge", "pilot", "pilot_spacing", "frame_spacing")
    assert all(any(problem.startswith(f"[router] {key}: ") for problem in found) for key in keys)
    assert any(problem.startswith("[stock] sheet length: ") for problem in found)


@pytest.mark.parametrize("length", [60.0, 400.0, 3000.0])
def test_a_tab_of_any_length_lies_in_the_wood_or_is_told_to_lack_a_place(length: float) -> None:
    """Knees and logs are hollow: the chord of a long tab bows out of them (a chord's bow is ``L**2 / (8 * R)``)."""
    tabs = 4
    hollow = [part for part in sample("duckweed")[1].to_cut if "port" in part.title and "panel" not in part.title]
    assert any("knee" in part.name for part in hollow)
    for part in hollow:
        [contours] = ready_to_cut([part], RouterRules(tabs=tabs, tab_length=length), boat="Duckweed", show="mm")
        lines = [score.line for score in contours.scored if score.layer == "tab"]
        assert all(shapely.contains(contours.wood, shapely.LineString(line.points)) for line in lines)
        missing = f"only {len(lines)} of {tabs} tabs have a place"
        assert len(lines) == tabs or any(missing in one.text for one in cautions_of([contours])), part.title
