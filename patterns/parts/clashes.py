"""Pieces of wood inside the planking that would lie in one place: found section by section, and told."""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from dataclasses import dataclass
from itertools import combinations

import numpy as np
import shapely
from shapely import Polygon
from shapely.geometry.base import BaseGeometry

from patterns.geometry.cuts import station_plane
from patterns.parts.asked.fitting_rules import ThwartRules
from patterns.parts.cautions import Caution
from patterns.parts.long.long_pieces import LongPiece
from patterns.parts.long.solids import Solid
from patterns.parts.long.v_keel import VKeel
from patterns.parts.role import Role
from patterns.units.lengths import write_length

APART = 15.0  # mm between the stations looked at
DEEP = 1.0  # mm two pieces must reach into each other: less is planed off without thought
ON_CENTRE = frozenset((Role.KEEL_BATTEN, Role.KEELSON))
FAR = 1e5  # mm, past the planking of any boat


@dataclass(frozen=True, slots=True, eq=False)
class _Wood:
    """A piece on the starboard side or on the centre line, from where to where it runs, mm from FP."""

    name: str
    first: float
    last: float
    role: Role
    solid: Solid | None  # None of a thwart
    level: tuple[float, float] = (0.0, 0.0)  # mm above base, of a thwart: its underside and its top

    @property
    def called(self) -> str:
        """As it is called in a sentence: "the keelson", "thwart 1"."""
        return self.name if self.name[-1].isdigit() else f"the {self.name}"

    def section(self, x: float) -> BaseGeometry:
        """At a station, y to starboard and z up; nothing where it has none whole there."""
        if self.solid is None:  # out to the planking, which all else lies inside too
            return shapely.box(0.0, self.level[0], FAR, self.level[1])
        plane = station_plane(x, facing_aft=True)
        return Polygon(self.solid.cut(plane)).buffer(0.0) if self.solid.reaches(plane) else Polygon()


def clashes(
    long: Sequence[LongPiece], keels: Sequence[VKeel], thwarts: Sequence[ThwartRules], *, show: str
) -> tuple[Caution, ...]:
    """A warning for each two pieces that would run into each other, with both names and the place."""
    wood = tuple(_wood(long, keels, thwarts))
    return tuple(caution for one, other in combinations(wood, 2) for caution in _clash(one, other, show))


def _wood(long: Sequence[LongPiece], keels: Sequence[VKeel], thwarts: Sequence[ThwartRules]) -> Iterator[_Wood]:
    for piece in long:
        if piece.inside and piece.part.hand != "port":
            # Its solid runs on past the ends of the piece, and is on starboard whatever the hand.
            first, last = (float(place.at[0]) for place in (piece.places[0], piece.places[-1]))
            yield _Wood(piece.name, first, last, piece.part.role, piece.solid)
    for keel in keels:
        yield _Wood(keel.name, keel.places[0].from_fp, keel.places[-1].from_fp, keel.part.role, keel.solid)
    for thwart in thwarts:
        level = (thwart.height - thwart.thickness, thwart.height)
        yield _Wood(thwart.name, thwart.at, thwart.at + thwart.width, Role.THWART, None, level)


def _clash(one: _Wood, other: _Wood, show: str) -> Iterator[Caution]:
    first, last = max(one.first, other.first), min(one.last, other.last)
    roles = {one.role, other.role}
    # A thwart lies on a riser, whose top is planed level for it. Two thwarts are the builder's affair.
    if last - first < DEEP or roles in ({Role.THWART}, {Role.THWART, Role.RISER}):
        return
    x = np.linspace(first, last, max(2, int(np.ceil((last - first) / APART)) + 1))
    met = [at for at in x.tolist() if _overlap(one.section(at), other.section(at))]
    if met:
        low, high = (write_length(at, show) for at in (met[0], met[-1]))
        where = f"at {low}" if low == high else f"from {low} to {high}"
        cure = _cure(one, other)
        yield Caution(one.name, f"it runs into {other.called} {where} aft of FP: both lie in one place. {cure}")


def _cure(one: _Wood, other: _Wood) -> str:
    if other.role is Role.THWART:
        return f"Move {other.name} up or down, or cut its ends round {one.called}."
    if other.role in ON_CENTRE and one.role is Role.LOG:
        return f"Taper the {other.name} there, so that it fits between the two logs."
    return "Move one of them, or make one smaller."


def _overlap(one: BaseGeometry, other: BaseGeometry) -> bool:
    return one.intersects(other) and not one.intersection(other).buffer(-DEEP / 2).is_empty
