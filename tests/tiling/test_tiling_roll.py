"""A roll: patterns side by side, apart, whole and unbent; its length told; long pages only when asked for."""

from __future__ import annotations

import re

import numpy as np
import pypdfium2
import pytest
import shapely

from patterns.drawing.marks import Drawing, Label, Stroke
from patterns.drawing.moved_marks import placed
from patterns.tiling.paper.paper import LONGEST_PAGE
from patterns.tiling.paper.side_by_side import laid_marks, lay_out
from patterns.tiling.roll.roll import GAP, Rolled, rolled
from patterns.tiling.roll.roll_key import roll_pages, running_length
from patterns.writing.ink.pdf import POINT, pdf_bytes


def board(name: str, width: float, height: float) -> Drawing:
    corners = np.array([[0, 0], [width, 0], [width, height], [0, height]], float)
    words = Label(name, (width / 2, height / 2), 5.0)
    return Drawing(name, name, (Stroke(corners, "cut-outside", closed=True), words))


def u_frame(name: str) -> Drawing:
    """1200 wide, 500 high, open at the top: two of them interlock."""
    points = [(0, 500), (100, 0), (1100, 0), (1200, 500), (1120, 500), (1040, 80), (160, 80), (80, 500)]
    return Drawing(name, name, (Stroke(np.array(points, float), "cut-outside", closed=True),))


DRAWINGS = (board("a", 3000.0, 400.0), board("b", 3100.0, 350.0), *(u_frame(f"frame {n}") for n in (1, 2, 3, 4)))


@pytest.fixture(scope="module")
def on_roll() -> Rolled:
    return rolled(DRAWINGS)


def outlines(found: Rolled) -> list[shapely.Polygon]:
    return [
        shapely.Polygon(mark.points)
        for sheet in found.sheets
        for mark in sheet.page.marks
        if isinstance(mark, Stroke) and mark.layer == "cut-outside"
    ]


def test_patterns_lie_side_by_side_where_the_roll_is_wide_enough(on_roll: Rolled) -> None:
    assert sorted(on_roll.sheets[0].titles)[:2] == ["a", "b"]
    assert on_roll.length < 3200 + 4 * 1300


def test_every_pattern_is_on_the_roll_once_whole_and_unbent(on_roll: Rolled) -> None:
    wanted = sorted((shapely.Polygon(drawing.marks[0].points) for drawing in DRAWINGS), key=lambda p: p.length)
    found = sorted(outlines(on_roll), key=lambda p: p.length)
    assert len(found) == len(wanted)
    for one, other in zip(found, wanted, strict=True):
        assert (one.length, one.area) == (pytest.approx(other.length), pytest.approx(other.area))
        assert one.exterior.is_ccw == other.exterior.is_ccw  # turned, never turned over
    texts = [mark.text for sheet in on_roll.sheets for mark in sheet.page.marks if isinstance(mark, Label)]
    assert {"a", "b"} <= set(texts)


def test_neighbours_keep_the_gap(on_roll: Rolled) -> None:
    for sheet in on_roll.sheets:
        rings = [
            shapely.Polygon(mark.points)
            for mark in sheet.page.marks
            if isinstance(mark, Stroke) and mark.layer == "cut-outside"
        ]
        for number, ring in enumerate(rings):
            assert all(ring.distance(other) >= GAP for other in rings[:number])


def test_pages_are_within_what_readers_take_and_the_running_length_is_their_sum(on_roll: Rolled) -> None:
    widths = [sheet.page.width for sheet in on_roll.sheets]
    assert max(widths) <= LONGEST_PAGE
    assert {sheet.page.height for sheet in on_roll.sheets} == {914.4}
    assert on_roll.length == pytest.approx(sum(widths))
    assert running_length(on_roll).startswith(f"{sum(widths) / 1000:.2f} m of paper")
    [said] = [
        mark.text
        for mark in roll_pages(on_roll)[0].marks
        if isinstance(mark, Label) and mark.text.startswith("The patterns take")
    ]
    assert running_length(on_roll)[:20] in said


def test_checks_on_the_key_are_between_crosses_of_their_page_as_lettered(on_roll: Rolled) -> None:
    words = " ".join(mark.text for mark in roll_pages(on_roll)[0].marks if isinstance(mark, Label))
    assert len(re.findall(r"Check: cross", words)) == len(on_roll.sheets)
    for sheet in on_roll.sheets:
        lettered = {mark.text for mark in sheet.page.marks if isinstance(mark, Label)}
        for x, y in sheet.check:
            assert f"{x:.0f}, {y:.0f}" in lettered


def test_a_pattern_too_wide_for_the_roll_comes_in_pages_that_share_crosses() -> None:
    found = rolled([board("wide", 3000.0, 1200.0), board("a", 800.0, 300.0)])
    assert [sheet.shows for sheet in found.sheets] == ["a", "wide: A1", "wide: B1"]
    assert len(found.keys) == 1


def test_one_page_is_as_long_as_it_must_be_and_warns() -> None:
    found = rolled([*DRAWINGS, board("rail", 6000.0, 100.0)], one_page=True)
    [sheet] = found.sheets
    assert sheet.length > 6000
    assert any("THIS PAGE IS" in mark.text for mark in sheet.page.marks if isinstance(mark, Label))
    data = pdf_bytes(roll_pages(found), title="roll", any_length=True)
    assert b"UserUnit" not in data
    width, _ = pypdfium2.PdfDocument(data)[1].get_size()
    assert width * POINT == pytest.approx(sheet.length, abs=0.05)
    with pytest.raises(ValueError, match="more than a PDF page may measure"):
        pdf_bytes(roll_pages(found), title="roll")


def test_a_long_pattern_is_split_where_one_page_was_not_asked_for() -> None:
    found = rolled([board("rail", 6000.0, 100.0)])
    assert len(found.sheets) == 2
    assert not found.too_long


@pytest.mark.parametrize("quarters", [0, 1, 2, 3])
def test_quarter_turns_are_exact_and_turn_words_with_their_lines(quarters: int) -> None:
    angle = quarters * np.pi / 2
    turn = np.array([[np.cos(angle), np.sin(angle)], [-np.sin(angle), np.cos(angle)]])
    points = np.array([[1.0, 2.0], [30.0, 5.0]])
    stroke, label = (
        placed(Stroke(points, "mark"), (7.0, 8.0), quarters=quarters),
        placed(Label("x", (1.0, 2.0), 3.0, angle=0.25), (7.0, 8.0), quarters=quarters),
    )
    assert isinstance(stroke, Stroke)
    assert isinstance(label, Label)
    np.testing.assert_allclose(stroke.points, points @ turn + (7.0, 8.0), atol=1e-12)
    assert label.at == tuple(stroke.points[0])
    assert label.angle == pytest.approx(0.25 + angle)


@pytest.mark.parametrize("size", [(700.0, 300.0), (1250.0, 900.0), (3000.0, 620.0)])
def test_laid_out_drawings_stay_on_their_sheet_and_apart(size: tuple[float, float]) -> None:
    drawings = [board(f"{n}", 150.0 + 37 * n, 60.0 + 21 * n) for n in range(12)]
    sheets, left_over = lay_out(drawings, size, gap=10.0, cell=5.0)
    assert sorted([one.number for sheet in sheets for one in sheet] + list(left_over)) == list(range(12))
    for sheet in sheets:
        rings = [shapely.Polygon(mark.points) for mark in laid_marks(drawings, sheet) if isinstance(mark, Stroke)]
        assert all(shapely.box(0, 0, *size).covers(ring) for ring in rings)
        assert all(a.distance(b) >= 10.0 for number, a in enumerate(rings) for b in rings[:number])
