"""A long piece from its stick and two ends: laid flat, its pattern, its solid and its figures."""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from dataclasses import replace

import numpy as np

from patterns.errors import ShapeError, while_making
from patterns.geometry.arrays import Floats, dots, run_along, unit
from patterns.geometry.bending import Bending, bending_along
from patterns.geometry.development import Flat
from patterns.geometry.outlines import thinned
from patterns.geometry.ruled import Signed, sound
from patterns.hull.planking.strakes import Face
from patterns.parts.asked.long_rules import ChineLogRules
from patterns.parts.edges import make_edge
from patterns.parts.long.long_pieces import Arrises, Bends, EndCut, LongPiece, Place, turned_over
from patterns.parts.long.long_words import (
    AT_CHINE_APART,
    AT_SHEER_APART,
    BENT,
    CROWDED,
    FASTENED,
    end_words,
    length_words,
    mark_spacing,
    planed_words,
    slope_words,
)
from patterns.parts.long.solids import Solid
from patterns.parts.long.stick import Cut, Laid, Stick
from patterns.parts.part import SQUARE_WITHIN, Bevel, Edge, Hand, Mark, Note, Part, Planed
from patterns.parts.role import MarkKind, Role
from patterns.parts.stands import WOOD_SIDE, FrameStand

RUN_ON = 60.0  # mm a solid is carried on past the ends of its piece, so that frames and ends can be cut by it
LANES = np.linspace(0.0, 1.0, 9)  # places across a face where an end is found, from the upper edge to the lower
MIDDLE = 4  # of the lanes
BEND_STEP = 25.0  # mm between the places where bending is looked at
FRAME_LINES = "Frame lines are the faces that stand on the stations; X shows the side the frame's wood lies."


class _Ends:
    """Ruling numbers where a face ends, across it: fore and aft, at ``LANES``."""

    def __init__(self, stick: Stick, face: Face, fore: Cut, aft: Cut) -> None:
        self.face = face
        self.fore, self.aft = (np.array([stick.met(cut.signed, face, share) for share in LANES]) for cut in (fore, aft))
        if (self.aft <= self.fore).any():
            raise ShapeError("it has no length between its two ends")
        self.upper = stick.run(face, 0.0, self.fore[0], self.aft[0])
        self.lower = stick.run(face, 1.0, self.fore[-1], self.aft[-1])
        self.fore_t, self.aft_t = (
            sound(
                stick.ruled.at(face.upper, s) + LANES * (stick.ruled.at(face.lower - face.upper, s)),
                stick.ruled.at(stick.ruled.middle, s),
            )
            for s in (self.fore, self.aft)
        )


def long_piece(laid: Laid, ends: tuple[Cut, Cut], stands: Sequence[FrameStand], *, show: str) -> LongPiece:
    """A long piece with everything a bench asks of it.

    One that lies inside the planking is drawn as the port one, one outside as the starboard one: so the face against
    the planking is toward the reader, x aft, the upper edge up.

    Parameters
    ----------
    show : str
        How lengths are printed; marks stand at a round length in those units.

    Raises
    ------
    ShapeError
        Where the piece cannot be had.
    """
    with while_making(laid.rules.name):
        return _Made(laid, ends, stands, show).piece()


class _Made:
    """One piece on its way from stick to pattern."""

    def __init__(self, laid: Laid, ends: tuple[Cut, Cut], stands: Sequence[FrameStand], show: str) -> None:
        self.laid, self.stick, self.rules, self.cuts, self.stands = laid, laid.stick, laid.rules, ends, stands
        self.show = show
        self.near, self.far = (_Ends(self.stick, face, *ends) for face in (self.stick.near, self.stick.far))
        self.flat = self._laid_straight()
        self.lower, self.upper = self.flat.point(*self.near.lower), self.flat.point(*self.near.upper)
        self.lower_run, self.upper_run = run_along(self.lower), run_along(self.upper)
        self.frames = self._crossing_frames()
        self.along = self._marks_along(mark_spacing(show))
        self.along_upper = self._square_across(np.array([at for _, at in self.along]))

    def piece(self) -> LongPiece:
        pair = self.laid.pair
        edges = self._edges()
        places = self._places(edges)
        hand: Hand = "none" if not pair else "port" if self.stick.inside else "starboard"
        piece = LongPiece(
            rules=self.rules,
            part=self._part(edges, hand),
            solid=self._solid("starboard" if pair else "none"),
            places=places,
            bends=self._bends(),
            fore=self._end(0, places[0]),
            after=self._end(-1, places[-1]),
            arrises=self._arrises(),
            width=self.stick.width,
            inside=self.stick.inside,
            strake=self.stick.strake,
            flat=self.flat,
            depth=self.stick.near.depth,
            chine=self.stick.facet.line if self.stick.facet else "",
        )
        part = replace(piece.part, remarks=self._remarks(piece), planed=tuple(_planed(piece)))
        # All else here is of the starboard side; inside the planking the natural drawing is the port piece's.
        return replace(piece, part=turned_over(part) if hand == "port" else part)

    def _remarks(self, piece: LongPiece) -> tuple[str, ...]:
        slopes = isinstance(self.rules, ChineLogRules) and self.rules.top_bevel is not None
        apart = AT_CHINE_APART if self.laid.role is Role.LOG else AT_SHEER_APART
        drawn = float(self.lower_run[-1]), float(self.upper_run[-1])
        return (
            "Shape before bending: saw to it, then spring it in place without edge set.",
            *self.laid.remarks,
            *((planed_words(piece.chine, piece.places, self.show),) if piece.chine else ()),
            *((slope_words(piece.places, self.show),) if slopes else ()),
            length_words(piece.arrises, drawn, self.stick.thickness, self.show),
            end_words(piece.fore, self.show),
            end_words(piece.after, self.show),
            *((FRAME_LINES,) if self.frames else ()),
            FASTENED.format(apart=apart, lines="lines, one to each strake" if piece.chine else "line"),
            BENT,
        )

    def _laid_straight(self) -> Flat:
        flat = self.stick.flat
        fore, aft = (
            flat.point(s[1:2], t[1:2])[0]
            for s, t in ((self.near.fore, self.near.fore_t), (self.near.aft, self.near.aft_t))
        )
        level = flat.levelled(fore, aft)
        corners = np.concatenate([level.point(*self.near.lower), level.point(*self.near.upper)])
        return level.shifted(-corners.min(axis=0))

    def _crossing_frames(self) -> list[tuple[FrameStand, Floats]]:
        """Frames whose face crosses the piece between its ends, and the ruling numbers there: upper and lower edge."""
        found = []
        for stand in self.stands:
            try:
                s = np.array([self.stick.met(stand.face.signed, self.stick.near, share) for share in (0.0, 1.0)])
            except ShapeError:
                continue
            if (s > self.near.fore[[0, -1]]).all() and (s < self.near.aft[[0, -1]]).all():
                found.append((stand, s))
        return found

    def _marks_along(self, spacing: float) -> list[tuple[str, float]]:
        """Name and running length of every mark: both ends, the frames, and even distances from the fore end."""
        length = float(self.lower_run[-1])
        at_frames = [
            (stand.line, float(np.interp(s[1], self.near.lower[0], self.lower_run))) for stand, s in self.frames
        ]
        taken = [0.0, length, *(along for _, along in at_frames)]
        even = [along for along in np.arange(spacing, length, spacing) if min(abs(along - t) for t in taken) > CROWDED]
        marks = [("", 0.0), *at_frames, *(("", float(along)) for along in even), ("", length)]
        return sorted(marks, key=lambda mark: mark[1])

    def _square_across(self, along: Floats) -> Floats:
        """Running lengths along the upper edge of the places square across from the lower's, as far as it goes."""
        way = unit(np.gradient(self.lower, axis=0))
        place, ahead = (
            np.stack([np.interp(along, self.lower_run, f[:, i]) for i in (0, 1)], 1) for f in (self.lower, way)
        )
        past = self.upper @ ahead.T - dots(place, ahead)  # (n, m)
        return np.array([np.interp(0.0, past[:, k], self.upper_run) for k in range(len(along))])

    def _edges(self) -> tuple[Edge, Edge, Edge, Edge]:
        near, far, point = self.near, self.far, self.flat.point
        lower_at = np.array([at for _, at in self.along])
        length = float(self.upper_run[-1])
        upper_at = np.unique(np.concatenate([[0.0], length - self.along_upper, [length]]))
        thick = self.stick.thickness
        return (
            self._long_edge("lower", 1.0, lower_at),
            make_edge("after end", point(near.aft, near.aft_t)[::-1], point(far.aft, far.aft_t)[::-1], thickness=thick),
            self._long_edge("upper", 0.0, upper_at),
            make_edge("fore end", point(near.fore, near.fore_t), point(far.fore, far.fore_t), thickness=thick),
        )

    def _long_edge(self, name: str, share: float, at: Floats) -> Edge:
        """The upper or the lower edge, with bevels at running lengths from its first end, counter-clockwise."""
        lower, stick = name == "lower", self.stick
        way = slice(None) if lower else slice(None, None, -1)
        points = (self.lower if lower else self.upper)[way]
        far = self.flat.point(*(self.far.lower if lower else self.far.upper))[way]
        if (stick.near.lower is stick.far.lower) if lower else (stick.near.upper is stick.far.upper):
            return Edge(name, thinned(points), thinned(far), tuple(Bevel(float(a), 0.0, 0.0) for a in at))
        return make_edge(name, points, far, thickness=stick.thickness, at=at, far_line=self._beside(share)[way])

    def _beside(self, share: float) -> Floats:
        """(n, 2) mm, an edge of the far face laid flat, as far as either face goes."""
        ends = (self.near.fore, self.far.fore, self.near.aft, self.far.aft)
        fore, aft = float(np.min(ends[:2])), float(np.max(ends[2:]))
        return self.flat.point(*self.stick.run(self.stick.far, share, fore, aft))

    def _bending(self, share: float, s: Floats) -> Bending:
        """The bending of an edge on the face against the planking at ruling numbers."""
        points = self.stick.points(self.stick.near, share)
        # Past the ends the edge is only carried on, and there may be no edge; of it what hangs together with the piece.
        lost = np.flatnonzero(~np.isfinite(points).all(axis=1))
        before, after = lost[lost < s.min()], lost[lost > s.max()]
        least, most = before.max(initial=-1) + 1, after.min(initial=len(points)) - 1
        first, last = int(s.min()) - 1, int(s.max()) + 2
        reach = int(np.ceil(2 * RUN_ON / (self.lower_run[-1] / (s.max() - s.min()))))
        first, last = max(first - reach, int(least)), min(last + reach, int(most))
        run = run_along(points[first : last + 1])
        at = np.interp(s, np.arange(first, last + 1), run)
        return bending_along(points[first : last + 1], self.stick.ruled.normal[first : last + 1], at)

    def _bends(self) -> Bends:
        length = float(self.lower_run[-1])
        along = np.linspace(0.0, length, max(3, int(np.ceil(length / BEND_STEP)) + 1))
        low, high = (
            self._bending(share, np.interp(at, run, face_edge[0]))
            for share, at, run, face_edge in (
                (1.0, along, self.lower_run, self.near.lower),
                (0.0, self._square_across(along), self.upper_run, self.near.upper),
            )
        )
        harder = np.abs(high.flatwise) > np.abs(low.flatwise)
        return Bends(along, np.where(harder, high.flatwise, low.flatwise), low.edgewise, low.twist)

    def _places(self, edges: tuple[Edge, Edge, Edge, Edge]) -> tuple[Place, ...]:
        along = np.array([at for _, at in self.along])
        s = np.interp(along, self.lower_run, self.near.lower[0])
        s_upper = np.interp(self.along_upper, self.upper_run, self.near.upper[0])
        low, high = self._bending(1.0, s), self._bending(0.0, s_upper)
        lower = np.array([bevel.angle for bevel in edges[0].bevels])
        found = edges[2].bevels
        length = float(self.upper_run[-1])
        upper = np.interp(length - self.along_upper, [b.along for b in found], [b.angle for b in found])
        away = -high.out if self.stick.inside else high.out
        fall = away * np.cos(upper)[:, None] + high.up * np.sin(upper)[:, None]
        turn, planed = self._planed_off(s)
        at = self.stick.ruled.point(s, self.stick.ruled.at(self.stick.near.lower, s), self.stick.near.depth)
        return tuple(
            Place(
                name=self.along[k][0],
                along=float(along[k]),
                along_upper=float(self.along_upper[k]),
                at=at[k],
                aft=low.aft[k],
                out=low.out[k],
                up=low.up[k],
                lower=float(lower[k]),
                upper=float(upper[k]),
                slope=float(np.arcsin(-fall[k, 2])),
                edgewise=float(low.edgewise[k]),
                flatwise=float(low.flatwise[k]),
                twist=float(low.twist[k]),
                turn=float(turn[k]),
                planed=float(planed[k]),
            )
            for k in range(len(along))
        )

    def _planed_off(self, s: Floats) -> tuple[Floats, Floats]:
        """Off the face against the planking below a chine, at ruling numbers: rad, and mm at the lower edge."""
        facet, numbers = self.stick.facet, self.stick.ruled.numbers
        if facet is None:
            return np.zeros(len(s)), np.zeros(len(s))
        known = np.isfinite(facet.turn) & np.isfinite(facet.planed)
        turn, planed = (np.interp(s, numbers[known], line[known]) for line in (facet.turn, facet.planed))
        return turn, planed

    def _part(self, edges: tuple[Edge, ...], hand: Hand) -> Part:
        frames = self._frame_marks()
        return Part(
            name=self.rules.name,
            role=self.laid.role,
            material_key=_key(self.laid.role),
            hand=hand,
            thickness=self.stick.thickness,
            material=self.rules.material,
            marked_face="face against the planking",
            edges=edges,
            marks=(*frames, *self._lines_along()),
            bow="left",
            notes=tuple(self._wood_side(stand, mark) for (stand, _), mark in zip(self.frames, frames, strict=True)),
        )

    def _frame_marks(self) -> list[Mark]:
        near = self.stick.near
        marks = []
        for stand, s in self.frames:
            t = np.array([self.stick.ruled.at(f, s[i : i + 1])[0] for i, f in enumerate((near.upper, near.lower))])
            marks.append(Mark(stand.line, self.flat.point(s, t), MarkKind.FRAME))
        return marks

    def _lines_along(self) -> Iterator[Mark]:
        """The fastening line; of a batten across a chine the chine, and a fastening line to each strake."""
        facet, near = self.stick.facet, self.stick.near
        if facet is None:
            fore, aft = (self.stick.met(cut.signed, near, self.stick.fastened) for cut in self.cuts)
            line = self._line(near, self.stick.fastened, fore, aft)
            yield Mark("fastening line", line, MarkKind.FASTENED)
            return
        above, below = Face(near.depth, near.upper, facet.corner), Face(near.depth, facet.corner, near.lower)
        middle_of = (
            ("fastening line", above, 0.5, MarkKind.FASTENED),
            (facet.line, above, 1.0, MarkKind.LINE),
            ("lower fastening line", below, 0.5, MarkKind.FASTENED),
        )
        for name, face, share, kind in middle_of:
            fore, aft = (self.stick.met(cut.signed, face, share) for cut in self.cuts)
            yield Mark(name, self._line(face, share, fore, aft), kind)

    def _line(self, face: Face, share: float, fore: float, aft: float) -> Floats:
        return thinned(self.flat.point(*self.stick.run(face, share, fore, aft)))

    def _wood_side(self, stand: FrameStand, mark: Mark) -> Note:
        # Clear of the fastening line, which runs along the middle.
        x, y = 0.75 * mark.points[0] + 0.25 * mark.points[1]
        return Note("X", (float(x) + stand.wood * WOOD_SIDE, float(y)))

    def _solid(self, hand: Hand) -> Solid:
        stick = self.stick
        # With a line along the middle of each face: a ruled face cut aslant is no straight line.
        near, far = stick.near, stick.far
        against = [stick.points(near, share) for share in (1.0, 0.5, 0.0)]
        if facet := stick.facet:
            planed_to = stick.ruled.points(near.lower, near.depth) - facet.planed[:, None] * stick.ruled.normal
            above = Face(near.depth, near.upper, facet.corner)
            against = [planed_to, *(stick.points(above, share) for share in (1.0, 0.5, 0.0))]
        corners = np.stack([*against, *(stick.points(far, share) for share in (0.0, 0.5, 1.0))])
        every = np.concatenate([self.near.fore, self.far.fore]), np.concatenate([self.near.aft, self.far.aft])
        step = float(self.lower_run[-1]) / (self.near.lower[0][-1] - self.near.lower[0][0])
        more = int(np.ceil(RUN_ON / step))
        first, last = int(every[0].min()) - more, int(np.ceil(every[1].max())) + more
        clean = np.asarray(np.isfinite(corners).all(axis=(0, 2)))
        middle = (first + last) // 2
        broken_before = np.flatnonzero(~clean[:middle])
        broken_after = np.flatnonzero(~clean[middle:])
        first = max(first, int(broken_before[-1]) + 1 if len(broken_before) else 0)
        last = min(last, middle + int(broken_after[0]) - 1 if len(broken_after) else len(clean) - 1)
        return Solid(self.rules.name, hand, corners[:, first : last + 1], role=self.laid.role)

    def _end(self, which: int, place: Place) -> EndCut:
        cut = self.cuts[which]
        square = _gradient(cut.signed, place.at)
        across, run = square @ place.aft, -1.0 if self.stick.inside else 1.0
        corners = [self.lower[which], self.upper[which]]
        corners += [self.flat.point(*(f[[which]] for f in run_))[0] for run_ in (self.far.upper, self.far.lower)]
        way = unit(self.lower[1] - self.lower[0] if which == 0 else self.lower[-1] - self.lower[-2])
        upper, far_upper, far_lower = (float((corner - corners[0]) @ way) for corner in corners[1:])
        return EndCut(
            "fore end" if which == 0 else "after end",
            cut.against,
            float(np.arctan(-(square @ place.up) / across)),
            float(np.arctan(-run * (square @ place.out) / across)),
            upper,
            far_upper,
            far_lower,
            cut.mark,
        )

    def _arrises(self) -> Arrises:
        lengths = [
            float(run_along(self.stick.ruled.point(*run, face.depth))[-1])
            for face, run in (
                (self.stick.near, self.near.lower),
                (self.stick.near, self.near.upper),
                (self.stick.far, self.far.upper),
                (self.stick.far, self.far.lower),
            )
        ]
        return Arrises(*lengths)


def _planed(piece: LongPiece) -> Iterator[Planed]:
    """Of a batten across a chine, the face below it: its lower edge is square, so a gauge takes it off that edge."""
    widest = max(piece.places, key=lambda place: place.turn)
    if piece.chine and widest.turn > SQUARE_WITHIN:
        over = widest.planed / float(np.tan(widest.turn))
        places = tuple((place.name, Bevel(place.along, place.turn, place.planed)) for place in piece.places)
        yield Planed(f"face against the planking, below {piece.chine}", "lower edge", "its fore end", over, places)


def _gradient(cut: Signed, at: Floats) -> Floats:
    """(3,) unit, square to a cutting surface."""
    step = 0.01 * np.eye(3)
    return unit(cut(at + step) - cut(at - step))


def _key(role: Role) -> str:
    """Where boat.toml states the material of a long piece: in a table called as it is; there may be many stringers."""
    table = role.replace(" ", "_")
    return f"[[{table}]] material" if role is Role.STRINGER else f"[{table}] material"
