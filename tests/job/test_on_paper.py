"""Which patterns are printed: a builder pays for every sheet."""

from __future__ import annotations

import json
from collections import Counter
from collections.abc import Iterable
from dataclasses import replace
from pathlib import Path

import numpy as np
import pypdfium2
import pytest
import shapely
from commanded import SALTMEADOW, bare_boat, scrieve_here
from sample_jobs import sample

from patterns.drawing.block_setting import set_otherwise
from patterns.drawing.marks import Drawing, Ink, Label, Stroke, TitleBlock
from patterns.drawing.text import label_boxes
from patterns.drawing.turning import extent
from patterns.errors import PatternsError
from patterns.job.wishes.chosen_names import names_asked, refuse_unknown_words
from patterns.job.wishes.printed_parts import left_off, names_in, not_on_pages, printed_parts, timbers_left_off
from patterns.job.wishes.wishes import Wishes
from patterns.parts.role import Role
from patterns.parts.whole import Job
from patterns.plates.pattern.plate import Printing, plate
from patterns.tiling.paper.paper import PaperSetup, paper
from patterns.tiling.tiles.tiles import tile
from patterns.tiling.tiles.title_blocks import FROM_SEAM
from patterns.units.papers import paper_size


@pytest.fixture(scope="module")
def job() -> Job:
    return sample("saltmeadow")[1]


def titles(job: Job, *only: str, timbers: bool = False, all_pages: bool = False) -> list[str]:
    wishes = Wishes(only=only, timbers=timbers, all_pages=all_pages)
    return [part.title for part in printed_parts(job, names_in(job, (), wishes), wishes)]


def test_pages_hold_what_a_home_printer_is_for(job: Job) -> None:
    shown = titles(job)
    roles = {part.role for part in job.parts if part.title in shown}
    assert roles == {Role.FRAME, Role.GUSSET, Role.TRANSOM, Role.STEM}
    missing = not_on_pages(job, [part for part in job.parts if part.title in shown])
    assert {part.role for part in missing} >= {Role.PANEL, Role.LOG, Role.INWALE, Role.THWART, Role.SKEG}
    [said] = left_off(missing, 386, timbers=False, only=())
    assert "about 386 more" in said
    assert "--all" in said


def test_with_all_every_pattern_has_pages_but_the_timbers_a_whole_frame_shows(job: Job) -> None:
    gone = {part.title for part in job.parts} - set(titles(job, all_pages=True))
    assert len(gone) == 18
    assert all("floor timber" in title or "side timber" in title for title in gone)
    assert titles(job, all_pages=True, timbers=True) == [part.title for part in job.parts]
    shown = [part for part in job.parts if part.title in titles(job)]
    assert timbers_left_off(job, shown)
    assert not timbers_left_off(job, job.parts)
    assert any("prick them" in said for said in left_off((), 0, timbers=True, only=()))


def test_the_joints_that_part_the_timbers_are_on_the_whole_frame(job: Job) -> None:
    for part in job.parts:
        if any(timber.name.startswith(f"{part.name} ") for timber in job.timbers):
            assert sum(mark.name == "joint" for mark in part.marks) == 2
            assert any("Prick each timber" in remark for remark in part.remarks)


@pytest.mark.parametrize(
    ("typed", "meant"),
    [
        ("frame 3", ["frame 3"]),
        ("Frame  3", ["frame 3"]),
        ("transom, stem", ["transom", "stem"]),
        ("stems & transoms", ["transom", "stem"]),
        ("side panel, port", ["side panel, port"]),
        ("port side panel", ["side panel, port"]),
        ("gussets 3 and 4", ["frame 3 gusset", "frame 4 gusset"]),
        ("frame 3, gussets 3 & 5", ["frame 3", "frame 3 gusset", "frame 5 gusset"]),
        ("thwarts", ["thwart 1", "thwart 2"]),
        ("seats", ["thwart 1", "thwart 2"]),
        ("panels", ["side panel, port", "side panel, starboard", "bottom panel"]),
        ("frame 3 side timber", ["frame 3 side timber, port", "frame 3 side timber, starboard"]),
    ],
)  # fmt: skip
def test_a_name_is_what_a_builder_types(job: Job, typed: str, meant: list[str]) -> None:
    assert titles(job, typed) == meant


def test_frames_mean_whole_frames(job: Job) -> None:
    assert titles(job, "frames") == [f"frame {number}" for number in range(1, 7)]


def test_a_name_ends_with_a_word(job: Job) -> None:
    tenth = replace(job.parts[0], name="frame 10", hand="none", role=Role.FRAME)
    many = replace(job, parts=(*job.parts, tenth))
    assert "frame 10" not in titles(many, "frame 1")
    assert "frame 10" in titles(many, "frames")


@pytest.mark.parametrize(
    ("typed", "nearest"), [("fram", "frame"), ("transome", "transom"), ("frame 9", "frame"), ("gusetts", "gusset")]
)
def test_an_unknown_name_is_refused_with_the_nearest(job: Job, typed: str, nearest: str) -> None:
    with pytest.raises(PatternsError, match=rf"found '{typed}', expected .*; the nearest is '{nearest}"):
        titles(job, typed)


def test_timbers_asked_for_are_printed(job: Job) -> None:
    assert "frame 3 floor timber" in titles(job, "frame 3", timbers=True)


def test_words_no_boat_has_are_refused_before_the_boat_is_lofted() -> None:
    refuse_unknown_words(names_asked(["frames 2 and 3", "chine logs", "end blocks", "mould 2A"]), ["2A"])
    with pytest.raises(PatternsError, match=r"found 'fraems', expected .*; the nearest is 'frame'"):
        refuse_unknown_words(names_asked(["stem, fraems"]), ["1", "2"])


@pytest.mark.slow
def test_only_the_paper_of_the_patterns_asked_for_is_made(tmp_path: Path) -> None:
    out = tmp_path / "job"
    boat = bare_boat(tmp_path / "boat", "inwale", "thwart", "saw", "stock")
    done = scrieve_here("loft", boat, "--out", out, "--only", "stem", "--only", "inwale, port")
    assert done.returncode == 0, done.stderr
    text, roll = (
        "".join(page.get_textpage().get_text_bounded() for page in pypdfium2.PdfDocument(out / "paper" / f"{name}.pdf"))
        for name in ("patterns-letter", "roll")
    )
    assert "Stem" in text
    assert "Inwale, port: block" in text
    others = {"Mould 4", "Bottom panel", "Transom"}
    assert not others & set(text.splitlines())
    # What is not chosen is left alone, the roll too.
    assert others <= set(roll.splitlines())
    patterns = json.loads((out / "job.json").read_text())["patterns"]
    assert len(patterns) == 9
    printed = {p["name"] for p in patterns if any(name.startswith("paper/patterns") for name in p["files"])}
    assert printed == {"stem", "inwale"}
    assert all((out / name).exists() for p in patterns for name in p["files"])
    assert (out / "svg" / "mould-4.svg").is_file()


@pytest.mark.slow
def test_an_unknown_name_is_refused_with_the_names_there_are(tmp_path: Path) -> None:
    words = ("--only", "mast", "--only", "stem", "--only", "oar")
    done = scrieve_here("loft", SALTMEADOW, "--out", tmp_path / "job", *words)
    assert done.returncode == 1
    for name in ("mast", "oar"):
        assert f"--only: found '{name}', expected the name of a part of this boat; the nearest is" in done.stderr
    assert not (tmp_path / "job").exists()


def test_the_words_of_a_long_slender_piece_stand_low_enough_for_a_sheet_on_its_side(job: Job) -> None:
    slender = [part for part in job.parts if part.name in ("chine log", "inwale", "outwale", "rub rail", "keel batten")]
    assert len(slender) == 9
    for part in slender:
        drawing = plate(part, Printing(job.boat.name, job.boat.show))
        assert drawing.block
        left, low, right, top = extent(drawing.block.marks)
        across, up = paper("letter").turned().step
        assert top - low < up - 2 * FROM_SEAM
        assert right - left < across - 2 * FROM_SEAM


def test_a_long_slender_piece_takes_one_row_of_sheets_and_at_most_two_more_than_its_length(job: Job) -> None:
    part = next(part for part in job.parts if part.title == "outwale, port")
    tiling = tile(plate(part, Printing(job.boat.name, job.boat.show)), paper("letter"))
    length = float(np.ptp(part.outline[:, 0]))
    assert tiling.grid.rows == 1
    assert len(tiling.tiles) <= length // tiling.paper.step[0] + 2


@pytest.mark.parametrize("across", [100.0, 150.0, 167.0])
def test_what_one_sheet_can_show_takes_one_sheet_wherever_it_is_drawn(across: float) -> None:
    sheet = paper("a4")
    for at in (0.0, 3.7, 1234.5):
        net = np.array([[0.0, 0.0], [across, 20.0], [across, 150.0]]) + at
        words = Label("its words", (at + across / 2, at - 30.0), 2.5)
        outline = Stroke(net, "cut-outside", closed=True)
        tiling = tile(Drawing("knee", "knee", (outline,), TitleBlock((words,))), sheet)
        [only] = tiling.tiles
        left, bottom, right, top = only.window
        assert np.all(net >= (left, bottom))
        assert np.all(net <= (right, top))
        [said] = [mark for mark in only.page.marks if isinstance(mark, Label) and mark.text == words.text]
        ink = np.array(extent([said])) - np.tile(only.shift, 2)
        assert np.all(ink[:2] >= (left, bottom))
        assert np.all(ink[2:] <= (right, top))


def test_both_knees_of_a_pair_find_room_for_their_words_on_their_own_sheet() -> None:
    _, boat = sample("duckweed")
    knees = [part for part in boat.parts if part.name == "thwart 1 knee"]
    assert len(knees) == 2
    for part in knees:
        drawing = plate(part, Printing(boat.boat.name, boat.boat.show))
        assert len(tile(drawing, paper("a4")).tiles) == 1


def test_words_are_set_otherwise_before_they_take_a_sheet_for_themselves(job: Job) -> None:
    """Two sheets hold a gusset and 20 an outwale 4.6 m long; beside either there is room for its words."""
    sheets = PaperSetup(*paper_size("letter"), 12.7, 16.0, "letter")
    for title, fewest in (("frame 2 gusset", 2), ("outwale, port", 20)):
        part = next(part for part in job.parts if part.title == title)
        drawing = plate(part, Printing(job.boat.name, job.boat.show))
        tiling = tile(drawing, sheets)
        assert len(tiling.tiles) == fewest
        assert all(any(_is_net(mark) for mark in one.page.marks) for one in tiling.tiles)
        # All the words of the block are on one sheet.
        assert drawing.block
        told = _words(drawing.block.marks)
        assert any(not told - _words(one.page.marks) for one in tiling.tiles)


@pytest.mark.parametrize("title", ["frame 2 gusset", "chine log, port", "stem", "frame 3", "transom"])
def test_a_block_set_otherwise_says_the_same(job: Job, title: str) -> None:
    part = next(part for part in job.parts if part.title == title)
    drawing = plate(part, Printing(job.boat.name, job.boat.show))
    assert drawing.block
    block = drawing.block.marks
    strokes = Counter(type(mark) for mark in block)[Stroke]
    others = [other.marks for other, _ in set_otherwise(drawing.block)]
    assert len(others) > 10
    for shape in others:
        assert _words(shape) == _words(block)
        assert Counter(type(mark) for mark in shape)[Stroke] == strokes
        boxes = [shapely.Polygon(box) for box in label_boxes([mark for mark in shape if isinstance(mark, Label)])]
        lines = [shapely.LineString(mark.points) for mark in shape if isinstance(mark, Stroke)]
        for number, one in enumerate(boxes):
            assert all(one.intersection(other).area < 0.5 for other in boxes[:number])
            assert not any(one.intersects(line) for line in lines)


def _is_net(mark: Ink) -> bool:
    return isinstance(mark, Stroke) and mark.layer == "cut-outside"


def _words(marks: Iterable[Ink]) -> Counter[str]:
    return Counter(word for mark in marks if isinstance(mark, Label) for word in mark.text.split())
