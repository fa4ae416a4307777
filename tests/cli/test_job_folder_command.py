"""``scrieve loft`` into a folder that holds a job already, or another run's, or the builder's own files."""

from __future__ import annotations

import os
import shutil
from pathlib import Path

import pytest
from commanded import bare_boat

from patterns.cli.main import main
from patterns.writing.folder.job_folder import job_folder

pytestmark = pytest.mark.slow

LITTLE_PAPER = ("--only", "stem")  # tiles are half the work of a job, and the same to the folder however many


@pytest.fixture(scope="module")
def made(tmp_path_factory: pytest.TempPathFactory) -> Path:
    """A boat with its job in ``out``; not to be changed."""
    boat = bare_boat(tmp_path_factory.mktemp("made") / "boat")
    assert main(["loft", str(boat), *LITTLE_PAPER]) == 0
    return boat


@pytest.fixture
def boat(made: Path, tmp_path: Path) -> Path:
    return Path(shutil.copytree(made, tmp_path / "boat"))


def test_files_that_the_builder_changed_are_kept_and_named_even_to_the_quiet(
    boat: Path, capsys: pytest.CaptureFixture[str]
) -> None:
    out = boat / "out"
    changed = {"job.json": "job-new.json", "router/bottom.txt": "", "svg/stem.svg": "svg/stem-new.svg"}
    were = {name: (out / name).read_bytes() for name in changed if changed[name]}
    for name in changed:
        (out / name).write_text("mine")
    capsys.readouterr()
    assert main(["loft", str(boat), "--quiet", *LITTLE_PAPER]) == 0
    assert all((out / name).read_text() == "mine" for name in changed)
    assert all((out / changed[name]).read_bytes() == content for name, content in were.items())
    told = " ".join(capsys.readouterr().err.split())
    for name in were:
        assert (
            f"WARNING {out / name}: you have changed the file since scrieve wrote it, so it was kept as it is. The new "
            f"file is {out / changed[name]}." in told
        )
    assert "bottom.txt" not in told


def test_while_another_run_works_in_the_folder_a_second_is_refused_before_it_does_any_work(
    boat: Path, capsys: pytest.CaptureFixture[str]
) -> None:
    before = sorted(boat.rglob("*"))
    capsys.readouterr()
    with job_folder(boat / "out"):
        assert main(["loft", str(boat)]) == 1
    told = capsys.readouterr()
    assert told.out == ""
    assert told.err == (
        f"scrieve: nothing was written.\n{boat / 'out'}: another run of scrieve (process {os.getpid()}) is making a "
        "job in this folder. Wait until it has ended, or name another folder with --out.\n"
    )
    assert sorted(boat.rglob("*")) == before


def test_a_job_may_go_into_the_boats_own_folder_or_the_one_the_terminal_stands_in(
    boat: Path, monkeypatch: pytest.MonkeyPatch, capsys: pytest.CaptureFixture[str]
) -> None:
    shutil.rmtree(boat / "out")
    own = {path.name: (path.read_bytes(), path.stat().st_ino) for path in boat.iterdir()}
    monkeypatch.chdir(boat)
    for _ in range(2):
        assert main(["loft", ".", "--out", ".", *LITTLE_PAPER]) == 0
        assert 'To see the new files here: cd "$PWD"' in capsys.readouterr().out
        assert own == {name: ((boat / name).read_bytes(), (boat / name).stat().st_ino) for name in own}
        assert Path("book.html").is_file()
