"""The grain of parts laid as the builder says in [[grain]]."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import replace

import numpy as np

from patterns.errors import ShapeError
from patterns.parts.asked.grain_rules import GrainRule, Lies
from patterns.parts.part import Part, longways

MOST_NAMED = 6  # parts named in a refusal


def with_grain(parts: Sequence[Part], rules: Sequence[GrainRule]) -> tuple[Part, ...]:
    """The parts, their grain as the rules have it; of two rules for one part the later holds.

    Raises
    ------
    ShapeError
        A rule names no part of the boat.
    """
    for rule in rules:
        if not any(_named(part, rule) for part in parts):
            some = ", ".join(f"'{name}'" for name in list(dict.fromkeys(part.name for part in parts))[:MOST_NAMED])
            raise ShapeError(
                f"boat.toml, [[grain]] part: found '{rule.part}', expected a part of this boat, such as {some}"
            )
    own = {part.title: rule for part in parts for rule in rules if _named(part, rule)}
    return tuple(_laid(part, own[part.title].lies) if part.title in own else part for part in parts)


def _named(part: Part, rule: GrainRule) -> bool:
    said, name = rule.part.lower(), part.name.lower()
    return part.role == said or name == said or name.startswith(f"{said} ")


def _laid(part: Part, lies: Lies) -> Part:
    words = {Lies.ALONG: "along its length", Lies.ACROSS: "across its length", Lies.ANY: "any way"}[lies]
    angle = {Lies.ALONG: None, Lies.ACROSS: longways(part.outline) + np.pi / 2, Lies.ANY: None}[lies]
    return replace(
        part, grain=f"{words}, as boat.toml says", grain_angle=angle, grain_any=lies is Lies.ANY, grain_square=False
    )
