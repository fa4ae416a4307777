"""Test blocks for angled ends of a long piece: the section, and a paper to wrap round it with the cut on it.

A short block of the section is ripped first, the paper wrapped round it, the cut sawn to the line and offered up.
"""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from dataclasses import dataclass, replace

import numpy as np

from patterns.drawing.block_setting import in_one_column
from patterns.drawing.marks import Drawing, Ink, Label, Sentence, Stroke, TitleBlock
from patterns.drawing.text import capitals, without_strangers
from patterns.drawing.turning import extent
from patterns.geometry.arrays import Floats
from patterns.parts.long.long_pieces import EndCut, LongPiece, Place
from patterns.parts.part import OTHER_HAND, SQUARE_WITHIN, Hand
from patterns.plates.pattern.bow import bow_pointer

TITLE_SIZE, TEXT_SIZE, FACE_SIZE = 4.5, 3.0, 2.4  # mm, capitals; names of faces go on the block beside the cut
LEADING = 1.75  # line spacing, in heights of a capital
WOOD = 30.0  # mm of block beyond the cut
WASTE = 10.0  # mm of paper on the other side of it
INDENT = 3.0  # mm from a line to the lettering inside it
GAP = 10.0  # mm between paper and section
WIDTH = 85.0  # mm, of lettering beneath
TALLEST = 225.0  # mm, of a paper with its section under it: no more stands on a letter page
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


def end_blocks(piece: LongPiece, *, boat: str, run: str = "", both_hands: bool = False) -> tuple[Drawing, ...]:
    """Each end that is cut at an angle across the face, full size; one that is not is told by its bevel alone.

    Parameters
    ----------
    run : str
        The run mark.
    both_hands : bool
        Whether the paper serves the other hand too, turned over.
    """
    ends = ((piece.fore, piece.places[0], False), (piece.after, piece.places[-1], True))
    marked = f"{boat}, run {run}" if run else boat
    return tuple(
        replace(drawing, run=run)
        for end, place, aft in ends
        if abs(np.degrees(end.on_face)) > SQUARE_WITHIN
        for drawing in _block(piece, marked, end, _wrap(piece, end, place, aft=aft), both_hands=both_hands)
    )


def _block(piece: LongPiece, boat: str, end: EndCut, wrap: _Wrap, *, both_hands: bool) -> Iterator[Drawing]:
    """The paper and the section under it; a paper too tall for that has the section in a drawing of its own."""
    named = f"{piece.part.name}, port and starboard" if both_hands else piece.part.title
    title = f"{capitals(named[:1])}{named[1:]}: block for its {end.end}"
    file_name = f"{piece.part.file_name}-{end.end.replace(' ', '-')}-block"
    turned = _turned(piece.part.hand) if both_hands else ""
    paper, section = tuple(_paper(wrap)), tuple(_section(wrap))
    apart = extent((*paper, *section))
    together = apart[3] - apart[1] < TALLEST
    ink = (*paper, *section) if together else paper
    yield Drawing(
        title,
        file_name,
        ink,
        _words((boat, title, f"{_told(wrap.name)}{turned}"), ink),
        foot="see its words" if both_hands else "printed side out, round the wood",
        pointer=bow_pointer(piece.part),
    )
    if not together:
        said = (boat, f"{title}, section")
        yield Drawing(said[1], f"{file_name}-section", section, _words(said, section), foot="full size")


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


def _paper(wrap: _Wrap) -> Iterator[Ink]:
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
        yield Label(word, (x, y), FACE_SIZE, anchor="start" if from_aft else "end")


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


def _turned(hand: Hand) -> str:
    return f" Printed side out, it is for {hand}. For {OTHER_HAND[hand]} wrap it printed side in."


def _told(end: str) -> str:
    return (
        f"{end[:1].upper()}{end[1:]}. Wrap round a block of the section, bow to the left, edges meeting at the lower "
        "arris away from the planking. Saw to the heavy line."
    )


def _words(said: tuple[str, ...], ink: Sequence[Ink]) -> TitleBlock:
    """Whose, what and how, set beneath the ink; where a page has no room there, it is set otherwise."""
    sizes = (TEXT_SIZE, TITLE_SIZE, TEXT_SIZE)
    items = tuple(Sentence(without_strangers(text), size) for text, size in zip(said, sizes, strict=False))
    block = in_one_column(items, WIDTH)
    left, low, _, _ = extent(ink)
    return TitleBlock(block.set_down(np.array([left + block.width / 2, low - GAP - block.height / 2])), items)
