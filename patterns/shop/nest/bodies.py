"""Pieces as convex parts, in every turn they may lie in, and how far any two of them are from each other."""

from __future__ import annotations

from dataclasses import dataclass

import numpy as np
import shapely
import shapely.affinity
from numpy.typing import NDArray

from patterns.geometry.arrays import Floats
from patterns.geometry.convex import between, convex_parts, outward
from patterns.shop.nest.blanks import turned_by

Numbers = NDArray[np.intp]

SPARE = 0.002  # mm more than its share of the gap: for digits of places, and what is left of overlaps
SLACK = 0.4  # mm a grown outline may be simplified by; it is grown as much more, so it never comes out too small
MOST_PAIRS = 60_000  # pairs of convex parts remembered, some 50 MB of them


@dataclass(frozen=True, slots=True, eq=False)
class Body:
    """A piece in one turn. Places are of the left lower corner of its own box; it is grown by its share of the gap."""

    number: int
    turn: float  # degrees
    size: Floats  # (2,) mm of the piece's own box
    parts: Numbers  # of its convex parts
    grown: shapely.Polygon  # from the corner of the box


class Bodies:
    """Every body that has been asked for."""

    def __init__(self, gap: float) -> None:
        self.gap = gap
        self._bodies: dict[tuple[bytes, float], Body] = {}
        self._cut: dict[bytes, list[Floats]] = {}
        self._rings: list[Floats] = []
        self._packed: _Packed | None = None

    def body(self, shape: shapely.Polygon, turn: float) -> Body:
        key = shapely.to_wkb(shape), turn
        if key not in self._bodies:
            grown = shape.buffer(self.gap / 2 + SPARE + SLACK, quad_segs=8).simplify(SLACK)
            assert isinstance(grown, shapely.Polygon)  # one piece grown is one piece
            if key[0] not in self._cut:
                self._cut[key[0]] = convex_parts(grown)
            left, bottom, right, top = turned_by(shape, turn).bounds
            corner = np.array([left, bottom])
            first = len(self._rings)
            for ring in self._cut[key[0]]:
                turned = shapely.get_coordinates(turned_by(shapely.Polygon(ring), turn).exterior)[:-1]
                self._rings.append(turned - corner)
            self._packed = None
            self._bodies[key] = Body(
                len(self._bodies),
                turn,
                np.array([right - left, top - bottom]),
                np.arange(first, len(self._rings)),
                shapely.affinity.translate(turned_by(grown, turn), -left, -bottom),
            )
        return self._bodies[key]

    @property
    def boxes(self) -> tuple[Floats, Floats]:
        """(c, 2) left lower and (c, 2) right upper corners of all convex parts' boxes, mm."""
        return self._all.low, self._all.high

    @property
    def _all(self) -> _Packed:
        if self._packed is None:
            self._packed = _Packed(self._rings)
        return self._packed

    def apart(self, first: Numbers, second: Numbers, way: Floats) -> tuple[Floats, Floats, Floats]:
        """For pairs of convex parts: the direction they are furthest apart in, (p, 2), and in it (p,) mm twice.

        Parameters
        ----------
        first, second : (p,) numbers of convex parts
        way : (p, 2) mm
            From the place of the first's body to that of the second's.

        Returns
        -------
        (p, 2) directions, (p,) mm that ``way`` must be long in it, (p,) mm apart: negative where they overlap.
        """
        ways, least = self._all.between(first, second)
        apart = ways[..., 0] * way[:, None, 0] + ways[..., 1] * way[:, None, 1] - least
        best = apart.argmax(axis=1)
        each = np.arange(len(best))
        return ways[each, best], least[each, best], apart[each, best]


class _Packed:
    """Convex parts in arrays, shorter rings filled up. What keeps two apart is worked out when first asked for."""

    def __init__(self, rings: list[Floats]) -> None:
        most = max(map(len, rings))
        self.corners = np.array([_filled_up(ring, most) for ring in rings])
        self.ways = np.array([_filled_up(outward(ring), most) for ring in rings])
        self.low, self.high = self.corners.min(axis=1), self.corners.max(axis=1)
        self._row = np.full((len(rings), len(rings)), -1, dtype=np.int32)
        self._known = 0
        self._ways = np.empty((1024, 2 * most, 2))
        self._least = np.empty((1024, 2 * most))

    def between(self, first: Numbers, second: Numbers) -> tuple[Floats, Floats]:
        if self._known > MOST_PAIRS:
            self._row[:], self._known = -1, 0
        new = self._row[first, second] < 0
        if new.any():
            self._learn(np.unique(np.stack([first[new], second[new]]), axis=1))
        rows = self._row[first, second]
        return self._ways[rows], self._least[rows]

    def _learn(self, pairs: Numbers) -> None:
        one, other = pairs
        ways, least = between((self.corners[one], self.ways[one]), (self.corners[other], self.ways[other]))
        rows = np.arange(self._known, self._known + len(one))
        while rows[-1] >= len(self._least):
            self._ways = np.concatenate([self._ways, np.empty_like(self._ways)])
            self._least = np.concatenate([self._least, np.empty_like(self._least)])
        self._ways[rows], self._least[rows] = ways, least
        self._row[one, other] = rows
        self._known += len(one)


def _filled_up(rows: Floats, count: int) -> Floats:
    return np.concatenate([rows, np.repeat(rows[-1:], count - len(rows), axis=0)])
