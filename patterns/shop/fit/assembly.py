"""The boat put together on paper: panels folded back from their flat patterns, held against what they meet."""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import replace

import numpy as np

from patterns.geometry.arrays import Floats
from patterns.hull.planking.strakes import Strake
from patterns.parts.frames.frame import frame_name
from patterns.parts.part import Part
from patterns.parts.stands import FrameStand
from patterns.parts.whole import Job
from patterns.shop.fit.end_meetings import end_meetings
from patterns.shop.fit.folded_panels import CENTRE, HANDS, HeldCorner, Panels
from patterns.shop.fit.keel_meetings import keel_meetings
from patterns.shop.fit.long_meetings import log_meetings, rail_meetings
from patterns.shop.fit.meetings import (
    AFT,
    DOWN,
    STARBOARD,
    Held,
    Meeting,
    PartLine,
    Seam,
    edge_line,
    lifted,
    met,
    shared,
)

RABBETED = (
    "In the rabbet of the {ends} each plank's end is square to its own faces, so the inside corners of both do not end "
    "in one place."
)


def assembled(job: Job) -> tuple[Meeting, ...]:
    """Every pair of edges that meet, seam by seam."""
    boat = Panels(job, {part.strake: part for part in job.parts if part.flat is not None})
    if job.hull.smooth or len(boat.of) < len(job.hull.strakes):
        return ()
    meetings = (
        *(_along(boat, corner) for corner in boat.corners.values()),
        *end_meetings(boat),
        *_frame_meetings(boat),
        *log_meetings(boat),
        *rail_meetings(boat),
        *keel_meetings(boat),
    )
    return tuple(sorted(meetings, key=lambda one: list(Seam).index(one.seam)))


def _along(boat: Panels, corner: HeldCorner) -> Meeting:
    """Two strakes along their inside corner.

    In a rabbet the end of each is square to its own faces: there the inside corners of both lie on one line, the one
    further aft than the other, and are not held together.
    """
    above, below = corner.on_above, corner.on_below
    square = boat.rabbeted_ends
    pairs = [pair for pair in shared(above, below) if pair[0] not in square]
    told = RABBETED.format(ends=" and ".join(square.values())) if square else ""
    return replace(met(above, below, pairs, seam=Seam.CHINE, way=AFT), told=told)


def _frame_meetings(boat: Panels) -> Iterator[Meeting]:
    for rules, stand in boat.job.stands:
        frame, mark = boat.job.part(frame_name(rules, stand)), stand.line
        for strake in boat.hull.strakes:
            if boat.hull.laps_below(strake):  # it touches frames at its upper edge alone
                continue
            on_panel = boat.across(strake, mark, boat.of[strake.name].mark(mark).points)
            along = _frame_floor if strake.athwart else _frame_side
            yield along(boat, strake, frame, stand, on_panel)


def _frame_side(boat: Panels, strake: Strake, frame: Part, stand: FrameStand, on_panel: Held) -> Meeting:
    """A frame's edge along a strake of the side, or along one half of a V bottom."""
    sign = 1.0 if stand.face.right[1] > 0 else -1.0
    floor = strake is boat.hull.floor
    # The corners themselves may have been notched away: they are marked.
    top, foot = _place(frame, strake.upper, sign), _place(frame, strake.lower, sign)
    edge = edge_line(frame, f"{strake.name} starboard")
    if floor:  # over a keel it runs on to the centre line, where no plank lies on it
        edge = edge[np.abs(edge[:, 0]) > np.abs(foot[0, 0])]
    girth = Held(
        PartLine(frame.name, "none", f"{strake.name} starboard", f"{strake.name} edge"),
        f"its {strake.upper} mark",
        lifted(stand.face, np.concatenate([foot, edge[(np.abs(edge[:, 0]) if floor else edge[:, 1]).argsort()], top])),
        {strake.upper: top, strake.lower: foot},
    )
    pairs = [(boat.upper(strake)[0], strake.upper), (boat.lower(strake)[0], strake.lower)]
    return met(on_panel, girth, pairs, seam=Seam.FRAME_BOTTOMS if floor else Seam.FRAME_SIDES, way=DOWN)


def _frame_floor(boat: Panels, strake: Strake, frame: Part, stand: FrameStand, on_panel: Held) -> Meeting:
    """A frame's edge along a strake athwart, from corner to corner."""
    line, sign = strake.upper, 1.0 if stand.face.right[1] > 0 else -1.0
    corner, other = _place(frame, line, sign), _place(frame, line, -sign)
    floor = np.concatenate([edge_line(frame, strake.name), corner, other])
    beneath = Held(
        PartLine(frame.name, "none", strake.name, f"{strake.name} edge"),
        f"its port {line} mark",
        lifted(stand.face, floor[floor[:, 0].argsort()]),
        {f"{line}, port": other, f"{line}, starboard": corner, CENTRE: frame.mark(CENTRE).points},
    )
    pairs = [(inside, f"{line}, {hand}") for inside, hand in zip(boat.insides(strake), HANDS, strict=True)]
    return met(on_panel, beneath, [*pairs, (CENTRE, CENTRE)], seam=Seam.FRAME_BOTTOMS, way=STARBOARD)


def _place(part: Part, word: str, sign: float) -> Floats:
    """(1, 2) mm, where a frame's mark of a line stands on one side of its drawing, or on its centre line."""
    return next(mark.points[:1] for mark in part.marks_of(word) if mark.points[0, 0] * sign >= 0)
