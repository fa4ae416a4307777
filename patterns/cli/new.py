"""``scrieve new``: a boat folder to fill in."""

from __future__ import annotations

import os
from collections.abc import Mapping
from contextlib import suppress
from pathlib import Path

from patterns.errors import PatternsError
from patterns.writing.tables.new_boat import BLANK, HULLS, new_boat


def start_boat(folder: Path, *, hull: str, units: str, stations: int) -> None:
    """Write boat.toml and a table to fill in; nothing that is there already is touched.

    Raises
    ------
    PatternsError
        The folder holds a boat already, or cannot be written.
    """
    kind = HULLS[hull]
    files = new_boat(Path(os.path.abspath(folder)).name, kind, units=units, stations=stations)
    _write_new(folder, files)
    print(f"Wrote  {' and '.join(files)} to {folder}, for a hull with {kind.about}.")
    print(f"Fill in every {BLANK}, then ask what is still blank, and see the lines: scrieve fair {folder}")


def _write_new(folder: Path, files: Mapping[str, str]) -> None:
    """Every file or none, and never over one that is there."""
    written: list[Path] = []
    try:
        folder.mkdir(parents=True, exist_ok=True)
        for name, text in files.items():
            with (folder / name).open("x", encoding="utf-8", newline="") as file:
                written.append(folder / name)
                file.write(text)
    except FileExistsError as error:
        _take_back(written)
        if folder.is_dir():
            told = f"{error.filename}: is there already, and nothing is overwritten; name another folder"
        else:
            told = f"{folder}: is a file, expected a folder for the boat"
        raise PatternsError(told) from None
    except (OSError, ValueError) as error:
        _take_back(written)
        raise PatternsError(f"{folder}: cannot be written ({getattr(error, 'strerror', None) or error})") from error


def _take_back(written: list[Path]) -> None:
    for path in written:
        with suppress(OSError):
            path.unlink()
