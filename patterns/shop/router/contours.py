"""One part as a router takes it: closed contours to cut, lines to score, places to drill, lettering to engrave."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass, replace
from functools import cached_property
from typing import Any

import numpy as np
import shapely

from patterns.geometry.arc_lines import ArcLine, moved_points
from patterns.geometry.arrays import Floats, read_only
from patterns.geometry.short_repr import brief
from patterns.parts.part import Hand
from patterns.shop.router.router_rules import RouterLayer


@dataclass(frozen=True, slots=True, eq=False)
class Scored:
    """A line drawn on the wood but not cut through."""

    layer: RouterLayer
    line: ArcLine

    __repr__ = brief


@dataclass(frozen=True, slots=True, eq=False)
class Lettering:
    """Single strokes, many to a word: kept as one run of points, for a part has thousands."""

    points: Floats  # (n, 2) mm
    counts: tuple[int, ...]  # points of each stroke
    bevels: int = 0  # so many strokes, the first ones, are figures of bevels

    __repr__ = brief

    def __post_init__(self) -> None:
        object.__setattr__(self, "points", read_only(self.points, columns=2))

    @property
    def strokes(self) -> list[Floats]:
        """Each (n, 2) mm."""
        return np.split(self.points, np.cumsum(self.counts)[:-1])


@dataclass(frozen=True, slots=True)
class Drilled:
    """A hole bored, not routed."""

    at: tuple[float, float]  # mm
    diameter: float  # mm
    index: bool = False  # whether it is for a dowel that aligns two parts


@dataclass(frozen=True, slots=True)
class CutShort:
    """Wood that a square cut takes away and a bevel needs."""

    by: float  # mm, square to the edge, the most of a part
    told: str  # in the builder's units, and where


@dataclass(frozen=True, eq=False)
class Contours:
    """A part ready to cut, marked face up. It may be turned and moved, never mirrored: that is the other hand."""

    title: str  # "side panel, port"
    name: str  # "side panel"
    hand: Hand
    file_name: str  # "saltmeadow-side-panel-port-marine-plywood-9.5mm-1off"
    thickness: float  # mm
    material: str
    face: str  # which lies up: "inside face"
    count: int  # so many alike
    outer: ArcLine  # closed, counter-clockwise: the cutter runs outside it
    inner: tuple[ArcLine, ...] = ()  # closed, clockwise: the cutter runs inside them
    scored: tuple[Scored, ...] = ()
    lettering: Lettering = Lettering(np.zeros((0, 2)), ())
    drilled: tuple[Drilled, ...] = ()
    short: CutShort | None = None  # where the face cut leaves too little wood for the other face
    cautions: tuple[str, ...] = ()  # what the cutter cannot do, a sentence each

    __repr__ = brief

    @property
    def bounds(self) -> tuple[Floats, Floats]:
        """Lowest and highest x and y, mm. Everything scored or bored lies within the outer contour."""
        return self.outer.bounds

    @cached_property
    def wood(self) -> shapely.Polygon:
        """What is left standing, its arcs in chords."""
        return shapely.Polygon(self.outer.flat(), [hole.flat() for hole in self.inner])

    def told(self, **more: Any) -> Contours:
        """The same with more on it or said of it: its wood need not be made again."""
        fuller = replace(self, **more)
        fuller.__dict__["wood"] = self.wood
        return fuller

    def placed(self, turn: float, by: Sequence[float]) -> Contours:
        """Turned about the origin to the left by radians, then moved by mm."""
        holes = moved_points(np.array([hole.at for hole in self.drilled]).reshape(-1, 2), turn, by).tolist()
        return replace(
            self,
            outer=self.outer.moved(turn, by),
            inner=tuple(hole.moved(turn, by) for hole in self.inner),
            scored=tuple(replace(score, line=score.line.moved(turn, by)) for score in self.scored),
            lettering=replace(self.lettering, points=moved_points(self.lettering.points, turn, by)),
            drilled=tuple(replace(hole, at=(x, y)) for hole, (x, y) in zip(self.drilled, holes, strict=True)),
        )

    def at_origin(self) -> Contours:
        """Moved so that its lowest x and y are 0."""
        x, y = self.bounds[0].tolist()
        return self.placed(0.0, (-x, -y)) if x or y else self
