"""Names lettered along the edges and marks of a pattern, and words at their places."""

from __future__ import annotations

from collections.abc import Iterator, Sequence

import numpy as np

from patterns.drawing.along_lines import Course, all_beside, line_gap, spread, steps
from patterns.drawing.label_placing import Request
from patterns.drawing.marks import Label
from patterns.drawing.text import capitals, text_width, without_strangers
from patterns.geometry.arrays import Floats
from patterns.parts.part import Edge, Mark, Note
from patterns.parts.role import EdgeKind

EDGE_SIZE = 4.0  # mm, capitals
MARK_SIZE = 3.0  # mm
NOTE_SIZE = 5.0  # mm
EDGE_EVERY = 600.0  # mm; a builder working at one end of a panel sees the name without walking round it
MARK_EVERY = 500.0  # mm
_STEPS = (0.0, 2.0, 5.0, 9.0, 14.0)  # mm, growing distances from the line


def _round_a_note() -> Floats:
    """Places ever further from a note's own, (n, 3): level, and near by upright too, for a narrow upright piece."""
    turn = np.linspace(0.0, 2 * np.pi, 12, endpoint=False)
    ways = np.column_stack([np.cos(turn), np.sin(turn), np.zeros(12)])
    level = np.concatenate([np.zeros((1, 3)), *(reach * ways for reach in (1.5, 3.0, 5.0, 8.0, 12.0, 20.0))])
    stood = level + np.array([0.0, 0.0, np.pi / 2])
    return np.concatenate([level[:49], stood[:49], level[49:]])


_ROUND_A_NOTE = _round_a_note()


def named_edges(edges: Sequence[Edge], lines: Sequence[Course]) -> Iterator[tuple[Edge, Course]]:
    """The edges to be named, with their lines.

    All but a scrap of an edge that a notch parts from a longer run of the same name. A notch itself is named once, by
    a word in it for the piece it takes.
    """
    for edge, line in zip(edges, lines, strict=True):
        longest = max(other.length for other, one in zip(lines, edges, strict=True) if one.name == edge.name)
        scrap = line.length < longest and line.length < text_width(without_strangers(capitals(edge.name)), EDGE_SIZE)
        if not (scrap or edge.kind is EdgeKind.NOTCH):
            yield edge, line


def edge_names(edge: Edge, line: Course) -> Iterator[Request]:
    """The name of an edge in capitals, inside the finished line, past the bevels."""
    text = without_strangers(capitals(edge.name))
    gap = line_gap(text, EDGE_SIZE)
    inside = [gap + step + 6.0 for step in _STEPS]
    gaps = [*inside, *(gap + step for step in _STEPS), *(-gap - step for step in _STEPS)]
    yield from _along(line, text, EDGE_SIZE, gaps, every=EDGE_EVERY, rank=3)


def mark_names(mark: Mark) -> Iterator[Request]:
    """The name of a mark close beside it, repeated along a long one; a further run of a broken line has none."""
    text = without_strangers(mark.name)
    if not text:
        return
    gap = line_gap(text, MARK_SIZE)
    gaps = [side * (gap + step) for step in _STEPS for side in (1.0, -1.0)]
    yield from _along(Course.of(mark.points), text, MARK_SIZE, gaps, every=MARK_EVERY, rank=2)


def note_request(note: Note) -> Request:
    """A word at its place, or as near to it as the lines allow."""
    places = _ROUND_A_NOTE + np.array([*note.at, 0.0])
    return Request(without_strangers(note.text), NOTE_SIZE, places, note.at, rank=0)


def note_label(note: Note) -> Label:
    """A word at its very place."""
    return Label(without_strangers(note.text), note.at, NOTE_SIZE)


def _along(line: Course, text: str, size: float, gaps: list[float], *, every: float, rank: int) -> Iterator[Request]:
    slide = min(every / 2, max(line.length / 2, text_width(text, size)))
    offsets = steps(
        gaps, (0.0, *(sign * share * slide for share in (0.15, 0.3, 0.5, 0.7, 0.9) for sign in (1.0, -1.0)))
    )
    all_along = spread(line.length, every=every)
    widths = np.full(len(all_along), text_width(text, size))
    places = all_beside(line, widths, along=all_along, offsets=offsets)
    for home, spots in zip(line.at(all_along).tolist(), places, strict=True):
        yield Request(text, size, spots, tuple(home), rank=rank)
