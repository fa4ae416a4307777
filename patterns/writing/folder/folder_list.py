"""The list in a job's folder: every file that was made there, with the SHA-256 of what was written.

By the names, this program's files are known from the builder's. By the digests, a file that the builder has changed
since is known from one he has not. ``sha256sum -c .scrieve-files`` reads the list too. Its last line holds a digest of
all the lines before it, so that a list cut short or changed is not taken for a whole one.
"""

from __future__ import annotations

import hashlib
import os
import re
from collections.abc import Mapping
from pathlib import Path, PurePosixPath
from stat import S_ISREG

from patterns.errors import PatternsError

LIST = ".scrieve-files"
HEAD = (
    "# Files that scrieve made in this folder, each after the SHA-256 of what was written. Do not change this list.\n"
)
END = "# end of the list: "
LINE = re.compile(r"([0-9a-f]{64})  (.+)")

Listed = Mapping[str, str]  # digests by the paths of files within the folder, with forward slashes


def digest(content: bytes) -> str:
    return hashlib.sha256(content).hexdigest()


def list_text(listed: Listed) -> str:
    lines = HEAD + "".join(f"{listed[name]}  {name}\n" for name in sorted(listed))
    return f"{lines}{END}{_seal(lines)}\n"


def read_list(folder: Path) -> dict[str, str]:
    """What the list in a folder says; nothing where there is none.

    Raises
    ------
    PatternsError
        The list is damaged, so that the builder's own files cannot be known.
    """
    path = folder / LIST
    if not os.path.lexists(path):
        return {}
    try:
        text = path.read_bytes().decode("utf-8").replace("\r\n", "\n")
    except UnicodeDecodeError:
        raise _damaged(path, "something other than UTF-8 text") from None
    except OSError as error:
        raise _damaged(path, f"what cannot be read ({error.strerror or error})") from None
    lines, end, seal = text.rpartition(END)
    found = [LINE.fullmatch(line) for line in lines.removeprefix(HEAD).split("\n")[:-1]]
    if not end:
        raise _damaged(path, "a list without its last line")
    listed = {match[2]: match[1] for match in found if match}
    if seal.strip() != _seal(lines) or len(listed) < len(found) or not all(map(is_within, listed)):
        raise _damaged(path, "a list that was changed after it was written")
    return listed


def is_within(name: str) -> bool:
    """Whether a name is a path to a file in the job's folder."""
    path = PurePosixPath(name)
    one_line = not {"\n", "\r"} & set(name)
    return str(path) == name != "." and not path.is_absolute() and ".." not in path.parts and one_line


def is_as_listed(file: Path, listed: str | None) -> bool:
    """Whether a file holds what the list says was written."""
    return listed is not None and S_ISREG(file.lstat().st_mode) and digest(file.read_bytes()) == listed


def _seal(lines: str) -> str:
    return digest(lines.encode())[:16]


def _damaged(path: Path, found: str) -> PatternsError:
    return PatternsError(
        f"{path}: found {found}, expected the list of the files that scrieve made in this folder. Without the list, "
        f"your own files cannot be told from those of scrieve. Move {path.parent} away, or name another folder with "
        "--out."
    )
