"""SVG: true size, readable, and safe to set side by side in one page."""

from __future__ import annotations

import hashlib
import os
import re
import shutil
import subprocess
import xml.etree.ElementTree as ET
from pathlib import Path

import numpy as np
import pypdfium2
import pytest
from fresh_runs import printed_in_fresh_runs
from knees import knee

from patterns.drawing.marks import Drawing, Label, Stroke
from patterns.drawing.text import text_width
from patterns.writing.ink.svg import BESIDE, MARGIN, svg_text

SVG = "{http://www.w3.org/2000/svg}"
ROOT = Path(__file__).parents[2]


def test_it_is_true_to_size_in_millimetres() -> None:
    root = ET.fromstring(svg_text(knee()))
    width, height = 420 + BESIDE + 2 * MARGIN, 430.123 + BESIDE + 2 * MARGIN
    assert root.get("width") == f"{width:g}mm"
    assert root.get("height") == f"{height:g}mm"
    assert root.get("viewBox") == f"0 0 {width:g} {height:g}"


def test_there_is_one_flip_and_the_patterns_own_axes_within_it() -> None:
    root = ET.fromstring(svg_text(knee()))
    [upright] = root.findall(f"{SVG}g")
    assert str(upright.get("transform")).startswith("matrix(1 0 0 -1 ")
    outline = root.find(f".//{SVG}g[@id='quarter-knee-cut-outside']/{SVG}path")
    assert outline is not None
    assert outline.get("d") == "M0,0 420,0 300,90 120,330 0,430.123Z"


def test_places_are_told_to_a_thousandth_without_idle_noughts() -> None:
    """Each as Python rounds it alone, the halves of a thousandth among them."""
    told = {
        -0.0004: "0", 0.0004: "0", -0.0: "0", 100.0: "100", -20.5: "-20.5", 1.5875: "1.587", 0.0505: "0.051",
        -1234.0004: "-1234", 10.1: "10.1", 7.0209: "7.021",
    }  # fmt: skip
    stroke = Stroke(np.array([[place, place] for place in told]), "mark")
    path = ET.fromstring(svg_text(Drawing("places", "places", (stroke,)))).find(f".//{SVG}path")
    assert path is not None
    assert path.get("d") == "M" + " ".join(f"{figure},{figure}" for figure in told.values())
    assert all(float(f"{place:.3f}") == float(figure) for place, figure in told.items())


def test_layers_are_groups_with_plain_ids_and_titles() -> None:
    root = ET.fromstring(svg_text(knee()))
    groups = {group.get("id"): group.findtext(f"{SVG}title") for group in root.findall(f"{SVG}g/{SVG}g")}
    assert groups == {f"quarter-knee-{layer}": layer for layer in ("cut-outside", "far-face", "drill", "text", "sheet")}


def test_ids_never_meet_those_of_another_drawing() -> None:
    one, other = (set(re.findall(r'id="([^"]+)"', svg_text(knee(name)))) for name in ("a-knee", "b knee, port"))
    assert one
    assert other
    assert not one & other
    assert all(re.fullmatch(r"[A-Za-z][A-Za-z0-9-]*", name) for name in one | other)
    assert len(re.findall(r' id="', svg_text(knee()))) == len(set(re.findall(r' id="([^"]+)"', svg_text(knee()))))


def test_text_and_dashes_are_kept() -> None:
    root = ET.fromstring(svg_text(knee()))
    assert "knee <3/4″> & ⅝" in [text.text for text in root.iter(f"{SVG}text")]
    dashed = root.find(f".//{SVG}g[@id='quarter-knee-far-face']")
    assert dashed is not None
    assert dashed.get("stroke-dasharray") == "3 1.5"
    path = dashed.find(f"{SVG}path")
    assert path is not None
    assert path.get("stroke-dashoffset") == "2.5"


def test_words_keep_the_width_they_were_placed_with() -> None:
    label = next(mark for mark in knee().marks if isinstance(mark, Label))
    root = ET.fromstring(svg_text(knee()))
    [word] = [text for text in root.iter(f"{SVG}text") if text.text == label.text]
    assert float(word.get("textLength", "0")) == pytest.approx(text_width(label.text, label.size), abs=1e-3)
    assert word.get("transform") == "translate(90 150) rotate(28.648) scale(1 -1)"


def test_both_check_bars_are_100_mm_and_clear_of_the_pattern() -> None:
    root = ET.fromstring(svg_text(knee()))
    lines = [
        np.array([place.split(",") for place in str(path.get("d"))[1:].split()], float)
        for path in root.findall(f".//{SVG}g[@id='quarter-knee-sheet']/{SVG}path")
    ]
    runs = {tuple(np.ptp(line, axis=0).tolist()) for line in lines}
    assert {(100.0, 0.0), (0.0, 100.0)} <= runs
    assert all(((line < 0).any(axis=1)).all() for line in lines)


def test_no_number_is_longer_than_three_decimals() -> None:
    assert not re.search(r"\d\.\d{4,}", svg_text(knee()))


@pytest.mark.skipif(
    shutil.which("rsvg-convert") is None and not os.environ.get("CI"), reason="no second SVG reader on this machine"
)
def test_another_reader_takes_it_for_the_same_size(tmp_path: Path) -> None:
    (tmp_path / "knee.svg").write_text(svg_text(knee()), encoding="utf-8")
    subprocess.run(["rsvg-convert", "-f", "pdf", "-o", tmp_path / "knee.pdf", tmp_path / "knee.svg"], check=True)
    width, height = pypdfium2.PdfDocument(tmp_path / "knee.pdf")[0].get_size()
    assert width * 25.4 / 72 == pytest.approx(420 + BESIDE + 2 * MARGIN, abs=0.02)
    assert height * 25.4 / 72 == pytest.approx(430.123 + BESIDE + 2 * MARGIN, abs=0.02)


@pytest.mark.slow
def test_the_same_drawing_gives_the_same_text_in_every_run() -> None:
    code = (
        "import hashlib\n"
        "from knees import knee\n"
        "from patterns.writing.ink.svg import svg_text\n"
        "print(hashlib.sha256(svg_text(knee()).encode()).hexdigest())"
    )
    assert printed_in_fresh_runs(code) == {hashlib.sha256(svg_text(knee()).encode()).hexdigest()}
