"""Paper sizes by the names printers give them."""

from __future__ import annotations

import csv
import re
from functools import cache

from patterns.units.shared_data import shared_file

MM = {"mm": 1.0, "cm": 10.0, "in": 25.4, '"': 25.4}
LONGEST = 5000.0  # mm; readers of PDF refuse or crop pages over 14 400 points (5080 mm)
_WRITTEN = re.compile(r"(\d+(?:[.,]\d+)?)\s*[x×*]\s*(\d+(?:[.,]\d+)?)\s*(mm|cm|in|\")\.?", re.IGNORECASE)


def paper_size(name: str) -> tuple[float, float]:
    """Width and height in mm of a paper, upright (width is the shorter side).

    By its name, in which case and spaces do not count (``letter``, ``A4``, ``arch d``, ``ansi-c``), or as written
    out: ``13x19 in``, ``330 x 480 mm``.

    Raises
    ------
    ValueError
        An unknown paper; the text says what is wanted.
    """
    written = _WRITTEN.fullmatch(name.strip())
    if written:
        one, other = sorted(float(written[side].replace(",", ".")) * MM[written[3].lower()] for side in (1, 2))
        if other > LONGEST:
            raise ValueError(f"a paper no longer than {LONGEST:g} mm; patterns on a roll come in a file of their own")
        return one, other
    try:
        return _sizes()[_key(name)]
    except KeyError:
        names = ", ".join(paper_names())
        raise ValueError(f"one of {names}, or a size as in 13x19 in, 330x480 mm") from None


def paper_names() -> tuple[str, ...]:
    """The papers known, by their first names, in lower case and in the order of the data."""
    return tuple(names[0] for names, _ in _rows())


def paper_name(name: str) -> str:
    """The first name of a paper however it was written: ``letter`` for ``ANSI A``, ``13x19 in`` for ``19 × 13"``.

    Raises as `paper_size`.
    """
    width, height = paper_size(name)
    written = _WRITTEN.fullmatch(name.strip())
    if written:
        unit = "in" if written[3] == '"' else written[3].lower()
        return f"{width / MM[unit]:g}x{height / MM[unit]:g} {unit}"
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
