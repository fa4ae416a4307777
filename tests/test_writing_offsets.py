"""Claims about the faired table as it is written back."""

from __future__ import annotations

from pathlib import Path

import numpy as np
import pytest
from hypothesis import given
from hypothesis import strategies as st

from patterns.geometry.arrays import Floats
from patterns.hull.offsets import Offsets
from patterns.reading.offsets_csv import read_offsets
from patterns.units.lengths import read_length
from patterns.writing.offsets_csv import offsets_csv

SALTMEADOW = Path(__file__).parent.parent / "samples" / "saltmeadow" / "offsets.csv"


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


@given(st.lists(st.floats(min_value=-3.0, max_value=3.0), min_size=8, max_size=8))
def test_faired_offsets_read_back_within_a_thirty_second(moves: list[float]) -> None:
    offsets, form = read_offsets(SALTMEADOW, "in")
    heights, half_breadths = values(offsets)
    moved = half_breadths["sheer"] + np.array(moves)
    text = offsets_csv(form, heights, {**half_breadths, "sheer": moved})
    cells = text.splitlines()[6].split(",")[1:]
    np.testing.assert_allclose([read_length(cell, "in").mm for cell in cells], moved, atol=0.794)
