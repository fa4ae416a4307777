"""Parts the program makes of hulls of known shape, and the edges and normals they should have. Lengths mm."""

from __future__ import annotations

from dataclasses import dataclass
from functools import cache

import numpy as np
from boats import ExactHull, Floats, exact_hulls, unit

from patterns.hull.build import Joint, Transom
from patterns.hull.planking.skin import plank
from patterns.parts.asked.end_rules import StemWork, TransomWork
from patterns.parts.asked.rules import Boat
from patterns.parts.ends.stem import cut_stem
from patterns.parts.ends.transom import cut_transom
from patterns.parts.frames.frame import frame_part, shape_frame
from patterns.parts.panels.panels import panels
from patterns.parts.part import Part
from patterns.parts.stands import FrameStand, stand_frame
from patterns.parts.whole import loft

HULLS = {hull.name: hull for hull in exact_hulls()}
LAPS = (Joint.LOWER_OVER, Joint.UPPER_OVER)


@dataclass(frozen=True, eq=False)
class Lofted:
    """A hull of known shape, and the parts the program made of it."""

    known: ExactHull
    boat: Boat
    parts: tuple[Part, ...]
    stands: tuple[FrameStand, ...]
    within: float  # mm

    def part(self, title: str) -> Part:
        return next(part for part in self.parts if part.title == title)

    def frames(self) -> list[tuple[Part, FrameStand]]:
        return [(self.part(f"frame {stand.place.name}"), stand) for stand in self.stands]

    @property
    def side(self) -> float:
        return self.boat.skin.planking[0].thickness

    @property
    def bottom(self) -> float:
        return self.boat.skin.planking[-1].thickness


@cache
def lofted(name: str, lines: str, laps: Joint) -> Lofted:
    known = HULLS[name]
    boat = known.boat(laps=laps)
    assert boat.frames is not None
    assert isinstance(boat.aft, Transom)
    if lines == "table":
        job = loft(boat)
        stands = tuple(stand_frame(job.hull, boat.frames, place) for place in boat.frames.places)
        return Lofted(known, boat, job.parts, stands, within=0.5)
    hull = plank(known.lines(), skin=boat.skin, fore=boat.fore, aft=boat.aft)  # type: ignore[arg-type]
    stands = tuple(stand_frame(hull, boat.frames, place) for place in boat.frames.places)
    parts = (
        *panels(hull, stands),
        *(frame_part(shape_frame(hull, boat.frames, stand)) for stand in stands),
        cut_transom(hull, boat.aft, TransomWork(), aft=True),
        *cut_stem(hull, boat.fore, StemWork(), aft=False),  # type: ignore[arg-type]
    )
    return Lofted(known, boat, parts, stands, within=0.05)


def down(known: ExactHull, points: Floats) -> Floats:
    """Outward normal of the bottom beside points."""
    step = 1e-3
    slopes = [(known.under(points + e) - known.under(points - e)) / (2 * step) for e in step * np.eye(3)]
    return -unit(np.stack(slopes, axis=-1))


def known_edge(boat: Lofted, name: str, face: str) -> Floats:
    """(n, 2) an edge of one face of the exact side, unrolled on the middle of its thickness."""
    known = boat.known
    depth = -boat.side if face == "inside" else 0.0
    middle = -boat.side / 2

    def down(points: Floats) -> Floats:
        """From points of the sheer, along the surface's straight lines to the lower edge of this face."""
        way = -known.side.ruling(points)
        over = boat.boat.skin.joints[0] is Joint.LOWER_OVER
        level = boat.bottom if over else 0.0
        reach = np.full(len(points), 450.0)
        for _ in range(7):
            height = known.under(points + reach[:, None] * way) - level
            ahead = known.under(points + (reach + 1e-3)[:, None] * way) - level
            reach = reach - height * 1e-3 / (ahead - height)
        return np.asarray(points + reach[:, None] * way)

    sheer = known.line("sheer")
    x = np.linspace(sheer.first - 500.0, sheer.last + 500.0, 1_501)
    top = sheer.point(x) + depth * known.side.normal(sheer.point(x))
    foot = down(top)
    if name in ("sheer", "chine"):
        points = top if name == "sheer" else foot
        kept = (known.past_end(points, aft=False) > 0) & (known.past_end(points, aft=True) < 0)
        first, last = int(kept.argmax()), len(kept) - 1 - int(kept[::-1].argmax())
        run = known.side.unrolled(points[first : last + 1], middle)
        run = np.concatenate(
            [
                known.side.unrolled(_cut(points, first - 1, known, aft=False), middle),
                run,
                known.side.unrolled(_cut(points, last, known, aft=True), middle),
            ]
        )
        return run if name == "chine" else run[::-1]
    aft = name == "transom"
    found = []
    for share in np.linspace(0.0, 1.0, 41):
        lane = top + share * (foot - top)
        past = known.past_end(lane, aft=aft)
        i = int((past > 0).argmax()) - 1
        found.append(_cut(lane, i, known, aft=aft)[0])
    run = known.side.unrolled(np.array(found), middle)
    return run[::-1] if aft else run


def _cut(points: Floats, i: int, known: ExactHull, *, aft: bool) -> Floats:
    past = known.past_end(points[i : i + 2], aft=aft)
    part = past[0] / (past[0] - past[1])
    return points[i : i + 1] + part * (points[i + 1 : i + 2] - points[i : i + 1])
