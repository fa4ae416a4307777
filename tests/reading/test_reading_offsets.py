"""Claims about tables of offsets as builders write them."""

from __future__ import annotations

from pathlib import Path

import numpy as np
import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from patterns.errors import InputError, Problem
from patterns.hull.offsets import Offsets
from patterns.hull.table_form import TableForm
from patterns.reading.offsets.offsets_csv import read_offsets

SALTMEADOW = Path(__file__).parents[2] / "samples" / "saltmeadow" / "offsets.csv"
AN_INCH = 25.4

PUNT = """\
Punt,bow transom,1,2,3,transom
from FP,,2-0-0,4-0-0,6-0-0,
heights
sheer,1-6-0,1-5-0,1-4-4,1-4-4,1-5-0
chine,0-6-0,0-2-0,0-0-0,0-0-4,0-4-0
half-breadths
sheer,1-2-0,1-7-0,1-9-0,1-8-0,1-5-0
chine,1-0-0,1-5-0,1-7-0,1-6-0,1-3-0
"""


def read(folder: Path, text: str | bytes, unit: str | None = "in") -> tuple[Offsets, TableForm]:
    path = folder / "offsets.csv"
    path.write_bytes(text.encode() if isinstance(text, str) else text)
    return read_offsets(path, unit)


def faults(folder: Path, text: str | bytes, unit: str | None = "in") -> list[str]:
    with pytest.raises(InputError) as refused:
        read(folder, text, unit)
    return str(refused.value).splitlines()


def changed(*changes: tuple[str, str]) -> str:
    """The punt's table with each first text replaced."""
    text = PUNT
    for old, new in changes:
        assert old in text
        text = text.replace(old, new, 1)
    return text


def test_saltmeadow_reads_as_the_plan_gives_it() -> None:
    offsets, form = read_offsets(SALTMEADOW, "in")
    assert offsets.columns == ("stem", "1", "2", "3", "4", "5", "6", "transom")
    assert offsets.lines == ("sheer", "chine")
    chine = offsets.half_breadth("chine")
    assert chine is not None
    assert chine.values[3] == pytest.approx(504.825)  # 1-7-7, nineteen inches and seven eighths
    assert offsets.height("sheer").values[0] == pytest.approx(30.5 * AN_INCH)
    np.testing.assert_allclose(offsets.from_fp[1:-1], [609.6, 1219.2, 1828.8, 2438.4, 3048.0, 3657.6])
    assert np.isnan(offsets.from_fp[[0, -1]]).all()
    assert offsets.rounding == 3.175
    assert (form.title, form.from_fp[1], form.from_fp_row) == ("Saltmeadow", "2-0-0", 2)
    assert form.cell("half-breadths", "chine", 3) == "offsets.csv, row 8, column '3'"


@pytest.mark.parametrize("delimiter", [",", ";", "\t"])
@pytest.mark.parametrize("newline", ["\n", "\r\n", "\r"])
@pytest.mark.parametrize("mark", ["", "\ufeff"])
def test_however_the_spreadsheet_saved_it_the_table_is_the_same(
    tmp_path: Path, delimiter: str, newline: str, mark: str
) -> None:
    plain, _ = read(tmp_path, PUNT)
    saved, _ = read(tmp_path, mark + PUNT.replace(",", delimiter).replace("\n", newline))
    for ours, theirs in zip(plain.heights + plain.half_breadths, saved.heights + saved.half_breadths, strict=True):
        assert ours.name == theirs.name
        np.testing.assert_array_equal(ours.values, theirs.values)


def test_blank_rows_and_comments_keep_their_count(tmp_path: Path) -> None:
    text = "# taken off by hand\n\n" + changed(("1-7-0,1-6-0", "1-7-8,1-6-0"))
    assert faults(tmp_path, text) == ["offsets.csv, row 10, column '2': found '1-7-8', expected eighths from 0 to 7"]


def test_headings_and_names_are_read_in_any_case(tmp_path: Path) -> None:
    text = changed(("heights", "Heights"), ("half-breadths", "Half Breadths,,,"), ("sheer", "SHEER"))
    text = text.replace("from FP", "From fp").replace("bow transom", "Bow Transom")
    offsets, form = read(tmp_path, text)
    assert offsets.columns[0] == "bow transom"
    assert [block.heading for block in form.blocks] == ["Heights", "Half Breadths"]
    assert form.blocks[0].rows[0].label == "SHEER"


def test_decimal_commas_are_read_behind_a_semicolon_or_in_quotes(tmp_path: Path) -> None:
    mm = PUNT.replace("1-2-0", "355.6").replace(",", ";").replace("355.6", "355,6 mm")
    quoted = PUNT.replace("1-2-0", '"355,6 mm"')
    for text in (mm, quoted):
        sheer = read(tmp_path, text)[0].half_breadth("sheer")
        assert sheer is not None
        assert sheer.values[0] == pytest.approx(355.6)


def test_a_blank_cell_is_a_place_the_table_does_not_give(tmp_path: Path) -> None:
    offsets, _ = read(tmp_path, changed(("1-5-0,1-4-4", ",1-4-4")))
    assert np.isnan(offsets.height("sheer").values).tolist() == [False, True, False, False, False]


def test_cuts_are_read_behind_the_lines_of_the_hull(tmp_path: Path) -> None:
    text = changed(("heights\n", "heights\nbuttock 9 in,,0-3-0,,0-2-0,\n"))
    text += "Waterline 6 in,,1-5-4,1-7-4,1-6-4,\ndiagonal A,,1-6-0,1-8-0,1-7-0,\n"
    offsets, _ = read(tmp_path, text)
    assert [row.name for row in offsets.heights] == ["sheer", "chine", "buttock 9 in"]
    assert [row.name for row in offsets.half_breadths] == ["sheer", "chine", "waterline 6 in", "diagonal A"]
    assert offsets.lines == ("sheer", "chine")


def test_a_keel_needs_no_half_breadths(tmp_path: Path) -> None:
    offsets, _ = read(tmp_path, changed(("half-breadths", "keel,0-5-0,0-1-0,0-0-0,0-0-0,0-3-0\nhalf-breadths")))
    assert offsets.lines == ("sheer", "chine", "keel")
    assert offsets.half_breadth("keel") is None


def test_the_finest_figure_of_the_table_is_its_rounding(tmp_path: Path) -> None:
    assert read(tmp_path, changed(("1-9-0", "1-9-0+")))[0].rounding == 1.5875


def test_a_bare_number_needs_a_unit(tmp_path: Path) -> None:
    assert faults(tmp_path, changed(("1-9-0", "533.4")), None) == [
        "offsets.csv, row 7, column '2': found '533.4', expected a length such as 2-3-5, 27 5/8 in or 701.7 mm: "
        "units in [boat] says nothing of bare numbers"
    ]


def test_every_fault_is_told_in_one_go_by_the_cell_it_stands_in(tmp_path: Path) -> None:
    text = changed(
        ("2-0-0,4-0-0,6-0-0", "2-0-0,,1-6-0"),
        ("1-6-0,1-5-0", "1-16-0,1-5-0"),
        ("1-2-0,", "-1-2-0,"),
        ("1-8-0,1-5-0\n", "1-8-0,\n"),
        ("1-7-0,1-6-0,1-3-0", "1-7-0,Feb-03,1-3-0,0-0-1"),
    )
    assert faults(tmp_path, text) == [
        "offsets.csv, row 2, column '2': found nothing, expected the station's distance from FP, such as 4-0-0",
        "offsets.csv, row 2, column '3': found '1-6-0', expected more than 2-0-0, where station 1 stands",
        "offsets.csv, row 4, column 'bow transom': found '1-16-0', expected inches from 0 to 11",
        "offsets.csv, row 7, column 'bow transom': found '-1-2-0', expected a half-breadth of 0 or more",
        "offsets.csv, row 7, column 'transom': found nothing, expected the half-breadth where the sheer ends",
        "offsets.csv, row 8, column 7: found '0-0-1', expected no more cells than the 6 of row 1",
        "offsets.csv, row 8, column '3': found 'Feb-03', expected a length such as 2-3-5, 27 5/8 in or 701.7 mm "
        "(a spreadsheet made a date of it: format the column as text and type it again)",
    ]


NO_ROW = (
    "one of 'sheer', 'chine', 'chine 1' and so on, 'keel', 'buttock 9 in', 'waterline 6 in', 'diagonal A', "
    "'from FP', 'heights' or 'half-breadths'"
)
ONE_FAULT = {
    "a misspelt end": (
        [("bow transom", "bow transome")],
        "row 1, column 'bow transome': found 'bow transome', expected one of 'stem', 'bow transom'; "
        "did you mean 'bow transom'?",
    ),
    "a column twice": ([(",3,", ",2,")], "row 1, column '2': found '2' again, expected each column once"),
    "an end among the stations": (
        [(",3,", ",sternpost,")],
        "row 1, column 'sternpost': found 'sternpost', expected the name of a station",
    ),
    "a distance for an end": (
        [("from FP,,", "from FP,0-0-0,")],
        "row 2, column 'bow transom': found '0-0-0', expected nothing: where the bow transom stands comes from its "
        "profile in boat.toml",
    ),
    "no distances": (
        [("from FP,,2-0-0,4-0-0,6-0-0,\n", "")],
        ": found no row 'from FP', expected a row 'from FP' with the distance of each station",
    ),
    "distances twice": (
        [("heights", "from FP,,2-0-0\nheights")],
        "row 3: found 'from FP', expected the distances from FP once",
    ),
    "an unknown row": (
        [("half-breadths\n", "half-breadths\nkeal,0-0-1,0-0-1,0-0-1,0-0-1,0-0-1\n")],
        f"row 7: found 'keal', expected {NO_ROW}; did you mean 'keel'?",
    ),
    "a row without a name": (
        [("half-breadths\n", "half-breadths\n,0-0-1\n")],
        f"row 7: found nothing, expected {NO_ROW}",
    ),
    "a waterline among the heights": (
        [("half-breadths\n", "waterline 6 in,0-0-1\nhalf-breadths\n")],
        "row 6: found 'waterline 6 in', expected it among the half-breadths",
    ),
    "a row above the blocks": (
        [("heights\n", "keel,0-0-1\nheights\n")],
        "row 3: found 'keel', expected a row 'heights' or 'half-breadths' above it",
    ),
    "a figure beside a heading": (
        [("heights\n", "heights,0-0-1\n")],
        "row 3, column 'bow transom': found '0-0-1', expected nothing beside the heading 'heights'",
    ),
    "a row twice": (
        [("half-breadths\n", "sheer,1-6-0,1-5-0,1-4-4,1-4-4,1-5-0\nhalf-breadths\n")],
        "row 6: found 'sheer' again, expected each line once",
    ),
    "lines out of order": (
        [
            ("chine,0-6", "keel,0-5-0,0-1-0,0-0-0,0-0-0,0-3-0\nchine,0-6"),
        ],
        "row 6: found 'chine' below 'keel', expected the lines from the sheer down",
    ),
    "two offsets to draw a line by": (
        [("1-5-0,1-4-4,1-4-4,1-5-0", ",,,1-5-0")],
        "row 4: found 2 offsets, expected at least 3 to draw the sheer by",
    ),
    "a chine above the sheer": (
        [("0-0-0,0-0-4", "1-10-0,0-0-4")],
        "row 5, column '2': found '1-10-0', expected a height below the sheer's 1-4-4",
    ),
    "a line with no half-breadths": (
        [("chine,1-0-0,1-5-0,1-7-0,1-6-0,1-3-0\n", "")],
        "row 5: found 'chine' with no half-breadths, expected a row 'chine' among the half-breadths too",
    ),
}


@pytest.mark.parametrize("name", ONE_FAULT)
def test_a_fault_is_told_once_and_whole(tmp_path: Path, name: str) -> None:
    changes, sentence = ONE_FAULT[name]
    expected = f"offsets.csv{sentence}" if sentence.startswith(":") else f"offsets.csv, {sentence}"
    assert faults(tmp_path, changed(*changes)) == [expected]


def test_a_chine_without_heights_and_a_block_without_a_sheer_are_missed(tmp_path: Path) -> None:
    assert faults(tmp_path, changed(("sheer,1-6-0,1-5-0,1-4-4,1-4-4,1-5-0\n", ""))) == [
        "offsets.csv, row 3: found no row 'sheer' among the heights, "
        "expected a row 'sheer', the top edge of the planking",
        "offsets.csv, row 6: found 'sheer' with no heights, expected a row 'sheer' among the heights too",
    ]


def test_chines_are_counted_from_the_sheer_down(tmp_path: Path) -> None:
    text = PUNT.replace("chine,", "chine 2,")
    assert faults(tmp_path, text) == [
        "offsets.csv, row 3: found 'chine 2', expected 'chine', or 'chine 1', 'chine 2' and so on from the sheer down"
    ]


def test_a_sheer_alone_makes_no_hull(tmp_path: Path) -> None:
    text = "\n".join(line for line in PUNT.splitlines() if not line.startswith("chine"))
    assert faults(tmp_path, text) == [
        "offsets.csv, row 3: found no line below the sheer, expected a row 'chine' or 'keel' below the sheer"
    ]


def test_a_missing_block_is_named(tmp_path: Path) -> None:
    assert faults(tmp_path, PUNT.split("half-breadths")[0]) == [
        "offsets.csv: found no row 'half-breadths', expected a row 'half-breadths' above its offsets"
    ]


def test_what_is_no_table_at_all_is_refused(tmp_path: Path) -> None:
    assert faults(tmp_path, "") == ["offsets.csv: found nothing, expected a table of offsets"]
    assert faults(tmp_path, "\n,,\n# nothing yet\n") == ["offsets.csv: found nothing, expected a table of offsets"]
    wanted = "a table saved by the spreadsheet as 'CSV UTF-8'"
    not_text = f"offsets.csv: found neither UTF-8, UTF-16 nor Windows-1252 text, expected {wanted}"
    assert faults(tmp_path, PUNT.encode("utf-16-le")) == [not_text]
    assert faults(tmp_path, b"\xff\xfe\x00") == [not_text]
    assert faults(tmp_path, b"Punt\x81,stem") == [not_text]
    assert faults(tmp_path, b"PK\x03\x04\x00\x00") == [not_text]
    with pytest.raises(InputError) as refused:
        read_offsets(tmp_path / "none.csv", "in")
    assert str(refused.value) == f"none.csv: found no such file, expected a table of offsets at {tmp_path}/none.csv"


def test_a_table_of_two_columns_is_no_boat(tmp_path: Path) -> None:
    assert faults(tmp_path, "Raft,stem,transom\n") == [
        "offsets.csv, row 1: found 'stem, transom', expected a fore end, at least one station and an after end, "
        "such as stem, 1, transom"
    ]


@pytest.mark.slow
@settings(max_examples=300, deadline=None)
@given(st.integers(0, len(PUNT)), st.integers(0, 30), st.text(max_size=8) | st.sampled_from(["\n", ",", '"', ",,,\n"]))
def test_a_spoilt_table_is_read_or_refused_in_words(
    tmp_path_factory: pytest.TempPathFactory, place: int, lost: int, put: str
) -> None:
    spoilt = (PUNT[:place] + put + PUNT[place + lost :]).encode("utf-8", errors="replace")
    problems: tuple[Problem, ...] = ()
    try:
        read(tmp_path_factory.mktemp("table"), spoilt)
    except InputError as refused:
        problems = refused.problems
    assert all(problem.cell and problem.found and problem.wanted for problem in problems)
