"""One part as a router takes it: closed contours to cut, lines to score, places to drill, lettering to engrave."""

from __future__ import annotations

import re
from collections.abc import Iterator, Sequence
from dataclasses import dataclass, replace
from typing import Literal

import numpy as np
import shapely

from patterns.drawing.engraving import plain
from patterns.errors import ShapeError
from patterns.geometry.arc_lines import ArcLine, ring
from patterns.geometry.arrays import Floats, lengths
from patterns.geometry.biarcs import fit_arcs
from patterns.parts.part import Part
from patterns.shop.cut_lines import cut_edges
from patterns.shop.router_lettering import bevel_words, title_words
from patterns.shop.router_rules import CutTo, RouterRules

RouterLayer = Literal["cut-outside", "cut-inside", "far-face", "mark", "drill", "tab", "text", "sheet"]

SAME_PLACE = 1e-6  # mm; nearer points are one
INSIDE_CUT = 0.1  # mm that scored lines keep from the cut: one that runs along it would be cut twice
SHORTEST_SCORE = 1.0  # mm; a shorter scrap of a line tells nobody anything


@dataclass(frozen=True, slots=True, eq=False)
class Scored:
    """A line drawn on the wood but not cut through."""

    layer: RouterLayer
    line: ArcLine


@dataclass(frozen=True, slots=True)
class Drilled:
    """A hole bored, not routed."""

    at: tuple[float, float]  # mm
    diameter: float  # mm


@dataclass(frozen=True, slots=True, eq=False)
class Contours:
    """A part ready to cut, marked face up. It may be turned and moved, never mirrored: that is the other hand."""

    title: str  # "side panel, port"
    file_name: str  # "saltmeadow-side-panel-port-marine-plywood-9.5mm-1off"
    thickness: float  # mm
    material: str
    count: int  # so many alike
    outer: ArcLine  # closed, counter-clockwise: the cutter runs outside it
    inner: tuple[ArcLine, ...] = ()  # closed, clockwise: the cutter runs inside them
    scored: tuple[Scored, ...] = ()
    drilled: tuple[Drilled, ...] = ()

    @property
    def bounds(self) -> tuple[Floats, Floats]:
        """Lowest and highest x and y, mm. Everything scored or bored lies within the outer contour."""
        points = self.outer.flat()
        return points.min(axis=0), points.max(axis=0)

    @property
    def wood(self) -> shapely.Polygon:
        """What is left standing, its arcs in chords."""
        return shapely.Polygon(self.outer.flat(), [hole.flat() for hole in self.inner])

    def placed(self, turn: float, by: Sequence[float]) -> Contours:
        """Turned about the origin to the left by radians, then moved by mm."""
        cos, sin = np.cos(turn), np.sin(turn)

        def moved(at: tuple[float, float]) -> tuple[float, float]:
            return float(at[0] * cos - at[1] * sin + by[0]), float(at[0] * sin + at[1] * cos + by[1])

        return replace(
            self,
            outer=self.outer.moved(turn, by),
            inner=tuple(hole.moved(turn, by) for hole in self.inner),
            scored=tuple(replace(score, line=score.line.moved(turn, by)) for score in self.scored),
            drilled=tuple(replace(hole, at=moved(hole.at)) for hole in self.drilled),
        )

    def at_origin(self) -> Contours:
        """Moved so that its lowest x and y are 0."""
        x, y = self.bounds[0].tolist()
        return self.placed(0.0, (-x, -y))


def contours_of(part: Part, rules: RouterRules, *, boat: str, show: str) -> Contours:
    """A part in its own axes, ready to cut.

    Raises
    ------
    ShapeError
        An outline that crosses itself or encloses nothing, or a name that cannot be engraved.
    """
    runs = cut_edges(part, rules)
    _check_outline(part, runs)
    outer = ring([fit_arcs(run) for run in runs])
    inner = tuple(fit_arcs(_clockwise(hole), closed=True) for hole in part.holes)
    bare = Contours(
        plain(part.title), router_file_name(part, boat), part.thickness, plain(part.material), part.count, outer, inner
    )
    return replace(bare, scored=tuple(_scored(part, bare, rules, show)))


def router_file_name(part: Part, boat: str) -> str:
    """Boat, part, hand, material, thickness and count, as a name any disk takes."""
    words = f"{boat} {part.title} {part.material} {part.thickness:.4g}mm {part.count}off"
    return re.sub(r"[^a-z0-9.]+", "-", plain(words).lower()).strip("-.")


def _clockwise(hole: Floats) -> Floats:
    """A hole without repeated points, the wood on its left as it is on an outline's."""
    loop = hole[lengths(hole - np.roll(hole, 1, axis=0)) > SAME_PLACE]
    return loop[::-1] if shapely.LinearRing(loop).is_ccw else loop


def _check_outline(part: Part, runs: tuple[Floats, ...]) -> None:
    """A boat whose part no machine can cut is the boat's fault; arcs laid wrongly are ours and found afterwards."""
    polygon = shapely.Polygon(np.concatenate([run[:-1] for run in runs]))
    if not polygon.is_valid:
        raise ShapeError(f"{part.title}: the outline is not one clean loop ({shapely.is_valid_reason(polygon)})")
    for hole in part.holes:
        if len(hole) < 3 or not shapely.Polygon(hole).is_valid:
            raise ShapeError(f"{part.title}: the hole is not one clean loop")


def _scored(part: Part, bare: Contours, rules: RouterRules, show: str) -> Iterator[Scored]:
    wood = bare.wood
    # Shrunk a little, so that lines that run along the cut, or past it into the next part, fall away.
    within = wood.buffer(-INSIDE_CUT)
    shapely.prepare(within)
    lines = [*_other_faces(part, rules), *((mark.points, "mark") for mark in part.marks)]
    kept = [(piece, layer) for line, layer in lines for piece in _inside(line, within)]
    for piece, layer in kept:
        yield Scored(layer, fit_arcs(piece))
    words = (*title_words(part, rules, wood, [piece for piece, _ in kept]), *bevel_words(part, wood, show))
    for stroke in words:
        yield Scored("text", ArcLine(stroke, np.zeros(len(stroke)), closed=False))


def _other_faces(part: Part, rules: RouterRules) -> Iterator[tuple[Floats, RouterLayer]]:
    """Both faces' lines of bevelled edges: whichever is cut falls away, for it lies on the cut."""
    for edge in part.edges:
        yield edge.far, "far-face"
        if rules.cut is CutTo.LARGER:
            yield edge.points, "mark"


def _inside(line: Floats, wood: shapely.Geometry) -> Iterator[Floats]:
    cut = shapely.LineString(line).intersection(wood)
    for piece in shapely.get_parts(cut):
        if isinstance(piece, shapely.LineString) and piece.length > SHORTEST_SCORE:
            yield np.asarray(piece.coords)
