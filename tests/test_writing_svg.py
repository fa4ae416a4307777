"""Full-size SVG: true size, one group a layer, words upright."""

from __future__ import annotations

import re
import xml.etree.ElementTree as ET

import numpy as np
import pytest

from patterns.drawing.marks import Cross, Drawing, Label, Stroke
from patterns.writing.svg import BAR, svg_text

SVG = "{http://www.w3.org/2000/svg}"

SQUARE = Stroke(np.array([[0.0, 0.0], [300.0, 0.0], [300.0, 200.0], [0.0, 200.0]]), "cut-outside", closed=True)
DRAWING = Drawing(
    "a square",
    "a-square",
    (
        SQUARE,
        Stroke(np.array([[10.0, 10.0], [290.0, 10.0]]), "far-face"),
        Cross((0.0, 0.0), 4.0, "mark"),
        Label('12.4° under, 3/32"', (150.0, 100.0), 3.0, angle=np.pi / 2),
    ),
)


@pytest.fixture(scope="module")
def root() -> ET.Element:
    return ET.fromstring(svg_text(DRAWING))


def points(path: ET.Element) -> np.ndarray:
    return np.array([float(n) for n in re.findall(r"-?[\d.]+", path.get("d", ""))]).reshape(-1, 2)


def layer(root: ET.Element, name: str) -> ET.Element:
    return next(g for g in root.iter(f"{SVG}g") if g.get("id") == f"a-square-{name}")


def test_one_unit_is_one_millimetre(root: ET.Element) -> None:
    """W3C CSS Values and Units: a width in mm over a viewBox of as many units makes the unit one mm."""
    left, top, width, height = map(float, root.get("viewBox", "").split())
    assert (left, top) == (0.0, 0.0)
    assert root.get("width") == f"{width}mm"
    assert root.get("height") == f"{height}mm"


def test_the_net_line_keeps_its_measures_and_lies_on_the_sheet(root: ET.Element) -> None:
    outline = next(layer(root, "cut-outside").iter(f"{SVG}path"))
    assert outline.get("d", "").endswith("Z")
    assert np.abs(points(outline) - SQUARE.points).max() < 1e-9
    turned = next(g for g in root.iter(f"{SVG}g") if g.get("transform"))
    dx, dy = map(float, re.findall(r"-?[\d.]+", turned.get("transform", ""))[:2])
    _, _, width, height = map(float, root.get("viewBox", "").split())
    on_sheet = points(outline) * (1, -1) + (dx, dy)
    assert (on_sheet >= 0).all()
    assert (on_sheet <= (width, height)).all()


def test_both_check_bars_are_100_mm_and_clear_of_the_pattern(root: ET.Element) -> None:
    runs = [np.ptp(points(path), axis=0) for path in layer(root, "sheet").iter(f"{SVG}path")]
    assert [run for run in runs if tuple(run) == (BAR, 0.0)]
    assert [run for run in runs if tuple(run) == (0.0, BAR)]
    places = np.concatenate([points(path) for path in layer(root, "sheet").iter(f"{SVG}path")])
    assert ((places[:, 0] < 0) | (places[:, 1] < 0)).all()


def test_ids_are_unique_and_groups_are_the_layers(root: ET.Element) -> None:
    ids = [element.get("id") for element in root.iter() if element.get("id")]
    assert len(ids) == len(set(ids))
    layers = {name.removeprefix("a-square-") for name in ids if name != "a-square"}
    assert layers == {"cut-outside", "far-face", "mark", "text", "sheet"}


def test_words_keep_the_width_they_were_placed_with(root: ET.Element) -> None:
    word = next(layer(root, "text").iter(f"{SVG}text"))
    assert word.text == '12.4° under, 3/32"'
    assert float(word.get("textLength", "0")) > 0
    assert "rotate(-90.0)" in word.get("transform", "")
