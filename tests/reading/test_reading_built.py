"""built.csv: every fault by row and column, and what the job writes to be filled in is read as it is."""

from __future__ import annotations

from pathlib import Path

import pytest
from sample_jobs import sample

from patterns.errors import InputError
from patterns.parts.asked.built_rules import Measure
from patterns.reading.boat.read_built import BuiltOf, read_built
from patterns.shop.layout.setting_up import setting_up
from patterns.writing.tables.built_csv import blank_csv
from patterns.writing.tables.marked_csv import marked_csv

BOAT = BuiltOf(("1", "2", "3", "4", "5", "6"), ("sheer", "chine"), "in")
HEAD = "frame,line,side,measure,planned,figure\n"


def written(folder: Path, text: str) -> Path:
    path = folder / "built.csv"
    path.write_text(text, encoding="utf-8")
    return path


def test_the_table_to_fill_in_is_read_once_it_is_filled_in(tmp_path: Path) -> None:
    blank = marked_csv(blank_csv(setting_up(sample("saltmeadow")[1])), "ABCDE")
    lines = blank.splitlines()
    filled = "\n".join(f"{line}1-7-7" if line.startswith("frame 3,chine,port,half") else line for line in lines)
    [figure] = read_built(written(tmp_path, filled), BOAT)
    assert (figure.place, figure.line, figure.side, figure.measure) == ("3", "chine", "port", Measure.HALF_BREADTH)
    assert figure.mm == pytest.approx(19.875 * 25.4)
    with pytest.raises(InputError, match="no figure"):
        read_built(written(tmp_path, blank), BOAT)


@pytest.mark.parametrize(
    ("row", "wanted"),
    [
        ("frame 9,sheer,port,height,,2-0-0", "built.csv, row 2, column 'frame': found 'frame 9', expected one of"),
        ("frame 3,shear,port,height,,2-0-0", "row 2, column 'line': found 'shear', expected one of 'sheer', 'chine'"),
        ("frame 3,sheer,left,height,,2-0-0", "row 2, column 'side': found 'left', expected one of 'port', 'starboard'"),
        ("frame 3,sheer,port,hight,,2-0-0", "row 2, column 'measure': found 'hight', expected one of 'height'"),
        ("frame 3,sheer,port,height,,two feet", "row 2, column 'figure': found 'two feet', expected a length"),
        ("frame 3,sheer,port,half-breadth,,-2-0-0", "column 'figure': found '-2-0-0', expected a half-breadth of 0"),
        ("frame 3,sheer,,from zero,,6-0-0", "column 'line': found 'sheer', expected nothing"),
        ("frame 3,,port,from zero,,6-0-0", "column 'side': found 'port', expected nothing"),
        ("frame 3,sheer,port,height,,702,5", "row 2: found '5' after the last column, expected no more cells"),
        ("3,sheer,P,height,,2-0-0\n3,sheer,port,height,,2-0-0", "the same figure as row 2, expected each figure once"),
    ],
)
def test_a_fault_is_told_by_row_and_column_with_its_cure(tmp_path: Path, row: str, wanted: str) -> None:
    with pytest.raises(InputError) as caught:
        read_built(written(tmp_path, f"{HEAD}{row}\n"), BOAT)
    assert wanted in str(caught.value)


def test_two_columns_of_one_name_are_told(tmp_path: Path) -> None:
    with pytest.raises(InputError, match="row 1: found 2 columns 'figure', expected each column once"):
        read_built(written(tmp_path, f"{HEAD.strip()},figure\n3,sheer,port,height,,2-0-0,1-0-0\n"), BOAT)


def test_all_faults_are_told_at_once(tmp_path: Path) -> None:
    with pytest.raises(InputError) as caught:
        read_built(written(tmp_path, f"{HEAD}frame 9,shear,prot,hight,,x\nframe 3,keel,port,height,,2-0-0\n"), BOAT)
    assert len(caught.value.problems) == 6


def test_a_file_without_its_columns_or_no_file_is_told(tmp_path: Path) -> None:
    with pytest.raises(InputError, match="no column 'side', 'measure', expected columns frame, line"):
        read_built(written(tmp_path, "frame,line,figure\nframe 3,sheer,2-0-0\n"), BOAT)
    with pytest.raises(InputError, match=r"built.csv: found no such file, expected a copy of tables/built-blank.csv"):
        read_built(tmp_path / "nowhere" / "built.csv", BOAT)
    with pytest.raises(InputError, match=r"built.csv: found nothing, expected a copy of tables/built-blank.csv"):
        read_built(written(tmp_path, ""), BOAT)
