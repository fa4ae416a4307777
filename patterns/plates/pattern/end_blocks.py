"""Test blocks for angled ends of a long piece: the section, and a paper to wrap round it with the cut on it.

A short block of the section is ripped first, the paper wrapped round it, the cut sawn to the line and offered up.
"""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass, replace
from math import fsum

import numpy as np

from patterns.drawing.marks import Drawing, Ink, Label, Stroke, TitleBlock
from patterns.drawing.text import capitals, without_strangers, wrapped
from patterns.geometry.arrays import Floats
from patterns.parts.long.long_pieces import EndCut, LongPiece, Place
from patterns.parts.part import SQUARE_WITHIN
from patterns.plates.pattern.bow import bow_pointer

TITLE_SIZE, TEXT_SIZE = 4.5, 3.0  # mm, capitals
LEADING = 1.75  # line spacing, in heights of a capital
WOOD = 40.0  # mm of block beyond the cut
WASTE = 12.0  # mm of paper on the other side of it
INDENT = 3.0  # mm from a line to the lettering inside it
GAP = 10.0  # mm between paper and section
WIDTH = 85.0  # mm, of lettering beneath: less than any sheet
FACES = ("lower edge", "against planking", "upper edge", "far face")


@dataclass(frozen=True, slots=True, eq=False)
class _Wrap:
    """One end unrolled: corners of the section, and the cut on each of the four arrises, as the hand is drawn."""

    name: str
    section: Floats  # (4, 2) mm: lower, upper, far upper, far lower corner, seen from aft
    folds: Floats  # (5,) mm, where the arrises lie across the paper, from the far lower one round to itself
    cut: Floats  # (5,) mm, where the cut meets each of them, along the piece
    low: float  # mm, the paper's ends
    high: float


def end_blocks(piece: LongPiece, *, boat: str, run: str = "") -> tuple[Drawing, ...]:
    """Each end that is cut at an angle across the face, full size; one that is not is told by its bevel alone."""
    ends = ((piece.fore, piece.places[0], False), (piece.after, piece.places[-1], True))
    marked = f"{boat}, run {run}" if run else boat
    return tuple(
        replace(_block(piece, marked, end, _wrap(piece, end, place, aft=aft)), run=run)
        for end, place, aft in ends
        if abs(np.degrees(end.on_face)) > SQUARE_WITHIN
    )


def _block(piece: LongPiece, boat: str, end: EndCut, wrap: _Wrap) -> Drawing:
    title = f"{capitals(piece.part.title[:1])}{piece.part.title[1:]}: block for its {end.end}"
    marks = tuple(_inked(wrap))
    low = min(float(mark.points[:, 1].min()) for mark in marks if isinstance(mark, Stroke))
    words = tuple(_words(title, boat, wrap.name, low - INDENT))
    return Drawing(
        title,
        f"{piece.part.file_name}-{end.end.replace(' ', '-')}-block",
        marks,
        TitleBlock(words),
        foot="printed side out, round the wood",
        pointer=bow_pointer(piece.part),
    )


def _wrap(piece: LongPiece, end: EndCut, place: Place, *, aft: bool) -> _Wrap:
    """The faces in the order lower, against the planking, upper, far: printed side out, that is round the block."""
    low_run, top_run = (piece.thickness * float(np.tan(angle)) for angle in (place.lower, place.upper))
    t, width = piece.thickness, piece.width
    section = np.array([[0.0, 0.0], [0.0, width], [t, width + top_run], [t, -low_run]])
    sides = [np.hypot(t, low_run), width, np.hypot(t, top_run), width + top_run + low_run]
    folds = np.concatenate([[0.0], np.cumsum(sides)])
    cut = np.array([end.far_lower_corner, 0.0, end.upper_corner, end.far_upper_corner, end.far_lower_corner])
    natural = piece.part.hand != ("starboard" if piece.inside else "port")
    if not natural:  # drawn turned over, as its pattern is
        section, folds = section * (-1.0, 1.0), -folds
    low, high = (-WOOD, WASTE) if aft else (-WASTE, WOOD)
    return _Wrap(f"{end.end}, against {end.against}", section, folds, cut, cut.min() + low, cut.max() + high)


def _inked(wrap: _Wrap) -> Iterator[Ink]:
    base = np.array([-wrap.low, -min(wrap.folds)])
    top, bottom = max(wrap.folds), min(wrap.folds)
    frame = np.array([[wrap.low, bottom], [wrap.high, bottom], [wrap.high, top], [wrap.low, top]])
    yield Stroke(frame + base, "mark", closed=True)
    for fold in wrap.folds[1:-1]:
        yield Stroke(np.array([[wrap.low, fold], [wrap.high, fold]]) + base, "mark")
    yield Stroke(np.column_stack([wrap.cut, wrap.folds]) + base, "cut-outside")
    from_aft = wrap.low < wrap.cut.min() - WASTE - 1
    x = float(base[0]) + (wrap.low + INDENT if from_aft else wrap.high - INDENT)
    for word, low, high in zip(FACES, wrap.folds[:-1], wrap.folds[1:], strict=True):
        y = float(base[1] + (low + high) / 2)
        yield Label(word, (x, y), TEXT_SIZE, anchor="start" if from_aft else "end")
    yield from _section(wrap)


def _section(wrap: _Wrap) -> Iterator[Ink]:
    """The section under its paper, its side against the planking upright."""
    section = wrap.section - wrap.section.min(axis=0)
    across, high = np.ptp(section, axis=0).tolist()
    yield Stroke(section + np.array([0.0, -GAP - high]), "cut-outside", closed=True)
    side = "left" if wrap.section[2, 0] > 0 else "right"
    told = ("section seen from aft,", f"planking on its {side}")
    for i, line in enumerate(told):
        at = (across + 2 * INDENT, -GAP - (i + 1) * LEADING * TEXT_SIZE)
        yield Label(line, at, TEXT_SIZE, anchor="start")


def _words(title: str, boat: str, end: str, top: float) -> Iterator[Ink]:
    told = (
        f"{end[:1].upper()}{end[1:]}. Wrap round a block of the section, bow to the left, edges meeting at the lower "
        "arris away from the planking. Saw to the heavy line."
    )
    rows = [(line, TEXT_SIZE) for line in wrapped(boat, size=TEXT_SIZE, width=WIDTH)]
    rows += [(line, TITLE_SIZE) for line in wrapped(title, size=TITLE_SIZE, width=WIDTH)]
    rows += [(line, TEXT_SIZE) for line in wrapped(told, size=TEXT_SIZE, width=WIDTH)]
    foot = top - fsum(size * LEADING for _, size in rows)
    # Framed, so that sheets are laid out for these words too.
    frame = np.array([[-INDENT, foot], [WIDTH + INDENT, foot], [WIDTH + INDENT, top], [-INDENT, top]])
    yield Stroke(frame, "mark", closed=True)
    for text, size in rows:
        yield Label(without_strangers(text), (0.0, top - size * LEADING / 2), size, anchor="start")
        top -= size * LEADING
