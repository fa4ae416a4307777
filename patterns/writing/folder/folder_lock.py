"""One run at a time works on a job's folder."""

from __future__ import annotations

import os
import sys
from collections.abc import Iterator
from contextlib import contextmanager, suppress
from pathlib import Path

from patterns.errors import PatternsError

_held: set[int] = set()  # open files by which this process holds locks


@contextmanager
def locked(out: Path) -> Iterator[None]:
    """The lock of the folder ``out``, held as long as this process lives and is within.

    The lock is the system's, on a file beside ``out``, so it goes when the process goes, however that ends. The file
    may stay after a kill; it locks nothing then, and the next run removes it.

    Raises
    ------
    PatternsError
        Another run holds it.
    """
    path = out.with_name(f".{out.name}.scrieve-lock")
    file = _taken(path, out)
    _held.add(file)
    try:
        yield
    finally:
        _held.discard(file)
        with suppress(OSError):  # Windows removes no open file
            path.unlink()
        os.close(file)
        if sys.platform == "win32":
            with suppress(OSError):
                path.unlink()


def _taken(path: Path, out: Path) -> int:
    while True:
        file = os.open(path, os.O_RDWR | os.O_CREAT, 0o666)
        try:
            if not _lock(file):
                raise PatternsError(
                    f"{out}: another run of scrieve{_whose(path)} is making a job in this folder. Wait until it has "
                    "ended, or name another folder with --out."
                )
            if _is_there(path, file):
                os.truncate(file, 0)
                os.write(file, f"{os.getpid()}\n".encode())
                return file
        except BaseException:
            os.close(file)
            raise
        os.close(file)


def _is_there(path: Path, file: int) -> bool:
    """Whether the open file is still the one at the path: who held the lock before may have removed it since."""
    with suppress(FileNotFoundError):
        return os.path.samestat(os.fstat(file), path.stat())
    return False


def _whose(path: Path) -> str:
    with suppress(OSError):
        number = path.read_text(encoding="ascii", errors="replace").strip()
        return f" (process {number})" if number.isdecimal() else ""
    return ""


def _lock(file: int) -> bool:
    """Whether the lock could be had. A file system that knows no locks gives it to everybody."""
    try:
        if sys.platform == "win32":
            import msvcrt

            msvcrt.locking(file, msvcrt.LK_NBLCK, 1)
        else:
            import fcntl

            fcntl.flock(file, fcntl.LOCK_EX | fcntl.LOCK_NB)
    except (BlockingIOError, PermissionError):
        return False
    except OSError:
        return True
    return True


def _let_go() -> None:
    """In a process begun by this one: the lock is not its own, and must not last as long as it does."""
    for file in _held:
        os.close(file)
    _held.clear()


if hasattr(os, "register_at_fork"):
    os.register_at_fork(after_in_child=_let_go)
