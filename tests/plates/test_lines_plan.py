"""Claims about the lines drawing and the tables of what fairing moved."""

from __future__ import annotations

import re
from dataclasses import replace
from itertools import combinations
from pathlib import Path

import numpy as np
import pytest
from boats import saltmeadow
from shapely import LineString, Polygon

from patterns.drawing.marks import Drawing, Label, Stroke
from patterns.drawing.text import label_box
from patterns.errors import ShapeError
from patterns.geometry.arrays import Floats
from patterns.hull.bending_along import bend, places, turns
from patterns.hull.fairing import FairedLine, FairedView, fair
from patterns.hull.offsets import OffsetRow
from patterns.parts.asked.rules import Boat
from patterns.parts.faired import fair_lines, line_without
from patterns.plates.lines.given_points import exaggeration
from patterns.plates.lines.lines_plan import Beside, lines_plan
from patterns.plates.view_field import KeptFree, View, field, station_names, upright_names
from patterns.reading.boat.boat_toml import read_boat
from patterns.units.lengths import INCH
from patterns.writing.report.fair_tables import FairedTable, moves_table, turns_table
from patterns.writing.report.lines_page import lines_pdf

PAPER = (254.0, 190.0)
SAMPLE = Path(__file__).parents[2] / "samples" / "saltmeadow"


def view(x: Floats, faired: Floats, given: Floats | None = None) -> FairedView:
    return FairedView(tuple(map(str, range(len(x)))), x, faired if given is None else given, faired)


@pytest.fixture(scope="module")
def lines() -> tuple[FairedLine, ...]:
    boat = saltmeadow()
    return fair(boat.offsets, fore=boat.fore, aft=boat.aft, within=boat.fair_within)


@pytest.fixture(scope="module")
def views(lines: tuple[FairedLine, ...]) -> tuple[View, View, View]:
    return lines_plan(saltmeadow(), lines, (), paper=PAPER)


def strokes(drawing: Drawing, layer: str) -> list[Floats]:
    return [mark.points for mark in drawing.marks if isinstance(mark, Stroke) and mark.layer == layer]


def test_every_view_stays_on_its_paper(views: tuple[View, View, View]) -> None:
    for one in views:
        for mark in one.drawing.marks:
            points = label_box(mark) if isinstance(mark, Label) else getattr(mark, "points", np.array([[1.0, 1.0]]))
            assert points.min() > -0.5, mark
            assert (points.max(axis=0) < PAPER).all(), mark


def test_no_word_lies_on_another(views: tuple[View, View, View]) -> None:
    for one in views:
        boxes = [Polygon(label_box(mark)) for mark in one.drawing.marks if isinstance(mark, Label)]
        for place, box in enumerate(boxes):
            assert not any(box.intersects(other) for other in boxes[:place])


@pytest.mark.parametrize("count", [8, 16, 25, 60])
def test_stations_however_many_are_named_without_running_into_each_other(count: int) -> None:
    place = field((0.0, 0.0), (5000.0, 700.0), KeptFree(20.0, 15.0), paper=PAPER)
    stations = [(str(n), 5000.0 * n / count, f"{5000.0 * n / count:.1f}") for n in range(1, count)]
    labels = list(station_names(place, stations, clear=15.0))
    assert [label.text for label in labels[: count - 1]] == [name for name, _, _ in stations]
    boxes = [Polygon(label_box(label)) for label in labels]
    assert not any(one.intersects(other) for one, other in combinations(boxes, 2))
    assert min(box.bounds[1] for box in boxes) > 20.0


WIDE = tuple(f"{'W' * 18}{number:02}" for number in range(20))  # as wide as a station's name may be


def with_stations(boat: Boat, names: tuple[str, ...]) -> Boat:
    """A boat whose table has so many stations, read off the lines her own table gives."""
    x = np.linspace(420.0, 4150.0, len(names))
    lines = fair(boat.offsets, fore=boat.fore, aft=boat.aft, within=boat.fair_within)

    def rows(kind: str) -> tuple[OffsetRow, ...]:
        views = [(line.name, getattr(line, kind)) for line in lines]
        return tuple(
            OffsetRow(name, np.array([view.faired[0], *view.batten.value(x), view.faired[-1]])) for name, view in views
        )

    ends = boat.offsets.columns[0], boat.offsets.columns[-1]
    offsets = replace(
        boat.offsets,
        columns=(ends[0], *names, ends[1]),
        from_fp=np.array([np.nan, *x, np.nan]),
        heights=rows("height"),
        half_breadths=rows("half_breadth"),
    )
    return replace(boat, offsets=offsets, frames=None)


@pytest.mark.parametrize("paper", [(250.0, 160.0), (254.0, 190.0), (186.0, 124.0)])
def test_twenty_stations_of_the_widest_names_are_told_apart_on_the_paper(paper: tuple[float, float]) -> None:
    boat = with_stations(saltmeadow(), WIDE)
    faired = fair(boat.offsets, fore=boat.fore, aft=boat.aft, within=boat.fair_within)
    for one in lines_plan(boat, faired, (), paper=paper):
        labels = [mark for mark in one.drawing.marks if isinstance(mark, Label)]
        assert all(any(label.text.startswith(name) for label in labels) for name in WIDE)
        boxes = [Polygon(label_box(label)) for label in labels]
        assert not any(a.intersects(b) for a, b in combinations(boxes, 2)), one.drawing.title
        edges = np.array([box.bounds for box in boxes])
        assert edges[:, :2].min() >= -0.5
        assert (edges[:, 2:].max(axis=0) < paper).all()


@pytest.mark.parametrize("across", [[10.0, 10.1, 10.2, 60.0], [0.0, 50.0, 100.0], [5.0] * 12])
def test_names_pushed_apart_keep_their_order_and_are_led_to_their_lines(across: list[float]) -> None:
    ink = list(upright_names([f"W{n}" for n in range(len(across))], across, top=50.0, size=3.0, most=40.0))
    labels, leads = [m for m in ink if isinstance(m, Label)], [m for m in ink if isinstance(m, Stroke)]
    stand = [label.at[0] for label in labels]
    assert min(np.diff(stand)) > 3.0
    assert [float(lead.points[0, 0]) for lead in leads] == across
    assert [float(lead.points[1, 0]) for lead in leads] == pytest.approx(stand)
    assert sum(stand) / len(stand) == pytest.approx(sum(across) / len(across), abs=15.0)


def test_lines_are_drawn_at_the_scales_the_sheet_states(
    views: tuple[View, View, View], lines: tuple[FairedLine, ...]
) -> None:
    along, up = map(int, re.findall(r"1:(\d+)", views[0].notes[0]))
    sheer, chine = strokes(views[0].drawing, "line")
    for drawn, line in ((sheer, lines[0]), (chine, lines[1])):
        sites, batten = line.height.from_fp, line.height.batten
        assert np.ptp(drawn[:, 0]) * along == pytest.approx(sites[-1] - sites[0], abs=1e-6)
        rise = batten.value(sites[:1]) - batten.value(sites[-1:])
        assert (drawn[0, 1] - drawn[-1, 1]) * up == pytest.approx(float(rise[0]), abs=1e-6)


def test_given_points_stand_off_as_many_times_as_the_sheet_says(
    views: tuple[View, View, View], lines: tuple[FairedLine, ...]
) -> None:
    [times] = (int(n) for note in views[0].notes for n in re.findall(r"drawn (\d+) times full size", note))
    links = [points for points in strokes(views[0].drawing, "given") if len(points) == 2]
    apart = sorted(float(points[0, 1] - points[1, 1]) for points in links)
    moved = sorted(m * times for line in lines for m in line.height.moved.tolist() if abs(m) * times >= 0.35)
    np.testing.assert_allclose(apart, moved, atol=1e-6)
    assert max(map(abs, apart)) <= 9.0


def test_moves_too_small_to_see_are_drawn_larger_and_none_at_all_not() -> None:
    x = np.arange(5.0) * 500
    still = view(x, x * 0)
    assert exaggeration([still]) == 0
    assert exaggeration([view(x, x * 0 + 3.0, x * 0)]) == 3
    assert exaggeration([view(x, x * 0 + 0.1, x * 0)]) == 50


def test_bending_of_a_parabola_is_the_same_everywhere_and_the_one_it_has() -> None:
    x = np.array([0.0, 700, 1500, 2600, 4000])
    parabola = view(x, (x - 1500) ** 2 / 5000)
    np.testing.assert_allclose(bend(parabola, places(parabola, 50)), 2 / 5000, rtol=1e-6)
    assert turns(parabola) == []


def test_a_curve_turns_where_its_closed_form_does() -> None:
    x = np.linspace(0, 4000, 25)
    # sin has its turns at whole half-waves: 1000, 2000 and 3000 mm, and none at its ends.
    assert turns(view(x, 100 * np.sin(np.pi * x / 1000))) == pytest.approx([1000, 2000, 3000], abs=8.0)


def test_a_waver_thinner_than_half_a_pencil_line_is_no_turn() -> None:
    x = np.linspace(0, 4000, 25)
    assert turns(view(x, 0.05 * np.sin(np.pi * x / 1000))) == []


def test_bars_of_a_hollow_curve_hang_below_it_and_cross_at_its_turn(views: tuple[View, View, View]) -> None:
    # Saltmeadow's sheer and chine are hollow above all along in profile, and round outward in plan.
    for one, side in ((views[0], -1.0), (views[1], 1.0)):
        bars = [points for points in strokes(one.drawing, "bending") if len(points) == 2]
        assert len(bars) > 60
        assert all((points[1, 1] - points[0, 1]) * side > 0 for points in bars)
        assert max(abs(points[1, 1] - points[0, 1]) for points in bars) == pytest.approx(11.0, rel=0.05)


def test_the_body_plan_has_every_column_forward_ones_right(views: tuple[View, View, View]) -> None:
    sections = strokes(views[2].drawing, "line")
    assert len(sections) == 9  # stem, 1 to 6, transom; the widest, station 5, on both sides
    middle = next(line for line in strokes(views[2].drawing, "mark") if np.ptp(line[:, 0]) == 0)[0, 0]
    assert sum(points[0, 0] > middle for points in sections) == 6
    assert all(LineString(points).is_simple for points in sections)


def test_a_boat_too_large_for_any_scale_is_refused() -> None:
    with pytest.raises(ShapeError, match="a boat 900 m long or high is too large"):
        field((0.0, 0.0), (900_000.0, 10.0), KeptFree(10.0, 10.0), paper=PAPER)


def test_moves_are_told_in_the_tables_own_notation() -> None:
    read = read_boat(SAMPLE)
    boat = read.boat
    faired = fair(boat.offsets, fore=boat.fore, aft=boat.aft, within=boat.fair_within)
    table = FairedTable(boat, read.table, faired, (), (), ())
    told = moves_table(table)
    assert told.columns == ("line", "in", "station", "given", "faired", "moved", "exactly")
    assert ("chine", "heights", "1", "0-2-7", "0-2-7+") in [row[:5] for row in told.rows]
    assert told.caption.endswith(
        'of 32 offsets moved to fair the lines, none by more than the 1/8" of fair_within; + is up or out'
    )
    assert [row[3] for row in turns_table(table).rows] == ["0", "0", "0", "0"]


def test_the_pdf_tells_what_the_page_does_and_then_has_a_sheet_for_each_view(views: tuple[View, View, View]) -> None:
    import pypdfium2

    read = read_boat(SAMPLE)
    boat = read.boat
    faired = fair(boat.offsets, fore=boat.fore, aft=boat.aft, within=boat.fair_within)
    table = FairedTable(boat, read.table, faired, (), (), ())
    document = pypdfium2.PdfDocument(lines_pdf(table, views, width=279.4, height=215.9, margin=12.7))
    texts = [page.get_textpage().get_text_range() for page in document]
    *told, profile, plan, body = texts
    assert all(words in " ".join(told) for words in ("not strength", "What is in doubt", "What to do next"))
    assert ["profile" in profile, "half-breadth plan" in plan, "body plan" in body] == [True] * 3
    assert "times full size" in profile


def test_the_line_without_an_offset_in_doubt_is_dashed_beside_the_line(lines: tuple[FairedLine, ...]) -> None:
    boat = saltmeadow()
    sheer, *rest = boat.offsets.half_breadths
    wrong = sheer.values + np.where(np.array(boat.offsets.columns) == "3", INCH, 0.0)
    doubted = replace(boat, offsets=replace(boat.offsets, half_breadths=(replace(sheer, values=wrong), *rest)))
    place = ("sheer", "half-breadth", "3")
    for doubts in ((), (place,)):
        _, plan, _ = lines_plan(doubted, fair_lines(doubted), (), paper=PAPER, beside=Beside(doubts))
        dashed = [mark.points for mark in plan.drawing.marks if isinstance(mark, Stroke) and mark.dashes]
        assert bool(dashed) == bool(doubts)
        assert any("without an offset in doubt" in note for note in plan.notes) == bool(doubts)
    without = line_without(doubted, place)
    assert without is not None
    upright = [points for points in strokes(plan.drawing, "mark") if np.ptp(points[:, 0]) == 0.0]
    at = upright[2][0, 0]
    apart = [np.interp(at, *one.T) for one in (strokes(plan.drawing, "line")[0], *dashed) if np.ptp(one[:, 0]) > 10.0]
    up = int(re.findall(r"1:(\d+)", plan.notes[0])[-1])
    faired = fair_lines(doubted)[0].half_breadth.faired[3]
    assert min(abs(up * (apart[0] - one) - (faired - without.reads)) for one in apart[1:]) < 0.2
    assert faired - without.reads > INCH / 3
