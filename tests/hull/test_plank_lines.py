"""Plank lines: divided girths of a cylinder and a cone, whose planks unroll to known shapes, and of a sample."""

from __future__ import annotations

from dataclasses import dataclass
from itertools import pairwise

import numpy as np
import pytest
from commanded import ROOT

from patterns.drawing.marks import Stroke
from patterns.errors import ShapeError
from patterns.geometry.arrays import Floats, run_along
from patterns.geometry.cuts import Plane
from patterns.hull.build import PlankRules
from patterns.hull.planking.plank_lines import PlankLines, breadths_at, flat_plank, lay_planks, strips_needed
from patterns.parts.whole import Job, loft
from patterns.plates.lines.lines_plan import Beside, lines_plan
from patterns.plates.lines.plank_runs import PlankRun, runs_across, runs_along
from patterns.reading.boat.boat_toml import read_boat
from patterns.shop.layout.plank_figures import plank_figures

LENGTH = 3000.0


@dataclass(frozen=True)
class Places:
    points: Floats
    normals: Floats
    along: Floats
    up: Floats


@dataclass(frozen=True)
class QuarterCone:
    """A quarter of a cone about the x axis, from one radius to another, from the bottom (v = 0) to the side (v = 1)."""

    fore: float  # mm, the radius at u = 0
    aft: float

    @property
    def corners(self) -> tuple[float, ...]:
        return ()

    def places(self, u: Floats, v: Floats) -> Places:
        turn, radius = v * np.pi / 2, self.fore + (self.aft - self.fore) * u
        out = np.stack([np.zeros(len(turn)), np.sin(turn), -np.cos(turn)], axis=1)
        round_it = np.stack([np.zeros(len(turn)), np.cos(turn), np.sin(turn)], axis=1)
        ahead = np.array([LENGTH, 0.0, 0.0]) + (self.aft - self.fore) * out
        normals = out - (self.aft - self.fore) / LENGTH * np.array([1.0, 0.0, 0.0])
        normals /= np.linalg.norm(normals, axis=1)[:, None]
        points = radius[:, None] * out + u[:, None] * np.array([LENGTH, 0.0, 0.0])
        return Places(points, normals, ahead, radius[:, None] * np.pi / 2 * round_it)


def station(x: float) -> Plane:
    return Plane(np.array([x, 0.0, 0.0]), np.array([0.0, 1.0, 0.0]), np.array([0.0, 0.0, 1.0]))


def breadths(lines: PlankLines, x: float) -> list[float | None]:
    cut = lines.section(station(x))
    return list(breadths_at(lines.crossings(cut), run_along(cut.points)))


def test_planks_of_a_cylinder_are_equal_and_its_boards_straight() -> None:
    lines = lay_planks(PlankRules(count=8), QuarterCone(600.0, 600.0), 10.0)
    each = np.pi / 2 * 590.0 / 8
    for x in (10.0, 1234.0, 2990.0):
        assert breadths(lines, x) == pytest.approx([each] * 8, abs=0.01)
    blank = flat_plank(lines, 3)
    chord = 2 * 590.0 * np.sin(np.pi / 32)
    assert (blank.length, blank.breadth) == pytest.approx((LENGTH, chord), abs=0.01)


def test_planks_of_a_cone_have_the_sweep_of_its_development() -> None:
    """A cone unrolls to a ring about its apex: a plank's edges are straight there, and it narrows as the cone does."""
    lines = lay_planks(PlankRules(count=6), QuarterCone(300.0, 600.0), 0.0)
    assert breadths(lines, LENGTH / 2) == pytest.approx([np.pi / 2 * 450.0 / 6] * 6, abs=0.05)
    blank = flat_plank(lines, 0)
    for edge in (blank.lower, blank.upper):
        assert edge[:, 1] == pytest.approx(np.interp(edge[:, 0], edge[[0, -1], 0], edge[[0, -1], 1]), abs=0.01)
    assert blank.length == pytest.approx(np.hypot(LENGTH, 300.0), abs=15.0)


def test_taper_given_breadths_and_ribbands_divide_as_they_say() -> None:
    cylinder = QuarterCone(600.0, 600.0)
    girth = np.pi / 2 * 600.0
    tapered = breadths(lay_planks(PlankRules(count=5, taper=0.5), cylinder, 0.0), 1500.0)
    assert tapered == pytest.approx([girth * share / 15 for share in (4, 3.5, 3, 2.5, 2)], abs=0.05)
    given = PlankRules(breadths=(400.0, 300.0, 250.0), breadths_fore=(1.0, 1.0, 1.0))
    lines = lay_planks(given, cylinder, 0.0)
    assert breadths(lines, 0.5) == pytest.approx([girth / 3] * 3, abs=0.2)
    assert lines.scale == pytest.approx(girth / 950.0, rel=1e-4)
    ribbands = lay_planks(PlankRules(count=3, ribbands=True), cylinder, 0.0)
    assert ribbands.names == ("ribband 1", "ribband 2", "ribband 3")
    assert breadths(ribbands, 900.0) == pytest.approx([girth / 4] * 4, abs=0.05)


@pytest.mark.parametrize(("taper", "widest"), [(1.0, 120.0), (0.7, 120.0), (1.3, 77.0)])
def test_no_plank_is_broader_than_asked_and_one_fewer_would_be(taper: float, widest: float) -> None:
    cone = QuarterCone(400.0, 600.0)
    lines = lay_planks(PlankRules(widest=widest, taper=taper), cone, 9.0)
    across = breadths(lines, LENGTH - 1e-6)
    assert max(one or 0.0 for one in across) <= widest + 0.1
    fewer = breadths(lay_planks(PlankRules(count=lines.count - 1, taper=taper), cone, 9.0), LENGTH - 1e-6)
    assert max(one or 0.0 for one in fewer) > widest


def test_breadths_that_do_not_fill_the_girth_are_refused() -> None:
    with pytest.raises(ShapeError, match="breadths come to"):
        lay_planks(PlankRules(breadths=(100.0, 90.0)), QuarterCone(600.0, 600.0), 0.0)


def test_whole_strips_cover_a_girth() -> None:
    assert strips_needed([100.0, 100.1, 99.9], 20.0) == (5, 6, 5)


@pytest.fixture(scope="module")
def withywater() -> Job:
    return loft(read_boat(ROOT / "samples" / "withywater").boat)


def test_the_samples_planks_fill_every_mould_and_are_marked_on_it(withywater: Job) -> None:
    figures = plank_figures(withywater)
    assert figures is not None
    for place in figures.places[1:-1]:
        assert sum(one or 0.0 for one in place.breadths) == pytest.approx(place.girth, abs=0.01)
        marks = {mark.name for mark in withywater.part(place.name).marks}
        assert marks >= {f"plank {n}" for n in range(1, figures.lines.count)}
    for title in ("transom", "stem"):
        marks = {mark.name for mark in withywater.part(title).marks}
        assert marks >= {f"plank {n}" for n in range(1, figures.lines.count)}
    lines = figures.lines
    for u in (0.2, 0.5, 0.8):
        at = np.array([lines.edge(n, np.array([u]))[0] for n in range(-1, lines.count)])
        assert (np.diff(at[:, 2]) > 0).all()


def test_plank_lines_are_drawn_on_all_views_and_cross_the_sections_where_the_skin_has_them(withywater: Job) -> None:
    smooth, surface = withywater.hull.smooth, withywater.surface
    assert smooth is not None
    assert smooth.planks is not None
    assert surface is not None
    planks = smooth.planks
    views = [
        lines_plan(
            withywater.boat, withywater.lines, withywater.cuts, paper=(250.0, 160.0), beside=Beside(hull=surface, **by)
        )
        for by in ({}, {"planks": planks})
    ]
    for before, after in zip(*views, strict=True):
        assert sum(_dashed(mark) for mark in after.drawing.marks) >= planks.count - 1
        assert not any(_dashed(mark) for mark in before.drawing.marks)
    for x, side in ((1000.0, 1.0), (3400.0, -1.0)):
        section = planks.section(station(x)).points
        for run, line in zip(_of_side(runs_across(planks, 2400.0), side), runs_along(planks, axis=2), strict=True):
            height = float(np.interp(x, *line.points.T))
            across = run.points[np.abs(run.points[:, 1] - height).argmin()]
            # The section lies on the inside of the planking, the drawing on the outside.
            assert np.hypot(*(section[:, 1:] - (abs(across[0]), across[1])).T).min() == pytest.approx(9.0, abs=6.0)


def _dashed(mark: object) -> bool:
    return isinstance(mark, Stroke) and mark.layer == "far-face"


def _of_side(runs: tuple[PlankRun, ...], side: float) -> list[PlankRun]:
    return [run for run in runs if run.points[len(run.points) // 2, 0] * side > 0]


def test_breadths_are_those_of_the_fullest_mould_and_not_of_a_lane_along_the_forefoot(withywater: Job) -> None:
    """Withywater is fullest at 2420 mm; along her stem and forefoot the girth is greater than round any mould."""
    smooth = withywater.hull.smooth
    assert smooth is not None
    equal = breadths(lay_planks(PlankRules(count=10), smooth.surface, smooth.inside), 2420.0)
    assert equal == pytest.approx([75.95] * 10, abs=0.1)
    given = (90.0, 85.0, 80.0, 78.0, 76.0, 74.0, 70.0, 68.0, 66.0, 64.0)
    lines = lay_planks(PlankRules(breadths=given), smooth.surface, smooth.inside)
    assert lines.scale == pytest.approx(759.5 / sum(given), abs=0.001)
    assert breadths(lines, 2420.0) == pytest.approx([lines.scale * one for one in given], abs=0.2)
    assert lay_planks(PlankRules(widest=80.0), smooth.surface, smooth.inside).count == 10


@pytest.mark.parametrize(
    "rules",
    [
        PlankRules(breadths=(90.0, 85.0, 80.0, 78.0, 76.0, 74.0, 70.0, 68.0, 66.0, 64.0)),
        PlankRules(count=8, breadths_fore=(3.0, 4.0, 5.0, 6.0, 7.0, 8.0, 8.0, 8.0), breadths_aft=(8.0,) * 8),
    ],
)
def test_breadths_given_by_hand_make_lines_fair_along_the_boat_and_girths_are_those_of_the_sections(
    withywater: Job, rules: PlankRules
) -> None:
    """Second differences of a share along a natural cubic turn once at most in each half: no hollow between places."""
    smooth = withywater.hull.smooth
    assert smooth is not None
    lines = lay_planks(rules, smooth.surface, smooth.inside)
    for x in (1000.0, 2200.0, 3400.0):
        cut = lines.section(station(x))
        found = breadths(lines, x)
        assert len(found) == lines.count
        # A sum of chords along the section itself, no spline and no run of ours.
        girth = sum(float(np.hypot(*(b - a))) for a, b in pairwise(cut.points[:, 1:]))
        assert sum(one or 0.0 for one in found) == pytest.approx(girth, abs=0.01)
    u = np.linspace(0.0, 1.0, 201)
    for number in range(lines.count - 1):
        points = lines.edge(number, u)
        jumps = np.abs(np.diff(points, n=3, axis=0)).max(axis=1)
        assert jumps.max() < 0.5  # mm; a knuckle of a degree at a step of 20 mm is as much
