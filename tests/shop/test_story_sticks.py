"""Story sticks: whoever sets off what a stick says, tick by tick along the struck line, draws the part."""

from __future__ import annotations

import re
from functools import cache
from itertools import pairwise

import numpy as np
import pytest
from boats import Floats
from hypothesis import given
from hypothesis import strategies as st
from sample_jobs import SAMPLES
from scipy.optimize import minimize

from patterns import BoatJob, loft
from patterns.drawing.marks import Label, Stroke
from patterns.parts.part import Part
from patterns.plates.bench.story_stick import APART, PITCH, spread, stacked_sticks, stick_drawing
from patterns.shop.fastening.on_skin import on_skin
from patterns.shop.fastening.received import received
from patterns.shop.layout.screw_rows import Fastened
from patterns.shop.layout.story_sticks import Stick, Tick, story_sticks
from patterns.units.lengths import read_length

JOBS: dict[str, BoatJob] = {}
FRAME = re.compile(r"^(frame \S+)(?:, |: )")
FIGURE = r"(?:\d+' )?(?:\d+ )?\d+(?:/\d+)?\"|\d+ mm"


def job_of(name: str) -> BoatJob:
    return JOBS.setdefault(name, loft(f"samples/{name}"))


@cache
def sticks(name: str) -> tuple[Stick, ...]:
    job = job_of(name)
    return story_sticks(job.tables, job.boards, job.setting_up)


def figure(words: str, edge: str = "") -> float | None:
    """mm, the figure of an edge in a tick's words, as a builder reads it: with its name, or the only one."""
    found = re.search(rf"(?:^|: |; |, ){re.escape(edge)}{' ' if edge else ''}({FIGURE})", words)
    return None if found is None else read_length(found[1], None).mm


def height_over(line: Floats, x: float) -> float:
    """mm, of a line (n, 2) that runs one way along x."""
    line = line[line[:, 0].argsort()]
    return float(np.interp(x, *line.T))


@pytest.mark.slow
@pytest.mark.parametrize("name", ["saltmeadow", "sandlark", "marram"])
def test_what_a_stick_of_a_panel_or_a_log_says_lies_on_the_edge_of_the_pattern(name: str) -> None:
    job, held = job_of(name), 0
    half_step = 0.5 * (1.0 if job.show == "mm" else 25.4 / 16) + 0.05
    for table in job.tables:
        part = table.part
        if part.hand != "starboard" or table.axis != 0:
            continue
        own = [stick for stick in sticks(name) if stick.title.split(",")[0] == part.name]
        for stick in own:
            edges = [edge for edge in part.edges if stick.title.endswith(f": {edge.name}")] or part.edges
            for edge in edges:
                line = table.figures(edge.points)
                if np.ptp(line[:, 0]) < 300.0:
                    continue
                named = "" if len(edges) == 1 else edge.name
                for tick in stick.ticks:
                    off = figure(tick.words, named)
                    if off is not None and line[:, 0].min() <= tick.along <= line[:, 0].max():
                        assert abs(off - abs(height_over(line, tick.along))) < half_step, (stick.title, tick)
                        held += 1
    assert held > 150


@pytest.mark.slow
@pytest.mark.parametrize("name", ["saltmeadow", "sandlark", "marram"])
def test_every_frame_of_a_panel_has_a_tick_on_the_stick_of_each_long_edge(name: str) -> None:
    job, held = job_of(name), 0
    for part in job.lofted.parts:
        if part.hand != "starboard" or part.role.value != "panel":
            continue
        for stick in sticks(name):
            edge = next(
                (edge for edge in part.edges if stick.title == f"{part.name}, port and starboard alike: {edge.name}"),
                None,
            )
            if edge is None:
                continue
            origin = part.outline[:, 0].min()
            crossed = {(mark.name, round(x - origin, 3)) for mark, x in _crossings(part, edge.points)}
            ticked = {(match[1], round(tick.along, 3)) for tick in stick.ticks if (match := FRAME.match(tick.words))}
            assert {name for name, _ in ticked} == {name for name, _ in crossed}
            for frame, along in crossed:
                assert min(abs(along - at) for other, at in ticked if other == frame) < 0.5
                held += 1
    assert held >= 8


def _crossings(part: Part, line: Floats) -> list[tuple[object, float]]:
    """By plain distance to the edge's chords: frames' marks that end on it, and where."""
    found = []
    for mark in part.marks:
        if mark.kind.value == "frame":
            for end in mark.points[[0, -1]]:
                a, b = line[:-1], line[1:]
                share = np.clip(((end - a) * (b - a)).sum(1) / np.maximum(((b - a) ** 2).sum(1), 1e-12), 0, 1)
                if np.hypot(*(a + share[:, None] * (b - a) - end).T).min() < 0.5:
                    found.append((mark, float(end[0])))
    return found


@pytest.mark.slow
@pytest.mark.parametrize("name", SAMPLES)
def test_the_rod_has_the_height_and_the_half_breadth_of_every_corner(name: str) -> None:
    job = job_of(name)
    rod = sticks(name)[0]
    lines = [line.name for line in job.lofted.hull.lines]
    for frame in job.setting_up.frames:
        part = job.part(frame.name)
        for line in lines:
            half, z = np.abs(part.marks_of(line)[0].points[0]), part.marks_of(line)[0].points[0, 1]
            heights = [tick for tick in rod.ticks if tick.words.startswith(f"{frame.name} {line}: ")]
            assert [round(tick.along, 6) for tick in heights] == [round(abs(job.setting_up.datum - z), 6)]
            assert abs(read_length(heights[0].words.split(": ")[1], None).mm - heights[0].along) < 0.9
            across = [tick.along for tick in rod.upper if tick.words.startswith(f"{frame.name} {line}: ")]
            assert across == pytest.approx([half[0]] if half[0] > 0.5 else [])


def _screw_places(name: str) -> tuple[BoatJob, Fastened]:
    job = job_of(name)
    return job, Fastened(job.seams, received(job.lofted, job.seams))


@pytest.mark.parametrize("name", ["saltmeadow", "duckweed"])
def test_every_screw_tick_read_back_is_a_screw_of_its_seam(name: str) -> None:
    """Squared off the struck line from a tick, the nearest place of the seam is met: each has one, none is left."""
    job, fastened = _screw_places(name)
    made = story_sticks(job.tables, job.boards, job.setting_up, fastened)
    tables = {table.title: table for table in job.tables}
    held = 0
    for seam in job.seams:
        if seam.part not in tables or not seam.count:
            continue
        part = seam.part.removesuffix(", port").removesuffix(", starboard")
        own = [one for one in made if one.title.split(":")[0].split(",")[0] == part]
        own = [one for one in own if one.screws and (not seam.beside or f": {seam.beside}" in one.title)]
        along = np.sort(tables[seam.part].figures(seam.places)[:, 0])
        if seam.beside and not any(f": {seam.beside}" in one.title for one in made if one.title.startswith(part)):
            continue  # an edge too short for a stick
        if not seam.beside and seam.along != "fastening line":
            continue  # frames have none
        rows = [row for stick in own for row in stick.screws if len(row.along) == len(along)]
        assert any(np.abs(row.along - along).max() < 0.5 for row in rows), seam
        held += len(along)
    assert held > 120


@pytest.mark.parametrize("name", ["saltmeadow", "sandlark"])
def test_screws_that_come_into_a_log_or_an_inwale_are_ticked_where_they_come(name: str) -> None:
    """From FP, a tick plotted on the log is as far as the screw in the panel; none is past the ends of the log."""
    job, fastened = _screw_places(name)
    held = 0
    for one in fastened.received:
        part = job.part(one.part)
        own, skin = on_skin(job.lofted, part), on_skin(job.lofted, job.part(one.seam.part))
        if own is None or skin is None:
            continue
        x = np.sort(skin.from_fp(one.seam.places))
        ticked = np.sort(own.from_fp(one.places))
        assert np.abs(ticked[:, None] - x[None]).min(axis=1).max() < 0.5
        assert len(x) - 2 <= len(ticked) <= len(x)
        assert part.outline[:, 0].min() < one.places[:, 0].min()
        assert one.places[:, 0].max() < part.outline[:, 0].max()
        held += len(ticked)
    assert held > 200


def test_two_rows_on_one_stick_are_lettered_and_said_apart() -> None:
    job, fastened = _screw_places("saltmeadow")
    log = next(one for one in story_sticks(job.tables, job.boards, job.setting_up, fastened) if "log" in one.title)
    assert [row.letter for row in log.screws] == ["a", "b"]
    assert "Short ticks a: screws that come from the side panel; 62." in log.use
    drawing = stick_drawing(log, boat="Boat", show="mm")
    for row in log.screws:
        at = [mark.at[0] for mark in drawing.body if isinstance(mark, Label) and mark.text == row.letter]
        assert np.abs(np.array(at) - row.along).max() <= 1.0
        ticks = {
            round(float(mark.points[0, 0]), 3)
            for mark in drawing.body
            if isinstance(mark, Stroke) and mark.points[:, 1].max() < 2.1 and np.ptp(mark.points[:, 0]) == 0.0
        }
        assert {round(x, 3) for x in row.along.tolist()} <= ticks


@given(st.lists(st.floats(0.0, 60.0), min_size=1, max_size=7).map(sorted))
def test_words_move_apart_no_further_than_they_must(at: list[float]) -> None:
    spots = spread(np.array(at))
    assert all(b - a >= PITCH - 1e-9 for a, b in pairwise(spots))
    # A second opinion: the least sum of squared moves with the words kept apart, by a general optimiser.
    bounds = [{"type": "ineq", "fun": lambda x, n=n: x[n + 1] - x[n] - PITCH} for n in range(len(at) - 1)]
    best = minimize(lambda x: ((x - at) ** 2).sum(), spots + 0.1, constraints=bounds, method="SLSQP")
    assert ((spots - at) ** 2).sum() <= best.fun + 1e-4


def test_a_stick_measures_along_its_lower_edge_and_its_running_marks_are_half_feet() -> None:
    stick = Stick("log", ("Use it.",), (Tick(0.0, "lower 1"), Tick(2.0, "upper 2"), Tick(700.0, "frame 3: lower 4")))
    drawing = stick_drawing(stick, boat="Boat", show="ft-in-16ths")
    feet = {float(mark.points[0, 0]) for mark in drawing.body if isinstance(mark, Stroke) and mark.layer == "given"}
    assert feet == {0.0, 2.0, 700.0}
    running = {
        mark.text: mark.at[0] - 1.0
        for mark in drawing.body
        if isinstance(mark, Label) and re.fullmatch(r'\d+"', mark.text)
    }
    assert running == pytest.approx({f'{6 * n}"': 152.4 * n for n in range(5)})


def test_sticks_are_stacked_clear_of_each_other_and_none_is_lost() -> None:
    made = [
        stick_drawing(Stick(f"log {n}", (), (Tick(100.0 * n, "lower"),)), boat="Boat", show="mm") for n in range(1, 9)
    ]
    stacks = list(stacked_sticks(made, high=100.0))
    assert sorted(title for stack in stacks for title in stack.titles) == sorted(one.title for one in made)
    for stack in stacks:
        foot_lines = sorted(
            mark.points[0, 1] for mark in stack.body if isinstance(mark, Stroke) and mark.layer == "cut-outside"
        )
        assert all(b - a > 2 * APART for a, b in pairwise(foot_lines))
        tops = [mark.points[:, 1].max() for mark in stack.body if isinstance(mark, Stroke)]
        assert max(tops) <= 100.0 + 1e-6
