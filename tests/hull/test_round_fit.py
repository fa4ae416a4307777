"""One surface for every figure of a round hull: against formulas, and what it says of its table.

How far the surface may lie off the formula was measured with a probe before this was written;
`tests/bench/bench_round.py` measures random hulls.
"""

from __future__ import annotations

from dataclasses import replace
from functools import cache

import numpy as np
import pytest
from closed_round import ClosedRound, double_ender, ellipsoid, hard_turned, hollow, parabolic
from fresh_round import launch, wineglass
from judge_round import flared

from patterns.geometry.arrays import Floats
from patterns.hull.build import TransomFace
from patterns.hull.doubts.misreadings import Slip
from patterns.hull.fairing_rules import HALF_BREADTH, HEIGHT, FairingRule
from patterns.hull.offsets import OffsetRow, Offsets
from patterns.hull.round.fair_round import fair_round
from patterns.hull.round.figures import RoundLines, is_round
from patterns.hull.round.round_hull import RoundHull
from patterns.hull.round.skin_lines import skin_lines
from patterns.hull.round.thin_spots import next_figure, thin_spots
from patterns.parts.round_cautions import next_told, thin_told

FORMS = {"ellipsoid": ellipsoid, "parabolic": parabolic, "hollow": hollow, "double ender": double_ender}
HIDES = 9.0  # mm of planking


def asked(form: ClosedRound, table: Offsets, *rules: FairingRule) -> RoundLines:
    within = max(table.rounding, 0.02)
    return RoundLines(table, form.fore, form.aft, within, rules, form.diagonal_places)


@cache
def hull_of(name: str, step: float) -> tuple[ClosedRound, RoundHull]:
    form = FORMS[name]()
    return form, fair_round(asked(form, form.table(step)))


def apart(points: Floats, line: Floats) -> Floats:
    """(n,) mm from points (n, 2) to a line through many points (m, 2)."""
    low, way = line[:-1], np.diff(line, axis=0)
    away = points[:, None] - low
    share = np.clip(np.einsum("nmk,mk->nm", away, way) / np.einsum("mk,mk->m", way, way), 0, 1)
    return np.asarray(np.linalg.norm(away - share[..., None] * way, axis=2).min(axis=1))


def off_inside(form: ClosedRound, hull: RoundHull, x: float) -> tuple[float, float]:
    """mm and degrees that the inside of the planking at x and its bevel lie off the formula, clear of the timber."""
    exact, bevels = form.inside(x, HIDES, 201)
    clear = exact[:, 0] > form.keel_half + 1.0
    v = np.linspace(*hull.skin.reach(x), 401)
    cut = hull.skin.cut(np.array([1.0, 0.0, 0.0]), x, v, depth=HIDES)
    inside = (cut.points - HIDES * cut.normals)[:, 1:]
    near = ((exact[clear][:, None] - inside) ** 2).sum(axis=2).argmin(axis=1)
    turned = np.degrees(np.abs(cut.bevels[near] - bevels[clear]))
    return float(apart(exact[clear], inside).max()), float(turned.max())


@pytest.mark.parametrize(
    ("name", "step", "within", "bevel"),
    [
        ("ellipsoid", 0.01, 0.2, 0.4),
        ("parabolic", 0.01, 0.1, 0.4),
        ("hollow", 0.01, 0.7, 0.4),
        ("double ender", 0.01, 0.4, 0.4),
        ("ellipsoid", 1.0, 0.7, 1.2),
        ("parabolic", 1.0, 0.5, 1.2),
        ("hollow", 1.0, 1.1, 1.2),
        ("double ender", 1.0, 0.9, 1.2),
    ],
)
def test_moulds_lie_where_the_formula_has_them(name: str, step: float, within: float, bevel: float) -> None:
    form, hull = hull_of(name, step)
    middle = (form.stations[1:] + form.stations[:-1]) / 2
    places = np.concatenate([form.stations[[1, 4, -2]], middle[[2, 5]]])
    off = [off_inside(form, hull, float(x)) for x in places]
    assert max(mm for mm, _ in off) < within
    assert max(turned for _, turned in off) < bevel


@pytest.mark.parametrize("name", FORMS)
@pytest.mark.parametrize("step", [0.01, 1.0])
def test_no_figure_is_moved_beyond_its_limit_and_each_is_what_the_surface_reads(name: str, step: float) -> None:
    form, hull = hull_of(name, step)
    assert hull.within_limits
    for one in hull.figures:
        assert abs(one.moved) <= one.limit + 0.02, one
    lines, cuts = skin_lines(hull)
    views = [view for line in lines for view in (line.height, line.half_breadth)] + [cut.view for cut in cuts]
    for view in views:
        assert np.abs(view.batten.value(view.from_fp) - view.faired).max() < 0.03
    assert {cut.name for cut in cuts} == {
        row.name for row in (*form.table(1.0).heights, *form.table(1.0).half_breadths)
    } - set(form.table(1.0).lines)


@pytest.mark.parametrize("seed", [20, 23])
def test_limits_on_a_flat_floor_that_is_drawn_roughly_bend_the_skin_nowhere_else(seed: int) -> None:
    """A half-breadth where the bottom is nearly level says its height to a tenth of a mm: such a limit pulls hard."""
    form = launch(660.0, 18.0, 0.05, 3.0)
    table = form.table(1.0, noise=1.0, rng=np.random.default_rng(seed))
    hull = fair_round(replace(asked(form, table), within=2.0))
    assert max(abs(one.moved) for one in hull.figures if not one.left_out) < (2.1 if hull.within_limits else 4.0)
    for x in form.stations[-3:].tolist():
        section = hull.skin.section(float(x), 401).points[:, 1:]
        assert apart(form.outside(float(x), 101), section).max() < 4.0


def test_the_same_table_gives_the_same_bytes() -> None:
    form = hollow()
    first, second = (fair_round(asked(form, form.table(1.0))) for _ in range(2))
    for name in ("breadths", "heights", "fore", "aft"):
        assert getattr(first.skin, name).tobytes() == getattr(second.skin, name).tobytes()


def test_no_right_figure_is_accused_and_no_place_is_called_thin() -> None:
    for name in FORMS:
        _, hull = hull_of(name, 1.0)
        assert hull.suspects == ()
        assert hull.guessed == ()


def with_figure(table: Offsets, line: str, column: str, value: float) -> Offsets:
    place = table.columns.index(column)
    rows = tuple(
        replace(row, values=np.where(np.arange(len(row.values)) == place, value, row.values)) if row.name == line else
        row for row in table.half_breadths
    )  # fmt: skip
    return replace(table, half_breadths=rows)


def test_a_slip_in_a_waterline_is_denied_by_the_other_views_with_the_slip_that_explains_it() -> None:
    form = hollow()
    right = form.table(1.0)
    was = float(next(row for row in right.half_breadths if row.name == "waterline 210").values[5])
    assert was == 414.0
    hull = fair_round(asked(form, with_figure(right, "waterline 210", "5", 474.0)))
    (one,) = hull.suspects
    assert one.place == ("waterline 210", HALF_BREADTH, "5")
    assert abs(one.expected - was) < max(one.give, 1.0)
    assert one.slip is None or (one.slip, one.meant) == (Slip.DIGIT, 414.0)
    assert len({line for line, _, column in one.deniers if column == "5"}) >= 2
    # It is left out, and the surface stays where it was without the slip.
    figure = next(each for each in hull.figures if (each.line, each.column) == ("waterline 210", "5"))
    assert figure.left_out
    assert abs(figure.faired - was) < 1.0


def test_a_lock_holds_one_figure_to_the_last_digit_that_a_builder_can_see() -> None:
    form = ellipsoid()
    rule = FairingRule("waterline 220", HALF_BREADTH, "4", 0.0)
    hull = fair_round(asked(form, form.table(1.0), rule))
    locked = next(one for one in hull.figures if (one.line, one.column) == ("waterline 220", "4"))
    assert abs(locked.moved) < 0.02
    left_out = FairingRule("buttock 200", HEIGHT, "5", float("nan"))
    hull = fair_round(asked(form, form.table(1.0), left_out))
    out = next(one for one in hull.figures if (one.line, one.column) == ("buttock 200", "5"))
    assert out.left_out
    assert abs(out.moved) < 1.5


@pytest.mark.parametrize("slip", [500.0, 502.0])
def test_a_small_slip_with_a_narrow_limit_bends_no_boat(slip: float) -> None:
    """498 is right. To keep 1 mm of such a figure the whole surface went 8 to 53 mm astray; now the limit gives."""
    form = hollow()
    hull = fair_round(asked(form, with_figure(form.table(1.0), "waterline 300", "5", slip)))
    assert not hull.within_limits
    for x in form.stations[1:-1].tolist():
        section = hull.skin.section(float(x), 401).points[:, 1:]
        assert apart(form.outside(float(x), 101), section).max() < 2.0
    held = [one for one in hull.figures if one.held]
    assert any(one.further > 0.5 for one in held)
    assert all(one.further == 0.0 for one in hull.figures if not one.held)


def test_a_chine_row_is_a_hard_turn_of_the_surface() -> None:
    """Floor and side are parabolas that meet in an angle; without the row the corner would be rounded by 7 mm."""
    form = hard_turned()
    hull = fair_round(asked(form, form.table(1.0)))
    assert hull.skin.corners == (0.5,)
    for x in form.stations[1:-1].tolist():
        section = hull.skin.section(float(x), 401).points[:, 1:]
        assert apart(form.outside(float(x), 101), section).max() < 1.0


def without(table: Offsets, *names: str) -> Offsets:
    kept = tuple(row for row in table.half_breadths if row.name not in names)
    return replace(table, half_breadths=kept)


def test_where_the_table_says_too_little_it_is_told_with_the_figure_that_helps() -> None:
    form = hollow()
    hull = fair_round(asked(form, without(form.table(1.0), "waterline 300", "waterline 400", "diagonal A")))
    spots = thin_spots(hull, within=1.0)
    assert any(spot.above == "sheer" for spot in spots)
    # Spots one above the other at the same stations are one.
    ends = [(spot.columns, line) for spot in spots for line in (spot.below, spot.above)]
    assert len(set(ends)) == len(ends)
    assert [spot.most for spot in spots] == sorted((spot.most for spot in spots), reverse=True)
    best = next_figure(hull, within=1.0)
    assert best is not None
    assert best.after < best.now


def test_where_next_to_nothing_holds_the_skin_it_is_told_as_a_guess_without_a_figure_of_mm() -> None:
    """Told of the same boat by its band: 647 mm, on a depth of 527, where the skin was out by 30."""
    form = flared()
    table = form.table(1.0)
    sparse = fair_round(asked(form, without_cuts(table, "buttock 340", "waterline 380")))
    spots = thin_spots(sparse, within=1.0)
    assert {spot.guess for spot in spots} == {spot.most > 0.1 * sparse.depth for spot in spots}
    guess = next(spot for spot in spots if spot.guess)
    assert "guess" in (text := thin_told(guess, "mm")[1])
    assert " mm" not in text
    assert (best := next_figure(sparse, within=1.0)) is not None
    assert "is a guess there now" in next_told(best, sparse, "mm")
    assert not any(spot.guess for spot in thin_spots(fair_round(asked(form, table)), within=1.0))


def test_a_table_thinned_by_a_row_lies_within_its_band() -> None:
    """One hull is no law; `bench_round.py thin` counts over many."""
    form = hollow()
    hull = fair_round(asked(form, without(form.table(1.0), "waterline 400")))
    inside: list[bool] = []
    for x in form.stations[1:-1].tolist():
        places = hull.skin.section(float(x), np.linspace(0.02, 0.98, 41))
        off = apart(places.points[:, 1:], form.outside(float(x), 2001))
        inside += (off <= hull.may_be_out(places)).tolist()
    assert np.mean(inside) > 0.9


def test_what_makes_a_table_one_of_a_round_hull() -> None:
    table = hollow().table(1.0)
    assert is_round(table)
    assert not is_round(replace(table, heights=tuple(row for row in table.heights if row.name != "keel")))
    lines = tuple(row for row in table.half_breadths if row.name in ("sheer", "keel"))
    heights = tuple(row for row in table.heights if row.name in ("sheer", "keel"))
    assert not is_round(replace(table, heights=heights, half_breadths=lines))


def test_a_figure_in_a_column_of_its_own_and_a_keel_with_gaps_are_heeded() -> None:
    """One more figure measured on the plan stands alone in its column; the rabbet runs fair through blank stations."""
    form = hollow()
    table, x = form.table(1.0), 925.0
    y = round(float(form.section(np.array(x), np.array(1.0))[0]))

    def put(row: OffsetRow, value: float) -> OffsetRow:
        return replace(row, values=np.insert(row.values, 3, value))

    heights = [put(row, np.nan) for row in table.heights]
    keel = next(k for k, row in enumerate(heights) if row.name == "keel")
    gaps = np.isin(np.arange(12), (6, 7))
    heights[keel] = replace(heights[keel], values=np.where(gaps, np.nan, heights[keel].values))
    halves = [put(row, float(y) if row.name == "sheer" else np.nan) for row in table.half_breadths]
    columns = (*table.columns[:3], "a", *table.columns[3:])
    from_fp = np.insert(table.from_fp, 3, x)
    more = replace(table, columns=columns, from_fp=from_fp, heights=tuple(heights), half_breadths=tuple(halves))
    hull = fair_round(asked(form, more))
    alone = next(one for one in hull.figures if one.column == "a")
    assert abs(alone.moved) < 1.0
    for station in form.stations[4:7].tolist():
        low = hull.skin.section(float(station), np.zeros(1))
        off = low.points[0, 2] - float(form.section(np.array(station), np.array(0.0))[1])
        assert abs(off) < 1.5 * float(hull.may_be_out(low)[0])
    assert all(np.isfinite(one.faired) for one in hull.figures)


def test_a_boat_of_twice_the_size_is_twice_as_large() -> None:
    """Not to the last digit: what a plan's drawing may be off by, and what is fine, are mm and do not grow."""
    form = ellipsoid()
    small = fair_round(asked(form, form.table(1.0)))
    large = form.table(1.0)
    double = replace(
        large,
        from_fp=2 * large.from_fp,
        heights=tuple(replace(row, values=2 * row.values, level=2 * row.level) for row in large.heights),
        half_breadths=tuple(replace(row, values=2 * row.values, level=2 * row.level) for row in large.half_breadths),
        rounding=2.0,
    )
    ends = [TransomFace(2 * end.profile) for end in (form.fore, form.aft)]
    diagonals = tuple(replace(one, apex=2 * one.apex) for one in form.diagonal_places)
    hull = fair_round(RoundLines(double, *ends, 2.0, (), diagonals))
    for x in form.stations[[0, 3, 7]].tolist():
        one, two = (each.skin.section(size * x, 81).points[:, 1:] for each, size in ((small, 1), (hull, 2)))
        assert apart(two[::8], 2 * one).max() < 0.3


def without_cuts(table: Offsets, *kept: str) -> Offsets:
    """The table with no other cuts than these."""
    heights, halves = (
        tuple(row for row in rows if row.name in (*table.lines, *kept)) for rows in (table.heights, table.half_breadths)
    )
    return replace(table, heights=heights, half_breadths=halves)


def test_the_band_holds_also_in_tables_with_two_rows_of_cuts() -> None:
    """Nineteen of twenty are meant. With feet held for known along their sections, and a hull held as stiff as so few
    figures let it seem, it held 2 of 20 on the launch and 15 on the wineglass."""
    for form, kept in (
        (launch(), ("waterline 200", "diagonal A")),
        (wineglass(), ("waterline 160", "diagonal A")),
    ):
        held: list[bool] = []
        hull = fair_round(asked(form, without_cuts(form.table(1.0), *kept)))
        middle = (form.stations[1:] + form.stations[:-1]) / 2
        for x in (*form.stations.tolist(), *middle.tolist()):
            places = hull.skin.section(x, 41)
            inner = slice(1, -1)
            off = apart(places.points[inner, 1:], form.outside(x, 401))
            held += (off <= hull.may_be_out(places)[inner]).tolist()
        assert np.mean(held) > 0.85
