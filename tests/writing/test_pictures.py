"""The pictures of README and guide are what the program draws now."""

from __future__ import annotations

import importlib.util
import re
from pathlib import Path
from types import ModuleType

import numpy as np
import pytest

ROOT = Path(__file__).parents[2]
COMMAND = "tests/bench/make_pictures.py"
SHARED = ROOT / "shared"
NUMBER = re.compile(r"-?\d+(?:\.\d+)?")
SAME = 0.02  # mm; by this much libraries of other versions may round otherwise


def _maker() -> ModuleType:
    spec = importlib.util.spec_from_file_location("make_pictures", ROOT / COMMAND)
    assert spec
    assert spec.loader
    module = importlib.util.module_from_spec(spec)
    spec.loader.exec_module(module)
    return module


MAKER = _maker()


@pytest.mark.slow
@pytest.mark.parametrize("name", MAKER.MADE)
def test_a_picture_is_what_the_program_draws_now(name: str) -> None:
    kept, drawn = (SHARED / "pictures" / name).read_text(encoding="utf-8"), MAKER.MADE[name]()
    stale = f"shared/pictures/{name} is stale: run .venv/bin/python {COMMAND}, and look at it"
    assert NUMBER.split(kept) == NUMBER.split(drawn), stale
    figures = (np.array(NUMBER.findall(text), dtype=np.float64) for text in (kept, drawn))
    assert np.abs(np.subtract(*figures)).max() <= SAME, stale


def test_every_picture_that_readme_and_guide_show_is_made_by_the_command() -> None:
    made = set(MAKER.MADE)
    assert {file.name for file in (SHARED / "pictures").iterdir()} == made
    shown = set()
    for page in (ROOT / "README.md", *(SHARED / "guide").glob("*.md")):
        for target in re.findall(r"!\[[^\]]+\]\(([^)]+)\)", page.read_text(encoding="utf-8")):
            assert (page.parent / target).is_file(), f"{page.name}: {target}"
            shown.add(Path(target).name)
    assert shown == made
