"""What the builder asks of the router's files."""

from __future__ import annotations

from dataclasses import dataclass
from enum import StrEnum
from math import inf
from typing import Literal, get_args


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


class Words(StrEnum):
    """What is engraved on a part."""

    FULL = "full"  # name, wood, face, bow, count, cut, and every bevel beside its place
    SHORT = "short"  # name, face and bow
    NONE = "none"


class Release(StrEnum):
    """Which DXF the files are written as: R12 for machines that read no newer one."""

    R2000 = "r2000"
    R12 = "r12"


RouterLayer = Literal[
    "cut-outside", "cut-inside", "drill", "far-face", "mark", "tab", "text-names", "text-bevels", "sheet"
]
LAYERS: tuple[RouterLayer, ...] = get_args(RouterLayer)
CUT: frozenset[RouterLayer] = frozenset({"cut-outside", "cut-inside", "drill"})
"""Layers where the tool goes through the wood."""


@dataclass(frozen=True, slots=True)
class DxfForm:
    """How DXF files are written for one shop."""

    release: Release = Release.R2000
    plain_colors: bool = False  # index colors 1 to 7, which every program knows, in place of ones that lie far apart
    own_names: tuple[tuple[RouterLayer, str], ...] = ()  # of layers that the shop calls otherwise

    def name(self, layer: RouterLayer) -> str:
        """What a layer is called in the file."""
        return dict(self.own_names).get(layer, layer)


LEAST_BEHIND = 4.0  # mm from a fastening's middle to the far face of a transom, common practice, no single source


@dataclass(frozen=True, slots=True)
class RouterRules:
    cut: CutTo = CutTo.LARGER
    cutter: float | None = None  # mm, diameter; None where the builder names no cutter
    relief: Relief = Relief.CORNER
    clearance: float = 0.0  # mm added to the breadth of every notch
    tabs: int = 0  # of each part, left to hold it in the sheet
    tab_length: float = 0.0  # mm along the cut
    tab_height: float = 0.0  # mm of wood left
    skin: float = 0.0  # mm of wood left under every cut in place of tabs; 0 to cut through
    index: float | None = None  # mm, diameter of holes for dowels that align parts; None for no holes
    pilot: float | None = None  # mm, diameter of holes bored for fastenings; None for no holes
    pilot_edge: float = 0.0  # mm from a planed edge to the holes beside it
    transoms: tuple[tuple[str, float], ...] = ()  # mm, thickness of each end that is a transom, by its name
    pilot_spacing: float = 0.0  # mm along chines and ends
    frame_spacing: float = 0.0  # mm along frames
    frame_sided: float = 0.0  # mm; holes stand in the middle of a frame
    words: Words = Words.FULL
    form: DxfForm = DxfForm()
    svg: bool = False  # whether what is cut through is written as SVG too

    def from_edge(self, end: str) -> float:
        """mm from the planed edge along an end to its holes: in a thin transom they stand in the middle of its edge."""
        thick = dict(self.transoms).get(end, inf)
        return self.pilot_edge if thick - self.pilot_edge >= LEAST_BEHIND else min(self.pilot_edge, thick / 2)
