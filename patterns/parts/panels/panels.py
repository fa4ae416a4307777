"""Side and bottom panels: planking unrolled on its mid-thickness, with both faces, bevels and the frames' places."""

from __future__ import annotations

from collections.abc import Iterator, Mapping, Sequence
from dataclasses import dataclass, replace
from functools import cached_property
from itertools import pairwise

import numpy as np
import shapely
import shapely.ops

from patterns.errors import ShapeError, while_making
from patterns.geometry.arrays import Floats, run_along
from patterns.geometry.cuts import Plane
from patterns.geometry.development import Flat, develop
from patterns.geometry.outlines import thinned
from patterns.geometry.ruled import Ruled, Signed, sound
from patterns.hull.build import Stem, Transom, end_word
from patterns.hull.planking.half_siding import half_siding_cut
from patterns.hull.planking.skin import TWIST_BORNE, Hull
from patterns.hull.planking.strakes import Corner, Face, Strake, tip_of
from patterns.hull.planking.transition import Transition, outside_above, outside_below, transition
from patterns.parts.edges import make_edge, mirrored
from patterns.parts.part import Edge, Hand, Mark, Note, Part
from patterns.parts.role import EdgeKind, MarkKind, Role
from patterns.parts.stands import WOOD_SIDE, FrameStand, transom_inner_face

LANES = 65  # places across a panel where a frame crosses it
END_LANES = 257  # the same at an end, which may be bowed
SAME_PLACE = 1e-6  # mm
LEAST_PIECE = 20.0  # mm; a shorter piece of stem below a chine is no edge of its own
LAP_ENDS = "lap ends"
LAP_STUB = 100.0  # mm of its line drawn in from the edge
LAP_WORDS = 30.0  # mm from that line to the words on either side of it
ABOVE_MITRED = (
    "both meet on the half angle: plane the {} edge {} standing, to the dashed line, and leave that wood beyond "
    "this one."
)
BELOW_MITRED = (
    "both meet on the half angle. The overhang is left there, its edge square: when the {0} hangs, plane it {1} "
    "standing, off the line 'inside of {0}'."
)


def inside_of(strake: Strake, hand: str = "") -> str:
    """What the line along the inside of a neighbouring strake is called on a panel."""
    return f"inside of {strake.name}{hand and ', '}{hand}"


@dataclass(frozen=True, eq=False)
class Rim:
    """The edges of a face as runs of places (s, t), counter-clockwise as seen from inside the boat.

    A strake that begins or ends in a point has no edge there.
    """

    lower: tuple[Floats, Floats]  # fore to aft
    aft: tuple[Floats, Floats] | None  # lower to upper
    upper: tuple[Floats, Floats]  # aft to fore
    fore: tuple[Floats, Floats] | None  # upper to lower

    def split(self, at: Sequence[float]) -> tuple[tuple[Floats, Floats], ...]:
        """The edges in their order, the lower one in pieces that part at ruling numbers."""
        s, t = self.lower
        cuts = np.array([s[0], *at, s[-1]])
        lower = []
        for first, last in pairwise(cuts):
            numbers = _numbers_between(first, last)
            lower.append((numbers, np.interp(numbers, s, t)))
        return (*lower, *(run for run in (self.aft, self.upper, self.fore) if run is not None))

    @property
    def ends(self) -> tuple[tuple[Floats, Floats], tuple[Floats, Floats]]:
        """Its fore and its after end, each as a run of places; a point is a run of two in one place."""
        s, t = self.lower
        fore = self.fore or (s[[0, 0]], t[[0, 0]])
        return fore, self.aft or (s[[-1, -1]], t[[-1, -1]])


def panels(hull: Hull, frames: tuple[FrameStand, ...]) -> tuple[Part, ...]:
    """Every panel of the planking from the sheer down, port before starboard, each seen on its inside face.

    Raises
    ------
    ShapeError
        A strake no sheet can be bent to, or one whose faces and ends do not meet.
    """
    made: list[Part] = []
    for strake in hull.strakes:
        with while_making(strake.panel):
            made += [whole_panel(hull, strake, frames)] if strake.athwart else pair_of_panels(hull, strake, frames)
    return tuple(made)


def pair_of_panels(hull: Hull, strake: Strake, frames: tuple[FrameStand, ...]) -> tuple[Part, Part]:
    """Port and starboard panel of a strake that stands on either side."""
    _refuse_twist(hull, strake)
    panel = _unrolled(hull, strake)
    marks = [*_end_marks(hull, panel), *_neighbours(hull, panel)]
    starboard = _with_lap_ends(panel.part("starboard", frames, marks), panel)
    port = mirrored(starboard)
    turned = f"Drawn as the starboard panel turned over: here the {strake.upper} lies at the bottom."
    return replace(port, remarks=(*port.remarks, turned), upside_down=True), starboard


def whole_panel(hull: Hull, strake: Strake, frames: tuple[FrameStand, ...]) -> Part:
    """The panel of a strake athwart, seen on its inside face: bow to the left, starboard up, centre line at y = 0."""
    panel = _unrolled(hull, strake)
    centre = Mark("centre line", panel.line(np.zeros(len(panel.ruled))))
    marks = [*_end_marks(hull, panel), centre, *_neighbours(hull, panel)]
    return _with_lap_ends(panel.part("none", frames, marks), panel)


def _refuse_twist(hull: Hull, strake: Strake) -> None:
    twist, x = hull.worst_twist(strake)
    if twist > TWIST_BORNE:
        raise ShapeError(
            f"would have to be twisted {np.degrees(twist):.0f}° from {strake.upper} to {strake.lower}, which no sheet "
            f"bears; wanted lines whose {strake.name} develops, or at least twists under "
            f"{np.degrees(TWIST_BORNE):.0f}°",
            at=x,
        )


def _unrolled(hull: Hull, strake: Strake) -> _Unrolled:
    """The strake with its real edges: planed to its neighbours as each of its corners asks."""
    above, below = hull.corner_above(strake), hull.corner_below(strake)
    outside = hull.outside(strake)
    chines = {corner.line: transition(hull, corner) for corner in (above, below) if corner}
    if above:
        outside = outside_below(hull, above, chines[above.line])
    if below:
        outside = replace(outside, lower=outside_above(hull, below, chines[below.line]).lower)
    return _Unrolled(hull, strake, hull.inside(strake), outside, chines)


def _neighbours(hull: Hull, panel: _Unrolled) -> Iterator[Mark]:
    """Lines along the insides of the strakes above and below, where they are no edge of the panel."""
    strake = panel.strake
    above = hull.corner_above(strake)
    if above and above.below_runs_on:
        sides = {"starboard": above.on_below, "port": -above.on_below} if strake.athwart else {"": above.on_below}
        for hand, t in sides.items():
            yield Mark(inside_of(above.above, hand), panel.line(t), MarkKind.LAPPED)
    below = hull.corner_below(strake)
    if below and below.above_runs_on:
        yield Mark(inside_of(below.below), panel.line(below.on_above))


def _with_lap_ends(part: Part, panel: _Unrolled) -> Part:
    """The panel, where laps along its edges end marked on it, and what is cut on either side of them."""
    for corner in (panel.hull.corner_above(panel.strake), panel.hull.corner_below(panel.strake)):
        if corner and panel.chines[corner.line].at:
            part = _with_lap_end(part, panel, corner)
    return part


def _with_lap_end(part: Part, panel: _Unrolled, corner: Corner) -> Part:
    chine, on_edge = panel.chines[corner.line], corner.above is panel.strake
    assert chine.at is not None
    steepest = np.degrees([one.mitre for one in chine.joints if chine.mitred(np.array(one.from_fp))])
    angles = f"{steepest.min():.1f}° to {steepest.max():.1f}°"
    words = ABOVE_MITRED.format(corner.line, angles) if on_edge else BELOW_MITRED.format(corner.above.name, angles)
    lower, upper = corner.below.name, corner.above.name
    if chine.nowhere:
        return replace(part, remarks=(*part.remarks, f"The {lower} can lap over the {upper} nowhere: {words}"))
    at = chine.at.from_fp
    across = panel.mark(lambda points: np.asarray(points[..., 0] - at))
    runs = [across[::-1], across] if panel.strake.athwart else [across[::-1] if on_edge else across]
    marks = tuple(Mark(LAP_ENDS, _stub(run)) for run in runs)
    notes = tuple(
        Note(word, (float(mark.points[-1, 0] + way * LAP_WORDS), float(mark.points[-1, 1])))
        for mark in marks
        for word, way in (("MITRE", -1.0), ("LAP", 1.0))
    )
    remark = f"Abaft '{LAP_ENDS}' the {lower} laps over the {upper}; forward of it {words}"
    return replace(part, marks=(*part.marks, *marks), notes=(*part.notes, *notes), remarks=(*part.remarks, remark))


def _stub(run: Floats) -> Floats:
    """The first of a line, from its edge in."""
    line = shapely.ops.substring(shapely.LineString(run), 0.0, LAP_STUB)
    return np.asarray(shapely.get_coordinates(line))


class _Unrolled:
    """A strake laid flat, ready to have its outline and marks taken off."""

    def __init__(
        self, hull: Hull, strake: Strake, inside: Face, outside: Face, chines: Mapping[str, Transition]
    ) -> None:
        self.hull, self.strake, self.inside, self.outside, self.chines = hull, strake, inside, outside, chines
        self.ends = end_word(hull.fore, aft=False), end_word(hull.aft, aft=True)
        self.ruled: Ruled = strake.ruled
        self.rim, self.far_rim = (self._rim(face) for face in (inside, outside))
        self.flat = self._laid_straight(develop(self.ruled, depth=strake.middle))

    @cached_property
    def splits(self) -> tuple[tuple[str, ...], tuple[float, ...]]:
        """What the pieces of its lower edge are called, fore to aft, and the ruling numbers they part at.

        The lower edge of a strake that comes to a point on a stem runs down the stem and on along the keel.
        """
        lower = f"{self.strake.lower} port" if self.strake.athwart else self.strake.lower
        names, at = [lower], list[float]()
        for aft, pointed in enumerate(self.strake.pointed):
            s = self._heel(aft=bool(aft)) if pointed else None
            if s is not None:
                names = [*names, self.ends[1]] if aft else [self.ends[0], *names]
                at.append(s)
        return tuple(names), tuple(at)

    def _heel(self, *, aft: bool) -> float | None:
        """The ruling number where the lower edge leaves the stem for the keel; None where there is hardly a stem."""
        keel = self.hull.lines[-1].curve
        heel = keel.last if aft else keel.first
        foot = self.ruled.points(np.abs(self.ruled.reach), 0.0)[:, 0]
        # Rulings fan from the heel where stem and keel join at an angle: the edge is parted amid them.
        past = np.flatnonzero((foot > heel - SAME_PLACE) & (self.ruled.reach > 0))
        before = np.flatnonzero((foot < heel + SAME_PLACE) & (self.ruled.reach > 0))
        if not len(past) or not len(before):
            return None
        s = (past[0] + before[-1]) / 2
        for rim in (self.rim, self.far_rim):
            tip = rim.lower[0][-1 if aft else 0]
            numbers = np.linspace(min(s, tip), max(s, tip), 33)
            run = self.flat.point(numbers, np.interp(numbers, *rim.lower))
            if bool(s <= tip) is not aft or float(run_along(run)[-1]) < LEAST_PIECE:
                return None
        return float(s)

    @property
    def hands(self) -> tuple[Hand, ...]:
        """On which side of the boat they lie, of a strake that has edges on both; in the same order."""
        if self.strake.athwart:
            return "port", "none", "starboard", "none"
        return tuple[Hand, ...](["none"] * len(self.names))

    @property
    def names(self) -> tuple[str, ...]:
        """What the edges are called: the pieces of the lower one, the after, the upper and the fore one."""
        fore, after = self.ends
        upper = f"{self.strake.upper} starboard" if self.strake.athwart else self.strake.upper
        around = ((after, self.rim.aft), (upper, self.rim.upper), (fore, self.rim.fore))
        return (*self.splits[0], *(name for name, run in around if run is not None))

    @property
    def kinds(self) -> tuple[EdgeKind, ...]:
        """What they are, in the same order."""
        above, below = self.hull.corner_above(self.strake), self.hull.corner_below(self.strake)
        upper = (EdgeKind.LAPPING if above.below_runs_on else EdgeKind.CHINE) if above else EdgeKind.NET
        lower = upper if self.strake.athwart else EdgeKind.CHINE if below else EdgeKind.NET
        after, fore = ([EdgeKind.NET] if run is not None else [] for run in (self.rim.aft, self.rim.fore))
        return (*[lower] * len(self.splits[0]), *after, upper, *fore)

    def _edge(self, name: str, near: tuple[Floats, Floats], far: tuple[Floats, Floats]) -> Edge:
        """An edge along places (s, t) of both faces."""
        thickness = self.strake.planking.thickness
        return make_edge(name, self.flat.point(*near), self.flat.point(*far), thickness=thickness)

    def part(self, hand: Hand, frames: tuple[FrameStand, ...], marks: list[Mark]) -> Part:
        at = self.splits[1]
        runs = zip(self.names, self.kinds, self.hands, self.rim.split(at), self.far_rim.split(at), strict=True)
        edges = tuple(replace(self._edge(word, near, far), kind=kind, hand=on) for word, kind, on, near, far in runs)
        frame_marks = [self._frame_mark(frame) for frame in frames]
        return Part(
            name=self.strake.panel,
            role=Role.PANEL,
            material_key=f"[{self.strake.planking.table}] material",
            hand=hand,
            thickness=self.strake.planking.thickness,
            material=self.strake.planking.material,
            marked_face="inside face",
            edges=edges,
            marks=tuple(frame_marks + marks),
            bow="left",
            grain="along the boat, unless the plan says otherwise",
            grain_angle=0.0,
            line="on the inside of planking",
            strake=self.strake.name,
            flat=self.flat,
            remarks=(
                "Unrolled on the middle of its thickness. Frame lines are the faces that stand on the stations; "
                "X shows the side the frame's wood lies.",
            ),
            notes=tuple(self._wood_side(f, m) for f, m in zip(frames, frame_marks, strict=True)),
        )

    def _frame_mark(self, frame: FrameStand) -> Mark:
        with while_making(f"mark of {frame.line}"):
            return Mark(frame.line, self.mark(frame.face.signed), MarkKind.FRAME)

    def mark(self, cut: Signed, face: Face | None = None) -> Floats:
        """(n, 2) mm, where a surface across the boat cuts the inside face, laid flat."""
        face = face or self.inside
        s, t = self.ruled.crossing(cut, face.upper, face.lower, face.depth, lanes=LANES)
        return thinned(self.flat.point(s, t))

    def line(self, t: Floats) -> Floats:
        """(n, 2) mm, a line given as t on each ruling, from the fore end to the after end."""
        ends = [self._line_end(t, aft=aft) for aft in (False, True)]
        s = _numbers_between(ends[0], ends[1])
        return thinned(self.flat.point(s, self._sound(t, s)))

    def off_centre(self, half: float, *, aft: bool) -> Floats | None:
        """(n, 2) mm, where the inside stands so far off the centre plane along the stem, laid flat.

        None where hardly a stem runs on below the chine.
        """
        at = dict(zip(self.splits[0], (None, *self.splits[1]), strict=True))
        if self.ends[aft] not in at:
            return None
        heel = self.splits[1][-1 if aft else 0]
        face = self.inside
        base = self.ruled.middle + face.depth * self.ruled.normal
        with np.errstate(divide="ignore", invalid="ignore"):
            t = (half - base[:, 1]) / self.ruled.along[:, 1]
        numbers = self.ruled.numbers
        here = (numbers > heel if aft else numbers < heel) & (t > face.upper) & (t < face.lower)
        s = numbers[here]
        return thinned(self.flat.point(s, t[here])) if len(s) > 1 else None

    def _line_end(self, t: Floats, *, aft: bool) -> float:
        if self.strake.pointed[aft]:
            return float(self.rim.lower[0][-1 if aft else 0])
        beside = Face(self.inside.depth, t, t + 1.0)
        return float(self.hull.end_places(self.strake, beside, aft=aft, lanes=2)[0][0])

    def _wood_side(self, frame: FrameStand, mark: Mark) -> Note:
        middle = mark.points[len(mark.points) // 2] if len(mark.points) > 2 else mark.points.mean(axis=0)
        return Note("X", (float(middle[0] + frame.wood * WOOD_SIDE), float(middle[1])))

    def _rim(self, face: Face) -> Rim:
        fore, aft = (self._end(face, aft=aft) for aft in (False, True))
        first, last = (self._corners(face, end, aft=aft) for end, aft in ((fore, False), (aft, True)))
        if last[0] <= first[0] or last[1] <= first[1]:
            words = f"edges '{self.ends[0]}' and '{self.ends[1]}' cross"
            raise ShapeError(f"{words}, so that nothing is left between them")
        upper = _numbers_between(first[0], last[0])[::-1]
        lower = _numbers_between(first[1], last[1])
        return Rim(
            lower=(lower, self._sound(face.lower, lower)),
            aft=aft and (aft[0][::-1], aft[1][::-1]),
            upper=(upper, self._sound(face.upper, upper)),
            fore=fore,
        )

    def _corners(self, face: Face, end: tuple[Floats, Floats] | None, *, aft: bool) -> tuple[float, float]:
        """The ruling numbers at an end of its upper and its lower edge."""
        if end is None:
            tip = tip_of(self.strake, face, aft=aft)
            return tip, tip
        return float(end[0][0]), float(end[0][-1])

    def _sound(self, edge: Floats, s: Floats) -> Floats:
        """An edge, given as t on each ruling, at ruling numbers between the ends, where it must be known."""
        return sound(self.ruled.at(edge, s), self.ruled.at(self.ruled.middle, s))

    def _end(self, face: Face, *, aft: bool) -> tuple[Floats, Floats] | None:
        """An end as a run of places from the upper edge to the lower; None where it is a point."""
        if self.strake.pointed[aft]:
            return None
        with while_making(f"edge '{self.ends[aft]}'"):
            return self.hull.end_places(self.strake, face, aft=aft, lanes=END_LANES)

    def _laid_straight(self, flat: Flat) -> Flat:
        """Turned so that the line between the middles of both ends runs fore and aft; a bottom's lies at y = 0."""
        fore, aft = (self._middle(flat, end) for end in self.rim.ends)
        level = flat.levelled(fore, aft)
        corner = np.concatenate([level.point(*run) for run in self.rim.split(())])
        y = self._middle(level, self.rim.ends[0])[1] if self.strake.athwart else corner[:, 1].min()
        return level.shifted(-np.array([corner[:, 0].min(), y]))

    def _middle(self, flat: Flat, run: tuple[Floats, Floats]) -> Floats:
        points = flat.point(*run)
        return np.asarray((points[0] + points[-1]) / 2)


def _numbers_between(first: float, last: float) -> Floats:
    """Ruling numbers from one real place to another: the ends themselves and every ruling between."""
    inner = np.arange(np.floor(first) + 1, np.ceil(last))
    return np.concatenate([[first], inner, [last]])


def _end_marks(hull: Hull, panel: _Unrolled) -> list[Mark]:
    """Lines of the end timbers on the inside face: a transom's inner face, or where the stem's landing ends."""
    marks = []
    for end, aft in ((hull.fore, False), (hull.aft, True)):
        word = end_word(end, aft=aft)
        if isinstance(end, Transom):
            inner: Plane = transom_inner_face(end, aft=aft)
            marks.append(Mark(f"{word} {'fore' if aft else 'after'} face", panel.mark(inner.signed)))
        elif panel.strake.pointed[aft]:
            line = panel.off_centre(end.sided / 2, aft=aft)
            marks += [Mark(f"{word} bearding line", line)] if line is not None else []
        elif not panel.strake.athwart:
            with while_making(word):
                _check_siding(panel, end)
            marks.append(Mark(f"{word} bearding line", panel.mark(half_siding_cut(hull, end, aft=aft))))
    return marks


def _check_siding(panel: _Unrolled, end: Stem) -> None:
    """See that a stem's side has planking to land on.

    Raises
    ------
    ShapeError
        Where the stem is wider than the boat, or narrower than the planking can be carried on to.
    """
    face = panel.inside
    across = 2 * panel.ruled.point(panel.ruled.numbers, (face.upper + face.lower) / 2, face.depth)[:, 1]
    least, most = float(np.nanmin(across)), float(np.nanmax(across))
    if end.sided >= most:
        told = "sided {}, but inside the planking the boat is nowhere more than {} across; wanted less siding"
        raise ShapeError(told, end.sided, most)
    if end.sided <= least:
        told = (
            "sided {}, but the inside of the planking, carried on, is nowhere less than {} across; wanted more siding, "
            "or lines that end closer together"
        )
        raise ShapeError(told, end.sided, least)
