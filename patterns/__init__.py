"""Scrieve: from a small wooden boat's table of offsets to patterns a builder can cut wood to.

From Python, a boat's folder becomes a job, and the job gives whatever is asked of it:

    >>> from patterns import draw, loft, make, write
    >>> job = loft("samples/saltmeadow")
    >>> job
    <BoatJob Saltmeadow: 47 patterns, on letter>
    >>> job.part("frame 3").thickness
    19.05
    >>> draw(job, "frame 3").svg.startswith("<?xml")
    True
    >>> sorted(make(job, "faired table").files)
    ['offsets-faired.csv']

The names below are loaded when they are first used, so that ``import patterns`` waits for no library.
"""

from __future__ import annotations

from importlib import import_module

__version__ = "0.1.0"

# Their types stand in __init__.pyi.
_WHERE = {
    "BoatFile": "patterns.reading.boat.boat_toml",
    "BoatJob": "patterns.job.boat_job",
    "LinesFile": "patterns.reading.boat.boat_toml",
    "PRODUCTS": "patterns.job.products.table",
    "Part": "patterns.parts.part",
    "Pattern": "patterns.job.from_python",
    "PatternsError": "patterns.errors",
    "Wishes": "patterns.job.wishes.wishes",
    "draw": "patterns.job.from_python",
    "loft": "patterns.job.from_python",
    "make": "patterns.job.making",
    "read_boat": "patterns.reading.boat.boat_toml",
    "read_lines": "patterns.reading.boat.boat_toml",
    "write": "patterns.job.from_python",
}

__all__ = ["__version__", *sorted(_WHERE)]


def __getattr__(name: str) -> object:
    if name not in _WHERE:
        raise AttributeError(f"module 'patterns' has no attribute {name!r}")
    value = globals()[name] = getattr(import_module(_WHERE[name]), name)
    return value


def __dir__() -> list[str]:
    return sorted({*globals(), *_WHERE})
