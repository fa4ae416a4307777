"""Sheets printed, joined by their crosses and measured: the finished line comes out where job.json has it."""

from __future__ import annotations

from dataclasses import dataclass, replace
from pathlib import Path

import numpy as np
import pytest
from virtual_paper import Laid, laid, missing, net_line_off, sheets

from patterns.drawing.marks import Drawing, Stroke
from patterns.drawing.turning import turned
from patterns.geometry.arrays import Floats
from patterns.parts.whole import loft
from patterns.plates.pattern.plate import Printing, plate
from patterns.reading.boat.boat_toml import read_boat
from patterns.tiling.paper.correction import Measured, correction
from patterns.tiling.paper.page import Page
from patterns.tiling.tiles.tiles import Tiling, paper, tile
from patterns.writing.ink.pdf import pdf_bytes

pytestmark = pytest.mark.slow

SALTMEADOW = Path(__file__).parents[2] / "samples" / "saltmeadow"
SCALE = 0.985, 1.008  # what a poor printer makes of a millimetre, across and down the paper
WITHIN = 0.27  # mm; a pixel and a half of what sees the pages
SLIP = 0.5  # mm, how far off a builder may lay a sheet


@dataclass(frozen=True)
class Printed:
    """A pattern on paper, printed true and joined."""

    tiling: Tiling
    outline: Floats  # as job.json has it, turned as the pattern was to save paper
    joined: list[Laid]


def _joined(pages: list[Page], *, scale: tuple[float, float] = (1.0, 1.0)) -> list[Laid]:
    data = pdf_bytes(pages, title="virtual paper")
    return [laid(sheet) for sheet in sheets(data, scale=scale)]


@pytest.fixture(scope="module")
def outlines() -> dict[str, tuple[Drawing, Floats]]:
    job = loft(read_boat(SALTMEADOW).boat)
    found = {}
    for part in job.parts:
        if part.title in ("frame 3", "transom", "side panel, port"):
            found[part.title] = plate(part, Printing(job.boat.name, job.boat.show)), part.outline
    return found


@pytest.fixture(scope="module", params=["a4", "letter"])
def printed(request: pytest.FixtureRequest, outlines: dict[str, tuple[Drawing, Floats]]) -> dict[str, Printed]:
    return {title: _printed(*found, request.param) for title, found in outlines.items()}


def _printed(drawing: Drawing, outline: Floats, name: str) -> Printed:
    tiling = tile(drawing, paper(name))
    ring = Drawing("outline", "outline", (Stroke(outline, "cut-outside", closed=True),))
    [mark] = turned(ring, tiling.drawing.turn).marks
    assert isinstance(mark, Stroke)
    return Printed(tiling, mark.points, _joined([one.page for one in tiling.tiles]))


@pytest.mark.parametrize("title", ["frame 3", "transom", "side panel, port"])
def test_joined_by_their_crosses_alone_the_sheets_give_the_outline(printed: dict[str, Printed], title: str) -> None:
    pattern = printed[title]
    joined = pattern.joined
    assert min(one.crosses for one in joined) >= 2  # two places fix a page
    assert max(one.off for one in joined) < 0.1
    assert missing(joined, pattern.outline) == 0
    off = net_line_off(joined, pattern.outline)
    print(f"{title}, {len(joined)} sheets: finished line within {np.nanmax(np.abs(off)):.3f} mm")
    assert np.isnan(off).sum() == 0
    assert np.abs(off).max() < WITHIN


@pytest.mark.parametrize("title", ["frame 3", "transom", "side panel, port"])
def test_a_poor_printer_put_right_gives_the_outline_too(printed: dict[str, Printed], title: str) -> None:
    pattern = printed[title]
    drawing, sheet = pattern.tiling.drawing, replace(pattern.tiling.paper)
    if sheet.width > sheet.height:
        sheet = sheet.turned()
    right = correction("shed", Measured(200.0 * SCALE[0], 250.0 * SCALE[1]))
    tiling = tile(drawing, right.room(sheet))
    pages = [right.sheet(one.page, sheet) for one in tiling.tiles]
    joined = _joined(pages, scale=SCALE)
    assert tiling.drawing.turn == drawing.turn
    off = net_line_off(joined, pattern.outline)
    print(f"{title}, {len(joined)} sheets, printer 0.985 x 1.008 corrected: within {np.abs(off).max():.3f} mm")
    assert missing(joined, pattern.outline) == 0
    assert np.abs(off).max() < WITHIN


def test_the_same_printer_not_put_right_is_seen_at_once(printed: dict[str, Printed]) -> None:
    joined = _joined([one.page for one in printed["frame 3"].tiling.tiles], scale=SCALE)
    assert max(one.off for one in joined) > 0.5
    assert np.nanmax(np.abs(net_line_off(joined, printed["frame 3"].outline))) > 2 * WITHIN


@pytest.mark.parametrize("title", ["frame 3", "transom", "side panel, port"])
def test_sheets_laid_half_a_millimetre_off_put_the_line_no_further_off(printed: dict[str, Printed], title: str) -> None:
    """Every sheet is laid by figured crosses of one grid, so errors do not add up from seam to seam."""
    random = np.random.default_rng(4)
    joined = []
    for one in printed[title].joined:
        way = random.uniform(0.0, 2 * np.pi)
        joined.append(replace(one, shift=one.shift + SLIP * np.array([np.cos(way), np.sin(way)])))
    off = net_line_off(joined, printed[title].outline)
    print(f"{title}, {len(joined)} sheets laid 0.5 mm off at random: within {np.abs(off).max():.3f} mm")
    assert np.abs(off).max() < SLIP + 0.1
