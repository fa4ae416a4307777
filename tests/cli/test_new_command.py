"""``scrieve new`` as a builder runs it."""

from __future__ import annotations

import re
from pathlib import Path

import pytest

from patterns.cli import commands
from patterns.cli.main import main
from patterns.errors import InputError
from patterns.hull.build import Joint, KeelJoint, LinesTo
from patterns.hull.offsets import AFT_ENDS, FORE_ENDS
from patterns.reading.boat.boat_toml import read_boat
from patterns.reading.offsets.laid_out import BLANK as BLANK_READ
from patterns.units.lengths import UNITS
from patterns.writing.tables.new_boat import BLANK, HULLS

PLAN = {
    "sheer heights": "30 26 23 21 20 20 21 23",
    "chine heights": "5 2.5 1 0.2 0.2 1 2.5 5",
    "chine 1 heights": "12 9 7 6 6 7 9 12",
    "chine 2 heights": "7 4.5 3 2.2 2.2 3 4.5 7",
    "chine 3 heights": "5 2.5 1 0.2 0.2 1 2.5 5",
    "keel heights": "3 0.7 -0.5 -1 -1 -0.5 0.7 3",
    "sheer half-breadths": "2 12 20 25 27 27 25 21",
    "chine half-breadths": "1.5 6 14 19 21.5 22 20.5 17",
    "chine 1 half-breadths": "1.5 9 17 22 24.5 25 23 20",
    "chine 2 half-breadths": "1 4 10 14 16 16.5 15 12",
    "chine 3 half-breadths": "1 2 6 9 10 10.5 10 8",
}
"""Inches, made up; fair enough to be read."""


def filled(folder: Path) -> None:
    """Put a figure for every question mark."""
    table, block = [], ""
    for row in (folder / "offsets.csv").read_text().splitlines():
        name, *cells = row.split(",")
        block = name if name in ("heights", "half-breadths") else block
        if name == "from FP":
            cells = ["", *(str(24 * n) for n in range(1, 7)), ""]
        elif BLANK in cells:
            cells = PLAN[f"{name} {block}"].split()
        table.append(row if row.startswith(("#", '"#')) else ",".join((name, *cells)))
    (folder / "offsets.csv").write_text("\n".join(table))
    toml = (folder / "boat.toml").read_text()
    for wanted, given in (
        ('lines_to    = "?"', 'lines_to = "outside of planking"'),
        ('laps      = "?"', 'laps = "over the sides"'),
        ('station_face  = "?"', 'station_face = "toward midship"'),
        ('profile   = [["?", "?"], ["?", "?"]]', "profile = [[0, 31], [12, 2.5]]"),
        ('profile   = [["?", "?"], ["?", "?"]]', "profile = [[168, 24], [160, 2.5]]"),
    ):
        toml = toml.replace(wanted, given, 1)
    (folder / "boat.toml").write_text(re.sub(r'^(?!#)(\w+ *)= "\?"', r"\1= 0.5", toml, flags=re.MULTILINE))


@pytest.mark.parametrize("hull", HULLS)
@pytest.mark.parametrize("units", UNITS)
def test_a_new_boat_asks_for_what_is_blank_and_nothing_else(tmp_path: Path, hull: str, units: str) -> None:
    folder = tmp_path / "My boat"
    assert main(["new", str(folder), "--hull", hull, "--units", units, "--stations", "4"]) == 0
    with pytest.raises(InputError) as refused:
        read_boat(folder)
    assert all(problem.found == "'?', still blank" for problem in refused.value.problems)
    text = (folder / "boat.toml").read_text() + (folder / "offsets.csv").read_text()
    asked = [line for line in text.splitlines() if BLANK in line and not line.startswith(("#", '"#'))]
    points = 3 * sum(line.startswith("profile") for line in asked)  # each profile line asks for four figures
    assert len(refused.value.problems) == len(asked) + points


def test_every_blank_is_named_by_row_and_columns_or_by_key(tmp_path: Path, capsys: pytest.CaptureFixture[str]) -> None:
    assert main(["new", str(tmp_path / "skiff"), "--stations", "2"]) == 0
    capsys.readouterr()
    assert main(["fair", str(tmp_path / "skiff")]) == 1
    told = capsys.readouterr().err
    assert (
        "offsets.csv, row 7, columns 'stem', '1', '2', 'transom': found '?', still blank, "
        "expected the sheer's heights, empty cells where the plan gives none"
    ) in told
    assert (
        "offsets.csv, row 5, columns '1', '2': found '?', still blank, expected the distance of each station from FP"
    ) in told
    assert re.search(r"boat\.toml, line \d+, \[planking\.bottom\] laps: found '\?', still blank, expected one of", told)


@pytest.mark.parametrize("hull", HULLS)
def test_a_boat_filled_in_is_read(tmp_path: Path, hull: str) -> None:
    folder = tmp_path / "boat"
    assert main(["new", str(folder), "--hull", hull]) == 0
    filled(folder)
    boat = read_boat(folder).boat
    assert boat.offsets.lines == HULLS[hull].lines
    assert (boat.offsets.columns[0], boat.offsets.columns[-1]) == HULLS[hull].ends
    assert boat.name == "boat"


def test_a_boat_of_lapped_strakes_asks_for_the_lap_and_not_where_its_lines_lie(tmp_path: Path) -> None:
    assert main(["new", str(tmp_path / "boat"), "--hull", "lapped"]) == 0
    with pytest.raises(InputError) as refused:
        read_boat(tmp_path / "boat")
    asked = [problem.cell.partition("[")[2] for problem in refused.value.problems if "boat.toml" in problem.cell]
    assert "laps] width" in asked
    assert "boat] lines_to" not in asked
    filled(tmp_path / "boat")
    skin = read_boat(tmp_path / "boat").boat.skin
    assert (skin.lines_to, skin.lap is not None) == (LinesTo.INSIDE, True)
    assert skin.joints == (Joint.LAPPED, Joint.LAPPED, Joint.LOWER_OVER)


@pytest.mark.parametrize("hull", ["v", "multi-chine"])
def test_a_v_bottom_is_asked_for_no_laps_over_the_sides(tmp_path: Path, hull: str) -> None:
    assert main(["new", str(tmp_path / "boat"), "--hull", hull]) == 0
    assert "laps" not in (tmp_path / "boat" / "boat.toml").read_text()
    table = (tmp_path / "boat" / "offsets.csv").read_text()
    assert "add a row keel to the half-breadths: half its siding." in table
    filled(tmp_path / "boat")
    assert read_boat(tmp_path / "boat").boat.skin.keel is KeelJoint.HALF_ANGLE


@pytest.mark.parametrize("hull", ["pram", "double-ended"])
def test_a_v_bottom_between_other_ends_is_made_as_the_table_says(tmp_path: Path, hull: str) -> None:
    folder = tmp_path / "boat"
    assert main(["new", str(folder), "--hull", hull]) == 0
    table = (folder / "offsets.csv").read_text()
    assert "# For a V bottom add a row keel to the heights, and take laps out of boat.toml." in table
    chine = next(row for row in table.splitlines() if row.startswith("chine"))
    (folder / "offsets.csv").write_text(table.replace(chine, f"{chine}\nkeel{chine.removeprefix('chine')}", 1))
    filled(folder)
    text = (folder / "boat.toml").read_text()
    (folder / "boat.toml").write_text(re.sub(r"(?m)^laps .*\n", "", text))
    boat = read_boat(folder).boat
    assert boat.offsets.lines == ("sheer", "chine", "keel")
    assert boat.skin.keel is KeelJoint.HALF_ANGLE


@pytest.mark.parametrize("units", UNITS)
@pytest.mark.parametrize("hull", HULLS)
def test_keys_that_wait_behind_a_comment_are_read_once_uncommented(tmp_path: Path, hull: str, units: str) -> None:
    folder = tmp_path / "boat"
    assert main(["new", str(folder), "--hull", hull, "--units", units]) == 0
    waiting = r"(?m)^# (\[planking\.strake_2\]|(?:material|chine_joint|keel_joint|gain|least|thickness) *=.*)$"
    text = re.sub(waiting, r"\1", (folder / "boat.toml").read_text())
    (folder / "boat.toml").write_text(text)
    with pytest.raises(InputError) as refused:
        read_boat(folder)
    assert all(problem.found == "'?', still blank" for problem in refused.value.problems)


def test_nothing_is_ever_overwritten(tmp_path: Path, capsys: pytest.CaptureFixture[str]) -> None:
    folder = tmp_path / "boat"
    folder.mkdir()
    (folder / "offsets.csv").write_text("mine")
    assert main(["new", str(folder)]) == 1
    assert [path.name for path in folder.iterdir()] == ["offsets.csv"]
    assert (folder / "offsets.csv").read_text() == "mine"
    assert "offsets.csv: is there already, and nothing is overwritten" in capsys.readouterr().err
    (tmp_path / "file").write_text("mine")
    assert main(["new", str(tmp_path / "file")]) == 1
    assert f"{tmp_path}/file: is a file, expected a folder" in capsys.readouterr().err
    assert main(["new", str(tmp_path / "file" / "boat")]) == 1
    assert main(["new", "bad\0name"]) == 1


@pytest.mark.parametrize("name", ['Anna "the" punt', "# 2", "Möwe, small", "tab\tand \x01", "\U0001f6a3"])
def test_any_folder_name_makes_a_boat_that_reads(tmp_path: Path, name: str) -> None:
    assert main(["new", str(tmp_path / name)]) == 0
    filled_name = tmp_path / name
    with pytest.raises(InputError) as refused:
        read_boat(filled_name)
    assert all("still blank" in problem.found for problem in refused.value.problems)


@pytest.mark.parametrize("words", [["--hull", "raft"], ["--units", "cubits"], ["--stations", "0"], ["--stations", "²"]])
def test_bad_usage_is_told_and_writes_nothing(tmp_path: Path, words: list[str]) -> None:
    with pytest.raises(SystemExit) as left:
        main(["new", str(tmp_path / "boat"), *words])
    assert left.value.code == 2
    assert not (tmp_path / "boat").exists()


def test_what_the_command_line_offers_is_what_there_is() -> None:
    assert tuple(HULLS) == commands.HULLS
    assert set(UNITS) == set(commands.UNITS)
    assert BLANK == BLANK_READ
    assert all(kind.ends[0] in FORE_ENDS and kind.ends[1] in AFT_ENDS for kind in HULLS.values())
