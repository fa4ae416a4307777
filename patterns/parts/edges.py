"""Edges of parts: both faces' lines into bevels; a part into its mirrored twin."""

from __future__ import annotations

import re
from dataclasses import replace

import numpy as np

from patterns.errors import while_making
from patterns.geometry.arrays import Floats, evenly, run_along
from patterns.geometry.outlines import across, thinned, unlooped
from patterns.parts.part import OTHER_HAND, Bevel, Edge, Note, Part
from patterns.parts.role import EdgeKind

BEVEL_SPACING = 150.0  # mm; the trade marks a bevel at least every 12 in (300 mm), common practice


def make_edge(
    name: str,
    points: Floats,
    far: Floats,
    *,
    thickness: float,
    at: Floats | None = None,
    far_line: Floats | None = None,
) -> Edge:
    """An edge from its line on the marked face and on the far face, both counter-clockwise.

    Its bevels are taken at running lengths ``at`` along the marked face's line, or else evenly. Where the edge is cut
    out of a longer one, ``far_line`` is the whole of that on the far face.

    Source: the bevel is the angle whose tangent is the run over the thickness, the run taken square to the edge
    (closed forms under ``[thickness_run]`` of shared/figures/trade_geometry.toml).
    """
    points, far = unlooped(points), unlooped(far)
    if at is None:
        length = float(run_along(points)[-1])
        at = evenly(length, max(2, int(np.ceil(length / BEVEL_SPACING)) + 1))
    with while_making(f"edge '{name}'"):
        runs = across(points, far if far_line is None else far_line, at)
    angles = np.arctan2(runs, thickness)
    bevels = tuple(Bevel(float(a), float(b), float(r)) for a, b, r in zip(at, angles, runs, strict=True))
    return Edge(name, thinned(points), thinned(far), bevels)


def square_edge(name: str, points: Floats, far: Floats | None = None, *, kind: EdgeKind = EdgeKind.NET) -> Edge:
    """An edge cut square: both faces end on the same line, ``far`` where its neighbours' bevels end it elsewhere."""
    line = thinned(points)
    length = float(run_along(line)[-1])
    at = evenly(length, max(2, int(np.ceil(length / (2 * BEVEL_SPACING))) + 1))
    bevels = tuple(Bevel(float(a), 0.0, 0.0) for a in at)
    return Edge(name, line, line if far is None else thinned(far), bevels, kind)


def mirrored(part: Part, *, upright: bool = False) -> Part:
    """The other of a pair, drawn apart, never left to a note: all that lies on it, and every word of its hand.

    Turned over about a line fore and aft; ``upright``, about the centre line of a piece seen from ahead or astern.
    """
    top = float(part.outline[:, 1].max() + part.outline[:, 1].min())

    def over(points: Floats) -> Floats:
        return points * (-1.0, 1.0) if upright else np.stack([points[:, 0], top - points[:, 1]], axis=1)

    edges = tuple(_reversed(replace(edge, points=over(edge.points), far=over(edge.far))) for edge in part.edges[::-1])
    return replace(
        part,
        hand=OTHER_HAND[part.hand],
        flat=None,
        stands_in=(),
        edges=edges,
        marks=tuple(replace(mark, name=_other_hand(mark.name), points=over(mark.points)) for mark in part.marks),
        holes=tuple(over(hole)[::-1] for hole in part.holes),
        notes=tuple(
            Note(_other_hand(note.text), (float(x), float(y)))
            for note in part.notes
            for x, y in [over(np.array([note.at]))[0]]
        ),
        remarks=tuple(map(_other_hand, part.remarks)),
        doubts=tuple(map(_other_hand, part.doubts)),
        grain_angle=None if part.grain_angle is None else 0.0 - part.grain_angle,
    )


def as_laid(part: Part) -> Part:
    """The part as it is laid on a bench to be marked: upper edge up. Turned half round where its own axes have x aft.

    Turned about its own middle, so that places on the pattern stay as large as they were.
    """
    if not part.upside_down:
        return part
    span = part.outline.min(axis=0) + part.outline.max(axis=0)

    def turned(points: Floats) -> Floats:
        return np.asarray(span - points)

    notes = (Note(note.text, (float(x), float(y))) for note in part.notes for x, y in [turned(np.array(note.at))])
    return replace(
        part,
        upside_down=False,
        bow="right" if part.bow == "left" else part.bow,
        flat=None,
        stands_in=(),
        edges=tuple(replace(edge, points=turned(edge.points), far=turned(edge.far)) for edge in part.edges),
        marks=tuple(replace(mark, points=turned(mark.points)) for mark in part.marks),
        holes=tuple(map(turned, part.holes)),
        notes=tuple(notes),
    )


_HANDS = {"port": "starboard", "starboard": "port", "PORT": "STARBOARD", "STARBOARD": "PORT"}
_HAND = re.compile(rf"\b({'|'.join(_HANDS)})\b")


def _other_hand(words: str) -> str:
    """The same words said of the other side of the boat."""
    return _HAND.sub(lambda found: _HANDS[found[0]], words)


def _reversed(edge: Edge) -> Edge:
    length = float(run_along(edge.points)[-1])
    bevels = tuple(replace(bevel, along=length - bevel.along) for bevel in edge.bevels[::-1])
    name, hand = _other_hand(edge.name), OTHER_HAND[edge.hand]
    return replace(edge, name=name, points=edge.points[::-1], far=edge.far[::-1], bevels=bevels, hand=hand)
