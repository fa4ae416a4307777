"""A stick: wood between two faces along the planking, before it is cut to length; and how one is laid in the boat."""

from __future__ import annotations

from dataclasses import dataclass
from functools import cached_property

import numpy as np

from patterns.errors import ShapeError
from patterns.geometry.arrays import Floats
from patterns.geometry.development import Flat, develop
from patterns.geometry.ruled import Ruled, Signed, numbers_between, sound
from patterns.hull.planking.strakes import Face, Strake
from patterns.parts.asked.long_rules import LongRules
from patterns.parts.role import Role


@dataclass(frozen=True, slots=True)
class Cut:
    """Where a long piece ends."""

    signed: Signed
    against: str  # "stem, after face"
    mark: str = ""  # the line of a panel where what it is cut against stands; none where no panel bears one


Ends = tuple[Cut | None, Cut | None]
"""Where a long piece ends, fore and aft; None where it is the boat's own end."""


@dataclass(frozen=True, eq=False)
class Facet:
    """The lower part of a log's face against the planking, planed off to lie on the strake below."""

    line: str  # "chine 1"
    below: str  # what it lies on: "strake 2"
    breadth: float  # mm, of what lies there
    corner: Floats  # (n,) mm, t on each ruling where it begins, in the corner of both inside faces
    turn: Floats  # (n,) rad, off the rest of the face
    planed: Floats  # (n,) mm, of wood taken off at the lower edge


@dataclass(frozen=True, eq=False)
class Stick:
    """Wood between two faces of a skin, on the starboard side or on the centre line, without its ends."""

    strake: Strake  # whose rulings it follows
    near: Face  # against the planking
    far: Face
    width: float  # mm, of the face against the planking, square across
    facet: Facet | None = None
    fastened: float = 0.5  # where its fastening line runs, from its upper edge (0) to its lower (1)

    @property
    def ruled(self) -> Ruled:
        return self.strake.ruled

    @property
    def thickness(self) -> float:
        return abs(self.near.depth - self.far.depth)

    @property
    def inside(self) -> bool:
        """Whether it lies inside the planking."""
        return self.far.depth < self.near.depth

    @cached_property
    def flat(self) -> Flat:
        """Laid flat on the middle of its thickness, whose length bending keeps."""
        return develop(self.ruled, depth=(self.near.depth + self.far.depth) / 2)

    def points(self, face: Face, share: float) -> Floats:
        """(n, 3) mm, a line on a face, from its upper edge (0) to its lower (1)."""
        t = face.upper + share * (face.lower - face.upper)
        return self.ruled.middle + t[:, None] * self.ruled.along + face.depth * self.ruled.normal

    def met(self, cut: Signed, face: Face, share: float) -> float:
        """The ruling number where a surface across the boat cuts a line on a face."""
        return _met(cut, self.points(face, share))

    def run(self, face: Face, share: float, fore: float, aft: float) -> tuple[Floats, Floats]:
        """Places (s, t) along a line of a face between two ruling numbers."""
        s = numbers_between(fore, aft)
        ruled = self.ruled
        return s, sound(ruled.at(face.upper + share * (face.lower - face.upper), s), ruled.at(ruled.middle, s))


def _met(cut: Signed, points: Floats) -> float:
    clean = np.asarray(np.isfinite(points).all(axis=1))
    away = np.where(clean, cut(np.where(clean[:, None], points, 0.0)), np.nan)
    after = np.asarray(away > 0)
    i = int(after.argmax())
    if not after.any() or i == 0 or not np.isfinite(away[i - 1]):
        raise ShapeError("it does not run as far as the place where it should be cut")
    return i - 1 + float(away[i - 1] / (away[i - 1] - away[i]))


@dataclass(frozen=True, slots=True, eq=False)
class Laid:
    """A stick where it lies, and how it ends."""

    role: Role
    rules: LongRules
    stick: Stick
    outside: bool  # ends flush with the outside of stem and transom
    pair: bool
    remarks: tuple[str, ...]
    ends: Ends = (None, None)
