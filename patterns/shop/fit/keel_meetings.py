"""Keel batten and keelson of a V bottom, held against the garboards and against each other."""

from __future__ import annotations

from collections.abc import Iterator
from itertools import pairwise

import numpy as np

from patterns.hull.planking.along_centre import off_center
from patterns.parts.long.v_keel import VKeel
from patterns.shop.fit.folded_panels import Panels, folded
from patterns.shop.fit.meetings import AFT, Held, Line, Meeting, PartLine, Seam, close, edge_line, marks_of, met, shared

BEVEL = "bevel line"
FORE = "its fore end"


def keel_meetings(boat: Panels) -> Iterator[Meeting]:
    """The lower edge along the garboards' keel edges, and where its sides stand on them; a keelson on its batten."""
    for keel in boat.job.keels:
        if keel.on_planking:
            yield from _on_garboards(boat, keel)
    for batten, keelson in pairwise(boat.job.keels):
        upper, lower = _held(batten, "upper", 0.0), _held(keelson, "lower", 0.0)
        yield met(upper, lower, shared(upper, lower), seam=Seam.LONG, way=AFT)


def _on_garboards(boat: Panels, keel: VKeel) -> Iterator[Meeting]:
    strake = boat.hull.floor
    panel = boat.of[strake.name]
    edge = PartLine(panel.name, panel.hand, strake.lower, f"{strake.lower} edge")
    line = folded(boat.hull, panel, edge_line(panel, strake.lower)).toward(AFT)
    seam, lower = Held(edge, FORE, line, marks_of(panel)), _held(keel, "lower", keel.ridge.half)
    yield met(seam, lower, shared(seam, lower), seam=Seam.LONG, way=AFT)
    if keel.bevelled:
        beside = _held(keel, BEVEL, keel.rules.sided / 2)
        of = PartLine(panel.name, panel.hand, f"line under the {keel.name}'s side")
        landed = Held(of, FORE, _under_side(boat, keel, beside.line), marks_of(panel))
        yield met(landed, beside, shared(landed, beside), seam=Seam.LONG, way=AFT)


def _under_side(boat: Panels, keel: VKeel, beside: Line) -> Line:
    """Where the inside of the bottom stands half its siding off the centre plane, from the one end of it to the other.

    Past its ends the bottom is only carried on, and no place of a panel lies there.
    """
    strake = boat.hull.floor
    panel, face = boat.of[strake.name], boat.hull.between_corners(strake)
    assert panel.flat is not None
    s, t = off_center(strake, face, keel.rules.sided / 2)
    x = strake.ruled.point(s, t, face.depth)[:, 0]
    along = (x > beside.bent[0, 0]) & (x < beside.bent[-1, 0])
    return folded(boat.hull, panel, panel.flat.point(s[along], t[along])).toward(AFT)


def _held(keel: VKeel, line: str, off: float) -> Held:
    """An edge of its pattern, or the line its lower edge is planed from, so far off the centre plane to starboard."""
    marked = line == BEVEL
    drawn = close(keel.part.mark(line).points if marked else edge_line(keel.part, line))
    space = np.stack([drawn[:, 0], np.full(len(drawn), off), drawn[:, 1]], axis=1)
    of = PartLine(keel.name, "none", line, "" if marked else f"{line} edge")
    return Held(of, FORE, Line(drawn, space).toward(AFT), marks_of(keel.part))
