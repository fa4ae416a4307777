"""Lines need the table, its datum, the profiles and lines_to, and nothing else; wood needs the rest."""

from __future__ import annotations

import shutil
import tomllib
from pathlib import Path
from typing import Any

import numpy as np
import pytest
from changed_saltmeadow import TOML, faults
from commanded import ROOT, SALTMEADOW, bare_boat

from patterns.cli.main import main
from patterns.errors import InputError
from patterns.job.faired_lines import faired_table
from patterns.reading.boat.boat_toml import BoatFile, LinesFile, read_boat, read_lines
from patterns.reading.boat.wood_needs import Need, WoodNeededError, lines_to_paste
from patterns.reading.toml.examples import as_toml

SAMPLES = sorted(folder.name for folder in (ROOT / "samples").iterdir())
ENDS = ("stem", "bow_transom", "transom", "sternpost")
OF_LINES = {
    "boat": ("name", "about", "units", "offsets", "lines_to", "heights_from", "fair_within", "show"),
    **dict.fromkeys(ENDS, ("profile", "radius")),
}


def bare_lines(name: str, folder: Path) -> Path:
    """A sample of which only the lines are left; 19 keys at most."""
    shutil.copytree(ROOT / "samples" / name, folder, ignore=shutil.ignore_patterns("out"))
    data = tomllib.loads((folder / "boat.toml").read_text())
    text = "".join(f"{key} = {as_toml(data[key])}\n" for key in ("fairing", "knuckle") if key in data) + "".join(
        _table(heading, keys, data[heading]) for heading, keys in OF_LINES.items() if heading in data
    )
    for name, diagonal in data.get("diagonals", {}).items():
        text += _table(f"diagonals.{name}", ("height", "angle"), diagonal)
    (folder / "boat.toml").write_text(text)
    return folder


def _table(heading: str, keys: tuple[str, ...], values: dict[str, Any]) -> str:
    return f"[{heading}]\n" + "".join(f"{key} = {as_toml(values[key])}\n" for key in keys if key in values)


def pasted(folder: Path, needs: tuple[Need, ...]) -> None:
    """Write each need's line where the message says: into its table, or under a new one at the end."""
    rows = (folder / "boat.toml").read_text().splitlines()
    rows = [row for number, row in enumerate(rows, start=1) if number not in {need.key_line for need in needs}]
    for need in needs:
        if need.table not in rows:
            rows.append(need.table)
        rows.insert(rows.index(need.table) + 1, need.example)
    (folder / "boat.toml").write_text("\n".join(rows))


@pytest.mark.parametrize("name", SAMPLES)
def test_lines_are_faired_the_same_without_any_wood(name: str, tmp_path: Path) -> None:
    read = read_lines(bare_lines(name, tmp_path / name))
    assert not isinstance(read, BoatFile)
    alone, whole = faired_table(read), faired_table(read_boat(ROOT / "samples" / name))
    for one, other in zip(alone.lines, whole.lines, strict=True):
        assert np.array_equal(one.height.faired, other.height.faired)
        assert np.array_equal(one.half_breadth.faired, other.half_breadth.faired)


@pytest.mark.parametrize("name", SAMPLES)
def test_the_lines_told_make_a_whole_boat_once_they_are_pasted(name: str, tmp_path: Path) -> None:
    folder = bare_lines(name, tmp_path / name)
    with pytest.raises(WoodNeededError) as refused:
        read_boat(folder)
    pasted(folder, refused.value.needs)
    assert isinstance(read_lines(folder), BoatFile)


def test_loft_refuses_lines_with_every_key_that_wood_needs(tmp_path: Path, capsys: pytest.CaptureFixture[str]) -> None:
    folder = bare_lines("saltmeadow", tmp_path / "boat")
    text = (folder / "boat.toml").read_text()
    (folder / "boat.toml").write_text(text.replace("[transom]", 'sided = "?"\n[transom]'))
    assert main(["loft", str(folder)]) == 1
    assert capsys.readouterr().err == (
        "scrieve: nothing was written.\n"
        "boat.toml has all that the lines need. The wood needs 6 more keys. Add these, with your own figures:\n"
        "  [stem]  (your table, line 9)\n"
        "  sided = \"2 1/2 in\"    # line 11, still '?': thickness athwart, as measured\n"
        '  moulded = "3 1/2 in"  # depth fore and aft, in profile\n'
        "  [transom]  (your table, line 12)\n"
        '  thickness = "3/4 in"  # thickness of the board, as measured\n'
        "  [planking.side]\n"
        '  thickness = "3/8 in"  # thickness, as measured and not as sold\n'
        "  [planking.bottom]\n"
        '  thickness = "1/2 in"     # thickness, as measured and not as sold\n'
        '  laps = "over the sides"  # how a flat bottom meets the sides\n'
        "Frames, logs, rails and thwarts are made where boat.toml has a table for them.\n"
        "'scrieve new DIR --full' writes every table and key with its meaning.\n"
    )
    assert not (folder / "out").exists()


@pytest.mark.parametrize("key", ["sided   =", "moulded =", "thickness =", "laps  ", "side_moulded", "station_face"])
def test_one_key_of_wood_that_is_absent_is_the_one_that_is_asked_for(tmp_path: Path, key: str) -> None:
    row = next(row for row in TOML.splitlines() if row.startswith(key))
    (tmp_path / "boat.toml").write_text(TOML.replace(row, "", 1))
    shutil.copy(SALTMEADOW / "offsets.csv", tmp_path)
    read = read_lines(tmp_path)
    assert [need.path[-1] for need in read.needs] == [key.split(" ")[0]]
    pasted(tmp_path, read.needs)
    assert not read_lines(tmp_path).needs


def test_an_inch_example_is_told_in_the_builders_millimetres(tmp_path: Path) -> None:
    folder = bare_lines("saltmeadow", tmp_path / "boat")
    text = (folder / "boat.toml").read_text()
    (folder / "boat.toml").write_text(text.replace('units = "in"', 'units = "mm"'))
    told = "\n".join(lines_to_paste(read_lines(folder).needs))
    assert 'moulded = "89 mm"' in told
    assert 'thickness = "9.5 mm"' in told
    assert ' in"' not in told


@pytest.mark.parametrize(
    ("change", "sentence"),
    [
        (('thickness = "3/8 in"', 'thickness = "-3/8 in"'), "[planking.side] thickness: found '-3/8 in'"),
        (('sided   = "2 1/2 in"', 'sidde = "2 1/2 in"'), "[stem] sidde: found an unknown key"),
        (("[inwale]", "[inwail]"), "[inwail]: found an unknown table"),
    ],
)
def test_wood_that_is_wrong_is_told_with_the_lines(tmp_path: Path, change: tuple[str, str], sentence: str) -> None:
    assert any(sentence in told for told in faults(tmp_path, change))
    with pytest.raises(InputError, match="found") as refused:
        read_lines(tmp_path)
    assert sentence in str(refused.value)


def test_the_bow_of_a_transom_counts_for_the_lines(tmp_path: Path) -> None:
    folder = bare_lines("saltmeadow", tmp_path / "boat")
    flat = faired_table(read_lines(folder))
    (folder / "boat.toml").write_text((folder / "boat.toml").read_text() + '\nradius = "4 ft"\n')
    bowed = faired_table(read_lines(folder))
    ends = [table.lines[0].half_breadth.from_fp[-1] for table in (flat, bowed)]
    assert ends[1] < ends[0] - 50.0  # 4 ft less the root of 4 ft squared less 23 in squared: 5.9 in forward


@pytest.mark.slow
def test_fair_draws_lines_alone_and_says_where_and_what_comes_next(
    tmp_path: Path, capsys: pytest.CaptureFixture[str]
) -> None:
    folder = bare_lines("sandlark", tmp_path / "boat")
    assert main(["fair", str(folder)]) == 0
    told = capsys.readouterr().out
    assert {file.name for file in (folder / "lines").iterdir()} >= {"lines.html", "lines.pdf", "offsets-faired.csv"}
    assert str(folder / "lines") in told
    assert "[planking.side]" in told
    assert main(["fair", str(folder), "--ease-twist"]) == 1  # a twist is one of the planking
    assert "The wood needs 5 more keys" in capsys.readouterr().err


@pytest.mark.slow
@pytest.mark.parametrize(
    ("sided", "lines_to", "told"),
    [
        ("1 in", "outside of planking", 'where it is 1/4" thick or less, and scrieve loft will refuse it.'),
        ("1 in", "inside of planking", "The planking has nothing to land on, and scrieve loft will refuse it."),
        ("1 5/8 in", "inside of planking", ""),
    ],
)
def test_a_stem_too_thin_for_its_half_breadths_is_told_with_the_lines(
    sided: str, lines_to: str, told: str, tmp_path: Path, capsys: pytest.CaptureFixture[str]
) -> None:
    """Saltmeadow's lines end 3/4 in off the centre line on the stem."""
    folder = bare_lines("saltmeadow", tmp_path / "boat")
    text = (folder / "boat.toml").read_text().replace("outside of planking", lines_to)
    (folder / "boat.toml").write_text(text.replace("[transom]", f'sided = "{sided}"\n[transom]'))
    assert main(["fair", str(folder)]) == 0
    said = " ".join("".join(capsys.readouterr()).split())
    first = '[stem] sided: half of 1" is 1/2", but the chine ends 3/4" off the center line on the stem\'s face'
    assert (first in said) is bool(told)
    assert told in said


def test_faults_of_the_lines_are_told_without_what_wood_needs(tmp_path: Path) -> None:
    folder = bare_lines("saltmeadow", tmp_path / "boat")
    (folder / "boat.toml").write_text((folder / "boat.toml").read_text().replace("outside of planking", "outside"))
    for read, count in ((read_lines, 1), (read_boat, 7)):
        with pytest.raises(InputError) as refused:
            read(folder)
        assert len(refused.value.problems) == count


def test_a_boat_read_for_its_lines_is_whole_where_its_wood_is_said(tmp_path: Path) -> None:
    read: LinesFile = read_lines(bare_boat(tmp_path / "boat"))
    assert isinstance(read, BoatFile)
