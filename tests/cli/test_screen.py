"""What a builder reads while a job is made: stages, one paragraph a thing, warnings once."""

from __future__ import annotations

from pathlib import Path

import pytest
from commanded import bare_boat, scrieve_here

from patterns.cli.loft_words import tell_warnings
from patterns.cli.screen import WIDE, paragraph, screen
from patterns.parts.cautions import Caution


def test_in_a_file_a_stage_is_a_plain_line_and_its_counts_are_not_told(capsys: pytest.CaptureFixture[str]) -> None:
    with screen(quiet=False) as shown:
        shown.stages(2)
        shown.stage("Fairing")
        shown.count(3, 7)
        print("Roll   3 m.")
    assert capsys.readouterr() == ("1/2 Fairing ...\nRoll   3 m.\n", "")


def test_quiet_leaves_warnings_whole_on_standard_error_and_nothing_else(capsys: pytest.CaptureFixture[str]) -> None:
    with screen(quiet=True) as shown:
        shown.stage("Fairing")
        print("Roll   3 m.\n       on 2 pages")
        shown.warn(paragraph("WARNING", "sheer: " + "long words " * 12))
        print("Made   it")
    out, err = capsys.readouterr()
    assert out == ""
    assert err.startswith("WARNING sheer: long words")
    assert err.count("long words") == 12


def test_no_line_ends_within_a_length() -> None:
    lines = paragraph("Joined", "side panel " + "7' 9 1/2\" " * 20).splitlines()
    assert all(len(line) <= WIDE for line in lines)
    assert all(line.rstrip().endswith('1/2"') for line in lines)


def test_a_warning_said_of_many_places_is_printed_once(capsys: pytest.CaptureFixture[str]) -> None:
    cautions = [Caution("frame 1", "is tight."), Caution("stem", "is thin."), Caution("frame 2", "is tight.")]
    with screen(quiet=False) as shown:
        tell_warnings(cautions, shown)
    assert capsys.readouterr() == ("", "WARNING frame 1; frame 2: is tight.\nWARNING stem: is thin.\n")


@pytest.mark.slow
def test_a_quiet_job_says_nothing_of_itself_and_is_made(tmp_path: Path) -> None:
    boat = bare_boat(tmp_path / "boat")
    done = scrieve_here("loft", boat, "--quiet", "--only", "stem")
    assert done.returncode == 0, done.stderr
    assert done.stdout == ""
    assert all(line.startswith(("WARNING", " ")) for line in done.stderr.splitlines())
    assert (boat / "out" / "book.html").is_file()
    assert (boat / "out" / "book.pdf").is_file()
