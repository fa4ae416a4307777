"""Tiles as SVG: the same sheets as in the PDF, true to size in two readers that know nothing of each other."""

from __future__ import annotations

import re
import shutil
import subprocess
import xml.etree.ElementTree as ET
from pathlib import Path

import numpy as np
import pytest
from commanded import bare_boat, scrieve_here
from numpy.typing import NDArray
from PIL import Image

from patterns.drawing.marks import LAYERS, Cross, Drawing, Label, Stroke
from patterns.tiling.paper.paper import paper
from patterns.tiling.tiles.tiles import Tile, tile
from patterns.writing.ink.svg import svg_page

SVG = "{http://www.w3.org/2000/svg}"
FINE = 8.0  # pixels a mm


def panel_tile() -> Tile:
    corners = np.array([[0, 0], [700, 30], [680, 400], [0, 380]], float)
    drawing = Drawing(
        "side panel, port",
        "side-panel-port",
        (Stroke(corners, "cut-outside", closed=True), Label("panel ⅝", (300.0, 200.0), 5.0)),
    )
    return tile(drawing, paper("a4")).tiles[2]


def by_rsvg(text: str, folder: Path) -> NDArray[np.bool_]:
    (folder / "tile.svg").write_text(text, encoding="utf-8")
    dpi = str(FINE * 25.4)
    words = ["rsvg-convert", "-d", dpi, "-p", dpi, "-b", "white", "-o", "tile.png", "tile.svg"]
    subprocess.run(words, cwd=folder, check=True)
    return np.asarray(Image.open(folder / "tile.png").convert("L")) < 128


def by_chromium(text: str, folder: Path) -> NDArray[np.bool_]:
    """As a browser lays it on a page: a CSS inch is 96 px, whatever the screen (CSS Values 4, section 6.2)."""
    (folder / "tile.html").write_text(
        f"<!doctype html><body style='margin:0'>{text.split('?>', 1)[1]}", encoding="utf-8"
    )
    words = [
        "chromium", "--headless", "--no-sandbox", "--disable-gpu", "--hide-scrollbars", "--screenshot=tile.png",
        f"--force-device-scale-factor={FINE * 25.4 / 96}", "--window-size=1200,1200", "tile.html",
    ]  # fmt: skip
    subprocess.run(words, cwd=folder, check=True, capture_output=True, timeout=120)
    return np.asarray(Image.open(folder / "tile.png").convert("L")) < 128


READERS = {"rsvg-convert": by_rsvg, "chromium": by_chromium}


@pytest.mark.slow
@pytest.mark.parametrize("reader", READERS)
def test_bars_and_crosses_lie_where_they_should_to_a_tenth_of_a_mm(reader: str, tmp_path: Path) -> None:
    if shutil.which(reader) is None:
        pytest.skip(f"no {reader} on this machine")
    page = panel_tile().page
    ink = READERS[reader](svg_page(page, prefix="tile"), tmp_path)

    def dark(points: NDArray[np.float64]) -> NDArray[np.bool_]:
        """Whether there is ink within a tenth of a mm of places on the page."""
        found = np.zeros(len(points), dtype=bool)
        for dx, dy in np.array(np.meshgrid([-0.1, 0.0, 0.1], [-0.1, 0.0, 0.1])).reshape(2, -1).T:
            columns = ((points[:, 0] + dx) * FINE).astype(int)
            rows = ((page.height - points[:, 1] + dy) * FINE).astype(int)
            found |= ink[rows, columns]
        return found

    sheet = [mark for mark in page.marks if mark.layer == "sheet"]
    bars = [
        mark.points
        for mark in sheet
        if isinstance(mark, Stroke) and abs(np.abs(np.diff(mark.points, axis=0)).max() - 100) < 1e-9
    ]
    assert len(bars) == 2
    for start, end in bars:
        way = (end - start) / 100
        assert dark(start + np.linspace(0, 100, 400)[:, None] * way).all()
        # Past the end strokes there is paper.
        assert not dark(np.array([start - 0.6 * way, end + 0.6 * way])).any()
    crosses = [mark for mark in sheet if isinstance(mark, Cross)]
    assert len(crosses) >= 4
    for cross in crosses:
        along = np.linspace(-cross.arm + 0.2, cross.arm - 0.2, 30)[:, None]
        assert dark(np.array(cross.at) + along * (1.0, 0.0)).all()
        assert dark(np.array(cross.at) + along * (0.0, 1.0)).all()


def test_a_tile_is_its_paper_in_mm_grouped_by_layer_with_ids_of_its_own() -> None:
    one = panel_tile()
    text = svg_page(one.page, prefix=f"side-panel-port-{one.label}")
    root = ET.fromstring(text)
    size = (one.page.width, one.page.height)
    assert (root.get("width"), root.get("height")) == tuple(f"{length:g}mm" for length in size)
    assert root.get("viewBox") == f"0 0 {size[0]:g} {size[1]:g}"
    titles = [group.findtext(f"{SVG}title") for group in root.findall(f"{SVG}g/{SVG}g")]
    assert set(titles) <= set(LAYERS)
    assert {"cut-outside", "sheet"} <= set(titles)
    ids = re.findall(r' id="([^"]+)"', text)
    assert len(ids) == len(set(ids))
    assert all(name.startswith(f"side-panel-port-{one.label}-") for name in ids)


@pytest.mark.slow
def test_the_command_writes_one_file_a_tile(tmp_path: Path) -> None:
    words = ("loft", bare_boat(tmp_path / "boat"), "--out", tmp_path / "job", "--paper", "a1")
    assert scrieve_here(*words, "--svg-tiles", "--all", settings=tmp_path).returncode == 0
    files = sorted((tmp_path / "job/svg/tiles").iterdir())
    assert {"bottom-panel", "mould-4"} <= {file.stem.rpartition("-")[0] for file in files}
    ids: set[str] = set()
    for file in files:
        assert re.fullmatch(r"[\w.+-]+-[A-Z]+[0-9]+\.svg", file.name)
        found = {str(group.get("id")) for group in ET.parse(file).getroot().iter(f"{SVG}g")}
        assert found
        assert not found & ids
        ids |= found
