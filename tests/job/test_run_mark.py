"""The run mark: the same for the same input, another for another boat, and on all that belongs together."""

from __future__ import annotations

import csv
import io
import json
import shutil
from pathlib import Path

import pypdfium2
import pytest
from commanded import bare_boat
from dxf_read import lines_on

from patterns.job.boat_job import BoatJob
from patterns.job.making import make_whole
from patterns.job.shared.run_mark import LENGTH, LETTERS
from patterns.job.wishes.wishes import Wishes
from patterns.reading.boat.boat_toml import read_boat
from patterns.reading.offsets.table_rows import read_rows
from patterns.tiling.paper.correction import Correction


@pytest.fixture
def boat(tmp_path: Path) -> Path:
    return bare_boat(tmp_path / "bare")


def _mark(folder: Path, **wishes: object) -> str:
    return BoatJob(read_boat(folder), Wishes(**wishes)).run_mark  # type: ignore[arg-type]


def test_the_same_input_has_the_same_mark_wherever_it_lies(boat: Path, tmp_path: Path) -> None:
    copied = shutil.copytree(boat, tmp_path / "elsewhere")
    assert _mark(boat) == _mark(copied)
    assert len(_mark(boat)) == LENGTH
    assert set(_mark(boat)) <= set(LETTERS)


@pytest.mark.parametrize(
    ("file", "given", "changed"), [("offsets.csv", "2-0-0", "2-0-1"), ("boat.toml", "Saltmeadow", "Saltmarsh")]
)
def test_a_changed_figure_changes_the_mark(boat: Path, file: str, given: str, changed: str) -> None:
    before, text = _mark(boat), (boat / file).read_text(encoding="utf-8")
    assert given in text
    (boat / file).write_text(text.replace(given, changed, 1), encoding="utf-8")
    assert _mark(boat) != before
    (boat / file).write_text(text, encoding="utf-8")
    assert _mark(boat) == before


@pytest.mark.parametrize(
    "wish",
    [
        {"saw_allowance": 1.5},
        {"half": True},
        {"pricks": False},
        {"notes": False},
        {"grid": False},
        {"paper": "a4"},
        {"printer": Correction("attic", 1.004, 1.0)},
    ],
)
def test_a_wish_that_moves_ink_changes_the_mark(boat: Path, wish: dict[str, object]) -> None:
    assert _mark(boat, printer="none") != _mark(boat, **{"printer": "none", **wish})


@pytest.mark.parametrize(
    "wish", [{"only": ("transom",)}, {"date": "today"}, {"scale": 8}, {"svg_tiles": True}, {"sticks": True}]
)
def test_a_page_printed_again_alone_has_the_mark_of_its_neighbours(boat: Path, wish: dict[str, object]) -> None:
    assert _mark(boat) == _mark(boat, **wish)


@pytest.mark.slow
def test_every_page_and_file_of_a_job_carries_the_mark(boat: Path, tmp_path: Path) -> None:
    shutil.rmtree(boat)
    folder = bare_boat(tmp_path / "more", "inwale", "saw", "stock")
    job = BoatJob(read_boat(folder), Wishes(scale=8, svg_tiles=True, sticks=True, printer="none"))
    run = job.run_mark
    made = make_whole(job).files
    kinds = {Path(name).suffix for name in made}
    assert kinds == {".pdf", ".svg", ".dxf", ".csv", ".json", ".html", ".toml"}
    for name, data in made.items():
        if name.endswith(".pdf"):
            assert isinstance(data, bytes)
            for number, page in enumerate(pypdfium2.PdfDocument(data), 1):
                assert run in page.get_textpage().get_text_bounded(), f"{name}, page {number}"
        elif not name.endswith(".toml"):  # where parts lie on sheets: for the next run too
            assert run in (data.decode() if isinstance(data, bytes) else data), name
    assert json.loads(made["job.json"])["run_mark"] == run


@pytest.mark.slow
def test_the_mark_is_no_line_to_cut_and_no_figure(boat: Path) -> None:
    job = BoatJob(read_boat(boat), Wishes(printer="none"))
    made = make_whole(job).files
    for one, (name, data) in zip(job.contours, ((n, d) for n, d in made.items() if n.endswith(".dxf")), strict=False):
        assert isinstance(data, bytes)
        assert data.startswith(f"999\nrun {job.run_mark}\n".encode()), name
        assert len(lines_on(data, "cut-outside")) == 1, one.file_name
    text = made["offsets-faired.csv"]
    assert isinstance(text, str)
    (boat / "offsets.csv").write_text(text, encoding="utf-8")
    assert not any("run" in cell for row in read_rows(boat / "offsets.csv").rows for cell in row.cells)
    assert next(csv.reader(io.StringIO(str(made["tables/side-panel-port.csv"])))) == ["about", f"run {job.run_mark}"]
