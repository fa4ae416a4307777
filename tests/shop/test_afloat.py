"""The boat weighed by her parts and floated: by hand where it can be, the same figures wherever they are written."""

from __future__ import annotations

import csv
import io
import json
from dataclasses import replace
from functools import cache
from math import fsum

import numpy as np
import pytest
from boats import saltmeadow
from known_chines import KNOWN
from sample_jobs import sample

from patterns.geometry.floating import Level, immersed
from patterns.hull.planking.outside import outside_body
from patterns.job.boat_job import BoatJob
from patterns.job.products.afloat_files import make_afloat
from patterns.parts.materials import NOT_STATED
from patterns.parts.role import Role
from patterns.shop.afloat.afloat_rules import AfloatRules, Load, OwnDensity, Water
from patterns.shop.afloat.floats import Afloat, Condition, afloat, conditions, displaced, float_at
from patterns.shop.afloat.weights import Spread, hull_weight, kept_in_boat, table_density
from patterns.units.weights import POUND, read_weight, write_weight
from patterns.writing.book.book_afloat import afloat_section
from patterns.writing.job_json.job_afloat import afloat_figures
from patterns.writing.report.afloat_words import swamp_words, weight_words
from patterns.writing.report.report_blocks import Table
from patterns.writing.tables.afloat_csv import FLOATS, WEIGHTS

PLYWOOD = OwnDensity("marine plywood", None, (500.0, 560.0))
ROWER = Load("rower", 80.0, 2100.0, 500.0)


@cache
def kept(name: str):
    return kept_in_boat(sample(name)[1])


@cache
def reedling() -> Afloat:
    read, job = sample("reedling")
    return afloat(job, replace(read.afloat, loads=(ROWER,)))


@cache
def outside():
    return outside_body(sample("reedling")[1].hull)


def floated(*loads: Load, water: Water = Water.FRESH) -> list[Condition]:
    """Reedling with other loads, her wood weighed once."""
    return list(conditions(reedling().hull, AfloatRules(loads=loads, water=water), outside(), outside().mesh.points))


def test_white_oak_is_as_heavy_as_the_handbook_says() -> None:
    """Specific gravity 0.68 at 12 %: 1000 x 0.68 x 1.12 = 761.6 kg/m3, 47.5 lb/ft3 (FPL-GTR-282, chapter 4)."""
    oak = table_density("white oak")
    assert oak is not None
    assert oak.likely == pytest.approx(761.6)
    assert (oak.least, oak.most) == (pytest.approx(0.9 * 761.6), pytest.approx(1.1 * 761.6))


def test_a_name_of_several_woods_spreads_from_the_lightest_to_the_heaviest() -> None:
    """Douglas-fir: 0.46 to 0.50 in the table."""
    fir = table_density("Douglas fir")
    assert fir is not None
    assert fir.least == pytest.approx(0.9 * 1120 * 0.46)
    assert fir.most == pytest.approx(1.1 * 1120 * 0.50)
    assert fir.likely == pytest.approx(1120 * 0.48)


def test_plywood_has_no_density_but_the_builders_own() -> None:
    read, job = sample("reedling")
    bare = hull_weight(job, kept(job.boat.name.lower()), AfloatRules())
    assert not bare.known
    [lacking] = bare.no_density
    assert (lacking.material, lacking.key) == ("marine plywood", "[[wood]]")
    assert "side panel" in lacking.parts
    assert 'Write a table [[wood]] with material = "marine plywood" and its density.' in weight_words(bare, "mm")
    assert hull_weight(job, kept(job.boat.name.lower()), read.afloat).known


def test_wood_that_boat_toml_does_not_name_is_told_by_its_key() -> None:
    _, job = sample("saltmeadow")
    bare = tuple(replace(part, material=NOT_STATED) if part.name in ("transom", "stem") else part for part in job.parts)
    job = replace(job, parts=bare)
    lacking = hull_weight(job, kept_in_boat(job), AfloatRules(own=(PLYWOOD,))).no_density
    assert {one.key for one in lacking} == {"[transom] material", "[stem] material"}


def test_a_panel_weighs_its_area_by_its_thickness_by_its_density() -> None:
    read, job = sample("reedling")
    weighed = {one.title: one for one in hull_weight(job, kept(job.boat.name.lower()), read.afloat).parts}
    for part in job.parts:
        if part.role is Role.PANEL and part.hand == "starboard":
            # Its edges are bevelled a little: near enough the mean of both faces.
            volume = part.thickness * (shoelace(part.outline) + shoelace(part.far_outline)) / 2
            assert weighed[part.title].volume == pytest.approx(volume, rel=2e-3)
            weight = weighed[part.title].weight
            assert weight is not None
            assert weight.likely == pytest.approx(weighed[part.title].volume / 1e9 * (432.5 + 544.6) / 2, rel=2e-3)


def shoelace(ring: np.ndarray) -> float:
    x, y = ring.T
    return abs(float(x @ np.roll(y, -1) - y @ np.roll(x, -1))) / 2


def test_moulds_come_out_of_the_boat_and_are_not_weighed() -> None:
    _, job = sample("duckweed")
    moulds = {part.title for part in job.parts if part.role is Role.MOULD}
    assert not moulds & {one.part.title for one in kept("duckweed")}


def test_a_hull_weighs_as_much_as_it_displaces_with_both_centres_plumb() -> None:
    boat, body = reedling(), outside()
    for condition in boat.conditions:
        rest = condition.likely
        assert rest is not None
        under = immersed(body, rest.level)
        assert under.volume == pytest.approx(displaced(condition.weight.likely, Water.FRESH), rel=1e-7)
        assert float((under.centre - condition.centre) @ rest.level.aft) == pytest.approx(0.0, abs=1e-3)


def test_a_heavier_hull_draws_more_and_has_less_freeboard() -> None:
    for condition in reedling().conditions:
        drafts = [one.draft for one in condition.floats if one]
        free = [one.freeboard for one in condition.floats if one]
        assert drafts == sorted(drafts)
        assert len(set(drafts)) == 3
        assert free == sorted(free, reverse=True)


def test_a_weight_put_aft_sinks_the_stern() -> None:
    forward, aft = (floated(replace(ROWER, from_fp=x))[1].likely for x in (1900.0, 2700.0))
    assert forward is not None
    assert aft is not None
    assert aft.by_stern > forward.by_stern + 10.0
    assert aft.marks[1] > forward.marks[1]


def test_a_load_comes_aboard_at_its_place() -> None:
    """The lever rule by hand."""
    bare, loaded = reedling().conditions
    hull, centre = bare.weight.likely, bare.centre
    assert loaded.weight.likely == pytest.approx(hull + 80.0)
    assert loaded.centre[0] == pytest.approx((hull * centre[0] + 80 * 2100) / (hull + 80))
    assert loaded.centre[2] == pytest.approx((hull * centre[2] + 80 * 500) / (hull + 80))


def test_a_boat_under_too_much_swamps_and_says_so() -> None:
    heavy = floated(replace(ROWER, weight=1400.0))
    assert [one.swamps for one in heavy] == [False, True]
    assert heavy[1].floats == (None, None, None)
    assert "more than she bears up to the sheer" in swamp_words(heavy[1], "mm")


def test_a_sheer_under_water_swamps_and_says_where() -> None:
    rest = float_at(outside(), Level(float(outside().mesh.points[:, 2].max()) - 100.0), outside().mesh.points)
    assert rest.swamps
    bare = reedling().conditions[0]
    told = swamp_words(replace(bare, floats=(rest, rest, rest)), "mm")
    under, where = (5 * round(mm / 5) for mm in (-rest.freeboard, rest.least_at))
    assert f"{under} mm under water at {where} mm from FP" in told


def test_in_salt_water_she_floats_higher() -> None:
    for fresh_one, salt_one in zip(floated(ROWER), floated(ROWER, water=Water.SALT), strict=True):
        assert fresh_one.likely
        assert salt_one.likely
        assert salt_one.likely.freeboard > fresh_one.likely.freeboard


def test_outside_of_a_hull_drawn_to_its_outside_passes_through_its_lines() -> None:
    """Sheer and chine are the corners of the outside: each has its row of points in the body."""
    _, job = sample("saltmeadow")
    points = outside_body(job.hull).mesh.points
    for line in job.lines:
        starboard = points[(points[:, 1] > 0) & (points[:, 0] > line.curve.first) & (points[:, 0] < line.curve.last)]
        off = np.linalg.norm(starboard - line.curve.point(starboard[:, 0]), axis=1)
        assert (off < 0.02).sum() > 100, line.name


def test_book_json_and_tables_have_the_same_figures() -> None:
    read, _ = sample("reedling")
    job = BoatJob(read)
    job.knows({"lofted": sample("reedling")[1], "afloat": reedling()})
    boat, made = job.afloat, make_afloat(job).files
    figures = json.loads(json.dumps(afloat_figures(boat)))
    weights = rows(str(made[WEIGHTS]))
    assert [row["part"] for row in weights] == [*(one["part"] for one in figures["parts"]), "all together"]
    for row, one in zip(weights, figures["parts"], strict=False):
        assert float(row["weight_likely_kg"]) == pytest.approx(one["weight"]["likely"], abs=1e-8)
        assert float(row["volume_mm3"]) == pytest.approx(one["volume"], rel=1e-9)
    total = figures["weight"]["likely"]
    assert total == pytest.approx(fsum(one["weight"]["likely"] for one in figures["parts"]))
    assert weights[-1]["weight likely"] == write_weight(total, job.show)
    by_parts, floating, _ = (block for block in afloat_section(boat, job.show).blocks if isinstance(block, Table))
    assert by_parts.rows[-1][3] == write_weight(total, job.show)
    for row, one, shown in zip(rows(str(made[FLOATS])), figures["afloat"], floating.rows, strict=True):
        assert float(row["draft_likely_mm"]) == pytest.approx(one["likely"]["draft"], abs=1e-8)
        assert float(row["wetted_mm2"]) == pytest.approx(one["likely"]["wetted"], rel=1e-9)
        assert shown[0] == row["aboard"] == one["aboard"]
        assert shown[1].startswith(write_weight(one["weight"]["likely"], job.show))


def rows(text: str) -> list[dict[str, str]]:
    _, _, table = text.partition("\n\n")
    return list(csv.DictReader(io.StringIO(table)))


def test_pounds_go_to_kilograms_and_back() -> None:
    assert read_weight("100 lb") == 100 * POUND
    assert write_weight(read_weight("165 lbs"), "in-16ths") == "165 lb"


def test_a_spread_grows_by_what_is_known_exactly_at_both_ends() -> None:
    assert Spread(90.0, 100.0, 115.0).plus(80.0) == Spread(170.0, 180.0, 195.0)


def test_the_outside_displaces_the_same_whichever_way_the_planks_lap() -> None:
    """Lines to the outside: thickness and joints lie inside of it."""
    from boats import reskinned

    from patterns.parts.whole import loft

    boat = saltmeadow()
    thick = replace(boat, skin=reskinned(boat.skin, side=1.3, bottom=0.8))
    levels = [immersed(outside_body(loft(one).hull), Level(150.0)).volume for one in (boat, thick)]
    assert levels[0] == pytest.approx(levels[1], rel=1e-6)


@pytest.mark.parametrize("name", ["wedge", "pram", "dory", "sharpie"])
def test_the_outside_of_a_hull_of_planes_and_cones_lies_on_them(name: str) -> None:
    known = KNOWN[name]()
    body = outside_body(known.hull)
    assert body.mesh.torn == 0
    starboard = body.mesh.points[body.mesh.points[:, 1] > 0.01]
    off = [np.abs(one.beyond(starboard) - deep) for one, deep in zip(known.strakes, known.outside, strict=True)]
    assert np.min(off, axis=0).max() < 0.05
