"""One long edge of a piece as its sawyer sees it: looking down on the face that lies up, bow to the left."""

from __future__ import annotations

from dataclasses import dataclass
from typing import Literal

import numpy as np
from numpy.typing import NDArray

from patterns.geometry.arrays import Floats, run_along, unit
from patterns.geometry.outlines import across
from patterns.geometry.short_repr import brief
from patterns.parts.long.long_pieces import LongPiece
from patterns.shop.saw.guide import left_normals

Bools = NDArray[np.bool_]
EdgeName = Literal["lower", "upper"]
UpFace = Literal["face against the planking", "face away from the planking"]
NEAR: UpFace = "face against the planking"
FAR: UpFace = "face away from the planking"

SPACING = 10.0  # mm between the points a line is worked with: under 0.001 mm of chord on any piece that is sawn
LONG = 75.0  # mm the stock is left long at each end: logs 6 in long in all, common practice
GUIDE_ON = 200.0  # mm the guide runs on past the stock: more than half a shoe, to start and end the cut by
TREND = 5  # points at an end that say which way it runs: one alone may be as short as the noise of its chords
OVERTURNED = np.array([1.0, -1.0])


@dataclass(frozen=True, slots=True, eq=False)
class EdgeView:
    """A net edge on both faces; x runs aft, to the right, whatever the hand."""

    name: EdgeName
    up: UpFace
    net: Floats  # (n, 2) mm, the net edge on the upper face, points evenly spaced aft, run on as far as a guide
    run: Floats  # (n,) mm, how much further from the piece the net edge lies on the lower face
    out: float  # +1 where the piece lies below the edge as seen, -1 where above
    within: tuple[float, float]  # mm, x of the piece's own ends on this edge

    __repr__ = brief

    @property
    def outward(self) -> Floats:
        """(n, 2) unit, away from the piece."""
        return self.out * left_normals(self.net)

    @property
    def of_piece(self) -> Bools:
        """(n,) whether a point bears on the piece, and not only on what the stock is left long."""
        first, last = self.within
        return np.asarray((self.net[:, 0] > first - SPACING) & (self.net[:, 0] < last + SPACING))


def edge_view(piece: LongPiece, name: EdgeName, up: UpFace) -> EdgeView:
    edges = {edge.name: edge for edge in piece.part.edges}
    edge, other = edges[name], edges["upper" if name == "lower" else "lower"]
    turned = OVERTURNED if up == FAR else np.ones(2)
    near, far = _aft(edge.points) * turned, _aft(edge.far) * turned
    mine, below = (near, far) if up == NEAR else (far, near)
    first, last = stock_ends(piece)
    out = 1.0 if float(((edge.points.mean(axis=0) - other.points.mean(axis=0)) * turned)[1]) > 0 else -1.0
    net = _even(_run_on(_even(mine)), first - GUIDE_ON, last + GUIDE_ON)
    bevels = [place.lower if name == "lower" else place.upper for place in piece.places]
    if any(bevels):
        at_ends = piece.thickness * np.tan([bevels[0], bevels[-1]]) * (1.0 if up == NEAR else -1.0)
        runs = _runs(net, below, near, out, at_ends)
    else:
        runs = np.zeros(len(net))
    return EdgeView(name, up, net, runs, out, (near[0, 0], near[-1, 0]))


def profile_view(line: Floats, other: Floats, runs: Floats, *, over: bool) -> EdgeView:
    """An edge of a piece that is sawn to a profile, the side it is drawn on up; or, turned over, its other side.

    Parameters
    ----------
    line : (n, 2) mm
        The edge on the side that lies up.
    other : (n, 2) mm
        The edge across from it.
    runs : (n,) mm
        How much further from the piece the edge lies at the depth it is sawn to, at each point of the line.
    over : bool
        Whether the piece is turned over about a line fore and aft.
    """
    lower = line[:, 1].mean() < other[:, 1].mean()
    name: EdgeName = "lower" if lower else "upper"
    turned = OVERTURNED if over else np.ones(2)
    own = _aft(line) * turned
    x = np.concatenate([line, other])[:, 0]
    net = _even(_run_on(_even(own)), float(x.min()) - LONG - GUIDE_ON, float(x.max()) + LONG + GUIDE_ON)
    order = line[:, 0].argsort()
    run = np.interp(net[:, 0], line[order, 0], runs[order])
    return EdgeView(name, FAR if over else NEAR, net, run, -1.0 if lower is not over else 1.0, (own[0, 0], own[-1, 0]))


def stock_ends(piece: LongPiece) -> tuple[float, float]:
    """mm, x of the two ends of the stock, left long."""
    x = np.concatenate([piece.part.outline, piece.part.far_outline])[:, 0]
    return float(x.min()) - LONG, float(x.max()) + LONG


def mark_places(piece: LongPiece, name: EdgeName) -> Floats:
    """(k,) mm, x of the piece's marks on one edge of the face against the planking."""
    along = [place.along if name == "lower" else place.along_upper for place in piece.places]
    line = _aft(piece.part.edge(name).points)
    return np.asarray(np.interp(along, run_along(line), line[:, 0]))


def mark_names(piece: LongPiece) -> tuple[str, ...]:
    names = [place.name for place in piece.places]
    return ("fore end", *names[1:-1], "after end")


def _runs(net: Floats, below: Floats, near: Floats, out: float, at_ends: Floats) -> Floats:
    """The run at every point; where one face goes on past the other's end, toward the run at the end mark, (2,) mm."""
    x = net[:, 0]
    # A bevel winds so slowly that a part of the points says it all.
    both = (
        (x >= max(below[0, 0], near[0, 0])) & (x <= min(below[-1, 0], near[-1, 0])) & (np.arange(len(x)) % TREND == 0)
    )
    runs = -out * across(net, _even(_run_on(_even(below))), run_along(net)[both])
    places = np.concatenate([[near[0, 0]], x[both], [near[-1, 0]]])
    found = np.concatenate([at_ends[:1], runs, at_ends[1:]])
    order = np.argsort(places, kind="stable")
    return np.asarray(np.interp(x, places[order], found[order]))


def _aft(points: Floats) -> Floats:
    """The same line from fore to aft."""
    return points if points[0, 0] < points[-1, 0] else points[::-1]


def _even(line: Floats, first: float | None = None, last: float | None = None) -> Floats:
    """The line in evenly spaced points, from one x to another."""
    low, high = (line[0, 0] if first is None else first), (line[-1, 0] if last is None else last)
    run = run_along(line)
    start, end = np.interp([low, high], line[:, 0], run).tolist()
    at = np.linspace(start, end, max(9, round((end - start) / SPACING) + 1))
    return np.stack([np.interp(at, run, line[:, k]) for k in (0, 1)], axis=1)


def _run_on(line: Floats) -> Floats:
    """The line carried on past both ends, bent as it is there, as far as any end cut or guide needs."""
    return np.concatenate([_onward(line[::-1])[::-1], line, _onward(line)])


def _onward(line: Floats) -> Floats:
    """(k, 2) evenly spaced points beyond a line's last, along the parabola that lies best on its end."""
    end = line[-1]
    way = unit(line[-1] - line[-1 - TREND])
    axes = np.stack([way, (-way[1], way[0])])
    local = (line[-TREND * 6 :] - end) @ axes.T
    bend, slope = np.linalg.lstsq(np.stack([local[:, 0] ** 2, local[:, 0]], axis=1), local[:, 1], rcond=None)[0]
    u = np.arange(SPACING, 2 * GUIDE_ON + 2 * LONG + float(np.ptp(line[:, 1])), SPACING)
    return np.asarray(end + np.stack([u, bend * u**2 + slope * u], axis=1) @ axes)
