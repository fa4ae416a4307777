"""The cut plan: lengths, piercings and strokes are those that an independent reader counts in the sheets' own files."""

from __future__ import annotations

import re
from pathlib import Path

import numpy as np
import pypdfium2
import pytest
from dxf_read import entities, polylines

from patterns import BoatJob, Wishes, loft, make
from patterns.shop.nest.cut_plan import sheet_work

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
        assert f"Cut through: {work.cut / 1000:.2f} m, {work.piercings} piercings." in words
        assert "PROFILE" in words
        for placement, part in sheet.lying:
            assert placement.name in words
            assert part.face in words
