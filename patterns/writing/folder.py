"""A job's folder, changed all at once: the last good job stays whole until the new one is ready."""

from __future__ import annotations

import os
import shutil
import time
from collections.abc import Iterable, Mapping
from pathlib import Path, PurePosixPath

from patterns.errors import PatternsError

LIST = ".scrieve-files"  # in the job's folder, what this program made there, a path to a line
FORGOTTEN = 3600.0  # s; a half-written folder this old belongs to a run that was killed


def write_folder(out: Path, files: Mapping[str, bytes | str]) -> None:
    """Make ``out`` hold ``files``, and of this program's earlier files no others.

    Everything is written to a folder beside ``out`` first. A folder that holds only what this program made is
    then exchanged as a whole. Where the builder keeps files of his own in it, the new files are moved in one by
    one, his are left alone, and a failure on the way puts the old ones back.

    Parameters
    ----------
    files : mapping
        Content by path within ``out``, with forward slashes. Text is written as UTF-8.

    Raises
    ------
    PatternsError
        ``out`` is a file, cannot be written, or holds a file of the builder's by the name of a new one.
    """
    out = Path(os.path.abspath(out)).resolve()
    contents = {_checked(name): content for name, content in files.items()}
    fresh = out.with_name(f".{out.name}.scrieve-new-{os.getpid()}")
    try:
        _tidy(out)
        made = _made_before(out)
        _refuse_strangers(out, contents, made)
        _write_all(fresh, contents)
        if _only_ours(out, made):
            _exchange(out, fresh)
        else:
            _move_in(out, fresh, names=sorted(contents), made=made)
    except OSError as error:
        raise PatternsError(f"{out}: cannot be written ({error.strerror or error})") from error
    finally:
        shutil.rmtree(fresh, ignore_errors=True)


def _checked(name: str) -> str:
    path = PurePosixPath(name)
    if path.is_absolute() or ".." in path.parts or str(path) in (".", LIST):
        raise ValueError(f"not a path within the job's folder: {name!r}")
    return str(path)


def _tidy(out: Path) -> None:
    """Undo what a killed run left: put a folder set aside back, clear half-written ones away."""
    if out.exists() and not out.is_dir():
        raise PatternsError(f"{out}: is a file, wanted a folder for the job")
    out.parent.mkdir(parents=True, exist_ok=True)
    aside = _aside(out)
    if aside.exists():
        if out.exists():
            shutil.rmtree(aside)
        else:
            aside.rename(out)
    for left in sorted(out.parent.glob(f".{_quoted(out.name)}.scrieve-new-*")):
        if time.time() - left.stat().st_mtime > FORGOTTEN:
            shutil.rmtree(left, ignore_errors=True)


def _aside(out: Path) -> Path:
    return out.with_name(f".{out.name}.scrieve-old")


def _quoted(name: str) -> str:
    return "".join(f"[{letter}]" if letter in "*?[" else letter for letter in name)


def _made_before(out: Path) -> frozenset[str]:
    """Files this program made in ``out``, as its list there says."""
    if not (out / LIST).is_file():
        return frozenset()
    lines = (out / LIST).read_text(encoding="utf-8").splitlines()
    return frozenset(line for line in lines if line and not {"..", "/"} & set(PurePosixPath(line).parts))


def _refuse_strangers(out: Path, contents: Iterable[str], made: frozenset[str]) -> None:
    theirs = [name for name in sorted(set(contents) - made) if os.path.lexists(out / name)]
    if theirs:
        raise PatternsError(
            f"{out / theirs[0]}: is not of this program's making and would be overwritten; "
            "move it away or name another folder for the job"
        )
    if out.is_dir() and not os.access(out, os.W_OK | os.X_OK):
        raise PatternsError(f"{out}: cannot be written (no permission)")


def _write_all(fresh: Path, contents: Mapping[str, bytes | str]) -> None:
    fresh.mkdir()
    listed = {**contents, LIST: _listing(contents)}
    for folder in sorted({(fresh / name).parent for name in listed}):
        folder.mkdir(parents=True, exist_ok=True)
    for name, content in listed.items():
        (fresh / name).write_bytes(content.encode("utf-8") if isinstance(content, str) else content)


def _listing(names: Iterable[str]) -> str:
    return "".join(f"{name}\n" for name in sorted(names))


def _only_ours(out: Path, made: frozenset[str]) -> bool:
    """Whether nothing in ``out`` is the builder's: exchanging it as a whole then loses nothing."""
    if not out.exists():
        return True
    ours = {out / name for name in (*made, LIST)}
    folders = {parent for path in ours for parent in path.parents}
    return all(
        not (Path(top) / name).is_symlink() and (Path(top) / name) in (folders if name in below else ours)
        for top, below, plain in os.walk(out)
        for name in (*below, *plain)
    )


def _exchange(out: Path, fresh: Path) -> None:
    """Two renames: a run killed between them is put right by the next."""
    aside = _aside(out)
    if out.exists():
        shutil.copymode(out, fresh)
        out.rename(aside)
    try:
        fresh.rename(out)
    except OSError:
        if aside.exists():
            aside.rename(out)
        raise
    shutil.rmtree(aside, ignore_errors=True)


def _move_in(out: Path, fresh: Path, *, names: list[str], made: frozenset[str]) -> None:
    """The new files one by one among the builder's own; the old ones wait in ``fresh`` until all is done."""
    put: list[str] = []
    set_aside: list[str] = []
    kept = fresh / ".before"
    try:
        # Until the end both jobs' files are this program's, whenever the run is killed.
        (out / LIST).write_text(_listing({*made, *names}), encoding="utf-8")
        for name in sorted(made):
            if (out / name).is_file():
                _move(out / name, kept / name)
                set_aside.append(name)
        for name in names:
            _move(fresh / name, out / name)
            put.append(name)
    except OSError:
        for name in put:
            (out / name).unlink(missing_ok=True)
        for name in set_aside:
            _move(kept / name, out / name)
        if made:
            (out / LIST).write_text(_listing(made), encoding="utf-8")
        else:
            (out / LIST).unlink(missing_ok=True)
        raise
    os.replace(fresh / LIST, out / LIST)
    _drop_empty_folders(out, made - set(names))


def _move(source: Path, target: Path) -> None:
    target.parent.mkdir(parents=True, exist_ok=True)
    os.replace(source, target)


def _drop_empty_folders(out: Path, gone: Iterable[str]) -> None:
    folders = {parent for name in gone for parent in (out / name).parents if out in parent.parents}
    for folder in sorted(folders, key=lambda path: -len(path.parts)):
        if folder.is_dir() and not any(folder.iterdir()):
            folder.rmdir()
