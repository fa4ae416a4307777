"""How the boat floats: bare, and with her loads as they come aboard one after another."""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass
from math import fsum

import numpy as np

from patterns.geometry.arrays import Floats
from patterns.geometry.floating import Body, Immersed, Level, immersed, rests_at
from patterns.geometry.short_repr import brief
from patterns.hull.planking.outside import outside_body
from patterns.parts.whole import Job
from patterns.shop.afloat.afloat_rules import AfloatRules, Load, Water
from patterns.shop.afloat.weights import CUBIC_METRE, HullWeight, Spread, hull_weight, kept_in_boat

BARE = "bare hull"


@dataclass(frozen=True, slots=True, eq=False)
class Float:
    """The boat at rest, upright athwart."""

    level: Level
    under: Immersed
    draft: float  # mm, of the deepest wood below the water
    planking_draft: float  # mm, of the deepest planking
    freeboard: float  # mm, least height of the sheer above the water; negative where it is under
    least_at: float  # mm from FP, where that is
    ends: tuple[float, float]  # mm, freeboard at the sheer's fore and after end
    marks: tuple[float, float]  # mm above base, the water at the fore and after end of the sheer
    by_stern: float  # mm that the water stands higher at the after end of the sheer than at its fore end

    __repr__ = brief

    @property
    def swamps(self) -> bool:
        """Whether the sheer is under water somewhere, so that she fills."""
        return self.freeboard < 0


@dataclass(frozen=True, slots=True, eq=False)
class Condition:
    """The boat with what is aboard, and how she floats at her least, likely and greatest weight of hull."""

    name: str
    loads: tuple[Load, ...]
    weight: Spread  # kg, all together
    centre: Floats  # (3,) mm, with the likely hull
    floats: tuple[Float | None, Float | None, Float | None]  # None where no level bears the weight

    __repr__ = brief

    @property
    def likely(self) -> Float | None:
        return self.floats[1]

    @property
    def swamps(self) -> bool:
        """Whether she fills, at any weight that her hull may have."""
        return any(one is None or one.swamps for one in self.floats)


@dataclass(frozen=True, slots=True, eq=False)
class Afloat:
    """A boat's weight and all that follows from it."""

    hull: HullWeight
    rules: AfloatRules
    conditions: tuple[Condition, ...]  # bare, and after each load that comes aboard; none where it cannot be weighed

    __repr__ = brief

    @property
    def swamped(self) -> tuple[Condition, ...]:
        """Those in which she fills."""
        return tuple(one for one in self.conditions if one.swamps)


def afloat(job: Job, rules: AfloatRules) -> Afloat:
    """A boat weighed by her parts and floated.

    Raises
    ------
    ShapeError
        Where the skin does not reach an end.
    """
    placed = kept_in_boat(job)
    hull = hull_weight(job, placed, rules)
    if not hull.known:
        return Afloat(hull, rules, ())
    reach = np.concatenate([one.wood.points for one in placed])
    return Afloat(hull, rules, tuple(conditions(hull, rules, outside_body(job.hull), reach)))


def conditions(hull: HullWeight, rules: AfloatRules, body: Body, reach: Floats) -> Iterator[Condition]:
    """A hull that can be weighed, bare and with each load that comes aboard.

    Parameters
    ----------
    reach : (n, 3) mm
        Points of all her wood, of which the deepest is her draft.
    """

    def at_rest(own: float, aboard: tuple[Load, ...]) -> Float | None:
        weight = own + fsum(load.weight for load in aboard)
        level = rests_at(body, displaced(weight, rules.water), centre_of(own, hull.centre, aboard))
        return None if level is None else float_at(body, level, reach)

    total = hull.total
    for count in range(len(rules.loads) + 1):
        aboard = rules.loads[:count]
        yield Condition(
            name=f"with {', '.join(load.name for load in aboard)}" if count else BARE,
            loads=aboard,
            weight=total.plus(fsum(load.weight for load in aboard)),
            centre=centre_of(total.likely, hull.centre, aboard),
            floats=(at_rest(total.least, aboard), at_rest(total.likely, aboard), at_rest(total.most, aboard)),
        )


def displaced(weight: float, water: Water) -> float:
    """mm3 of water that a weight in kg displaces."""
    return weight / water.density * CUBIC_METRE


def centre_of(hull: float, hull_at: Floats, aboard: tuple[Load, ...]) -> Floats:
    """(3,) mm, the centre of a hull of so many kg and of what is aboard; on the centre plane."""
    weights = np.array([hull, *(load.weight for load in aboard)])
    places = np.array([(hull_at[0], 0.0, hull_at[2]), *((load.from_fp, 0.0, load.height) for load in aboard)])
    return np.asarray(weights @ places / weights.sum())


def float_at(body: Body, level: Level, reach: Floats) -> Float:
    """What is to be told of a boat at rest.

    Parameters
    ----------
    reach : (n, 3) mm
        Points of all her wood, of which the deepest is her draft.
    """
    rim = body.mesh.points[np.unique(body.mesh.triangles[body.lid])]
    free = level.above(rim)
    fore, aft = rim[rim[:, 0].argmin()], rim[rim[:, 0].argmax()]
    least = int(free.argmin())
    marks = level.at(float(fore[0])), level.at(float(aft[0]))
    planking = -float(level.above(body.mesh.points).min())
    return Float(
        level=level,
        under=immersed(body, level),
        draft=max(planking, -float(level.above(reach).min())),
        planking_draft=planking,
        freeboard=float(free[least]),
        least_at=float(rim[least, 0]),
        ends=(float(level.above(fore)), float(level.above(aft))),
        marks=marks,
        by_stern=marks[1] - marks[0],
    )
