"""Paper sizes by the names printers give them."""

from __future__ import annotations

import csv
import re
from functools import cache

from patterns.units.shared_data import shared_file


def paper_size(name: str) -> tuple[float, float]:
    """Width and height in mm of a paper by its name, upright (width is the shorter side).

    Case and spaces do not count: ``letter``, ``A4``, ``arch d``, ``ansi-c``.

    Raises
    ------
    ValueError
        An unknown paper; the text says what is wanted.
    """
    try:
        return _sizes()[_key(name)]
    except KeyError:
        raise ValueError(f"a paper size: {', '.join(paper_names())}") from None


def paper_names() -> tuple[str, ...]:
    """The papers known, by their first names, in lower case and in the order of the data."""
    return tuple(names[0] for names, _ in _rows())


def paper_name(name: str) -> str:
    """The first name of a paper however it was written: ``letter`` for ``ANSI A``. Raises as `paper_size`."""
    paper_size(name)
    return next(names[0] for names, _ in _rows() if _key(name) in map(_key, names))


def _key(name: str) -> str:
    return re.sub(r"[\s_-]+", "", name).lower()


@cache
def _sizes() -> dict[str, tuple[float, float]]:
    return {_key(name): size for names, size in _rows() for name in names}


@cache
def _rows() -> tuple[tuple[tuple[str, ...], tuple[float, float]], ...]:
    """Every paper's names, the second one in brackets in the data: ``Letter (ANSI A)``."""
    lines = shared_file("paper_sizes.csv").read_text(encoding="utf-8").splitlines()
    papers = csv.DictReader(line for line in lines if not line.startswith("#"))
    return tuple(
        (
            tuple(part.strip().lower() for part in re.split(r"[()]", row["name"]) if part.strip()),
            (float(row["width_mm"]), float(row["height_mm"])),
        )
        for row in papers
    )
