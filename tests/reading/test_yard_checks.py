"""Boards of the yard that are listed twice or that no yard has."""

from __future__ import annotations

from pathlib import Path

import pytest

from patterns.errors import InputError
from patterns.reading.boat.boat_toml import read_boat

OAK = '\n[[stock.yard]]\nmaterial = "white oak"\nthickness = "{thick}"\nwidths = [{wide}]\nlengths = [{long}]\n'


def _faults(folder: Path, *tables: str) -> str:
    boat = Path(__file__).parents[2] / "samples" / "duckweed"
    for file in boat.iterdir():
        if file.is_file():
            (folder / file.name).write_bytes(file.read_bytes())
    text = (folder / "boat.toml").read_text()
    (folder / "boat.toml").write_text(text + "".join(tables))
    try:
        read_boat(folder)
    except InputError as error:
        return str(error)
    return ""


def _table(thick: str = "1 in", wide: str = '"6 in"', long: str = '"8 ft"') -> str:
    return OAK.format(thick=thick, wide=wide, long=long)


def test_a_size_listed_in_two_tables_is_refused_and_another_thickness_is_not(tmp_path: Path) -> None:
    found = _faults(tmp_path, _table(), _table(wide='"8 in", "152.4 mm"'))
    assert "of white oak again, expected each size once: [stock] yard 1 lists it already" in found
    assert _faults(tmp_path, _table(), _table(thick="2 in"), _table(wide='"8 in"')) == ""


@pytest.mark.parametrize(
    ("table", "told"),
    [
        (_table(long='"8 ft", "800 ft"'), "check its unit"),
        (_table(wide='"6 ft"'), "check its unit"),
        (_table(thick="25 in"), "check its unit"),
        (_table(wide='"12 in"', long='"9 in"'), "expected more than the widths"),
        (_table(thick="7 in"), "expected at most the least width"),
    ],
)
def test_sizes_that_no_yard_has_are_refused(tmp_path: Path, table: str, told: str) -> None:
    found = _faults(tmp_path, table)
    assert "[stock] yard 1" in found
    assert told in found
