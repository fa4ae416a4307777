"""Parts on sheets: nothing overlaps, nothing is forgotten, and what is wrong with a layout is named with its amount."""

from __future__ import annotations

from dataclasses import replace

import numpy as np
import pytest
import shapely
from hypothesis import Phase, given, settings
from hypothesis import strategies as st
from part_sets import part_set, small_part_set
from sample_jobs import sample

from patterns.job.shared.cutting import pieces_of
from patterns.parts.materials import Plywood
from patterns.shop.nest.blanks import Blank, Layout, Placement, laid
from patterns.shop.nest.nest_proof import prove
from patterns.shop.nest.nesting import Effort, nest, nest_on_cells
from patterns.shop.nest.offcuts import CELL, offcuts
from patterns.shop.nest.raster import cells_of
from patterns.shop.nest.sheet_stock import Clearances, SheetGrain, SheetRoom, SheetStock, Strip
from patterns.shop.nest.sheets import fill_sheets
from patterns.shop.nest.tightening import tightened
from patterns.shop.router.router_parts import ready_to_cut

SHEET = SheetStock(2440.0, 1220.0)
CLEAR = Clearances(margin=10.0, gap=8.0)


def box(name: str, length: float, width: float, *, grain: bool = True) -> Blank:
    return Blank(name, shapely.box(0, 0, length, width), 0.0 if grain else None)


def said(
    layout: Layout, blanks: list[Blank], clear: Clearances = CLEAR, kinds: tuple[SheetStock, ...] = ()
) -> list[str]:
    return [str(fault) for fault in prove(layout, blanks, kinds or layout.sheets, clear)]


@pytest.mark.slow
@pytest.mark.parametrize("seed", [0, 3, 6])
def test_sets_of_parts_are_laid_whole_and_pass_the_proof(seed: int) -> None:
    blanks = part_set(seed)
    layout = nest(blanks, [SHEET], CLEAR, Effort.QUICK)
    assert said(layout, blanks) == []
    assert sorted(placement.name for placement in layout.placements) == sorted(blank.name for blank in blanks)
    assert layout.left_over == ()


@pytest.mark.slow
def test_the_same_parts_lie_the_same_way_again() -> None:
    blanks = part_set(1)
    assert nest(blanks, [SHEET], CLEAR, Effort.QUICK) == nest(blanks, [SHEET], CLEAR, Effort.QUICK)


@pytest.mark.slow
def test_a_hair_of_arithmetic_lays_no_part_differently() -> None:
    """Another machine's sines differ in the last figure; its sheets must not."""
    read, job = sample("duckweed")
    contours = ready_to_cut((*job.parts, *job.pieces), read.router, boat=job.boat.name, show=job.boat.show)
    nudged = tuple(
        replace(one, outer=replace(one.outer, points=one.outer.points + 1e-10 * np.sin(1e3 * one.outer.points)))
        for one in contours
    )
    assert read.sheets is not None
    ours, theirs = (
        [
            (sheet.number, at.name, at.turn, round(at.left, 6), round(at.bottom, 6))
            for sheet in fill_sheets(pieces_of(job, made), read.sheets, Effort.QUICK).sheets
            for at, _ in sheet.lying
        ]
        for made in (contours, nudged)
    )
    assert ours == theirs


@pytest.mark.parametrize("size", [(2420.0, 1200.0), (2419.9, 1199.7), (1000.3, 1200.0)])
def test_a_part_as_large_as_the_sheet_without_its_margins_finds_room(size: tuple[float, float]) -> None:
    blanks = [box("bottom panel", *size)]
    layout = nest(blanks, [SHEET], CLEAR, Effort.QUICK)
    assert said(layout, blanks) == []
    assert layout.left_over == ()


@given(st.floats(2419.0, 2420.0), st.floats(0, 30), st.floats(0.2, 0.8))
@settings(max_examples=15, deadline=None)
def test_a_curved_panel_that_just_fits_lies_within_its_margins(length: float, sweep: float, share: float) -> None:
    """As side panels do: their ends are curved or raked, and no thinning of an outline may cost them the margin."""
    y = np.linspace(0.0, 600.0, 40)
    x = sweep * np.sin(np.pi * share * y / 600.0)
    x *= (2420.0 - length) / max(float(np.ptp(x)), 1e-9) if sweep else 0.0
    ends = np.stack([x - x.max(), y], axis=1)
    shape = shapely.Polygon([*ends.tolist(), (length, 600.0), (length, 0.0)])
    blanks = [Blank("side panel", shape, 0.0)]
    layout = nest(blanks, [SHEET], CLEAR, Effort.QUICK)
    assert layout.left_over == ()
    assert said(layout, blanks) == []


def test_a_small_part_is_laid_in_the_opening_of_a_large_one() -> None:
    ring = shapely.box(0, 0, 2420, 1200).difference(shapely.box(100, 100, 2320, 1100))
    assert isinstance(ring, shapely.Polygon)
    blanks = [Blank("frame", ring, None), box("knee", 500, 300)]
    layout = nest(blanks, [SHEET], CLEAR, Effort.QUICK)
    assert len(layout.sheets) == 1
    assert said(layout, blanks) == []


def test_grain_runs_with_the_sheets_and_other_parts_may_turn() -> None:
    narrow = SheetStock(1220.0, 2440.0, grain=SheetGrain.WIDTH)
    blanks = [box("side panel", 2300, 400), box("gusset", 1150, 150, grain=False)]
    layout = nest(blanks, [narrow], CLEAR, Effort.QUICK)
    turned = {placement.name: placement.turn % 180 for placement in layout.placements}
    assert turned["side panel"] == 90
    assert said(layout, blanks) == []


def test_parts_keep_clear_of_forbidden_strips() -> None:
    clamp = SheetStock(1000.0, 500.0, forbidden=(Strip(400, 0, 100, 500),))
    blanks = [box("thwart", 370, 480), box("seat", 470, 480)]
    layout = nest(blanks, [clamp], CLEAR, Effort.QUICK)
    assert len(layout.sheets) == 1
    assert said(layout, blanks) == []
    crossing = Layout((clamp,), (Placement("seat", 0, 0.0, 300.0, 10.0), *layout.placements[:1]), ())
    assert any(
        "0.00 mm from a forbidden strip, expected half the gap, 4.00 mm" in words for words in said(crossing, blanks)
    )


def test_offcuts_are_used_before_whole_sheets_and_no_more_of_them_than_there_are() -> None:
    offcut = SheetStock(700.0, 400.0, count=1)
    blanks = [box(f"knee {n}", 600, 300) for n in range(3)]
    layout = nest(blanks, [offcut, SHEET], CLEAR, Effort.QUICK)
    assert layout.sheets == (offcut, SHEET)
    assert said(layout, blanks, kinds=(offcut, SHEET)) == []


def test_what_finds_no_room_is_named() -> None:
    blanks = [box(f"seat {n}", 1500, 700) for n in range(3)]
    layout = nest(blanks, [SheetStock(2440.0, 1220.0, count=2)], CLEAR, Effort.QUICK)
    assert len(layout.left_over) == 1
    assert len(layout.sheets) == 2


def test_every_fault_of_a_layout_is_named_with_part_sheet_and_amount() -> None:
    blanks = [box("a", 500, 300), box("b", 500, 300), box("c", 500, 300), box("d", 100, 100)]
    placements = (
        Placement("a", 0, 0.0, 10.0, 10.0),
        Placement("b", 0, 0.0, 500.0, 10.0),  # over a by 10
        Placement("c", 0, 90.0, 1005.0, 2.5),  # across the grain, 5 from b, 2.5 from the edge
        Placement("e", 0, 0.0, 0.0, 0.0),
    )
    assert said(Layout((SHEET,), placements, ()), blanks) == [
        "e, sheet 1: no part of the job has this name",
        "d, on no sheet: is not laid out, expected once",
        "c, sheet 1: 2.50 mm from the sheet's edge, expected the margin of 10.00 mm",
        "c, sheet 1: turned 90.0° off the sheet's grain, expected 0.5° at most",
        "a, sheet 1: overlaps b by 3000 mm², expected the gap of 8.00 mm",
        "b, sheet 1: 5.00 mm from c, expected the gap of 8.00 mm",
    ]


@pytest.mark.parametrize("grain", SheetGrain)
def test_a_ring_of_plywood_lies_square_to_the_grain_and_a_mould_lies_any_way(grain: SheetGrain) -> None:
    ring, mould = (replace(box("frame", 500, 300, grain=False), square=square) for square in (True, False))
    for turn, askew in ((0.0, 0.0), (90.0, 0.0), (270.3, 0.3), (45.0, 45.0), (160.0, 20.0)):
        layout = Layout((replace(SHEET, grain=grain),), (Placement("frame", 0, turn, 20.0, 20.0),), ())
        told = (
            f"frame, sheet 1: turned {askew:.1f}° askew of the sheet's grain, expected its face grain athwart or "
            "upright"
        )
        refused = askew > 0.5 and grain is not SheetGrain.NONE
        assert said(layout, [ring]) == ([told] if refused else [])
        assert said(layout, [mould]) == []


def test_parts_laid_twice_sheets_too_many_and_sheets_unknown_are_faults() -> None:
    one = SheetStock(1000.0, 500.0, 9.0, "plywood", count=1)
    lying = (Placement("a", 0, 0.0, 20.0, 20.0), Placement("a", 1, 0.0, 20.0, 20.0), Placement("b", 7, 0.0, 20.0, 20.0))
    blanks = [box("a", 100, 100), box("b", 100, 100)]
    words = said(Layout((one, one, SHEET), lying, ()), blanks, kinds=(one,))
    assert "a, sheet 1: lies 2 times, expected once" in words
    assert "the sheet itself, sheet 2: is number 2 of its kind, of 1 in [stock]" in words
    assert "the sheet itself, sheet 3: is none of [stock] for the parts on it" in words
    assert "b, sheet 8: there are 3 sheets" in words


def test_sheets_are_for_their_own_material_and_thickness() -> None:
    thin = SheetStock(2440.0, 1220.0, 6.5, "Marine  Plywood")
    any_plywood = SheetStock(3050.0, 1525.0)
    plywood = Plywood(frozenset({"marine plywood"}))
    room = SheetRoom((thin, any_plywood), CLEAR, plywood)
    assert room.sheets_for("marine plywood", 6.4) == (thin, any_plywood)
    assert room.sheets_for("marine plywood", 9.0) == (any_plywood,)
    assert room.sheets_for("white oak", 6.5) == ()
    assert room.longest_run("marine plywood", 9.0) == 3050 - 20
    across = SheetRoom((SheetStock(1220.0, 2440.0, grain=SheetGrain.WIDTH),), CLEAR, plywood)
    assert across.longest_run("marine plywood", 9.0) == 2440 - 20


points = st.tuples(st.floats(0, 300), st.floats(0, 300))


@given(st.lists(points, min_size=3, max_size=8), st.floats(3, 20), st.integers(0, 2**16))
@settings(max_examples=30, deadline=None)
def test_every_place_of_a_shape_lies_in_its_cells(corners: list[tuple[float, float]], cell: float, seed: int) -> None:
    shape = shapely.MultiPoint(corners).convex_hull
    if not isinstance(shape, shapely.Polygon) or shape.area < 1:
        return
    cells = cells_of(shape, np.array([cell, cell]), shape.bounds)
    left, bottom, right, top = shape.bounds
    corner = (np.array([left + right, bottom + top]) - np.array(cells.shape) * cell) / 2
    inside = np.random.default_rng(seed).uniform([left, bottom], [right, top], size=(300, 2))
    inside = inside[shapely.contains_xy(shape, inside)]
    column, row = np.floor((inside - corner) / cell).astype(int).T
    assert cells[column, row].all()


def test_a_turned_part_lies_at_the_foot_it_is_given() -> None:
    shape = shapely.Polygon([(5, 5), (205, 5), (205, 45), (5, 105)])
    for turn in (0.0, 90.0, 180.0, 270.0, 33.0):
        lies = laid(shape, Placement("a", 0, turn, 40.0, 30.0))
        assert lies.bounds[:2] == pytest.approx((40.0, 30.0), abs=1e-9)
        assert lies.area == pytest.approx(shape.area)


def test_offcuts_are_the_largest_rectangles_and_touch_no_part() -> None:
    part = shapely.box(0, 0, 1000, 600)
    found = offcuts(2000.0, 1000.0, [part])
    assert found[0].length * found[0].width >= (1000 - CELL) * 1000
    for offcut in found:
        rectangle = shapely.box(offcut.left, offcut.bottom, offcut.left + offcut.length, offcut.bottom + offcut.width)
        assert rectangle.distance(part) > 0
    assert offcuts(100.0, 1000.0, []) == ()


@pytest.mark.slow
@pytest.mark.parametrize("seed", [2])
def test_many_small_parts_fill_more_than_half_of_their_sheet(seed: int) -> None:
    """`tests/bench/bench_nesting.py` holds sets like these against a strip packer that is given a minute."""
    blanks = small_part_set(seed, 0.5)
    layout = nest(blanks, [SHEET], CLEAR, Effort.QUICK)
    assert said(layout, blanks) == []
    assert len(layout.sheets) == 1
    end = max(laid(blank.shape, place).bounds[2] for blank, place in by_place(blanks, layout)) + CLEAR.margin
    assert sum(blank.shape.area for blank in blanks) / (end * SHEET.width) > 0.62


@settings(max_examples=8, deadline=None, phases=[Phase.explicit, Phase.reuse, Phase.generate])
@given(seed=st.integers(0, 2**32))
def test_a_layout_bettered_is_as_good_as_before_at_least_and_passes_the_proof(seed: int) -> None:
    chance = np.random.default_rng(seed)
    clear = Clearances(margin=float(chance.uniform(0, 20)), gap=float(chance.uniform(0, 12)))
    sheet = SheetStock(1200.0, 600.0, forbidden=(Strip(500, 0, 60, 200),) if seed % 2 else ())
    blanks = [
        replace(blank, name=f"{blank.name}, {n}")
        for n, blank in enumerate(small_part_set(seed, 0.3))
        if chance.random() < 0.3
    ][:12]
    before = nest_on_cells(blanks, [sheet], clear, Effort.QUICK)
    after = tightened(before, blanks, clear, 3_000)
    assert said(after, blanks, clear, (sheet,)) == []
    assert len(after.left_over) <= len(before.left_over)
    if not before.left_over:
        assert len(after.sheets) <= len(before.sheets)


def by_place(blanks: list[Blank], layout: Layout) -> list[tuple[Blank, Placement]]:
    shapes = {blank.name: blank for blank in blanks}
    return [(shapes[placement.name], placement) for placement in layout.placements]
