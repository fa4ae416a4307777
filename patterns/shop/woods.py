"""Published figures of woods, by the name a builder writes."""

from __future__ import annotations

import csv
import re
from dataclasses import dataclass
from functools import cache
from itertools import pairwise

from patterns.units.shared_data import shared_file

DRY = 12.0  # percent moisture of the handbook's dry wood
HANDBOOK = "Forest Products Laboratory, Wood Handbook, FPL-GTR-282 (2021)"
GRAIN_SOURCE = "ANC-18, Design of Wood Aircraft Structures (1944), Table 2-4"


@dataclass(frozen=True, slots=True)
class Wood:
    """Clear, straight-grained and dry; averages of small specimens."""

    species: str
    rupture: float  # GPa, in bending at 12 % moisture
    stiffness: float  # GPa, the same
    specific_gravity: float  # weight when dry over that of water in the room it takes up at 12 % moisture
    green: tuple[float, float] | None = None  # GPa, rupture and stiffness of green wood; None where not published
    meets_at: float = 25.0  # percent moisture, above which it is as weak as green

    @property
    def breaks_at(self) -> float:
        """Surface strain in bending at which it breaks by straight-line theory, at 12 % moisture."""
        return self.strain_at(DRY)

    def strain_at(self, moisture: float) -> float:
        """The same at another moisture content, percent.

        Source: the handbook named above, equation 5-3: P = P12 (P12 / Pg)^((12 - M) / (Mp - 12)), for rupture and for
        stiffness.
        """
        return self.property_at(0, moisture) / self.property_at(1, moisture)

    def property_at(self, which: int, moisture: float) -> float:
        """GPa, rupture (0) or stiffness (1) at a moisture content in percent."""
        dry = (self.rupture, self.stiffness)[which]
        if self.green is None:
            return dry
        share = (DRY - min(moisture, self.meets_at)) / (self.meets_at - DRY)
        return float(dry * (dry / self.green[which]) ** share)


def wood_called(material: str) -> Wood | None:
    """The wood of a builder's name for it: of several that answer to it the one that breaks soonest.

    Source: Forest Products Laboratory, Wood Handbook, FPL-GTR-282 (2021), Tables 5-3b and 5-5b.
    """
    return min(woods_called(material), key=lambda wood: wood.breaks_at, default=None)


def woods_called(material: str) -> tuple[Wood, ...]:
    """Every wood that answers to a builder's name for it; that wood alone where the name is its whole one."""
    named = _words(material)
    called = tuple(wood for wood in _woods() if named and named <= _words(wood.species))
    exact = tuple(wood for wood in called if _words(wood.species) == named)
    return exact or called


def same_wood(one: str, other: str) -> bool:
    """Whether two names a builder writes are of one wood."""
    return _words(one) == _words(other)


def strength_left(slope: float) -> float | None:
    """Share of the bending strength left where the grain runs out by a slope; None past the steepest published.

    Source: Army-Navy-Civil Committee, ANC-18, Design of Wood Aircraft Structures, June 1944, Table 2-4: a share of a
    design value that already allows 1 in 15. Between its rows straight lines over the slope.
    """
    rows = _slopes()
    if slope <= rows[0][0]:
        return rows[0][1]
    for (s0, left0), (s1, left1) in pairwise(rows):
        if slope <= s1:
            return left0 + (left1 - left0) * (slope - s0) / (s1 - s0)
    return None


def least_strength_left() -> float:
    """Share left at the steepest slope that is published; wood with its grain steeper has less."""
    return _slopes()[-1][1]


def _words(name: str) -> frozenset[str]:
    return frozenset(re.findall(r"[a-z]+", name.lower()))


def _rows(name: str) -> list[dict[str, str]]:
    lines = shared_file(name).read_text(encoding="utf-8").splitlines()
    return list(csv.DictReader(line for line in lines if not line.startswith("#")))


@cache
def _woods() -> tuple[Wood, ...]:
    return tuple(
        Wood(
            species=row["species"],
            rupture=float(row["mor_mpa"]) / 1000,
            stiffness=float(row["moe_gpa"]),
            specific_gravity=float(row["sg"]),
            green=(float(row["mor_green_mpa"]) / 1000, float(row["moe_green_gpa"])) if row["mor_green_mpa"] else None,
            meets_at=float(row["meets_at"]),
        )
        for row in _rows("woods.csv")
    )


@cache
def _slopes() -> tuple[tuple[float, float], ...]:
    """(slope, share left), the flattest first."""
    return tuple(
        sorted((1 / float(row["slope_1_in"]), float(row["mor_bending"]) / 100) for row in _rows("slope_of_grain.csv"))
    )
