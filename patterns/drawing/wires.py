"""Lines in space, and how they look from one side: ink that knows no boat."""

from __future__ import annotations

from collections.abc import Iterable
from dataclasses import dataclass

import numpy as np

from patterns.drawing.marks import Stroke
from patterns.geometry.arrays import Floats, read_only


@dataclass(frozen=True, slots=True, eq=False)
class Wire:
    """One line in space, x to the right and z up for whoever looks along y."""

    name: str
    points: Floats  # (n, 3) mm
    heavy: bool = False  # an edge of the thing, not a line on it

    def __post_init__(self) -> None:
        object.__setattr__(self, "points", read_only(self.points, columns=3))


def seen(wires: Iterable[Wire], *, turn: float, tip: float, width: float) -> tuple[Stroke, ...]:
    """The lines as one sees them from far away.

    Parameters
    ----------
    turn, tip : rad
        First turned about the upright, so that at a quarter turn x points away from the eye; then tipped toward it.
    width : float
        mm, of the picture.
    """
    wires = tuple(wires)
    flat = [_seen(wire.points, turn, tip) for wire in wires]
    across = np.ptp(np.concatenate(flat)[:, 0])
    return tuple(
        Stroke(points * (width / across), "cut-outside" if wire.heavy else "mark")
        for points, wire in zip(flat, wires, strict=True)
    )


def _seen(points: Floats, turn: float, tip: float) -> Floats:
    x, y, z = points.T
    across = x * np.cos(turn) - y * np.sin(turn)
    away = x * np.sin(turn) + y * np.cos(turn)
    return np.column_stack([across, z * np.cos(tip) + away * np.sin(tip)])
