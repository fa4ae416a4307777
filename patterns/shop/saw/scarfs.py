"""Where stock is scarfed when a piece is longer than any board."""

from __future__ import annotations

from dataclasses import dataclass
from math import fsum

import numpy as np
from numpy.typing import NDArray

from patterns.geometry.arrays import Floats
from patterns.parts.long.long_pieces import LongPiece
from patterns.shop.saw.edge_views import NEAR, edge_view, stock_ends

STEP = 10.0  # mm between the places tried
OFF_FRAMES = 25.0  # mm from a frame's face to the nearer tip of a scarf, where a bay has so much room
WITNESS = 300.0  # mm from the middle of a scarf to the line struck on either board beside it
ON_A_FRAME = 1e3  # how much worse a scarf on a frame is than any bend
SAME_BAY = 1e6  # and one in the bay where the other hand has its own


@dataclass(frozen=True, slots=True)
class Scarf:
    """One tapered joint; distances are mm along the lower edge from the piece's fore end."""

    middle: float
    fore_tip: float  # the feather edge on the face against the planking
    after_tip: float  # the feather edge on the face away from it
    bay: str  # "between frame 4 and frame 5"
    radius: float  # mm, the tightest the piece bends there flatwise; inf where straight
    clear: bool  # of every frame

    @property
    def witness(self) -> tuple[float, float]:
        """Where a line is struck across each board before gluing; glued, they are twice `WITNESS` apart."""
        return self.middle - WITNESS, self.middle + WITNESS


@dataclass(frozen=True, slots=True)
class ScarfPlan:
    ratio: float
    length: float  # mm of each taper
    scarfs: tuple[Scarf, ...]  # fore to aft
    boards: tuple[float, ...]  # mm, length of each board, its ends left long
    staggered: bool  # whether no scarf stands in a bay where the other hand has one

    @property
    def gross(self) -> float:
        """mm of board in all."""
        return fsum(self.boards)


def scarf_plan(piece: LongPiece, board: float, ratio: float, other: tuple[Scarf, ...] = ()) -> ScarfPlan | None:
    """Scarfs for boards of a length: off frames and hard bends, and in other bays than the other hand's.

    None where a board is too short to be scarfed at all. The fewest boards are used; among their places those are
    taken that bend least in all.
    """
    length, taper = piece.places[-1].along, ratio * piece.thickness
    beyond = _beyond(piece)
    if board <= 2 * taper:
        return None
    count = max(int(np.ceil((length + fsum(beyond) - taper) / (board - taper))) - 1, 1)
    places = np.arange(taper / 2, length - taper / 2, STEP)
    cost = _cost(piece, places, taper, {scarf.bay for scarf in other})
    # Half of each taper lies past the middle of its scarf: the end boards have one, those between them two.
    at_fore, at_aft = (board - taper / 2 - more for more in beyond)
    costs = (np.where(places <= at_fore, cost, np.inf), cost, np.where(length - places <= at_aft, 0.0, np.inf))
    found = (_cheapest(places, costs, more, (taper, board - taper)) for more in (count, count + 1))
    middles = next((one for one in found if one), None)
    if middles is None:
        return None
    count = len(middles)
    ends = np.array([-beyond[0], *middles, length + beyond[1]])
    half = np.array([0.0, *[taper / 2] * count, 0.0])
    boards = np.diff(ends) + half[:-1] + half[1:]
    scarfs = tuple(_scarf(piece, middle, taper) for middle in middles)
    taken = {scarf.bay for scarf in other}
    return ScarfPlan(ratio, taper, scarfs, tuple(boards.tolist()), not any(scarf.bay in taken for scarf in scarfs))


def _beyond(piece: LongPiece) -> tuple[float, float]:
    """mm the stock goes on past the lower edge's two ends: what is left long, and as much as other corners reach on."""
    first, last = stock_ends(piece)
    fore, aft = edge_view(piece, "lower", NEAR).within
    return fore - first, last - aft


def _frames(piece: LongPiece) -> list[tuple[str, float]]:
    framed = [(place.name, place.along) for place in piece.places if place.name]
    return [("fore end", 0.0), *framed, ("after end", piece.places[-1].along)]


def _bay(piece: LongPiece, at: float) -> str:
    frames = _frames(piece)
    k = min(int(np.searchsorted([along for _, along in frames], at, side="right")), len(frames) - 1)
    return f"between {frames[k - 1][0]} and {frames[k][0]}"


def _bend(piece: LongPiece, at: Floats) -> Floats:
    return np.asarray(np.interp(at, piece.bends.along, np.abs(piece.bends.flatwise)))


def _cost(piece: LongPiece, places: Floats, taper: float, taken: set[str]) -> Floats:
    """(n,) how little each place suits: its bend against the hardest of the piece, frames and the other hand's bays."""
    hardest = max(float(np.abs(piece.bends.flatwise).max()), 1e-12)
    across = places[:, None] + taper * np.linspace(-0.5, 0.5, 9)
    frames = np.array([along for _, along in _frames(piece)][1:-1])
    crossed = (np.abs(places[:, None] - frames) < taper / 2 + OFF_FRAMES).sum(axis=1)
    bays = np.array([_bay(piece, place) in taken for place in places])
    return np.asarray(_bend(piece, across).max(axis=1) / hardest + ON_A_FRAME * crossed + SAME_BAY * bays)


def _cheapest(
    places: Floats, costs: tuple[Floats, Floats, Floats], count: int, apart: tuple[float, float]
) -> tuple[float, ...] | None:
    """The places of so many scarfs, none further from the last than a board reaches: dynamic programming.

    Parameters
    ----------
    places : (n,) mm
    costs : three of (n,)
        Of the first scarf at each place, of each further one, and what is added to that of the last.
    apart : (float, float) mm
        Two neighbours lie further apart than the first, and no further than the second.
    """
    best, further, at_last = costs
    back: list[NDArray[np.intp]] = []
    for _ in range(count - 1):
        gap = places[:, None] - places[None, :]
        total = np.where((gap > apart[0]) & (gap <= apart[1]), best[None, :], np.inf)
        back.append(total.argmin(axis=1))
        best = total.min(axis=1) + further
    best = best + at_last
    last = int(best.argmin())
    if not np.isfinite(best[last]):
        return None
    chain = [last]
    for step in reversed(back):
        chain.append(int(step[chain[-1]]))
    return tuple(float(places[k]) for k in reversed(chain))


def _scarf(piece: LongPiece, middle: float, taper: float) -> Scarf:
    frames = [along for _, along in _frames(piece)][1:-1]
    bend = float(_bend(piece, middle + taper * np.linspace(-0.5, 0.5, 9)).max())
    return Scarf(
        middle=middle,
        fore_tip=middle - taper / 2,
        after_tip=middle + taper / 2,
        bay=_bay(piece, middle),
        radius=1 / bend if bend > 1e-9 else float("inf"),
        clear=all(abs(middle - along) >= taper / 2 for along in frames),
    )
