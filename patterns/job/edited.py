"""Placement files that a builder has edited are not written over."""

from __future__ import annotations

from pathlib import Path

from patterns.errors import PatternsError
from patterns.writing.tables.placements_toml import is_edited


def refuse_edited(file: Path, *, but: Path | None = None) -> None:
    """Refuse a placement file edited by hand, unless it is the one (``but``) that the sheets are made by.

    Raises
    ------
    PatternsError
        It would be written over.
    """
    if not file.is_file() or (but is not None and but.exists() and file.samefile(but)):
        return
    if is_edited(file.read_text(encoding="utf-8", errors="replace")):
        raise PatternsError(
            f"{file}: has been edited since it was written, and would be lost; move it away, or have the sheets made "
            f"by it: scrieve nest BOAT --placements {file}"
        )
