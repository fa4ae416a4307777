"""What a Python program asks for by name: short to look at, cheap to import, and every example in it runs."""

from __future__ import annotations

import dataclasses
import doctest
import importlib
import re
import subprocess
import sys
from collections.abc import Iterator
from functools import cache
from pathlib import Path

import pytest

import patterns
from patterns.errors import PatternsError
from patterns.job import boat_job
from patterns.job.boat_job import BoatJob
from patterns.parts import whole

pytestmark = pytest.mark.slow

ROOT = Path(__file__).parents[2]
PACKAGE = ROOT / "patterns"
GUIDE = ROOT / "shared" / "guide" / "from-python.md"
LONGEST = 200  # characters of a repr
HEAVY = ("numpy", "scipy", "shapely", "pydantic", "reportlab")


def module_of(file: Path) -> str:
    return ".".join(file.relative_to(ROOT).with_suffix("").parts).removesuffix(".__init__")


EXAMPLES = sorted(module_of(file) for file in PACKAGE.rglob("*.py") if ">>>" in file.read_text(encoding="utf-8"))


@cache
def saltmeadow() -> BoatJob:
    return patterns.loft(ROOT / "samples" / "saltmeadow")


@pytest.fixture
def one_boat(monkeypatch: pytest.MonkeyPatch) -> None:
    """From the project's folder; saltmeadow is lofted once for all examples."""
    lofted = saltmeadow().lofted
    monkeypatch.setattr(boat_job, "loft", lambda boat: lofted if boat.name == lofted.boat.name else whole.loft(boat))
    monkeypatch.chdir(ROOT)


@pytest.mark.usefixtures("one_boat")
@pytest.mark.parametrize("name", EXAMPLES)
def test_examples_in_the_modules_run_as_they_are_printed(name: str) -> None:
    job = {"job": saltmeadow()} if name.startswith("patterns.job") else {}
    failed, tried = doctest.testmod(importlib.import_module(name), extraglobs=job, optionflags=doctest.ELLIPSIS)
    assert tried > 0
    assert failed == 0


@pytest.mark.usefixtures("one_boat")
def test_examples_in_the_guide_run_as_they_are_printed(tmp_path: Path) -> None:
    failed, tried = doctest.testfile(
        str(GUIDE), module_relative=False, globs={"folder": str(tmp_path / "out")}, optionflags=doctest.ELLIPSIS
    )
    assert tried > 10
    assert failed == 0


def test_every_name_is_given_and_typed() -> None:
    typed = re.findall(r"^from (\S+) import (\w+) as \2$", (PACKAGE / "__init__.pyi").read_text(), re.MULTILINE)
    assert {name for _, name in typed} == set(patterns.__all__) - {"__version__"}
    for module, name in typed:
        assert getattr(patterns, name) is getattr(importlib.import_module(module), name)
    assert (PACKAGE / "py.typed").exists()


def test_a_name_that_is_not_there_is_an_attribute_error() -> None:
    assert not hasattr(patterns, "plank")


def test_importing_patterns_waits_for_no_library() -> None:
    program = f"import sys, patterns; print([name for name in {HEAVY!r} if name in sys.modules])"
    done = subprocess.run([sys.executable, "-c", program], cwd=ROOT, capture_output=True, text=True, check=True)
    assert done.stdout == "[]\n"


def large_values(job: BoatJob) -> Iterator[object]:
    """Everything that is asked of a job by name, and what that holds, one of each kind of each holder."""
    ahead: list[object] = [job, job.read, job.drafting, job.worked, job.contours, job.plan, job.tables, job.boards]
    ahead += [job.setting_up, job.fit, patterns.draw(job, "frame 3"), patterns.make(job, "cut list")]
    kinds: set[tuple[type, str]] = set()
    while ahead:
        one = ahead.pop()
        if isinstance(one, tuple | list):
            ahead += one[:40]
        elif dataclasses.is_dataclass(one):
            yield one
            for field in dataclasses.fields(one):
                if (type(one), field.name) not in kinds:
                    kinds.add((type(one), field.name))
                    ahead.append(getattr(one, field.name))


NAMED = (
    *("Boat", "BoatFile", "Hull", "Strake", "Corner", "Offsets", "FairedLine", "FairedView", "Stem", "Transom"),
    *("Job", "Part", "Edge", "Mark", "LongPiece", "BoatJob", "BenchPiece", "Contours", "SheetPlan", "Made", "Pattern"),
    *("Drawing", "LayoutTable", "BevelBoard", "SettingUp", "FitReport"),
)


def test_large_values_are_shown_in_one_short_line() -> None:
    seen = set()
    for value in large_values(saltmeadow()):
        shown = repr(value)
        seen.add(type(value).__name__)
        if type(value).__name__ in NAMED:
            assert "\n" not in shown, type(value)
            assert len(shown) <= LONGEST, type(value)
    assert set(NAMED) <= seen


def test_a_part_is_asked_for_by_its_title_and_a_wrong_one_is_told_with_those_like_it() -> None:
    job = saltmeadow()
    assert job.part("frame 3").title == "frame 3"
    assert job.part("side panel, port").hand == "port"
    for wrong, near in (("frame 33", "'frame 3'"), ("side panel", "'side panel, port', 'side panel, starboard'")):
        with pytest.raises(PatternsError, match=f"part: found '{wrong}', expected one such as .*{near}") as refused:
            job.part(wrong)
        assert isinstance(refused.value, KeyError)


def test_a_piece_of_a_joined_panel_has_no_pattern_and_the_panel_is_named() -> None:
    job = saltmeadow()
    joined = job.lofted.long_panels.joined[0]
    with pytest.raises(PatternsError, match=f"pattern: found '{joined.cut[0].title}'.*'{joined.panel.title}'"):
        patterns.draw(job, joined.cut[0].title)


def test_a_product_nobody_makes_is_refused_with_those_there_are() -> None:
    with pytest.raises(PatternsError, match=r"product: found 'rooter', expected .*'router'"):
        patterns.make(saltmeadow(), "rooter")


def test_a_notebook_shows_a_pattern_as_wide_as_its_page_and_a_job_as_a_table() -> None:
    job = saltmeadow()
    image = patterns.draw(job, job.part("stem"))._repr_svg_()
    assert image.startswith("<svg")
    assert 'width="100%"' in image
    table = job._repr_html_()
    assert table.count("<tr>") == len(job.lofted.parts) + 1
