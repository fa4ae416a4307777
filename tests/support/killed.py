"""Runs that are killed at a step of their own choosing, and what is then there."""

from __future__ import annotations

import os
import signal
import sys
from collections.abc import Callable
from pathlib import Path
from types import FrameType
from typing import Any

FOLDER_CODE = str(Path(__file__).parents[2] / "patterns" / "writing" / "folder")
# What Python reports of its dealings with files, besides every line of the program's own.
DEALINGS = ("open", "os.", "shutil.", "fcntl.", "ctypes.")

_steps = 0
_last = sys.maxsize
_watched = False


def steps_of(work: Callable[[], object]) -> int:
    """How many steps a work takes, counted in a process of its own: lines of the folder's code, dealings with files."""
    reading, writing = os.pipe()
    child = os.fork()
    if child == 0:
        try:
            _watch(sys.maxsize)
            work()
            sys.settrace(None)
            os.write(writing, str(_steps).encode())
        finally:
            os._exit(0)
    os.close(writing)
    with os.fdopen(reading) as told:
        count = int(told.read() or 0)
    os.waitpid(child, 0)
    return count


def killed_at(step: int, work: Callable[[], object]) -> bool:
    """Do the work in a process that kills itself outright at a step. False if it ended before."""
    child = os.fork()
    if child == 0:
        try:
            _watch(step)
            work()
        finally:
            os._exit(0)
    return os.WTERMSIG(os.waitpid(child, 0)[1]) == signal.SIGKILL


def everything_in(folder: Path) -> dict[str, bytes | str | None]:
    """Content of each file, target of each link, nothing for a folder."""
    return {
        path.relative_to(folder).as_posix(): os.readlink(path)
        if path.is_symlink()
        else path.read_bytes()
        if path.is_file()
        else None
        for path in sorted(folder.rglob("*"))
    }


def _watch(last: int) -> None:
    global _steps, _last, _watched
    _steps, _last = 0, last
    if not _watched:
        sys.addaudithook(_dealing)
        _watched = True
    sys.settrace(_line)


def _step() -> None:
    global _steps
    _steps += 1
    if _steps > _last:
        os.kill(os.getpid(), signal.SIGKILL)


def _dealing(event: str, _: tuple[Any, ...]) -> None:
    if event.startswith(DEALINGS) and event != "os.kill":
        _step()


def _line(frame: FrameType, event: str, _: Any) -> Any:
    if not frame.f_code.co_filename.startswith(FOLDER_CODE):
        return None
    if event == "line":
        _step()
    return _line
