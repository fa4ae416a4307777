"""The job book on paper: words and tables keep to their columns on whatever paper the builder has."""

from __future__ import annotations

from collections.abc import Mapping
from functools import cache

import pytest
import shapely
from sample_jobs import sample

from patterns.drawing.marks import Drawing, Label, Shading
from patterns.drawing.text import label_boxes
from patterns.job.boat_job import layout_tables
from patterns.plates.boat_model import boat_pictures
from patterns.shop.fit.bent_edges import bent_edges
from patterns.shop.layout.bevel_boards import bevel_boards
from patterns.shop.layout.setting_up import setting_up
from patterns.shop.stock.lengths import lengths_by_title
from patterns.tiling.paper.page import Page
from patterns.units.papers import paper_size
from patterns.writing.book.book_bench import bevel_section, layout_section, setting_up_section
from patterns.writing.book.book_parts import KnownOfParts, parts_contents, parts_section
from patterns.writing.report.fair_tables import FairedTable, moves_table
from patterns.writing.report.report_blocks import Section
from patterns.writing.report.report_pdf import report_pages


@cache
def places(name: str) -> Mapping[str, Drawing]:
    pictures = boat_pictures(sample(name)[1])
    assert pictures is not None
    return pictures.places


def book_pages(name: str, paper: str) -> list[Page]:
    read, job = sample(name)
    boat = job.boat
    sections = (
        Section("Moves", (moves_table(FairedTable(boat, read.table, job.lines, job.cuts, job.suspects, ())),)),
        parts := parts_section(
            job.parts,
            KnownOfParts(
                {},
                boat.show,
                boat.skin.joints[0],
                lengths_by_title(job.parts, ()),
                bent_edges(job),
                places(name),
            ),
        ),
        setting_up_section(setting_up(job)),
        bevel_section(bevel_boards(job.parts, show=boat.show), boat.show),
        layout_section(layout_tables(read, job)),
        Section("In pictures", (parts_contents(parts),)),
    )
    width, height = sorted(paper_size(paper))
    return list(report_pages(name, (), sections, width=width, height=height, margin=12.0))


@pytest.mark.slow
@pytest.mark.parametrize("paper", ["a5", "letter", "a3", "a1"])
@pytest.mark.parametrize("name", ["duckweed", "saltmeadow"])
def test_no_words_lie_on_others_nor_off_the_paper(name: str, paper: str) -> None:
    for page in book_pages(name, paper):
        labels = [mark for mark in page.marks if isinstance(mark, Label) and mark.size < 4.0]
        boxes = [shapely.Polygon(corners) for corners in label_boxes(labels)]
        inside = shapely.box(0.0, 0.0, page.width, page.height)
        assert all(inside.contains(one) for one in boxes)
        first, second = shapely.STRtree(boxes).query(boxes, predicate="overlaps")
        pictures = [shapely.Polygon(mark.box) for mark in page.marks if isinstance(mark, Shading)]
        assert not shapely.intersects(shapely.union_all(pictures), boxes).any()
        assert [(labels[i].text, labels[j].text) for i, j in zip(first, second, strict=True) if i < j] == []


def test_half_breadths_is_not_broken_in_a_column_that_has_room_for_it() -> None:
    words = {mark.text for page in book_pages("duckweed", "a4") for mark in page.marks if isinstance(mark, Label)}
    assert "half-breadths" in words
    assert not any(word.startswith("half-bread") and word != "half-breadths" for word in words)
