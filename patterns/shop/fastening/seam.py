"""One seam of the boat, and what all seams come to."""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from dataclasses import dataclass
from math import ceil, fsum

import shapely

from patterns.geometry.arrays import Floats
from patterns.geometry.short_repr import brief
from patterns.shop.fastening.rules import FastenRules
from patterns.shop.fastening.sizes import Fastening

ROW = 1  # of fastenings along each line


@dataclass(frozen=True, slots=True, eq=False)
class Seam:
    """One line of fastenings on one part; a pair has one on each hand."""

    part: str  # its title
    along: str  # "chine", "frame 3", "fastening line"
    beside: str  # the edge of the part that it runs beside: "chine"; "" where it has a line of its own
    into: str  # what is behind it: "chine log", "frame", ...
    how: str  # from which side, through what, and before or after what
    length: float  # mm
    edge: float  # mm from the planed edge, or from the face that stands on the station; 0 along a line of its own
    edge_from: str  # from what that is: "from its planed edge"
    spacing: float  # mm, no further apart
    places: Floats  # (k, 2) mm in the part's axes
    fastening: Fastening
    rows: int = ROW
    over_inwale: bool = False  # of an outwale: they go into the inwale too
    clear: shapely.Geometry | None = None  # of a panel: the runs of the line where one may stand

    __repr__ = brief

    @property
    def count(self) -> int:
        """How many fastenings."""
        return len(self.places)


def totals(all_seams: Sequence[Seam], rules: FastenRules) -> tuple[tuple[Fastening, int, int], ...]:
    """Of each kind of fastening how many are counted, and how many with some to spare, shortest first."""
    kinds = sorted({one.fastening for one in all_seams}, key=lambda one: (one.length, one.shank))
    counts = [(kind, sum(one.count for one in all_seams if one.fastening == kind)) for kind in kinds]
    return tuple((kind, count, ceil(count * (1 + rules.spare / 100) - 1e-9)) for kind, count in counts)


def pairs_together(all_seams: Sequence[Seam]) -> Iterator[tuple[Seam, int]]:
    """Each seam once: what port and starboard have alike is counted for both."""
    left = list(all_seams)
    while left:
        first = left.pop(0)
        other = next((one for one in left if _twins(first, one)), None)
        if other is not None:
            left.remove(other)
        yield first, first.count + (other.count if other is not None else 0)


def _twins(one: Seam, other: Seam) -> bool:
    names = [seam.part.replace(", port", "").replace(", starboard", "") for seam in (one, other)]
    same = names[0] == names[1] and one.along == other.along and abs(one.length - other.length) < 1.0
    return same and one.fastening == other.fastening


def length_of(all_seams: Sequence[Seam]) -> float:
    """mm of seams in all."""
    return fsum(one.length for one in all_seams)
