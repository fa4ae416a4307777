"""What a new job does to a folder: which files are written and where, and which of those there stay."""

from __future__ import annotations

import os
from collections.abc import Collection, Iterable, Mapping
from dataclasses import dataclass
from pathlib import Path, PurePosixPath

from patterns.errors import PatternsError
from patterns.writing.folder.folder_list import LIST, Listed, digest, is_as_listed, read_list
from patterns.writing.folder.folder_swap import names_beside

MOST_OWN = 10_000  # files of the builder's; a folder that holds more is no job's folder


@dataclass(frozen=True, slots=True)
class Kept:
    """A file of an earlier job that was not written over."""

    name: str  # its path in the folder
    used: bool  # the command read it; otherwise the builder has changed it
    instead: str  # where this job's file of that name went; empty where this job has none


@dataclass(frozen=True, slots=True)
class Held:
    """What a job's folder holds before it is written."""

    out: Path
    listed: Listed  # of what this program made there, what is still there
    own: frozenset[str]  # files of the builder's: made, changed or used by him
    used: frozenset[str]  # of the files that the command read, those in the folder
    folders: tuple[str, ...]  # all folders in it, each before those in that one
    own_folders: tuple[str, ...]  # those of them in which this program made nothing

    def has(self, name: str) -> bool:
        return os.path.lexists(self.out / name)


@dataclass(frozen=True, slots=True)
class Plan:
    contents: Mapping[str, bytes]  # what is written, by its path in the folder
    listed: Listed  # what the list will say
    kept: tuple[Kept, ...]


def held_in(out: Path, used: Iterable[Path]) -> Held:
    """Look through a folder.

    Raises
    ------
    PatternsError
        Its list is damaged, or it holds too much of the builder's.
    """
    if not os.path.lexists(out):
        return Held(out, {}, frozenset(), frozenset(), (), ())
    listed = read_list(out)
    folders, files = _walked(out)
    read = {(stat.st_dev, stat.st_ino) for stat in map(_stat, used) if stat}
    in_use = frozenset(
        name for name in files if (stat := _stat(out / name)) is not None and (stat.st_dev, stat.st_ino) in read
    )
    ours = {name for name in files if name not in in_use and is_as_listed(out / name, listed.get(name))}
    there = {name: listed[name] for name in listed if os.path.lexists(out / name)}
    made_for = {str(parent) for name in listed for parent in PurePosixPath(name).parents}
    own_folders = tuple(name for name in folders if name not in made_for)
    return Held(out, there, frozenset(files) - ours - {LIST}, in_use, tuple(folders), own_folders)


def planned(contents: Mapping[str, bytes], held: Held) -> Plan:
    """Where each file goes, so that nothing of the builder's is written over.

    A file that this program made, and that the builder has changed or that the command has read, stays as it is. The
    new one then goes beside it under a name of its own. It stays on the list with the digest of what was written, so
    that later runs know it too.

    Raises
    ------
    PatternsError
        A file of the builder's, made by himself, is in the way.
    """
    _refuse_strangers(contents, held)
    written: dict[str, bytes] = {}
    listed: dict[str, str] = {}
    kept: list[Kept] = []
    for name, content in sorted(contents.items()):
        place = name if _may_be_written(name, content, held) else _beside(name, contents.keys() | written.keys(), held)
        written[place], listed[place] = content, digest(content)
        if place != name:
            kept.append(Kept(name, name in held.used, place))
    kept += [Kept(name, name in held.used, "") for name in sorted(held.own & held.listed.keys() - contents.keys())]
    listed |= {one.name: held.listed[one.name] for one in kept}
    return Plan(written, listed, tuple(kept))


def _walked(out: Path) -> tuple[list[str], list[str]]:
    """Folders, each before those in it; and all that is no folder."""
    folders, files = [""], list[str]()
    for folder in folders:
        for entry in sorted(os.scandir(out / folder), key=lambda entry: entry.name):
            name = str(PurePosixPath(folder) / entry.name)
            if not entry.is_dir(follow_symlinks=False):
                files.append(name)
            elif os.path.ismount(entry.path):
                raise _not_a_jobs(out, f"another disk at {name}")
            else:
                folders.append(name)
        if len(files) > MOST_OWN:
            raise _not_a_jobs(out, f"more than {MOST_OWN} files")
    return folders[1:], files


def _not_a_jobs(out: Path, found: str) -> PatternsError:
    return PatternsError(
        f"{out}: found {found} in it, expected a folder for a job. A job's folder is exchanged as a whole when it is "
        f"written. Name another one with --out, such as {out / 'job'}."
    )


def _stat(path: Path) -> os.stat_result | None:
    try:
        return path.stat()
    except OSError:
        return None


def _refuse_strangers(contents: Iterable[str], held: Held) -> None:
    """Every file of the builder's by the name of a new one, or where a new one needs a folder, told at once."""
    theirs = {name for name in contents if name not in held.listed and held.has(name)}
    theirs |= {str(parent) for name in contents for parent in PurePosixPath(name).parents} & held.own
    if theirs:
        raise PatternsError(
            "\n".join(
                f"{held.out / name}: is not of scrieve's making and would be overwritten. Move it away, or name "
                "another folder with --out."
                for name in sorted(theirs)
            )
        )


def _may_be_written(name: str, content: bytes, held: Held) -> bool:
    """Whether nothing of the builder's is lost: nothing of his is there, or just what would be written."""
    return (name not in held.own and name not in held.folders) or is_as_listed(held.out / name, digest(content))


def _beside(name: str, taken: Collection[str], held: Held) -> str:
    for path in names_beside(Path(name), "new"):
        if path.as_posix() not in taken and (path.as_posix() in _ours(held) or not held.has(path.as_posix())):
            return path.as_posix()
    raise AssertionError("names never end")


def _ours(held: Held) -> frozenset[str]:
    return frozenset(held.listed) - held.own
