"""Claims about the faired table as it is written back."""

from __future__ import annotations

import csv
import io
import re
from pathlib import Path

import numpy as np
import pytest
from hypothesis import given
from hypothesis import strategies as st

from patterns.geometry.arrays import Floats
from patterns.hull.offsets import Offsets
from patterns.reading.offsets.offsets_csv import read_offsets
from patterns.units.cells import shielded, unshielded
from patterns.units.datums import Datum
from patterns.units.lengths import read_length
from patterns.writing.tables.faired_csv import offsets_csv

SALTMEADOW = Path(__file__).parents[2] / "samples" / "saltmeadow" / "offsets.csv"


def values(offsets: Offsets) -> tuple[dict[str, Floats], dict[str, Floats]]:
    return (
        {row.name: row.values for row in offsets.heights},
        {row.name: row.values for row in offsets.half_breadths},
    )


def written_again(path: Path, unit: str) -> str:
    offsets, form = read_offsets(path, unit)
    return offsets_csv(form, *values(offsets))


def test_an_unfaired_table_is_written_as_it_came() -> None:
    assert written_again(SALTMEADOW, "in") == SALTMEADOW.read_text()


@pytest.mark.parametrize(
    ("text", "unit"),
    [
        ("\ufeffPunt;Stem;A;B;transom\r\nFrom FP;;0,61;1,22;\r\n", "m"),
        ("Punt\tstem\tA\tB\ttransom\nfrom FP\t\t2'\t4'\t\n", "in"),
    ],
)
def test_delimiter_line_ends_marks_and_words_stay_the_builders(tmp_path: Path, text: str, unit: str) -> None:
    delimiter, newline = (";", "\r\n") if ";" in text else ("\t", "\n")
    figures = ("0,702", "0,550", "", "0,600") if unit == "m" else ("27 5/8", "21", "", "24 1/16")
    row = delimiter.join(figures)
    blank = delimiter * 4
    body = [f"Heights{blank}", f"Sheer{delimiter}{row}", f"Chine{delimiter}{row}"]
    body += [f"Half breadths{blank}", f"Sheer{delimiter}{row}", f"Chine{delimiter}{row}", ""]
    path = tmp_path / "offsets.csv"
    path.write_bytes((text + newline.join(body)).encode())
    assert written_again(path, unit).encode() == path.read_bytes()


def test_a_line_with_no_faired_offsets_is_left_out() -> None:
    offsets, form = read_offsets(SALTMEADOW, "in")
    heights, half_breadths = values(offsets)
    del half_breadths["chine"]
    assert offsets_csv(form, heights, half_breadths).splitlines() == SALTMEADOW.read_text().splitlines()[:-1]


@pytest.mark.slow
@given(st.lists(st.floats(min_value=-3.0, max_value=3.0), min_size=8, max_size=8))
def test_faired_offsets_read_back_within_a_thirty_second(moves: list[float]) -> None:
    offsets, form = read_offsets(SALTMEADOW, "in")
    heights, half_breadths = values(offsets)
    moved = half_breadths["sheer"] + np.array(moves)
    text = offsets_csv(form, heights, {**half_breadths, "sheer": moved})
    cells = text.splitlines()[6].split(",")[1:]
    np.testing.assert_allclose([read_length(cell, "in").mm for cell in cells], moved, atol=0.794)


def test_a_station_named_like_a_formula_is_calculated_by_no_spreadsheet_and_read_back_as_named(tmp_path: Path) -> None:
    text = SALTMEADOW.read_text(encoding="utf-8")
    header, rest = text.split("\n", 1)
    stations = ("=1+1", "+frame", "@2", "-2+cmd|x", "-3.2", "'6")
    columns = (*(f'"{name}"' for name in stations),)
    path = tmp_path / "offsets.csv"
    path.write_text(",".join(("=NOW()", "stem", *columns, "transom")) + "\n" + rest, encoding="utf-8")
    assert len(header.split(",")) == len(stations) + 3

    offsets, form = read_offsets(path, "in")
    assert offsets.columns == ("stem", *stations, "transom")
    written = offsets_csv(form, *values(offsets))
    cells = [cell for row in csv.reader(io.StringIO(written)) for cell in row]
    assert not [cell for cell in cells if cell[:1] in set("=@+\t\r")]
    assert [cell for cell in cells if cell.startswith("-")] == ["-3.2"]  # a number stays one

    path.write_text(written, encoding="utf-8")
    again, form_again = read_offsets(path, "in")
    assert (again.columns, form_again.title) == (offsets.columns, form.title)
    assert offsets_csv(form_again, *values(again)) == written


@given(st.text(st.sampled_from("=+-@'\t\r1.,a |"), max_size=8))
def test_any_word_comes_back_out_of_its_cell(word: str) -> None:
    cell = shielded(word)
    assert cell == word or cell[0] == "'"
    # An apostrophe the builder put before a formula himself is taken for the shield it is.
    assert unshielded(cell) == word or word[:1] == "'"
    assert re.fullmatch(r"[+-]?[0-9]+([.,][0-9]+)?", cell) or cell[:1] not in set("=+-@\t\r") - {""}


@pytest.mark.parametrize(
    ("datum", "above_base"),
    [
        (Datum("base above", 900.0), [800.0, 650.0, 640.0, 700.0]),
        (Datum("water line", 150.0), [250.0, 400.0, 410.0, 350.0]),
    ],
)
def test_heights_are_written_from_the_builders_own_level(tmp_path: Path, datum: Datum, above_base: list[float]) -> None:
    """Read from his level, taken to heights above base, and written back as they stood."""
    path = tmp_path / "offsets.csv"
    rows = ["Punt,stem,A,B,transom", "from FP,,610,1220,", "heights,,,,", "sheer,100,250,260,200"]
    rows += [
        "chine,500,600,610,550" if datum.runs_down else "chine,50,60,61,55",
        "half-breadths,,,,",
        "sheer,20,400,420,300",
        "chine,20,300,320,200",
        "",
    ]
    path.write_text("\n".join(rows))
    offsets, form = read_offsets(path, "mm", datum)
    assert offsets.height("sheer").values.tolist() == above_base
    assert offsets_csv(form, *values(offsets)).splitlines()[3] == "sheer,100,250,260,200"
