"""A strake laid flat, ready to have its outline and marks taken off."""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from dataclasses import dataclass, replace
from functools import cached_property
from itertools import pairwise

import numpy as np

from patterns.errors import ShapeError, while_making
from patterns.geometry.arrays import Floats, crossed, lengths, run_along, unit
from patterns.geometry.development import Flat
from patterns.geometry.outlines import thinned
from patterns.geometry.ruled import Ruled, Signed, numbers_between, sound
from patterns.hull.build import Transom, end_word, within_sentence
from patterns.hull.planking.along_centre import off_center
from patterns.hull.planking.skin import Hull
from patterns.hull.planking.strakes import Face, Strake, tip_of
from patterns.hull.planking.transition import Transition
from patterns.parts.edges import make_edge
from patterns.parts.part import Edge, Hand, Mark, Note, Part
from patterns.parts.role import EdgeKind, MarkKind, Role
from patterns.parts.stands import WOOD_SIDE, FrameStand

LANES = 65  # places across a panel where a frame crosses it
END_LANES = 257  # the same at an end, which may be bowed
SAME_PLACE = 1e-6  # mm
LEAST_CUT = np.radians(15.0)  # rad between planking and the face of a bowed transom; a judgement
LEAST_PIECE = 20.0  # mm; a shorter piece of stem below a chine is no edge of its own


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
            numbers = numbers_between(first, last)
            lower.append((numbers, np.interp(numbers, s, t)))
        return (*lower, *(run for run in (self.aft, self.upper, self.fore) if run is not None))

    @property
    def ends(self) -> tuple[tuple[Floats, Floats], tuple[Floats, Floats]]:
        """Its fore and its after end, each as a run of places; a point is a run of two in one place."""
        s, t = self.lower
        fore = self.fore or (s[[0, 0]], t[[0, 0]])
        return fore, self.aft or (s[[-1, -1]], t[[-1, -1]])


class Unrolled:
    """A strake laid flat, ready to have its outline and marks taken off."""

    def __init__(
        self, hull: Hull, strake: Strake, inside: Face, outside: Face, chines: Mapping[str, Transition]
    ) -> None:
        self.hull, self.strake, self.inside, self.outside, self.chines = hull, strake, inside, outside, chines
        self.ends = end_word(hull.fore, aft=False), end_word(hull.aft, aft=True)
        self.ruled: Ruled = strake.ruled
        self.rim, self.far_rim = (self._rim(face) for face in (inside, outside))
        self.flat = self._laid_straight(strake.unrolled())

    @cached_property
    def splits(self) -> tuple[tuple[str, ...], tuple[float, ...]]:
        """What the pieces of its lower edge are called, fore to aft, and the ruling numbers they part at.

        The lower edge of a strake that comes to a point on a stem runs down the stem and on along the keel.
        """
        lower = f"{self.strake.lower} port" if self.strake.athwart else self.strake.lower
        names, at = [lower], list[float]()
        for aft, pointed in enumerate(self.strake.pointed):
            s = self._heel(aft=bool(aft)) if pointed and not self.strake.athwart else None
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
            ends: list[list[Hand]] = [["none"] if run is not None else [] for run in (self.rim.aft, self.rim.fore)]
            return "port", *ends[0], "starboard", *ends[1]
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
            self._refuse_past_an_end(frame)
            return Mark(frame.line, self.mark(frame.face.signed), MarkKind.FRAME)

    def _refuse_past_an_end(self, frame: FrameStand) -> None:
        """Refuse a frame whose plane passes an end of the strake, as where a strake begins far up or down a stem."""
        ends = [self.ruled.point(*run, self.inside.depth)[:, 0] for run in self.rim.ends]
        reach = float(ends[0].max()), float(ends[1].min())
        station = float(frame.face.origin[0])
        if reach[0] <= station <= reach[1]:
            return
        aft = station > reach[1]
        strake = within_sentence(self.strake.name)
        raise ShapeError(
            f"it stands {{}} from FP, and {strake} has its whole width only {'as far as' if aft else 'from'} {{}}"
            f"{'' if aft else ' on'}; expected a frame {'forward' if aft else 'aft'} of that: take this one out of "
            "stations in [frames]",
            station,
            reach[aft],
        )

    def mark(self, cut: Signed, face: Face | None = None) -> Floats:
        """(n, 2) mm, where a surface across the boat cuts the inside face, laid flat."""
        face = face or self.inside
        s, t = self.ruled.crossing(cut, face.upper, face.lower, face.depth, lanes=LANES)
        return thinned(self.flat.point(s, t))

    def line(self, t: Floats, face: Face | None = None) -> Floats:
        """(n, 2) mm, a line given as t on each ruling, on the inside or another face, from fore to after end."""
        ends = [self._line_end(t, face or self.inside, aft=aft) for aft in (False, True)]
        s = numbers_between(ends[0], ends[1])
        return thinned(self.flat.point(s, self._sound(t, s)))

    def off_center(self, half: float, *, aft: bool) -> Floats | None:
        """(n, 2) mm, where the inside stands so far off the centre plane along the stem, laid flat.

        None where hardly a stem runs on below the chine.
        """
        if self.ends[aft] not in self.splits[0]:
            return None
        heel = self.splits[1][-1 if aft else 0]
        s, t = off_center(self.strake, self.inside, half)
        here = s > heel if aft else s < heel
        if not here.any():
            return None
        s, t = np.append(s[here], heel), np.append(t[here], np.interp(heel, s, t))
        order = s.argsort()
        return thinned(self.flat.point(s[order], t[order]))

    def _line_end(self, t: Floats, face: Face, *, aft: bool) -> float:
        if not self.strake.pointed[aft]:
            beside = Face(face.depth, t, t + 1.0)
            return float(self.hull.end_places(self.strake, beside, aft=aft, lanes=2)[0][0])
        if not t.any():  # the centre line runs to the very point
            return tip_of(self.strake, face, aft=aft)
        # A line beside one edge ends at the other, short of the point or past it; of a bottom athwart at its image.
        along_upper = bool(t[len(t) // 2] < 0)
        if self.strake.athwart:
            upper, lower = (t, -t) if along_upper else (-t, t)
        else:
            upper, lower = (t, face.lower) if along_upper else (face.upper, t)
        return tip_of(self.strake, Face(face.depth, upper, lower), aft=aft)

    def _wood_side(self, frame: FrameStand, mark: Mark) -> Note:
        middle = mark.points[len(mark.points) // 2] if len(mark.points) > 2 else mark.points.mean(axis=0)
        return Note("X", (float(middle[0] + frame.wood * WOOD_SIDE), float(middle[1])))

    def _rim(self, face: Face) -> Rim:
        fore, aft = (self._end(face, aft=aft) for aft in (False, True))
        first, last = (self._corners(face, end, aft=aft) for end, aft in ((fore, False), (aft, True)))
        if last[0] <= first[0] or last[1] <= first[1]:
            words = f"edges '{self.ends[0]}' and '{self.ends[1]}' cross"
            raise ShapeError(f"{words}, so that nothing is left between them")
        upper = numbers_between(first[0], last[0])[::-1]
        lower = numbers_between(first[1], last[1])
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
            run = self.hull.end_places(self.strake, face, aft=aft, lanes=END_LANES)
            self._refuse_bowed_too_much(face, run, aft=aft)
            return run

    def _refuse_bowed_too_much(self, face: Face, run: tuple[Floats, Floats], *, aft: bool) -> None:
        """Refuse a transom bowed so much that the planking nearly runs along its face at the corners."""
        end = self.hull.aft if aft else self.hull.fore
        if not isinstance(end, Transom) or end.radius is None:
            return
        cut = (self.hull.aft_cut if aft else self.hull.fore_cut).signed
        points, normals = self.ruled.point(*run, face.depth), unit(self.ruled.at(self.ruled.normal, run[0]))
        square = unit(np.stack([cut(points + step) - cut(points - step) for step in np.eye(3)], axis=-1))
        angles = np.arcsin(lengths(crossed(square, normals)).clip(0.0, 1.0))
        least = int(angles.argmin())
        if angles[least] < LEAST_CUT:
            raise ShapeError(
                f"the transom is bowed to a radius of {{}}, so that {within_sentence(self.strake.name)} meets its "
                f"face at only {np.degrees(angles[least]):.0f}°; expected {np.degrees(LEAST_CUT):.0f}° or more: give "
                f"it a larger radius in [{self.ends[aft].replace(' ', '_')}]",
                end.radius,
                at=float(points[least, 0]),
            )

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
