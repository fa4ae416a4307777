"""An edge of a sprung part is drawn as long as the middle of the thickness: how long it is in the boat, and why."""

from __future__ import annotations

from collections.abc import Iterator, Mapping
from dataclasses import dataclass
from math import fsum

import numpy as np

from patterns.geometry.arrays import dots, run_along, unit
from patterns.geometry.development import Flat
from patterns.parts.part import Part
from patterns.parts.role import EdgeKind
from patterns.parts.whole import Job
from patterns.shop.fit.meetings import Line, bent


@dataclass(frozen=True, slots=True)
class EdgeLength:
    """One edge of a part on its marked face, notches and limbers left out."""

    drawn: float  # mm
    in_boat: float  # mm
    turn: float  # rad the piece is bent along it; positive where that makes the marked face longer
    off_middle: float  # mm from the middle of the thickness to the marked face

    @property
    def by_bending(self) -> float:
        """mm that the turn makes it longer in the boat than it is drawn; what else differs is twist."""
        return self.turn * self.off_middle


BentEdges = Mapping[str, Mapping[str, EdgeLength]]
"""By a part's name, of either hand, and an edge's name."""


def bent_edges(job: Job) -> BentEdges:
    """Every edge of every part that is sprung: the two hands are mirror images."""
    return {sprung[0].name: dict(_edges(*sprung)) for sprung in _sprung(job)}


def _sprung(job: Job) -> Iterator[tuple[Part, Flat, float, float]]:
    """Parts unrolled from the skin, as their flat lays them, with the depths of the marked face and of the middle."""
    for part in job.parts:
        if part.flat is not None:
            strake = job.hull.strake(part.strake)
            yield part, part.flat, strake.inside, strake.middle
    for piece in job.long_pieces:
        if piece.part.hand != "port":
            inward = piece.thickness / 2 if piece.inside else -piece.thickness / 2
            yield piece.natural, piece.flat, piece.depth, piece.depth - inward


def _edges(part: Part, flat: Flat, depth: float, middle: float) -> Iterator[tuple[str, EdgeLength]]:
    for name in dict.fromkeys(edge.name for edge in part.edges if edge.kind is not EdgeKind.NOTCH):
        runs = [bent(flat, depth, edge.points) for edge in part.edges_of(name)]
        off = depth - middle
        yield (
            name,
            EdgeLength(
                drawn=fsum(float(run_along(run.drawn)[-1]) for run in runs),
                in_boat=fsum(float(run_along(run.bent)[-1]) for run in runs),
                turn=float(np.sign(off)) * fsum(_turn(flat, run) for run in runs),
                off_middle=abs(off),
            ),
        )


def _turn(flat: Flat, line: Line) -> float:
    """Rad the skin's normal turns along a line, positive where it turns the way the line runs.

    A face off the middle, outward, is longer by so many times its distance from the middle.
    """
    s, _ = flat.places(line.drawn)
    normals = unit(flat.ruled.at(flat.ruled.normal, s))
    return float(dots(np.diff(normals, axis=0), unit(np.diff(line.bent, axis=0))).sum())
