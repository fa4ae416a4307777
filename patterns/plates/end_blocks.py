"""Test blocks for the ends of a long piece: its section, and a paper to wrap round it with the cut on all four faces.

A short block of the section is ripped first, the paper wrapped round it, the cut sawn to the line and offered up.
"""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass

import numpy as np

from patterns.drawing.marks import Drawing, Ink, Label, Stroke
from patterns.drawing.text import text_width, without_strangers, wrapped
from patterns.geometry.arrays import Floats
from patterns.parts.long_pieces import EndCut, LongPiece, Place
from patterns.parts.part import SQUARE_WITHIN

TITLE_SIZE, TEXT_SIZE = 6.0, 3.0  # mm, capitals
LEADING = 1.75  # line spacing, in heights of a capital
WOOD = 70.0  # mm of block beyond the cut
WASTE = 12.0  # mm of paper on the other side of it
INDENT = 3.0  # mm from a line to the lettering inside it
GAP = 24.0  # mm between drawings
WIDTH = 170.0  # mm, of lettering beneath
FACES = ("lower edge", "face against the planking", "upper edge", "far face")


@dataclass(frozen=True, slots=True, eq=False)
class _Wrap:
    """One end unrolled: corners of the section, and the cut on each of the four arrises, as the hand is drawn."""

    name: str
    section: Floats  # (4, 2) mm: lower, upper, far upper, far lower corner, seen from aft
    folds: Floats  # (5,) mm, where the arrises lie across the paper, from the far lower one round to itself
    cut: Floats  # (5,) mm, where the cut meets each of them, along the piece
    low: float  # mm, the paper's ends
    high: float


def has_angled_ends(piece: LongPiece) -> bool:
    """Whether an end is cut at an angle across the face: one that is not is told by its bevel alone."""
    return any(abs(end.on_face) > SQUARE_WITHIN for end in (piece.fore, piece.after))


def end_blocks(piece: LongPiece, *, boat: str) -> Drawing:
    """Both ends of a piece, fore end on the left, full size, as seen on the face against the planking."""
    title = f"{piece.part.title}, test blocks for its ends"
    marks: list[Ink] = []
    left = 0.0
    for end, place, aft in ((piece.fore, piece.places[0], False), (piece.after, piece.places[-1], True)):
        wrap = _wrap(piece, end, place, aft=aft)
        marks += _inked(wrap, left)
        left += max(wrap.high - wrap.low, *(text_width(word, TEXT_SIZE) + 4 for word in FACES)) + GAP
    low = min(float(mark.points[:, 1].min()) for mark in marks if isinstance(mark, Stroke))
    marks += _words(title, boat, low - GAP / 2)
    return Drawing(title[:1].upper() + title[1:], f"{piece.part.file_name}-end-blocks", tuple(marks))


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


def _inked(wrap: _Wrap, left: float) -> Iterator[Ink]:
    base = np.array([left - wrap.low, -min(wrap.folds)])
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
    yield from _section(wrap, left)


def _section(wrap: _Wrap, left: float) -> Iterator[Ink]:
    """The section under its paper, its side against the planking upright."""
    section = wrap.section - wrap.section.min(axis=0)
    across, high = np.ptp(section, axis=0).tolist()
    yield Stroke(section + np.array([left, -GAP - high]), "cut-outside", closed=True)
    side = "left" if wrap.section[2, 0] > 0 else "right"
    told = (*wrapped(wrap.name, size=TEXT_SIZE, width=90.0), "section seen from aft,", f"planking on its {side}")
    for i, line in enumerate(told):
        at = (left + across + 2 * INDENT, -GAP - (i + 1) * LEADING * TEXT_SIZE)
        yield Label(line, at, TEXT_SIZE, anchor="start")


def _words(title: str, boat: str, top: float) -> Iterator[Ink]:
    rows = [(boat, TEXT_SIZE + 1), (title[:1].upper() + title[1:], TITLE_SIZE)]
    told = (
        "Rip a short block to the section. Wrap the paper round it printed side out, bow to the left, its two long "
        "edges meeting at the lower arris away from the planking, the other lines on the other arrises. Saw to the "
        "heavy line; the lettering is on the wood. Offer the block up in the boat before you cut the piece."
    )
    rows += [(line, TEXT_SIZE) for line in wrapped(told, size=TEXT_SIZE, width=WIDTH)]
    for text, size in rows:
        yield Label(without_strangers(text), (0.0, top - size * LEADING / 2), size, anchor="start")
        top -= size * LEADING
