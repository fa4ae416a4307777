"""Bevel boards: every line stands at the angle it is lettered with, and says which way the wood leans."""

from __future__ import annotations

from dataclasses import replace
from itertools import pairwise

import numpy as np
import pytest
import shapely
from sample_jobs import SAMPLES, sample

from patterns.drawing.marks import Drawing, Label, Stroke
from patterns.drawing.text import label_boxes
from patterns.job.shared.bench_pages import ON_BOARDS
from patterns.plates.bench.bevel_board import bevel_strips
from patterns.plates.bench.set_up_pages import set_up_sheets
from patterns.shop.layout.bevel_boards import BevelBoard, bevel_boards
from patterns.shop.layout.setting_up import setting_up
from patterns.tiling.paper.paper import PaperSetup
from patterns.tiling.paper.stacked import HEAD, room, stacked
from patterns.units.papers import paper_size

pytestmark = pytest.mark.slow

ROOM = 181.5  # mm, letter paper upright between its margins


def boards(name: str) -> dict[str, BevelBoard]:
    _, job = sample(name)
    return {board.title: board for board in bevel_boards(job.parts, show=job.boat.show)}


@pytest.mark.parametrize("name", SAMPLES)
def test_lines_stand_at_their_angles_to_the_marked_face(name: str) -> None:
    for board in boards(name).values():
        drawn = [mark for strip in bevel_strips(board, width=ROOM, show="mm") for mark in strip.marks]
        faces = [m.points[1] - m.points[0] for m in drawn if isinstance(m, Stroke) and m.layer == "cut-outside"]
        assert all(way[1] == 0.0 and way[0] > 0 for way in faces)
        ways = [m.points[1] - m.points[0] for m in drawn if isinstance(m, Stroke) and m.layer == "given"]
        lines = [line for edge in board.edges for line in edge.lines]
        for (x, y), line in zip(ways, lines, strict=True):
            # The wood's inside angle, from the face on the left round to the edge: acute is under, obtuse standing.
            inside = np.degrees(np.arctan2(y, -x))
            assert inside == pytest.approx(180 - np.degrees(np.arctan2(y, x)))
            assert inside == pytest.approx(90 + np.degrees(line.angle))
            assert (line.kind == "under") == (inside < 89.95)


@pytest.mark.parametrize("name", SAMPLES)
def test_strips_fit_their_page_and_no_two_lines_cross(name: str) -> None:
    for board in boards(name).values():
        for strip in bevel_strips(board, width=ROOM, show="ft-in-16ths"):
            lines = [m.points for m in strip.marks if isinstance(m, Stroke) and m.layer == "given"]
            for before, behind in pairwise(lines):
                level = min(before[1, 1], behind[1, 1])
                at = [np.interp(level, p[:, 1], p[:, 0]) for p in (before, behind)]
                assert at[1] - at[0] > 6.0
            across = np.concatenate([m.points[:, 0] for m in strip.marks if isinstance(m, Stroke)])
            assert np.ptp(across) <= ROOM


def test_marks_of_frames_are_named_and_bevels_are_the_patterns() -> None:
    board = boards("saltmeadow")["side panel, port and starboard alike"]
    chine = next(edge for edge in board.edges if edge.name == "chine")
    assert [line.place for line in chine.lines if "frame" in line.place] == [f"frame {n}" for n in range(1, 7)]
    part = next(p for p in sample("saltmeadow")[1].parts if p.title == "side panel, starboard")
    bevels = next(edge for edge in part.edges if edge.name == "chine").bevels
    for line in chine.lines:
        known = np.interp(line.along, [b.along for b in bevels], [b.angle for b in bevels])
        assert line.angle == pytest.approx(known, abs=np.radians(0.02))
        assert line.run == pytest.approx(part.thickness * np.tan(line.angle))


def test_every_line_is_numbered_once_and_says_under_or_standing() -> None:
    for board in boards("saltmeadow").values():
        lines = [line for edge in board.edges for line in edge.lines]
        assert [line.number for line in lines] == list(range(1, len(lines) + 1))
        words = [m.text for s in bevel_strips(board, width=ROOM, show="mm") for m in s.marks if isinstance(m, Label)]
        for line in lines:
            assert any(line.place in text and line.kind in text for text in words)


def test_stem_board_has_its_landing_off_the_face() -> None:
    [landing] = boards("saltmeadow")["stem"].edges
    stem = next(p for p in sample("saltmeadow")[1].parts if p.name == "stem")
    assert [line.angle for line in landing.lines] == [one.angle for one in stem.landings]


# --- On pages ---


def strips(name: str, paper: PaperSetup) -> list[Drawing]:
    job = sample(name)[1]
    boards = bevel_boards(job.parts, show=job.boat.show)
    return [one for board in boards for one in bevel_strips(board, width=room(paper)[0], show=job.boat.show)]


def test_small_boards_fill_the_gaps_that_large_ones_leave() -> None:
    paper = PaperSetup(*paper_size("letter"), 12.7, 16.0, "letter")
    drawn = strips("saltmeadow", paper)
    in_turn = stacked(drawn, paper, boat="Saltmeadow", title="bevel boards", note="A note.")
    packed = stacked(drawn, paper, boat="Saltmeadow", title="bevel boards", note="A note.", in_order=False)
    assert list(in_turn.numbers) == sorted(in_turn.numbers)
    assert len(packed.pages) < len(in_turn.pages)
    for page in packed.pages:
        boxes = label_boxes(
            [mark for mark in page.marks if isinstance(mark, Label) and "bevel boards" not in mark.text]
        )
        shapes = [shapely.Polygon(box) for box in boxes]
        tree = shapely.STRtree(shapes)
        for one, other in tree.query(shapes, predicate="overlaps").T:
            assert shapes[one].intersection(shapes[other]).area < 1.0, page.name


@pytest.mark.parametrize(("name", "margin"), [("letter", 12.7), ("A4", 12.0), ("A5", 12.0)])
def test_the_sentence_at_the_head_keeps_the_papers_margins(name: str, margin: float) -> None:
    paper = PaperSetup(*paper_size(name), margin, 16.0, name)
    wide = room(paper)[0]
    drawn = [strip for board in boards("duckweed").values() for strip in bevel_strips(board, width=wide, show="mm")]
    for page in stacked(drawn, paper, boat="Duckweed", title="bevel boards", note=ON_BOARDS).pages:
        boxes = label_boxes([mark for mark in page.marks if isinstance(mark, Label)]).reshape(-1, 2)
        assert boxes[:, 0].max() <= page.width - margin
        told = " ".join(m.text for m in page.marks if isinstance(m, Label) and m.at[1] > page.height - margin - HEAD)
        assert told == ON_BOARDS


def test_a_boat_may_be_called_anything_at_any_length() -> None:
    """Letters that the lettering lacks, marks a page of HTML is made of, and more words than go on a line."""
    paper = PaperSetup(*paper_size("A4"), 12.0, 16.0, "A4")
    name = 'Tib & Tob\'s <b>"Änne"</b> \u8239 ' + "built in the shed behind the house " * 4
    plan = replace(setting_up(sample("duckweed")[1]), boat=name)
    pages = stacked(list(set_up_sheets(plan, width=room(paper)[0])), paper, boat=name, title="setting up").pages
    for page in pages:
        boxes = label_boxes([mark for mark in page.marks if isinstance(mark, Label)]).reshape(-1, 2)
        assert boxes.min() > 0.0
        assert (boxes.max(axis=0) < (page.width, page.height)).all()
        assert "setting up, page" in next(m.text for m in page.marks if isinstance(m, Label) and ", page " in m.text)
