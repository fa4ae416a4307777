"""Every key of boat.toml says what it means, its example is one, and the guide's page is what the models say."""

from __future__ import annotations

from typing import Any

import pytest
from commanded import ROOT
from pydantic import BaseModel, ValidationError

from patterns.job.keys_text import keys_page
from patterns.reading.toml.boat_tables import BoatToml
from patterns.reading.toml.examples import in_units
from patterns.reading.toml.faults import model_in
from patterns.reading.toml.planking_tables import StrakeTable
from patterns.reading.toml.reference import KeySaid, TableSaid, tables_said

KEYS = [(table, key) for table in tables_said() for key in table.keys]
# Keys that another must stand beside, or may not stand with; the models say so.
TOGETHER = {
    "fairing": {"line": "sheer", "lock": True},
    "stringer": {"below_sheer": "6 in"},
    "wood": {"wood": "okoume"},
    "plank_lines": {"count": 3},
    "stock.yard": {"per": "board foot"},
    "stock.sheets": {"thickness": "3/8 in", "material": "marine plywood"},
    "stock.boards": {"lower": [["0 in", "1 in"], ["8 ft", "2 in"]], "upper": [["0 in", "7 in"], ["8 ft", "8 in"]]},
}
APART = {
    ("fairing", "within"): "lock",
    ("fairing", "leave_out"): "lock",
    ("stringer", "from_center"): "below_sheer",
    ("wood", "density"): "wood",
    ("plank_lines", "widest"): "count",
    ("plank_lines", "breadths"): "count",
    ("plank_lines", "strip"): "count",
}


def model_of(heading: str) -> type[BaseModel]:
    """The model of a table, found by walking the models from the top."""
    model: type[BaseModel] = BoatToml
    for name in heading.removesuffix(".A").split("."):
        found = StrakeTable if name == "strake_2" else model_in(model.model_fields[name].annotation)
        assert found is not None
        model = found
    return model


def example_of(table: TableSaid, key: KeySaid, units: str | None) -> dict[str, Any]:
    """The table with this key, those it must have, and those that the key must stand beside."""
    beside = dict(TOGETHER.get(table.heading, {}))
    beside.pop(APART.get((table.heading, key.name), ""), None)
    needed = {one.name: one.example for one in table.keys if one.needed}
    return {name: in_units(value, units) for name, value in {**needed, **beside, key.name: key.example}.items()}


@pytest.mark.parametrize("units", [None, "mm"])
@pytest.mark.parametrize(("table", "key"), KEYS, ids=lambda one: getattr(one, "name", getattr(one, "heading", "")))
def test_an_example_is_what_a_builder_may_write(table: TableSaid, key: KeySaid, units: str | None) -> None:
    model_of(table.heading).model_validate(example_of(table, key, units), context={"unit": None})


@pytest.mark.parametrize(("table", "key"), KEYS, ids=lambda one: getattr(one, "name", getattr(one, "heading", "")))
def test_a_key_is_needed_where_its_table_is_refused_without_it(table: TableSaid, key: KeySaid) -> None:
    written = example_of(table, key, None)
    del written[key.name]
    try:
        model_of(table.heading).model_validate(written, context={"unit": None})
        refused = False
    except ValidationError as error:
        refused = any(detail["type"] == "missing" for detail in error.errors())
    assert refused is key.needed


def test_every_key_of_the_models_is_said_once() -> None:
    def names(model: type[BaseModel], above: str) -> list[str]:
        found = []
        for name, field in model.model_fields.items():
            inner = model_in(field.annotation)
            own = f"{above}{field.alias or name}"
            found += names(inner, f"{own}.") if inner else [own]
        return found

    said = [
        f"{table.heading.removesuffix('.A')}.{key.name}" for table, key in KEYS if table.heading != "planking.strake_2"
    ]
    assert sorted(said) == sorted(names(BoatToml, ""))
    assert len(said) == len(set(said)) > 200


def test_the_words_a_key_may_be_are_those_its_model_takes() -> None:
    for table, key in KEYS:
        for word in key.choices:
            model_of(table.heading).model_validate(
                {**example_of(table, key, None), key.name: word}, context={"unit": None}
            )


def test_the_guides_page_of_keys_is_what_the_models_say() -> None:
    page = (ROOT / "shared" / "guide" / "keys.md").read_text(encoding="utf-8")
    assert page == keys_page(), "run tests/bench/make_keys.py"
