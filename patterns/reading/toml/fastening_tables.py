"""The tables of boat.toml for fastenings, glue and finish; their defaults and sources: shared/fastening.csv."""

from __future__ import annotations

from dataclasses import dataclass
from typing import Annotated, Any

from pydantic import PlainValidator, ValidationInfo, model_validator

from patterns.reading.toml.bench_sizes import Shank, ShortOf
from patterns.reading.toml.fields import Positive, YesNo, fault
from patterns.reading.toml.toml_table import Table, optional, taken
from patterns.shop.fastening.rules import FastenRules, FinishRules, rules
from patterns.units.lengths import read_length
from patterns.units.weights import FOOT2, GALLON, METRIC, OUNCE_A_YARD2, POUND


@dataclass(frozen=True, slots=True)
class _Measure:
    """A bare number in the builder's units, which is kept in metric ones."""

    one: float  # of the metric unit, in one of the builder's in inches
    inches: str  # what is expected of him
    metric: str
    low: float  # in inches' units
    high: float

    def size(self, unit: str | None) -> float:
        return 1.0 if unit in METRIC else self.one

    def __call__(self, value: Any, info: ValidationInfo) -> float:
        unit = (info.context or {}).get("unit")
        metric = unit in METRIC
        low, high = (bound * self.one for bound in (self.low, self.high)) if metric else (self.low, self.high)
        written = _number(value, float(f"{low:.1g}"), float(f"{high:.1g}"), self.metric if metric else self.inches)
        return written * self.size(unit)


def _number(value: Any, low: float, high: float, what: str) -> float:
    if isinstance(value, bool) or not isinstance(value, int | float) or not low <= value <= high:
        raise fault(f"{what}, from {low:g} to {high:g}")
    return float(value)


def _from_to(low: float, high: float, what: str) -> PlainValidator:
    def number(value: Any) -> float:
        return _number(value, low, high, what)

    return PlainValidator(number)


def _coats(value: Any) -> int:
    if isinstance(value, bool) or not isinstance(value, int | float) or value not in range(MOST_COATS + 1):
        raise fault(f"a whole number of coats, from 0 to {MOST_COATS}")
    return int(value)


MOST_COATS = 20
AREA_A_POUND = _Measure(FOOT2 / POUND, "square feet a pound", "square metres a kg", 1, 2000)
AREA_A_GALLON = _Measure(FOOT2 / GALLON, "square feet a US gallon", "square metres a litre", 1, 2000)
CLOTH = _Measure(OUNCE_A_YARD2, "ounces a square yard", "grams a square metre", 1, 40)
EPOXY = _Measure(POUND / GALLON, "pounds a US gallon", "kg a litre", 5, 15)

Times = Annotated[float, _from_to(1, 10, "times the thickness")]
Percent = Annotated[float, _from_to(0, 90, "percent")]
Coats = Annotated[int, PlainValidator(_coats)]
Cover = Annotated[float, PlainValidator(AREA_A_POUND)]
PaintCover = Annotated[float, PlainValidator(AREA_A_GALLON)]
Grams = Annotated[float, PlainValidator(CLOTH)]
Density = Annotated[float, PlainValidator(EPOXY)]


def _ruled(key: str) -> Any:
    """A key whose default, meaning and source stand in the shared table; in metric units where the boat's are."""
    rule, metric = rules()[key], rules(metric=True)[key]
    means = rule.means if rule.means == metric.means else f"{rule.means}; in metric units {metric.means}"
    other = _written(metric.value) if metric.value != rule.value else None
    return taken(_written(rule.value), means, metric=other)


def _written(value: str) -> str | float:
    if not value.replace(".", "", 1).isdecimal():
        return value
    return float(value) if "." in value else int(value)


class FasteningsTable(Table):
    length_times: Times = _ruled("fastenings.length_times")
    short_of: ShortOf = _ruled("fastenings.short_of")
    sheer_spacing: Positive = _ruled("fastenings.sheer_spacing")
    spare: Percent = _ruled("fastenings.spare")
    shank: Shank | None = optional("diameter of their shank; left out, one is proposed by their length", "0.164 in")
    on_patterns: YesNo = taken(False, "true draws the fastening lines of panels on their patterns")

    @property
    def idle(self) -> frozenset[str]:
        """The book tells all of them with their sources, where it counts by them."""
        return frozenset(type(self).model_fields)


class FinishTable(Table):
    glue_from: Cover = _ruled("finish.glue_from")
    glue_to: Cover = _ruled("finish.glue_to")
    coats: Coats = _ruled("finish.coats")
    sealer: Cover = _ruled("finish.sealer")
    paint_coats: Coats = _ruled("finish.paint_coats")
    paint: PaintCover = _ruled("finish.paint")
    waste_from: Percent = _ruled("finish.waste_from")
    waste_to: Percent = _ruled("finish.waste_to")
    epoxy_weight: Density = _ruled("finish.epoxy_weight")
    fillet: Positive | None = optional("radius of a fillet inside every chine that has no log", "1/2 in")
    tape: Positive | None = optional("width of tape along the same chines, inside and outside", "3 in")
    cloth: Grams | None = optional(
        "weight of cloth over the outside, ounces a square yard; in metric units grams a square metre", 6, metric=200
    )

    @property
    def idle(self) -> frozenset[str]:
        """The book tells all of them with their sources, where it counts by them."""
        return frozenset(type(self).model_fields)

    @model_validator(mode="before")
    @classmethod
    def _in_its_units(cls, data: Any, info: ValidationInfo) -> Any:
        """In a metric boat what is left out is a default in metric units too."""
        if (info.context or {}).get("unit") not in METRIC or not isinstance(data, dict):
            return data
        keys = {key: key.partition(".")[2] for key in rules() if key.startswith("finish.")}
        return {**{name: _written(rules(metric=True)[key].value) for key, name in keys.items()}, **data}

    @model_validator(mode="after")
    def _least_before_most(self, info: ValidationInfo) -> FinishTable:
        one = AREA_A_POUND.size((info.context or {}).get("unit"))
        for least, most, size in (("glue_from", "glue_to", one), ("waste_from", "waste_to", 1.0)):
            low, high = (getattr(self, name) / size for name in (least, most))
            if low > high:
                raise fault(f"{least} no more than {most}", f"{least} {low:.4g} and {most} {high:.4g}")
        return self


def _said(table: Table, key: str, *, metric: bool) -> Any:
    """What holds for a key: as written, or the default of the boat's units."""
    name = key.split(".")[1]
    if name in table.model_fields_set or not metric:
        return getattr(table, name)
    default = _written(rules(metric=True)[key].value)
    return read_length(default, None).mm if isinstance(default, str) else default


def fasten_rules(table: FasteningsTable, *, unit: str | None, metric: bool) -> FastenRules:
    """As the shop counts by them.

    Parameters
    ----------
    unit : str or None
        The boat's, of which the defaults are.
    metric : bool
        Whether screws are sold in millimetres.
    """
    of_unit = unit in METRIC
    return FastenRules(
        length_times=table.length_times,
        short_of=_said(table, "fastenings.short_of", metric=of_unit),
        sheer_spacing=_said(table, "fastenings.sheer_spacing", metric=of_unit),
        spare=table.spare,
        shank=table.shank,
        metric=metric,
        on_patterns=table.on_patterns,
    )


def finish_rules(table: FinishTable, *, unit: str | None) -> FinishRules:
    """As the shop counts by them; defaults are those of the boat's units."""

    def said(name: str) -> Any:
        return _said(table, f"finish.{name}", metric=unit in METRIC)

    return FinishRules(
        glue=(said("glue_from"), said("glue_to")),
        coats=table.coats,
        sealer=said("sealer"),
        paint_coats=table.paint_coats,
        paint=said("paint"),
        waste=(table.waste_from, table.waste_to),
        epoxy_weight=said("epoxy_weight"),
        fillet=table.fillet,
        tape=table.tape,
        cloth=table.cloth,
    )
