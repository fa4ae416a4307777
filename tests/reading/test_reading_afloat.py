"""Densities, loads and water as boat.toml gives them."""

from __future__ import annotations

from pathlib import Path

import pytest
from changed_saltmeadow import read

from patterns.errors import InputError
from patterns.shop.afloat.afloat_rules import Water
from patterns.units.weights import POUND

ROWER = 'name   = "rower"\nweight = "175 lb"\nat     = "6-2-0"'
PLY = 'density  = ["27 lb/ft3", "34 lb/ft3"]'


def test_loads_come_aboard_in_the_order_written(tmp_path: Path) -> None:
    rules = read(tmp_path).afloat
    assert [one.name for one in rules.loads] == ["rower", "passenger", "oars, anchor and gear"]
    assert rules.loads[0].weight == pytest.approx(175 * POUND)
    assert rules.loads[0].from_fp == pytest.approx(74 * 25.4)
    assert rules.water is Water.FRESH


def test_one_density_is_least_and_greatest(tmp_path: Path) -> None:
    [ply] = read(tmp_path, (PLY, 'density = "500 kg/m3"')).afloat.own
    assert ply.density == (500.0, 500.0)


@pytest.mark.parametrize(
    ("changes", "wanted"),
    [
        (('weight = "175 lb"', 'weight = "175"'), "[[load]] 1 weight"),
        (('weight = "175 lb"', 'weight = "175"'), "a weight such as 175 lb or 80 kg"),
        (('weight = "175 lb"', 'weight = "90000 lb"'), "more than 0 and no more than"),
        (('at     = "6-2-0"', 'at     = "60-2-0"'), "a distance from FP aboard"),
        ((PLY, 'density = ["34 lb/ft3", "27 lb/ft3"]'), "the least density first, then the greatest"),
        (
            (PLY, 'density = ["34 lb/ft3", "27 lb/ft3"]'),
            'found ["34 lb/ft3", "27 lb/ft3"], expected the least density first',
        ),
        ((PLY, 'density = ["10 lb/ft3", "40 lb/ft3"]'), "no more than 3 times the least"),
        ((PLY, f'{PLY}\nwood = "okoume"'), "found both, expected either wood"),
        (
            ("[[wood]]", '[[wood]]\nmaterial = "marine plwood"\nwood = "okoume"\n[[wood]]'),
            "found 'marine plwood', expected a material of this file: one of 'white oak', 'marine plywood'",
        ),
        (
            ("[[wood]]", '[[wood]]\nmaterial = "marine plwood"\nwood = "okoume"\n[[wood]]'),
            "did you mean 'marine plywood'?",
        ),
        (('name   = "passenger"', 'name   = "Rower"'), "name: found 'Rower' again, expected a name for each load"),
        ((PLY, 'density = "34 lb"'), "a density such as 34 lb/ft3 or 550 kg/m3"),
        ((PLY, 'density = "3000 kg/m3"'), "a density of wood"),
        ((PLY, 'wood = "okume"'), "a wood of the table"),
        ((PLY, f'{PLY}\nwood = "okoume"'), "either wood, of the table, or density"),
        ((PLY, f'{PLY}\n[[wood]]\nmaterial = "Marine  plywood"\nwood = "okoume"'), "each material once"),
        (("[[wood]]", '[afloat]\nwater = "brackish"\n[[wood]]'), "one of 'fresh', 'salt'"),
    ],
)
def test_faults_of_weights_are_told(tmp_path: Path, changes: tuple[str, str], wanted: str) -> None:
    with pytest.raises(InputError) as caught:
        read(tmp_path, changes)
    assert wanted in str(caught.value)
