"""Pieces bowed to a cylinder: what their unrolled patterns want besides those of flat ones."""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import replace

import numpy as np

from patterns.geometry.arrays import run_along, unit
from patterns.geometry.cuts import Cylinder, Plane
from patterns.parts.part import Bevel, Edge, Part
from patterns.units.lengths import write_length


def unrolled(part: Part, face: Plane) -> Part:
    """The same piece, its bevels as they are on the bowed wood.

    The far face is drawn straight through the wood, in arc lengths of the marked face; on the far face itself an arc
    is longer or shorter as its radius is, and so is what a bevel runs athwart.
    """
    if not isinstance(face, Cylinder):
        return part
    share = (face.radius - part.thickness) / face.radius
    doubt = (
        f"it is bowed, and its pattern and router file are its {part.marked_face} unrolled: cut it on the bent blank. "
        "To cut it while flat and bend it after, multiply every breadth from the center line by "
        f"{_cut_flat(face, part.thickness):.4f}."
    )
    edges = tuple(_true_bevels(edge, share, part.thickness) for edge in part.edges)
    return replace(part, edges=edges, doubts=(*part.doubts, doubt))


def _cut_flat(face: Cylinder, thickness: float) -> float:
    """How long athwart wood is on the middle of its thickness, whose length bending keeps, to a bowed face."""
    return 1 - thickness / 2 / face.radius


def _true_bevels(edge: Edge, share: float, thickness: float) -> Edge:
    """An edge of a pattern whose far face is ``share`` as long athwart as it is drawn."""
    run = run_along(edge.points)
    middles, chords = (run[1:] + run[:-1]) / 2, unit(np.diff(edge.points, axis=0))
    bevels = []
    for bevel in edge.bevels:
        way = unit(np.array([np.interp(bevel.along, middles, chords[:, i]) for i in (0, 1)]))
        # Square to the edge as drawn is (way[1], -way[0]); drawn narrower athwart, lines lie so much nearer.
        true = bevel.run / float(np.hypot(way[1] / share, way[0]))
        bevels.append(Bevel(bevel.along, float(np.arctan2(true, thickness)), true))
    return replace(edge, bevels=tuple(bevels))


def bowed_words(face: Plane, thickness: float, show: str) -> Iterator[str]:
    """How a bowed piece is got out of its unrolled pattern."""
    if not isinstance(face, Cylinder):
        return
    far = face.radius - thickness
    yield (
        f"Bowed athwart: this face is an arc of {write_length(face.radius, show)} radius, level across its rake, the "
        f"face behind it of {write_length(far, show)}. The pattern is this face unrolled: its breadths are arc lengths."
    )
    yield (
        "Bend or build the blank to the curve first, larger than the pattern all round; then lay the pattern round "
        "this face, center line and heights true, and cut square to the curve or to the bevels."
    )
    yield (
        "The far face's line is drawn straight through the wood. To lay it on the far face itself, multiply every "
        f"breadth from the center line by {far / face.radius:.4f}; heights stay. To cut the wood while flat "
        f"and bend it after, multiply breadths by {_cut_flat(face, thickness):.4f}."
    )
