"""Commands in rough surroundings, and boats that cannot be made: one plain answer, never a traceback."""

from __future__ import annotations

import os
import re
import shutil
import signal
import subprocess
import sys
import time
import warnings
from pathlib import Path

import pytest
from commanded import ROOT, bare_boat

from patterns.cli.main import main

SAMPLES = ROOT / "samples"
COMMAND = (sys.executable, "-m", "patterns.cli.main")


def boat_of(sample: str, folder: Path) -> Path:
    return Path(shutil.copytree(SAMPLES / sample, folder / sample, ignore=shutil.ignore_patterns("out")))


def with_row_copied(boat: Path, *views: int) -> Path:
    """The sheer's heights (0) or half-breadths (1) or both once more as the chine's."""
    table = boat / "offsets.csv"
    rows = [row.split(",") for row in table.read_text(encoding="utf-8").splitlines()]
    sheer, chine = ([row for row in rows if row[0] == name] for name in ("sheer", "chine"))
    for view in views:
        chine[view][1:] = sheer[view][1:]
    table.write_text("\n".join(map(",".join, rows)) + "\n", encoding="utf-8")
    return boat


def replaced(boat: Path, old: str, new: str) -> Path:
    text = (boat / "boat.toml").read_text(encoding="utf-8")
    assert old in text
    (boat / "boat.toml").write_text(text.replace(old, new, 1), encoding="utf-8")
    return boat


def refusal(command: str, boat: Path, capsys: pytest.CaptureFixture[str]) -> str:
    """What loft says on standard error, and fair after its report, as one line; numpy may warn of nothing."""
    with warnings.catch_warnings():
        warnings.simplefilter("error")
        code = main([command, str(boat)])
    told = capsys.readouterr()
    if command == "loft":
        assert code == 1
        return " ".join(told.err.split()).removeprefix("scrieve: nothing was written. ")
    assert code == 0
    assert "Moved" in told.out
    return " ".join(told.err.partition("scrieve loft will refuse this boat as it stands:")[2].split())


@pytest.mark.slow
@pytest.mark.parametrize("sample", ["saltmeadow", "duckweed", "reedling"])
@pytest.mark.parametrize("views", [(0,), (1,), (0, 1)])
def test_fair_tells_of_copied_rows_what_loft_refuses(
    sample: str, views: tuple[int, ...], tmp_path: Path, capsys: pytest.CaptureFixture[str]
) -> None:
    boat = with_row_copied(boat_of(sample, tmp_path), *views)
    told = refusal("fair", boat, capsys)
    assert told.startswith("offsets.csv, row ")
    assert "one of the two rows is a copy of the other. Look at the plan again." in told
    assert "figures that suit the others least" not in told
    assert refusal("loft", boat, capsys) == told


def test_sizes_no_table_can_mend_are_refused_without_a_word_of_its_figures(
    tmp_path: Path, capsys: pytest.CaptureFixture[str]
) -> None:
    told = refusal("loft", replaced(boat_of("duckweed", tmp_path), "floor_moulded = 60", "floor_moulded = 360"), capsys)
    assert told.startswith("frame ")
    assert "figure" not in told


@pytest.mark.parametrize("rows", [(6, 4), (7, 4), (6, 3), (7, 3)])
def test_half_breadths_copied_as_heights_are_one_fault_at_their_row(
    rows: tuple[int, int], tmp_path: Path, capsys: pytest.CaptureFixture[str]
) -> None:
    boat, (copied, over) = boat_of("saltmeadow", tmp_path), rows
    table = (boat / "offsets.csv").read_text(encoding="utf-8").splitlines()
    table[over] = table[over].partition(",")[0] + "," + table[copied].partition(",")[2]
    (boat / "offsets.csv").write_text("\n".join(table), encoding="utf-8")
    told = refusal("loft", boat, capsys)
    assert told.startswith(f"offsets.csv, row {over + 1}: found the figures of row {copied + 1}, the ")
    assert told.count("offsets.csv, row") == 1


@pytest.mark.slow
def test_a_creased_side_is_told_with_its_place_and_the_figure_to_look_at(
    tmp_path: Path, capsys: pytest.CaptureFixture[str]
) -> None:
    boat = boat_of("saltmeadow", tmp_path)
    table = (boat / "offsets.csv").read_text(encoding="utf-8")
    (boat / "offsets.csv").write_text(table.replace("0-6-1,1-2-6,1-7-7", "0-6-1,0-8-0,1-7-7"), encoding="utf-8")
    told = refusal("loft", boat, capsys)
    assert re.match(r"side panel, port: edge 'sheer': it turns back on itself 2' \d[\d/ ]*\" from its left end", told)
    assert "chine half-breadth at 2: 0-8-0 lies" in told


@pytest.mark.slow
def test_fair_says_nothing_of_loft_where_loft_makes_the_boat(
    tmp_path: Path, capsys: pytest.CaptureFixture[str]
) -> None:
    assert not refusal("fair", bare_boat(tmp_path / "boat"), capsys)


@pytest.mark.slow
def test_a_breasthook_hollowed_to_half_its_breadth_is_refused_by_name(
    tmp_path: Path, capsys: pytest.CaptureFixture[str]
) -> None:
    boat = replaced(boat_of("reedling", tmp_path), 'crown     = "1/4 in"', 'hollow = "156 mm"')
    told = refusal("fair", boat, capsys)
    assert told.startswith('after breasthook: its hollow of 6 1/8" is deeper than half its breadth of')


@pytest.mark.slow
def test_edges_that_cross_are_told_by_name(tmp_path: Path, capsys: pytest.CaptureFixture[str]) -> None:
    hollow = '[breasthook]\nlength = "9 in"\nthickness = "3/4 in"\nhollow = "156 mm"\n\n[saw]'
    told = refusal("fair", replaced(boat_of("saltmeadow", tmp_path), "[saw]", hollow), capsys)
    assert told.startswith("breasthook: its edges 'after edge' and 'side starboard' cross")


@pytest.mark.slow
def test_a_crown_as_high_as_half_the_bow_transom_is_refused_by_name(
    tmp_path: Path, capsys: pytest.CaptureFixture[str]
) -> None:
    told = refusal("fair", replaced(boat_of("duckweed", tmp_path), "crown     = 25", "crown     = 281.7"), capsys)
    assert told.startswith("bow transom: crown 281.7 mm makes a top only")


@pytest.mark.parametrize("digits", ["9" * 5000, "0x" + "f" * 5000])
def test_a_number_of_thousands_of_digits_is_refused_at_its_line(
    digits: str, tmp_path: Path, capsys: pytest.CaptureFixture[str]
) -> None:
    boat = replaced(boat_of("duckweed", tmp_path), "strongback = 560", f"strongback = {digits}")
    told = refusal("loft", boat, capsys)
    assert told.startswith("boat.toml, line 50, [building] strongback: found a number of ")
    assert len(told) < 400


@pytest.mark.parametrize(
    ("old", "new", "told"),
    [
        ("drain    = 5", "drain = 1e308", "[chine_log] drain: found 1e308, expected degrees from 0 to 60"),
        (
            "scarf = 8",
            f"scarf = {'9' * 30}",
            "[stock] scarf: found a number of 30 digits, expected length over thickness",
        ),
        (
            "strongback = 560",
            "strongback = 1e308",
            "[building] strongback: found 1e308, expected a length such as 2-3-5",
        ),
        ("at        = 1080", f"at = {'9' * 5000}", "[[thwart]] 1 at: found a number of 5000 digits, expected a length"),
        ("height    = 240", f"height = [1, {'9' * 4400}]", "[[thwart]] 1 height 2: found a number of 4400 digits"),
        (
            '"2", "4", "6"',
            f'"2", "{"x" * 120}"',
            f"[frames] stations: found '{'x' * 40} ...', expected at most 20 letters",
        ),
    ],
)
def test_numbers_and_names_too_long_are_told_by_their_key_and_what_stands_there(
    old: str, new: str, told: str, tmp_path: Path, capsys: pytest.CaptureFixture[str]
) -> None:
    assert told in refusal("loft", replaced(boat_of("duckweed", tmp_path), old, new), capsys)


@pytest.mark.parametrize("command", ["fair", "loft", "nest"])
def test_a_folder_the_system_will_not_look_into_is_refused_in_words(
    command: str, tmp_path: Path, capsys: pytest.CaptureFixture[str]
) -> None:
    assert main([command, str(tmp_path / ("x" * 300))]) == 1
    assert "boat.toml: found file name too long" in capsys.readouterr().err


@pytest.mark.slow
@pytest.mark.skipif(not os.path.exists("/dev/full"), reason="a system without /dev/full")
@pytest.mark.parametrize(
    ("words", "unbuffered"), [("fair samples/duckweed", "1"), ("fair samples/duckweed", ""), ("--help", "")]
)
def test_full_standard_output_is_told_in_one_line(words: str, unbuffered: str) -> None:
    surroundings = {**os.environ, "PYTHONUNBUFFERED": unbuffered}
    with open("/dev/full", "w", encoding="utf-8") as full:
        done = subprocess.run(
            [*COMMAND, *words.split()],
            cwd=ROOT,
            env=surroundings,
            stdout=full,
            stderr=subprocess.PIPE,
            text=True,
            check=False,
        )
    assert done.returncode == 1
    assert done.stderr.startswith("scrieve: its words cannot be written to standard output (No space left on device)")
    assert done.stderr.count("\n") == 1


@pytest.mark.slow
@pytest.mark.skipif(sys.platform == "win32", reason="closed by a shell")
def test_closed_standard_output_stops_nothing(tmp_path: Path) -> None:
    boat = bare_boat(tmp_path / "boat")
    line = f'"{sys.executable}" -m patterns.cli.main fair "{boat}" --out "{tmp_path / "out"}" >&-'
    done = subprocess.run(["sh", "-c", line], cwd=ROOT, stderr=subprocess.PIPE, text=True, check=False)
    assert (done.returncode, done.stderr) == (0, "")
    assert (tmp_path / "out" / "lines.pdf").is_file()


@pytest.mark.slow
def test_ascii_output_shows_signs_in_ascii_and_letters_it_has_not_as_question_marks(tmp_path: Path) -> None:
    boat = replaced(boat_of("duckweed", tmp_path), '"Duckweed"', '"Кувшинка, Seerösé"')
    ascii_only = {**os.environ, "PYTHONIOENCODING": "ascii"}
    done = subprocess.run([*COMMAND, "fair", str(boat)], cwd=ROOT, env=ascii_only, capture_output=True, check=False)
    assert (done.returncode, done.stderr) == (0, b"")
    assert done.stdout.startswith(b"Read   ????????, Seerose: sheer, chine at 7 stations")


@pytest.mark.slow
@pytest.mark.skipif(sys.platform == "win32", reason="signals as Unix has them")
@pytest.mark.parametrize("after", [0.0, 0.5, 1.0])
def test_ctrl_c_ends_loft_with_one_line_and_no_debris(after: float, tmp_path: Path) -> None:
    boat = boat_of("saltmeadow", tmp_path)
    before = sorted(tmp_path.rglob("*"))
    going = subprocess.Popen(
        [*COMMAND, "loft", str(boat)], cwd=ROOT, stdout=subprocess.PIPE, stderr=subprocess.PIPE, text=True,
        start_new_session=True,
    )  # fmt: skip
    assert going.stdout is not None
    assert going.stdout.readline()  # the command has begun its work
    time.sleep(after)
    os.killpg(going.pid, signal.SIGINT)  # as a terminal does, to every process of the job
    _, said = going.communicate(timeout=60)
    assert going.returncode == 130
    assert said.strip() == "scrieve: stopped by Ctrl-C. No file is half written."
    assert sorted(tmp_path.rglob("*")) == before


SHARP_FOREFOOT = """Saltmeadow,stem,1,2,3,4,5,6,transom
from FP,,2-0-0,4-0-0,6-0-0,8-0-0,10-0-0,12-0-0,
heights,,,,,,,,
sheer,2-6-4,2-3-0,2-0-4,1-10-5,1-9-5,1-9-3,1-9-6,1-11-2
chine,0-8-0,0-1-0,0-0-3,0-0-0,0-0-0,0-0-6,0-2-3,0-4-5
half-breadths,,,,,,,,
sheer,0-0-6,1-0-5,1-8-3,2-1-2,2-3-6,2-4-0,2-2-5,1-11-0
chine,0-0-6,0-6-1,1-2-6,1-7-7,1-10-5,1-11-2,1-10-0,1-7-6
"""


@pytest.mark.slow
def test_a_hull_that_cannot_be_made_of_a_table_that_is_not_accused_contradicts_nothing(
    tmp_path: Path, capsys: pytest.CaptureFixture[str]
) -> None:
    boat = replaced(boat_of("saltmeadow", tmp_path), '["1-1-4", "0-4-2"]', '["1-1-4", "0-8-0"]')
    (boat / "offsets.csv").write_text(SHARP_FOREFOOT, encoding="utf-8")
    assert main(["fair", str(boat), "--verbose"]) == 0
    told = " ".join("".join(capsys.readouterr()).split())
    assert "No figure stands out from the rest." in told
    assert "look first at the figures" in told
    assert "No figure is surely wrong. If the hull should be sound, look first at the figures" in told
