"""How the grain lies in parts for which the builder says so himself."""

from __future__ import annotations

from dataclasses import dataclass
from enum import StrEnum


class Lies(StrEnum):
    """Which way the grain runs in a part."""

    ALONG = "along"
    ACROSS = "across"
    ANY = "any"


@dataclass(frozen=True, slots=True)
class GrainRule:
    """One [[grain]] table."""

    part: str  # a part's name, what its kind is called, or the words its name begins with: "thwart", "frame 3 gusset"
    lies: Lies
