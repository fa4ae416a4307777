"""Every sheet of every sample, as a builder gets it: readable, inside its margins, and saying what it is."""

from __future__ import annotations

import re
from collections.abc import Iterator, Sequence
from dataclasses import dataclass, replace
from functools import cache
from pathlib import Path

import numpy as np
import pypdfium2
import pytest
import shapely
from sample_jobs import FOLDERS, SAMPLES, sample

from patterns import __version__
from patterns.drawing.marks import Cross, Drawing, Label, Stroke
from patterns.drawing.moved_marks import placed
from patterns.drawing.sight_lines import in_sight, parting_lines, ways_home
from patterns.drawing.text import label_box, label_boxes
from patterns.parts.part import Part
from patterns.plates.pattern.plate import Printing, plate
from patterns.reading.boat.boat_toml import BoatFile
from patterns.tiling.paper.page import Page
from patterns.tiling.paper.paper import PaperSetup
from patterns.tiling.seams.datum_lines import DASHES, datum_places
from patterns.tiling.seams.key_plan import taping_order
from patterns.tiling.tiles.front_page import front_page
from patterns.tiling.tiles.page_set import PageSet, page_set
from patterns.tiling.tiles.shared_pages import shared
from patterns.tiling.tiles.tiles import Tiling, tile
from patterns.units.papers import paper_size
from patterns.writing.ink.pdf import pdf_bytes

pytestmark = pytest.mark.slow

LOFTED = [FOLDERS[name] for name in SAMPLES]
SALTMEADOW = next(place for place in LOFTED if place.name == "saltmeadow")
PAPERS = ("letter", "a4")
GRIP = 100.0  # pixels an inch to look at margins by


@dataclass(frozen=True)
class Set:
    """All sheets of one boat on one paper."""

    paper: PaperSetup
    made: PageSet

    @property
    def tilings(self) -> tuple[Tiling, ...]:
        return self.made.tilings

    @property
    def front(self) -> Page:
        return self.made.front

    @property
    def pages(self) -> tuple[Page, ...]:
        return self.made.pages


def _boat(folder: Path) -> tuple[BoatFile, tuple[Part, ...]]:
    read, job = sample(folder.name)
    return read, job.parts


@cache
def _drawings(folder: Path, *, saw_allowance: float = 0.0, **wishes: bool) -> tuple[Drawing, ...]:
    read, parts = _boat(folder)
    boat, show = read.boat.name, read.boat.show
    return tuple(
        plate(replace(part, saw_allowance=saw_allowance), Printing(boat, show, **wishes), number=(n, len(parts)))  # type: ignore[arg-type]
        for n, part in enumerate(parts, 1)
    )


@cache
def _set(folder: Path, name: str) -> Set:
    read, _ = _boat(folder)
    paper = PaperSetup(*paper_size(name), read.margin, read.overlap, name)
    tilings = tuple(tile(drawing, paper, show=read.boat.show) for drawing in shared(_drawings(folder), paper))
    return Set(paper, page_set(tilings, paper, boat=read.boat.name, run="K7RT4"))


@pytest.fixture(scope="module", params=[(s, p) for s in LOFTED for p in PAPERS], ids=lambda p: f"{p[0].name}-{p[1]}")
def sheets(request: pytest.FixtureRequest) -> Set:
    return _set(*request.param)


def test_no_lettering_overlaps_lettering_a_cross_or_a_line(sheets: Set) -> None:
    assert [f"{page.name}: {found}" for page in sheets.pages for found in _overlaps(page)] == []


def _overlaps(page: Page) -> Iterator[str]:
    """Labels that touch another label or any line. No line on a sheet belongs under lettering."""
    labels = [mark for mark in page.marks if isinstance(mark, Label)]
    boxes = shapely.polygons(np.array([label_box(label) for label in labels]))
    lines = [line for mark in page.marks if not isinstance(mark, Label) for line in _lines(mark)]
    for label, line in shapely.STRtree(lines).query(boxes, predicate="intersects").T:
        yield f"{labels[label].text!r} on a line at {shapely.get_coordinates(lines[line])[0].round(1)}"
    for one, other in shapely.STRtree(boxes).query(boxes, predicate="intersects").T:
        if one < other:
            yield f"{labels[one].text!r} on {labels[other].text!r}"


def _lines(mark: Stroke | Cross) -> list[shapely.LineString]:
    if isinstance(mark, Stroke):
        return [shapely.LineString([*mark.points, mark.points[0]] if mark.closed else mark.points)]
    x, y = mark.at
    return [
        shapely.LineString([(x - mark.arm, y), (x + mark.arm, y)]),
        shapely.LineString([(x, y - mark.arm), (x, y + mark.arm)]),
    ]


@pytest.mark.parametrize("folder", LOFTED, ids=lambda folder: folder.name)
def test_nothing_is_printed_outside_the_margins(folder: Path) -> None:
    sheets = _set(folder, "letter")
    for page, image in zip(sheets.pages, _seen(sheets.pages, dots=GRIP), strict=True):
        assert not _inked_past(image, sheets.paper.margin, dots=GRIP), page.name


@pytest.mark.parametrize("name", ["a4", "a3"])
def test_nothing_is_printed_outside_the_margins_of_other_papers(name: str) -> None:
    sheets = _set(SALTMEADOW, name)
    some = [*sheets.pages[::12], *sheets.pages[-3:]]  # margins are taken by the page, not by the pattern
    for page, image in zip(some, _seen(some, dots=60.0), strict=True):
        assert not _inked_past(image, sheets.paper.margin, dots=60.0), page.name


def _seen(pages: Sequence[Page], *, dots: float) -> Iterator[np.ndarray]:
    for page in pypdfium2.PdfDocument(pdf_bytes(pages, title="margins")):
        yield np.asarray(page.render(scale=dots / 72, grayscale=True).to_numpy()).squeeze()


def _inked_past(image: np.ndarray, margin: float, *, dots: float) -> bool:
    # Half the widest line, and the pixel it is blurred over.
    rim = int((margin - 0.3) * dots / 25.4) - 1
    inked = image < 250
    assert inked.any()
    return any(bool(edge.any()) for edge in (inked[:rim], inked[-rim:], inked[:, :rim], inked[:, -rim:]))


def test_every_point_of_every_outline_is_on_a_sheet(sheets: Set) -> None:
    for tiling in sheets.tilings:
        windows = np.array([one.window for one in tiling.tiles])
        outlines = [m for m in tiling.drawing.marks if isinstance(m, Stroke) and m.layer in ("cut-outside", "far-face")]
        assert outlines
        for line in outlines:
            ring = shapely.LineString([*line.points, line.points[0]] if line.closed else line.points)
            points = shapely.get_coordinates(shapely.segmentize(ring, 5.0))[:, None]
            on = np.all((points >= windows[:, :2]) & (points <= windows[:, 2:]), axis=2)
            assert on.any(axis=1).all(), tiling.drawing.title


def test_a_title_block_stands_whole_on_one_sheet(sheets: Set) -> None:
    for tiling in sheets.tilings:
        block = tiling.drawing.block
        if block is None:
            continue  # small patterns laid together: each has its own
        labels = [mark for mark in block.marks if isinstance(mark, Label)]
        words, spots = [mark.text for mark in labels], [mark.at for mark in labels]
        whole = [one for one in tiling.tiles if set(words) <= {m.text for m in one.page.marks if isinstance(m, Label)}]
        assert len(whole) == 1, tiling.drawing.title
        on_page = [mark for mark in whole[0].page.marks if isinstance(mark, Label)]
        moves = [
            {tuple(np.subtract(mark.at, spot).round(3) + 0.0) for mark in on_page if mark.text == word}
            for word, spot in zip(words, spots, strict=True)
        ]
        assert set.intersection(*moves), tiling.drawing.title


def test_every_tile_says_pattern_face_and_bow(sheets: Set) -> None:
    for tiling in sheets.tilings:
        for one in tiling.tiles:
            texts = [mark.text for mark in one.page.marks if isinstance(mark, Label)]
            assert tiling.drawing.title in texts
            assert any(text.endswith("toward you") or text == "each shows its face and bow" for text in texts)
            assert tiling.drawing.pointer is None or tiling.drawing.pointer.word in texts


@pytest.mark.parametrize("folder", LOFTED, ids=lambda folder: folder.name)
def test_every_pattern_says_all_that_is_needed_at_the_bench(folder: Path) -> None:
    _, parts = _boat(folder)
    for number, (drawing, part) in enumerate(zip(_drawings(folder), parts, strict=True), 1):
        said = " ".join(mark.text for mark in drawing.marks if isinstance(mark, Label))
        assert f"part {number} of {len(parts)}" in said
        for words in (f"{part.marked_face} toward you", part.thickness_is, "printed on", "heavy: finished line", "BOW"):
            assert words in said, part.title
        assert "local codes" in said
        assert said.count("GRAIN") == (part.grain_angle is not None)
        assert part.line in said


def test_datum_lines_run_straight_through_every_tile(sheets: Set) -> None:
    for tiling in sheets.tilings:
        for one in tiling.tiles if len(tiling.tiles) > 1 else ():
            row, column = tiling.grid.rows - 1 - (ord(one.row) - ord("A")), one.column - 1
            x, y = datum_places(tiling.grid, (row, column))
            dotted = [mark for mark in one.page.marks if isinstance(mark, Stroke) and mark.dashes == DASHES]
            points = np.concatenate([stroke.points - one.shift for stroke in dotted])
            assert (np.isclose(points[:, 0], x) | np.isclose(points[:, 1], y)).all()
            # A datum runs through crosses, where a straightedge finds it on both sheets.
            crosses = [np.subtract(mark.at, one.shift) for mark in one.page.marks if isinstance(mark, Cross)]
            assert sum(bool(np.isclose(cross[0], x)) for cross in crosses) >= 2
            assert sum(bool(np.isclose(cross[1], y)) for cross in crosses) >= 2


def test_sheets_taped_in_order_lie_over_those_before(sheets: Set) -> None:
    """A sheet's right and top edges are trimmed: what it joins there must lie already."""
    for tiling in sheets.tilings:
        kept = [place for place in tiling.grid.cells() if tiling.grid.label(place) not in tiling.blank]
        order = {place: number for number, place in enumerate(taping_order(kept))}
        for row, column in kept:
            for under in ((row, column + 1), (row + 1, column)):
                assert under not in order or order[under] < order[row, column]
        # They leave the printer so, and say so.
        labels = [tiling.grid.label(place) for place in taping_order(kept)]
        assert [one.label for one in tiling.tiles] == labels
        for number, one in enumerate(tiling.tiles, 1):
            texts = [mark.text for mark in one.page.marks if isinstance(mark, Label)]
            assert len(kept) == 1 or f"page {number} of {len(kept)}" in texts


def test_the_front_page_counts_every_page(sheets: Set) -> None:
    texts = [mark.text for mark in sheets.front.marks if isinstance(mark, Label)]
    assert any(text.startswith(f"{len(sheets.pages)} pages of") for text in texts)
    assert f"K7RT4, by scrieve {__version__}" in texts
    assert any(text.startswith("Tape only pages with the same run mark") for text in texts)
    for tiling in sheets.tilings:
        count = len(tiling.tiles)
        row = next(text for text in texts if text.startswith(f"{tiling.drawing.titles[-1]}: "))
        assert (": pages " if count > 1 else ": page ") in row
        if count > 1:
            first, last = map(int, re.findall(r"pages (\d+) to (\d+)", row)[0])
            assert last - first + 1 == count
            assert "key plan on page" in row


@pytest.mark.parametrize("folder", LOFTED[:1], ids=lambda folder: folder.name)
def test_what_the_builder_leaves_off_is_not_there(folder: Path) -> None:
    bare = _drawings(folder, notes=False, pricks=False)
    full = _drawings(folder)
    for less, more in zip(bare, full, strict=True):
        assert len(less.marks) < len(more.marks)
        texts = [mark.text for mark in less.marks if isinstance(mark, Label)]
        assert not any("under," in text or "standing," in text or text.startswith("check:") for text in texts)
    paper = PaperSetup(*paper_size("a4"), name="a4", grid=False)
    for one in tile(bare[2], paper).tiles:
        assert not any(isinstance(mark, Stroke) and mark.dashes == DASHES for mark in one.page.marks)
        assert len([mark for mark in one.page.marks if isinstance(mark, Cross) and mark.layer == "sheet"]) >= 4


def test_a_saw_line_leaves_the_wood_asked_for_outside_both_faces() -> None:
    for drawing, part in zip(_drawings(LOFTED[0], saw_allowance=3.0), _boat(LOFTED[0])[1], strict=True):
        [saw] = [mark for mark in drawing.marks if isinstance(mark, Stroke) and mark.layer == "saw"]
        sawn = shapely.Polygon(saw.points)
        for face in (part.outline, part.far_outline):
            assert sawn.contains(shapely.LinearRing(face))
            assert sawn.exterior.distance(shapely.LinearRing(face)) > 2.99


def test_every_bevel_on_a_sheet_is_in_sight_of_its_edge_or_joined_to_it(sheets: Set) -> None:
    """A bevel beyond another line, or carried off by a seam, would be read as another edge's."""
    for tiling in sheets.tilings:
        lines = parting_lines(tiling.drawing.marks)
        for one in tiling.tiles:
            back = (-one.shift[0], -one.shift[1])
            labels = [placed(mark, back) for mark in one.page.marks if isinstance(mark, Label) and "°" in mark.text]
            bare = [label for label in labels if isinstance(label, Label) and label.home and not label.leader]
            ways = ways_home(np.array([label.home for label in bare]).reshape(-1, 2), label_boxes(bare))
            seen = in_sight(ways, lines)
            assert [label.text for label, clear in zip(bare, seen, strict=True) if not clear] == [], one.page.name


def test_the_front_page_sends_nobody_to_figures_that_are_not_printed() -> None:
    made = _set(SALTMEADOW, "a4")
    for grid in (True, False):
        page = front_page(made.tilings, replace(made.paper, grid=grid), boat="Wren")
        said = " ".join(mark.text for mark in page.marks if isinstance(mark, Label))
        assert ("figured on the key plan" in said) == grid
        assert "two crosses or more meet" in said
