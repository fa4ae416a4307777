"""Claims about tables as spreadsheets save them, and heights as plans give them."""

from __future__ import annotations

import csv
import importlib.util
import sys
from pathlib import Path

import numpy as np
import pytest
from hypothesis import given
from hypothesis import strategies as st
from sheets import DATE, workbook

from patterns.errors import InputError
from patterns.hull.offsets import Offsets
from patterns.hull.table_form import TableForm
from patterns.reading.boat.boat_toml import BoatFile, read_boat
from patterns.reading.offsets.offsets_csv import read_offsets
from patterns.units.datums import Datum
from patterns.units.lengths import read_length
from patterns.writing.tables.faired_csv import offsets_csv

SALTMEADOW = Path(__file__).parents[2] / "samples" / "saltmeadow"
TABLE = (SALTMEADOW / "offsets.csv").read_text()
TOML = (SALTMEADOW / "boat.toml").read_text()

METRES = """\
Punt;stem;1;2;transom
from FP;;0,61;1,22;
heights;;;;
sheer;0,702;0,550;0,540;0,600
chine;0,102;0,050;0,000;0,060
half-breadths;;;;
sheer;0,020;0,350;0,500;0,450
chine;0,020;0,250;0,400;0,350
"""


def read(
    path: Path, content: str | bytes, unit: str | None = "in", datum: Datum | None = None
) -> tuple[Offsets, TableForm]:
    path.write_bytes(content.encode() if isinstance(content, str) else content)
    return read_offsets(path, unit, *([datum] if datum else []))


def faults(path: Path, content: str | bytes, unit: str | None = "in", datum: Datum | None = None) -> list[str]:
    with pytest.raises(InputError) as refused:
        read(path, content, unit, datum)
    return str(refused.value).splitlines()


def cells(text: str = TABLE) -> list[list[str]]:
    return list(csv.reader(text.splitlines()))


def boat(folder: Path, toml: str, table: str) -> BoatFile:
    (folder / "boat.toml").write_text(toml)
    (folder / "offsets.csv").write_text(table)
    return read_boat(folder)


def same(one: Offsets, other: Offsets) -> None:
    np.testing.assert_allclose(one.from_fp, other.from_fp)
    for ours, theirs in zip(one.heights + one.half_breadths, other.heights + other.half_breadths, strict=True):
        assert ours.name == theirs.name
        np.testing.assert_allclose(ours.values, theirs.values, atol=1e-9)


# --- Text, however it was saved ---


@pytest.mark.parametrize(("encoding", "told"), [("utf-16", "UTF-16"), ("utf-8-sig", ""), ("cp1252", "Windows-1252")])
def test_a_table_reads_the_same_in_every_encoding_spreadsheets_save(tmp_path: Path, encoding: str, told: str) -> None:
    text = TABLE.replace("Saltmeadow", "Möwe").replace("2-6-4", "30½ in")
    plain, _ = read(tmp_path / "plain.csv", TABLE)
    offsets, form = read(tmp_path / "offsets.csv", text.encode(encoding))
    same(plain, offsets)
    assert form.title == "Möwe"
    assert form.read_as.startswith(told)
    assert bool(form.read_as) == bool(told)
    # Written again as UTF-8, with the mark by which a spreadsheet knows it.
    assert form.byte_order_mark


def test_a_comma_in_the_boats_name_does_not_make_commas_the_delimiter(tmp_path: Path) -> None:
    _, form = read(tmp_path / "offsets.csv", METRES.replace("Punt", "Punt, small, for two, or one"), "m")
    assert form.delimiter == ";"
    assert form.columns == ("stem", "1", "2", "transom")


# --- Commas and points that can be read in two ways ---


def test_decimal_commas_between_commas_are_refused_with_both_readings(tmp_path: Path) -> None:
    told = faults(tmp_path / "offsets.csv", METRES.replace(";", ","), "m")
    wanted = (
        "expected semicolons between cells, or points in numbers: '0,702' is 0 and 702 in two cells, "
        "or one number with a decimal comma"
    )
    assert f"offsets.csv, row 4: found 8 cells under 4 columns, {wanted}" in told


@pytest.mark.parametrize("mark", [",", "."])
def test_thousands_that_may_be_decimals_are_refused_with_both_readings(tmp_path: Path, mark: str) -> None:
    table = "P;stem;1;2;transom\nfrom FP;;610;1,219;\nheights\nsheer;702;550;540;600\nchine;100;50;0;60\n"
    table += "half-breadths\nsheer;20;350;500;450\nchine;20;250;400;350\n"
    word = "comma" if mark == "," else "point"
    wanted = f"1.219 or 1219, whichever is meant: this {word} can be a decimal mark or stand between thousands"
    found = f"1{mark}219"
    told = faults(tmp_path / "offsets.csv", table.replace("1,219", found), "mm")
    assert f"offsets.csv, row 2, column '2': found '{found}', expected {wanted}" in told


def test_a_mark_that_another_number_shows_to_be_decimal_is_read_as_one(tmp_path: Path) -> None:
    table = METRES.replace("0,61;1,22", "1,219;2,5")
    offsets, _ = read(tmp_path / "offsets.csv", table, "mm")
    np.testing.assert_allclose(offsets.from_fp[1:-1], [1.219, 2.5])


def test_metres_to_the_millimetre_are_never_thousands(tmp_path: Path) -> None:
    offsets, _ = read(tmp_path / "offsets.csv", METRES.replace("0,61;1,22", "1,610;2,220"), "m")
    np.testing.assert_allclose(offsets.from_fp[1:-1], [1610.0, 2220.0])


def test_boat_toml_refuses_a_comma_that_may_stand_between_thousands(tmp_path: Path) -> None:
    with pytest.raises(InputError) as refused:
        boat(tmp_path, TOML.replace('sided   = "2 1/2 in"', 'sided   = "1,219 mm"'), TABLE)
    assert "[stem] sided: found '1,219 mm', expected 1.219 or 1219, whichever is meant" in str(refused.value)


# --- Spreadsheets ---


def test_a_spreadsheet_reads_as_its_csv_does(tmp_path: Path) -> None:
    plain, form = read(tmp_path / "plain.csv", TABLE)
    rows = [["# a comment"], [], *cells()]
    rows[2] = [rows[2][0], "stem", 1.0, 2.0, 3.0, 4.0, 5.0, 6.0, "transom"]
    offsets, sheet = read(tmp_path / "offsets.xlsx", workbook({"Sheet1": rows}))
    same(plain, offsets)
    assert sheet.columns == form.columns
    assert sheet.read_as == "sheet 'Sheet1'"
    assert sheet.cell("heights", "sheer", 0) == "offsets.xlsx, row 6, column 'stem'"


def test_numbers_in_cells_are_read_without_the_noise_of_arithmetic(tmp_path: Path) -> None:
    rows: list[list[str | float]] = [list(row) for row in csv.reader(METRES.splitlines(), delimiter=";")]
    rows = [[float(c.replace(",", ".")) if "," in str(c) else c for c in row] for row in rows]
    rows[3][2] = 0.1 + 0.2
    offsets, form = read(tmp_path / "offsets.xlsx", workbook({"Sheet1": rows}), "m")
    assert offsets.height("sheer").values[1] == 300.0
    assert form.notation.fineness == 3
    assert form.delimiter == ","


def test_a_date_in_a_cell_is_named_with_its_cell_and_the_cure(tmp_path: Path) -> None:
    rows: list[list[object]] = [list(row) for row in cells()]
    rows[3][3] = (36925, DATE)  # 2001-02-03: what 1-2-3 becomes
    rows[6][2] = (37289, DATE)
    cure = "(a spreadsheet made a date of it: format the column as text and type it again)"
    wanted = f"expected a length such as 2-3-5, 27 5/8 in or 701.7 mm {cure}"
    assert faults(tmp_path / "offsets.xlsx", workbook({"Sheet1": rows})) == [  # type: ignore[dict-item]
        f"offsets.xlsx, row 4, column '2' (cell D4): found '2001-02-03', {wanted}",
        f"offsets.xlsx, row 7, column '1' (cell C7): found '2002-02-02', {wanted}",
    ]


def test_a_sum_that_gave_no_figure_is_never_taken_for_a_blank(tmp_path: Path) -> None:
    rows: list[list[object]] = [list(row) for row in cells()]
    rows[3][3], rows[6][2] = "#N/A", "=B7/0"
    wanted = "expected a length such as 2-3-5, 27 5/8 in or 701.7 mm"
    assert faults(tmp_path / "offsets.xlsx", workbook({"notes": [], "Sheet1": rows})) == [  # type: ignore[dict-item]
        f"offsets.xlsx, row 4, column '2' (cell D4): found '#N/A', {wanted}",
        f"offsets.xlsx, row 7, column '1' (cell C7): found '=B7/0', {wanted}",
    ]


def test_a_table_set_in_from_the_first_column_is_one_fault(tmp_path: Path) -> None:
    text = "\n".join("," + line for line in TABLE.splitlines())
    found = "found an empty first column, expected the names of the lines in the first column"
    assert faults(tmp_path / "offsets.csv", text) == [f"offsets.csv: {found}"]


def test_what_was_found_is_quoted_only_as_far_as_it_helps(tmp_path: Path) -> None:
    told = faults(tmp_path / "offsets.csv", TABLE.replace("2-3-0", "9" * 5000, 1))
    assert len(told) == 1
    assert len(told[0]) < 200


def test_a_station_whose_name_became_a_date_is_refused(tmp_path: Path) -> None:
    rows: list[list[object]] = [list(row) for row in cells()]
    rows[0][2] = (36925, DATE)
    told = faults(tmp_path / "offsets.xlsx", workbook({"Sheet1": rows}))  # type: ignore[dict-item]
    assert told == [
        "offsets.xlsx, row 1, column '2001-02-03' (cell C1): found '2001-02-03', expected the name of a station"
    ]


def test_of_several_sheets_the_one_named_offsets_is_read_and_no_other_guessed(tmp_path: Path) -> None:
    notes = [["Bought wood", "12"]]
    plain, _ = read(tmp_path / "plain.csv", TABLE)
    offsets, _ = read(tmp_path / "offsets.xlsx", workbook({"Notes": notes, "Offsets": cells(), "Empty": []}))
    same(plain, offsets)
    assert faults(tmp_path / "offsets.xlsx", workbook({"Notes": notes, "Table": cells()})) == [
        "offsets.xlsx: found several sheets: 'Notes', 'Table', expected one sheet, or one of them named 'offsets'"
    ]


def test_what_is_no_spreadsheet_is_refused(tmp_path: Path) -> None:
    [told] = faults(tmp_path / "offsets.xlsx", TABLE)
    assert told.startswith("offsets.xlsx: found no spreadsheet (")
    assert told.endswith("), expected a spreadsheet, or CSV")


def test_without_the_library_the_builder_is_told_what_to_type(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    assert importlib.util.find_spec("python_calamine")
    monkeypatch.setitem(sys.modules, "python_calamine", None)
    [told] = faults(tmp_path / "offsets.xlsx", workbook({"Sheet1": cells()}))
    assert "pip install 'scrieve[sheets]'" in told


# --- Heights from other levels than base ---


def turned(text: str, datum: Datum) -> str:
    """Saltmeadow's table with its heights as the datum gives them, in sixteenths of an inch."""
    rows = cells(text)
    for row in rows[3:5]:
        for place, cell in enumerate(row[1:], start=1):
            feet, inches, eighths = map(int, cell.split("-"))
            mm = (feet * 96 + inches * 8 + eighths) * 3.175
            row[place] = f"{datum.given(mm) / 25.4:.4f}"
    return "\n".join(",".join(row) for row in rows) + "\n"


DATUMS = {
    '{ base_above = "3-0-0" }': Datum("base above", 36 * 25.4),
    '{ water_line = "0-6-4" }': Datum("water line", 6.5 * 25.4),
}


@pytest.mark.parametrize("written", DATUMS)
def test_heights_from_another_level_make_the_same_boat_and_are_written_back_from_it(
    tmp_path: Path, written: str
) -> None:
    datum = DATUMS[written]
    table = turned(TABLE, datum)
    read = boat(tmp_path, TOML.replace("lines_to ", f"heights_from = {written}\nlines_to "), table)
    offsets, form = read.boat.offsets, read.table
    same(offsets, read_offsets(SALTMEADOW / "offsets.csv", "in")[0])
    assert form.datum.name == datum.name
    again = offsets_csv(form, {row.name: row.values for row in offsets.heights}, {})
    wanted = [[*row[:1], *(f"{float(cell):.4f}" for cell in row[1:])] for row in cells(table)[3:5]]
    got = [row for row in cells(again) if row[0] in ("sheer", "chine")]
    assert [[row[0], *(f"{float(to_inches(cell)):.4f}" for cell in row[1:])] for row in got] == wanted


def to_inches(cell: str) -> float:
    return read_length(cell, "in").mm / 25.4


def test_the_datum_is_echoed_in_words(tmp_path: Path) -> None:
    assert DATUMS['{ base_above = "3-0-0" }'].told("in-16ths") == (
        'Heights in the table are measured down from a base 36" above base; '
        'turned to heights above base by taking each from 36".'
    )
    assert DATUMS['{ water_line = "0-6-4" }'].told("mm") == (
        "Heights in the table are measured from a water line 165.1 mm above base, + above it and - below; "
        "turned to heights above base by adding 165.1 mm to each."
    )


def test_a_height_measured_down_is_never_less_than_nothing(tmp_path: Path) -> None:
    datum = Datum("base above", 36 * 25.4)
    table = turned(TABLE, datum).replace("5.5000", "-5.5000", 1)
    assert faults(tmp_path / "offsets.csv", table, "in", datum) == [
        "offsets.csv, row 4, column 'stem': found '-5.5000', expected a height measured down: 0 or more"
    ]


def test_a_heading_that_contradicts_the_datum_is_refused(tmp_path: Path) -> None:
    datum = Datum("water line", 6.5 * 25.4)
    table = turned(TABLE, datum).replace("heights", "Heights above base", 1)
    assert faults(tmp_path / "offsets.csv", table, "in", datum) == [
        "offsets.csv, row 3: found 'Heights above base', "
        "expected 'heights': heights_from in boat.toml says that they are measured from the water line"
    ]


def test_a_height_off_its_profile_is_told_in_the_tables_own_figures(tmp_path: Path) -> None:
    toml = TOML.replace("lines_to ", 'heights_from = { water_line = "0-6-0" }\nlines_to ')
    with pytest.raises(InputError) as refused:
        boat(tmp_path, toml, TABLE)
    assert (
        "offsets.csv, row 4, column 'stem': found '2-6-4', expected a height on the profile of the stem, "
        "from -0-1-6 to 2-0-4 (measured from the water line; the profile from base)"
    ) in str(refused.value)


@pytest.mark.parametrize(
    ("written", "wanted"),
    [
        ('"keel"', "found 'keel', expected \"base\", { base_above"),
        ("{ base_above = 36, water_line = 3 }", 'found { base_above = 36, water_line = 3 }, expected "base", {'),
        ('{ water_line = "0-13-0" }', 'found { water_line = "0-13-0" }, expected water_line: inches from 0 to 11'),
        ("{ base_above = -3 }", "found { base_above = -3 }, expected base_above: how far above base it lies"),
    ],
)
def test_a_datum_nobody_knows_is_one_fault_and_no_others(tmp_path: Path, written: str, wanted: str) -> None:
    with pytest.raises(InputError) as refused:
        boat(tmp_path, TOML.replace("lines_to ", f"heights_from = {written}\nlines_to "), TABLE)
    [told] = str(refused.value).splitlines()
    assert told.startswith(f"boat.toml, line 9, [boat] heights_from: {wanted}")


@given(st.floats(0, 5000), st.floats(-5000, 5000))
def test_a_height_turned_there_and_back_is_itself(above: float, height: float) -> None:
    for name in ("base above", "water line"):
        datum = Datum(name, above)
        assert datum.height(datum.given(height)) == pytest.approx(height, abs=1e-9)
