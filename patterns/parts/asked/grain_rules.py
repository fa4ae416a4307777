"""How the grain lies in parts for which the builder says so himself."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass, replace
from enum import StrEnum

import numpy as np

from patterns.errors import ShapeError
from patterns.parts.part import Part, longways

MOST_NAMED = 6  # parts named in a refusal


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

    def names(self, part: Part) -> bool:
        """Whether a part is meant."""
        said = self.part.lower()
        return part.role == said or part.name.lower() == said or part.name.lower().startswith(f"{said} ")


def with_grain(parts: Sequence[Part], rules: Sequence[GrainRule]) -> tuple[Part, ...]:
    """The parts, their grain as the rules have it; of two rules for one part the later holds.

    Raises
    ------
    ShapeError
        A rule names no part of the boat.
    """
    for rule in rules:
        if not any(rule.names(part) for part in parts):
            some = ", ".join(f"'{name}'" for name in list(dict.fromkeys(part.name for part in parts))[:MOST_NAMED])
            raise ShapeError(f"[[grain]] part: found '{rule.part}', expected a part of this boat, such as {some}")
    own = {part.title: rule for part in parts for rule in rules if rule.names(part)}
    return tuple(_laid(part, own[part.title].lies) if part.title in own else part for part in parts)


def _laid(part: Part, lies: Lies) -> Part:
    words = {Lies.ALONG: "along its length", Lies.ACROSS: "across its length", Lies.ANY: "any way"}[lies]
    angle = {Lies.ALONG: None, Lies.ACROSS: longways(part.outline) + np.pi / 2, Lies.ANY: None}[lies]
    return replace(
        part, grain=f"{words}, as boat.toml says", grain_angle=angle, grain_any=lies is Lies.ANY, grain_square=False
    )
