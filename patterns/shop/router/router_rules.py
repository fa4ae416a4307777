"""What the builder asks of the router's files."""

from __future__ import annotations

from dataclasses import dataclass
from enum import StrEnum


class CutTo(StrEnum):
    """Which line a square cutter follows where an edge is bevelled."""

    LARGER = "larger face"  # wood for both faces is left all round, and planed to the bevel
    FINISHED = "finished line"  # the marked face's own line, wherever the far face lies
    SMALLER = "smaller face"


class Relief(StrEnum):
    """How an inside corner is opened so that a square piece seats in it."""

    CORNER = "at the corner"  # a circle on the line that halves the corner
    SIDE = "along one side"  # a half circle into the longer side, the other left whole
    NONE = "none"


@dataclass(frozen=True, slots=True)
class RouterRules:
    cut: CutTo = CutTo.LARGER
    cutter: float | None = None  # mm, diameter; None where the builder names no cutter
    relief: Relief = Relief.CORNER
    clearance: float = 0.0  # mm added to the breadth of every notch
    tabs: int = 0  # of each part, left to hold it in the sheet
    tab_length: float = 0.0  # mm along the cut
    tab_height: float = 0.0  # mm of wood left
    pilot: float | None = None  # mm, diameter of holes bored for fastenings; None for no holes
    pilot_edge: float = 0.0  # mm from a planed edge to the holes beside it
    pilot_spacing: float = 0.0  # mm along chines and ends
    frame_spacing: float = 0.0  # mm along frames
    frame_sided: float = 0.0  # mm; holes stand in the middle of a frame
