"""Keel batten, keelson and skeg of a V bottom: on the centre line, where its halves come together; in profile."""

from __future__ import annotations

from collections.abc import Callable, Iterator
from dataclasses import dataclass

import numpy as np

from patterns.errors import ShapeError, while_making
from patterns.geometry.arrays import Floats, run_along, unit
from patterns.geometry.outlines import across, met, parallel, thinned, trimmed, unlooped
from patterns.geometry.short_repr import brief
from patterns.hull.build import Stem, end_word
from patterns.hull.planking.along_centre import along_keel, off_center
from patterns.hull.planking.skin import Hull
from patterns.hull.planking.strakes import Face
from patterns.parts.asked.long_rules import LongAsked, LongRules, SkegRules
from patterns.parts.edges import square_edge
from patterns.parts.long.long_words import CROWDED, mark_spacing
from patterns.parts.long.skeg import lower_and_after, skeg_part
from patterns.parts.long.solids import Solid
from patterns.parts.part import Bevel, Mark, Note, Part, Planed
from patterns.parts.role import MarkKind, Role
from patterns.parts.stands import FrameStand, port_face, transom_inner_face
from patterns.units.lengths import write_length

RUN_ON = 60.0  # mm lines are carried on past the ends, so that both can be cut
APART = 10.0  # mm between sections of the wood as frames are notched for it
LEAST_SIDE = 3.0  # mm of a side that must be left above its bevel
FLAT = 1e-3  # mm; a bevel that rises no further is none
NOTE_DOWN = 8.0  # mm a bevel's figure stands below the lower edge

Beyond = Callable[[Floats], Floats]
"""Signed distances (n,) of places (n, 2) in profile from where a piece ends, positive aft."""


@dataclass(frozen=True, slots=True, eq=False)
class Ridge:
    """A line of the centre plane that wood lies on, in profile from fore to aft, and how a V rises from it."""

    points: Floats  # (n, 2) mm
    half: float  # mm off the centre plane, to where the planking begins: half of a flat on a keel, at its widest
    angle: Floats  # (n,) rad, between the planking and the centre plane, square to the line
    rise: Floats  # (n,) mm, square to the line, by which the planking has risen at the side of the wood

    def bevel(self, x: float) -> float:
        """rad off square, of either half of the wood's face on the planking, at so far from FP."""
        return float(np.pi / 2 - np.interp(x, self.points[:, 0], self.angle))

    def risen(self, x: float) -> float:
        """mm, by which the planking has risen at the side of the wood, at so far from FP."""
        return float(np.interp(x, self.points[:, 0], self.rise))


@dataclass(frozen=True, slots=True)
class KeelPlace:
    """One mark along a keel batten or keelson."""

    name: str  # "frame 3", or "" for the ends and the marks between
    along: float  # mm along the lower edge from the fore end
    from_fp: float  # mm
    bevel: float  # rad off square, of either half of the lower edge
    rise: float  # mm, of the bevel line above the lower edge, square to it


@dataclass(frozen=True, slots=True, eq=False)
class VKeel:
    """A piece on the inside of a V bottom: its pattern, and the wood that frames and ends are notched for."""

    rules: LongRules
    part: Part  # in profile: seen from port, the lower edge on the centre plane
    solid: Solid
    ridge: Ridge
    places: tuple[KeelPlace, ...]  # fore to aft
    above: float  # mm of other wood between the bottom and the piece

    __repr__ = brief

    @property
    def name(self) -> str:
        return self.part.name

    @property
    def on_planking(self) -> bool:
        """Whether it lies on the bottom: not on a keel batten, nor on a keel as wide as itself."""
        return not self.above and self.ridge.half < self.rules.sided / 2

    @property
    def bevelled(self) -> bool:
        """Whether its lower edge is planed to the V of the bottom."""
        return bool(self.part.planed)


def v_keels(hull: Hull, asked: LongAsked, stands: tuple[FrameStand, ...], *, show: str) -> tuple[VKeel, ...]:
    """Keel batten and keelson of a V bottom; none of any other.

    Raises
    ------
    ShapeError
        Where a piece cannot be had, by its name.
    """
    if hull.seam is None:
        return ()
    made = []
    setting = _Setting(hull, (_end(hull, asked, aft=False), _end(hull, asked, aft=True)), stands, show)
    batten = asked.keel_batten
    for rules, role in ((batten, Role.KEEL_BATTEN), (asked.keelson, Role.KEELSON)):
        if rules is not None:
            above = batten.moulded if batten and role is Role.KEELSON else 0.0
            with while_making(rules.name):
                made.append(_keel(setting, rules, role, above))
    return tuple(made)


@dataclass(frozen=True, eq=False)
class _Setting:
    """The boat a piece stands in."""

    hull: Hull
    ends: tuple[tuple[Beyond, str], tuple[Beyond, str]]  # where it ends fore and aft, and in words
    stands: tuple[FrameStand, ...]
    show: str


def ridge_of(hull: Hull, face: Face, half: float) -> Ridge:
    """Where a face of both halves comes together, and how far they have risen at so many mm off the centre plane."""
    run = along_keel(hull, face)
    points, angle = _carried_on(run.points), np.concatenate([run.angle[:1], run.angle, run.angle[-1:]])
    rise, flat = np.zeros(len(points)), float(run.half.max())
    if half > flat:
        beside = hull.floor.ruled.point(*off_center(hull.floor, face, half), face.depth)[:, [0, 2]]
        if len(beside) < 2:
            raise ShapeError("sided {}, but the bottom is nowhere so wide; expected less siding", 2 * half)
        # Past the ends of the boat it is only carried on, and may turn back there.
        near = (beside[:, 0] > points[0, 0] - RUN_ON) & (beside[:, 0] < points[-1, 0] + RUN_ON)
        rise = -across(points, _carried_on(beside[near]), run_along(points))
    return Ridge(points, flat, angle, np.maximum(rise, 0.0))


def _carried_on(line: Floats) -> Floats:
    fore, aft = unit(line[0] - line[1]), unit(line[-1] - line[-2])
    return np.concatenate([[line[0] + RUN_ON * fore], line, [line[-1] + RUN_ON * aft]])


def _end(hull: Hull, asked: LongAsked, *, aft: bool) -> tuple[Beyond, str]:
    """Where wood along the keel ends: on the foot of a stem, or on the inner face of a transom; and its words."""
    end, cut = (hull.aft, hull.aft_cut) if aft else (hull.fore, hull.fore_cut)
    word = end_word(end, aft=aft)
    if isinstance(end, Stem):
        keel = hull.lines[-1].curve
        z = float(keel.point(np.array(keel.last if aft else keel.first))[2])
        heel = np.array([cut.at_height(np.array([z]))[0], z])
        slope = float(cut.batten.slope(np.array([z]))[0])
        way = unit(np.array([slope, 1.0])) * (1.0 if aft else -1.0)
        return (lambda points: np.asarray((points - heel) @ way)), f"the foot of the {word}"
    through = asked.through_aft if aft else asked.through_fore
    signed = cut.signed if through else transom_inner_face(end, aft=aft).signed
    inner = "fore" if aft else "after"
    against = f"flush with the outer face of the {word}" if through else f"the {inner} face of the {word}"
    return (lambda points: np.asarray(signed(np.insert(points, 1, 0.0, axis=1)))), against


def _between(line: Floats, ends: tuple[tuple[Beyond, str], tuple[Beyond, str]]) -> Floats:
    """A line from fore to aft between both ends."""
    (fore, _), (aft, _) = ends
    middle = len(line) // 2
    forward = trimmed(line[middle::-1], lambda points: -fore(points))
    return np.concatenate([forward[::-1], trimmed(line[middle:], aft)[1:]])


def _keel(setting: _Setting, rules: LongRules, role: Role, above: float) -> VKeel:
    """A piece of one height all along, on the inside of the bottom, or so far above it on other wood."""
    hull, ends, half = setting.hull, setting.ends, rules.sided / 2
    ridge = ridge_of(hull, hull.between_corners(hull.floor), half)
    base = _parallel(ridge.points, above)
    top = _parallel(ridge.points, above + rules.moulded)
    lower, upper = (thinned(_between(line, ends)) for line in (base, top))
    rise = np.zeros(len(ridge.points)) if above else ridge.rise
    within = (ridge.points[:, 0] > lower[0, 0]) & (ridge.points[:, 0] < lower[-1, 0])
    highest = float(rise[within].max())
    if highest > rules.moulded - LEAST_SIDE:
        raise ShapeError(
            "moulded {}, but at its sides the bottom has risen {}: too little wood is left there; expected more "
            "moulded, or less sided",
            rules.moulded,
            highest,
        )
    marks = list(_frame_marks(setting.stands, lower, upper))
    places = tuple(_places(ridge, marks, lower, setting.show))
    beside = thinned(_between(_square_off(ridge.points, rise), ends)) if highest > FLAT else None
    part = Part(
        name=rules.name,
        role=role,
        material_key=f"[{rules.name.replace(' ', '_')}] material",
        hand="none",
        thickness=rules.sided,
        material=rules.material,
        marked_face="port face",
        edges=(
            square_edge("lower", lower),
            square_edge("after end", np.stack([lower[-1], upper[-1]])),
            square_edge("upper", upper[::-1]),
            square_edge("fore end", np.stack([upper[0], lower[0]])),
        ),
        marks=(*marks, *([] if beside is None else [Mark("bevel line", beside, MarkKind.PLANED)])),
        notes=() if beside is None else tuple(_notes(ridge, marks)),
        bow="left",
        planed=() if beside is None else (_halves(rules, ridge, places),),
        remarks=tuple(_words(setting, rules, ridge, above, marks, bevelled=beside is not None)),
        grain="along its length",
        stands_in=(port_face(rules.sided),),
        grain_angle=float(np.arctan2(*(lower[-1] - lower[0])[::-1])),
    )
    return VKeel(rules, part, _solid(rules, role, ridge, rise, above), ridge, places, above)


def _parallel(line: Floats, up: float) -> Floats:
    return unlooped(parallel(line, up)) if up else line


def _square_off(line: Floats, off: Floats) -> Floats:
    """A line moved up, square to itself, by as much as is said for each of its points."""
    way = unit(np.gradient(line, axis=0))
    return np.asarray(line + off[:, None] * np.stack([-way[:, 1], way[:, 0]], axis=1))


def _frame_marks(stands: tuple[FrameStand, ...], lower: Floats, upper: Floats) -> Iterator[Mark]:
    for stand in stands:
        x = stand.place.from_fp
        if max(lower[0, 0], upper[0, 0]) < x < min(lower[-1, 0], upper[-1, 0]):
            z = [float(np.interp(x, edge[:, 0], edge[:, 1])) for edge in (lower, upper)]
            yield Mark(stand.line, np.array([[x, z[0]], [x, z[1]]]), MarkKind.FRAME)


def _places(ridge: Ridge, marks: list[Mark], lower: Floats, show: str) -> Iterator[KeelPlace]:
    """Both ends, the frames, and even distances from the fore end that are not beside one of them."""
    run = run_along(lower)
    frames = [(mark.name, float(np.interp(mark.points[0, 0], lower[:, 0], run))) for mark in marks]
    taken = [("", 0.0), *frames, ("", float(run[-1]))]
    spacing = mark_spacing(show)
    even = [at for at in np.arange(spacing, run[-1], spacing).tolist() if all(abs(at - t) > CROWDED for _, t in taken)]
    for name, along in sorted([*taken, *(("", at) for at in even)], key=lambda place: place[1]):
        x = float(np.interp(along, run, lower[:, 0]))
        yield KeelPlace(name, along, x, ridge.bevel(x), ridge.risen(x))


def _halves(rules: LongRules, ridge: Ridge, places: tuple[KeelPlace, ...]) -> Planed:
    """Both halves of the lower edge, which stand off the sides as the bottom does."""
    bevels = tuple((place.name, Bevel(place.along, place.bevel, place.rise)) for place in places)
    over = rules.sided / 2 - ridge.half
    return Planed("lower edge, each half", f"side of the {rules.name}", "its fore end", over, bevels)


def _notes(ridge: Ridge, marks: list[Mark]) -> Iterator[Note]:
    for mark in marks:
        x, z = mark.points[0].tolist()
        yield Note(f"{np.degrees(ridge.bevel(x)):.1f}°", (x, z - NOTE_DOWN))


def _words(
    setting: _Setting, rules: LongRules, ridge: Ridge, above: float, marks: list[Mark], *, bevelled: bool
) -> Iterator[str]:
    flat, show = ridge.half, setting.show
    moulded = write_length(rules.moulded, show)
    yield f"Stands on the center line, {moulded} high all along."
    yield (
        "Saw it to this outline, or bend straight stock over the frames into their notches. Fasten bent stock from "
        "amidships toward the ends."
    )
    if above:
        yield "Lies on the flat top of the keel batten: its lower edge is square."
    elif bevelled:
        middle = "the center line of that edge" if flat < FLAT else f"a flat {write_length(2 * flat, show)} wide"
        yield (
            "The lower edge is shaped to the V of the bottom: draw the bevel line on both sides, and plane each half "
            f"of the edge from the bevel line to {middle}. Bent stock is planed in its place: lay a straightedge "
            "athwart, along the lower edge of a frame."
        )
    if bevelled and marks:
        places = ", ".join(f"{mark.name} {np.degrees(ridge.bevel(float(mark.points[0, 0]))):.1f}°" for mark in marks)
        yield f"Bevel of each half of the lower edge, off square: {places}."
    (_, fore), (_, aft) = setting.ends
    yield f"Fore end: {fore}. After end: {aft}. Frames are notched over it, moulds are not."


def _solid(rules: LongRules, role: Role, ridge: Ridge, rise: Floats, above: float) -> Solid:
    """The wood, section by section square to the line it lies on, run on past both ends."""
    run = run_along(ridge.points)
    at = np.arange(0.0, run[-1], APART)
    line = np.stack([np.interp(at, run, ridge.points[:, axis]) for axis in (0, 1)], axis=1)
    risen, half = np.interp(at, run, rise), rules.sided / 2

    def corner(off: float, up: Floats) -> Floats:
        places = _square_off(line, up)
        return np.stack([places[:, 0], np.full(len(places), off), places[:, 1]], axis=1)

    base, top = np.full(len(at), above), np.full(len(at), above + rules.moulded)
    flat = min(ridge.half, half)
    ridges = [0.0] if flat < FLAT else [-flat, flat]
    feet = [corner(off, base) for off in ridges if abs(off) < half or not above]
    sides = [corner(half, above + risen), corner(half, top), corner(-half, top), corner(-half, above + risen)]
    return Solid(rules.name, "none", np.stack([*([] if above else feet), *sides]), role=role)


def cut_v_skeg(hull: Hull, rules: SkegRules, stands: tuple[FrameStand, ...], *, show: str) -> Part:
    """The skeg of a V bottom seen from port: its upper edge is grooved over the keel line."""
    with while_making("skeg"):
        ridge = ridge_of(hull, hull.outside(hull.floor), rules.sided / 2)
        z = np.linspace(float(ridge.points[:, 1].min()) - 100.0, float(ridge.points[:, 1].max()) + 100.0, 65)
        face = np.stack([hull.aft_cut.at_height(z), z], axis=1)
        keel, sides = (met(line, face)[0] for line in (ridge.points, _square_off(ridge.points, ridge.rise)))
        if not keel[0, 0] < rules.start < keel[-1, 0]:
            raise ShapeError(
                "from = {}, expected a place on the bottom, before {} from FP", rules.start, float(keel[-1, 0])
            )
        keel, sides = (trimmed(line[::-1], lambda p: rules.start - p[:, 0])[::-1] for line in (keel, sides))
        lower, after = lower_and_after(hull, rules, keel, sides[-1])
    grooved = float(ridge.rise.max()) > FLAT
    marks = [Mark(mark.name, mark.points, MarkKind.FRAME) for mark in _frame_marks(stands, lower, keel)]
    edges = [
        square_edge("lower", lower),
        square_edge("after end", after[::-1]),
        square_edge("upper", sides[::-1]),
    ]
    seat = "The upper edge lies on the outside of the bottom."
    if grooved:
        marks.append(Mark("bottom of the groove", thinned(keel)))
        edges.append(square_edge("fore end", np.stack([sides[0], keel[0]])))
        fore, aft = (np.degrees(ridge.bevel(float(x))) for x in (keel[0, 0], keel[-1, 0]))
        seat = (
            "The upper edge is cut to a V that fits over the keel line: the outline is its sides, the line 'bottom of "
            f"the groove' its middle. Each half leans off square by {fore:.1f}° at the fore end and {aft:.1f}° at the "
            "after end."
        )
    return skeg_part(
        rules,
        edges=tuple(edges),
        marks=tuple(marks),
        remarks=(
            seat,
            f"The heel is {write_length(rules.depth, show)} below the keel line, measured upright.",
            "It runs thin at its fore end: cut that blunt where the wood gets too thin to hold.",
        ),
    )
