"""A story stick full size: ticks along its lower edge with what is marked there, and running marks to join pages by."""

from __future__ import annotations

import re
from collections.abc import Iterator, Sequence

import numpy as np
from scipy.optimize import isotonic_regression

from patterns.drawing.marks import Drawing, Ink, Label, Stroke
from patterns.drawing.moved_marks import placed
from patterns.drawing.text import text_width, without_strangers
from patterns.geometry.arrays import Floats
from patterns.shop.layout.screw_rows import ScrewRow
from patterns.shop.layout.story_sticks import Stick, Tick
from patterns.units.lengths import INCH

SIZE = 2.2  # mm, capitals of the words at the ticks
TITLE_SIZE = 3.0  # mm
USE_SIZE = 2.2  # mm
RUNNING_SIZE = 2.0  # mm
PITCH = 3.8  # mm from word to word along the stick
TICK, FEET = 4.5, 9.0  # mm from the edge, of a tick's end, and of the words
SCREW, SCREW_SIZE = 2.0, 1.8  # mm from the edge, of a screw's tick; its letter over it
BESIDE = 1.0  # mm from a screw's tick to its letter where a place's own tick stands in the way
LANE = 3.0  # mm, by which places are ticked longer where there are screws
EDGE = 5.0  # mm from the strip's end to the title, and between its words
BAND = 10.5  # mm, of the running marks and the title between the words and the strip's upper edge
RUN_TICK = 3.0  # mm
PAST = 12.0  # mm of paper beyond the first and the last word
REPEATED = 1500.0  # mm from title to title
APART = 4.0  # mm between two sticks on one page: room for scissors


def stick_drawing(stick: Stick, *, boat: str, show: str, run: str = "") -> Drawing:
    """One stick, its zero at x = 0 and its measuring edge along y = 0; ``run`` is the job's run mark."""
    low, low_ends, low_top = _marked(stick.ticks, LANE if stick.screws else 0.0)
    high, high_ends, high_top = _marked(stick.upper)
    left = min(0.0, low_ends[0], high_ends[0]) - PAST
    right = max(stick.length, low_ends[1], high_ends[1], _told_to(stick, boat, left)) + PAST
    top = low_top + BAND + (high_top if stick.upper else 0.0)
    ink: list[Ink] = [Stroke(np.array([[left, 0.0], [right, 0.0]]), "cut-outside")]
    ink += [Stroke(np.array([[left, top], [right, top]]), "cut-outside" if stick.upper else "mark")]
    ink += [Stroke(np.array([[x, 0.0], [x, top]]), "mark") for x in (left, right)]
    ink += low
    ink += [mark for row in stick.screws for mark in _screws(row, stick.ticks)]
    ink += [_from_above(mark, top) for mark in high]
    ink += _running(stick, low_top, right, show)
    ink += _titles(stick, boat, low_top + BAND - 3.0, left, right)
    name = re.sub(r"[^\w.+-]+", "-", f"story-stick-{stick.title}")
    foot = f"{without_strangers(boat)}: story sticks"
    return Drawing(f"story stick: {stick.title}", name, tuple(ink), foot=foot, run=run)


def stacked_sticks(drawings: Sequence[Drawing], *, high: float) -> Iterator[Drawing]:
    """Sticks one above another, as many as fit in ``high`` mm: one row of pages joined end to end carries them all."""
    stacks: list[list[Drawing]] = []
    left: list[float] = []
    for drawing in drawings:
        tall = _height(drawing) + APART
        row = next((n for n, room in enumerate(left) if tall <= room), len(stacks))
        if row == len(stacks):
            stacks.append([])
            left.append(high + APART)
        stacks[row].append(drawing)
        left[row] -= tall
    yield from map(_stack, stacks)


def _stack(drawings: Sequence[Drawing]) -> Drawing:
    ink: list[Ink] = []
    up = 0.0
    for drawing in drawings:
        ink += [placed(mark, (0.0, up)) for mark in drawing.body]
        up += _height(drawing) + APART
    titles = tuple(drawing.title for drawing in drawings)
    if len(drawings) == 1:
        return drawings[0]
    name, foot, run = f"{drawings[0].file_name}-and-more", drawings[0].foot, drawings[0].run
    return Drawing("; ".join(titles), name, tuple(ink), foot=foot, run=run, holds=titles)


def _height(drawing: Drawing) -> float:
    return max(float(mark.points[:, 1].max()) for mark in drawing.body if isinstance(mark, Stroke))


def _screws(row: ScrewRow, ticks: Sequence[Tick]) -> Iterator[Ink]:
    """Short ticks from the edge, each with the letter of its row, beside the longer tick of a place."""
    places = np.array([tick.along for tick in ticks])
    for x in row.along.tolist():
        yield Stroke(np.array([[x, 0.0], [x, SCREW]]), "mark")
        if row.letter:
            near = places[np.abs(places - x) < BESIDE + SCREW_SIZE / 2]
            aside = 0.0 if not len(near) else BESIDE if near.max() <= x else -BESIDE
            yield Label(row.letter, (x + aside, SCREW + 0.4 + SCREW_SIZE / 2), SCREW_SIZE)


def _marked(ticks: Sequence[Tick], lane: float = 0.0) -> tuple[list[Ink], tuple[float, float], float]:
    """Ticks with their words upright over them, where the words begin and end along the stick, and how high they reach.

    Words that would lie on each other move apart, no further than they must; a leader ties each to its tick.

    Parameters
    ----------
    lane : float
        mm, by which the ticks are longer.
    """
    if not ticks:
        return [], (0.0, 0.0), 0.0
    at = np.array([tick.along for tick in ticks])
    spots = spread(at)
    words = [without_strangers(tick.words) for tick in ticks]
    ink: list[Ink] = []
    for x, spot, text in zip(at.tolist(), spots.tolist(), words, strict=True):
        ink.append(Stroke(np.array([[x, 0.0], [x, TICK + lane], [spot, FEET + lane - 1.0]]), "given"))
        ink.append(Label(text, (spot, FEET + lane), SIZE, angle=np.pi / 2, anchor="start"))
    return ink, (float(spots[0]), float(spots[-1])), FEET + lane + max(text_width(text, SIZE) for text in words) + 1.5


def spread(at: Floats) -> Floats:
    """(n,) places at least `PITCH` apart, in the order of ``at`` and as near to them as may be."""
    steps = PITCH * np.arange(len(at))
    return np.asarray(isotonic_regression(at - steps).x + steps)


def _from_above(mark: Ink, top: float) -> Ink:
    """What is drawn for the lower edge, drawn for the upper one, words still read from the same side."""
    if isinstance(mark, Stroke):
        return Stroke(mark.points * (1.0, -1.0) + (0.0, top), mark.layer)
    assert isinstance(mark, Label)
    return Label(mark.text, (mark.at[0], top - mark.at[1]), mark.size, mark.angle, "end")


def _running(stick: Stick, foot: float, right: float, show: str) -> Iterator[Ink]:
    """Marks at every half foot or 100 mm from the zero, figured: by them pages are joined and the whole is checked."""
    inches = "in" in show or "ft" in show
    step = 6 * INCH if inches else 100.0
    yield Stroke(np.array([[0.0, foot], [right, foot]]), "mark")
    for number in range(int(stick.length // step) + 1):
        x = number * step
        yield Stroke(np.array([[x, foot], [x, foot + RUN_TICK]]), "mark")
        text = f'{number * 6}"' if inches else f"{number * 100}"
        yield Label(text, (x + 1.0, foot + RUN_TICK / 2 + 0.6), RUNNING_SIZE, anchor="start")


def _titles(stick: Stick, boat: str, up: float, left: float, right: float) -> Iterator[Ink]:
    """Whose and what it is, once and again along it; how it is used, after the first."""
    title, use = _words(stick, boat)
    yield Label(title, (left + EDGE, up), TITLE_SIZE, anchor="start")
    yield Label(use, (left + 2 * EDGE + text_width(title, TITLE_SIZE), up), USE_SIZE, anchor="start")
    wide = text_width(title, TITLE_SIZE)
    for x in np.arange(max(_told_to(stick, boat, left) + EDGE, left + REPEATED), right - wide, REPEATED).tolist():
        yield Label(title, (x, up), TITLE_SIZE, anchor="start")


def _words(stick: Stick, boat: str) -> tuple[str, str]:
    return without_strangers(f"{boat}: {stick.title}"), without_strangers(" ".join(stick.use))


def _told_to(stick: Stick, boat: str, left: float) -> float:
    """mm along the stick to where its title and its use end."""
    title, use = _words(stick, boat)
    return left + 2 * EDGE + text_width(title, TITLE_SIZE) + text_width(use, USE_SIZE)
