"""Where waterlines and diagonals of a round hull cross what is cut to its skin."""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from dataclasses import replace

import numpy as np
import shapely
from shapely import LineString

from patterns.geometry.arrays import Floats, crossed, unit
from patterns.geometry.cuts import Plane
from patterns.hull.planking.sections import over
from patterns.hull.planking.smooth_skin import LevelLine, SmoothSkin
from patterns.parts.edges import make_edge
from patterns.parts.part import Edge, Mark
from patterns.parts.role import EdgeKind
from patterns.parts.shaping import Shape

TICK = 40.0  # mm
PLANK_TICK = 15.0  # mm; there are many of them
LEVELS = ("waterline", "diagonal", "chine")
ON_EDGE = 0.5  # mm; a mark that ends nearer to an edge ends on it
BESIDE = 60.0  # mm between two bevels, that their figures may stand side by side
LEAST = 3.0  # mm of a line on the wood; less is no mark
LEVEL = 1e-9


def level_marks(skin: SmoothSkin, face: Plane, edge: Floats, shape: Shape) -> Iterator[Mark]:
    """Waterlines right across the wood, diagonals as ticks from the edge inward, on both sides.

    Parameters
    ----------
    edge : (n, 2) mm
        The right-hand edge on the marked face, from the centre line up to the sheer, in the plane's view.
    shape : Shape
        The wood on the marked face.
    """
    for level in skin.levels:
        place = crossing(level, face, edge)
        if place is None:
            continue
        way = unit(crossed(face.facing, level.square_to)) @ np.stack([face.right * np.sign(face.right[1]), face.up], 1)
        way = way * (-1.0 if way[0] > 0 else 1.0)
        if abs(level.square_to[1]) < LEVEL:
            across = LineString([place, place * (-1.0, 1.0)])
            for run in shapely.get_parts(shape.ring.intersection(across)):
                if run.length > LEAST:
                    yield Mark(level.name, np.asarray(run.coords))
        else:
            tick = np.stack([place, place + TICK * way])
            yield Mark(level.name, tick)
            yield Mark(level.name, over(tick))


def chine_marks(skin: SmoothSkin, face: Plane, depth: float) -> Iterator[Mark]:
    """Where hard turns of the skin cross a face, as ticks from the edge inward, on both sides."""
    if not skin.chines:
        return
    cut = skin.section(face, depth).cut
    for name, corner in zip(skin.chines, skin.surface.corners, strict=True):
        i = int(np.abs(cut.v - corner).argmin())
        place = face.flat(cut.points[i]) * (np.sign(face.right[1]), 1.0)
        tick = np.stack([place, place + TICK * np.array([-0.6, 0.8])])
        yield Mark(name, tick)
        yield Mark(name, over(tick))


def plank_marks(skin: SmoothSkin, face: Plane, depth: float) -> Iterator[Mark]:
    """Where the edges of planks, or ribbands, cross a face, as ticks square to its edge, on both sides."""
    planks = skin.planks
    if planks is None or planks.rules.strip:
        return
    cut = skin.section(face, depth).cut
    outline = face.flat(cut.points) * (np.sign(face.right[1]), 1.0)
    for name, place in zip(planks.names, planks.crossings(cut), strict=True):
        if place is None:
            continue
        i = min(int(place), len(outline) - 2)
        here = outline[i] + (place - i) * (outline[i + 1] - outline[i])
        way = unit(outline[i + 1] - outline[i])
        tick = np.stack([here, here + PLANK_TICK * np.array([-way[1], way[0]])])
        yield Mark(name, tick)
        yield Mark(name, over(tick))


def crossing(level: LevelLine, face: Plane, edge: Floats) -> Floats | None:
    """(2,) mm, where a waterline or a diagonal crosses an edge on the right-hand side; None where it does not.

    Of several the uppermost.
    """
    out = level.signed(face.in_space(edge * (np.sign(face.right[1]), 1.0)))
    there = np.flatnonzero((out[:-1] < 0) & (out[1:] >= 0))
    if not len(there):
        return None
    i = int(there[-1])
    return np.asarray(edge[i] + out[i] / (out[i] - out[i + 1]) * (edge[i + 1] - edge[i]))


def bevelled_at_marks(edges: Sequence[Edge], marks: Sequence[Mark], *, thickness: float) -> tuple[Edge, ...]:
    """The same edges, those along the planking with a bevel at each waterline and diagonal too."""
    ends = np.concatenate([np.zeros((0, 2)), *(mark.points[[0, -1]] for mark in marks if mark.name.startswith(LEVELS))])
    return tuple(_with_bevels(edge, ends, thickness) if edge.kind is EdgeKind.PLANKED else edge for edge in edges)


def _with_bevels(edge: Edge, ends: Floats, thickness: float) -> Edge:
    """An edge with bevels where marks (n, 2) end on it, and between them as it has them already."""
    line = LineString(edge.points)
    places = np.asarray(shapely.points(ends))
    on_it = np.sort(shapely.line_locate_point(line, places[shapely.distance(places, line) < ON_EDGE]))
    even = np.array([bevel.along for bevel in edge.bevels])
    apart = np.abs(even[1:-1, None] - on_it).min(axis=1, initial=np.inf)
    # Both ends stay; a figure beside a mark would be written over it.
    at = np.sort(np.concatenate([even[[0, -1]], even[1:-1][apart > BESIDE], on_it]))
    made = make_edge(edge.name, edge.points, edge.far, thickness=thickness, at=at)
    return replace(made, kind=edge.kind, hand=edge.hand)
