"""What a builder lines off planks by: how broad each is at every mould and at its ends, and the board it comes from."""

from __future__ import annotations

from dataclasses import dataclass
from itertools import pairwise

import numpy as np

from patterns.geometry.arrays import run_along
from patterns.hull.build import end_word
from patterns.hull.planking.plank_lines import PlankBlank, PlankLines, breadths_at, flat_plank, strips_needed
from patterns.parts.frames.frame import frame_name
from patterns.parts.whole import Job

STEALER = 0.4  # of a plank's breadth amidships; a hood end narrower than that wants a stealer: common practice


@dataclass(frozen=True, slots=True)
class PlankPlace:
    """A mould, or an end of the planking, with what the lines make of the girth there."""

    name: str
    girth: float  # mm along the inside of the planking, from the garboard's foot, or the stem, to the sheer
    breadths: tuple[float | None, ...]  # mm of each plank, from the keel up; None of one that has ended on the stem
    # At the ends square to the plank's run, on a mould along its edge.
    from_sheer: tuple[float | None, ...]  # mm down the girth from the sheer to each line


@dataclass(frozen=True, slots=True)
class PlankFigures:
    """The planks of one side."""

    lines: PlankLines
    places: tuple[PlankPlace, ...]  # from forward aft
    blanks: tuple[PlankBlank, ...]  # of each plank from the keel up; none of ribbands and strips
    strips: tuple[int, ...]  # whole strips at each place; none of planks
    strip_length: float  # mm of strips for both sides, without scarfs and waste

    @property
    def stealers(self) -> tuple[tuple[int, str, float, float], ...]:
        """Planks whose ends come out narrow: number, place, mm there, mm where they are broadest."""
        if not self.blanks:
            return ()
        found = []
        for plank in range(self.lines.count):
            broadest = max(place.breadths[plank] or 0.0 for place in self.places)
            for end in (self.places[0], self.places[-1]):
                here = end.breadths[plank]
                if here is not None and here < STEALER * broadest:
                    found.append((plank + 1, end.name, here, broadest))
        return tuple(found)


def plank_figures(job: Job) -> PlankFigures | None:
    """Of a round hull whose boat.toml asks for plank lines; None of other hulls."""
    skin = job.hull.smooth
    if skin is None or skin.planks is None:
        return None
    lines = skin.planks
    places = (
        _end(lines, job, aft=False),
        *(_mould(lines, job, number) for number in _from_forward(job)),
        _end(lines, job, aft=True),
    )
    rules = lines.rules
    planks = () if rules.strip or rules.ribbands else range(lines.count)
    strips = strips_needed([place.girth for place in places], rules.strip) if rules.strip else ()
    return PlankFigures(
        lines,
        places,
        tuple(flat_plank(lines, plank) for plank in planks),
        strips,
        2 * _area(lines) / rules.strip if rules.strip else 0.0,
    )


def _from_forward(job: Job) -> list[int]:
    return sorted(range(len(job.stands)), key=lambda i: float(job.stands[i][1].face.origin[0]))


def _mould(lines: PlankLines, job: Job, number: int) -> PlankPlace:
    rules, stand = job.stands[number]
    cut = lines.section(stand.face)
    run = run_along(cut.points)
    places = lines.crossings(cut)
    at = [None if one is None else float(run[-1] - np.interp(one, np.arange(len(run)), run)) for one in places]
    return PlankPlace(frame_name(rules, stand), float(run[-1]), tuple(breadths_at(places, run)), tuple(at))


def _end(lines: PlankLines, job: Job, *, aft: bool) -> PlankPlace:
    girths = lines.end_girths(aft=aft)
    down = (girths[-1] - girths[1:-1]).tolist()
    name = end_word(job.boat.aft if aft else job.boat.fore, aft=aft)
    return PlankPlace(name, float(girths[-1]), tuple(lines.end_breadths(aft=aft).tolist()), tuple(down))


def _area(lines: PlankLines) -> float:
    """mm2 of the inside of one side."""
    rows = np.array([lines.edge(line, lines.u) for line in range(-1, lines.count)])
    total = 0.0
    for low, high in pairwise(rows):
        for a, b, c in ((low[:-1], low[1:], high[:-1]), (high[:-1], low[1:], high[1:])):
            total += float(np.linalg.norm(np.cross(b - a, c - a), axis=1).sum()) / 2
    return total
