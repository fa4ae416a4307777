"""Tiles: nothing lost, nothing cut that should not be, and every seam found again on both sheets."""

from __future__ import annotations

import math
import re
from itertools import pairwise

import numpy as np
import pytest
import shapely
from hypothesis import given, settings
from hypothesis import strategies as st
from inked import extent

from patterns.drawing.marks import Cross, Drawing, Ink, Label, Pointer, Stroke, TitleBlock
from patterns.drawing.obstacles import obstacles
from patterns.drawing.styles import STYLES
from patterns.drawing.text import CAP_HEIGHT, label_boxes
from patterns.drawing.turning import turned
from patterns.errors import PatternsError
from patterns.geometry.arrays import run_along
from patterns.tiling.paper.paper import LONGEST_PAGE, PaperSetup, paper
from patterns.tiling.roll.roll import roll
from patterns.tiling.seams.clip import segments
from patterns.tiling.seams.crosses import lettered_crosses
from patterns.tiling.seams.key_plan import OnGrid, key_figure, key_widths
from patterns.tiling.tiles.ink_and_labels import ink_of
from patterns.tiling.tiles.tiles import Tile, Tiling, tile

A4 = PaperSetup(210.0, 297.0, name="a4")


def u_frame() -> Drawing:
    """A frame 1200 wide and 560 high, open at the top, with labels along it."""
    outer = [(-600, 560), (-480, 0), (480, 0), (600, 560)]
    inner = [(530, 560), (420, 70), (-420, 70), (-530, 560)]
    marks: list[Ink] = [
        Stroke(np.array(outer + inner, float), "cut-outside", closed=True),
        Stroke(np.array([(x, y + 3) for x, y in outer], float), "far-face"),
        Stroke(np.array([[0.0, -20.0], [0.0, 90.0]]), "mark"),
        Cross((-480.0, 0.0), 4.0, "mark"),
        Label("frame 3", (0.0, 35.0), 8.0),
        *(Label("12.5° under, 1/8\"", (x, 12.0), 3.0) for x in range(-400, 401, 100)),
    ]  # fmt: skip
    return Drawing("frame 3", "frame-3", tuple(marks))


def panel() -> Drawing:
    """A curved side panel 4400 by 560 with frames, a long dashed line and a remark longer than any sheet."""
    x = np.linspace(0.0, 4400.0, 600)
    lower, upper = 60.0 * np.sin(np.pi * x / 4400.0), 500.0 + 60.0 * np.cos(x / 1400.0)
    outline = np.concatenate([np.column_stack([x, lower]), np.column_stack([x, upper])[::-1]])
    marks: list[Ink] = [
        Stroke(outline, "cut-outside", closed=True),
        Stroke(np.array([[0.0, 0.0], [4400.0, 480.0]]), "saw"),
        Stroke(np.column_stack([x, lower + 4.0]), "far-face"),
        Label("cut both sides, one of each hand, and " * 6 + "mark the faces", (2200.0, 300.0), 5.0),
    ]
    for number, at in enumerate(np.arange(350.0, 4400.0, 610.0)):
        marks += [
            Stroke(np.array([[at, 60.0], [at + 30.0, 440.0]]), "mark"),
            Label(f"frame {number + 1}", (float(at) + 5.0, 200.0), 4.0, angle=math.pi / 2 - 0.08),
        ]
    return Drawing("side panel, port", "side-panel-port", tuple(marks))


DRAWINGS = {"frame": u_frame, "panel": panel}
PAPERS = {"a4": A4, "letter": paper("letter", margin=12.7, overlap=16.0), "a3": paper("A3")}


@pytest.fixture(params=[(d, p) for d in DRAWINGS for p in PAPERS], ids="-".join)
def tiling(request: pytest.FixtureRequest) -> Tiling:
    drawing, sheet = request.param
    return tile(DRAWINGS[drawing](), PAPERS[sheet])


def crosses_on(tile: Tile) -> set[tuple[float, float]]:
    """Register crosses of a tile, where they stand on the pattern."""
    return {
        (round(mark.at[0] - tile.shift[0], 6), round(mark.at[1] - tile.shift[1], 6))
        for mark in tile.page.marks
        if isinstance(mark, Cross) and mark.layer == "sheet"
    }


def pattern_strokes(tile: Tile) -> list[Stroke]:
    return [mark for mark in tile.page.marks if isinstance(mark, Stroke) and mark.layer != "sheet"]


def line_of(stroke: Stroke, shift: tuple[float, float] = (0.0, 0.0)) -> shapely.LineString:
    points = stroke.points - shift
    return shapely.LineString(np.concatenate([points, points[:1]]) if stroke.closed else points)


def by_place(tiling: Tiling) -> dict[tuple[str, int], Tile]:
    return {(tile.row, tile.column): tile for tile in tiling.tiles}


def test_neighbours_share_crosses_at_the_same_place(tiling: Tiling) -> None:
    tiles = by_place(tiling)
    pairs = 0
    for (row, column), one in tiles.items():
        for other in (tiles.get((row, column + 1)), tiles.get((chr(ord(row) + 1), column))):
            if other is None:
                continue
            pairs += 1
            shared = crosses_on(one) & crosses_on(other)
            assert len(shared) >= 2
            assert all(x % 2 == 0 and y % 2 == 0 for x, y in shared)
    assert pairs >= len(tiles) - 1  # joined to one whole


def test_crosses_lie_whole_on_every_tile_that_shows_them(tiling: Tiling) -> None:
    for one in tiling.tiles:
        left, bottom, right, top = one.window
        for x, y in crosses_on(one):
            assert left + 4 <= x <= right - 4
            assert bottom + 4 <= y <= top - 4


def test_letters_beside_a_cross_say_where_it_is(tiling: Tiling) -> None:
    lettered: set[tuple[float, float]] = set()
    for one in tiling.tiles:
        found = crosses_on(one)
        for mark in one.page.marks:
            if isinstance(mark, Label) and re.fullmatch(r"-?\d+, -?\d+", mark.text):
                x, y = map(float, mark.text.split(", "))
                assert (x, y) in found
                assert math.dist((x + one.shift[0], y + one.shift[1]), mark.at) < 20.0
                lettered.add((x, y))
    every = {cross for one in tiling.tiles for cross in crosses_on(one)}
    assert len(every - lettered) <= 0.06 * len(every)  # in the thick of the lettering a cross may go without


def test_every_edge_to_trim_says_so_and_names_the_sheet_under_it(tiling: Tiling) -> None:
    _trims_are_told(tiling)


def test_an_edge_to_trim_says_so_where_lines_crowd_along_it() -> None:
    """Lines 2 mm apart over the seams but for one gap well off the middle, and under a seam with no gap at all."""
    right = np.array([0.0, 52.0, *np.arange(54.0, 244.0, 2.0)])
    level = [Stroke(np.array([[120.0, y], [200.0, y]]), "mark") for y in right]
    upright = [Stroke(np.array([[x, 200.0], [x, 280.0]]), "mark") for x in np.arange(0.0, 310.0, 2.0)]
    tiling = tile(Drawing("comb", "comb", (*level, *upright)), A4)
    assert len(tiling.tiles) > 2
    _trims_are_told(tiling)


def _trims_are_told(tiling: Tiling) -> None:
    tiles = by_place(tiling)
    for (row, column), one in tiles.items():
        _, _, right, top = one.window
        told = [mark for mark in one.page.marks if isinstance(mark, Label) and mark.text.startswith("trim here")]
        half = tiling.paper.overlap / 2
        for other, seam, axis in (((row, column + 1), right, 0), ((chr(ord(row) - 1), column), top, 1)):
            words = [m.text for m in told if abs(m.at[axis] - one.shift[axis] - (seam - half)) < 4.0]
            if other not in tiles:
                continue
            assert "trim here" in words
            # Once a seam it is said what lies on top: on the page below, at the edge that is covered.
            under = [m.text for m in tiles[other].page.marks if isinstance(m, Label)]
            assert f"{one.label} goes on top here" in under
            over = [m.text for m in one.page.marks if isinstance(m, Label)]
            assert not any(tiles[other].label in text and "on top" in text for text in over)


@pytest.mark.parametrize("across", [100.0, 130.0, 150.0, 160.0, 170.0, 190.0])
def test_a_sign_of_the_title_block_is_whole_on_a_sheet_or_not_on_it(across: float) -> None:
    """A ring with a dot: the bow, seen from ahead. Half of it beyond a seam is a line of nothing."""
    turn = np.linspace(0.0, 2 * np.pi, 48, endpoint=False)
    ring = 5.0 * np.column_stack([np.cos(turn), np.sin(turn)])
    outline = Stroke(np.array([[0.0, 0.0], [400.0, 0.0], [400.0, 200.0], [0.0, 200.0]]), "cut-outside", closed=True)
    sign = tuple(Stroke(ring * size + (across, 90.0), "mark", closed=True) for size in (1.0, 0.16))
    words = Label("BOW toward you", (across + 8.0, 90.0), 5.0, anchor="start")
    tiling = tile(Drawing("knee", "knee", (outline,), TitleBlock((*sign, words))), A4)
    assert len(tiling.tiles) > 1
    signs = [[s for s in pattern_strokes(one) if s.layer == "mark"] for one in tiling.tiles]
    assert sum(len(found) for found in signs) >= 2
    for found in signs:
        assert not found or sorted(round(float(np.ptp(s.points[:, 0])), 1) for s in found) == [1.6, 10.0]


def test_every_point_of_every_stroke_is_on_some_tile(tiling: Tiling) -> None:
    strokes = [mark for mark in tiling.drawing.marks if isinstance(mark, Stroke)]
    for layer in {stroke.layer for stroke in strokes}:
        printed = shapely.union_all(
            [line_of(s, one.shift) for one in tiling.tiles for s in pattern_strokes(one) if s.layer == layer]
        )
        for stroke in strokes:
            if stroke.layer == layer:
                points = shapely.points(shapely.get_coordinates(shapely.segmentize(line_of(stroke), 3.0)))
                assert shapely.distance(points, printed).max() < 1e-6


def test_nothing_is_printed_outside_the_printable_area(tiling: Tiling) -> None:
    for page in tiling.pages:
        margin = tiling.paper.margin - 1e-6
        for mark in page.marks:
            points = extent(mark)
            assert (points >= margin).all(), mark
            assert (points <= (page.width - margin, page.height - margin)).all(), mark


def test_pages_keep_no_strips_where_bars_and_names_find_room(tiling: Tiling) -> None:
    """A page's pitch is what margins and overlap leave of the paper, to 2 mm."""
    setup = tiling.paper
    for step, side in zip(setup.step, (setup.width, setup.height), strict=True):
        room = side - 2 * setup.margin - setup.overlap
        assert room - 2.0 < step < room + 1e-6


def test_bars_and_names_stand_clear_of_the_pattern(tiling: Tiling) -> None:
    for one in tiling.tiles:
        ink = shapely.union_all([line_of(stroke) for stroke in pattern_strokes(one)])
        for mark in one.page.marks:
            if isinstance(mark, Stroke) and mark.layer == "sheet" and not mark.dashes:
                assert line_of(mark).distance(ink) > 0.5
        own = [mark for mark in one.page.marks if isinstance(mark, Label) and mark.text == one.label]
        assert own
        boxes = [shapely.Polygon(box) for box in label_boxes(own)]
        assert min(box.distance(ink) for box in boxes) > 0.5


def test_every_label_is_printed_whole_somewhere(tiling: Tiling) -> None:
    printed = " ".join(mark.text for one in tiling.tiles for mark in one.page.marks if isinstance(mark, Label))
    for mark in tiling.drawing.marks:
        if isinstance(mark, Label):
            assert all(word in printed for word in mark.text.split())
            if len(mark.text) < 40:
                assert mark.text in printed


def test_dashes_go_on_where_the_sheet_before_left_off(tiling: Tiling) -> None:
    for stroke in (mark for mark in tiling.drawing.marks if isinstance(mark, Stroke)):
        if not STYLES[stroke.layer].dashes:
            continue
        run = run_along(stroke.points)
        whole = line_of(stroke)
        for one in tiling.tiles:
            for piece in pattern_strokes(one):
                start = shapely.Point(piece.points[0] - one.shift)
                if piece.layer == stroke.layer and whole.distance(start) < 1e-6:
                    assert piece.run == pytest.approx(whole.project(start), abs=1e-5)
                    assert piece.run <= run[-1]


def test_blank_tiles_are_left_out_and_have_no_name_on_the_key_plan() -> None:
    tiling = tile(u_frame(), A4)
    assert tiling.blank
    labels = [one.label for one in tiling.tiles]
    assert not set(labels) & set(tiling.blank)
    assert len(labels) + len(tiling.blank) == tiling.grid.rows * tiling.grid.columns


def test_diagonals_on_the_key_plan_are_between_printed_crosses() -> None:
    tiling = tile(panel(), A4)
    printed = {cross for one in tiling.tiles for cross in crosses_on(one)}
    assert tiling.key is not None
    said = " ".join(mark.text for mark in tiling.key.marks if isinstance(mark, Label))
    checks = re.findall(r"Check: [^.]+\.\d mm", said)
    assert len(checks) == 2
    for text in checks:
        *ends, length = map(float, re.findall(r"-?\d+(?:\.\d+)?", text))
        one, other = (ends[0], ends[1]), (ends[2], ends[3])
        assert {one, other} <= printed
        assert length == pytest.approx(math.dist(one, other), abs=0.051)
        assert length > 4400


def test_a_pattern_that_just_fits_takes_one_sheet_and_no_key_plan() -> None:
    square = Stroke(np.array([[0, 0], [150, 0], [150, 200], [0, 200]], float), "cut-outside", closed=True)
    tiling = tile(Drawing("knee", "knee", (square,)), A4)
    assert len(tiling.pages) == 1
    assert len(pattern_strokes(tiling.tiles[0])) == 1
    assert pattern_strokes(tiling.tiles[0])[0].closed


def test_a_line_that_ends_on_a_seam_takes_no_sheet_for_itself() -> None:
    """522 wide is three pages of 174, although its last line lies on the fourth's edge."""
    box = Stroke(np.array([[0, 0], [522, 0], [522, 200], [0, 200]], float), "cut-outside", closed=True)
    tiling = tile(Drawing("box", "box", (box,)), A4)
    assert len(tiling.tiles) <= 3


def test_a_line_past_the_wood_takes_no_page_and_is_figured_where_no_page_shows_it() -> None:
    wood = np.array([[0.0, 0.0], [300.0, 0.0], [300.0, 150.0], [0.0, 150.0]])
    outline = Stroke(wood, "cut-outside", closed=True)
    base, centre = (
        Stroke(np.array(ends), "mark") for ends in ([[0.0, -400.0], [300.0, -400.0]], [[90.0, -600.0], [90.0, 600.0]])
    )
    said = Label("base line", (150.0, -397.0), 3.0, home=(150.0, -400.0))
    bare, full = (
        tile(Drawing("floor", "floor", body, wood=wood), A4) for body in ((outline,), (outline, base, centre, said))
    )
    assert len(bare.tiles) == len(full.tiles) > 1
    words = " ".join(mark.text for one in full.tiles for mark in one.page.marks if isinstance(mark, Label))
    [(away, y)] = re.findall(r"base line: ([\d.]+)(?: mm)? below cross -?\d+, (-?\d+)", words)
    assert float(away) == pytest.approx(float(y) + 400.0, abs=0.51)


def test_sheets_that_touch_at_a_corner_only_are_bridged() -> None:
    pieces = tuple(
        Stroke(np.array([[0, 0], [50, 0], [50, 50], [0, 50]], float) + at, "cut-outside", closed=True)
        for at in ((0.0, 0.0), (1000.0, 700.0))
    )
    tiling = tile(Drawing("pair", "pair", pieces), A4)
    places = {(ord(one.row) - ord("A"), one.column) for one in tiling.tiles}
    reached, edge = set(), [min(places)]
    while edge:
        row, column = edge.pop()
        reached.add((row, column))
        around = {(row, column + 1), (row, column - 1), (row + 1, column), (row - 1, column)}
        edge += list((around & places) - reached)
    assert reached == places


def test_a_roll_page_is_as_long_as_the_pattern_needs() -> None:
    tiling = roll(panel())
    [page] = tiling.pages
    assert (page.height, 4400 < page.width < 4500) == (914.4, True)


def test_long_rolls_are_split_below_what_readers_take() -> None:
    line = Stroke(np.array([[0.0, 0.0], [9000.0, 0.0], [9000.0, 300.0]]), "cut-outside")
    tiling = roll(Drawing("rail", "rail", (line,)))
    assert len(tiling.tiles) == 2
    assert all(page.width <= LONGEST_PAGE for page in tiling.pages)
    assert len(crosses_on(tiling.tiles[0]) & crosses_on(tiling.tiles[1])) >= 2


def test_paper_without_room_is_refused() -> None:
    with pytest.raises(PatternsError, match="an overlap of 8 mm is too little for the crosses"):
        PaperSetup(210.0, 297.0, overlap=8.0, name="A4")
    with pytest.raises(PatternsError, match="leaves no room for a pattern and its 100 mm check bars"):
        PaperSetup(105.0, 148.0, name="A6")
    with pytest.raises(PatternsError, match="expected one of a0"):
        paper("foolscap")


microns = st.integers(-400_000, 400_000).map(lambda number: number / 1000)
sizes = st.integers(1_000, 400_000).map(lambda number: number / 1000)
boxes = st.tuples(microns, microns, sizes, sizes)
runs = st.lists(st.tuples(microns, microns), min_size=2, max_size=12, unique=True)


@pytest.mark.slow
@settings(max_examples=150, deadline=None)
@given(runs, boxes, st.booleans())
def test_clipping_agrees_with_a_second_method(
    points: list[tuple[float, float]], place: tuple[float, float, float, float], closed: bool
) -> None:
    left, bottom, width, height = place
    stroke = Stroke(np.array(points), "mark", closed=closed)
    pieces = segments([stroke]).within((left, bottom, left + width, bottom + height))
    box = shapely.box(left, bottom, left + width, bottom + height)
    parts = np.concatenate([stroke.points, stroke.points[:1]]) if closed else stroke.points
    wanted = sum(shapely.LineString(pair).intersection(box).length for pair in pairwise(parts))
    assert sum(line_of(piece).length for piece in pieces) == pytest.approx(wanted, abs=1e-6)
    for piece in pieces:
        assert box.buffer(1e-6).covers(line_of(piece))


@pytest.mark.parametrize("quarter", [0.0, 0.4])
def test_a_key_plan_names_face_bow_and_edges_and_no_line_runs_through_a_word(quarter: float) -> None:
    """The drawing turned too: names go with their edges."""
    ring = np.array([[0.0, 0.0], [1500.0, 0.0], [1600.0, 420.0], [-40.0, 380.0]])
    edges = ("chine", "transom", "sheer", "stem")
    named = tuple((name, np.stack([ring[n], ring[(n + 1) % 4]])) for n, name in enumerate(edges))
    pointer = Pointer("BOW", math.pi)
    body = (Stroke(ring, "cut-outside", closed=True),)
    drawing = Drawing("panel", "panel", body, foot="inside face toward you", pointer=pointer, run="K7RT4", named=named)
    tiling = tile(turned(drawing, quarter), A4)
    kept = tuple(place for place in tiling.grid.cells() if tiling.grid.label(place) not in tiling.blank)
    laid = OnGrid(tiling.drawing, ink_of(tiling.drawing), tiling.grid, kept, tiling.paper)
    crosses = {
        place: lettered.crosses for place, lettered in lettered_crosses(tiling.grid, kept, obstacles(())).items()
    }
    key = key_figure(laid, crosses, key_widths(laid, tiling.paper)[0], show="mm")
    labels = [mark for mark in key.marks if isinstance(mark, Label)]
    texts = {label.text for label in labels}
    assert {"inside face toward you", "BOW", "panel", *edges} <= texts
    strokes = [mark for mark in key.marks if isinstance(mark, Stroke)]
    lines = [np.vstack([mark.points, mark.points[:1]]) if mark.closed else mark.points for mark in strokes]
    lines = shapely.MultiLineString(lines)
    boxes = shapely.polygons(label_boxes(labels))
    assert [label.text for label, box in zip(labels, boxes, strict=True) if shapely.intersects(box, lines)] == []
    names = {label.text: np.array(label.at) for label in labels}
    outline = np.concatenate([mark.points for mark in strokes if mark.layer == "cut-outside"])
    middle = (outline.min(axis=0) + outline.max(axis=0)) / 2
    up = np.array([-math.sin(tiling.drawing.turn), math.cos(tiling.drawing.turn)])
    assert names["sheer"] @ up > middle @ up > names["chine"] @ up
    assert min(label.size for label in labels) > 7 / 72 * 25.4 * CAP_HEIGHT  # 7 points
