"""Laws of chined hulls, over random ones of every kind: sizes, lengths kept, edges that meet, and kinds that border on
each other."""

from __future__ import annotations

from dataclasses import replace
from random import Random

import numpy as np
import pytest
import shapely
from boats import Floats
from chined_boats import ChinedForm, planked, random_form
from hypothesis import Phase, given, settings
from hypothesis import strategies as st

from patterns.geometry.cuts import station_plane
from patterns.hull.planking.sections import cut_inside
from patterns.hull.planking.skin import Hull
from patterns.hull.planking.strakes import Strake
from patterns.parts.panels.panels import panels
from patterns.parts.part import Part

few = settings(
    max_examples=3, deadline=None, phases=[Phase.explicit, Phase.generate]
)  # a seed is no simpler than another
seeds = st.integers(0, 2**31)
KINDS = [
    pytest.param(kind, marks=pytest.mark.slow if "many" in kind else ())
    for kind in ("flat", "flat of many", "V", "V of many", "pram", "double-ender")
]


def form_of(kind: str, seed: int) -> ChinedForm:
    """A hull of a kind, of gentle sweep."""
    dice = Random(seed)
    chines = dice.choice((2, 3)) if "many" in kind else 1
    drawn = random_form(dice, chines=chines, keel="flat" not in kind and (kind != "pram" or dice.random() < 0.5))
    fore = -0.6 if kind == "pram" else None
    half = 15.0 if drawn.keel is None else 0.0  # a flat bottom ends on the face of the stem
    return replace(drawn, half=half, fore=fore, aft=None if kind == "double-ender" else 0.6)


def shape_of(hull: Hull) -> dict[str, Floats]:
    """Running lengths of every edge of the starboard panels, both faces."""
    return {
        f"{panel.title} {edge.name}": np.array([running(edge.points), running(edge.far)])
        for panel in panels(hull, ())
        if panel.hand != "port"
        for edge in panel.edges
    }


def running(points: Floats) -> float:
    return float(np.hypot(*np.diff(points, axis=0).T).sum())


def corners_at(hull: Hull, x: float) -> Floats:
    """(n, 3) of the inside at a station, from the sheer down."""
    section = cut_inside(hull, station_plane(x, facing_aft=True))
    return np.array([section.runs[-1][-1], *(run[0] for run in section.runs[::-1])])


@pytest.mark.parametrize("kind", KINDS)
@given(seed=seeds, factor=st.sampled_from((0.5, 1.7, 3.0)))
@few
def test_a_boat_some_times_as_large_has_every_edge_so_many_times_as_long(kind: str, seed: int, factor: float) -> None:
    form = form_of(kind, seed)
    thick = (6.0,) * (len(form.drops) + 1)
    large = replace(
        form,
        half_length=form.half_length * factor,
        beam=form.beam * factor,
        depth=form.depth * factor,
        spring=form.spring * factor,
        drops=tuple(drop * factor for drop in form.drops),
        half=form.half * factor,
    )
    own, other = (
        shape_of(planked(form, thick)),
        shape_of(planked(large, tuple(factor * one for one in thick), sided=110.0 * factor)),
    )
    assert own.keys() == other.keys()
    for name, length in own.items():
        assert other[name] / factor == pytest.approx(length, abs=0.05), name


@pytest.mark.parametrize("kind", KINDS)
@given(seed=seeds)
@few
def test_unrolling_keeps_the_length_of_every_edge(kind: str, seed: int) -> None:
    """Edges on the mid-thickness are as long in the flat as in the boat."""
    hull = planked(form_of(kind, seed))
    for strake in hull.strakes:
        flat, ruled = strake.unrolled(), strake.ruled
        between = hull.between_ends(strake) & (ruled.reach > 0)
        s = ruled.numbers[between]
        for t in (-ruled.reach, ruled.reach):
            bent = ruled.points(t, strake.middle)[between]
            laid = flat.point(s, t[between])
            assert running(laid) == pytest.approx(np.linalg.norm(np.diff(bent, axis=0), axis=1).sum(), rel=1e-4)


@pytest.mark.parametrize("kind", KINDS)
@given(seed=seeds)
@few
def test_neighbours_planed_to_the_half_angle_meet_along_their_whole_edge(kind: str, seed: int) -> None:
    form = form_of(kind, seed)
    hull = planked(form, tuple(6.0 + 2.0 * number for number in range(len(form.drops) + 1)))
    for corner in hull.corners:
        if not corner.mitred:
            continue
        for own, beside in ((corner.above_inside, corner.below_inside), (corner.above_outside, corner.below_outside)):
            inside = own is corner.above_inside
            upper = edge_of(corner.above, own, inside=inside)
            lower = edge_of(corner.below, beside, inside=inside)
            x = np.linspace(max(upper[0, 0], lower[0, 0]), min(upper[-1, 0], lower[-1, 0]), 60)[6:-6]
            for axis in (1, 2):
                apart = np.interp(x, upper[:, 0], upper[:, axis]) - np.interp(x, lower[:, 0], lower[:, axis])
                assert np.abs(apart).max() < 0.05


def edge_of(strake: Strake, t: Floats, *, inside: bool) -> Floats:
    """(n, 3) of an edge, fore to aft."""
    points = strake.ruled.points(t, strake.inside if inside else strake.outside)
    points = points[np.isfinite(points).all(axis=1) & (strake.ruled.reach > 0)]
    return points[points[:, 0].argsort()]


@given(seed=seeds, many=st.booleans())
@few
def test_a_double_ender_alike_about_midship_has_equal_halves(seed: int, many: bool) -> None:
    form = form_of("V of many" if many else "V", seed)
    form = replace(form, aft=None)
    hull, middle = planked(form), form.half_length
    for away in (0.2, 0.4, 0.55):
        ahead, abaft = (corners_at(hull, middle * (1 + sign * away)) for sign in (-1, 1))
        assert ahead[:, 1:] == pytest.approx(abaft[:, 1:], abs=0.03)
    for panel in (one for one in panels(hull, ()) if one.hand == "starboard"):
        outline = shapely.Polygon(np.concatenate([edge.points for edge in panel.edges]))
        turned = shapely.affinity.scale(outline, xfact=-1.0)
        assert best_overlap(panel, outline, turned) < 1.0


def best_overlap(panel: Part, outline: shapely.Polygon, turned: shapely.Polygon) -> float:
    """mm an outline lies off its own image fore and aft, set on it by its middle and its length."""
    box, other = outline.bounds, turned.bounds
    moved = shapely.affinity.translate(turned, box[0] - other[0], box[1] - other[1])
    return float(shapely.hausdorff_distance(outline.boundary, moved.boundary))


@given(seed=seeds)
@few
def test_a_keel_ever_flatter_comes_to_the_flat_bottomed_boat(seed: int) -> None:
    """Corners at a frame go to those of the boat whose bottom lies flat athwart, as its deadrise does."""
    form = replace(form_of("V", seed), fore=-0.6)
    flat = planked(replace(form, keel=None))
    x = form.half_length * 0.95
    level = corners_at(flat, x)
    apart = [
        np.linalg.norm(corners_at(planked(replace(form, keel=deadrise)), x)[:2] - level, axis=1).max()
        for deadrise in (4.0, 1.0, 0.25)
    ]
    assert apart[1] < 0.3 * apart[0] + 0.01
    assert apart[2] < 0.3 * apart[1] + 0.01


@given(seed=seeds, share=st.floats(0.3, 0.7))
@few
def test_two_strakes_of_one_direction_lie_as_one(seed: int, share: float) -> None:
    form = form_of("flat", seed)
    whole, flare = form.drops[0], form.flares[0]
    parted = replace(form, drops=(whole * share, whole * (1 - share)), flares=(flare, flare))
    one, two = planked(form, (6.0, 9.0)), planked(parted, (6.0, 6.0, 9.0))
    for place in (0.5, 0.9, 1.3):
        own, other = corners_at(one, form.half_length * place), corners_at(two, form.half_length * place)
        assert other[[0, 2]] == pytest.approx(own, abs=0.1)
        between = shapely.LineString(own[:, 1:])
        assert between.distance(shapely.Point(other[1, 1:])) < 0.3
