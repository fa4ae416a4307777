"""``scrieve new`` as a builder runs it."""

from __future__ import annotations

import re
import tomllib
from pathlib import Path

import pytest

from patterns.cli import commands
from patterns.cli.main import main
from patterns.errors import InputError
from patterns.hull.build import Joint, KeelJoint, LinesTo
from patterns.hull.offsets import AFT_ENDS, FORE_ENDS
from patterns.job.new_boat import HULLS, NewBoat, blanks_in
from patterns.reading.boat.boat_toml import BoatFile, read_boat, read_lines
from patterns.reading.offsets.laid_out import BLANK
from patterns.reading.toml.reference import tables_said
from patterns.units.lengths import UNITS

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
    "keel half-breadths": "1 1 1 1 1 1 1 1",
    "diagonal A half-breadths": "11 17 22 24 23 21 17",
}
CUTS = {
    "buttock 6 in heights": "14 8 5 4 5 8 12",
    "waterline 8 in half-breadths": "4 8 13 16 15 11 6",
    "waterline 12 in half-breadths": "6 11 17 20 20 17 12",
    "waterline 16 in half-breadths": "8 14 20 23 23 20 16",
}
"""Inches, made up; fair enough to be read."""


def filled(folder: Path) -> None:
    """Put a figure for every question mark."""
    table, block, cuts = [], "", iter(CUTS)
    for row in (folder / "offsets.csv").read_text().splitlines():
        name, *cells = row.split(",")
        block = name if name in ("heights", "half-breadths") else block
        if name == "from FP":
            cells = ["", *(str(24 * n) for n in range(1, 7)), ""]
        elif BLANK in cells and not row.startswith(("#", '"#')):
            key = next(cuts) if BLANK in name else f"{name} {block}"
            name = key.removesuffix(f" {block}")
            plan = (PLAN | CUTS)[key].split()
            plan = ["", *plan] if len(plan) < len(cells) else plan  # a cut has no figure on the stem
            cells = [figure if cell == BLANK else cell for cell, figure in zip(cells, plan, strict=True)]
        table.append(row if row.startswith(("#", '"#')) else ",".join((name, *cells)))
    (folder / "offsets.csv").write_text("\n".join(table))
    toml = (folder / "boat.toml").read_text()
    toml = re.sub(r'(?m)^(height|angle)( *)= "\?"', r"\1\2= 30", toml)
    toml = re.sub(r'(?m)^lines_to( *)= "\?"', r'lines_to\1= "outside of planking"', toml)
    profiles = iter(("[[0, 31], [12, 2.5]]", "[[168, 24], [160, 2.5]]"))
    (folder / "boat.toml").write_text(re.sub(r"(?m)^(profile *= ).*", lambda row: row[1] + next(profiles), toml))


def uncommented(folder: Path, *, until: str) -> None:
    """Take the # off every key and table above a title."""
    toml = (folder / "boat.toml").read_text()
    above, title, below = toml.partition(f"# {until}")
    (folder / "boat.toml").write_text(re.sub(r"(?m)^#(?=[\[a-z])(?!heights_from)", "", above) + title + below)


def asked(boat: NewBoat) -> int:
    """Figures that the lines of a boat need: two profiles of two points, each line at each station, and at the ends."""
    if boat.hull.round:  # besides, a buttock, three waterlines and a diagonal; where they lie; the keel's siding
        cuts = 5 * (boat.stations + 1) + 4 + 2
        return 8 + cuts + 2 * boat.stations + 2 * (boat.stations + 2) + boat.stations + 1
    outside = len(boat.hull.lines) - (1 if boat.hull.is_v else 0)
    middle = len(boat.hull.lines) - 2  # whose ends no profile gives
    stations = boat.stations * (len(boat.hull.lines) + outside) + 2 * (outside + middle)
    return 8 + stations + (0 if boat.spacing else boat.stations) + (0 if boat.lines_to or boat.hull.lapped else 1)


@pytest.mark.parametrize("hull", HULLS)
@pytest.mark.parametrize("units", UNITS)
def test_a_new_boat_asks_for_what_the_lines_need_and_nothing_else(
    tmp_path: Path, hull: str, units: str, capsys: pytest.CaptureFixture[str]
) -> None:
    folder = tmp_path / "My boat"
    assert main(["new", str(folder), "--hull", hull, "--units", units, "--stations", "4"]) == 0
    told = capsys.readouterr().out
    assert f"one for each of the {asked(NewBoat('My boat', HULLS[hull], units, 4))} ? in them" in told
    with pytest.raises(InputError) as refused:
        read_lines(folder)
    assert all(problem.found == "'?', still blank" for problem in refused.value.problems)
    ends = {f"[{end.replace(' ', '_')}] profile" for end in HULLS[hull].ends}
    told = {problem.cell.split(", ")[-1] for problem in refused.value.problems if "boat.toml" in problem.cell}
    where = {"[diagonals.A] height", "[diagonals.A] angle"} if HULLS[hull].round else set()
    assert {place.partition(" point")[0] for place in told} - {"[boat] lines_to"} == ends | where


def test_answers_leave_only_the_figures_of_the_plan(tmp_path: Path) -> None:
    """A flat bottom of five stations: 52 figures before wood was left for later."""
    words = ["--stations", "5", "--spacing", "2-0-0", "--lines-to", "outside", "--heights-from", "water-line=0-7-4"]
    assert main(["new", str(tmp_path / "boat"), *words]) == 0
    files = {name: (tmp_path / "boat" / name).read_text() for name in ("boat.toml", "offsets.csv")}
    assert blanks_in(files) == 32
    assert "from FP,,2-0-0,4-0-0,6-0-0,8-0-0,10-0-0,\n" in files["offsets.csv"]
    toml = tomllib.loads(files["boat.toml"])
    assert toml["boat"]["heights_from"] == {"water_line": "0-7-4"}
    assert toml["boat"]["lines_to"] == "outside of planking"


def test_every_blank_is_named_by_row_and_columns_or_by_key(tmp_path: Path, capsys: pytest.CaptureFixture[str]) -> None:
    assert main(["new", str(tmp_path / "skiff"), "--stations", "2"]) == 0
    capsys.readouterr()
    assert main(["fair", str(tmp_path / "skiff")]) == 1
    told = capsys.readouterr().err
    assert re.search(
        r"offsets\.csv, row \d+, columns '1', '2': found '\?', still blank, "
        "expected the sheer's heights, empty cells where the plan gives none",
        told,
    )
    assert re.search(
        r"offsets\.csv, row \d+, columns '1', '2': found '\?', still blank, expected the distance of each station",
        told,
    )
    assert re.search(r"boat\.toml, line \d+, \[boat\] lines_to: found '\?', still blank, expected one of", told)


@pytest.mark.parametrize("hull", HULLS)
def test_the_lines_of_a_boat_filled_in_are_read_and_its_wood_waits(tmp_path: Path, hull: str) -> None:
    folder = tmp_path / "boat"
    assert main(["new", str(folder), "--hull", hull]) == 0
    filled(folder)
    read = read_lines(folder)
    assert not isinstance(read, BoatFile)
    assert read.boat.offsets.lines == HULLS[hull].lines
    assert (read.boat.offsets.columns[0], read.boat.offsets.columns[-1]) == HULLS[hull].ends
    assert read.boat.name == "boat"


@pytest.mark.parametrize("units", UNITS)
@pytest.mark.parametrize("hull", HULLS)
def test_the_rows_of_wood_make_a_whole_boat_once_uncommented(tmp_path: Path, hull: str, units: str) -> None:
    folder = tmp_path / "boat"
    assert main(["new", str(folder), "--hull", hull, "--units", units]) == 0
    filled(folder)
    # Figures of the plan in inches, whatever the unit of the examples.
    (folder / "boat.toml").write_text(re.sub(r"(?m)^units .*", 'units = "in"', (folder / "boat.toml").read_text()))
    uncommented(folder, until="THE OTHER PARTS")
    skin = read_boat(folder).boat.skin
    assert (skin.lap is not None) == HULLS[hull].lapped
    assert (skin.keel is KeelJoint.HALF_ANGLE) == HULLS[hull].is_v
    flat = Joint.LOWER_OVER if not HULLS[hull].is_v else Joint.HALF_ANGLE
    assert skin.joints[-1:] == (() if HULLS[hull].round else (flat,))
    uncommented(folder, until="Every other table")
    assert read_boat(folder).boat.frames is not None


@pytest.mark.parametrize("hull", HULLS)
def test_a_full_file_has_every_key_that_such_a_boat_may_have(tmp_path: Path, hull: str) -> None:
    folder = tmp_path / "boat"
    assert main(["new", str(folder), "--hull", hull, "--full"]) == 0
    text = (folder / "boat.toml").read_text()
    filled(folder)
    assert not isinstance(read_lines(folder), BoatFile)
    ends = {"stem", "bow_transom", "transom", "sternpost"} - {end.replace(" ", "_") for end in HULLS[hull].ends}
    for table in tables_said():
        if table.heading.partition(".")[0] in ends or f"#{table.written}" not in text:
            continue
        part = text[text.index(f"#{table.written}") :].partition("\n\n")[0]
        assert {key.name for key in table.keys} - set(re.findall(r"(?m)^#(\w+) +=", part)) <= FITTED, table.heading


FITTED = {"laps", "boards", "keel_joint", "joint", "joint_at", "stagger"}  # of some kinds of hull only


def test_a_boat_of_lapped_strakes_is_not_asked_where_its_lines_lie(tmp_path: Path) -> None:
    assert main(["new", str(tmp_path / "boat"), "--hull", "lapped", "--lines-to", "outside"]) == 0
    filled(tmp_path / "boat")
    assert read_lines(tmp_path / "boat").boat.lines_to is LinesTo.INSIDE


@pytest.mark.parametrize("hull", ["pram", "double-ended"])
def test_a_v_bottom_between_other_ends_is_made_as_the_table_says(tmp_path: Path, hull: str) -> None:
    folder = tmp_path / "boat"
    assert main(["new", str(folder), "--hull", hull]) == 0
    table = (folder / "offsets.csv").read_text()
    assert "# For a V bottom add a row keel to the heights." in table
    chine = next(row for row in table.splitlines() if row.startswith("chine"))
    full = "chine,?,?,?,?,?,?,?,?"  # of a line that is not the lowest, no profile gives the ends
    (folder / "offsets.csv").write_text(table.replace(chine, f"{full}\nkeel{chine.removeprefix('chine')}", 1))
    filled(folder)
    assert read_lines(folder).boat.offsets.lines == ("sheer", "chine", "keel")


@pytest.mark.parametrize(("end", "hull"), [("stem", "v"), ("sternpost", "double-ended")])
def test_what_a_half_breadth_on_a_stem_means_is_said_where_it_is_asked_for(tmp_path: Path, end: str, hull: str) -> None:
    assert main(["new", str(tmp_path / "boat"), "--hull", hull]) == 0
    table = (tmp_path / "boat" / "offsets.csv").read_text()
    assert f"Half-breadths at the {end}: from the center line to where the face of the planking" in table
    assert f"[{end}] sided must be more than twice that half-breadth, measured to the inside of the planking." in table
    toml = (tmp_path / "boat" / "boat.toml").read_text()
    assert "more than twice the table's half-breadths on it" in toml


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
    filled(tmp_path / name)
    assert read_lines(tmp_path / name).boat.name


@pytest.mark.parametrize(
    "words", [["--hull", "raft"], ["--units", "cubits"], ["--stations", "0"], ["--stations", "²"], ["--lines-to", "x"]]
)
def test_bad_usage_is_told_and_writes_nothing(tmp_path: Path, words: list[str]) -> None:
    with pytest.raises(SystemExit) as left:
        main(["new", str(tmp_path / "boat"), *words])
    assert left.value.code == 2
    assert not (tmp_path / "boat").exists()


@pytest.mark.parametrize(
    ("words", "told"),
    [
        (["--spacing", "two"], "--spacing: found 'two', expected a length such as 2-3-5, 27 5/8 in or 701.7 mm"),
        (["--spacing", "0"], "--spacing: found '0', expected a length of more than 0"),
        (["--heights-from", "water-line"], "--heights-from: found 'water-line', expected base, base-above=LENGTH"),
        (["--heights-from", "base-above=-1"], "expected how far above base it lies, more than 0"),
    ],
)
def test_a_bad_answer_is_told_and_writes_nothing(
    tmp_path: Path, words: list[str], told: str, capsys: pytest.CaptureFixture[str]
) -> None:
    assert main(["new", str(tmp_path / "boat"), *words]) == 1
    assert told in capsys.readouterr().err
    assert not (tmp_path / "boat").exists()


def test_what_the_command_line_offers_is_what_there_is() -> None:
    assert tuple(HULLS) == commands.HULLS
    assert set(UNITS) == set(commands.UNITS)
    assert all(kind.ends[0] in FORE_ENDS and kind.ends[1] in AFT_ENDS for kind in HULLS.values())
