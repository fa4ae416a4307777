"""Port and starboard of one piece: whether their rips are mirror images, so that one sheet serves both."""

from __future__ import annotations

from collections.abc import Sequence

import numpy as np

from patterns.shop.saw.long_bench import BenchPiece
from patterns.shop.saw.saw_setup import Rip

ALIKE = 0.01  # mm; far less than any figure of a sheet is rounded to


def in_pairs(worked: Sequence[BenchPiece]) -> list[tuple[BenchPiece, BenchPiece | None]]:
    """Each piece, in order, with its other hand where the saw is set up for both alike."""
    pairs: list[tuple[BenchPiece, BenchPiece | None]] = []
    for one in worked:
        first, other = pairs[-1] if pairs else (None, None)
        if first and other is None and first.piece.name == one.piece.name and mirrored(first, one):
            pairs[-1] = first, one
        else:
            pairs.append((one, None))
    return pairs


def mirrored(one: BenchPiece, other: BenchPiece) -> bool:
    """Whether two hands are sawn alike but for the side that the bow lies on."""
    if {one.piece.part.hand, other.piece.part.hand} != {"port", "starboard"}:
        return False
    if len(one.piece.places) != len(other.piece.places):
        return False
    if one.setup is None or other.setup is None:
        return one.setup is other.setup
    return all(_rips_mirrored(a, b) for a, b in zip(one.setup.rips, other.setup.rips, strict=True))


def _rips_mirrored(one: Rip, other: Rip) -> bool:
    mine, its = one.setting, other.setting
    if (one.edge.name, one.edge.up, one.edge.out) != (other.edge.name, other.edge.up, -other.edge.out):
        return False
    if len(one.ranges) != len(other.ranges) or (mine.guide_line is None) != (its.guide_line is None):
        return False
    settings = [(mine, its), *zip(one.ranges, other.ranges, strict=True)]
    same_tilts = all(abs(a.tilt - b.tilt) < 1e-9 and a.outward == b.outward for a, b in settings)
    lines = [(mine.saw_line, its.saw_line), (mine.foot_line, its.foot_line)]
    if mine.guide_line is not None and its.guide_line is not None:
        lines.append((mine.guide_line, its.guide_line))
    if any(len(a) != len(b) for a, b in lines):
        return False
    over = np.array([1.0, -1.0])
    # Where the axes of a pattern begin says nothing: the lines of one rip may all lie moved by the same way.
    moved = lines[0][0][0] - lines[0][1][0] * over
    same_lines = all(float(np.abs(a - b * over - moved).max()) < ALIKE for a, b in lines)
    return bool(same_tilts and same_lines and np.abs(one.x - other.x - moved[0]).max() < ALIKE)
