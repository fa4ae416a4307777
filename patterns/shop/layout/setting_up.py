"""Setting up: where every frame, the stem and the transom stand, what to check, in the order it is done."""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from dataclasses import dataclass, replace

import numpy as np
import shapely

from patterns.geometry.cuts import Cylinder, Profile
from patterns.geometry.short_repr import brief
from patterns.hull.build import End, Transom, end_word
from patterns.hull.planking.skin import Hull
from patterns.parts.asked.end_rules import PlankEnds, StemWork
from patterns.parts.asked.rules import Building, Way
from patterns.parts.frames.frame import frame_name
from patterns.parts.part import Part
from patterns.parts.role import EdgeKind, MarkKind
from patterns.parts.stands import FrameStand, transom_face
from patterns.parts.whole import Job
from patterns.units.tape import tape_length

ASSUMED = "default: right side up, every height from base; boat.toml has no [building]"
LEVEL_WITHIN = (
    1.6  # mm (1/16 in) a strongback may be out of straight and level, and a frame out of place; common practice
)
CUT_AWAY = 1.0  # mm from a frame's outline to the corner it is marked at
IN_PICTURE = 41  # points along a curve of the picture
ON_CENTRE = 0.5  # mm; a corner nearer the centre plane is one for both sides


@dataclass(frozen=True, slots=True)
class CornerPlace:
    """Where a line of the boat crosses a frame, on the inside of the planking."""

    line: str  # "sheer", "chine 2", "keel"
    half: float  # mm, half-breadth; 0 for one on the centre plane
    height: float  # mm, as measured in the shop
    cut_away: bool  # whether a notch has taken the corner

    @property
    def words(self) -> str:
        """What it is called at the strongback: ``sheer mark``, ``corner at the chine``."""
        marked = self.line == "sheer" or self.line.startswith("waterline")
        return f"{self.line} mark" if marked else f"corner at the {self.line}"


@dataclass(frozen=True, slots=True)
class Standing:
    """One frame or mould where it stands, its corners on the inside of the planking."""

    name: str  # "frame 3"
    running: float  # mm aft of FP, to the named face
    face: str  # "after face"
    wood: str  # which side of that face the wood lies: "forward" or "aft"
    corners: tuple[CornerPlace, ...]  # of every line of the boat, from the sheer down
    spall: float | None  # mm, of the cross spall's edge; None where there is none
    diagonal: float  # mm, from the fixed point on the centre line to either sheer mark
    breadth: CornerPlace | None = None  # of a round hull's mould: a waterline about half way up, to measure it at


@dataclass(frozen=True, slots=True)
class EndPlace:
    """A height on an end's centre line, where the shop finds it."""

    what: str  # "stem, fore face at the sheer"
    running: float  # mm aft of FP
    height: float  # mm, as measured in the shop


@dataclass(frozen=True, slots=True)
class EndStanding:
    """A stem or a transom where it stands."""

    name: str
    places: tuple[EndPlace, ...]
    rake: float  # rad from upright between its ends, aft at the top positive
    curved: bool  # whether its profile is more than a straight line
    profile: tuple[tuple[float, float], ...]  # mm aft of FP and as measured in the shop, from the sheer down
    by_rake: bool = True  # whether it is set up by its rake too


@dataclass(frozen=True, slots=True)
class Check:
    """Something measured, and what it should be."""

    what: str
    expected: str  # in words, "" where nothing is read off
    boxes: int = 1  # places to write what was measured: two for port and starboard


@dataclass(frozen=True, slots=True)
class Step:
    """One step of the order, ticked off when its checks hold."""

    number: int
    deed: str
    checks: tuple[Check, ...]
    of: tuple[str, ...] = ()  # the parts that are set up in it

    __repr__ = brief


@dataclass(frozen=True, slots=True)
class SettingUp:
    """All figures of setting up one boat."""

    boat: str
    show: str
    way: Way
    assumed: str  # what was not given and so taken; "" where all was
    datum: float  # mm above base, of the strongback's top (upside down) or of base (right side up)
    datum_name: str  # "the strongback's top" or "base"
    bed: float  # mm above base, of the strongback's top; 0 where nothing is said of it
    length: float  # mm, of the strongback at least
    fixed: tuple[float, float]  # mm aft of FP, and height as measured, of the point diagonals start from
    frames: tuple[Standing, ...]
    ends: tuple[EndStanding, ...]
    steps: tuple[Step, ...]
    called: str = "frame"  # what stands on the strongback: "mould" where every one is a mould
    rabbet: tuple[tuple[float, float], ...] = ()  # of a round hull, mm aft of FP and as measured, for the picture

    __repr__ = brief

    def tape(self, mm: float) -> str:
        return tape_length(mm, self.show)

    def from_zero(self, mm: float) -> str:
        """A distance from the zero, with a word where it runs forward of it."""
        return f"{self.tape(-mm)} forward" if self.tape(mm).startswith("-") else self.tape(mm)

    @property
    def forward(self) -> float:
        """mm, how far the boat reaches forward of the zero."""
        return max(0.0, -min(place.running for end in self.ends for place in end.places))


def setting_up(job: Job) -> SettingUp:
    """How one boat is set up, by its ``[building]``; right side up from base where it has none."""
    boat, building = job.boat, job.boat.building
    down = building is not None and building.way is Way.UPSIDE_DOWN
    shop = _Shop(building.strongback if building and down else 0.0, down)
    stands = _stands(job)
    parts = {part.name: part for part in job.parts}
    first = stands[0][0].face.origin[0] if stands else 0.0
    fixed = (float(first), 0.0)
    lines = tuple(line.name for line in job.hull.lines)
    frames = tuple(_standing(parts[name], stand, shop, fixed, building, lines) for stand, name in stands)
    ends = tuple(_end(job, end, shop, aft=aft) for end, aft in ((boat.fore, False), (boat.aft, True)))
    reach = [place.running for end in ends for place in end.places] + [frame.running for frame in frames]
    name = "the strongback's top" if down else "base"
    length = max(reach) - min(0.0, *reach)
    bare = SettingUp(
        boat=boat.name,
        show=boat.show,
        way=Way.UPSIDE_DOWN if down else Way.RIGHT_SIDE_UP,
        assumed="" if building else ASSUMED,
        datum=shop.datum,
        datum_name=name,
        bed=building.strongback if building else 0.0,
        length=float(length),
        fixed=fixed,
        frames=frames,
        ends=ends,
        steps=(),
        called="mould" if frames and all(one.name.startswith("mould ") for one in frames) else "frame",
        rabbet=_rabbet(job.hull, shop),
    )
    steps = enumerate(_steps(bare, job), 1)
    return replace(bare, steps=tuple(Step(number, deed, tuple(checks), of) for number, (deed, checks, of) in steps))


@dataclass(frozen=True, slots=True)
class _Shop:
    """How heights are measured in the shop."""

    datum: float  # mm above base
    down: bool

    def height(self, z: float) -> float:
        """mm from the datum, away from the floor, of a height above base."""
        return self.datum - z if self.down else z - self.datum


def _stands(job: Job) -> list[tuple[FrameStand, str]]:
    """Each frame's place and the name of its pattern, fore to aft."""
    named = [(stand, frame_name(own, stand)) for own, stand in job.stands]
    return sorted(named, key=lambda one: float(one[0].face.origin[0]))


def _standing(
    part: Part,
    stand: FrameStand,
    shop: _Shop,
    fixed: tuple[float, float],
    building: Building | None,
    lines: Sequence[str],
) -> Standing:
    """A frame as it stands; ``lines``: those of the boat, from the sheer down."""
    ring = shapely.LinearRing(part.outline)
    marks = [part.marks_of(line)[0].points[0] for line in lines]
    corners = tuple(
        CornerPlace(line, abs(half), shop.height(z), ring.distance(shapely.Point(half, z)) > CUT_AWAY)
        for line, (half, z) in zip(lines, np.array(marks).tolist(), strict=True)
    )
    running = float(stand.face.origin[0])
    across = (running - fixed[0], corners[0].half, corners[0].height - fixed[1])
    return Standing(
        name=part.name,
        running=running,
        face=stand.named_face,
        wood="forward" if stand.wood < 0 else "aft",
        corners=corners,
        spall=shop.height(building.spall) if building and building.spall is not None and _has_spall(part) else None,
        diagonal=float(np.linalg.norm(across)),
        breadth=_half_way_up(part, shop, marks[0][1], marks[-1][1]),
    )


def _half_way_up(part: Part, shop: _Shop, sheer: float, keel: float) -> CornerPlace | None:
    """The waterline marked on a mould nearest to half way from keel to sheer; None of a hull that has none marked."""
    levels = [mark for mark in part.marks if mark.name.startswith("waterline")]
    if not levels:
        return None
    middle = (sheer + keel) / 2
    name = min(levels, key=lambda mark: abs(float(mark.points[0, 1]) - middle)).name
    points = np.concatenate([mark.points for mark in levels if mark.name == name])
    return CornerPlace(name, float(np.abs(points[:, 0]).max()), shop.height(float(points[0, 1])), cut_away=False)


def _has_spall(part: Part) -> bool:
    """Whether a frame is marked for the cross spall: one that would lie above its heads is not."""
    return any(mark.kind is MarkKind.SPALL for mark in part.marks)


def _rabbet(hull: Hull, shop: _Shop) -> tuple[tuple[float, float], ...]:
    if not hull.smooth:
        return ()
    curve = hull.lines[-1].curve
    x, _, z = curve.point(np.linspace(curve.first, curve.last, IN_PICTURE)).T
    return tuple(zip(x.tolist(), [shop.height(float(one)) for one in z], strict=True))


def _end(job: Job, end: End, shop: _Shop, *, aft: bool) -> EndStanding:
    top, foot = end.profile[0], end.profile[-1]
    curved = len(end.profile) > 2
    rake = float(np.arctan2(top[0] - foot[0], top[1] - foot[1]))
    name, face = end_word(end, aft=aft), "after face" if aft else "fore face"
    work = job.boat.aft_work if aft else job.boat.fore_work
    if isinstance(work, StemWork) and work.ends is PlankEnds.RABBET:
        face = "rabbet line"  # wood stands before it
    places = _transom_places(job, end, name, aft=aft) if isinstance(end, Transom) else _stem_places(job.hull, aft=aft)
    told = tuple(EndPlace(f"{face} {where}", float(x), shop.height(float(z))) for where, x, z in places)
    profile = [(place.running, place.height) for place in (told[0], told[-1])]
    if curved:
        shape = Profile(end.profile)
        z = shape.heights_between(foot[1], top[1], IN_PICTURE)[::-1]
        x = shape.at_height(z)
        profile = [(float(a), shop.height(float(b))) for a, b in zip(x, z, strict=True)]
    # Of a stem that runs on into the keel in one curve a straight line from end to end says nothing.
    return EndStanding(name, told, rake, curved, tuple(profile), by_rake=not (curved and job.hull.smooth))


def _transom_places(job: Job, board: Transom, name: str, *, aft: bool) -> Iterator[tuple[str, float, float]]:
    """Places on a transom's outer face, on the centre line: level with its sheer corners, and its lower edge.

    Of one that is bowed, and raked, the sheer mark square across the face comes to the centre line at another height
    than its corners, which are told too.
    """
    part = job.part(name)
    face = transom_face(board, aft=aft)
    below = np.concatenate([edge.points for edge in part.edges if edge.kind is EdgeKind.FLOOR])
    below = below[below[:, 0].argsort()]
    sheer = part.mark("sheer")
    bowed = isinstance(face, Cylinder)
    if bowed:
        x, _, z = face.in_space(sheer.points[:1])[0].tolist()
        yield "at its sheer corners", x, z
    for where, along in (
        (
            "at its sheer mark on the center line" if bowed else "level with the sheer corners",
            float(sheer.points[0, 1]),
        ),
        ("at its lower edge on the center line" if bowed else "at its lower edge", float(np.interp(0.0, *below.T))),
    ):
        x, _, z = (face.origin + along * face.up).tolist()
        yield where, x, z


def _stem_places(hull: Hull, *, aft: bool) -> Iterator[tuple[str, float, float]]:
    """Where the highest and the lowest line end on a stem's face."""
    for line in (hull.lines[0], hull.lines[-1]):
        x, _, z = line.curve.point(np.array(line.curve.last if aft else line.curve.first)).tolist()
        yield f"at the {line.name}'s end", x, z


def _steps(plan: SettingUp, job: Job) -> Iterator[tuple[str, Iterator[Check], tuple[str, ...]]]:
    """The order of work, each deed with its checks and the parts it sets up."""
    hull = job.hull
    down, datum, widest = plan.way is Way.UPSIDE_DOWN, plan.datum_name, hull.widest
    one = plan.called
    bed = "strongback" if down else "building bed"
    yield f"Make the {bed} at least {plan.tape(plan.length)} long, straight, level along and across.", _bed(plan), ()
    zero = "a zero at the fore end"
    if plan.tape(plan.forward) != plan.tape(0.0):
        zero = f"a zero {plan.tape(plan.forward)} aft of the fore end, because the boat reaches that far forward of FP,"
    yield (
        f"String the center line over it from end to end, taut. Mark {zero} and from it, never from {one} to {one}, "
        "the running distance of every named face; square each across.",
        _running(plan),
        (),
    )
    way = "bottom up, " if down else ""
    notched = any(corner.cut_away for frame in plan.frames for corner in frame.corners)
    carried = " A corner cut away is where both its edges, carried on over the notch, meet." if notched else ""
    yield (
        f"Set up the {one}s, {way}from midship toward both ends: the named face to its line, the center mark plumb to "
        f"the string, the face plumb, then heights from {datum}. Brace each.{carried}",
        _heights(plan, widest),
        tuple(frame.name for frame in plan.frames),
    )
    if plan.frames:
        x, _ = plan.fixed
        yield (
            f"Check diagonals from one point: on the center line at {datum}, abreast of {plan.frames[0].name} "
            f"({plan.tape(x)} from the zero), to the sheer mark of each {one}. Port and starboard must be equal.",
            _diagonals(plan),
            (),
        )
    along = "along each chine and half way between"
    as_built = " Where a frame stays out of place, write what you measured in built.csv: the rest is then made to it."
    if hull.smooth:
        along, as_built = "along each waterline and each diagonal", ""
        if hull.smooth.planks and not hull.smooth.planks.rules.strip:
            along = f"along the marks of every {hull.smooth.planks.word}"
    ends = tuple(end.name for end in plan.ends)
    yield f"Set up the ends on the center line. Heights are from {datum}.", _ends(plan), ends
    if hull.smooth and job.boat.keel:
        yield (
            f"Lay the keel on the {one}s, in their notches, its marks on their faces. Fit and fasten its ends to "
            f"{' and '.join(ends)}.",
            _keel(job),
            ("keel",),
        )
    yield (
        f"Spring battens over all {one}s along the sheer, {along}. They must touch every {one} without being pressed. "
        f"Pack or shave, and write down what was changed.{as_built}",
        iter((Check("battens lie fair, port and starboard", "", 2),)),
        (),
    )


def _bed(plan: SettingUp) -> Iterator[Check]:
    within = plan.tape(LEVEL_WITHIN)
    yield Check("straight, by a taut line", f"within {within}")
    yield Check("level along, and across at both ends", f"within {within}")
    if plan.way is Way.UPSIDE_DOWN:
        yield Check(
            f"every height is measured up from its top, which stands for {plan.tape(plan.datum)} above base", ""
        )
    else:
        side = "above" if plan.bed < 0.0 else "below"
        stands = "" if plan.tape(abs(plan.bed)) == plan.tape(0.0) else f", {plan.tape(abs(plan.bed))} {side} its top"
        yield Check(f"base marked along it as a level line{stands}: every height is measured up from base", "")


def _running(plan: SettingUp) -> Iterator[Check]:
    for frame in plan.frames:
        yield Check(f"{frame.name}: {frame.face}, its wood {frame.wood} of the line", plan.from_zero(frame.running))


def _heights(plan: SettingUp, widest: float) -> Iterator[Check]:
    # Bottom up, the edge that lies lower in the boat afloat, as the pattern names it, is the upper one in the shop.
    edge = "lower edge" if plan.way is Way.RIGHT_SIDE_UP else "edge nearer the bottom"
    for frame in sorted(plan.frames, key=lambda frame: abs(frame.running - widest)):
        yield Check(f"{frame.name}: plumb, center mark to the string", "")
        if frame.spall is not None:
            yield Check(f"{frame.name}: cross spall, its {edge}", plan.tape(frame.spall), 2)
        for corner in frame.corners:
            where = ", cut away" if corner.cut_away and corner.line != "sheer" else ""
            boxes = 2 if corner.half > ON_CENTRE else 1
            yield Check(f"{frame.name}: height at the {corner.words}{where}", plan.tape(corner.height), boxes)
        # The sides of a round hull's keel are as far apart everywhere.
        at = (frame.corners[0], frame.breadth) if frame.breadth else frame.corners
        for corner in at:
            if corner.half > ON_CENTRE:
                where = ", cut away" if corner.cut_away and corner.line != "sheer" else ""
                what = f"{frame.name}: half-breadth at the {corner.words}{where}"
                yield Check(what, plan.tape(corner.half), 2)


def _diagonals(plan: SettingUp) -> Iterator[Check]:
    for frame in plan.frames:
        yield Check(f"{frame.name}: to the sheer mark on its {frame.face}", plan.tape(frame.diagonal), 2)


def _ends(plan: SettingUp) -> Iterator[Check]:
    for end in plan.ends:
        for place in end.places:
            what = f"{end.name}: {place.what}"
            yield Check(f"{what}, from the zero", plan.from_zero(place.running))
            yield Check(f"{what}, height", plan.tape(place.height))
        if end.by_rake:
            yield _rake(end)
        yield Check(f"{end.name}: plumb athwart, on the string", "")


def _rake(end: EndStanding) -> Check:
    lean = "the sheer's end aft" if end.rake > 0 else "the sheer's end forward"
    between = ", straight from end to end of a curve" if end.curved else ""
    return Check(f"{end.name}: rake off plumb, {lean}{between}", f"{abs(np.degrees(end.rake)):.1f}°")


def _keel(job: Job) -> Iterator[Check]:
    yield Check("keel: sighted from end to end, straight and on the string", "")
    for end, aft in ((job.boat.fore, False), (job.boat.aft, True)):
        meets = "meets the lower corners of the" if isinstance(end, Transom) else "runs fair into that of the"
        yield Check(f"keel: its rabbet line {meets} {end_word(end, aft=aft)}", "", 2)
