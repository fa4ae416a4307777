"""Papers for the ends of long pieces of both hands as one, to be turned over for the other hand."""

from __future__ import annotations

from collections.abc import Mapping, Sequence

from patterns.drawing.marks import Drawing
from patterns.parts.long.long_pieces import LongPiece
from patterns.plates.pattern.end_blocks import end_blocks


def blocks_to_turn(
    pieces: Sequence[LongPiece], blocks: Mapping[str, Sequence[Drawing]], *, boat: str, run: str
) -> dict[str, tuple[Drawing, ...]]:
    """By the title of each paper of a pair, the one that serves both hands.

    Parameters
    ----------
    blocks : {file name: papers}
        Of each piece.
    """
    found: dict[str, tuple[Drawing, ...]] = {}
    by_hand = {(piece.part.name, piece.part.hand): piece for piece in pieces}
    for (name, hand), piece in by_hand.items():
        twin = by_hand.get((name, "port"))
        if hand != "starboard" or twin is None:
            continue
        ours, theirs = blocks[piece.part.file_name], blocks[twin.part.file_name]
        both = end_blocks(piece, boat=boat, run=run, both_hands=True)
        if len(ours) == len(theirs) == len(both):
            for one, other, paper in zip(ours, theirs, both, strict=True):
                found[one.title] = found[other.title] = (paper,)
    return found
