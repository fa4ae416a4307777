"""Lines that run through the frames as they stand, and what each frame would need to come to them or to the plan.

What was measured is held against the setting-up figures. Where a frame is out by more than the builder can measure, the
lines are brought to it; every other frame and station, and both ends, hold them where they were faired.
"""

from __future__ import annotations

from collections.abc import Iterator, Mapping, Sequence
from dataclasses import dataclass, replace
from itertools import pairwise
from math import hypot

import numpy as np

from patterns.errors import InputError, Problem, ShapeError
from patterns.geometry.batten_moves import moved_near
from patterns.geometry.short_repr import brief
from patterns.hull.build import strake_names
from patterns.hull.fairing import FairedLine, FairedView
from patterns.parts.asked.built_rules import BuiltAsked, BuiltFigure, Measure
from patterns.parts.asked.rules import Boat, Way
from patterns.parts.frames.frame import frame_name
from patterns.parts.part import Part
from patterns.parts.whole import Job, loft
from patterns.shop.built.changed import Changed, changed
from patterns.shop.layout.setting_up import ON_CENTRE, CornerPlace, SettingUp, Standing, setting_up
from patterns.units.lengths import write_length

SO_FAR = 50.8  # mm (2 in); a frame that stands so far out is set up again, or its figure was misread: judgement
CROWDED = 100.0  # mm; a station so near to a frame that was measured does not hold the lines there as well
SETTLED = 0.02  # mm; so near the lines come to the frames as they stand
ROUNDS = 4

DRESS = "Dress the frames that are out to the plan, measure them again, and write what you measure then."
AS_CUT = "As cut: this part is cut already, so nothing is made for it."

ROUND_HULL = (
    "boat.toml, [built]: found it in a round hull, expected a hull with chines. A few places of a mould do not say how "
    "the rest of a round surface runs. Set each mould to the figures of paper/setting-up.pdf, spring battens over all, "
    "pack or plane the moulds until the battens lie fair, and take [built] out."
)

Place = tuple[str, str, Measure]  # a frame's name, a line, what is measured


@dataclass(frozen=True, slots=True)
class Out:
    """One figure that was measured, and what it should be."""

    frame: str
    figure: BuiltFigure
    planned: float  # mm
    within: float  # mm, how near it was measured

    @property
    def by(self) -> float:
        """mm, positive where it is too much."""
        return self.figure.mm - self.planned

    @property
    def beyond(self) -> float:
        """mm, without a sign, more than measuring accounts for; 0 where it accounts for all."""
        return max(0.0, abs(self.by) - self.within)


@dataclass(frozen=True, slots=True)
class Dressing:
    """What one edge of a frame, on one side, would need at both its ends: mm to plane off (+) or to pack (-)."""

    frame: str
    side: str  # "port" or "starboard"; of a bottom that lies athwart also one or the other
    edge: str  # the strake that lies on it: "side", "bottom"
    ends: tuple[str, ...]  # the lines it runs between, from the sheer down; one for a bottom that lies athwart
    to_plan: tuple[float, ...]
    to_built: tuple[float, ...]


@dataclass(frozen=True, slots=True)
class Misfit:
    """A part that is cut to the plan, and how far its outline is from what the boat as she stands would have."""

    title: str
    by: float  # mm, at most


@dataclass(frozen=True, slots=True, eq=False)
class AsBuilt:
    """The boat as planned and as she stands."""

    asked: BuiltAsked
    planned: Job
    job: Job  # lofted to the lines that run through the frames as they stand
    figures: tuple[Out, ...]  # all that was measured
    dressing: tuple[Dressing, ...]
    frames: tuple[str, ...]  # those measured, by their parts' names
    changed: tuple[Changed, ...] = ()  # parts whose shape is no longer as planned, but frames that were measured

    __repr__ = brief

    @property
    def out(self) -> tuple[Out, ...]:
        """What is out beyond the measuring error."""
        return tuple(one for one in self.figures if one.beyond > 0)

    @property
    def misfits(self) -> tuple[Misfit, ...]:
        """Parts cut to the plan that no longer fit by what a builder can measure."""
        return tuple(
            Misfit(title, one.by)
            for one in self.changed
            for title in one.titles
            if one.part.as_cut and one.by > self.asked.within
        )

    def is_cut(self, title: str) -> bool:
        """Whether a part of this title is cut already."""
        return any(_means(name, title) for name in (*self.frames, *self.asked.cut))


def as_built(planned: Job, asked: BuiltAsked) -> AsBuilt:
    """The boat as she stands.

    Raises
    ------
    InputError
        A figure so far from the planned one that it was misread, or a part that the boat has not.
    ShapeError
        Lines through the frames as they stand that make no boat.
    """
    if planned.hull.smooth:
        raise ShapeError(ROUND_HULL)
    _refuse_unknown(planned, asked)
    sheet = setting_up(planned)
    places = {stand.place.name: frame_name(own, stand) for own, stand in planned.stands}
    standing = {frame.name: frame for frame in sheet.frames}
    figures = tuple(_held_against(one, standing[places[one.place]], asked.within) for one in asked.figures)
    _refuse_misread(figures, sheet)
    wanted = _wanted(figures, standing)
    try:
        lofted = _through(planned, sheet, wanted)
    except ShapeError as error:  # the figures of the table are not to blame, which the rest of its words are about
        why = str(error).partition("\n")[0]
        raise ShapeError(
            f"{asked.file}: no boat can be made through the frames as they stand. {why}. {DRESS}"
        ) from error
    measured = tuple(dict.fromkeys(one.frame for one in figures))
    built = {frame.name: frame for frame in setting_up(lofted).frames}
    dressing = tuple(one for name in measured for one in _dressings(standing[name], built[name], figures, sheet))
    found = AsBuilt(asked, planned, lofted, figures, dressing, measured)
    marked = _marked(lofted, found)
    was, now = ((*one.parts, *one.pieces) for one in (planned, marked))
    return replace(found, job=marked, changed=changed(was, tuple(_told(now, found))))


def _told(parts: Sequence[Part], built: AsBuilt) -> Iterator[Part]:
    """The parts whose shapes are told: of what is shown whole, a piece only where it alone is cut already.

    Of a frame that was measured only the corners are known, and the table of them tells more than an outline.
    """
    whole_cut = {part.title for part in parts if part.as_cut and not part.of}
    for part in parts:
        alone = part.as_cut and part.of not in whole_cut
        if (alone or not part.of) and not any(_means(name, part.title) for name in built.frames):
            yield part


def _marked(job: Job, built: AsBuilt) -> Job:
    """The job with the parts marked that are cut already."""

    def own(part: Part) -> Part:
        if not built.is_cut(part.title):
            return part
        return replace(part, as_cut=True, remarks=(AS_CUT, *part.remarks))

    joined = tuple(
        replace(one, panel=own(one.panel), pieces=tuple(map(own, one.pieces)), blocks=tuple(map(own, one.blocks)))
        for one in job.long_panels.joined
    )
    return replace(
        job,
        parts=tuple(map(own, job.parts)),
        long_pieces=tuple(replace(one, part=own(one.part)) for one in job.long_pieces),
        keels=tuple(replace(one, part=own(one.part)) for one in job.keels),
        long_panels=replace(job.long_panels, joined=joined),
    )


def _means(name: str, title: str) -> bool:
    """Whether a name means a part: its title, or the words that it begins with."""
    said, of = name.lower(), title.lower()
    return of == said or (of.startswith(said) and not of[len(said)].isalnum())


def _held_against(figure: BuiltFigure, frame: Standing, within: float) -> Out:
    if figure.measure is Measure.FROM_ZERO:
        return Out(frame.name, figure, frame.running, within)
    corner = _corner(frame, figure.line)
    planned = corner.height if figure.measure is Measure.HEIGHT else corner.half
    return Out(frame.name, figure, planned, within)


def _corner(frame: Standing, line: str) -> CornerPlace:
    return next(one for one in frame.corners if one.line == line)


def _refuse_misread(figures: Sequence[Out], sheet: SettingUp) -> None:
    problems = []
    for one in figures:
        if abs(one.by) > SO_FAR:
            found = write_length(one.figure.mm, sheet.show)
            planned, limit = sheet.tape(one.planned), write_length(SO_FAR, sheet.show)
            problems.append(
                Problem(
                    one.figure.cell,
                    found,
                    f"{planned}, or within {limit} of it: measure again, or set {one.frame} up again",
                )
            )
    if problems:
        raise InputError(problems)


def _refuse_unknown(job: Job, asked: BuiltAsked) -> None:
    titles = [part.title for part in (*job.parts, *job.pieces)]
    lost = [name for name in asked.cut if not any(_means(name, title) for title in titles)]
    names = ", ".join(dict.fromkeys(part.name for part in job.parts))
    unknown = [Problem("boat.toml, [built] cut", f"'{name}'", f"a part: {names}") for name in lost]
    if problems := [*asked.unread, *unknown]:
        raise InputError(problems)


def _wanted(figures: Sequence[Out], standing: Mapping[str, Standing]) -> dict[Place, float]:
    """Where the lines are to be at each frame and line that was measured: mm as measured in the shop, or mm from FP.

    A figure of both sides counts by their mean: the boat is alike on both. What measuring accounts for is as planned.
    """
    both: dict[Place, list[Out]] = {}
    for one in figures:
        both.setdefault((one.frame, one.figure.line, one.figure.measure), []).append(one)
    found = {}
    for place, some in both.items():
        by = float(np.mean([one.by for one in some]))
        found[place] = some[0].planned + (by if abs(by) > some[0].within else 0.0)
    return found


def _through(planned: Job, sheet: SettingUp, wanted: Mapping[Place, float]) -> Job:
    """The boat lofted to lines that bring each frame's corners to where they are wanted.

    A corner is on the inside of the planking and a line may be on its outside: what the planking makes of a move is
    seen on the boat as lofted, and made good. A frame that stands elsewhere along the boat keeps its own sizes there.
    """
    standing = {frame.name: frame for frame in sheet.frames}
    measured = dict.fromkeys(name for name, _, _ in wanted)
    runs = {name: wanted.get((name, "", Measure.FROM_ZERO), frame.running) for name, frame in standing.items()}
    boat = _with_frames_at(planned, {name: run - standing[name].running for name, run in runs.items()})
    job = planned if boat is planned.boat else loft(boat)
    moves: dict[Place, float] = {}
    for _ in range(ROUNDS):
        there = {frame.name: frame for frame in setting_up(job).frames}
        misses = {
            place: miss for name in measured for place, miss in _misses(standing[name], there[name], wanted, sheet)
        }
        if max((abs(miss) for miss in misses.values()), default=0.0) < SETTLED:
            break
        moves = {place: moves.get(place, 0.0) + miss for place, miss in misses.items()}
        job = loft(boat, tuple(_moved_line(line, planned, runs, moves) for line in planned.lines))
    return job


def _misses(
    planned: Standing, there: Standing, wanted: Mapping[Place, float], sheet: SettingUp
) -> Iterator[tuple[Place, float]]:
    """How far each corner of a frame is from where it is wanted: mm up or out."""
    for was, now in zip(planned.corners, there.corners, strict=True):
        height, half = ((planned.name, was.line, measure) for measure in (Measure.HEIGHT, Measure.HALF_BREADTH))
        yield height, _up(wanted.get(height, was.height) - now.height, sheet)
        if was.half > ON_CENTRE:
            yield half, wanted.get(half, was.half) - now.half


def _up(more: float, sheet: SettingUp) -> float:
    """mm up in the boat afloat, of so much more as heights are measured in the shop."""
    return -more if sheet.way is Way.UPSIDE_DOWN else more


def _with_frames_at(planned: Job, moves: Mapping[str, float]) -> Boat:
    """The boat with the frames that stand elsewhere along it than they should."""
    boat = planned.boat
    if boat.frames is None or not any(moves.values()):
        return boat
    by_place = {stand.place.name: moves[frame_name(own, stand)] for own, stand in planned.stands}
    places = tuple(replace(one, from_fp=one.from_fp + by_place[one.name]) for one in boat.frames.places)
    return replace(boat, frames=replace(boat.frames, places=places))


def _moved_line(line: FairedLine, planned: Job, runs: Mapping[str, float], moves: Mapping[Place, float]) -> FairedLine:
    return replace(
        line,
        height=_moved_view(line.height, line.name, Measure.HEIGHT, planned, runs, moves),
        half_breadth=_moved_view(line.half_breadth, line.name, Measure.HALF_BREADTH, planned, runs, moves),
    )


def _moved_view(
    view: FairedView,
    line: str,
    measure: Measure,
    planned: Job,
    runs: Mapping[str, float],
    moves: Mapping[Place, float],
) -> FairedView:
    """A view sprung through its own moves, held at all other frames and stations and at its ends."""
    own = {runs[place[0]]: move for place, move in moves.items() if place[1:] == (line, measure)}
    if not any(own.values()):
        return view
    batten = view.batten
    first, last = float(batten.sites[0]), float(batten.sites[-1])
    held = [*runs.values(), *(x for _, x in planned.boat.offsets.stations)]
    free = [x for x in held if first < x < last and all(abs(x - at) > CROWDED for at in own)]
    sites = np.array(sorted({first, last, *free, *(x for x in own if first < x < last)}))
    shifts = np.array([own.get(float(x), 0.0) for x in sites])
    # What fairing did to the table stays as it was; the line itself runs otherwise.
    return replace(view, sprung=moved_near(batten, sites, shifts))


def _dressings(planned: Standing, built: Standing, figures: Sequence[Out], sheet: SettingUp) -> Iterator[Dressing]:
    """What each edge of one frame would need, on each side that was measured."""
    for side in ("port", "starboard"):
        measured = {
            (one.figure.line, one.figure.measure): one.figure.mm
            for one in figures
            if one.frame == planned.name and one.figure.side in (side, "") and one.figure.line
        }
        if not measured:
            continue
        stands = tuple(
            replace(
                corner,
                half=measured.get((corner.line, Measure.HALF_BREADTH), corner.half),
                height=measured.get((corner.line, Measure.HEIGHT), corner.height),
            )
            for corner in planned.corners
        )
        flat = built.corners[-1].half > ON_CENTRE
        names = strake_names(len(stands) - (0 if flat else 1))
        edges = [*pairwise(range(len(stands))), *([(len(stands) - 1,)] if flat else [])]
        for name, ends in zip(names, edges, strict=True):
            off = [
                tuple(_off(stands, reference, ends, end, sheet) for end in ends)
                for reference in (planned.corners, built.corners)
            ]
            yield Dressing(planned.name, side, name, tuple(stands[end].line for end in ends), off[0], off[1])


def _off(
    stands: Sequence[CornerPlace],
    reference: Sequence[CornerPlace],
    ends: Sequence[int],
    end: int,
    sheet: SettingUp,
) -> float:
    """mm that a frame's edge stands out past where it should, square to it, at one of its ends.

    ``ends``: the corners that the edge runs between, from the sheer down; one alone for a bottom that lies athwart.
    """
    if len(ends) == 1:
        way = np.array([-1.0, 0.0])
    else:
        upper, lower = (reference[one] for one in ends)
        way = np.array([lower.half - upper.half, _up(lower.height - upper.height, sheet)])
    out = np.array([-way[1], way[0]]) / hypot(*way)
    here, there = stands[end], reference[end]
    return float(np.array([here.half - there.half, _up(here.height - there.height, sheet)]) @ out)
