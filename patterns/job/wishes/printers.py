"""Which measured printer a job's pages are corrected for."""

from __future__ import annotations

import os
import sys
from pathlib import Path

from patterns.errors import InputError, Problem
from patterns.job.wishes.wishes import NO_PRINTER
from patterns.reading.settings.read_printers import read_printers
from patterns.tiling.paper.correction import Correction, correction

DEFAULT = "default"  # the printer measured without a name: pages are corrected for it unless another is named


def correction_for(name: str | None, *, said: str) -> Correction | None:
    """The correction of the printer named, else of the default one if that was measured.

    Parameters
    ----------
    said : str
        Where the name stands, for a fault: "--printer", "boat.toml, [printer] name".

    Raises
    ------
    InputError
        A printer that nobody has measured.
    """
    printers = read_printers(settings_file())
    if name == NO_PRINTER or (name is None and DEFAULT not in printers):
        return None
    wanted = name or DEFAULT
    if wanted not in printers:
        known = (
            f"one of {', '.join(sorted(printers))}, or {NO_PRINTER}"
            if printers
            else f"{NO_PRINTER}: none is measured yet"
        )
        raise InputError([Problem(said, f"'{wanted}'", f"a measured printer, {known} (scrieve printer)")])
    return correction(wanted, printers[wanted])


def settings_file() -> Path:
    """The builder's settings, where this system keeps such files.

    Source: XDG Base Directory Specification 0.8, freedesktop.org (a relative path there is to be ignored); Apple, File
    System Programming Guide (Library/Application Support); Microsoft, known folder RoamingAppData. From memory.
    """
    home, given = Path.home(), Path(os.environ.get("XDG_CONFIG_HOME", ""))
    if given.is_absolute():
        folder = given
    elif sys.platform == "win32":
        folder = Path(os.environ.get("APPDATA") or home / "AppData" / "Roaming")
    elif sys.platform == "darwin":
        folder = home / "Library" / "Application Support"
    else:
        folder = home / ".config"
    return folder / "scrieve" / "printers.toml"
