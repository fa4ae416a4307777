"""The lines drawing: profile, half-breadth plan and body plan, with how each line bends and how far it was moved."""

from __future__ import annotations

from collections.abc import Collection, Sequence
from dataclasses import dataclass, replace
from functools import partial

import numpy as np

from patterns.drawing.along_lines import beside, steps
from patterns.drawing.label_placing import Request, place
from patterns.drawing.marks import Drawing, Ink, Stroke
from patterns.drawing.text import text_width, without_strangers
from patterns.geometry.arrays import Floats, run_along
from patterns.geometry.cuts import Profile
from patterns.hull.build import EndFace
from patterns.hull.fairing import FairedCut, FairedLine, FairedView
from patterns.hull.planking.plank_lines import PlankLines
from patterns.hull.round.round_hull import RoundHull
from patterns.parts.asked.rules import BoatLines
from patterns.parts.faired import line_without
from patterns.plates.lines.band_tints import TINT, band_tints
from patterns.plates.lines.bending_bars import FEW, Bending, bending_bars
from patterns.plates.lines.body_plan import body_plan
from patterns.plates.lines.given_points import MOVES, exaggeration, given_points
from patterns.plates.lines.plank_runs import plank_ink, plank_names, plank_note, runs_along
from patterns.plates.lines.round_body_plan import round_body_plan
from patterns.plates.lines.without_doubts import EASED, EASED_TIMES, WITHOUT, lines_eased, lines_without
from patterns.plates.view_field import (
    NAME_SIZE,
    SIDE,
    KeptFree,
    Manner,
    Station,
    View,
    fence,
    field,
    foot_for,
    level_line,
    level_name,
    notes_height,
    station_lines,
    station_names,
    words,
)
from patterns.units.lengths import INCH, write_length

CLEAR = 15.0  # mm on paper above and below a view, where bars and moved points stand
SAMPLES = 241  # points along each line: chords on paper are then under a millimetre
BARS = (
    "Bars beside a line show how hard a batten along it bends: they stand on its outer side, and cross over where "
    "its curve turns. The longest stands for a radius of about {radius}."
)

Place = tuple[str, str, str]  # line, view and column of the table


@dataclass(frozen=True, slots=True, eq=False)
class Traced:
    """One line of a view as it is drawn: diagonals stand below the centre line, turned over."""

    name: str
    view: FairedView
    turned: bool = False
    doubts: frozenset[str] = frozenset()  # columns of offsets in doubt
    without: tuple[FairedView, ...] = ()  # the line without each of these
    eased: FairedView | None = None  # the line as it runs otherwise: eased against twist, or as built
    why: str = EASED  # what is said of that

    @property
    def sign(self) -> float:
        return -1.0 if self.turned else 1.0


@dataclass(frozen=True, slots=True, eq=False)
class Beside:
    """What is drawn beside the faired lines."""

    doubts: Collection[Place] = ()  # offsets to ring, by line, view ("height" or "half-breadth") and column
    eased: Sequence[FairedLine] = ()  # the same lines as they run otherwise: eased against twist, or as built
    why: str = EASED  # what is said of these
    hull: RoundHull | None = None  # the surface of a round hull, whose sections the body plan shows
    planks: PlankLines | None = None  # that divide its girth


NOTHING = Beside()


def lines_plan(
    boat: BoatLines,
    lines: tuple[FairedLine, ...],
    cuts: tuple[FairedCut, ...],
    *,
    paper: tuple[float, float],
    beside: Beside = NOTHING,
    lettered: bool = True,
) -> tuple[View, View, View]:
    """Profile, half-breadth plan and body plan.

    Parameters
    ----------
    paper : mm
        Width and height that each view fills.
    beside : Beside
        Offsets in doubt and eased lines, where they are to be seen.
    lettered : bool
        Whether title and notes are lettered on the drawings; a page says them beside them instead.

    Raises
    ------
    ShapeError
        A boat too large for the paper at any scale.
    """
    profile = [Traced(line.name, line.height) for line in lines]
    profile += [Traced(cut.name, cut.view) for cut in cuts if cut.name.startswith("buttock")]
    plan = [Traced(line.name, line.half_breadth) for line in lines if line.half_breadth.given.any()]
    plan += [Traced(cut.name, cut.view) for cut in cuts if cut.name.startswith("waterline")]
    plan += [Traced(cut.name, cut.view, turned=True) for cut in cuts if cut.name.startswith("diagonal")]
    ends = tuple(_end_profile(end) for end in (boat.fore, boat.aft))
    profile, plan = (
        [_doubted(one, boat, [place for place in beside.doubts if place[:2] == (one.name, kind)]) for one in traced]
        for kind, traced in (("height", profile), ("half-breadth", plan))
    )
    if beside.eased:
        heights, breadths = ({line.name: view(line) for line in beside.eased} for view in (_height, _half_breadth))
        profile = [replace(one, eased=heights.get(one.name), why=beside.why) for one in profile]
        plan = [replace(one, eased=breadths.get(one.name), why=beside.why) for one in plan]
    times = exaggeration([traced.view for traced in (*profile, *plan)], crowded=max(len(profile), len(plan)) > FEW)
    manner = Manner(paper, times, lettered)
    return (
        _long_view(boat, "profile", profile, ends, "base", manner, beside.planks),
        _long_view(boat, "half-breadth plan", plan, (), "center line", manner, beside.planks),
        round_body_plan(boat, beside.hull, manner, beside.planks) if beside.hull else body_plan(boat, lines, manner),
    )


def _height(line: FairedLine) -> FairedView:
    return line.height


def _half_breadth(line: FairedLine) -> FairedView:
    return line.half_breadth


def _doubted(one: Traced, boat: BoatLines, doubts: Sequence[Place]) -> Traced:
    without = [found.view for place in sorted(doubts) if (found := line_without(boat, place))]
    return replace(one, doubts=frozenset(column for _, _, column in doubts), without=tuple(without))


def _end_profile(end: EndFace) -> Floats:
    """(n, 2) mm, from FP and height of an end in profile."""
    points = end.profile
    if len(points) < 3:
        return points
    profile = Profile(points)
    heights = profile.heights_between(points[-1, 1], points[0, 1], 61)[::-1]
    return np.column_stack([profile.at_height(heights), heights])


def _long_view(
    boat: BoatLines,
    kind: str,
    traced: Sequence[Traced],
    ends: Sequence[Floats],
    level: str,
    manner: Manner,
    planks: PlankLines | None,
) -> View:
    paper, times, lettered = manner.paper, manner.times, manner.lettered
    curves = [_curve(one) for one in traced]
    everything = np.concatenate([*curves, *ends, [[curves[0][0, 0], 0.0]]])
    bending = Bending.of([one.view for one in traced])
    low, high = everything.min(axis=0), everything.max(axis=0)
    stations = _stations(boat)
    # Room is kept for every note there may be: which there are hangs on the scale.
    notes = [*_notes(boat, traced, bending, times), *plank_note(planks, named=kind == "profile"), TINT]
    runs = runs_along(planks, axis=2 if kind == "profile" else 1)
    fitted = partial(
        field,
        (float(low[0]), float(low[1])),
        (float(high[0]), float(high[1])),
        paper=paper,
    )
    free = KeptFree(notes_height([*notes, "scale"], width=paper[0]) if lettered else 0.0, CLEAR)
    foot = foot_for(fitted(free), stations, height=paper[1])
    where = fitted(replace(free, foot=foot))
    tints = [tint for one in traced for tint in band_tints(one.view, where, sign=one.sign, clear=CLEAR)]
    notes = [where.scale, *(notes if tints else notes[:-1])]
    ink: list[Ink] = [
        level_line(where, 0.0),
        *station_lines(where, stations, clear=CLEAR),
        *station_names(where, stations, clear=CLEAR, foot=foot),
        *(Stroke(where.on_paper(end), "mark") for end in ends),
        *(Stroke(where.on_paper(curve), "line") for curve in curves),
        *plank_ink(runs, where),
        *(bar for one in traced for bar in bending_bars(one.view, where, bending, sign=one.sign)),
        *(mark for one in traced for mark in given_points(one.view, where, times, sign=one.sign, doubts=one.doubts)),
        *(stroke for one in traced for stroke in lines_without(one.view, one.without, where, sign=one.sign)),
        *(mark for one in traced if one.eased for mark in lines_eased(one.view, one.eased, where, sign=one.sign)),
        *(words(f"{boat.name}: {kind}", notes, paper=paper) if lettered else ()),
    ]
    requests = [
        *(_name(one.name, where.on_paper(curve)) for one, curve in zip(traced, curves, strict=True)),
        *(plank_names(runs, where, at_end=True) if kind == "profile" else ()),
        level_name(where, level, 0.0),
    ]
    file_name = f"lines-{kind.replace(' ', '-')}"
    marks = (*tints, *ink, *place(requests, [*ink, *fence(paper)]))
    return View(Drawing(f"{boat.name}: {kind}", file_name, marks), tuple(notes))


def _curve(one: Traced) -> Floats:
    """(n, 2) mm: from FP, and height or half-breadth."""
    sites = one.view.from_fp
    x = np.unique(np.concatenate([np.linspace(sites[0], sites[-1], SAMPLES), sites]))
    return np.column_stack([x, one.sign * one.view.batten.value(x)])


def _stations(boat: BoatLines) -> list[Station]:
    """Every station between the ends; the unit is said in the notes."""
    stations = boat.offsets.stations
    return [(name, x, write_length(x, boat.show).removesuffix(f" {boat.show}")) for name, x in stations]


def _name(text: str, curve: Floats) -> Request:
    text = without_strangers(text)
    run = float(run_along(curve)[-1])
    offsets = steps((3.2, -3.2, 5.0, -5.0), (0.0, -20.0, 20.0))
    spots = [beside(curve, text, size=NAME_SIZE, along=run * share, offsets=offsets) for share in (0.5, 0.3, 0.7, 0.9)]
    # Where stations stand too close for a name between them, it stands beyond the line's after end.
    half = text_width(text, NAME_SIZE) / 2
    if 2 * half + 3.0 <= SIDE:
        spots.append(np.array([[curve[-1, 0] + half + 2.5, curve[-1, 1], 0.0]]))
    middle = curve[len(curve) // 2]
    return Request(text, NAME_SIZE, np.concatenate(spots), (float(middle[0]), float(middle[1])), rank=-1)


def _notes(boat: BoatLines, traced: Sequence[Traced], bending: Bending, times: int) -> list[str]:
    notes = [f"Lengths in {_unit(boat.show)}; stations by their distance from FP; lines to the {boat.lines_to}."]
    if bending.hardest:
        notes.append(BARS.format(radius=_about(1 / bending.hardest, boat.show)))
    notes.append(MOVES.format(times=times) if times else "No offset was moved.")
    if any(one.doubts for one in traced):
        notes.append("A ring is drawn round an offset in doubt.")
    if any(one.without for one in traced):
        notes.append(WITHOUT)
    notes += dict.fromkeys(one.why.format(times=EASED_TIMES) for one in traced if one.eased)
    if any(one.turned for one in traced):
        notes.append("Diagonals stand below the center line, as measured along themselves.")
    return notes


def _about(mm: float, show: str) -> str:
    """A radius to the inch or the centimetre: nobody measures one closer."""
    step = 10.0 if show in ("mm", "cm", "m") else INCH
    return write_length(round(mm / step) * step, show).replace(".0 mm", " mm")


def _unit(show: str) -> str:
    if show.startswith("ft-in"):
        return "feet and inches"
    return "inches" if show.startswith("in") else show
