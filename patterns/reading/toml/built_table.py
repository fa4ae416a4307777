"""The table of boat.toml that says what of the boat is built already."""

from __future__ import annotations

from typing import Annotated, Any

from pydantic import BeforeValidator, Field

from patterns.reading.toml.fields import FileName, NotNegative, Word
from patterns.reading.toml.toml_table import Table, optional, taken


def _listed(value: Any) -> Any:
    return value if isinstance(value, list) else [value]


Parts = Annotated[
    tuple[Word, ...], BeforeValidator(_listed), Field(description='parts in quotes, such as ["stem", "transom"]')
]


class BuiltTable(Table):
    figures: FileName = taken("built.csv", "the table beside this file of what was measured at the strongback")
    within: NotNegative = taken("1/16 in", "how near you can measure; what is out by less is not heeded")
    cut: Parts | None = optional(
        "parts that are cut to the plan already, besides the frames that were measured; or the words their names begin "
        "with",
        ["stem", "transom"],
    )
