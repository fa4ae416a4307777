"""A job's folder, changed all at once: the last good job stays whole until the new one is ready.

What is promised. Whenever a run is killed, the folder holds the old job whole or the new one whole, and every file of
the builder's that it held. Nothing is left for him to mend: the next run clears away what lies beside the folder. A
file that the builder made, has changed, or has the boat read from is never written over.

How it is done.

1. A lock (`folder_lock`) lets one run at a time work on a folder, from the beginning of the command to its end.
2. The new folder is made beside the old one, as ``.out.scrieve-new-NUMBER``: first the new job's files, then the
   builder's own files, as further links to the very same files. So his files are in both folders when these are
   exchanged, and in no moment in neither. Where a file system knows no links they are copied. A mark in the new folder
   (``.scrieve-unready``) says that it is not whole; taking the mark away is the last step before the exchange.
3. Both folders change names in one step of the system (`folder_swap.exchange`). This step is the only one that
   changes the folder the builder sees.
4. The old folder, now beside the new one, is cleared away: what the list says this program made and nobody changed,
   and the second links. What came into it while the new one was being made is moved across, never removed.

A run killed before step 3 leaves a folder beside the old job, after it a folder beside the new one. The next run
clears both kinds away by the same rules (`folder_swap.tidy`). The list (`folder_list`) tells the builder's files from
this program's; `folder_plan` decides from it what is written where. All this is about runs that are killed; that a
disk has taken what it was given when the power fails is for the disk's file system.
"""

from __future__ import annotations

import errno
import os
import shutil
from collections.abc import Container, Iterable, Iterator, Mapping
from contextlib import ExitStack, contextmanager, suppress
from dataclasses import dataclass
from pathlib import Path

from patterns.errors import PatternsError
from patterns.geometry.short_repr import brief
from patterns.writing.folder.folder_list import LIST, is_within, list_text
from patterns.writing.folder.folder_lock import locked
from patterns.writing.folder.folder_plan import Held, Kept, Plan, held_in, planned
from patterns.writing.folder.folder_swap import UNREADY, exchange, tidy

Files = Mapping[str, bytes | str]

NO_LINKS = (errno.EPERM, errno.ENOTSUP, errno.EOPNOTSUPP, errno.EMLINK, errno.ENOSYS)
CANNOT_MOVE = (errno.EBUSY, errno.EXDEV)  # a folder on which a disk is mounted


@dataclass(frozen=True, slots=True)
class Written:
    """What became of a job's files."""

    names: tuple[str, ...]  # paths in the folder
    kept: tuple[Kept, ...]  # what was not written over

    __repr__ = brief


class JobFolder:
    """A job's folder while its lock is held."""

    def __init__(self, out: Path) -> None:
        self.out = out
        here = _standing_in()
        self.stood_in = here is not None and here.is_relative_to(out)  # by this process, and the terminal it came from

    def write(self, files: Files, *, used: Iterable[Path] = ()) -> Written:
        """Make the folder hold ``files``, the builder's own, and of this program's earlier files no others.

        Parameters
        ----------
        files : mapping
            Content by path within the folder, with forward slashes. Text is written as UTF-8.
        used : iterable of Path
            What the command has read. Such a file is not written over even if this program made it.

        Raises
        ------
        PatternsError
            The folder cannot be written, or holds a file of the builder's by the name of a new one.
        """
        contents = {_checked(name): _bytes(content) for name, content in files.items()}
        with _told_of(self.out):
            held = held_in(self.out, used)
            plan = planned(contents, held)
            _put(plan, held)
        return Written(tuple(plan.contents), plan.kept)


@contextmanager
def job_folder(out: Path) -> Iterator[JobFolder]:
    """The folder for a job, looked at first and then locked for as long as the command works on it.

    Raises
    ------
    PatternsError
        It is a file, cannot be written, is worked on by another run, or its list is damaged.
    """
    with ExitStack() as until_done:
        with _told_of(out):
            out = Path(os.path.realpath(_absolute(out)))
            _refuse_no_folder(out)
            until_done.enter_context(_with_parents(out))
            until_done.enter_context(locked(out))
            tidy(out)
            held_in(out, ())
        yield JobFolder(out)


def write_folder(out: Path, files: Files, *, used: Iterable[Path] = ()) -> Written:
    """`JobFolder.write`, for files that take no time to make."""
    with job_folder(out) as folder:
        return folder.write(files, used=used)


def _checked(name: str) -> str:
    if not is_within(name) or name in (LIST, UNREADY):
        raise ValueError(f"not a path within the job's folder: {name!r}")
    return name


def _bytes(content: bytes | str) -> bytes:
    return content.encode("utf-8") if isinstance(content, str) else content


@contextmanager
def _told_of(out: Path) -> Iterator[None]:
    """What the system says no to becomes words for the builder."""
    try:
        yield
    except OSError as error:
        if error.errno in CANNOT_MOVE:
            raise _no_place(out) from error
        path = str(error.filename or "")
        place = path if path.startswith(f"{out}{os.sep}") else str(out)
        raise PatternsError(
            f"{place}: cannot be written ({error.strerror or error}). Make it a folder that you may write in, or name "
            "another one with --out."
        ) from error


def _absolute(out: Path) -> str:
    try:
        return os.path.abspath(out)
    except FileNotFoundError:
        raise PatternsError(
            f'{out}: the folder that this terminal stands in is gone, and {out} is a path from there. Type cd "$PWD" '
            "and run the command again."
        ) from None


def _refuse_no_folder(out: Path) -> None:
    if os.path.lexists(out) and not out.is_dir():
        raise PatternsError(
            f"{out}: found a file, expected a folder for the job, or a name that nothing has yet. Name another with "
            "--out."
        )
    if os.path.ismount(out):
        raise _no_place(out)
    if out.is_dir() and not os.access(out, os.R_OK | os.W_OK | os.X_OK):
        raise PermissionError(errno.EACCES, os.strerror(errno.EACCES), str(out))


def _no_place(out: Path) -> PatternsError:
    return PatternsError(
        f"{out}: found the top folder of a disk, expected a folder that can be exchanged as a whole. Name a folder in "
        f"it with --out, such as {out / 'job'}."
    )


@contextmanager
def _with_parents(out: Path) -> Iterator[None]:
    """The folders above ``out``; those made for it go again where nothing comes into them."""
    missing = [parent for parent in out.parents if not os.path.lexists(parent)]
    out.parent.mkdir(parents=True, exist_ok=True)
    try:
        yield
    finally:
        for folder in missing:
            with suppress(OSError):
                folder.rmdir()


def _put(plan: Plan, held: Held) -> None:
    out, here = held.out, _standing_in()
    fresh = out.with_name(f".{out.name}.scrieve-new-{os.getpid()}")
    try:
        _make(fresh, plan)
        _carry_across(held, fresh, but=plan.contents)
        _dress(held, fresh)
        (fresh / UNREADY).unlink()
        exchange(fresh, out)
    finally:
        tidy(out)
    if here and here.is_dir():
        os.chdir(here)  # a process that stood in the old folder stands in the new one


def _standing_in() -> Path | None:
    try:
        return Path.cwd()
    except FileNotFoundError:
        return None


def _make(fresh: Path, plan: Plan) -> None:
    fresh.mkdir()
    (fresh / UNREADY).touch()
    for name, content in plan.contents.items():
        (fresh / name).parent.mkdir(parents=True, exist_ok=True)
        (fresh / name).write_bytes(content)
    (fresh / LIST).write_bytes(list_text(plan.listed).encode())


def _carry_across(held: Held, fresh: Path, *, but: Container[str]) -> None:
    """The builder's own files and folders, in the new folder too."""
    for name in held.own_folders:
        (fresh / name).mkdir(parents=True, exist_ok=True)
    for name in sorted(held.own):
        if name not in but:
            (fresh / name).parent.mkdir(parents=True, exist_ok=True)
            _link(held.out / name, fresh / name)


def _link(source: Path, target: Path) -> None:
    if source.is_symlink():
        target.symlink_to(os.readlink(source))
        return
    try:
        os.link(source, target)
    except OSError as error:
        if error.errno not in NO_LINKS or not source.is_file():
            raise
        shutil.copy2(source, target)


def _dress(held: Held, fresh: Path) -> None:
    """Folders that were there before keep their owner and what he allows."""
    for name in reversed(("", *held.folders)):
        old, new = held.out / name, fresh / name
        if not (old.is_dir() and new.is_dir()):
            continue
        if hasattr(os, "chown"):
            with suppress(OSError):
                os.chown(new, old.stat().st_uid, old.stat().st_gid)
        shutil.copystat(old, new)
        if name not in held.own_folders:
            os.utime(new)
