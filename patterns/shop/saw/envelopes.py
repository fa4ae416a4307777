"""What a long piece takes of a board as it is sawn: both faces, kerf, and wood to hold the board together."""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass

import numpy as np

from patterns.geometry.arrays import Floats
from patterns.geometry.short_repr import brief
from patterns.parts.long.long_pieces import LongPiece
from patterns.shop.saw.edge_views import FAR, NEAR, OVERTURNED, edge_view, stock_ends
from patterns.shop.saw.saw_rules import HOLDING, KERF
from patterns.shop.saw.saw_setup import SawSetup

POINTS = 121  # along a piece, where it is held against the board


@dataclass(frozen=True, slots=True, eq=False)
class Envelope:
    """What a piece takes of a board, as sawn, seen on its face against the planking, bow to the left."""

    x: Floats  # (n,) mm, from one end of the stock, left long, to the other
    low: Floats  # (n,) mm, the side of the kerf where the piece is
    high: Floats
    below: Floats  # (n,) mm, kerf and wood to hold the board together, beyond ``low``
    above: Floats  # (n,) mm, the same beyond ``high``
    holding: float  # mm of that, square to the cut, beyond the kerf
    first: float = 0.0  # +1 where ``high`` is sawn first, -1 where ``low`` is; 0 without a saw

    __repr__ = brief

    @property
    def length(self) -> float:
        """The piece as sawn, both ends left long."""
        return float(self.x[-1] - self.x[0])

    @property
    def outer(self) -> tuple[Floats, Floats]:
        """(n,) mm each, what the board must hold: the lower and the upper side, kerf and holding wood included."""
        return self.low - self.below, self.high + self.above

    @property
    def middle(self) -> Floats:
        return np.asarray((self.low + self.high) / 2)

    def ring(self) -> Floats:
        """(2n, 2) mm, round it."""
        low, high = (np.column_stack([self.x, y]) for y in (self.low, self.high))
        return np.concatenate([low, high[::-1]])

    def of_other_hand(self) -> Envelope:
        return Envelope(self.x, -self.high, -self.low, self.above, self.below, self.holding, -self.first)


def envelope(
    piece: LongPiece,
    setup: SawSetup | None,
    *,
    holding: float = HOLDING,
    kerf: float = KERF,
    points: int = POINTS,
) -> Envelope:
    """Both faces, outside the saw cuts; without a saw, outside the net edges and what the plane takes.

    `kerf` is used only where there is no saw: with one, its own kerf counts, as wide as it is at the tilt.
    """
    first, last = stock_ends(piece)
    x = np.linspace(first, last, points)
    sides: dict[float, list[Floats]] = {1.0: [], -1.0: []}
    kerfs = {1.0: kerf, -1.0: kerf}
    for line, out, wide in _lines(piece, setup, kerf):
        sides[out].append(np.interp(x, line[:, 0], line[:, 1]))
        kerfs[out] = wide
    low, high = np.min(sides[-1.0], axis=0), np.max(sides[1.0], axis=0)
    below, above = (
        np.asarray((kerfs[out] + holding) * np.hypot(1.0, np.gradient(line, x)))
        for out, line in ((-1.0, low), (1.0, high))
    )
    return Envelope(x, low, high, below, above, holding, _sawn_first(setup) if setup else 0.0)


def _sawn_first(setup: SawSetup) -> float:
    """+1 where the upper side as seen on the face against the planking is sawn first, -1 where the lower is."""
    edge = setup.rips[0].edge
    return -edge.out if edge.up == FAR else edge.out


def _lines(piece: LongPiece, setup: SawSetup | None, kerf: float) -> Iterator[tuple[Floats, float, float]]:
    """Each line a side of the piece is cut to, which side, and how wide the kerf beyond it is."""
    if setup is not None:
        for rip in setup.rips:
            over, out = (OVERTURNED, -1.0) if rip.edge.up == FAR else (np.ones(2), 1.0)
            wide = setup.saw.kerf / float(np.cos(rip.setting.tilt))
            yield rip.setting.saw_line * over, rip.edge.out * out, wide
            yield rip.setting.foot_line * over, rip.edge.out * out, wide
        return
    for name in ("lower", "upper"):
        view = edge_view(piece, name, NEAR)
        beyond = piece.rules.planing * np.hypot(1.0, view.run / piece.thickness) + np.maximum(view.run, 0.0)
        yield view.net + beyond[:, None] * view.outward, view.out, kerf
