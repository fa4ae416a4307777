"""The line a square cutter follows round a part, edge by edge, where its two faces differ."""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from itertools import groupby, pairwise

import numpy as np
from shapely import LineString, Point
from shapely.geometry.base import BaseGeometry
from shapely.ops import substring

from patterns.errors import ShapeError, while_making
from patterns.geometry.arrays import Floats, lengths, run_along
from patterns.geometry.biarcs import LEAST_RUN, apart, smooth_runs
from patterns.geometry.outlines import TOUCH, across, cornered, parallel
from patterns.parts.part import Edge, Part
from patterns.parts.role import EdgeKind
from patterns.shop.router.contours import CutShort
from patterns.shop.router.router_rules import CutTo, RouterRules
from patterns.units.lengths import write_length

SAME_PLACE = 1e-6  # mm
SURE = 0.2  # mm; where every bevel of an edge runs out so far to one side, its faces' lines do not cross
SHORT = 0.5  # mm; less wood missing than a pencil line is thick hinders nobody


def is_notch(edge: Edge) -> bool:
    """Whether another piece seats in this edge; each wall of a notch has the same name."""
    return edge.kind is EdgeKind.NOTCH


def cut_edges(part: Part, rules: RouterRules) -> tuple[Floats, ...]:
    """Lines (n, 2) mm round a part, counter-clockwise, each beginning where the one before ends."""
    first = next((number for number, edge in enumerate(part.edges) if not is_notch(edge)), 0)
    chosen: list[Floats] = []
    # Begun at an edge that is no notch, every notch's walls follow one another.
    for notch, edges in groupby(
        (*part.edges[first:], *part.edges[:first]), key=lambda e: e.name if is_notch(e) else ""
    ):
        lines = [line for edge in edges for line in _lines_of(edge, rules)]
        chosen.extend(_eased(lines, rules.clearance) if notch else lines)
    return tuple(apart(_without_repeats(line)) for line in _without_slivers(_closed_up(chosen)))


def cut_short(part: Part, rules: RouterRules, show: str) -> CutShort | None:
    """Where the cut takes the most wood that the larger face needs; None where it takes none worth a word."""
    if rules.cut is CutTo.LARGER:
        return None
    # The marked face's line lacks what stands outside it; the smaller face's lacks all that the faces differ by.
    lacking = [
        (bevel.run if rules.cut is CutTo.FINISHED else abs(bevel.run), edge.name)
        for edge in part.edges
        for bevel in edge.bevels
    ]
    by, where = max(lacking, default=(0.0, ""))
    if by < SHORT:
        return None
    bevels, face = ("standing bevels", "far") if rules.cut is CutTo.FINISHED else ("bevels", "larger")
    told = (
        f'cut = "{rules.cut}" cuts {bevels} short: {write_length(by, show)} of wood is missing on the {face} face of '
        f"{part.title}, edge '{where}'"
    )
    return CutShort(by, told)


def _without_repeats(line: Floats) -> Floats:
    """Meeting in a point of either line leaves it there twice."""
    moves_on = lengths(np.diff(line, axis=0)) > SAME_PLACE
    return np.concatenate([line[:-1][moves_on], line[-1:]])


def _without_slivers(lines: Sequence[Floats]) -> Iterator[Floats]:
    """Lines round a part without those that their neighbours, run on to meet, have left too short to cut."""
    kept = [line for line in lines if run_along(line)[-1] >= LEAST_RUN]
    for before, line in zip([*kept[-1:], *kept[:-1]], kept, strict=True):
        yield np.concatenate([before[-1:], line[1:]])


def _lines_of(edge: Edge, rules: RouterRules) -> list[Floats]:
    """An edge's line to cut; of a notch drawn as one edge each wall's."""
    with while_making(f"edge '{edge.name}'"):
        return _chosen_lines(edge, rules)


def _chosen_lines(edge: Edge, rules: RouterRules) -> list[Floats]:
    runs = np.array([bevel.run for bevel in edge.bevels])
    near, far = (smooth_runs(edge.points), smooth_runs(edge.far)) if is_notch(edge) else ([edge.points], [edge.far])
    if len(near) != len(far) or len(near) == 1:
        return [_chosen(edge.points, edge.far, rules.cut, runs=runs)]
    return [_chosen(a, b, rules.cut, runs=np.zeros(0)) for a, b in zip(near, far, strict=True)]


def _eased(walls: list[Floats], clearance: float) -> list[Floats]:
    """Walls of a notch moved back into the wood by half the clearance each; its bottom stays."""
    if clearance == 0 or len(walls) < 2:
        return walls
    first, *bottom, last = walls
    return [parallel(first, clearance / 2), *bottom, parallel(last, clearance / 2)]


def _chosen(line: Floats, far: Floats, cut: CutTo, *, runs: Floats) -> Floats:
    """Of both faces' lines of an edge the one to cut, or where they cross, of each the part to cut."""
    if cut is CutTo.FINISHED or (len(runs) and np.abs(runs).max() < TOUCH):
        return line
    sign = 1.0 if cut is CutTo.LARGER else -1.0
    if len(runs) and np.abs(runs).min() > SURE and (np.sign(runs) == np.sign(runs[0])).all():
        return far if sign * runs[0] > 0 else line
    beyond = sign * across(line, far, run_along(line))
    if beyond.max() <= TOUCH:
        return line
    return far if beyond.min() >= -TOUCH else _by_turns(line, far, beyond)


def _by_turns(line: Floats, far: Floats, beyond: Floats) -> Floats:
    """Two lines that cross: of each the stretches on the wanted side."""
    along = run_along(line)
    i = np.flatnonzero(np.signbit(beyond[1:]) != np.signbit(beyond[:-1]))
    crossings = along[i] + (along[i + 1] - along[i]) * beyond[i] / (beyond[i] - beyond[i + 1])
    near_line, far_line = LineString(line), LineString(far)
    places = [0.0, *crossings.tolist(), float(along[-1])]
    pieces = []
    for start, end in pairwise(places):
        piece: BaseGeometry = substring(near_line, start, end)
        if np.interp((start + end) / 2, along, beyond) > 0:
            beside = _stretch(far_line, near_line, start, end)
            # Where the far line ends before the crossing, no stretch of it lies beside this one.
            piece = beside if beside.length > TOUCH else piece
        pieces.append(np.asarray(piece.coords))
    points = np.concatenate(pieces)
    return np.asarray(points[np.concatenate([[True], lengths(np.diff(points, axis=0)) > TOUCH])])


def _stretch(far: LineString, line: LineString, start: float, end: float) -> BaseGeometry:
    """The far line beside a stretch of the other, whole at the edge's ends."""
    low = 0.0 if start == 0 else far.project(Point(line.interpolate(start)))
    high = far.length if end >= line.length - TOUCH else far.project(Point(line.interpolate(end)))
    return substring(far, low, high)


def _closed_up(lines: list[Floats]) -> tuple[Floats, ...]:
    """Edges run on, or cut back, to where they meet their neighbours; where two would meet far off, a straight cut
    across the gap between them.
    """
    lines = list(lines)
    gaps = [at for at in range(len(lines)) if not _made_to_meet(lines, at)]
    # A short edge may reach its neighbour only once its other end has been run on.
    gaps = [at for at in gaps if not _made_to_meet(lines, at)]
    for at in reversed(gaps):
        lines.insert(at + 1, np.stack([lines[at][-1], lines[(at + 1) % len(lines)][0]]))
    return tuple(lines)


def _made_to_meet(lines: list[Floats], at: int) -> bool:
    """Whether an edge and the next one, the last and the first, were made to share a corner."""
    after = (at + 1) % len(lines)
    try:
        lines[at], lines[after] = cornered(lines[at], lines[after])
    except ShapeError:
        return False
    return True
