"""Plank lines, or ribbands, on the lines drawing: thin dashed lines along the surface that is drawn."""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from dataclasses import dataclass

import numpy as np

from patterns.drawing.along_lines import beside, steps
from patterns.drawing.label_placing import Request
from patterns.drawing.marks import Ink, Stroke
from patterns.drawing.text import text_width
from patterns.geometry.arrays import Floats, run_along
from patterns.hull.planking.plank_lines import PlankLines
from patterns.plates.view_field import NOTE_SIZE, Field

ALONG = 161  # places along each line
LEAST = 12.0  # mm on paper; a shorter run of a line has no name
SHARES = (0.5, 0.42, 0.58, 0.34, 0.66, 0.26, 0.74, 0.18, 0.82)  # of a run, where its name may stand


@dataclass(frozen=True, slots=True, eq=False)
class PlankRun:
    """A plank line in one view, in the boat's mm; None for its name where the name stands elsewhere."""

    name: str | None
    points: Floats  # (n, 2)


def runs_along(planks: PlankLines | None, *, axis: int) -> tuple[PlankRun, ...]:
    """Every line from FP aft and, of the other coordinate, half-breadth (axis 1) or height (axis 2)."""
    return tuple(PlankRun(name, points[:, [0, axis]]) for name, points in _in_space(planks))


def runs_across(planks: PlankLines | None, widest: float) -> tuple[PlankRun, ...]:
    """Every line as the body plan has it: forward of the widest station on the right, aft of it on the left."""
    found = []
    for name, points in _in_space(planks):
        for side, here in ((1.0, points[:, 0] <= widest), (-1.0, points[:, 0] >= widest)):
            if here.sum() > 1:
                found.append(PlankRun(name if side > 0 else None, points[here, 1:] * (side, 1.0)))
    return tuple(found)


def plank_ink(runs: Sequence[PlankRun], where: Field) -> Iterator[Ink]:
    for run in runs:
        yield Stroke(where.on_paper(run.points), "far-face")


def plank_names(runs: Sequence[PlankRun], where: Field, *, at_end: bool = False) -> Iterator[Request]:
    """The names of the lines along them, or beyond their after ends where these lie well apart."""
    for run in runs:
        line = where.on_paper(run.points)
        long = float(run_along(line)[-1])
        if run.name is None or long < LEAST:
            continue
        # From left to right, so that no name stands upside down.
        line = line if line[0, 0] <= line[-1, 0] else line[::-1]
        offsets = steps((2.4, -2.4, 3.4, -3.4), (0.0,))
        spots = [beside(line, run.name, size=NOTE_SIZE, along=long * share, offsets=offsets) for share in SHARES]
        home = line[len(line) // 2]
        if at_end:
            home = line[-1]
            spots.insert(0, np.array([[home[0] + text_width(run.name, NOTE_SIZE) / 2 + 2.0, home[1], 0.0]]))
        yield Request(run.name, NOTE_SIZE, np.concatenate(spots), (float(home[0]), float(home[1])), rank=2)


def plank_note(planks: PlankLines | None, *, named: bool = True) -> list[str]:
    """What the dashed lines are; nothing where there are none."""
    if not drawn(planks):
        return []
    what = "middles of the ribbands" if planks and planks.rules.ribbands else "upper edges of the planks"
    numbered = "numbered from the keel up" if named else "named on the profile"
    return [f"Dashed: the {what}, {numbered}."]


def drawn(planks: PlankLines | None) -> bool:
    """Whether there are lines to draw: strips have none."""
    return planks is not None and not planks.rules.strip


def _in_space(planks: PlankLines | None) -> Iterator[tuple[str, Floats]]:
    """(n, 3) mm, each line on the surface that the table gives."""
    if planks is None or planks.rules.strip:
        return
    u = np.linspace(0.0, 1.0, ALONG)
    for number, name in enumerate(planks.names):
        yield name, planks.surface.places(u, planks.v_at(number, u)).points
