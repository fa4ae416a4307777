"""Whether the board reaches as far as the guide: a shoe stands 130 mm and more off its cut."""

from __future__ import annotations

from dataclasses import dataclass

import numpy as np

from patterns.geometry.arrays import Floats
from patterns.shop.saw.board_layout import BoardPlace, edges_as_laid
from patterns.shop.saw.edge_views import FAR, OVERTURNED
from patterns.shop.saw.saw_setup import Rip

BATTEN = 40.0  # mm, a guide batten's width as drawn and as allowed for


@dataclass(frozen=True, slots=True)
class GuideRoom:
    """Wood beyond the saw line on the guide's side, square to the piece's length."""

    wants: float  # mm, to carry shoe, guide and batten where they reach furthest
    has: float | None  # mm, the least the board has there; None where no board is laid out

    @property
    def short(self) -> float:
        """mm, the breadth of the strip that is wanted beside the board; 0 where none is."""
        return max(self.wants - self.has, 0.0) if self.has is not None else self.wants


def guide_room(rip: Rip, place: BoardPlace | None) -> GuideRoom | None:
    """None without test cuts: then nobody knows how far off the guide stands."""
    own = rip.setting
    if own.distance is None:
        return None
    wants = own.distance + float(own.at(rip.x, own.stand_off).max()) + BATTEN
    if place is None:
        return GuideRoom(wants, None)
    low, high = board_edges(rip, place)
    edge = high if rip.guide_side > 0 else low
    over = rip.guide_side * (np.interp(rip.x, *edge.T) - np.interp(rip.x, *own.saw_line.T))
    return GuideRoom(wants, float(over.min()))


def board_edges(rip: Rip, place: BoardPlace) -> tuple[Floats, Floats]:
    """(n, 2) mm each: the board's edge toward the sawyer and the one away from him, as the rip is seen."""
    low, high = (place.on_piece(line) for line in edges_as_laid(place))
    return (high * OVERTURNED, low * OVERTURNED) if rip.edge.up == FAR else (low, high)
