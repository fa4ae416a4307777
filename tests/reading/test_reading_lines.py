"""Claims about long lines of a table that make no hull: each is refused by row and column, with what is expected."""

from __future__ import annotations

from pathlib import Path

import pytest
from sample_jobs import FOLDERS

from patterns.cli.main import main
from patterns.errors import InputError
from patterns.reading.boat.boat_toml import read_boat

Change = tuple[str, str]

SANDLARK_KEEL = "keel,325.5,301,215,141.5,81.5,37,9.5,0,8,32,66.5"
MARRAM_1, MARRAM_2 = (
    "chine 1,482,432,390,357,335,324,323,332,352,385",
    "chine 2,279,257,219,191,172,162,161,169,186,212",
)


def folder_with(sample: str, folder: Path, *changes: Change, toml: tuple[Change, ...] = ()) -> Path:
    """A sample with words of its table changed, each where it first stands."""
    for name, wanted in (("offsets.csv", changes), ("boat.toml", toml)):
        text = (FOLDERS[sample] / name).read_text()
        for old, new in wanted:
            assert old in text, old
            text = text.replace(old, new, 1)
        (folder / name).write_text(text)
    return folder


def refused(sample: str, folder: Path, *changes: Change, toml: tuple[Change, ...] = ()) -> list[str]:
    with pytest.raises(InputError) as told:
        read_boat(folder_with(sample, folder, *changes, toml=toml))
    return str(told.value).splitlines()


# --- Lines that cross ---


def test_a_chine_above_the_chine_over_it_is_told_with_that_chine(tmp_path: Path) -> None:
    assert refused("marram", tmp_path, ("257,219,191", "257,219,391")) == [
        "offsets.csv, row 6, column '3': found '391', expected a height below the chine 1's 357"
    ]


def test_a_keel_above_the_chine_is_told_and_nothing_of_the_lines_that_lie_well(tmp_path: Path) -> None:
    assert refused("sandlark", tmp_path, ("9.5,0,8", "9.5,290,8")) == [
        "offsets.csv, row 6, column '7': found '290', expected a height below the chine's 272"
    ]


def test_a_chine_too_low_is_one_fault_though_two_lines_lie_above_it(tmp_path: Path) -> None:
    assert refused("marram", tmp_path, ("390,357,335", "390,20,335")) == [
        "offsets.csv, row 6, column '3': found '191', expected a height below the chine 1's 20"
    ]


def test_heights_measured_down_are_told_as_the_table_has_them(tmp_path: Path) -> None:
    told = refused(
        "sandlark", tmp_path, toml=(('show        = "mm"', 'show = "mm"\nheights_from = { base_above = 900 }'),)
    )
    assert "offsets.csv, row 5: found the chine above the sheer in every column" in told[0]


def test_rows_that_have_changed_places_are_one_fault(tmp_path: Path) -> None:
    swapped = (
        (MARRAM_1, "chine 1,X"),
        (MARRAM_2, MARRAM_1.replace("1", "2", 1)),
        ("chine 1,X", MARRAM_2.replace("2", "1", 1)),
    )
    assert refused("marram", tmp_path, *swapped) == [
        "offsets.csv, row 6: found the chine 2 above the chine 1 in every column, expected heights below those "
        "of row 5: "
        "see whether the two rows have changed places, and what heights_from in boat.toml says "
        "they are measured from"
    ]


def test_heights_that_are_a_copy_of_half_breadths_are_one_fault(tmp_path: Path) -> None:
    breadths = "16,105,233,313,359,381,383,365,325,255"
    copied = (MARRAM_2, f"chine 2,{breadths}")
    assert refused("marram", tmp_path, copied) == [
        "offsets.csv, row 6: found the figures of row 11, the chine 2's half-breadths, expected the chine 2's heights: "
        "one of the two rows is a copy of the other, look at the plan again"
    ]


def test_lines_that_run_together_at_an_end_to_the_last_figure_do_not_cross(tmp_path: Path) -> None:
    read_boat(folder_with("sandlark", tmp_path, ("keel,325.5", "keel,326")))


# --- Ends ---


def test_a_keel_that_begins_ahead_of_the_chine_leaves_the_bottom_no_edge(tmp_path: Path) -> None:
    profile = (("[194.0, 325.6]", "[194.0, 325.6], [150.0, 290.0]"),)
    assert refused("sandlark", tmp_path, ("keel,325.5", "keel,290"), toml=profile) == [
        "offsets.csv, row 6, column 'stem': found '290.0', 150.0 from FP on the stem, expected a keel that meets the "
        "stem at 193.9 from FP or more, where the chine ends: the bottom has no edge ahead of it. Look at the "
        "profile's foot too"
    ]


def test_a_keel_that_ends_abaft_the_chine_on_a_sternpost_does_so_too(tmp_path: Path) -> None:
    keel = "keel,87,,30,5,-10,-14,-6,12,42,70\nhalf-breadths"
    laps = ('laps      = "over the sides"', "")
    profile = ("[4555.0, 86.8]]", "[4555.0, 86.8], [4600.0, 70.0]]")
    told = refused("windrow", tmp_path, ("half-breadths", keel), toml=(laps, profile))
    assert [line.partition(", expected")[0] for line in told] == [
        "offsets.csv, row 7, column 'sternpost': found '70', 4600 from FP on the sternpost"
    ]


def test_two_lines_in_one_place_on_a_stem_leave_a_strake_no_end(tmp_path: Path) -> None:
    assert refused("windrow", tmp_path, ("chine 1,376", "chine 1,87")) == [
        "offsets.csv, row 6, column 'stem': found '87', where the chine 1 ends too, expected the chine 2 lower on the "
        "stem than the chine 1: between them strake 2 would have no end"
    ]


def test_chine_and_keel_may_end_in_one_place_on_a_stem(tmp_path: Path) -> None:
    boat = read_boat(folder_with("sandlark", tmp_path)).boat
    assert boat.offsets.height("chine").values[0] == boat.offsets.height("keel").values[0]


@pytest.mark.parametrize(
    ("line", "old", "new", "row"),
    [("chine", "322,309", "322,309", 5), ("chine 2", "chine 2,87,,47", "chine 2,87,60,47", 6)],
)
def test_figures_of_a_chine_ahead_of_its_end_on_the_stem_stand_where_it_is_not(
    tmp_path: Path, line: str, old: str, new: str, row: int
) -> None:
    sample = "sandlark" if line == "chine" else "windrow"
    # On a profile that rakes more a line begins further aft.
    foot = ("[194.0, 325.6]", "[320.0, 325.6]") if line == "chine" else ("[689.1, 86.8]", "[720.0, 86.8]")
    told = refused(sample, tmp_path, (old, new), toml=(foot,))
    assert told[0].startswith(f"offsets.csv, row {row}, column '1': found an offset at ")
    assert f"expected nothing there: on the profile of the stem the {line} ends at" in told[0]


# --- Along the keel ---

REST = ",248.5,395.5,505.5,582,626.5,641,625.5,579.5,499.5"


@pytest.mark.parametrize(
    "row", ["keel,0,0,0,0,0,0,0,0,0,0,0", "keel,20,20,20,20.5,20,20,20,20,20,20,20", "keel,,15,15,15,,,,,,,"]
)
def test_a_keel_lies_on_the_centre_line_or_has_one_siding(tmp_path: Path, row: str) -> None:
    assert (
        read_boat(
            folder_with("sandlark", tmp_path, (f"\nchine,0,58.5{REST}", f"\nchine,0,58.5{REST}\n{row}"))
        ).boat.name
        == "Sandlark"
    )


STEADY = "0, or half the siding of one keel from end to end: the bottom ends on the center line or on a keel's face"


def test_a_half_siding_that_steps_is_told_at_its_cell(tmp_path: Path) -> None:
    row = "chine,0,58.5"
    told = refused(
        "sandlark",
        tmp_path,
        (f"\n{row}", f"\n{row}"),
        ("579.5,499.5", "579.5,499.5\nkeel,20,20,20,2,20,20,20,20,20,20,20"),
    )
    assert told == [f"offsets.csv, row 10, column '3': found '2.0', expected 20.0 as in the other columns; {STEADY}"]


def test_a_half_siding_that_tapers_is_told_of_the_row(tmp_path: Path) -> None:
    told = refused("sandlark", tmp_path, ("579.5,499.5", "579.5,499.5\nkeel,10,12,14,16,18,20,20,20,18,16,14"))
    assert told == [f"offsets.csv, row 10: found half-breadths from 10.0 to 20.0, expected {STEADY}"]


def test_a_round_hull_may_have_a_keel_of_any_siding(tmp_path: Path) -> None:
    rows = (FOLDERS["sandlark"] / "offsets.csv").read_text().splitlines()
    kept = [row for row in rows if not row.startswith("chine")]
    (tmp_path / "offsets.csv").write_text(
        "\n".join(
            [*kept, "keel,10,12,14,16,18,20,20,20,18,16,14", "waterline 400,0,60,200,400,500,550,560,550,540,500,450"]
        )
    )
    toml = (FOLDERS["sandlark"] / "boat.toml").read_text()
    (tmp_path / "boat.toml").write_text(
        toml.replace('chine_joint = "half angle"\n', "").replace('keel_joint  = "half angle"\n', "")
    )
    assert read_boat(tmp_path).boat.offsets.lines == ("sheer", "keel")


def test_a_lap_is_narrower_than_the_strake_it_lies_on(tmp_path: Path) -> None:
    wide = (("width     = 20", "width = 190"),)
    # Strake 2 at station 5: from 324 down to 162, from 463 out to 381.
    assert refused("marram", tmp_path, toml=wide) == [
        "boat.toml, line 47, [laps] width: found 190.0 mm, expected less than the 181.6 mm that strake 2 has at "
        "station 5"
    ]


# --- The command ---


def test_fair_refuses_them_too(tmp_path: Path, capsys: pytest.CaptureFixture[str]) -> None:
    assert main(["fair", str(folder_with("sandlark", tmp_path, ("9.5,0,8", "9.5,290,8")))]) == 1
    assert "found '290', expected a height below the chine's 272" in capsys.readouterr().err
