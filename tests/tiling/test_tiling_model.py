"""A scale model: every piece true to its scale, on two sheets at the most, and none to be taken for a pattern."""

from __future__ import annotations

from pathlib import Path

import numpy as np
import pypdfium2
import pytest
import shapely
from commanded import SALTMEADOW, bare_boat, scrieve_here
from inked import extent

from patterns.cli.loft import read_scale
from patterns.drawing.marks import Label, Stroke
from patterns.errors import PatternsError
from patterns.job.wishes.paper_sizes import larger_papers
from patterns.parts.part import Part
from patterns.parts.whole import loft
from patterns.reading.boat.boat_toml import read_boat
from patterns.tiling.paper.page import Page
from patterns.tiling.paper.paper import paper
from patterns.tiling.roll.card_model import Model, _piece, in_model, model


@pytest.fixture(scope="module")
def parts() -> tuple[Part, ...]:
    return loft(read_boat(SALTMEADOW).boat).parts


@pytest.fixture(scope="module")
def on_card(parts: tuple[Part, ...]) -> Model:
    return model(parts, 20, [paper("a4")], boat="Saltmeadow")


def nets(page: Page) -> list[shapely.Polygon]:
    return [
        shapely.Polygon(mark.points) for mark in page.marks if isinstance(mark, Stroke) and mark.layer == "cut-outside"
    ]


def test_shell_and_frames_are_in_it_and_nothing_else(parts: tuple[Part, ...]) -> None:
    among = {part.title for part in parts if in_model(part)}
    panels = {"side panel, port", "side panel, starboard", "bottom panel", "transom"}
    assert among == {*panels, *(f"frame {number}" for number in range(1, 7))}


def test_every_piece_is_its_pattern_divided_by_the_scale_and_not_turned_over(
    parts: tuple[Part, ...], on_card: Model
) -> None:
    wanted = sorted((shapely.Polygon(part.outline / 20) for part in parts if in_model(part)), key=lambda p: p.length)
    found = sorted((net for page in on_card.pages for net in nets(page)), key=lambda p: p.length)
    assert len(on_card.pages) == 2
    assert len(found) == len(wanted)
    for one, other in zip(found, wanted, strict=True):
        assert one.length == pytest.approx(other.length, rel=1e-9)
        assert one.area == pytest.approx(other.area, rel=1e-9)
        assert one.exterior.is_ccw == other.exterior.is_ccw


def test_every_sheet_says_on_all_sides_that_it_is_a_model(on_card: Model) -> None:
    for page in on_card.pages:
        words = [mark for mark in page.marks if isinstance(mark, Label) and "MODEL 1:20, NOT A PATTERN" in mark.text]
        places = np.array([mark.at for mark in words])
        assert (places[:, 0] < 25).any()
        assert (places[:, 0] > page.width - 25).any()
        assert (places[:, 1] < 25).any()
        assert (places[:, 1] > page.height - 25).any()


def test_its_bars_say_what_they_are_on_the_boat(on_card: Model) -> None:
    for page in on_card.pages:
        words = [mark.text for mark in page.marks if isinstance(mark, Label)]
        assert words.count("this bar is 100 mm on paper = 2000 mm on the boat") == 2
        assert not any("3 15/16" in text for text in words)


def test_names_are_readable_and_stand_whole_on_their_pieces(parts: tuple[Part, ...], on_card: Model) -> None:
    for page in on_card.pages:
        for mark in page.marks:
            if isinstance(mark, Label):
                assert mark.size >= 1.8
    names = {part.title for part in parts if in_model(part)}
    for page in on_card.pages:
        for mark in page.marks:
            if isinstance(mark, Label) and mark.text.split(",")[0] in {name.split(",")[0] for name in names}:
                box = shapely.Polygon(extent(mark))
                assert any(net.covers(box) or not net.intersects(box) for net in nets(page))


def test_ink_keeps_to_the_paper_and_pieces_apart(on_card: Model) -> None:
    for page in on_card.pages:
        margin = on_card.paper.margin - 1e-6
        for mark in page.marks:
            assert (extent(mark) >= margin).all(), mark
            assert (extent(mark) <= (page.width - margin, page.height - margin)).all(), mark
        rings = nets(page)
        assert all(a.distance(b) >= 4.9 for number, a in enumerate(rings) for b in rings[:number])


def test_the_first_paper_that_takes_it_is_used_and_others_of_its_kind_are_tried(parts: tuple[Part, ...]) -> None:
    a4 = paper("a4")
    assert [larger.name for larger in larger_papers(a4)] == ["a3", "a2", "a1", "a0"]
    assert all(
        larger.name[0] not in "ab" or larger.name[:2] in ("ar", "an") for larger in larger_papers(paper("letter"))
    )
    found = model(parts, 8, [a4, *larger_papers(a4)], boat="Saltmeadow")
    assert found.paper.name == "a1"
    assert len(found.pages) <= 2


@pytest.mark.slow
def test_a_scale_no_paper_takes_is_refused_with_one_that_fits(parts: tuple[Part, ...]) -> None:
    with pytest.raises(PatternsError, match=r"found 1:12, expected one .*; 1:20 goes on a4"):
        model(parts, 12, [paper("a4")], boat="Saltmeadow")


@pytest.mark.parametrize("text", ["8", "8:1", "1:0", "1:1", "1:41", "1:-8", "1:8.5", "one to eight", ""])
def test_scales_that_make_no_sense_are_refused(text: str) -> None:
    with pytest.raises(PatternsError, match="--scale: found"):
        read_scale(text)


@pytest.mark.parametrize("text", ["1:8", " 1 : 8 ", "1/8"])
def test_scales_are_read_as_written(text: str) -> None:
    assert read_scale(text) == 8


@pytest.mark.slow
def test_the_command_writes_the_model_to_a_file_of_its_own(tmp_path: Path) -> None:
    words = ("loft", bare_boat(tmp_path / "boat"), "--out", tmp_path / "job", "--scale", "1:8", "--only", "transom")
    done = scrieve_here(*words, settings=tmp_path)
    assert done.returncode == 0, done.stderr
    assert "Cut no wood to it." in done.stdout
    assert "At 1:8 it does not go on 2 pages of letter; 1:24 does." in done.stdout
    text = [
        page.get_textpage().get_text_bounded() for page in pypdfium2.PdfDocument(tmp_path / "job/paper/model-1-8.pdf")
    ]
    assert all("MODEL 1:8, NOT A PATTERN FOR WOOD" in page for page in text)
    tiles = pypdfium2.PdfDocument(tmp_path / "job/paper/patterns-letter.pdf")
    assert not any("MODEL" in tile.get_textpage().get_text_bounded() for tile in tiles)


def test_marks_of_a_piece_lie_where_its_pattern_has_them_divided_by_the_scale(parts: tuple[Part, ...]) -> None:
    for part in parts:
        if in_model(part):
            small = [shapely.LineString(mark.points / 20) for mark in part.marks]
            drawn = [m.points for m in _piece(part, 20).marks if isinstance(m, Stroke) and m.layer == "mark"]
            assert drawn, part.title
            for line in drawn:
                assert min(float(shapely.distance(one, shapely.points(line)).max()) for one in small) < 1e-6, part.title
