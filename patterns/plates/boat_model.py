"""The boat as bodies of wood: shaded, pulled apart, and each part where it sits among the others."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import replace

import numpy as np

from patterns.drawing.marks import Drawing, Shading
from patterns.drawing.shaded import Body, View, room_for, shaded
from patterns.parts.in_the_boat import in_the_boat
from patterns.parts.part import Part
from patterns.parts.role import Role
from patterns.parts.whole import Job

COARSE = 0.4  # mm an outline may be off: less than a picture shows, and a tenth of the triangles
SLANT = View(turn=0.6, tip=0.45)  # rad; from ahead, from above, from port
WIDTH = 170.0  # mm
PIXELS = 900
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
}
_PULLED = {  # out, up and toward its own end, in breadths of the boat
    Role.TRANSOM: (0.0, 0.0, 0.45),
    Role.FRAMING: (0.0, 0.0, 0.25),
    Role.STEM: (0.0, 0.0, 0.3),
    Role.FALSE_STEM: (0.0, 0.0, 0.45),
    Role.LOG: (0.2, -0.1, 0.0),
    Role.INWALE: (0.2, 0.15, 0.0),
    Role.OUTWALE: (0.8, 0.1, 0.0),
    Role.RUB_RAIL: (0.8, 0.0, 0.0),
    Role.STRINGER: (0.2, 0.0, 0.0),
    Role.RISER: (0.0, 0.3, 0.0),
    Role.KEEL_BATTEN: (0.0, -0.2, 0.0),
    Role.KEELSON: (0.0, -0.2, 0.0),
    Role.SKEG: (0.0, -0.75, 0.0),
    Role.THWART: (0.0, 0.45, 0.0),
    Role.KNEE: (0.0, 0.55, 0.0),
    Role.BREASTHOOK: (0.0, 0.45, 0.0),
}
PANEL_OUT, PANEL_DOWN = 0.5, 0.5  # breadths: the sheer strake goes out, the lowest down, those between both


def boat_bodies(job: Job) -> tuple[Body, ...]:
    """Every part whose place is known, with its tone and the way it goes when the boat is pulled apart."""
    placed = in_the_boat(job, within=COARSE)
    points = np.concatenate([one.wood.points for one in placed])
    middle, breadth = float(np.ptp(points[:, 0]) / 2 + points[:, 0].min()), float(np.ptp(points[:, 1]))
    bodies = []
    for one in placed:
        out, up, end = _apart(job, one.part)
        aft = 1.0 if float(one.wood.middle[0]) > middle else -1.0
        side = {"port": -1.0, "starboard": 1.0, "none": 0.0}[one.part.hand]
        pulled = (breadth * end * aft, breadth * out * side, breadth * up)
        bodies.append(Body(one.wood, _TONES.get(one.part.role, OTHER), one.part.title, pulled))
    return tuple(bodies)


def _apart(job: Job, part: Part) -> tuple[float, float, float]:
    if part.role is not Role.PANEL:
        return _PULLED.get(part.role, (0.0, 0.0, 0.0))
    names = [strake.name for strake in job.hull.strakes]
    share = names.index(part.strake) / max(len(names) - 1, 1)
    return PANEL_OUT * (1 - 0.5 * share), -PANEL_DOWN * share, 0.0


def whole_picture(boat: str, bodies: Sequence[Body]) -> Drawing:
    """The finished boat at a slant."""
    return _picture(f"{boat}, shaded", "boat-shaded", bodies)


def apart_picture(boat: str, bodies: Sequence[Body]) -> Drawing:
    """The boat pulled apart, at the same slant."""
    return _picture(f"{boat}, pulled apart", "boat-pulled-apart", [one.pulled_out() for one in bodies])


def _picture(title: str, name: str, bodies: Sequence[Body]) -> Drawing:
    return Drawing(title, name, (shaded(bodies, room_for(bodies, SLANT, width=WIDTH, pixels=PIXELS)),))


class SmallViews:
    """Small views of the boat in light grey, one part or several shown dark through all that hides them."""

    def __init__(self, bodies: Sequence[Body]) -> None:
        self._room = room_for(bodies, SLANT, width=SMALL_WIDTH, pixels=SMALL_PIXELS)
        self._ghost = shaded(bodies, self._room)
        self._bodies = {one.name: one for one in bodies}

    def of(self, titles: Sequence[str], name: str) -> Drawing | None:
        """Where the parts of these titles sit; None where no place is known for any of them."""
        shown = [self._bodies[title] for title in titles if title in self._bodies]
        if not shown:
            return None
        over = shaded([replace(one, tone=SHOWN) for one in shown], self._room)
        light = 255 - (GHOST * (255.0 - self._ghost.greys)).astype(np.uint8)
        greys = np.where(over.greys < 255, over.greys, light)
        where = Shading(greys, over.at, over.width, over.height)
        return Drawing(f"where {name} sits", f"place-{name.replace(' ', '-').replace(',', '')}", (where,))
