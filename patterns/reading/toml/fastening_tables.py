"""The tables of boat.toml for fastenings, glue and finish; their defaults and sources: shared/fastening.csv."""

from __future__ import annotations

from collections.abc import Callable
from typing import Annotated, Any

from pydantic import PlainValidator, model_validator

from patterns.reading.toml.bench_sizes import Shank, ShortOf
from patterns.reading.toml.fields import Positive, YesNo, fault
from patterns.reading.toml.toml_table import Table, optional, taken
from patterns.shop.fastening.rules import FastenRules, FinishRules, rules


def _from_to(low: float, high: float, what: str) -> PlainValidator:
    def number(value: Any) -> float:
        if isinstance(value, bool) or not isinstance(value, int | float) or not low <= value <= high:
            raise fault(f"{what}, from {low:g} to {high:g}")
        return float(value)

    check: Callable[[Any], float] = number
    return PlainValidator(check)


Times = Annotated[float, _from_to(1, 10, "times the thickness")]
Percent = Annotated[float, _from_to(0, 90, "percent")]
Coats = Annotated[float, _from_to(0, 20, "coats")]
Cover = Annotated[float, _from_to(1, 2000, "square feet")]
Ounces = Annotated[float, _from_to(1, 40, "ounces a square yard")]
Pounds = Annotated[float, _from_to(5, 15, "pounds a US gallon")]


def _ruled(key: str) -> Any:
    """A key whose default, meaning and source stand in the shared table."""
    rule = rules()[key]
    number = rule.value.replace(".", "", 1).isdecimal()
    written = float(rule.value) if "." in rule.value else int(rule.value) if number else rule.value
    return taken(written, rule.means)


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
    paint: Cover = _ruled("finish.paint")
    waste_from: Percent = _ruled("finish.waste_from")
    waste_to: Percent = _ruled("finish.waste_to")
    epoxy_weight: Pounds = _ruled("finish.epoxy_weight")
    fillet: Positive | None = optional("radius of a fillet inside every chine that has no log", "1/2 in")
    tape: Positive | None = optional("width of tape along the same chines, inside and outside", "3 in")
    cloth: Ounces | None = optional("ounces a square yard of cloth over the outside", 6)

    @property
    def idle(self) -> frozenset[str]:
        """The book tells all of them with their sources, where it counts by them."""
        return frozenset(type(self).model_fields)

    @model_validator(mode="after")
    def _least_before_most(self) -> FinishTable:
        for least, most in (("glue_from", "glue_to"), ("waste_from", "waste_to")):
            low, high = getattr(self, least), getattr(self, most)
            if low > high:
                raise fault(f"{least} no more than {most}", f"{least} {low:g} and {most} {high:g}")
        return self


def fasten_rules(table: FasteningsTable, *, metric: bool) -> FastenRules:
    """As the shop counts by them."""
    return FastenRules(
        length_times=table.length_times,
        short_of=table.short_of,
        sheer_spacing=table.sheer_spacing,
        spare=table.spare,
        shank=table.shank,
        metric=metric,
        on_patterns=table.on_patterns,
    )


def finish_rules(table: FinishTable) -> FinishRules:
    """As the shop counts by them."""
    return FinishRules(
        glue=(table.glue_from, table.glue_to),
        coats=table.coats,
        sealer=table.sealer,
        paint_coats=table.paint_coats,
        paint=table.paint,
        waste=(table.waste_from, table.waste_to),
        epoxy_weight=table.epoxy_weight,
        fillet=table.fillet,
        tape=table.tape,
        cloth=table.cloth,
    )
