"""Sizes of the saw and of wood beside a cut: what a real saw has is taken, a slip of a unit is refused at its key."""

from __future__ import annotations

import re
from pathlib import Path

import numpy as np
import pytest
from changed_saltmeadow import read

from patterns.errors import InputError

# Where each key stands in the sample, what it has there, and mm that saws on sale have, fine pull saws to beam saws.
SAW = {
    "kerf": ('kerf                = "1/16 in"', 1.2, 4.8),
    "plate": ('plate               = "0.047 in"', 0.3, 1.58),
    "blade_diameter": ('blade_diameter      = "7 1/4 in"', 85.0, 415.0),
    "shoe_length": ('shoe_length         = "11 in"', 150.0, 600.0),
    "deepest": ("[stock]", 20.0, 92.0),
    "pins": ("[stock]", 50.0, 275.0),
    "holding": ("[stock]", 3.5, 50.0),
    "planing": ("[inwale]", 0.0, 10.0),
}
# A saw with one of these at its largest needs the others as they come with it.
OTHERS = {"kerf": ("plate", 0.6), "blade_diameter": ("deepest", 40.0), "shoe_length": ("pins", 100.0)}

GUIDE = '[[0, "5 3/8 in"], [5, "5 5/16 in"], [10, "5 1/4 in"], [15, "5 3/16 in"], [20, "5 1/8 in"]]'


def _with(key: str, written: str) -> list[tuple[str, str]]:
    old = SAW[key][0]
    if key in ("deepest", "pins"):
        return [("[stock]", f"{key} = {written}\n\n[stock]")]
    return [(old, f"{old}\n{key} = {written}" if old.startswith("[") else f"{key} = {written}")]


def _mm(mm: float) -> str:
    return f'"{mm:.4f} mm"'


@pytest.mark.parametrize("key", SAW)
@pytest.mark.parametrize("seed", range(4))
def test_what_a_real_saw_has_is_taken(tmp_path: Path, key: str, seed: int) -> None:
    random = np.random.default_rng(seed)
    changes = _with(key, _mm(float(random.uniform(*SAW[key][1:]))))
    if key in OTHERS:
        other, mm = OTHERS[key]
        changes += _with(other, _mm(mm))
    assert read(tmp_path, *changes).bench.saw is not None


@pytest.mark.parametrize("key", SAW)
@pytest.mark.parametrize("seed", range(6))
def test_what_no_saw_has_is_refused_at_its_key_alone(tmp_path: Path, key: str, seed: int) -> None:
    random = np.random.default_rng(100 + seed)
    low, high = SAW[key][1:]
    beyond = (
        _mm(high * float(random.uniform(10.0, 1000.0))),
        _mm(-float(random.uniform(0.01, 3000.0))),
        _mm(low / float(random.uniform(200.0, 1000.0))) if low else "-1",
        "nan",
        "-inf",
        '"inf in"',
    )[seed]
    with pytest.raises(InputError) as caught:
        read(tmp_path, *_with(key, beyond))
    [problem] = caught.value.problems
    assert re.fullmatch(rf"boat\.toml, line \d+, \[\w+\] {key}", problem.cell)
    # Letters that are no number are no length; every other size is told what is expected and how large.
    assert re.search(r"from (0|[\d.]+ in \([\d.]+ mm\)) to [\d.]+ in \([\d.]+ mm\)($|; with less)", problem.wanted) or (
        seed >= 3 and "a length such as" in problem.wanted
    )


@pytest.mark.parametrize(
    ("changes", "key", "wanted"),
    [
        (_with("kerf", '"2 in"'), "kerf", "the width of a saw's cut, from 0.01 in (0.254 mm) to 0.25 in (6.35 mm)"),
        (_with("plate", '"1.7 mm"'), "plate", "a blade's body no thicker than the kerf of 0.0625 in (1.58"),
        (_with("shoe_length", '"3 m"'), "shoe_length", "the length of a saw's shoe, from 3 in (76.2 mm)"),
        (
            _with("pins", '"11 in"'),
            "pins",
            "two pins that stand within the shoe, no more than 10.88 in (276.2 mm) apart",
        ),
        (_with("holding", "0"), "holding", "from 0.125 in (3.175 mm) to 4 in (101.6 mm); with less the blade runs out"),
        (
            [("[stock]", "tilts_to = 0\n\n[stock]")],
            "tilts_to",
            "from 15 to 60; if its shoe is fixed, leave tilts_to out",
        ),
        (
            [("[stock]", "tilts_to = 15\n\n[stock]")],
            "tilts_to",
            "in every test cut of guide, or a tilts_to of 20 or more",
        ),
        ([('[0, "5 3/8 in"], ', "")], "guide", "a test cut at 0 degrees first"),
        ([(GUIDE, "[]")], "guide", "a test cut at 0 degrees first"),
        (_with("deepest", '"5 in"'), "deepest", "a cut no deeper than half the blade's diameter, 3.625 in (92.0"),
        ([('[10, "5 1/4 in"]', '[10, "52.5 in"]')], "guide 3 2", "from the shoe's edge to the near side of a test cut"),
        ([('[10, "5 1/4 in"]', "[nan, 5]")], "guide 3 1", "degrees from 0 to 60"),
        ([('[10, "5 1/4 in"]', '[10, "3 1/4 in"]')], "guide", "test cuts that change by no more than 0.75 in"),
    ],
)
def test_a_size_that_does_not_go_with_its_saw_is_told(
    tmp_path: Path, changes: list[tuple[str, str]], key: str, wanted: str
) -> None:
    with pytest.raises(InputError) as caught:
        read(tmp_path, *changes)
    [problem] = caught.value.problems
    assert re.search(rf"\[\w+\] {key}$", problem.cell)
    assert wanted in problem.wanted
