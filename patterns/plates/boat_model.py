"""The boat as bodies of wood: shaded, pulled apart, and each part where it sits among the others."""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from dataclasses import dataclass, replace
from enum import Enum

import numpy as np

from patterns.drawing.marks import Drawing, Shading
from patterns.drawing.shaded import Body, View, room_for, shaded
from patterns.geometry.short_repr import brief
from patterns.parts.asked.rules import Way
from patterns.parts.in_the_boat import in_the_boat, round_planking
from patterns.parts.part import Part
from patterns.parts.role import Role
from patterns.parts.whole import Job

COARSE = 0.5  # mm an outline may be off: less than a picture shows, and a tenth of the triangles
SLANT = View(turn=0.6, tip=0.45)  # rad; from ahead, from above, from port
WIDTH = 170.0  # mm
PIXELS, STAGE_PIXELS = 900, 480
FRAME_VIEW = View(turn=-1.05, tip=0.3)  # from aft
SMALL_WIDTH, SMALL_PIXELS = 60.0, 260
SHOWN = 0.35  # the tone of the part that a small view shows
GHOST = 0.25  # of its own depth of grey, in a small view, has all but the part shown
PLANKING, OTHER, FRAMES = 0.93, 0.78, 0.7  # tones

_TONES = {
    Role.PANEL: PLANKING,
    Role.TRANSOM: PLANKING,
    Role.FRAME: FRAMES,
    Role.MOULD: FRAMES,
    Role.SIDE_TIMBER: FRAMES,
    Role.FLOOR_TIMBER: FRAMES,
    Role.GUSSET: 0.85,
    Role.MOULD_PIECE: FRAMES,
    Role.CLEAT: 0.85,
}
_PULLED = {  # out, up and toward its own end, in breadths of the boat
    Role.TRANSOM: (0.0, 0.0, 0.45),
    Role.FRAMING: (0.0, 0.0, 0.25),
    Role.STEM: (0.0, 0.0, 0.3),
    Role.FALSE_STEM: (0.0, 0.0, 0.45),
    Role.LOG: (0.35, -0.1, 0.0),
    Role.INWALE: (0.35, 0.15, 0.0),
    Role.OUTWALE: (1.1, 0.1, 0.0),
    Role.RUB_RAIL: (1.1, 0.0, 0.0),
    Role.STRINGER: (0.2, 0.0, 0.0),
    Role.RISER: (0.0, 0.3, 0.0),
    Role.KEEL: (0.0, -0.8, 0.0),
    Role.KEEL_BATTEN: (0.0, -0.2, 0.0),
    Role.KEELSON: (0.0, -0.2, 0.0),
    Role.SKEG: (0.0, -0.8, 0.0),
    Role.THWART: (0.0, 0.45, 0.0),
    Role.KNEE: (0.0, 0.55, 0.0),
    Role.BREASTHOOK: (0.0, 0.45, 0.0),
}
_MOULDS = (Role.MOULD, Role.MOULD_PIECE, Role.CLEAT)
ROUND_PLANKING = "planking"  # of a round hull, a body without a pattern
ROUND_ROWS, ROUND_COLUMNS = 25, 61
PANEL_OUT, PANEL_DOWN = 0.75, 0.55  # breadths: the sheer strake goes out, the lowest down, those between both


def boat_bodies(job: Job) -> tuple[Body, ...]:
    """Every part whose place is known, with its tone and the way it goes when the boat is pulled apart."""
    placed = in_the_boat(job, within=COARSE)
    if not placed:
        return ()
    points = np.concatenate([one.wood.points for one in placed])
    middle, breadth = float(np.ptp(points[:, 0]) / 2 + points[:, 0].min()), float(np.ptp(points[:, 1]))
    bodies = []
    for one in placed:
        out, up, end = _apart(job, one.part)
        aft = 1.0 if float(one.wood.middle[0]) > middle else -1.0
        side = {"port": -1.0, "starboard": 1.0, "none": 0.0}[one.part.hand]
        pulled = (breadth * end * aft, breadth * out * side, breadth * up)
        bodies.append(
            Body(one.wood, _TONES.get(one.part.role, OTHER), one.part.title, pulled, one.part.role not in _MOULDS)
        )
    if planking := round_planking(job, rows=ROUND_ROWS, columns=ROUND_COLUMNS):
        bodies.append(Body(planking, PLANKING, ROUND_PLANKING, (0.0, 0.0, -breadth * PANEL_DOWN)))
    return tuple(bodies)


def _apart(job: Job, part: Part) -> tuple[float, float, float]:
    if part.role is not Role.PANEL:
        return _PULLED.get(part.role, (0.0, 0.0, 0.0))
    names = [strake.name for strake in job.hull.strakes]
    share = names.index(part.strake) / max(len(names) - 1, 1)
    return PANEL_OUT * (1 - 0.5 * share), -PANEL_DOWN * share, 0.0


def whole_picture(boat: str, bodies: Sequence[Body]) -> Drawing:
    """The finished boat at a slant."""
    return _picture(f"{boat}, shaded", "boat-shaded", bodies, pixels=PIXELS)


def apart_picture(boat: str, bodies: Sequence[Body]) -> Drawing:
    """The boat pulled apart, at the same slant."""
    apart = [one.pulled_out() for one in bodies]
    return _picture(f"{boat}, pulled apart", "boat-pulled-apart", apart, pixels=PIXELS)


class Stage(Enum):
    """Stages of the work that are shown."""

    FRAME = "a frame put together"
    SET_UP = "set up"
    LONG = "with its long pieces"
    PLANKED = "planked"


_AT_STAGE = {
    Stage.SET_UP: {
        *(Role.FRAME, Role.MOULD, Role.SIDE_TIMBER, Role.FLOOR_TIMBER, Role.GUSSET, Role.MOULD_PIECE, Role.CLEAT),
        *(Role.TRANSOM, Role.FRAMING, Role.STEM, Role.KEEL),
    },
    Stage.LONG: {Role.LOG, Role.KEEL_BATTEN, Role.KEELSON, Role.INWALE, Role.STRINGER},
    Stage.PLANKED: {Role.PANEL},
}


def work_pictures(job: Job, bodies: Sequence[Body]) -> dict[Stage, Drawing]:
    """The boat at stages of the work, the way up it is built; none of a stage that adds nothing."""
    roles = {part.title: part.role for part in job.parts} | {ROUND_PLANKING: Role.PANEL}
    over = job.boat.building is not None and job.boat.building.way is Way.UPSIDE_DOWN
    way_up = [body.bottom_up() for body in bodies] if over else list(bodies)
    found: dict[Stage, Drawing] = {}
    if frame := _largest_frame(job, bodies):
        found[Stage.FRAME] = _picture(Stage.FRAME.value, "stage-frame", frame, view=FRAME_VIEW)
    there: set[Role] = set()
    for stage, more in _AT_STAGE.items():
        if not any(roles[body.name] in more for body in bodies):
            continue
        there |= more
        seen = [body for body in way_up if roles[body.name] in there]
        found[stage] = _picture(f"{job.boat.name}, {stage.value}", f"stage-{stage.name.lower()}", seen)
    return found


def _largest_frame(job: Job, bodies: Sequence[Body]) -> list[Body]:
    """The pieces of the frame nearest the boat's greatest breadth; none where no frame is made of pieces."""
    of = {part.title: part.of for part in job.parts if part.of_a is Role.FRAME}
    frames: dict[str, list[Body]] = {}
    for body in bodies:
        if body.name in of:
            frames.setdefault(of[body.name], []).append(body)
    return max(
        frames.values(), key=lambda pieces: max(float(one.mesh.points[:, 1].max()) for one in pieces), default=[]
    )


def _finished(bodies: Sequence[Body]) -> list[Body]:
    return [body for body in bodies if body.stays]


def _picture(
    title: str, name: str, bodies: Sequence[Body], *, view: View = SLANT, pixels: int = STAGE_PIXELS
) -> Drawing:
    return Drawing(title, name, (shaded(bodies, room_for(bodies, view, width=WIDTH, pixels=pixels)),))


@dataclass(frozen=True, slots=True, eq=False)
class PartGroup:
    """A part, both hands of it, and the pieces it is put together from."""

    hands: tuple[Part, ...]
    pieces: tuple[tuple[Part, ...], ...]

    @property
    def part(self) -> Part:
        """Starboard of a pair."""
        return self.hands[-1]

    @property
    def called(self) -> str:
        return called(self.hands)

    @property
    def titles(self) -> tuple[str, ...]:
        """Of all wood in it."""
        return tuple(part.title for hands in (self.hands, *self.pieces) for part in hands)


def called(hands: Sequence[Part]) -> str:
    """A part by its name, with both hands where there are two."""
    part = hands[-1]
    return part.name if len(hands) == 1 else f"{part.name}, {' and '.join(hand.hand for hand in hands)}"


def grouped(parts: Sequence[Part]) -> tuple[PartGroup, ...]:
    """Parts in their order, both hands together; a sawn frame's timbers and gussets with their frame."""
    titles = {part.title for part in parts}
    pieces = [part for part in parts if part.of in titles]
    wholes = [part for part in parts if part.of not in titles]
    return tuple(
        PartGroup(hands, _by_name([one for one in pieces if one.of == hands[-1].title])) for hands in _by_name(wholes)
    )


def _by_name(parts: Sequence[Part]) -> tuple[tuple[Part, ...], ...]:
    names = dict.fromkeys(part.name for part in parts)
    return tuple(tuple(part for part in parts if part.name == name) for name in names)


class _SmallViews:
    """Small views of the boat in light grey, one part or several shown dark through all that hides them."""

    def __init__(self, bodies: Sequence[Body]) -> None:
        self._room = room_for(bodies, SLANT, width=SMALL_WIDTH, pixels=SMALL_PIXELS)
        self._ghost = shaded(_finished(bodies), self._room)
        self._bodies = {one.name: one for one in bodies}

    def of(self, group: PartGroup) -> Drawing | None:
        """Where a part sits; None where its place is not known."""
        shown = [self._bodies[title] for title in group.titles if title in self._bodies]
        if not shown:
            return None
        over = shaded([replace(one, tone=SHOWN) for one in shown], self._room)
        light = 255 - (GHOST * (255.0 - self._ghost.greys)).astype(np.uint8)
        greys = np.where(over.greys < 255, over.greys, light)
        where = Shading(greys, over.at, over.width, over.height)
        return Drawing(f"where {group.called} sits", f"place-{group.part.file_name}", (where,))


@dataclass(frozen=True, slots=True, eq=False)
class BoatPictures:
    """The boat as bodies of wood, and what is drawn of them."""

    bodies: tuple[Body, ...]  # of the finished boat
    whole: Drawing
    apart: Drawing
    stages: Mapping[Stage, Drawing]
    places: Mapping[str, Drawing]  # where a part sits, by what its group is called
    left_out: tuple[str, ...]  # titles of parts whose place is not known

    __repr__ = brief


def boat_pictures(job: Job) -> BoatPictures | None:
    """All pictures of a boat; None where the place of no part of it is known."""
    bodies = boat_bodies(job)
    finished = tuple(_finished(bodies))
    if not finished:
        return None
    views = _SmallViews(bodies)
    places = {group.called: views.of(group) for group in grouped(job.parts)}
    shown = {body.name for body in bodies} | {timber.of for timber in job.timbers}
    return BoatPictures(
        bodies=finished,
        whole=whole_picture(job.boat.name, finished),
        apart=apart_picture(job.boat.name, finished),
        stages=work_pictures(job, bodies),
        places={name: view for name, view in places.items() if view},
        left_out=tuple(part.title for part in job.parts if part.title not in shown),
    )
