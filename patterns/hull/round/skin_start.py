"""What the fit of a round hull's skin begins with: its bases, and straight sections from the rabbet to the sheer.

Straight sections need no order of the table's points, and no misprint among the cuts does them harm.
"""

from __future__ import annotations

from dataclasses import dataclass
from functools import cached_property

import numpy as np

from patterns.geometry.arrays import Floats, held_between
from patterns.geometry.spline_bases import StiffBasis
from patterns.geometry.tensor_skins import TensorSkin
from patterns.hull.offsets import OffsetRow
from patterns.hull.round.end_edges import EndEdge, end_edge
from patterns.hull.round.figures import RoundLines, keel_half, rabbet_row

ORDER = 4  # the derivative by which bending is counted, along and across
SPANS = 10  # of v
CLOSEST = 0.012  # of the run, between two breaks of u
FROM_END = 0.02  # of the run, nearest that a station's break stands to an end
STIFF = 3.0  # how much more a start bends reluctantly than it follows its lines
DENSE = 161  # places of v at which the edges are laid on the ends


@dataclass(frozen=True, eq=False)
class Frame:
    """What stays as it is while a skin is fitted."""

    lengthwise: StiffBasis
    across: StiffBasis
    fore: EndEdge
    aft: EndEdge
    v_of: dict[str, float]  # where the sheer, the rabbet and the chines lie
    depth: float  # mm from the lowest of the rabbet to the highest of the sheer

    @cached_property
    def _dense(self) -> tuple[Floats, Floats, Floats]:
        """Places of v, the splines there, and what makes splines of values there."""
        v = np.linspace(0.0, 1.0, DENSE)
        table = self.across.splines.within(v)
        return v, table, np.asarray(np.linalg.pinv(table))

    def skin(self, breadths: Floats, heights: Floats) -> TensorSkin:
        """The skin with its edges laid on the ends, from what Y and Z are made of."""
        v, table, laid = self._dense
        edges = []
        for end, u in ((self.fore, 0.0), (self.aft, 1.0)):
            if end.post is None:
                at = self.lengthwise.splines.within(np.array([u]))[0]
                y, z = table @ (at @ breadths), table @ (at @ heights)
            else:
                y, z = end.half_breadths(v), end.heights(v)
            edges.append(laid @ end.x_at(y, z))
        return TensorSkin(self.lengthwise.splines, self.across.splines, breadths, heights, edges[0], edges[1])


def frame_of(asked: RoundLines) -> Frame:
    """Bases with a break at every station, end bays halved, and corners at the table's chines."""
    offsets = asked.offsets
    chines = tuple(name for name in reversed(offsets.lines) if name.startswith("chine"))
    rabbet = rabbet_row(offsets)
    if rabbet is None:
        raise ValueError("a round hull has a rabbet")
    count = len(chines) + 1
    v_of = {rabbet.name: 0.0, **{name: (k + 1) / count for k, name in enumerate(chines)}, "sheer": 1.0}
    fore = end_edge(offsets, asked.fore, aft=False, chines=chines)
    aft = end_edge(offsets, asked.aft, aft=True, chines=chines)
    sheer = offsets.height("sheer").values
    depth = float(np.nanmax(sheer) - np.nanmin(rabbet.values))
    first, last = (float(pick(end.extent())) for end, pick in ((fore, np.min), (aft, np.max)))
    corners = tuple(v_of[name] for name in chines)
    stations = offsets.from_fp[1:-1][[name not in offsets.extras for name in offsets.columns[1:-1]]]
    lengthwise = StiffBasis.of(_breaks((stations - first) / (last - first)), order=ORDER)
    spans = np.unique(np.round(np.concatenate([np.linspace(0, 1, SPANS + 1), corners]), 12))
    return Frame(lengthwise, StiffBasis.of(spans, order=ORDER, corners=corners), fore, aft, v_of, depth)


def _breaks(stations: Floats) -> Floats:
    """Breaks of u at stations, none too close to another, with one more in the middle of either end bay."""
    breaks = np.unique(np.concatenate([[0.0], held_between(stations, FROM_END, 1 - FROM_END), [1.0]]))
    breaks = np.unique(np.concatenate([breaks, [breaks[1] / 2, (1 + breaks[-2]) / 2]]))
    kept = breaks[np.concatenate([[True], np.diff(breaks) > CLOSEST])]
    kept[-1] = 1.0
    return np.asarray(kept)


def started(asked: RoundLines, frame: Frame) -> TensorSkin:
    """The skin of straight sections between the lines at fixed v."""
    u = np.linspace(0.0, 1.0, 60)
    lines = sorted(frame.v_of, key=lambda name: frame.v_of[name])
    laid = [_laid(asked, frame, name, u) for name in lines]
    stiff = np.diag(np.sqrt(frame.lengthwise.costs / frame.lengthwise.costs.max()) * STIFF)
    both = np.concatenate([frame.lengthwise.at(u), stiff])
    wanted = np.concatenate([np.column_stack(laid), np.zeros((len(stiff), 2 * len(laid)))])
    amounts = frame.lengthwise.shapes @ np.linalg.lstsq(both, wanted)[0]
    v = np.linspace(0.0, 1.0, 30 * (len(lines) - 1) + 1)
    knots = np.array([frame.v_of[name] for name in lines])
    table = frame.across.splines.within(v)
    hats = [np.linalg.lstsq(table, np.interp(v, knots, one))[0] for one in np.eye(len(lines))]
    breadths, heights = (
        np.sum([np.outer(amounts[:, 2 * k + way], hat) for k, hat in enumerate(hats)], axis=0) for way in (0, 1)
    )
    return frame.skin(breadths, heights)


def _laid(asked: RoundLines, frame: Frame, name: str, u: Floats) -> Floats:
    """(n, 2) mm, half-breadth and height of a line at u (n,), straight between its figures."""
    offsets, v = asked.offsets, frame.v_of[name]
    rows: list[OffsetRow | None] = [offsets.half_breadth(name), _heights(asked, name)]
    keel = keel_half(offsets)
    ends = []
    for end, place in ((frame.fore, 0), (frame.aft, -1)):
        y = float(rows[0].values[place]) if rows[0] is not None else keel
        z = float(rows[1].values[place]) if rows[1] is not None else np.nan
        if end.post is not None:
            y, z = float(end.half_breadths(np.array([v]))[0]), float(end.heights(np.array([v]))[0])
        points = end.profile.points
        z = float(points[0 if v == 1.0 else -1, 1]) if np.isnan(z) else z
        y = 0.0 if np.isnan(y) else y
        ends.append((float(end.x_at(np.array([y]), np.array([z]))[0]), y, z))
    x = np.concatenate([[ends[0][0]], offsets.from_fp[1:-1], [ends[1][0]]])
    at = ends[0][0] + u * (ends[1][0] - ends[0][0])
    columns = []
    for way, row in enumerate(rows):
        inner = np.full(len(x) - 2, keel) if row is None else row.values[1:-1]
        inner = np.where(np.isnan(inner), keel, inner) if way == 0 and name not in ("sheer",) and v == 0.0 else inner
        values = np.concatenate([[ends[0][1 + way]], inner, [ends[1][1 + way]]])
        known = np.isfinite(values) & np.isfinite(x)
        columns.append(np.interp(at, x[known], values[known]))
    return np.column_stack(columns)


def _heights(asked: RoundLines, name: str) -> OffsetRow | None:
    return next((row for row in asked.offsets.heights if row.name == name), None)
