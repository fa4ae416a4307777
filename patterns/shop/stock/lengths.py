"""The lengths of a piece of wood, each by one name: finished, sawn, stock. Whatever tells one takes it from here."""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from dataclasses import dataclass

import numpy as np

from patterns.parts.part import Part, longways
from patterns.shop.saw.long_bench import BenchPiece


@dataclass(frozen=True, slots=True)
class Lengths:
    """mm; a piece that is sprung is measured laid flat, as its pattern lies."""

    finished: float  # from end to end of both faces, along the long side of the least rectangle round them
    sawn: float | None  # with both ends left long, until they are cut to their angles; None where none is left
    stock: float | None  # of the least straight-grained board the sawn piece lies on; None where that is not worked out


def lengths_of(part: Part, made: BenchPiece | None = None) -> Lengths:
    """The lengths of a part; `made` is the same piece at the bench, where it is a long one."""
    finished, _ = finished_size(part)
    return Lengths(finished, made.takes.length, made.least.length) if made else Lengths(finished, None, None)


def lengths_by_title(parts: Sequence[Part], made: Sequence[BenchPiece]) -> Mapping[str, Lengths]:
    """The lengths of each part, by its title."""
    at_bench = {one.title: one for one in made}
    return {part.title: lengths_of(part, at_bench.get(part.title)) for part in parts}


def finished_size(part: Part) -> tuple[float, float]:
    """mm, finished length and width: the sides of the least rectangle that holds both faces."""
    both_faces = np.concatenate([part.outline, part.far_outline])
    way = longways(both_faces)
    cos, sin = np.cos(way), np.sin(way)
    length, width = np.ptp(both_faces @ np.array([[cos, -sin], [sin, cos]]), axis=0).tolist()
    return length, width
