"""A job's folder: whole before, whole after, and the builder's own files left alone."""

from __future__ import annotations

import os
import subprocess
import sys
import time
from pathlib import Path

import pytest

from patterns.errors import PatternsError
from patterns.writing import folder
from patterns.writing.folder import LIST, write_folder

OLD = {"book.html": "old", "svg/side-panel.svg": "old panel", "svg/tiles/side-panel-A1.svg": b"old tile"}
NEW = {"book.html": "new", "svg/side-panel.svg": "new panel", "router/frame-3.dxf": b"new frame"}


def held(out: Path) -> dict[str, bytes]:
    """Everything in a folder but this program's list."""
    return {
        path.relative_to(out).as_posix(): path.read_bytes()
        for path in sorted(out.rglob("*"))
        if path.is_file() and path.name != LIST
    }


def as_bytes(files: dict[str, str | bytes]) -> dict[str, bytes]:
    return {name: text.encode() if isinstance(text, str) else text for name, text in sorted(files.items())}


def test_files_are_written_and_listed(tmp_path: Path) -> None:
    write_folder(tmp_path / "deep" / "out", OLD)
    assert held(tmp_path / "deep" / "out") == as_bytes(OLD)
    assert (tmp_path / "deep" / "out" / LIST).read_text().split("\n")[:-1] == sorted(OLD)
    assert [path.name for path in (tmp_path / "deep").iterdir()] == ["out"]


def test_a_new_job_takes_the_place_of_the_old_one(tmp_path: Path) -> None:
    write_folder(tmp_path / "out", OLD)
    write_folder(tmp_path / "out", NEW)
    assert held(tmp_path / "out") == as_bytes(NEW)
    assert not (tmp_path / "out" / "svg" / "tiles").exists()
    assert [path.name for path in tmp_path.iterdir()] == ["out"]


def test_the_builders_own_files_are_left_alone(tmp_path: Path) -> None:
    out = tmp_path / "out"
    write_folder(out, OLD)
    (out / "svg" / "notes.txt").write_text("mine")
    (out / "photos").mkdir()
    write_folder(out, NEW)
    assert held(out) == as_bytes({**NEW, "svg/notes.txt": "mine"})
    assert (out / "photos").is_dir()
    assert not (out / "svg" / "tiles").exists()
    assert (out / LIST).read_text().split("\n")[:-1] == sorted(NEW)
    write_folder(out, OLD)
    assert held(out) == as_bytes({**OLD, "svg/notes.txt": "mine"})


def test_a_file_of_the_builders_is_never_overwritten(tmp_path: Path) -> None:
    out = tmp_path / "out"
    out.mkdir()
    (out / "book.html").write_text("mine")
    with pytest.raises(PatternsError, match="is not of this program's making and would be overwritten"):
        write_folder(out, NEW)
    assert held(out) == {"book.html": b"mine"}


def test_a_file_where_the_folder_should_be_is_refused(tmp_path: Path) -> None:
    (tmp_path / "out").write_text("a file")
    with pytest.raises(PatternsError, match="is a file, wanted a folder for the job"):
        write_folder(tmp_path / "out", NEW)
    with pytest.raises(PatternsError, match="cannot be written"):
        write_folder(tmp_path / "out" / "below", NEW)


def test_a_path_outside_the_folder_is_a_bug(tmp_path: Path) -> None:
    for name in ("../book.html", "/book.html", ""):
        with pytest.raises(ValueError, match="not a path within"):
            write_folder(tmp_path / "out", {name: ""})


def test_a_failing_write_leaves_the_old_job(tmp_path: Path) -> None:
    out = tmp_path / "out"
    write_folder(out, OLD)
    with pytest.raises(PatternsError, match="cannot be written"):
        write_folder(out, {**NEW, "book.html/inside-a-file": "x"})
    assert held(out) == as_bytes(OLD)
    assert [path.name for path in tmp_path.iterdir()] == ["out"]


def test_a_failing_move_puts_the_old_job_back(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    out = tmp_path / "out"
    write_folder(out, OLD)
    (out / "mine.txt").write_text("mine")
    really = folder._move

    def full_disk(source: Path, target: Path) -> None:
        if target == out / "svg" / "side-panel.svg" and ".before" not in source.parts:
            raise OSError(28, "No space left on device")
        really(source, target)

    monkeypatch.setattr(folder, "_move", full_disk)
    with pytest.raises(PatternsError, match="No space left on device"):
        write_folder(out, NEW)
    assert held(out) == as_bytes({**OLD, "mine.txt": "mine"})
    assert (out / LIST).read_text().split("\n")[:-1] == sorted(OLD)


def test_a_killed_write_leaves_the_old_job(tmp_path: Path) -> None:
    """A run is killed outright while it writes, as when the machine is switched off."""
    out = tmp_path / "out"
    write_folder(out, OLD)
    code = (
        "import sys; from pathlib import Path; from patterns.writing.folder import write_folder\n"
        "files = {f'svg/{n}.svg': b'x' * 4000 for n in range(200000)}\n"
        "print('ready', flush=True); write_folder(Path(sys.argv[1]), files)"
    )
    with subprocess.Popen([sys.executable, "-c", code, str(out)], stdout=subprocess.PIPE, text=True) as run:
        assert run.stdout is not None
        run.stdout.readline()
        while not list(tmp_path.glob(".out.scrieve-new-*/svg/*")):
            time.sleep(0.005)
        run.kill()
    assert held(out) == as_bytes(OLD)
    left = list(tmp_path.glob(".out.scrieve-new-*"))
    assert left
    for path in left:
        os.utime(path, (0, 0))
    write_folder(out, NEW)
    assert held(out) == as_bytes(NEW)
    assert [path.name for path in tmp_path.iterdir()] == ["out"]


def test_a_run_killed_between_the_two_renames_is_put_right(tmp_path: Path) -> None:
    out = tmp_path / "out"
    write_folder(out, OLD)
    out.rename(tmp_path / ".out.scrieve-old")
    with pytest.raises(PatternsError):
        write_folder(out, {"book.html": "", "book.html/x": ""})
    assert held(out) == as_bytes(OLD)
