"""What the builder asks of joints in long panels."""

from __future__ import annotations

from dataclasses import dataclass
from enum import StrEnum

SCARF_RATIO = 8.0  # length over thickness of a plywood scarf, common practice, no single source
BLOCK_REACH = 12.0  # thicknesses a butt block reaches either side on small craft, common practice, no single source
TOOTH_CLEARANCE = 0.2  # mm between both sides of a toothed joint: a film of glue; common practice, no single source
OFF_FRAMES = 25.4  # mm kept between a joint and a frame's wood: room for a clamp's jaw and for the planing


class JointKind(StrEnum):
    SCARF = "scarf"
    BUTT = "butt block"
    TOOTHED = "toothed"
    NONE = "none"


@dataclass(frozen=True, slots=True)
class JointRule:
    """How one panel is joined."""

    kind: JointKind | None  # None where the builder said nothing
    at: tuple[float, ...] = ()  # mm from the panel's fore end, along it; empty where the program chooses
    stagger: float = 0.0  # mm at least between the joints of a port and a starboard panel


@dataclass(frozen=True, slots=True)
class JointSizes:
    """What joints of one panel measure, and the longest piece of it a sheet holds."""

    longest: float  # mm; 0 where there is no such sheet
    scarf_ratio: float = SCARF_RATIO
    block_reach: float = BLOCK_REACH  # in thicknesses
    block_clear: float = 0.0  # mm a butt block stays inside the panel's long edges, for the timbers along them
    cutter: float = 6.35  # mm, diameter
    tooth_clearance: float = TOOTH_CLEARANCE  # mm


@dataclass(frozen=True, slots=True)
class PanelJoints:
    """Rule and sizes together, for every panel of one run of planking."""

    strake: str  # the strake's name
    rule: JointRule
    sizes: JointSizes
    table: str  # where the builder says it: "[planking.side]"


@dataclass(frozen=True, slots=True)
class JointRules:
    """How long panels are joined, strake by strake from the sheer down."""

    strakes: tuple[PanelJoints, ...]

    def of(self, strake: str) -> PanelJoints:
        """How panels of a strake are joined, by its name."""
        return next(ask for ask in self.strakes if ask.strake == strake)
