"""What the bare hull weighs, part by part: the volume of each part's wood by the density of its material."""

from __future__ import annotations

from collections.abc import Callable, Iterable, Iterator, Sequence
from dataclasses import dataclass
from math import fsum

import numpy as np

from patterns.geometry.arrays import Floats
from patterns.geometry.short_repr import brief
from patterns.parts.in_the_boat import Placed, in_the_boat, round_planking
from patterns.parts.materials import NOT_STATED, plain
from patterns.parts.role import Role
from patterns.parts.whole import Job
from patterns.shop.afloat.afloat_rules import AfloatRules
from patterns.shop.woods import woods_called

CUBIC_METRE = 1e9  # mm3
MOIST = 0.12  # share of water by the weight of dry wood, at which the table's specific gravities hold
# Of one kind of wood, how far a board may be off the average: common practice, no single source. The handbook's own
# coefficient of variation of specific gravity is as much, from memory.
SPREAD = 0.10


ROWS, COLUMNS = 81, 241  # of the planking of a round hull, by which its volume is told to a tenth of a percent
NAMED = 2  # parts that are named where one key is missing for all of them


@dataclass(frozen=True, slots=True)
class Spread:
    """A figure that is not known exactly: the least it may be, the likely one, the greatest."""

    least: float
    likely: float
    most: float

    def times(self, factor: float) -> Spread:
        return Spread(self.least * factor, self.likely * factor, self.most * factor)

    def plus(self, more: float) -> Spread:
        return Spread(self.least + more, self.likely + more, self.most + more)


def summed(spreads: Iterable[Spread]) -> Spread:
    """All together. One yard's boards may all be light, or all heavy, so the ends add up as they are."""
    listed = list(spreads)
    return Spread(*(fsum(getattr(one, end) for one in listed) for end in ("least", "likely", "most")))


@dataclass(frozen=True, slots=True, eq=False)
class Weighed:
    """One part in the boat; of one made several times over, all of it."""

    title: str
    name: str  # without its hand
    material: str
    material_key: str  # of boat.toml, where that is said
    volume: float  # mm3
    centre: Floats  # (3,) mm
    density: Spread | None  # kg/m3; None where nothing says

    __repr__ = brief

    @property
    def weight(self) -> Spread | None:
        """Kg."""
        return self.density and self.density.times(self.volume / CUBIC_METRE)


@dataclass(frozen=True, slots=True)
class NoDensity:
    """A material whose weight nothing tells."""

    material: str  # as boat.toml has it, or NOT_STATED
    key: str  # the key that would say it
    parts: tuple[str, ...]

    @property
    def cure(self) -> str:
        """What to write, where."""
        names = ", ".join(self.parts) if len(self.parts) <= NAMED else f"{self.parts[0]} and {len(self.parts) - 1} more"
        if self.material == NOT_STATED:
            return f"{self.key}: not given, so {names} cannot be weighed. Write it."
        return (
            f"{self.material}: of no known density, so {names} cannot be weighed. Write a table {self.key} with "
            f'material = "{self.material}" and its density.'
        )


@dataclass(frozen=True, slots=True, eq=False)
class HullWeight:
    """The bare hull: every part that stays in the boat, without fastenings, glue, paint and fittings."""

    parts: tuple[Weighed, ...]
    left_out: tuple[str, ...]  # parts whose place in the boat is not known

    __repr__ = brief

    @property
    def no_density(self) -> tuple[NoDensity, ...]:
        """Materials that nothing gives a density of, each once."""
        found: dict[tuple[str, str], list[str]] = {}
        for one in self.parts:
            if one.density is None:
                key = one.material_key if one.material == NOT_STATED else "[[wood]]"
                names = found.setdefault((one.material, key), [])
                names += [one.name] * (one.name not in names)
        return tuple(NoDensity(material, key, tuple(names)) for (material, key), names in found.items())

    @property
    def known(self) -> bool:
        """Whether all of it can be weighed."""
        return bool(self.parts) and all(one.density for one in self.parts)

    @property
    def total(self) -> Spread:
        """Kg, of the parts that can be weighed."""
        return summed(one.weight for one in self.parts if one.weight)

    @property
    def centre(self) -> Floats:
        """(3,) mm, of the parts that can be weighed, by their likely weights."""
        weights = [one.weight.likely for one in self.parts if one.weight]
        places = np.array([one.centre for one in self.parts if one.weight])
        return np.array([fsum(weights * places[:, axis]) for axis in range(3)]) / fsum(weights)


def hull_weight(job: Job, placed: Sequence[Placed], rules: AfloatRules) -> HullWeight:
    """The bare hull weighed by its parts.

    Parameters
    ----------
    placed : sequence
        The wood that stays in the boat (`kept_in_boat`).
    """
    density = _density_of(job, rules)
    there = {one.part.title for one in placed} | {timber.of for timber in job.timbers} | _moulds(job)
    return HullWeight(
        parts=(*_round_planking(job, density), *(_weighed(one, density) for one in placed)),
        left_out=tuple(part.title for part in job.parts if part.title not in there),
    )


def kept_in_boat(job: Job) -> tuple[Placed, ...]:
    """The wood of every part but moulds, and what belongs to them: those come out of the boat again."""
    moulds = _moulds(job)
    return tuple(one for one in in_the_boat(job) if one.part.title not in moulds)


def _moulds(job: Job) -> frozenset[str]:
    moulds = {part.title for part in job.parts if part.role is Role.MOULD}
    return frozenset(part.title for part in job.parts if part.title in moulds or part.of in moulds)


def _round_planking(job: Job, density: Callable[[str], Spread | None]) -> Iterator[Weighed]:
    """The planking of a round hull, which no pattern is made of; what lies on its moulds alone is not counted."""
    body = round_planking(job, rows=ROWS, columns=COLUMNS)
    if body is not None:
        planking = job.boat.skin.planking[0]
        name, key = "planking", "[planking.side] material"
        yield Weighed(name, name, planking.material, key, body.volume, body.centroid, density(planking.material))


def _weighed(one: Placed, density: Callable[[str], Spread | None]) -> Weighed:
    part = one.part
    return Weighed(
        part.title,
        part.name,
        part.material,
        part.material_key,
        one.wood.volume,
        one.wood.centroid,
        density(part.material),
    )


def _density_of(job: Job, rules: AfloatRules) -> Callable[[str], Spread | None]:
    """What gives kg/m3 by a material's name: the builder's own figure first, then the handbook's wood of that name."""
    own = {one.material: one for one in rules.own}

    def density(material: str) -> Spread | None:
        said = own.get(plain(material))
        if said and said.density:
            least, most = said.density
            return Spread(least, (least + most) / 2, most)
        if said and said.wood:
            return table_density(said.wood)
        # Sheets hold glue, and veneers of more than one wood: no board's figure is theirs.
        return None if material in job.boat.plywood else table_density(material)

    return density


def table_density(name: str) -> Spread | None:
    """Kg/m3 at 12 % moisture of a wood by its name; of several woods that answer to it from the lightest on.

    Source: Forest Products Laboratory, Wood Handbook, FPL-GTR-282 (2021): the density is 1000 G (1 + M/100), chapter 4;
    specific gravities G at 12 %, Tables 5-3b and 5-5b.
    """
    figures = [1000 * wood.specific_gravity * (1 + MOIST) for wood in woods_called(name)]
    if not figures:
        return None
    least, most = min(figures), max(figures)
    return Spread(least * (1 - SPREAD), (least + most) / 2, most * (1 + SPREAD))
