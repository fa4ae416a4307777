"""The offsets as given beside the line as faired, stood off it so that small moves are seen."""

from __future__ import annotations

from collections.abc import Collection, Iterator, Sequence

import numpy as np

from patterns.drawing.marks import Cross, Ink, Stroke
from patterns.geometry.arrays import Floats
from patterns.hull.fairing import FairedView
from patterns.plates.view_field import Field

MOVES = (
    "Crosses are the faired points, diamonds the offsets as given; how far each pair stands apart is drawn {times} "
    "times full size."
)
TIMES = (1, 2, 3, 5, 10, 20, 50, 100)
FURTHEST, FURTHEST_OF_MANY = 9.0, 5.0  # mm on paper from a line to the offset moved most; where lines stand close
SEEN = 0.35  # mm on paper; nearer, diamond and cross are one
DIAMOND = 0.9  # mm, half its width
RING = 2.6  # mm, radius
ARM = 0.9  # mm, half a stroke of a cross


def exaggeration(views: Sequence[FairedView], *, crowded: bool = False) -> int:
    """How many times full size moves are drawn, the same for every view; 0 where nothing was moved."""
    most = max((float(np.abs(view.moved).max()) for view in views), default=0.0)
    if most * TIMES[-1] < SEEN:
        return 0
    furthest = FURTHEST_OF_MANY if crowded else FURTHEST
    return max((times for times in TIMES if most * times <= furthest), default=1)


def given_points(
    view: FairedView, where: Field, times: int, *, sign: float, doubts: Collection[str] = ()
) -> Iterator[Ink]:
    """A cross at each faired point, a diamond for the offset as given, a line between them, rings round doubts."""
    faired = where.on_paper(np.column_stack([view.from_fp, sign * view.faired]))
    stood_off = np.column_stack([np.zeros(len(faired)), -sign * view.moved * times])
    yield from point_pairs(faired, stood_off)
    turn = np.linspace(0.0, 2 * np.pi, 25)
    for column, place in zip(view.columns, faired + stood_off, strict=True):
        if column in doubts:
            yield Stroke(place + RING * np.column_stack([np.cos(turn), np.sin(turn)]), "given", closed=True)


def point_pairs(faired: Floats, stood_off: Floats) -> Iterator[Ink]:
    """Marks at (n, 2) faired points on paper, with (n, 2) steps to where their offsets as given are drawn."""
    for (x, y), (right, up) in zip(faired.tolist(), stood_off.tolist(), strict=True):
        yield Cross((x, y), ARM, "given")
        if np.hypot(right, up) >= SEEN:
            yield Stroke(np.array([[x, y], [x + right, y + up]]), "given")
        corners = DIAMOND * np.array([[1, 0], [0, 1], [-1, 0], [0, -1]])
        yield Stroke(corners + np.array([x + right, y + up]), "given", closed=True)
