"""Places along the boat as a builder writes them in boat.toml: a station's name, or a distance from FP."""

from __future__ import annotations

import re

from patterns.hull.offsets import Offsets
from patterns.reading.wording import one_of
from patterns.units.lengths import read_length


def place_from_fp(name: str, units: str | None, offsets: Offsets) -> float | None:
    """mm from FP; None for neither a station, nor the column of an extra figure, nor a distance."""
    columns = dict(zip(offsets.columns[1:-1], offsets.from_fp[1:-1], strict=True))
    if name in columns:
        return float(columns[name])
    # A bare number that is no station is a misprint sooner than a place so many inches from FP.
    if re.fullmatch(r"[0-9.,]+", name):
        return None
    try:
        return read_length(name, units).mm
    except ValueError:
        return None


def stations_or_distance(offsets: Offsets) -> str:
    """What is expected where a place is neither."""
    return f"{one_of([name for name, _ in offsets.stations])}, or a distance from FP with its unit"
