"""The cut plan: lengths, piercings and strokes are those that an independent reader counts in the sheets' own files."""

from __future__ import annotations

import re
from dataclasses import replace
from pathlib import Path

import numpy as np
import pypdfium2
import pytest
from dxf_read import entities, polylines

from patterns import BoatJob, Wishes, loft, make
from patterns.drawing.marks import Label
from patterns.plates.bench.cut_plan_pages import CutPlan, cut_plan_pages
from patterns.shop.nest.cut_plan import sheet_work
from patterns.shop.nest.sheet_stock import Strip
from patterns.shop.router.contours import Drilled

pytestmark = pytest.mark.slow


@pytest.fixture(scope="module")
def job(tmp_path_factory: pytest.TempPathFactory) -> BoatJob:
    folder = tmp_path_factory.mktemp("boat")
    for name in ("boat.toml", "offsets.csv"):
        text = (Path("samples/saltmeadow") / name).read_text(encoding="utf-8")
        own = '[router]\npilot = "3/32 in"\ntabs = 2\nlayers = { cut_outside = "PROFILE" }\n'
        text = re.sub(r"\[router\]\n", own, text) if name == "boat.toml" else text
        (folder / name).write_text(text, encoding="utf-8")
    return loft(folder, Wishes())


@pytest.fixture(scope="module")
def files(job: BoatJob) -> dict[str, bytes]:
    return {name: data for name, data in make(job, "sheets").files.items() if isinstance(data, bytes)}


def test_every_layer_s_count_and_length_are_those_of_the_file(job: BoatJob, files: dict[str, bytes]) -> None:
    for sheet in job.plan.sheets:
        data = files[f"router/{sheet.file_name(job.name)}.dxf"]
        lines = list(polylines(data))
        square = [line for layer, line in lines if layer == "mark" and line.closed]
        assert len(square) <= 1
        for work in sheet_work(sheet).layers:
            layer = job.read.router.form.name(work.layer)
            if work.layer == "drill":
                circles = [found for kind, found in entities(data) if kind == "CIRCLE"]
                assert len(circles) == work.count == sum(count for _, count in sheet_work(sheet).holes)
                continue
            own = [line for name, line in lines if name == layer and line not in square]
            if work.layer == "text-names":  # the square's own words lie on that layer too
                assert len(own) >= work.count
                continue
            assert len(own) == work.count, layer
            assert np.isclose(sum(line.length for line in own), work.length, rtol=1e-4)


def test_the_plan_has_a_page_for_each_sheet_and_says_what_is_on_it(job: BoatJob, files: dict[str, bytes]) -> None:
    document = pypdfium2.PdfDocument(files["router/cut-plan.pdf"])
    pages = [page.get_textpage().get_text_bounded() for page in document]
    assert len(pages) == 1 + len(job.plan.sheets)
    assert f"{len(job.plan.sheets)} sheets, {sum(len(sheet.lying) for sheet in job.plan.sheets)} parts" in pages[0]
    assert "the same parts again" in " ".join(pages[0].split())
    for sheet, words in zip(job.plan.sheets, pages[1:], strict=True):
        work = sheet_work(sheet)
        assert f"Sheet {sheet.number} of {len(job.plan.sheets)}" in words
        assert f"{sheet.file_name(job.name)}.dxf" in words
        many = "1 piercing" if work.piercings == 1 else f"{work.piercings} piercings"
        assert f"Cut through: {work.cut / 1000:.2f} m, {many}." in words
        assert "PROFILE" in words
        for placement, part in sheet.lying:
            assert placement.name in words
            assert part.face in words


def test_the_plan_says_how_parts_are_held_and_what_it_leaves_out(job: BoatJob, files: dict[str, bytes]) -> None:
    first = pypdfium2.PdfDocument(files["router/cut-plan.pdf"])[0].get_textpage().get_text_bounded()
    words = " ".join(first.split())
    assert 'Holding: 2 tabs on a part, 12.7 mm (1/2") long.' in words
    assert "On no sheet: pieces of frames (" in words
    assert "its 100 mm square (layer mark), on the screen" in words


def test_every_layer_of_a_sheet_s_file_is_in_its_table(job: BoatJob, files: dict[str, bytes]) -> None:
    document = pypdfium2.PdfDocument(files["router/cut-plan.pdf"])
    square = job.read.router.form.name("mark")  # the order form says what the square is, wherever it lies
    for sheet, page in zip(job.plan.sheets, list(document)[1:], strict=True):
        listed = page.get_textpage().get_text_bounded().split()
        layers = {layer for layer, _ in polylines(files[f"router/{sheet.file_name(job.name)}.dxf"])}
        assert layers - {square} <= set(listed)
        assert "sheet's outline and zero not cut" in " ".join(listed)


def test_a_skin_is_told_on_every_sheet_by_depth_and_index_holes_by_size(job: BoatJob) -> None:
    rules = replace(job.read.router, tabs=0, skin=0.79375, index=6.35)
    names = {sheet.number: f"{sheet.number}.dxf" for sheet in job.plan.sheets}
    bored = (Drilled((100.0, 100.0), 6.35, index=True), Drilled((200.0, 100.0), 2.38125))
    sheets = tuple(
        replace(sheet, lying=tuple((placement, part.told(drilled=bored)) for placement, part in sheet.lying))
        for sheet in job.plan.sheets
    )
    first, *rest = cut_plan_pages(CutPlan("Saltmeadow", job.show, replace(job.plan, sheets=sheets), rules, names))
    words = " ".join(mark.text for mark in first.marks if isinstance(mark, Label))
    assert 'leave a skin of 0.794 mm (1/32")' in words
    assert 'Index holes of 6.35 mm (1/4") are on the layer drill.' in words
    for sheet, page in zip(sheets, rest, strict=True):
        words = " ".join(mark.text for mark in page.marks if isinstance(mark, Label))
        assert f"{round(sheet.thickness - 0.79375, 3):g} mm (" in words
        assert 'leave 0.794 mm (1/32")' in words
        many = len(sheet.lying)
        assert f'Holes: {many} of 2.381 mm (3/32"), {many} index holes of 6.35 mm (1/4").' in words


def test_a_page_says_what_hatching_is_only_where_a_sheet_has_a_forbidden_strip(job: BoatJob) -> None:
    first, *others = job.plan.sheets
    struck = replace(first, stock=replace(first.stock, forbidden=(Strip(0.0, 0.0, 5.0, 5.0),)))
    names = {sheet.number: f"{sheet.number}.dxf" for sheet in job.plan.sheets}
    plan = CutPlan("Saltmeadow", job.show, replace(job.plan, sheets=(struck, *others)), job.read.router, names)
    said = [
        "hatched" in " ".join(mark.text for mark in page.marks if isinstance(mark, Label))
        for page in cut_plan_pages(plan)
    ]
    assert said == [False, True, *(False for _ in others)]


def test_what_the_cutter_leaves_is_told_once_with_the_numbers_of_the_parts(job: BoatJob) -> None:
    sharp = "an inside corner is sharp for the 6.0 mm cutter: wood stays"
    names = {sheet.number: f"{sheet.number}.dxf" for sheet in job.plan.sheets}
    sheets = tuple(
        replace(sheet, lying=tuple((placement, replace(part, cautions=(sharp,))) for placement, part in sheet.lying))
        for sheet in job.plan.sheets
    )
    _, *pages = cut_plan_pages(
        CutPlan("Saltmeadow", job.show, replace(job.plan, sheets=sheets), job.read.router, names)
    )
    assert job.read.router.cutter is not None
    for sheet, page in zip(sheets, pages, strict=True):
        words = " ".join(mark.text for mark in page.marks if isinstance(mark, Label))
        numbers = ", ".join(str(number) for number in range(1, len(sheet.lying) + 1))
        assert words.count(f"The builder knows of this on {numbers}: {sharp}.") == 1
