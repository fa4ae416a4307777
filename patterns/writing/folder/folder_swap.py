"""Two folders change places at once; what a run leaves beside a job's folder is cleared away."""

from __future__ import annotations

import ctypes
import errno
import os
import sys
from collections.abc import Iterator
from contextlib import suppress
from functools import cache
from pathlib import Path
from typing import Any

from patterns.errors import PatternsError
from patterns.writing.folder.folder_list import LIST, is_as_listed, read_list

UNREADY = ".scrieve-unready"  # in a folder that is not whole yet
AT_FDCWD = -100  # of Linux: a path is from the working directory
RENAME_EXCHANGE = 2  # of Linux's renameat2: both names stay, and change what they name
NOT_KNOWN = (errno.ENOSYS, errno.EINVAL, errno.ENOTSUP, errno.EOPNOTSUPP)


def exchange(fresh: Path, out: Path) -> None:
    """Put ``fresh`` in the place of ``out``, with what ``out`` held left beside it.

    Linux exchanges both names in one step. Elsewhere two renames do it: a run killed between them leaves no ``out``,
    but the old folder whole beside it, and the next run puts it back (`tidy`).
    """
    if not os.path.lexists(out):
        os.rename(fresh, out)
    elif not _exchanged(fresh, out):
        try:
            os.rename(out, _aside(out))
            os.rename(fresh, out)
        except BaseException:
            _put_back(out)
            raise


def tidy(out: Path) -> None:
    """Finish or undo what earlier runs left: put back a folder set aside, clear away the rest.

    Only whoever holds the folder's lock may call this.
    """
    _put_back(out)
    for left in _left_beside(out):
        with suppress(OSError, PatternsError):  # tried again by the next run
            clear(left, out)


def clear(tree: Path, out: Path) -> None:
    """Remove a folder beside ``out``, and give ``out`` whatever there is the builder's and nowhere else.

    A folder that is not whole yet holds only what this program made, and links to the builder's files in ``out``. A
    whole one is the old job, or the new one just before its exchange; its list tells what this program made.
    Everything in it else was carried across, or came while the job was being written.
    """
    folders, files = _contents(tree)
    ready = not os.path.lexists(tree / UNREADY)
    listed, new = (read_list(tree), read_list(out)) if ready else ({}, {})
    for file in files:
        name = file.relative_to(tree).as_posix()
        if name in (LIST, UNREADY):
            continue
        if not ready or is_as_listed(file, listed.get(name)):
            file.unlink()
        else:
            _give_back(file, out / name, ours=name in new)
    # Until now a run killed on the way knows what this folder is.
    for name in (LIST, UNREADY):
        (tree / name).unlink(missing_ok=True)
    for folder in reversed(folders):
        folder.rmdir()


def free_name(place: Path, word: str) -> Path:
    """A name beside ``place`` that nothing has: the stem, the word, a number from the second on."""
    return next(path for path in names_beside(place, word) if not os.path.lexists(path))


def names_beside(place: Path, word: str) -> Iterator[Path]:
    yield place.with_name(f"{place.stem}-{word}{place.suffix}")
    number = 2
    while True:
        yield place.with_name(f"{place.stem}-{word}-{number}{place.suffix}")
        number += 1


def _give_back(file: Path, place: Path, *, ours: bool) -> None:
    """Of two files of the builder's by one name the one changed last stays."""
    if not os.path.lexists(place):
        place.parent.mkdir(parents=True, exist_ok=True)
        os.rename(file, place)
    elif os.path.samestat(file.lstat(), place.lstat()):
        file.unlink()
    elif ours:
        os.rename(file, free_name(place, "yours"))
    elif file.lstat().st_mtime_ns > place.lstat().st_mtime_ns:
        os.replace(file, place)
    else:
        file.unlink()


def _contents(tree: Path) -> tuple[list[Path], list[Path]]:
    """Folders, each before those in it, made open to be emptied; and all that is no folder."""
    folders, files = [tree], list[Path]()
    for folder in folders:
        with suppress(OSError):  # somebody else's may be open all the same
            folder.chmod(0o700)
        for entry in sorted(os.scandir(folder), key=lambda entry: entry.name):
            (folders if entry.is_dir(follow_symlinks=False) else files).append(Path(entry.path))
    return folders, files


def _aside(out: Path) -> Path:
    return out.with_name(f".{out.name}.scrieve-old")


def _put_back(out: Path) -> None:
    if _aside(out).is_dir() and not os.path.lexists(out):
        os.rename(_aside(out), out)


def _left_beside(out: Path) -> list[Path]:
    begins = f".{out.name}.scrieve-new-"
    names = [name for name in sorted(os.listdir(out.parent)) if name.startswith(begins) or name == _aside(out).name]
    return [path for path in map(out.parent.joinpath, names) if path.is_dir() and not path.is_symlink()]


def _exchanged(one: Path, other: Path) -> bool:
    """Whether the system exchanged both names in one step; False where it does not know how to."""
    rename = _renameat2()
    if rename is None:
        return False
    if rename(AT_FDCWD, os.fsencode(one), AT_FDCWD, os.fsencode(other), RENAME_EXCHANGE) == 0:
        return True
    code = ctypes.get_errno()
    if code in NOT_KNOWN:
        return False
    raise OSError(code, os.strerror(code), str(other))


@cache
def _renameat2() -> Any:
    if sys.platform != "linux":
        return None
    return getattr(ctypes.CDLL(None, use_errno=True), "renameat2", None)
