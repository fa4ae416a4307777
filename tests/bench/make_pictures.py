"""Draw the pictures of README and guide again, from the samples: `.venv/bin/python tests/bench/make_pictures.py`.

They are what the program draws now; a test fails where one is not. Run this after a change of a drawing or of a sample.
"""

from __future__ import annotations

from collections.abc import Callable, Iterator, Sequence
from functools import cache
from pathlib import Path

import numpy as np

from patterns.drawing.marks import Cross, Drawing, Ink, Label, Stroke
from patterns.drawing.moved_marks import placed
from patterns.drawing.overlaps import level_bounds
from patterns.drawing.text import label_boxes
from patterns.drawing.turning import extent
from patterns.geometry.arrays import Floats
from patterns.job.boat_job import BoatJob
from patterns.job.faired_lines import PAGE, faired_table
from patterns.job.wishes.wishes import NO_PRINTER, Wishes
from patterns.parts.part import Part
from patterns.plates.boat_model import boat_bodies, whole_picture
from patterns.plates.lines.lines_plan import Beside, lines_plan
from patterns.reading.boat.boat_toml import read_boat
from patterns.tiling.paper.page import Page
from patterns.tiling.seams.clip import Box, segments
from patterns.writing.ink.svg import picture_text, svg_page

ROOT = Path(__file__).parents[2]
PICTURES = ROOT / "shared" / "pictures"
BETWEEN = 12.0  # mm from one view of the lines to the next
GAP = 4.0  # mm from one window to the next
RIP = "CHINE LOG, PORT AND STARBOARD: rip 1"  # what the page of a saw set-up is called


@cache
def job_of(sample: str) -> BoatJob:
    return BoatJob(read_boat(ROOT / "samples" / sample), Wishes(printer=NO_PRINTER))


def frame() -> str:
    """A sawn frame where side and bottom meet: notches, bevels on both faces, the joint, pricks."""
    job = job_of("saltmeadow")
    part = job.part("frame 3")
    low, right = float(part.outline[:, 1].min()), float(corner_of(part, "side starboard")[0])
    box = (right - 250.0, low - 28.0, right + 80.0, low + 165.0)
    return windows(job.drafting.drawn(part), [box], "frame")


def v_frame() -> str:
    """The frame of a V bottom where its two floor timbers meet."""
    job = job_of("sandlark")
    part = job.part("frame 4")
    low = float(part.outline[:, 1].min())
    return windows(job.drafting.drawn(part), [(-165.0, low - 40.0, 165.0, low + 150.0)], "v-frame")


def lapped_strake() -> str:
    """A lapped strake: its fore end where the lap begins to fade, and above it the bevel at the first mould."""
    job = job_of("marram")
    part = job.part("strake 2 panel, starboard")
    left, low = part.outline.min(axis=0).tolist()
    right = left + 385.0
    top = float(part.outline[part.outline[:, 0] < right, 1].max())
    end = (left - 15.0, low - 12.0, right, top + 15.0)
    mould = part.mark("frame 2").points
    x, high = float(mould[:, 0].mean()), float(mould[:, 1].max())
    at_mould = (x - 280.0, high - 60.0, x + 120.0, high + 20.0)
    return windows(job.drafting.drawn(part), [at_mould, end], "lapped-strake")


def mould() -> str:
    """The mould of a round hull: leg, cross spall and sheer on one side, the bottom with its notch for the keel."""
    job = job_of("withywater")
    part = job.part("mould 5")
    right, low = float(part.outline[:, 0].max()), float(part.outline[:, 1].min())
    at_sheer = (right - 325.0, 395.0, right + 25.0, 640.0)
    bottom = (-75.0, low - 85.0, 275.0, low + 165.0)
    return windows(job.drafting.drawn(part), [at_sheer, bottom], "mould")


def lines() -> str:
    """Profile, half-breadth plan and body plan, one under the other."""
    table = faired_table(job_of("saltmeadow").read)
    beside = Beside(frozenset(one.place for one in table.suspects))
    views = lines_plan(table.boat, table.lines, table.cuts, paper=PAGE, beside=beside)
    marks: list[Ink] = []
    top = 0.0
    for view in views:
        left, bottom, _, high = extent(view.drawing.marks)
        marks += [placed(mark, (-left, top - high)) for mark in view.drawing.marks]
        top -= high - bottom + BETWEEN
    return picture_text(Drawing("the lines of Saltmeadow", "lines", tuple(marks)))


def saw_set_up() -> str:
    """The saw set-up of a rip with its guide batten."""
    pages = job_of("saltmeadow").saw_laid.pages
    return svg_page(next(page for page in pages if page.name.startswith(RIP)), prefix="saw-set-up")


def bevel_board() -> str:
    """A page of bevel boards."""
    return svg_page(job_of("saltmeadow").boards_laid.pages[0], prefix="bevel-board")


def setting_up() -> str:
    """A page of setting up."""
    return svg_page(job_of("saltmeadow").steps_laid.pages[0], prefix="setting-up")


def boat() -> str:
    """The finished boat, shaded."""
    job = job_of("saltmeadow")
    return picture_text(whole_picture(job.name, boat_bodies(job.shaped)))


MADE: dict[str, Callable[[], str]] = {
    "boat.svg": boat,
    "frame.svg": frame,
    "v-frame.svg": v_frame,
    "lapped-strake.svg": lapped_strake,
    "mould.svg": mould,
    "lines.svg": lines,
    "saw-set-up.svg": saw_set_up,
    "bevel-board.svg": bevel_board,
    "setting-up.svg": setting_up,
}


def corner_of(part: Part, edge: str) -> Floats:
    """The lowest point of an edge, (2,) mm."""
    points = np.concatenate([one.points for one in part.edges_of(edge)])
    return np.asarray(points[points[:, 1].argmin()])


def windows(drawing: Drawing, boxes: Sequence[Box], prefix: str) -> str:
    """What of a drawing lies in boxes, each framed, one under the other, at full size."""
    marks: list[Ink] = []
    wide, foot = max(right - left for left, _, right, _ in boxes), 0.0
    for left, bottom, right, top in reversed(boxes):
        marks += _within(drawing.marks, (left, bottom, right, top), (-left, foot - bottom))
        foot += top - bottom + GAP
    return svg_page(Page(wide, foot - GAP, tuple(marks), drawing.title), prefix=prefix)


def _within(marks: tuple[Ink, ...], box: Box, shift: tuple[float, float]) -> Iterator[Ink]:
    """Strokes cut at the box's sides; of words and crosses those that lie in it whole."""
    left, bottom, right, top = box
    strokes = [mark for mark in marks if isinstance(mark, Stroke)]
    yield from segments(strokes).within(box, shift)
    labels = [mark for mark in marks if isinstance(mark, Label)]
    for label, (low_x, low_y, high_x, high_y) in zip(labels, level_bounds(label_boxes(labels)).tolist(), strict=True):
        if left < low_x and bottom < low_y and high_x < right and high_y < top:
            yield placed(label, shift)
    for mark in marks:
        if isinstance(mark, Cross) and left < mark.at[0] < right and bottom < mark.at[1] < top:
            yield placed(mark, shift)
    edge = np.array([[left, bottom], [right, bottom], [right, top], [left, top]])
    yield Stroke(edge + shift, "sheet", closed=True)


def main() -> None:
    PICTURES.mkdir(exist_ok=True)
    for name, make in MADE.items():
        (PICTURES / name).write_text(make(), encoding="utf-8", newline="\n")
        print(f"wrote {PICTURES / name}")


if __name__ == "__main__":
    main()
