"""The builder's own hand saw, and the boards he rips from."""

from __future__ import annotations

from dataclasses import dataclass
from enum import StrEnum

from patterns.shop.woods import DRY

KERF = 3.2  # mm (1/8 in), allowed where the builder names no saw
HOLDING = 6.35  # mm (1/4 in) of board left beyond a kerf: common practice, no single source


class Leans(StrEnum):
    """Where the foot of a tilted blade goes."""

    UNDER = "under the guide side"  # under the side of the shoe that runs along the guide
    AWAY = "away from the guide"


class Side(StrEnum):
    LEFT = "left"
    RIGHT = "right"


@dataclass(frozen=True, slots=True)
class SawRules:
    kerf: float  # mm
    plate: float  # mm, the blade's body
    blade_diameter: float  # mm
    shoe_length: float  # mm
    guide: tuple[tuple[float, float], ...]  # (rad, mm): tilt, and shoe edge to the near side of the kerf, by tilt
    leans: Leans
    tilts_to: float  # rad
    deepest: float | None  # mm the blade comes through the shoe; None where the builder does not say
    pins: float | None  # mm between two pins in the shoe's edge; None for the bare edge
    guide_edge: Side | None  # the shoe's edge along the guide, seen from behind the saw


@dataclass(frozen=True, slots=True)
class Sweep:
    """A board's own curve: so deep over so long a chord. Its hollow edge is the upper one as it is drawn."""

    sag: float  # mm
    over: float  # mm


@dataclass(frozen=True, slots=True)
class Board:
    """A board the builder has; x runs along it, y across."""

    length: float  # mm
    width: float  # mm
    thickness: float  # mm
    count: int
    material: str  # empty where the builder does not say
    sweep: Sweep | None = None
    lower: tuple[tuple[float, float], ...] = ()  # mm, points along one edge as measured; empty for none
    upper: tuple[tuple[float, float], ...] = ()  # mm, along the other, from the same line and end
    avoid: tuple[float, float] = (0.0, 0.0)  # mm of sapwood or wane along the lower and the upper edge


@dataclass(frozen=True, slots=True)
class BenchRules:
    """What the builder has to make long pieces with."""

    saw: SawRules | None
    boards: tuple[Board, ...]
    scarf: float  # length over thickness, in solid wood
    holding: float = HOLDING  # mm of board left beyond every kerf
    moisture: float = DRY  # percent, of the boards
