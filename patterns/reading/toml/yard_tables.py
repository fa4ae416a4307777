"""The table of boat.toml that says which boards the yard has."""

from __future__ import annotations

from collections.abc import Iterator
from typing import Annotated

from pydantic import AfterValidator, PlainValidator, model_validator

from patterns.reading.toml.bench_sizes import both_units
from patterns.reading.toml.fields import Count, Lengths, Positive, Word, fault, one_of_enum
from patterns.reading.toml.toml_table import Table, needed, optional
from patterns.shop.stock.cut_list import dressed_from
from patterns.shop.stock.yard import Per, YardBoard

DEAREST = 1e6  # in any money, of any measure
MOST_KINDS = 100  # sizes of board in one line, beyond any yard


def _price(value: object) -> float:
    if isinstance(value, bool) or not isinstance(value, int | float) or not 0 < value < DEAREST:
        raise fault("a price, a number of more than 0 without a sign of money")
    return float(value)


def _few(lengths: tuple[float, ...]) -> tuple[float, ...]:
    if not 1 <= len(lengths) <= MOST_KINDS or len(set(lengths)) < len(lengths):
        raise fault(f"from 1 to {MOST_KINDS} lengths, each once")
    return lengths


Price = Annotated[float, PlainValidator(_price)]
Sizes = Annotated[Lengths, AfterValidator(_few)]


class YardTable(Table):
    material: Word = needed("their wood", "white oak")
    thickness: Positive = needed("thickness as sold, which is counted in board feet", "1 in")
    dressed: Positive | None = optional(
        "what both faces plane to; left out, 3/16 in less than thickness, from 2 in up 1/4 in less", "13/16 in"
    )
    widths: Sizes = needed("widths that the yard has", ["6 in", "8 in"])
    lengths: Sizes = needed("lengths that the yard has", ["8 ft", "12 ft"])
    count: Count | None = optional("how many of each size the yard has; left out, as many as you need", 4)
    price: Price | None = optional("price, a number", 9.5)
    per: Annotated[Per, one_of_enum(Per)] | None = optional("what the price is for", "board foot")

    @model_validator(mode="after")
    def _priced_by_a_measure(self) -> YardTable:
        if self.price is not None and self.per is None:
            raise fault(
                "per beside price: what the price is for, 'board foot' or another measure",
                f"price {self.price:g} and no per",
            )
        return self

    @model_validator(mode="after")
    def _dressed_is_thinner(self) -> YardTable:
        if self.dressed is not None and self.dressed > self.thickness:
            raise fault(
                "a dressed thickness no more than the thickness as sold",
                f"dressed {both_units(self.dressed)} and thickness {both_units(self.thickness)}",
            )
        if self.dressed is None and dressed_from(self.thickness) <= 0:
            raise fault("dressed too, for boards so thin", f"thickness {both_units(self.thickness)} and no dressed")
        return self


def yard_boards(tables: list[YardTable]) -> Iterator[YardBoard]:
    """Each size of board by itself."""
    for table in tables:
        for width in table.widths:
            for length in table.lengths:
                yield YardBoard(
                    material=table.material,
                    length=length,
                    width=width,
                    thickness=table.thickness,
                    dressed=dressed_from(table.thickness) if table.dressed is None else table.dressed,
                    count=None if table.count is None else int(table.count),
                    price=table.price,
                    per=table.per or Per.BOARD_FOOT,
                )
