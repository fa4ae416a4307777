"""Whether the board reaches as far as the guide: a shoe stands 130 mm and more off its cut."""

from __future__ import annotations

from dataclasses import dataclass

import numpy as np

from patterns.geometry.arrays import Floats
from patterns.shop.saw.board_layout import BoardPlace, edges_as_laid
from patterns.shop.saw.edge_views import FAR, OVERTURNED
from patterns.shop.saw.saw_setup import Rip, SawSetup
from patterns.units.lengths import INCH

CLEAR = INCH / 2  # mm from a kerf, nearer than which no screw or nail is driven: common practice, no single source
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


@dataclass(frozen=True, slots=True)
class ScrewFree:
    """Where no screw or nail may go during one rip, square to the piece's length, from the saw line."""

    guide_side: float  # mm toward the guide, where it reaches furthest
    other_side: float  # mm away from the guide
    guide_clear: bool  # whether the guide batten lies clear of it all along


def screw_free(setup: SawSetup, rip: Rip) -> ScrewFree:
    """The piece, both cuts through the whole thickness, and `CLEAR` beside them.

    The piece itself lies on the guide's side of the first cut and on the other side of the last.
    """
    own, other = rip.setting, next(one for one in setup.rips if one is not rip)
    past_own, past_other = (_past_the_cut(setup, one) for one in (rip, other))
    over = 1.0 if other.edge.up == rip.edge.up else -1.0
    mine = own.at(rip.x, own.saw_line[:, 1])
    theirs = over * other.setting.at(rip.x, other.setting.saw_line[:, 1])
    across = np.abs(mine - theirs) + past_other
    toward, away = (across, past_own) if rip.guide_on_piece else (np.full(len(across), past_own), float(across.max()))
    guide = np.inf if own.distance is None else own.distance + own.at(rip.x, own.stand_off)
    return ScrewFree(float(toward.max()), away, bool((guide >= toward).all()))


def screws_clear(setup: SawSetup) -> bool:
    """Whether a screw in the middle of the piece's breadth is clear of both cuts at every depth."""
    inward = max(max(-rip.setting.aside, 0.0) for rip in setup.rips)
    return setup.piece.width / 2 - inward >= CLEAR


def _past_the_cut(setup: SawSetup, rip: Rip) -> float:
    """mm from a saw line, away from the piece, to where the wood is clear of the blade at every depth."""
    own = rip.setting
    return setup.saw.kerf / float(np.cos(own.tilt)) + max(own.aside, 0.0) + CLEAR


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
