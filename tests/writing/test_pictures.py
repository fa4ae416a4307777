"""The pictures of README and guide are what the program draws now."""

from __future__ import annotations

import base64
import importlib.util
import io
import re
from pathlib import Path
from types import ModuleType

import numpy as np
import pytest
from numpy.typing import NDArray
from PIL import Image

ROOT = Path(__file__).parents[2]
COMMAND = "tests/bench/make_pictures.py"
SHARED = ROOT / "shared"
NUMBER = re.compile(r"-?\d+(?:\.\d+)?")
IMAGE = re.compile(r"data:image/png;base64,([A-Za-z0-9+/=]+)")
SAME = 0.02  # mm; by this much libraries of other versions may round otherwise


def shades(encoded: str) -> NDArray[np.float64]:
    """Of a shaded picture, 0 to 255: edges of its faces may fall on the next pixel where numbers round otherwise."""
    return np.asarray(Image.open(io.BytesIO(base64.b64decode(encoded))).convert("L"), dtype=np.float64)


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
    for one, other in zip(IMAGE.findall(kept), IMAGE.findall(drawn), strict=True):
        assert np.abs(np.subtract(shades(one), shades(other))).mean() < 1.0, stale
    kept, drawn = IMAGE.sub("", kept), IMAGE.sub("", drawn)
    alike = NUMBER.split(kept) == NUMBER.split(drawn)
    assert alike, stale
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
