"""The boat put together on paper: panels folded back from their flat patterns, held against what they meet."""

from __future__ import annotations

from collections.abc import Iterator, Sequence

import numpy as np

from patterns.geometry.arrays import Floats
from patterns.parts.frames.frame import frame_name
from patterns.parts.part import Part
from patterns.parts.stands import FrameStand, stand_frame
from patterns.parts.whole import Job
from patterns.shop.fit.end_meetings import end_meetings
from patterns.shop.fit.folded_panels import CENTRE, INSIDE_OF_SIDE, SHEER, Panels
from patterns.shop.fit.long_meetings import log_meetings, rail_meetings
from patterns.shop.fit.meetings import (
    AFT,
    DOWN,
    STARBOARD,
    Held,
    Meeting,
    Seam,
    edge_line,
    lifted,
    mark_of,
    met,
    shared,
)


def assembled(job: Job) -> tuple[Meeting, ...]:
    """Every pair of edges that meet, seam by seam."""
    panels = {part.name: part for part in job.parts if part.flat is not None}
    side, bottom = panels.get("side panel"), panels.get("bottom panel")
    if side is None or bottom is None:
        return ()
    boat = Panels(job, side, bottom)
    corner = boat.corner
    meetings = (
        met(corner.on_side, corner.on_bottom, shared(corner.on_side, corner.on_bottom), seam=Seam.CHINE, way=AFT),
        *end_meetings(boat),
        *_frame_meetings(boat, _stands(job)),
        *log_meetings(job, corner),
        *rail_meetings(job, side, bottom),
    )
    return tuple(sorted(meetings, key=lambda one: list(Seam).index(one.seam)))


def _stands(job: Job) -> list[tuple[str, FrameStand]]:
    rules = job.boat.frames
    places = rules.places if rules else ()
    stands = [(rules.at(place), stand_frame(job.hull, rules.at(place), place)) for place in places] if rules else []
    return [(frame_name(own, stand), stand) for own, stand in stands]


def _frame_meetings(boat: Panels, stands: Sequence[tuple[str, FrameStand]]) -> Iterator[Meeting]:
    parts = {part.name: part for part in boat.job.parts}
    for name, stand in stands:
        part, mark = parts[name], f"frame {stand.place.name}"
        sign = 1.0 if stand.face.right[1] > 0 else -1.0
        # The corners themselves may have been notched away: they are marked.
        sheer, chine, other = _place(part, "sheer", sign), _place(part, "chine", sign), _place(part, "chine", -sign)
        edge = edge_line(part, "side starboard")
        girth = Held(
            f"{name}: side starboard",
            "its sheer mark",
            lifted(stand.face, np.concatenate([chine, edge[edge[:, 1].argsort()], sheer])),
            {"sheer": sheer, "chine": chine},
        )
        on_side = boat.across_side(mark, mark_of(boat.side, mark))
        pairs = [(SHEER, "sheer"), (boat.at_chine[0], "chine")]
        yield met(on_side, girth, pairs, seam=Seam.FRAME_SIDES, way=DOWN)
        floor = np.concatenate([edge_line(part, "bottom"), chine, other])
        beneath = Held(
            f"{name}: bottom",
            "its port chine mark",
            lifted(stand.face, floor[floor[:, 0].argsort()]),
            {"chine, port": other, "chine, starboard": chine, CENTRE: mark_of(part, CENTRE)},
        )
        pairs = [(inside, f"chine, {inside.split()[-1]}") for inside in INSIDE_OF_SIDE]
        on_bottom = boat.across_bottom(mark, mark_of(boat.bottom, mark))
        yield met(on_bottom, beneath, [*pairs, (CENTRE, CENTRE)], seam=Seam.FRAME_BOTTOMS, way=STARBOARD)


def _place(part: Part, word: str, sign: float) -> Floats:
    """(1, 2) mm, where a frame's mark of a line stands on one side of its drawing."""
    return next(mark.points[:1] for mark in part.marks if mark.name == word and mark.points[0, 0] * sign > 0)
