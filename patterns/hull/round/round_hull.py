"""A round-bilged hull: one surface from rabbet to sheer and from end to end, and what it is known by."""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import dataclass, field

import numpy as np

from patterns.geometry.arrays import Floats
from patterns.geometry.short_repr import brief
from patterns.geometry.tensor_skins import SkinPoints, TensorSkin
from patterns.hull.build import Diagonal, EndFace, StemFace
from patterns.hull.doubts.judged_rows import Suspect
from patterns.hull.offsets import Offsets

Band = Callable[[Floats, Floats, Floats], Floats]  # of u (n,), v (n,) and directions (n, 2) of y and z: (n,) mm


@dataclass(frozen=True, slots=True)
class FairedFigure:
    """One figure of the table and what the surface makes of it."""

    line: str  # "sheer", "keel", "waterline 200", "buttock 150", "diagonal A", "chine"
    view: str  # HEIGHT or HALF_BREADTH, the block of the table; along a diagonal it is HALF_BREADTH too
    column: str
    given: float  # mm: above base, off the centre plane or along the diagonal
    faired: float  # mm, the same of the surface; NaN where the surface has no such place
    limit: float  # mm it may move; 0 locked, infinite where it is left out
    held: bool = False  # whether the limit held the surface back
    left_out: bool = False  # whether the surface heeds it
    further: float = 0.0  # mm beyond its limit that the surface would lie without any limits, where one held it

    @property
    def moved(self) -> float:
        """mm, positive up, out or along."""
        return self.faired - self.given


def _band_unknown(u: Floats, v: Floats, ways: Floats) -> Floats:
    return np.full(len(u), np.nan)


@dataclass(frozen=True, eq=False)
class RoundHull:
    """The starboard half of a round hull, to the face of the planking that the table gives.

    The skin's u = 0 is the fore end (stem, or bow transom), u = 1 the after end; v = 0 the rabbet along keel and posts,
    v = 1 the sheer. Corners of the skin (`TensorSkin.corners`) are the table's chines, from the keel up.
    """

    skin: TensorSkin
    offsets: Offsets  # as given
    fore: EndFace
    aft: EndFace
    keel_half: float  # mm, half siding of the keel at the rabbet; 0 where planks of both sides meet
    fore_halves: tuple[float, float]  # mm, half breadth of the skin at the fore end: at the sheer, at the foot
    aft_halves: tuple[float, float]  # mm, at the after end
    diagonals: tuple[Diagonal, ...] = ()
    figures: tuple[FairedFigure, ...] = ()  # every figure of the table, in its order
    guessed: tuple[str, ...] = ()  # columns of transoms whose section the table does not give
    within_limits: bool = (
        True  # whether every figure lies within its limit; limits finer than the table may not allow it
    )
    band: Band = field(default=_band_unknown)
    """How far the skin may be out, 19 times of 20, at places and in directions across the boat (y, z), unit length; NaN
    where nobody can say."""

    joint: Band | None = None
    """How places may be out together: as `band`, (n, n) mm^2; None where nobody can say."""
    suspects: tuple[Suspect, ...] = ()  # figures that the rest of the table denies, the surest first

    __repr__ = brief

    def may_be_out(self, places: SkinPoints) -> Floats:
        """(n,) mm, how far a section may be out square to itself at places of the skin, 19 times of 20."""
        ways = places.normals[:, 1:]
        return self.band(places.u, places.v, ways / np.hypot(*ways.T)[:, None])

    @property
    def keel_ends_on(self) -> tuple[bool, bool]:
        """Whether the fore end and the after end are posts (stem, sternpost), which the planking ends on."""
        return isinstance(self.fore, StemFace), isinstance(self.aft, StemFace)

    @property
    def depth(self) -> float:
        """mm from the lowest of the rabbet to the highest of the sheer."""
        u = np.linspace(0.0, 1.0, 41)
        low, high = (self.skin.at(u, np.full(41, v))[:, 2] for v in (0.0, 1.0))
        return float(high.max() - low.min())
