"""Long pieces: wood between two faces that lie along the planking, with all a bench asks of it."""

from __future__ import annotations

from dataclasses import dataclass, replace

import numpy as np

from patterns.geometry.arrays import Floats
from patterns.geometry.development import Flat
from patterns.geometry.short_repr import brief
from patterns.hull.planking.strakes import Strake
from patterns.parts.asked.long_rules import LongRules
from patterns.parts.edges import mirrored
from patterns.parts.long.solids import Solid
from patterns.parts.part import Part

UPSIDE_DOWN = "Drawn with the upper edge up: so the bow lies to the right."
OTHER_SIDE = np.array([1.0, -1.0, 1.0])


@dataclass(frozen=True, slots=True, eq=False)
class Place:
    """One mark along a long piece, with its axes there: right-handed on starboard, left-handed on port."""

    name: str  # "frame 3", or "" for the marks between
    along: float  # mm from the fore end, on the lower edge of the face against the planking, laid flat
    along_upper: float  # mm from the fore end of the upper edge of that face, square across from the lower
    at: Floats  # (3,) mm, that lower edge in the boat
    aft: Floats  # (3,) unit, along the piece
    out: Floats  # (3,) unit, square to the face against the planking, out of the boat
    up: Floats  # (3,) unit, in that face, square to the piece, from the lower edge to the upper
    lower: float  # rad, bevel of the lower edge square to the piece: standing (+) or under (-)
    upper: float  # rad, bevel of the upper edge
    slope: float  # rad, how far the upper edge's face falls away from the planking with the boat level, square to it
    edgewise: float  # 1/mm, curve in the face: positive where both ends rise
    flatwise: float  # 1/mm, curve out of the face: positive where both ends turn away from ``out``
    twist: float  # rad/mm, positive where ``out`` leans toward ``up`` as one goes aft
    turn: float = 0.0  # rad, how far below a chine the face against the planking is planed off
    planed: float = 0.0  # mm, what that takes off at the lower edge

    __repr__ = brief


@dataclass(frozen=True, slots=True, eq=False)
class Bends:
    """How a piece bends all along, often enough to miss no tight place between its marks; of either hand alike."""

    along: Floats  # (n,) mm from the fore end, as that of a `Place`
    flatwise: Floats  # (n,) 1/mm, of the lower or the upper edge, whichever is bent more there
    edgewise: Floats  # (n,) 1/mm, of the lower edge
    twist: Floats  # (n,) rad/mm, of the lower edge

    __repr__ = brief


@dataclass(frozen=True, slots=True, eq=False)
class EndCut:
    """How a piece is cut off, on stock still square and straight, where its lower edge lies against the planking."""

    end: str  # "fore end" or "after end"
    against: str  # "stem, after face"
    on_face: (
        float  # rad off square across the face against the planking; positive where the upper edge is cut further aft
    )
    through: float  # rad off square through the thickness; positive where the far face is cut further aft
    # mm along the piece from the lower corner of the face against the planking, aft positive, to the other three:
    upper_corner: float
    far_upper_corner: float
    far_lower_corner: float
    mark: str = ""  # the line of a panel where what it is cut against stands


@dataclass(frozen=True, slots=True)
class Arrises:
    """Lengths of the four corners in the boat, shoulder to shoulder, mm."""

    lower: float  # on the face against the planking
    upper: float
    far_upper: float
    far_lower: float


@dataclass(frozen=True, slots=True, eq=False)
class LongPiece:
    """A long piece of one hand: its pattern, its place in the boat, and its figures."""

    rules: LongRules
    part: Part  # the pattern: marked face against the planking, far face away from it
    solid: (
        Solid  # on starboard: lower, mid-face, upper, then far upper, mid-face, lower; run on a little past both ends
    )
    places: tuple[Place, ...]  # fore to aft
    bends: Bends
    fore: EndCut
    after: EndCut
    arrises: Arrises
    width: float  # mm, of the face against the planking, square across
    inside: bool  # whether it lies inside the planking
    strake: Strake  # whose rulings it follows
    flat: Flat  # which place of the skin lies where in the pattern as ``natural`` has it
    depth: float  # mm, of the face against the planking
    chine: str = ""  # the line below which that face is planed off to another strake, if it is

    __repr__ = brief

    @property
    def name(self) -> str:
        return self.part.name

    @property
    def thickness(self) -> float:
        """mm, square to the face against the planking."""
        return self.part.thickness

    @property
    def natural(self) -> Part:
        """The pattern upright, as ``flat`` lays the starboard side."""
        return turned_over(self.part) if self.part.upside_down else self.part

    def mirrored(self) -> LongPiece:
        """The same piece on the other side of the boat."""
        return replace(
            self,
            part=turned_over(self.part),
            solid=self.solid.mirrored(),
            places=tuple(_over(place) for place in self.places),
        )


def turned_over(part: Part) -> Part:
    """The pattern of the other hand."""
    over = not part.upside_down
    remarks = (*part.remarks, UPSIDE_DOWN) if over else tuple(r for r in part.remarks if r != UPSIDE_DOWN)
    return replace(mirrored(part), remarks=remarks, upside_down=over)


def _over(place: Place) -> Place:
    return replace(place, **{key: getattr(place, key) * OTHER_SIDE for key in ("at", "aft", "out", "up")})
