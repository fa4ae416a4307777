"""Each product asked for by itself is that of the whole job, byte for byte, and makes nothing of the others."""

from __future__ import annotations

import dataclasses
import re
from collections.abc import Iterator
from functools import cached_property
from pathlib import Path

import pytest
from commanded import bare_boat

from patterns.errors import PatternsError
from patterns.job import boat_job
from patterns.job import processes as processes_module
from patterns.job.boat_job import BoatJob
from patterns.job.making import make, make_whole
from patterns.job.products.made import Made, Product
from patterns.job.products.table import PRODUCTS, files_of, product
from patterns.job.told import BenchPaper, Counted, Stage, TilesPrinted, Told
from patterns.job.wishes.wishes import Wishes
from patterns.parts.whole import Job, loft
from patterns.reading.boat.boat_toml import BoatFile, read_boat

pytestmark = pytest.mark.slow

ROOT = Path(__file__).parents[2]
WISHES = Wishes(date="2026-11-29", scale=8, svg_tiles=True)
ALL = [one.name for one in PRODUCTS]


@pytest.fixture(scope="module")
def read(tmp_path_factory: pytest.TempPathFactory) -> BoatFile:
    """Panels, ends, one mould, an inwale to saw and bend, and sheets of plywood."""
    return read_boat(bare_boat(tmp_path_factory.mktemp("boat") / "bare", "inwale", "saw", "stock"))


@pytest.fixture(scope="module", autouse=True)
def lofted_once() -> Iterator[None]:
    """A boat of a name is lofted once for all these tests."""
    with pytest.MonkeyPatch.context() as patch:
        lofted: dict[str, Job] = {}
        patch.setattr(boat_job, "loft", lambda boat: lofted.get(boat.name) or lofted.setdefault(boat.name, loft(boat)))
        yield


@pytest.fixture(scope="module")
def whole(read: BoatFile) -> Made:
    """Made by one process."""
    with pytest.MonkeyPatch.context() as patch:
        patch.setattr(processes_module, "_cores", lambda: 1)
        return make_whole(BoatJob(read, WISHES))


def test_the_whole_job_is_all_products_that_are_wished(read: BoatFile, whole: Made) -> None:
    assert set(whole.files) == set(files_of(BoatJob(read, WISHES)))
    less = set(files_of(BoatJob(read, Wishes(date=WISHES.date))))
    gone = set(whole.files) - less
    assert less < set(whole.files)
    assert {path.split("/")[1] for path in gone if path.startswith("svg/")} == {"tiles"}
    assert [path for path in gone if not path.startswith("svg/tiles/")] == ["paper/model-1-8.pdf"]


# What a product may not work out: values of the job that belong to others.
LINES = {
    "contours",
    "worked",
    "shaped",
    "drawings",
    "tilings",
    "rolled",
    "plan",
    "fit",
    "setting_up",
    "tables",
    "boards",
}
PAPER = {"tilings", "rolled", "boards_laid", "steps_laid", "saw_laid"}
BENCH = {"fit", "setting_up", "tables", "boards"}
NOT_NEEDED = {
    "svg": PAPER | BENCH | {"contours", "plan", "cautions"},
    "router": PAPER | BENCH | {"drawings", "blocks", "plan", "worked"},
    "sheets": PAPER | BENCH | {"drawings", "blocks"},
    "layout tables": PAPER | {"drawings", "contours", "plan", "fit", "boards", "setting_up"},
    "fit": PAPER | {"drawings", "contours", "plan", "tables", "boards", "setting_up"},
    "setting up": {"drawings", "contours", "plan", "tables", "boards", "fit", "boards_laid", "saw_laid", "tilings"},
    "bevel boards": {"drawings", "contours", "plan", "tables", "setting_up", "fit", "steps_laid", "saw_laid"},
    "story sticks": PAPER | {"drawings", "contours", "plan", "fit"},
    "saw set-ups": {"drawings", "contours", "plan", "steps_laid", "boards_laid", "tilings"} | BENCH,
    "paper": {"contours", "plan", "rolled", "steps_laid", "boards_laid", "saw_laid"} | BENCH,
    "svg tiles": {"contours", "plan", "rolled", "steps_laid", "boards_laid", "saw_laid"} | BENCH,
    "roll": {"contours", "plan", "tilings", "halved", "steps_laid", "boards_laid", "saw_laid"} | BENCH,
    "model": PAPER | BENCH | {"drawings", "contours", "plan"},
    "job.json": PAPER | {"drawings", "blocks"},
    "as built": PAPER | {"drawings", "contours", "plan", "tables", "boards", "fit"},
    "weight and floating": PAPER | BENCH | {"drawings", "contours", "plan", "worked", "shaped"},
    "cut list": PAPER | BENCH | {"drawings", "blocks"},
    "fastenings": PAPER | BENCH | {"drawings", "blocks", "plan", "worked", "contours"},
    "what to buy": PAPER | BENCH | {"drawings", "blocks"},
    "bottom boards": PAPER | BENCH | {"drawings", "blocks"},
    "plank lines": PAPER | BENCH | {"drawings", "blocks"},
    "moulds": PAPER | BENCH | {"drawings", "blocks"},
    "faired table": LINES,
    "lines may be out": LINES,
    "book": set(),
}


@pytest.mark.parametrize("name", ALL)
def test_a_product_by_itself_is_that_of_the_whole_job_and_nothing_else_is_made_for_it(
    name: str, read: BoatFile, whole: Made, monkeypatch: pytest.MonkeyPatch
) -> None:
    def guarded(one: Product) -> Product:
        def refused(job: BoatJob) -> Made:
            raise AssertionError(f"{one.name} was made for {name}")

        return one if one.name == name else dataclasses.replace(one, make=refused)

    monkeypatch.setattr("patterns.job.products.table.PRODUCTS", tuple(map(guarded, PRODUCTS)))
    job = BoatJob(read, WISHES)
    alone = make(job, name).files
    assert alone or name in ("bottom boards", "moulds", "plank lines")  # her bottom is of plywood, and she has a chine
    assert set(vars(job)) & NOT_NEEDED[name] == set()
    named = sorted(product(name).files(job))
    assert sorted(alone) == named
    assert alone == {path: whole.files[path] for path in named}


def test_values_named_here_are_a_jobs_own() -> None:
    own = {name for name, value in vars(BoatJob).items() if isinstance(value, cached_property)}
    assert set().union(*NOT_NEEDED.values()) <= own


def test_a_model_without_a_scale_is_refused(read: BoatFile) -> None:
    with pytest.raises(PatternsError, match="model: found no scale, expected one"):
        make(BoatJob(read), "model")


def test_patterns_are_halved_only_where_that_is_wished(read: BoatFile) -> None:
    assert BoatJob(read).halved == {}
    assert "transom" in BoatJob(read, Wishes(half=True)).halved


def test_what_is_told_comes_stage_by_stage_and_is_kept_with_the_files(read: BoatFile) -> None:
    heard: list[Stage | Counted | Told] = []
    made = make_whole(BoatJob(read, Wishes(paper="a5", only=("stem",))), heard.append)
    assert [news for news in heard if isinstance(news, Stage)] == [
        stage for stage in Stage if stage is not Stage.ON_SHEETS or read.sheets
    ]
    assert [news for news in heard if not isinstance(news, Stage | Counted)] == list(made.told)
    counts = [news for news in heard if isinstance(news, Counted)]
    assert counts, "a stage of many things says how far it is"
    assert all(0 <= count.done <= count.of for count in counts)
    assert [news for news in made.told if isinstance(news, BenchPaper)] == [BenchPaper("A5", "A4")]
    tiles = next(news for news in made.told if isinstance(news, TilesPrinted))
    assert tiles.paper == "A5"
    assert any("stem" in words for words in tiles.left_off)


def test_processes_hand_values_back_and_print_nothing(
    read: BoatFile, whole: Made, monkeypatch: pytest.MonkeyPatch, capfd: pytest.CaptureFixture[str]
) -> None:
    """A job is the same byte for byte whether one core makes it or three."""
    monkeypatch.setattr(processes_module, "_cores", lambda: 3)
    made = make_whole(BoatJob(read, WISHES))
    assert len(made.files) > 20
    assert made.files == whole.files
    assert made.told == whole.told
    assert capfd.readouterr() == ("", "")


PRINTS = re.compile(r"(?<![\w.])(print|input)\(|sys\.(stdout|stderr|exit)|redirect_stdout")


def lines_that_print() -> Iterator[str]:
    for file in sorted((ROOT / "patterns").rglob("*.py")):
        if file.parent.name != "cli" and file.name != "__main__.py":  # the command itself
            for number, line in enumerate(file.read_text(encoding="utf-8").splitlines(), 1):
                if re.search(
                    r"(?<![\w.])print\(|sys\.std(out|err)|redirect_stdout|(?<![\w.])input\(|sys\.exit\(", line
                ):
                    yield f"{file.relative_to(ROOT)}:{number}: {line.strip()}"


def test_only_commands_print_ask_and_exit() -> None:
    assert list(lines_that_print()) == []
