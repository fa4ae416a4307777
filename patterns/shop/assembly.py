"""The boat put together on paper: panels folded back from their flat patterns, held against what they meet."""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from dataclasses import dataclass

import numpy as np
import shapely
import shapely.ops

from patterns.geometry.arrays import Floats, dots, lengths, run_along
from patterns.geometry.battens import Batten
from patterns.geometry.cuts import Plane, Profile
from patterns.hull.build import Laps, Stem, Transom
from patterns.hull.skin import Hull
from patterns.parts.cuts import FrameStand, stand_frame, transom_face
from patterns.parts.frame import frame_name
from patterns.parts.long_pieces import LongPiece
from patterns.parts.panels import BOTTOM_INSIDE, end_word
from patterns.parts.part import Landing, Part
from patterns.parts.whole import Job

STEM_POINTS = 129
STEP = 15.0  # mm; a chord this long leaves a skin bent to 3 m radius by 0.01 mm
SAME = 1e-6  # mm


@dataclass(frozen=True, slots=True)
class MeetingMark:
    """A mark that two edges share, and where it comes on each, running from the fore end as drawn."""

    name: str  # "frame 3"
    along_a: float  # mm
    along_b: float  # mm


@dataclass(frozen=True, slots=True)
class Meeting:
    """Two edges that meet in the boat: as drawn, as they lie in the boat, and how far apart they come there."""

    a: str
    b: str
    drawn_a: float  # mm, as far as they run together
    drawn_b: float  # mm
    bent_a: float  # mm, the same in the boat
    bent_b: float  # mm
    gap: float  # mm, the most they stand apart in the boat
    marks: tuple[MeetingMark, ...] = ()

    @property
    def difference(self) -> float:
        return self.drawn_a - self.drawn_b

    @property
    def by_thickness(self) -> float:
        """mm of the difference that is only in the flat: panels are unrolled on the middle of their thickness."""
        return (self.drawn_a - self.bent_a) - (self.drawn_b - self.bent_b)

    @property
    def left(self) -> float:
        """mm of the difference that is there in the boat too."""
        return self.bent_a - self.bent_b


@dataclass(frozen=True, eq=False)
class Line:
    """A line of a part, as drawn and where it lies in the boat."""

    drawn: Floats  # (n, 2) mm
    bent: Floats  # (n, 3) mm, point for point


def assembled(job: Job) -> tuple[Meeting, ...]:
    """Every pair of edges that meet."""
    panels = {part.name: part for part in job.parts if part.flat is not None}
    side, bottom = panels.get("side panel"), panels.get("bottom panel")
    if side is None or bottom is None:
        return ()
    corner = _side_corner(job.hull, side)
    below = folded(job.hull, bottom, _mark(bottom, "inside of side, starboard"))
    stands = _stands(job)
    return (
        _met(
            "side panel, starboard: inside corner with the bottom",
            corner,
            "bottom panel: inside of side, starboard",
            below,
            marks=tuple(_shared_marks(job.hull, side, corner, bottom, below)),
        ),
        *_end_meetings(job, side, bottom),
        *_frame_meetings(job, stands, side, bottom),
        *(_log_meeting(piece, corner) for piece in job.long_pieces if _is_log(piece)),
    )


def folded(hull: Hull, panel: Part, points: Floats) -> Line:
    """A line on a panel's marked face, bent to the boat."""
    flat = panel.flat
    assert flat is not None
    strake = next(strake for strake in (hull.side, hull.bottom) if strake.ruled is flat.ruled)
    points = _close(points)
    return Line(points, flat.ruled.point(*flat.places(points), strake.inside))


def _close(points: Floats) -> Floats:
    """The same line, no two points alike and none over ``STEP`` apart: what is straight in the flat bends."""
    run = run_along(points)
    keep = np.concatenate([[True], np.diff(run) > SAME])
    run, points = run[keep], points[keep]
    dense = np.union1d(run, np.linspace(0.0, run[-1], int(np.ceil(run[-1] / STEP)) + 1))
    return np.stack([np.interp(dense, run, points[:, axis]) for axis in range(2)], axis=1)


def lifted(plane: Plane, points: Floats) -> Line:
    """A line of a flat part in its place."""
    points = _close(points)
    return Line(points, plane.in_space(points))


def apart(points: Floats, line: Floats) -> Floats:
    """Distances (m,) of points (m, 3) from a line (n, 3)."""
    return _nearest(points, line)[0]


def _nearest(points: Floats, line: Floats) -> tuple[Floats, Floats]:
    """Distances (m,) of points from a line, and the running lengths (m,) of the nearest places on it."""
    chords = np.diff(line, axis=0)
    away = points[:, None, :] - line[:-1]
    share = np.clip(dots(away, chords) / dots(chords, chords), 0.0, 1.0)
    off = lengths(away - share[..., None] * chords)
    i = off.argmin(axis=1)
    row = np.arange(len(points))
    run = run_along(line)
    return off[row, i], run[i] + share[row, i] * np.diff(run)[i]


def _met(a: str, on_a: Line, b: str, on_b: Line, *, marks: tuple[MeetingMark, ...] = ()) -> Meeting:
    """Two lines held together, over the length of the shorter."""
    gap_b, at_a = _nearest(on_b.bent, on_a.bent)
    gap_a, at_b = _nearest(on_a.bent, on_b.bent)
    run_a, run_b = run_along(on_a.bent), run_along(on_b.bent)
    (a0, a1), (b0, b1) = ((float(at.min()), float(at.max())) for at in (at_a, at_b))
    drawn_a, drawn_b = (
        float(np.ptp(np.interp(ends, run, run_along(line.drawn))))
        for ends, run, line in (([a0, a1], run_a, on_a), ([b0, b1], run_b, on_b))
    )
    gap = max(
        float(off[(run >= low) & (run <= high)].max(initial=0.0))
        for off, run, low, high in ((gap_a, run_a, a0, a1), (gap_b, run_b, b0, b1))
    )
    return Meeting(a, b, drawn_a, drawn_b, a1 - a0, b1 - b0, gap, marks)


def _mark(part: Part, name: str) -> Floats:
    return next(mark.points for mark in part.marks if mark.name == name)


def _edge(part: Part, name: str) -> Floats:
    """(n, 2) mm, an edge as one line; what was cut out of it is gone straight over, and if that is all, n is 0."""
    return np.concatenate([np.empty((0, 2)), *(edge.points for edge in part.edges if edge.name == name)])


def _side_corner(hull: Hull, side: Part) -> Line:
    over = hull.skin.laps is Laps.OVER
    return folded(hull, side, _edge(side, "chine") if over else _mark(side, BOTTOM_INSIDE))


def _shared_marks(hull: Hull, side: Part, corner: Line, bottom: Part, below: Line) -> Iterator[MeetingMark]:
    """Where frames come on the two edges of the chine."""
    for mark in side.marks:
        other = next((m for m in bottom.marks if m.name == mark.name and mark.name.startswith("frame ")), None)
        if other is not None:
            yield MeetingMark(mark.name, _along(corner, mark.points), _along(below, other.points))


def _along(line: Line, mark: Floats) -> float:
    """mm along a line as drawn to where a mark crosses or meets it."""
    drawn, crossing = shapely.LineString(line.drawn), shapely.LineString(mark)
    return float(drawn.project(shapely.ops.nearest_points(drawn, crossing)[0]))


def _end_meetings(job: Job, side: Part, bottom: Part) -> Iterator[Meeting]:
    for end, aft in ((job.boat.fore, False), (job.boat.aft, True)):
        name = end_word(end, aft=aft)
        part = next(part for part in job.parts if part.name == name)
        edge = folded(job.hull, side, _edge(side, name))
        if isinstance(end, Transom):
            face = transom_face(end, aft=aft)
            hand = "side starboard"
            yield _met(f"side panel, starboard: {name}", edge, f"{name}: {hand}", lifted(face, _edge(part, hand)))
            across = folded(job.hull, bottom, _edge(bottom, name))
            yield _met(f"bottom panel: {name}", across, f"{name}: bottom", lifted(face, _edge(part, "bottom")))
        else:
            profile = job.hull.aft_cut if aft else job.hull.fore_cut
            landing = _landing_line(end, profile, part.landings)
            yield _met(f"side panel, starboard: {name}", edge, f"{name}: face, starboard", landing)


def _landing_line(stem: Stem, profile: Profile, landings: Sequence[Landing]) -> Line:
    """The edge of a stem's face, from its figured half breadths; drawn, it is as long as in the boat."""
    heights = np.array([landing.height for landing in landings])
    z = np.linspace(heights[0], heights[-1], STEM_POINTS)
    # A builder joins the figured places by a batten.
    y = Batten(heights, np.array([landing.half_face for landing in landings])).value(z)
    bent = np.stack([profile.at_height(z), y, z], axis=1)
    return Line(np.stack([run_along(bent), np.zeros(len(bent))], axis=1), bent)


def _stands(job: Job) -> list[tuple[str, FrameStand]]:
    rules = job.boat.frames
    places = rules.places if rules else ()
    stands = [(rules.at(place), stand_frame(job.hull, rules.at(place), place)) for place in places] if rules else []
    return [(frame_name(own, stand), stand) for own, stand in stands]


def _frame_meetings(job: Job, stands: Sequence[tuple[str, FrameStand]], side: Part, bottom: Part) -> Iterator[Meeting]:
    parts = {part.name: part for part in job.parts}
    for name, stand in stands:
        part, mark = parts[name], f"frame {stand.place.name}"
        sign = 1.0 if stand.face.right[1] > 0 else -1.0
        # The corners themselves may have been notched away: they are marked.
        chine, sheer = (np.abs(_mark(part, word)[0]) * (sign, 1.0) for word in ("chine", "sheer"))
        edge = _edge(part, "side starboard")
        up = edge[edge[:, 1].argsort()]
        on_side = folded(job.hull, side, _mark(side, mark))
        girth = lifted(stand.face, np.concatenate([[chine], up, [sheer]]))
        yield _met(f"side panel, starboard: {mark}", on_side, f"{name}: side starboard", girth)
        floor = _edge(part, "bottom")
        ends = np.array([[-1.0, 1.0], [1.0, 1.0]]) * np.abs(chine)
        floor = np.concatenate([ends[:1], floor[floor[:, 0].argsort()], ends[1:]])
        on_bottom = folded(job.hull, bottom, _mark(bottom, mark))
        yield _met(f"bottom panel: {mark}", on_bottom, f"{name}: bottom", lifted(stand.face, floor))


def _is_log(piece: LongPiece) -> bool:
    return piece.name == "chine log" and piece.part.hand == "starboard"


def _log_meeting(log: LongPiece, corner: Line) -> Meeting:
    """The log's lower edge against the planking, from its first mark to its last."""
    ends = np.stack([log.places[0].at, log.places[-1].at])
    line = log.solid.corners[0]  # run on a little past both ends
    run, (first, last) = run_along(line), np.sort(_nearest(ends, line)[1])
    at = np.union1d(run[(run > first) & (run < last)], [first, last])
    bent = np.stack([np.interp(at, run, line[:, axis]) for axis in range(3)], axis=1)
    drawn = float(run_along(_edge(log.part, "lower"))[-1]) * (at - first) / (last - first)
    on_log = Line(np.stack([drawn, np.zeros(len(at))], axis=1), bent)
    return _met("side panel, starboard: inside corner with the bottom", corner, "chine log, starboard: lower", on_log)
