"""Sizes out of all proportion to the boat are refused by key, with what was found and what was wanted."""

from __future__ import annotations

import shutil
from pathlib import Path

import pytest

from patterns.cli.main import main
from patterns.errors import InputError
from patterns.parts.whole import loft
from patterns.reading.boat.boat_toml import read_boat

SALTMEADOW = Path(__file__).parents[2] / "samples" / "saltmeadow"


def changed(folder: Path, old: str, new: str) -> Path:
    boat = folder / "boat"
    shutil.copytree(SALTMEADOW, boat, ignore=shutil.ignore_patterns("out"))
    text = (boat / "boat.toml").read_text(encoding="utf-8")
    assert old in text
    (boat / "boat.toml").write_text(text.replace(old, new, 1), encoding="utf-8")
    return boat


@pytest.mark.parametrize(
    ("old", "new", "told"),
    [
        ('fair_within = "1/8 in"', 'fair_within = "2 in"', 'found 2", expected at most 1" (further, a batten'),
        ('thickness = "3/4 in"', 'thickness = "3/4 ft"', 'found 9", expected at most 2 13/16"'),
        (
            'crown     = "2 1/2 in"',
            'radius = "2 ft"\ncrown     = "2 1/2 in"',
            "found 2' 0\", expected at least 2' 4 3/4\", 1.25 of its half-breadth",
        ),
        (
            'sided         = "3/4 in"',
            'sided         = "3.4 ft"',
            "expected at most 1' 0\" (half the least station spacing)",
        ),
    ],
)
def test_a_size_no_boat_has_is_refused_by_its_key(tmp_path: Path, old: str, new: str, told: str) -> None:
    with pytest.raises(InputError) as refused:
        read_boat(changed(tmp_path, old, new))
    assert "boat.toml, line " in str(refused.value)
    assert told in str(refused.value)


@pytest.mark.slow
def test_a_limit_past_a_quarter_inch_is_warned_of(tmp_path: Path) -> None:
    read = read_boat(changed(tmp_path, 'fair_within = "1/8 in"', 'fair_within = "1/2 in"'))
    assert "[boat] fair_within" in [caution.where for caution in loft(read.boat).warnings]


def test_a_file_given_for_the_folder_is_refused_before_any_work(
    tmp_path: Path, capsys: pytest.CaptureFixture[str]
) -> None:
    there = tmp_path / "job"
    there.write_text("not a folder")
    assert main(["loft", str(SALTMEADOW), "--out", str(there)]) == 1
    told = capsys.readouterr()
    assert told.out == ""
    assert f"{there}: found a file, expected a folder for the job" in told.err
    assert there.read_text() == "not a folder"


@pytest.mark.parametrize(
    ("top", "wanted"), [("100000 mm", "expected at most"), ("-30 ft", "expected no more than 6' 6 3/4\" below base")]
)
def test_a_strongback_out_of_reach_is_refused_by_its_key(tmp_path: Path, top: str, wanted: str) -> None:
    """Legs as long as that would be printed on thousands of pages."""
    boat = changed(
        tmp_path, "[planking.side]", f'[building]\nway = "upside down"\nstrongback = "{top}"\n\n[planking.side]'
    )
    with pytest.raises(InputError) as refused:
        read_boat(boat)
    assert "[building] strongback: found" in str(refused.value)
    assert wanted in str(refused.value)
