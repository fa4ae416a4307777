"""Fastenings where wood is left to hold them, in figures worked by hand; glue and finish by closed forms."""

from __future__ import annotations

from dataclasses import replace
from math import ceil, pi

import numpy as np
import pytest
import shapely
from sample_jobs import sample
from screws import in_the_air, nearest

from patterns.parts.role import MarkKind, Role
from patterns.parts.whole import Job
from patterns.plates.words.fastening_words import amount_words, fastening_words
from patterns.reading.toml.fastening_tables import FasteningsTable, FinishTable, fasten_rules, finish_rules
from patterns.shop.fastening.drawn_lines import with_fastening_lines
from patterns.shop.fastening.finishing import Amount, fillet_area, finishing
from patterns.shop.fastening.on_skin import on_skin
from patterns.shop.fastening.rules import rules
from patterns.shop.fastening.seam import Seam, pairs_together, totals
from patterns.shop.fastening.seams import fastened_places, seams
from patterns.shop.fastening.sizes import fastening_for
from patterns.shop.router.pilots import pilot_holes

INCH = 25.4
FOOT2, POUND, GALLON = (12 * INCH) ** 2, 0.45359237, 231 * INCH**3  # mm2, kg, mm3
OUNCE_A_YARD2 = POUND / 16 * 1000 / (0.9144**2)  # g/m2
FASTEN, FINISH = (
    fasten_rules(FasteningsTable.model_validate({}), unit="in", metric=False),
    finish_rules(FinishTable.model_validate({}), unit="in"),
)


@pytest.fixture(scope="module")
def found() -> tuple[Seam, ...]:
    read, job = sample("saltmeadow")
    return seams(job, read.router, FASTEN)


def _seam(found: tuple[Seam, ...], part: str, along: str) -> Seam:
    return next(one for one in found if one.part == part and one.along == along)


def test_counts_are_the_length_over_the_spacing_less_what_has_no_room(found: tuple[Seam, ...]) -> None:
    """Hand-worked: 3902 mm of log at 63.5 mm takes 62 spaces, one fastening in the middle of each."""
    chine = _seam(found, "side panel, port", "chine")
    assert chine.spacing == pytest.approx(2.5 * INCH)
    assert ceil(chine.length / chine.spacing) == 62
    assert chine.count == 62
    for one in found:
        # Midway between those of another row, one may stand at either end; a frame's line is cut by what is let in.
        assert one.count <= ceil(one.length / one.spacing) + 1


def test_neighbours_on_a_seam_are_no_further_apart_than_its_spacing(found: tuple[Seam, ...]) -> None:
    for part, along, inches in (
        ("side panel, port", "chine", 2.5),
        ("side panel, port", "sheer", 3.5),
        ("bottom panel", "inside of side, port", 2.5),
        ("outwale, port", "fastening line", 3.5),
    ):
        seam = _seam(found, part, along)
        apart = np.hypot(*np.diff(seam.places, axis=0).T)
        assert seam.spacing == pytest.approx(inches * INCH)
        assert apart.max() <= 1.01 * inches * INCH


def test_two_rows_into_one_piece_of_wood_are_half_a_space_off_each_other() -> None:
    """From FP, read off the skin: an outwale's screw is no nearer one of the side's than three eighths of a space."""
    for name in ("saltmeadow", "sandlark", "duckweed"):
        read, job = sample(name)
        all_seams = seams(job, read.router, FASTEN)
        pairs = [("side panel, starboard", "chine", one) for one in all_seams if "panel above" in one.how]
        pairs += [("side panel, starboard", "sheer", one) for one in all_seams if one.over_inwale]
        assert pairs
        for part, along, second in pairs:
            first = _seam(all_seams, part, along)
            x, own = (_from_fp(job, one) for one in (first, second))
            gaps = np.abs(own[:, None] - x[None]).min(axis=1)
            # The last at either end may be nearer: there is no next one to stand midway to.
            assert np.sort(gaps)[2:].min() > 0.36 * first.spacing, (name, second.part)


def _from_fp(job: Job, seam: Seam) -> np.ndarray:
    skin = on_skin(job, job.part(seam.part))
    assert skin is not None
    return skin.from_fp(seam.places)


@pytest.mark.parametrize("name", ["saltmeadow", "sandlark", "duckweed"])
def test_no_two_screws_meet_in_the_wood(name: str) -> None:
    """All of them as lines in space, head to point, square to the planking; a number 10 is 4.8 mm across."""
    read, job = sample(name)
    found = nearest(
        job, seams(job, read.router, fasten_rules(FasteningsTable.model_validate({}), unit="in", metric=False))
    )
    assert found[0][0] > 6.0, found[:3]


@pytest.mark.parametrize("name", ["duckweed"])
def test_every_screw_ends_in_wood(name: str) -> None:
    """Driven as the book says, its point is inside a solid of the boat: a log, a rail, a stem, a frame, a transom."""
    read, job = sample(name)
    assert not list(in_the_air(job, seams(job, read.router, FASTEN)))


def test_screws_of_a_thin_transom_stand_in_the_middle_of_its_thickness() -> None:
    """Common practice. A board of 12 mm leaves 2 mm behind a screw 10 mm from the planed edge; one of 14 leaves 4."""
    read, job = sample("duckweed")
    for thick, stands in ((12.0, 6.0), (13.9, 6.95), (14.1, 10.0), (18.0, 10.0)):
        router = replace(read.router, pilot_edge=10.0, transoms=(("transom", thick),))
        rows = [one for one in seams(job, router, FASTEN) if one.into == "transom"]
        assert len(rows) == 3
        for one in rows:
            part = job.part(one.part)
            both = shapely.Polygon(part.outline).intersection(shapely.Polygon(part.far_outline))
            end = min(shapely.distance(shapely.points(one.places), both.exterior))
            assert one.edge == stands
            assert one.count > 2
            assert end == pytest.approx(stands, abs=0.15)


def test_a_frames_line_is_fastened_only_where_the_frame_is_behind_it() -> None:
    """Hand-worked: the keel batten is 5 in wide, let into the frames: 2 1/2 in to either side holds no screw."""
    read, job = sample("saltmeadow")
    lines = [one for one in seams(job, read.router, FASTEN) if one.part == "bottom panel" and one.into == "frame"]
    assert len(lines) == 6
    assert min(float(np.abs(one.places[:, 1]).min()) for one in lines) > 2.5 * INCH


def test_screws_into_a_stem_are_as_many_on_both_hands_and_midway_between_each_other() -> None:
    read, job = sample("sandlark")
    all_seams = seams(job, read.router, FASTEN)
    port, starboard = (_seam(all_seams, f"side panel, {hand}", "stem") for hand in ("port", "starboard"))
    assert port.count == starboard.count
    heights = []
    for one in (port, starboard):
        skin = on_skin(job, job.part(one.part))
        assert skin is not None
        heights.append(np.sort(skin.in_space(one.places)[:, 2]))
    assert np.abs((heights[0] - heights[1]) - np.median(np.diff(heights[0])) / 2).max() < 1.0


def test_an_outwale_alone_is_fastened_once_from_inside() -> None:
    read, job = sample("saltmeadow")
    alone = replace(job, boat=replace(job.boat, long=replace(job.boat.long, inwale=None)))
    all_seams = seams(alone, read.router, FASTEN)
    assert not any(one.along == "sheer" for one in all_seams)
    outwale = _seam(all_seams, "outwale, port", "fastening line")
    assert outwale.how.startswith("from inside, through the panel into the outwale")


def test_no_fastening_is_nearer_an_edge_of_either_face_than_the_edge_distance(found: tuple[Seam, ...]) -> None:
    """What is left when the edges are planed is what both faces share."""
    read, job = sample("saltmeadow")
    for part in job.parts:
        if part.role is not Role.PANEL:
            continue
        both = shapely.Polygon(part.outline).intersection(shapely.Polygon(part.far_outline))
        for one in (seam for seam in found if seam.part == part.title):
            for place in one.places:
                assert both.contains(shapely.Point(place))
                assert both.exterior.distance(shapely.Point(place)) >= 0.98 * read.router.pilot_edge


def test_fastenings_stand_where_the_router_bores_for_them(found: tuple[Seam, ...]) -> None:
    read, job = sample("saltmeadow")
    rules_with = replace(read.router, pilot=2.4)
    panel = job.part("side panel, port")
    placed = fastened_places(job, found)[panel.title]
    assert len(placed) == sum(one.count for one in found if one.part == panel.title)
    bored = [hole.at for hole in pilot_holes(panel, rules_with, shapely.Polygon(panel.outline), placed)]
    assert np.allclose(placed, bored)


@pytest.mark.parametrize(
    ("thick", "behind", "length", "number"),
    [
        (3 / 8, None, 1, 8),  # 2.5 x 3/8 is 15/16, sold as 1
        (1 / 2, None, 1.25, 8),  # 2.5 x 1/2
        (1 / 4, 1 / 4, 3 / 8, 4),  # 1/4 + 1/4 - 1/8: a longer one comes through
        (3 / 8, 9 / 16, 3 / 4, 6),  # 15/16 less 1/8 is 13/16: 1 comes through
        (3 / 4, None, 1.875, 12),  # 2.5 x 3/4
    ],
)
def test_a_fastening_is_as_long_as_the_rule_says_and_stops_short_of_the_far_face(
    thick: float, behind: float | None, length: float, number: int
) -> None:
    one = fastening_for(thick * INCH, None if behind is None else behind * INCH, FASTEN)
    assert one.length == pytest.approx(length * INCH)
    assert one.number == number
    # ASME B18.6.1: a number 8 is 0.164 in across.
    assert one.shank == pytest.approx((0.060 + 0.013 * number) * INCH)
    assert one.leads == pytest.approx((0.7 * 2 / 3 * one.shank, 0.9 * 2 / 3 * one.shank))


def test_a_rail_is_fastened_through_the_planking_it_lies_on(found: tuple[Seam, ...]) -> None:
    """Hand-worked: 3/8 in sides, 1/2 in bottom, rails and keel batten 3/4 in; 1/8 in is left beyond each point."""
    lengths = {one.part: one.fastening.length / INCH for one in found}
    # 2.5 x 3/8 is 15/16, sold as 1; 1 1/8 would come out of the rail's face.
    assert lengths["rub rail, port"] == pytest.approx(1)
    # 1/2 + 3/4 - 1/8
    assert lengths["keel batten"] == pytest.approx(9 / 8)
    # From outside into the inwale: 3/4 + 3/8 + 3/4 - 1/8, less than 2.5 x 3/4.
    assert lengths["outwale, port"] == pytest.approx(7 / 4)


def test_a_bottom_between_the_sides_is_fastened_to_its_logs_all_along() -> None:
    """Hand-worked: 2.14 m at 63.5 mm apart. The bottom's far face is planed in, so its line lies further in."""
    read, job = sample("duckweed")
    logs = [one for one in seams(job, read.router, FASTEN) if one.part == "bottom panel" and one.into == "chine log"]
    assert [one.along for one in logs] == ["inside of side, starboard", "inside of side, port"]
    for one in logs:
        assert one.length == pytest.approx(2145, abs=30)
        assert ceil(one.length / one.spacing) - 2 <= one.count


def test_port_and_starboard_are_fastened_alike(found: tuple[Seam, ...]) -> None:
    counts = {(one.part, one.along): one.count for one in found}
    for (part, along), count in counts.items():
        if along == "stem":  # where the rows of both hands keep clear of each other
            continue
        assert counts[part.replace("port", "starboard") if "port" in part else part, along] == count


def test_what_is_bought_is_all_seams_and_some_to_spare(found: tuple[Seam, ...]) -> None:
    bought = totals(found, FASTEN)
    assert sum(count for _, count, _ in bought) == sum(one.count for one in found)
    assert all(more == ceil(1.1 * count - 1e-9) for _, count, more in bought)
    assert sum(count for _, count in pairs_together(found)) == sum(one.count for one in found)


def test_planking_on_moulds_is_not_fastened_to_them() -> None:
    read, job = sample("marram")
    assert not any(one.into == "frame" for one in seams(job, read.router, FASTEN))
    read, job = sample("saltmeadow")
    assert any(one.into == "frame" for one in seams(job, read.router, FASTEN))


def test_lines_on_a_pattern_are_drawn_only_where_a_fastening_may_stand(found: tuple[Seam, ...]) -> None:
    _, job = sample("saltmeadow")
    drawn = {part.title: part for part in with_fastening_lines(job.parts, found, "ft-in-16ths")}
    panel = drawn["side panel, port"]
    lines = [mark for mark in panel.marks if mark.kind is MarkKind.FASTENED]
    assert len(lines) >= 10
    both = shapely.Polygon(panel.outline).intersection(shapely.Polygon(panel.far_outline))
    for mark in lines:
        assert both.exterior.distance(shapely.LineString(mark.points)) >= 0.98 * 3 / 8 * INCH
    assert drawn["frame 3"] == job.part("frame 3")


def test_glue_and_paint_are_areas_over_what_a_pound_or_a_gallon_covers() -> None:
    """Hand-worked from the areas: 35 square feet of sealer a pound and coat, 400 of paint a gallon and coat."""
    _, job = sample("saltmeadow")
    done = finishing(job, FINISH)
    panels = [part for part in job.parts if part.role is Role.PANEL]
    inside = sum(shapely.Polygon(part.outline).area for part in panels)
    assert done.inside == pytest.approx(inside)
    amounts = {one.what.split(",")[0]: one for one in done.amounts}
    both = (done.inside + done.outside) / FOOT2
    assert amounts["sealer"].net[0] == pytest.approx(3 * both / 35 * POUND)
    assert amounts["paint"].net[0] == pytest.approx(2 * both / 400 * GALLON)
    assert amounts["paint"].gross == pytest.approx((amounts["paint"].net[0] / 0.9, amounts["paint"].net[0] / 0.75))
    glued = sum(joint.area for joint in done.joints) / FOOT2
    assert amounts["glue"].net == pytest.approx((glued / 20 * POUND, glued / 13 * POUND))


def test_a_fillet_is_a_square_less_a_quarter_circle_all_along_the_chines() -> None:
    assert fillet_area(10.0) == pytest.approx(100.0 - 25.0 * pi)
    _, job = sample("marram")
    done = finishing(job, replace(FINISH, fillet=12.7, tape=75.0, cloth=6.0 * OUNCE_A_YARD2))
    assert done.chines > 0
    amounts = {one.what: one for one in done.amounts}
    density = 9.2 * POUND / GALLON
    assert amounts["epoxy in fillets"].net[0] == pytest.approx(done.chines * fillet_area(12.7) * density)
    assert amounts["tape, inside and outside"].net[0] == pytest.approx(2 * done.chines)
    # The makers' formula has 15 % waste in it: 0.00085 a gallon for each ounce, 0.0075 to fill the weave.
    gallons = done.outside / FOOT2 * (6 * 0.00085 + 0.0075) * 0.85
    assert amounts["epoxy on cloth"].net[0] == pytest.approx(gallons * GALLON * density)


def test_every_rule_has_a_source_and_is_the_default_of_its_key() -> None:
    models = {"fastenings": FasteningsTable, "finish": FinishTable}
    for key, rule in rules().items():
        table, name = key.split(".")
        field, metric = models[table].model_fields[name], rules(metric=True)[key]
        assert str(field.default) == rule.value
        extra = field.json_schema_extra
        assert isinstance(extra, dict)
        assert str(extra["metric"]) == (metric.value if metric.value != rule.value else "None")
        for one in (rule, metric):
            assert one.source
            assert one.means
        # A rule in metric units is within a tenth of the one in inches.
        if metric.value != rule.value and table == "finish":
            a, b = (finish_rules(FinishTable.model_validate({}), unit=unit) for unit in ("in", "mm"))
            for one in ("sealer", "paint", "epoxy_weight"):
                assert getattr(a, one) == pytest.approx(getattr(b, one), rel=0.1)
            assert a.glue == pytest.approx(b.glue, rel=0.1)


def test_bare_numbers_of_the_finish_are_in_the_boats_units() -> None:
    """Hand-worked: 10 square feet a pound are 2.05 m2 a kg; 6 ounces a square yard are 203 g/m2."""
    written = {"glue_from": 10, "cloth": 6, "epoxy_weight": 9.2}
    inches = finish_rules(FinishTable.model_validate(written, context={"unit": "in"}), unit="in")
    assert inches.glue[0] == pytest.approx(2.048, abs=0.001)
    assert inches.cloth == pytest.approx(203.4, abs=0.1)
    assert inches.epoxy_weight == pytest.approx(1.102, abs=0.001)
    metric = {"glue_from": 2.5, "cloth": 160, "epoxy_weight": 1.12}
    read = finish_rules(FinishTable.model_validate(metric, context={"unit": "mm"}), unit="mm")
    assert (read.glue, read.cloth, read.epoxy_weight, read.sealer) == ((2.5, 4.0), 160.0, 1.12, 7.0)


@pytest.mark.parametrize(
    ("thick", "behind", "words"),
    [
        (6.0, None, "3 x 16 mm"),  # 2.5 x 6 is 15, sold as 16
        (9.0, None, "3.5 x 25 mm"),  # 22.5
        (6.0, 15.0, "3 x 16 mm"),  # 6 + 15 - 3 is 18: 20 comes through
        (18.0, 21.0, "4 x 35 mm"),  # 45 would come through: 18 + 21 - 3 is 36
        (4.0, 5.0, "rivet or bolt, right through 9.0 mm"),  # 4 + 5 - 3 is 6: no such screw is sold
    ],
)
def test_screws_of_a_metric_boat_are_sizes_that_are_sold(thick: float, behind: float | None, words: str) -> None:
    metric = fasten_rules(FasteningsTable.model_validate({}), unit="mm", metric=True)
    assert fastening_words(fastening_for(thick, behind, metric), "mm") == words


@pytest.mark.parametrize(
    ("net", "unit", "words"),
    [
        ((0.244, 0.376), "kg", "240 to 380 g"),
        ((0.6, 1.237), "kg", "0.60 to 1.24 kg"),
        ((430_000.0, 520_000.0), "mm3", "450 to 500 ml"),
        ((1_230_000.0, 1_230_000.0), "mm3", "1.2 l"),
    ],
)
def test_metric_amounts_are_what_can_be_mixed(net: tuple[float, float], unit: str, words: str) -> None:
    assert amount_words(Amount("glue", "area", 1.0, net, net, unit), "mm")[0] == words
