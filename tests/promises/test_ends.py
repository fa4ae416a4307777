"""Boats of every pair of ends: prams, skiffs and double-enders, lofted whole; what cannot be made, refused by place."""

from __future__ import annotations

import re
from dataclasses import replace

import numpy as np
import pytest
from boats import FLAT_JOINTS, Floats, reskinned, saltmeadow
from ends import Form, random_form
from measured import DRAWN, apart, assert_sound, dense, length, naive_distance, stands
from sample_jobs import sample
from shapely import LineString

from patterns.errors import ShapeError
from patterns.geometry.outlines import unlooped
from patterns.hull.build import LinesTo, Stem
from patterns.hull.offsets import OffsetRow
from patterns.parts.whole import Job, loft

OURS = ("duckweed", "reedling")
KINDS = (("stem", "transom"), ("bow transom", "transom"), ("stem", "sternpost"), ("bow transom", "sternpost"))
# Chosen among some hundreds as the ones that were hardest: fans within the side, rulings that run far past an end,
# bow transoms raked 43 degrees, tumblehome aft, rockers of a sixteenth of the length.
HARD = (1, 3, 7, 10, 13, 14, 15, 16, 22, 29)


def hard_form(seed: int) -> Form:
    return random_form(np.random.default_rng(seed), *KINDS[seed % 4])


samples = pytest.mark.parametrize("name", OURS)


@pytest.mark.slow
@pytest.mark.parametrize("seed", HARD)
def test_boats_of_all_ends_are_lofted_whole(seed: int) -> None:
    job = loft(hard_form(seed).boat())
    assert_sound(job)
    for frame, stand in stands(job):
        own = frame.edge("side starboard")
        space = _in_space(stand.face.origin, stand.face.right, stand.face.up, dense(own.points))
        strake = job.hull.sheer_strake
        assert np.abs(naive_distance(strake.ruled, space) - abs(strake.inside)).max() < 0.05


def _in_space(origin: Floats, right: Floats, up: Floats, flat: Floats) -> Floats:
    return np.asarray(origin + flat[:, :1] * right + flat[:, 1:] * up)


# --- The samples: every law of the skiff holds for them ---


@pytest.mark.slow
@samples
def test_the_samples_need_no_caution_and_have_all_their_parts(name: str) -> None:
    job = sample(name)[1]
    assert [caution for caution in job.warnings if caution.where == "side panel"] == []
    ends = {"duckweed": ("transom", "bow transom"), "reedling": ("sternpost", "stem")}[name]
    titles = [each.title for each in job.parts]
    assert titles[:3] == ["side panel, port", "side panel, starboard", "bottom panel"]
    assert set(ends) <= set(titles)
    assert_sound(job)


@samples
def test_the_samples_differ_from_the_skiff_in_what_moves_wood(name: str) -> None:
    boat, skiff = sample(name)[1].boat, saltmeadow()
    assert boat.skin.lines_to is not skiff.skin.lines_to
    assert boat.skin.joints != skiff.skin.joints
    assert boat.frames is not None
    assert skiff.frames is not None
    assert boat.frames.station_face is not skiff.frames.station_face


@samples
def test_frames_of_the_samples_lie_on_the_inside_of_the_planking_on_both_faces(name: str) -> None:
    hull = sample(name)[1].hull
    for frame, stand in stands(sample(name)[1]):
        for plane, face in ((stand.face, "points"), (stand.far, "far")):
            for word, strake in (("side starboard", hull.sheer_strake), ("bottom", hull.floor)):
                flat = np.concatenate([dense(getattr(edge, face)) for edge in frame.edges_of(word)])
                space = _in_space(plane.origin, plane.right, plane.up, flat)
                # Lines to the inside: the skin itself is the inside face.
                assert naive_distance(strake.ruled, space).max() < 0.03


@samples
def test_the_samples_are_alike_on_both_hands(name: str) -> None:
    job = sample(name)[1]
    for each in job.parts:
        if each.name in ("bottom panel", "transom", "bow transom") or re.fullmatch(r"frame \d", each.name):
            over = np.array([1.0, -1.0]) if each.name == "bottom panel" else np.array([-1.0, 1.0])
            assert apart(each.outline, each.outline * over) < DRAWN
            assert apart(each.far_outline, each.far_outline * over) < DRAWN


@samples
def test_panel_edges_of_the_samples_keep_their_length(name: str) -> None:
    job = sample(name)[1]
    side = job.hull.sheer_strake
    panel = job.part("side panel, starboard")
    for word, t in (("sheer", job.hull.sheer_edge), ("chine", job.hull.inside(job.hull.sheer_strake).lower)):
        points = side.ruled.middle + t[:, None] * side.ruled.along + side.inside * side.ruled.normal
        kept = (job.hull.fore_cut.signed(points) > 0) & (job.hull.aft_cut.signed(points) < 0)
        mid = points + (side.middle - side.inside) * side.ruled.normal
        whole = np.linalg.norm(np.diff(mid[kept], axis=0), axis=1).sum()
        # The two ends are cut between rulings: up to a step of them more at each.
        step = np.linalg.norm(np.diff(mid[kept], axis=0), axis=1).max()
        assert 0 <= length(panel.edge(word).points) - whole < 2 * step


@samples
def test_edges_of_the_samples_that_meet_are_of_one_length_but_for_thickness(name: str) -> None:
    for mating in sample(name)[1].matings:
        assert abs(mating.left) < 0.02, mating


@pytest.mark.parametrize("end", ["fore", "aft"])
def test_a_transoms_edge_lies_on_the_inside_of_the_side(end: str) -> None:
    job = sample("duckweed")[1]
    board = job.part("transom" if end == "aft" else "bow transom")
    top, foot = getattr(job.boat, end).profile
    up = np.array([top[0] - foot[0], 0.0, top[1] - foot[1]]) / np.hypot(*(top - foot))
    origin = np.array([foot[0], 0.0, foot[1]]) - up * (foot[1] / up[2])
    flat = dense(board.edge("side starboard").points)
    space = _in_space(origin, np.array([0.0, 1.0, 0.0]), up, np.abs(flat))
    assert naive_distance(job.hull.sheer_strake.ruled, space).max() < 0.03


# --- What cannot be made ---


@pytest.mark.slow
def test_a_side_twisted_beyond_what_a_sheet_bears_is_refused_by_part_and_place() -> None:
    boat = saltmeadow()
    sheer, chine = boat.offsets.half_breadths
    a_foot_out = OffsetRow("sheer", sheer.values + np.where(np.arange(len(sheer.values)) == 2, 304.8, 0.0))
    misprinted = replace(boat, offsets=replace(boat.offsets, half_breadths=(a_foot_out, chine)))
    with pytest.raises(ShapeError, match=r"^side panel: would have to be twisted 5\d° .*\(.*\" from FP\)"):
        loft(misprinted)


@pytest.mark.slow
def test_a_stem_too_thin_for_its_planking_is_refused_in_the_builders_units() -> None:
    boat = sample("reedling")[1].boat
    assert isinstance(boat.fore, Stem)
    with pytest.raises(ShapeError) as refused:
        loft(replace(boat, fore=replace(boat.fore, sided=25.4)))
    assert str(refused.value).startswith('stem: sided 1", but at height ')
    assert "expected more siding" in str(refused.value)


@pytest.mark.slow
def test_a_frame_where_the_boat_is_too_narrow_is_refused_by_name() -> None:
    boat = sample("reedling")[1].boat
    assert boat.frames is not None
    with pytest.raises(ShapeError, match=r"^frame 2: its side .*fill the boat here"):
        loft(replace(boat, frames=replace(boat.frames, side_moulded=508.0)))


def test_an_after_breasthook_fits_between_sternpost_and_inwales_at_the_sheer() -> None:
    job = sample("reedling")[1]
    hook, fore = job.part("after breasthook"), job.part("breasthook")
    sides = {name: hook.edge(f"side {name}").points for name in ("starboard", "port")}
    assert (sides["starboard"][:, 1] > 0).all()
    assert apart(hook.outline, hook.outline * (1.0, -1.0)) < DRAWN
    # Its narrow end lies aft, against the sternpost; the fore one's forward. Both are as long as asked: 9 in.
    for one, stem_end, hollow, way in ((hook, "after end", "fore edge", 1.0), (fore, "fore end", "after edge", -1.0)):
        narrow, wide = one.edge(stem_end).points, one.edge(hollow).points
        assert np.ptp(narrow[:, 1]) < np.ptp(wide[:, 1]) / 2
        assert way * (narrow[:, 0].mean() - wide[[0, -1], 0].mean()) == pytest.approx(228.6, abs=0.05)
        middle = wide[np.abs(wide[:, 1]).argmin(), 0]
        assert way * (middle - wide[0, 0]) == pytest.approx(25.4, abs=0.05)  # hollowed 1 in toward its stem
    # Its top lies along the sheer: the inside of the side, and an inwale of 1/2 in, there.
    hull = job.hull
    sheer = hull.sheer_strake.ruled.middle + hull.sheer_edge[:, None] * hull.sheer_strake.ruled.along
    sheer = sheer + hull.sheer_strake.inside * hull.sheer_strake.ruled.normal
    x = np.sort(hook.outline[:, 0])[[0, -1]]
    ends = sternpost_and_length_before(job)
    z = np.interp(ends, sheer[:, 0], sheer[:, 2])
    way = np.array([ends[1] - ends[0], 0.0, z[1] - z[0]]) / np.hypot(ends[1] - ends[0], z[1] - z[0])
    origin = np.array([0.0, 0.0, z[0] - ends[0] * way[2] / way[0]])
    space = _in_space(origin, way, np.array([0.0, 1.0, 0.0]), dense(sides["starboard"]))
    assert np.abs(naive_distance(hull.sheer_strake.ruled, space) - 12.7).max() < 0.05
    assert np.ptp(x) > 228.0


def sternpost_and_length_before(job: Job) -> Floats:
    """Distances from FP where the sheer meets the sternpost's inner face, 3 in before the profile, and 9 in before."""
    hull = job.hull
    sheer = hull.sheer_strake.ruled.middle + hull.sheer_edge[:, None] * hull.sheer_strake.ruled.along
    (x0, z0), (x1, z1) = job.boat.aft.profile
    up = np.array([x0 - x1, z0 - z1]) / np.hypot(x0 - x1, z0 - z1)
    away = (sheer[:, 0] - x1) * up[1] - (sheer[:, 2] - z1) * up[0] + 76.2
    aft = np.flatnonzero((away[1:] > 0) & (away[:-1] <= 0))[-1]
    at = float(np.interp(0.0, away[aft : aft + 2], sheer[aft : aft + 2, 0]))
    return np.array([at - 228.6, at])


@pytest.mark.slow
def test_every_way_of_laying_and_lapping_a_pram_is_lofted() -> None:
    boat = sample("duckweed")[1].boat
    for lines_to in LinesTo:
        for laps in FLAT_JOINTS:
            job = loft(replace(boat, skin=reskinned(replace(boat.skin, lines_to=lines_to), laps=laps)))
            assert_sound(job)
            assert max(abs(mating.left) for mating in job.matings) < 0.02


def test_a_line_that_runs_back_on_itself_loses_its_loop_and_nothing_else() -> None:
    looped = np.array([[0, 0], [10, 0], [12, 1], [11, 2], [9, -1], [20, -1]], float)
    plain = unlooped(looped)
    assert LineString(plain).is_simple
    assert plain[[0, -1]] == pytest.approx(looped[[0, -1]])
    assert LineString(looped).distance(LineString(plain)) < 1e-12
    assert LineString(plain).hausdorff_distance(LineString(looped)) < 3.0


def test_a_stem_wider_than_the_boat_is_refused_as_that_and_no_sound_figure_is_accused() -> None:
    boat = saltmeadow()
    assert isinstance(boat.fore, Stem)
    with pytest.raises(ShapeError) as refused:
        loft(replace(boat, fore=replace(boat.fore, sided=1524.0)))
    assert "stem: sided 5' 0\", but inside the planking the boat is nowhere more than 4' " in str(refused.value)
    assert "No single figure of the table stands out" in str(refused.value)
