"""What the builder says of weights: densities of his own, what goes aboard, and the water."""

from __future__ import annotations

from dataclasses import dataclass
from enum import StrEnum


class Water(StrEnum):
    FRESH = "fresh"
    SALT = "salt"

    @property
    def density(self) -> float:
        """kg/m3. Nominal, as the trade takes them: 62.4 and 64.0 lb/ft3 are 999.6 and 1025.2."""
        return 1000.0 if self is Water.FRESH else 1025.0


@dataclass(frozen=True, slots=True)
class OwnDensity:
    """What the builder says of one material's weight."""

    material: str  # a plain name (`parts.materials.plain`)
    wood: str | None  # the wood of the handbook's table that it is as heavy as
    density: tuple[float, float] | None  # kg/m3, least and greatest


@dataclass(frozen=True, slots=True)
class Load:
    """One thing or person aboard, on the centre plane."""

    name: str
    weight: float  # kg
    from_fp: float  # mm
    height: float  # mm above base, of its weight


@dataclass(frozen=True, slots=True)
class AfloatRules:
    own: tuple[OwnDensity, ...] = ()
    loads: tuple[Load, ...] = ()  # in the order they come aboard
    water: Water = Water.FRESH
