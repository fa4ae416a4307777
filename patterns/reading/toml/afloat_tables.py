"""The tables of boat.toml that the boat is weighed and floated by: densities of her materials, loads, the water."""

from __future__ import annotations

from typing import Annotated, Any

from pydantic import Field, PlainValidator, model_validator

from patterns.parts.materials import plain
from patterns.reading.toml.fields import Distance, Word, fault, one_of_enum
from patterns.reading.toml.toml_table import Table, needed, optional, taken
from patterns.shop.afloat.afloat_rules import AfloatRules, Load, OwnDensity, Water
from patterns.shop.woods import woods_called
from patterns.units.weights import A_DENSITY, A_WEIGHT, read_density, read_weight

LIGHTEST, HEAVIEST = 50.0, 1500.0  # kg/m3; lighter than any wood, and heavier than any that is built with
MOST_SPREAD = 3.0  # greatest over least density of one material; the lightest sheet and the heaviest are nearer
MOST_WEIGHT = 20_000.0  # kg, of one load; heavier than any boat this program is for


def _weight(value: Any) -> float:
    if not isinstance(value, str):
        raise fault(f"{A_WEIGHT}, in quotes")
    try:
        kg = read_weight(value)
    except ValueError as wanted:
        raise fault(str(wanted)) from None
    if not 0 < kg <= MOST_WEIGHT:
        raise fault(f"{A_WEIGHT}: more than 0 and no more than 44,000 lb (20,000 kg)")
    return kg


def _density(value: Any) -> tuple[float, float]:
    """The least and the greatest; one figure is both."""
    written = value if isinstance(value, list) else [value]
    if not 1 <= len(written) <= 2 or not all(isinstance(one, str) for one in written):
        raise fault(f'{A_DENSITY}, in quotes, or the least and the greatest: ["31 lb/ft3", "37 lb/ft3"]')
    try:
        figures = [read_density(one) for one in written]
    except ValueError as wanted:
        raise fault(str(wanted)) from None
    if not all(LIGHTEST <= one <= HEAVIEST for one in figures):
        raise fault("a density of wood, from 3 to 94 lb/ft3 (50 to 1500 kg/m3)")
    if figures[0] > figures[-1]:
        raise fault("the least density first, then the greatest")
    if figures[-1] > MOST_SPREAD * figures[0]:
        raise fault(f"the greatest density no more than {MOST_SPREAD:g} times the least: one material is not so unlike")
    return figures[0], figures[-1]


def _species(value: Any) -> str:
    if not isinstance(value, str) or not woods_called(value):
        raise fault('a wood of the table, such as "okoume" or "white oak"; else give density')
    return value


Weight = Annotated[float, PlainValidator(_weight), Field(description=A_WEIGHT)]
Density = Annotated[tuple[float, float], PlainValidator(_density), Field(description=A_DENSITY)]
Species = Annotated[str, PlainValidator(_species)]


class WoodTable(Table):
    material: Word = needed("a material as it is written in this file", "marine plywood")
    wood: Species | None = optional("the wood of the handbook's table whose density it has", "okoume")
    density: Density | None = optional(
        "its density, or the least and the greatest; weigh a sheet and divide by its volume",
        ["31 lb/ft3", "37 lb/ft3"],
    )

    @model_validator(mode="after")
    def _says_one_density(self) -> WoodTable:
        if (self.wood is None) == (self.density is None):
            raise fault("either wood, of the table, or density", "both" if self.wood is not None else "neither")
        return self


class LoadTable(Table):
    name: Word = needed("what it is; loads come aboard in the order written", "rower")
    weight: Weight = needed("its weight", "175 lb")
    at: Distance = needed("where its weight is, a distance from FP", "7-0-0")
    height: Distance = needed("height of its weight above base; of a seated person about 8 in over the seat", "1-8-0")


class AfloatTable(Table):
    water: Annotated[Water, one_of_enum(Water)] = taken(
        "fresh", "the water she floats in; in fresh water she floats deeper"
    )


def afloat_rules(woods: list[WoodTable] | None, loads: list[LoadTable] | None, afloat: AfloatTable) -> AfloatRules:
    """What the boat is weighed and floated by."""
    return AfloatRules(
        own=tuple(OwnDensity(plain(one.material), one.wood, one.density) for one in woods or ()),
        loads=tuple(Load(one.name, one.weight, one.at, one.height) for one in loads or ()),
        water=afloat.water,
    )
