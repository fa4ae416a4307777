"""A plate says everything the builder needs, and says it where it can be read."""

from __future__ import annotations

from collections import Counter
from dataclasses import replace

import numpy as np
import pytest
import shapely
from hypothesis import assume, example, given, settings
from hypothesis import strategies as st
from plate_parts import frame, rail, side_panel, transom
from sample_jobs import SAMPLES, sample

from patterns.drawing.along_lines import Course
from patterns.drawing.marks import Cross, Drawing, Label, Layer, Stroke, leaders
from patterns.drawing.obstacles import obstacles
from patterns.drawing.text import label_box
from patterns.parts.part import Bevel, Edge, Landing, Mark, Part
from patterns.parts.role import MarkKind
from patterns.plates.pattern.bevels import FARTHEST_APART, LONGEST_TICK, ONE_SETTING, bevel_text, bevels_to_print, ticks
from patterns.plates.pattern.plate import Printing, plate
from patterns.plates.pattern.title_block import _hardly_inked

PARTS = [frame(), frame(run=3.0), side_panel(), transom(), rail()]
NAMES = ["frame, under", "frame, standing", "side panel", "transom", "inwale"]
every_part = pytest.mark.parametrize("part", PARTS, ids=NAMES)


@every_part
def test_no_lettering_overlaps_other_ink(part: Part) -> None:
    _assert_readable(plate(part, Printing("Saltmeadow", "ft-in-16ths")))


@settings(max_examples=25, deadline=None)
@given(
    half=st.floats(250, 900), height=st.floats(150, 700), side=st.floats(30, 90), floor=st.floats(30, 120),
    run=st.floats(-9, 9), base=st.floats(0, 300), show=st.sampled_from(["mm", "ft-in-16ths", "in"]),
)  # fmt: skip
def test_frames_of_any_size_are_readable(
    half: float, height: float, side: float, floor: float, run: float, base: float, show: str
) -> None:
    part = frame(half=half, height=min(height, half * 1.2), side=side, floor=floor, run=run, base=base)
    _assert_readable(plate(part, Printing("Saltmeadow", show)))


@pytest.mark.slow
@settings(max_examples=15, deadline=None)
@given(
    length=st.floats(800, 6000), depth=st.floats(120, 700), sny=st.floats(-60, 200), frames=st.integers(0, 14),
    run=st.floats(-6, 6),
)  # fmt: skip
@example(length=994.0, depth=203.0, sny=5.0, frames=4, run=1.0)  # an X in the middle, where the title block would stand
def test_panels_of_any_size_are_readable(length: float, depth: float, sny: float, frames: int, run: float) -> None:
    assume(length >= 140.0 * (frames + 1))  # closer than that nobody sets frames, and their names have no room
    part = side_panel(length=length, depth=depth, sny=sny, frames=frames, run=run)
    _assert_readable(plate(part, Printing("Saltmeadow", "mm")))


@every_part
def test_the_net_line_is_the_outline_of_the_part(part: Part) -> None:
    drawing = plate(part, Printing("Saltmeadow", "mm"))
    [net] = _strokes(drawing, "cut-outside")
    assert net.closed
    assert np.array_equal(net.points, part.outline)
    assert len(_strokes(drawing, "cut-inside")) == len(part.holes)


@every_part
def test_every_corner_is_crossed(part: Part) -> None:
    at = {mark.at for mark in plate(part, Printing("Saltmeadow", "mm")).marks if isinstance(mark, Cross)}
    assert at >= {tuple(map(float, edge.points[0])) for edge in part.edges}
    ahead = np.roll(part.outline, -1, axis=0) - part.outline
    way = np.arctan2(*ahead.T[::-1])
    turn = np.abs((way - np.roll(way, 1) + np.pi) % (2 * np.pi) - np.pi)
    for corner in part.outline[turn > 0.5]:
        assert np.hypot(*(np.array(sorted(at)) - corner).T).min() < 1e-6


@every_part
def test_every_bevel_is_printed_by_its_edge(part: Part) -> None:
    printed = Counter(_texts(plate(part, Printing("Saltmeadow", "mm"))))
    wanted = Counter(bevel_text(b, "mm") for edge in part.edges for b in bevels_to_print(edge, "mm"))
    assert not printed["square"] or wanted["square"]
    assert all(printed[text] >= count for text, count in wanted.items())


@every_part
def test_a_bevel_left_out_only_repeats_one_close_by(part: Part) -> None:
    for edge in part.edges:
        kept = bevels_to_print(edge, "mm")
        if not kept:
            assert all(b.kind == "square" for b in edge.bevels)
            continue
        assert {bevel_text(b, "mm") for b in kept} == {bevel_text(b, "mm") for b in edge.bevels}
        assert np.diff([b.along for b in kept], append=kept[-1].along).max() <= FARTHEST_APART


@pytest.mark.parametrize(
    ("angle_deg", "run", "show", "words"),
    [
        (-12.4, -2.38, "ft-in-16ths", '12.4° under, 1/16"'),
        (4.0, 1.6, "mm", "4.0° standing, 1.6 mm"),
        (0.9, 0.3, "ft-in-16ths", '0.9° standing, < 1/16"'),
        (0.0, 0.0, "mm", "square"),
        (-0.04, -0.01, "mm", "square"),
    ],
)
def test_a_bevel_reads_as_the_trade_says_it(angle_deg: float, run: float, show: str, words: str) -> None:
    assert bevel_text(Bevel(100.0, np.deg2rad(angle_deg), run), show) == words


def test_a_short_edge_that_hardly_winds_has_one_bevel_in_its_middle() -> None:
    line = np.array([[0.0, 0.0], [40.0, 0.0]])
    slow, quick = (
        Edge("notch", line, line, tuple(Bevel(at, np.radians(d), 18.0 * np.tan(np.radians(d))) for at, d in pairs))
        for pairs in (((0.0, 9.0), (40.0, 9.4)), ((0.0, 9.0), (40.0, 9.8)))
    )
    (kept,) = bevels_to_print(slow, "mm")
    assert (kept.along, bevel_text(kept, "mm")) == (20.0, "9.2° standing, 2.9 mm")
    assert max(abs(bevel.angle - kept.angle) for bevel in slow.bevels) < ONE_SETTING
    assert len(bevels_to_print(quick, "mm")) == 2


def test_an_edge_with_one_bevel_throughout_has_it_every_300_mm() -> None:
    bevels = tuple(Bevel(along, 0.1, 1.9) for along in np.arange(0.0, 1501.0, 150.0))
    line = np.array([[0.0, 0.0], [1500.0, 0.0]])
    kept = bevels_to_print(Edge("sheer", line, line, bevels), "mm")
    assert [b.along for b in kept] == [150, 450, 750, 1050, 1350]


@pytest.mark.slow
@pytest.mark.parametrize("name", SAMPLES)
def test_leaders_keep_off_one_another_and_numbers_stand_by_their_own_pricks(name: str) -> None:
    """Where two leaders run together either word could belong to either place; so with a number between two rings."""
    _, job = sample(name)
    for part in (part for part in job.parts if part.name.startswith("frame")):
        drawing = plate(part, Printing("Test", job.boat.show))
        led = [shapely.LineString(leader.points) for leader in leaders(drawing.marks)]
        for number, one in enumerate(led):
            assert all(one.distance(other) > 1.5 for other in led[:number]), part.title
        numbers = [m for m in drawing.marks if isinstance(m, Label) and m.text.isdigit() and m.home]
        rings = np.array([label.home for label in numbers]).reshape(-1, 2)
        for number, label in enumerate(numbers):
            away = np.hypot(*(rings - label.at).T)
            assert label.leader is not None or away.argmin() == number, (part.title, label.text)


@pytest.mark.slow
def test_a_bevel_carried_off_to_a_leader_hardly_ever_stands_beside_another_edge() -> None:
    """Read beside the wrong edge it is sawn there. In a notch's corner there may be no other place."""
    led, astray = 0, 0
    for name in SAMPLES:
        _, job = sample(name)
        for part in (part for part in job.parts if part.name.startswith("frame")):
            outline = shapely.LinearRing(part.outline)
            for label in plate(part, Printing("Test", job.boat.show)).marks:
                if isinstance(label, Label) and label.leader and "°" in label.text:
                    elsewhere = outline.difference(shapely.Point(label.home).buffer(6.0))
                    led += 1
                    astray += elsewhere.distance(shapely.Polygon(label_box(label))) < 4.0
    assert led > 30
    assert astray <= led / 20


def test_the_tick_of_a_long_end_cut_is_too_short_to_be_taken_for_a_line_to_cut() -> None:
    """A log's end 57 degrees under runs 58 mm over its 38 mm: further than the far face's edges are off its own."""
    end = Course.of(np.array([[0.0, 0.0], [70.0, 0.0]]))
    told = [Bevel(20.0, np.radians(-5.0), -3.3), Bevel(45.0, np.radians(-57.0), -58.0)]
    short, long = [float(np.ptp(tick.points[:, 1])) for tick in ticks(end, told)]
    assert short == pytest.approx(3.3)
    assert long == LONGEST_TICK


def test_the_far_face_is_dashed_only_where_it_leaves_the_net_line() -> None:
    far = _strokes(plate(side_panel(), Printing("Saltmeadow", "mm")), "far-face")
    assert len(far) == 3  # chine, transom and stem are bevelled; the sheer is square


@every_part
def test_the_title_block_says_whose_and_which_way_round(part: Part) -> None:
    texts = _texts(plate(part, Printing("Saltmeadow", "mm", run="K7RT4")))
    said = " ".join(texts)
    assert "Saltmeadow, run K7RT4" in texts
    assert part.title.capitalize() in said
    assert f"{part.marked_face} toward you; make {part.count}; part 1 of 1" in said
    assert any(text.startswith("BOW") for text in texts)
    for sentence in part.remarks:
        assert sentence in said
    for edge in part.edges:
        assert edge.name.upper() in texts
    for mark in part.marks:
        assert mark.name in texts
    for note in part.notes:
        assert note.text in texts


def test_the_title_block_of_an_open_frame_stands_in_its_opening() -> None:
    part = frame()
    drawing = plate(part, Printing("Saltmeadow", "mm"))
    [title] = [mark for mark in drawing.marks if isinstance(mark, Label) and mark.text == "Frame 3"]
    ground = shapely.Polygon(part.outline)
    box = shapely.Polygon(label_box(title))
    assert ground.convex_hull.contains(box)
    assert not ground.intersects(box)


@pytest.mark.parametrize("bow", ["left", "right", "up", "down", "toward you", "away from you"])
def test_the_bow_arrow_lies_clear_whichever_way_it_points(bow: str) -> None:
    _assert_readable(plate(replace(transom(), bow=bow), Printing("Saltmeadow", "mm")))  # type: ignore[arg-type]


def test_lettering_is_never_too_small_for_the_bench() -> None:
    for part in PARTS:
        drawing = plate(part, Printing("Saltmeadow", "mm"))
        assert min(mark.size for mark in drawing.marks if isinstance(mark, Label)) >= 2.5


def test_a_stem_carries_its_landing_bevels() -> None:
    part = replace(transom(), name="stem", landings=(Landing(200.0, 0.41, 22.0, 18.0, "side"),))
    assert "200.0 mm: 23.5°, half face 22.0 mm" in _texts(plate(part, Printing("Saltmeadow", "mm")))


def test_a_boat_named_in_letters_we_lack_still_gets_its_patterns() -> None:
    assert "□ Saltmeadow" in _texts(plate(transom(), Printing("舟 Saltmeadow", "mm")))


def _texts(drawing: Drawing) -> list[str]:
    return [mark.text for mark in drawing.marks if isinstance(mark, Label)]


def _strokes(drawing: Drawing, layer: Layer) -> list[Stroke]:
    return [mark for mark in drawing.marks if isinstance(mark, Stroke) and mark.layer == layer]


def _assert_readable(drawing: Drawing) -> None:
    """No label touches another, nor any line: checked pair by pair, not with the placing's own means."""
    labels = [mark for mark in drawing.marks if isinstance(mark, Label)]
    boxes = [shapely.Polygon(label_box(label)) for label in labels]
    lines = shapely.MultiLineString(
        [
            np.concatenate([mark.points, mark.points[:1]]) if mark.closed else mark.points
            for mark in drawing.marks
            if isinstance(mark, Stroke)
        ]
    )
    for number, (label, box) in enumerate(zip(labels, boxes, strict=True)):
        for other in range(number):
            assert not box.intersects(boxes[other]), f"{label.text!r} overlaps {labels[other].text!r}"
        assert box.distance(lines) > 0.5, f"{label.text!r} at {label.at} touches a line"


def test_no_free_room_for_a_title_block_is_sieved_out() -> None:
    random = np.random.default_rng(5)
    ends = random.uniform(0.0, 1000.0, (40, 2, 2))
    ink = obstacles(Stroke(end, "mark") for end in ends)
    reach = np.array([70.0, 40.0])
    spots = random.uniform(0.0, 1000.0, (800, 2))
    free = ink.free(spots[:, None] + np.array([[-1, -1], [1, -1], [1, 1], [-1, 1]]) * reach)
    kept = _hardly_inked(spots, reach, ink)
    assert kept[free].all()
    assert 0 < free.sum() <= kept.sum() < 0.5 * len(spots)


def test_a_line_broken_in_two_is_drawn_twice_and_named_once() -> None:
    """A fastening line of a V bottom broke into two long runs, the second without a name: no pattern was drawn."""
    panel = side_panel()
    run = np.column_stack([np.linspace(200.0, 900.0, 15), np.full(15, 150.0)])
    along = np.array([1000.0, 0.0])
    runs = (Mark("24 fastenings", run, MarkKind.FASTENED), Mark("", run + along, MarkKind.FASTENED))
    drawing = plate(replace(panel, marks=(*panel.marks, *runs)), Printing("Saltmeadow", "mm"))
    names = [mark.text for mark in drawing.marks if isinstance(mark, Label)]
    assert "24 fastenings" in names
    assert "" not in names
    strokes = [mark.points for mark in drawing.marks if isinstance(mark, Stroke)]
    for one in runs:
        assert any(len(points) == len(one.points) and np.allclose(points, one.points) for points in strokes)
