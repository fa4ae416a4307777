"""What the builder asks of the pieces fitted into the planked boat: thwarts, risers, knees, breasthook. mm."""

from __future__ import annotations

from dataclasses import dataclass


@dataclass(frozen=True, slots=True)
class ThwartRules:
    name: str  # "thwart 1"
    at: float  # from FP to the forward edge
    width: float  # fore and aft
    height: float  # of the top, above base
    thickness: float
    material: str


@dataclass(frozen=True, slots=True)
class BreasthookRules:
    length: float  # from the stem's inner face aft, on the centre line of its top
    thickness: float
    hollow: float  # of the after edge, on the centre line
    crown: float  # of the top above the sheer, on the centre line
    material: str
    plywood: bool = False  # whether that comes in sheets


@dataclass(frozen=True, slots=True)
class KneeRules:
    """A knee: one arm along the side, the other along what it is fastened to."""

    on_side: float  # length of the arm against the side
    on_other: float  # length of the other arm
    thickness: float
    hollow: float  # of the long edge, at its middle
    material: str
    plywood: bool = False  # whether that comes in sheets


def grain_words(way: str, grown: str, *, plywood: bool) -> str:
    """How the grain of a knee or hook lies: one of plywood cannot be grown."""
    return f"face grain {way}" if plywood else f"{way}, or {grown}"


@dataclass(frozen=True, slots=True)
class FittingsAsked:
    """Every fitted piece the builder asks for."""

    thwarts: tuple[ThwartRules, ...] = ()
    thwart_knee: KneeRules | None = None
    breasthook: BreasthookRules | None = None
    quarter_knee: KneeRules | None = None
