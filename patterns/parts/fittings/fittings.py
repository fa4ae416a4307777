"""Every fitted piece the builder asks for."""

from __future__ import annotations

from collections.abc import Iterator, Sequence

from patterns.hull.build import Stem, Transom
from patterns.hull.planking.skin import Hull
from patterns.parts.asked.fitting_rules import FittingsAsked
from patterns.parts.asked.long_rules import LongRules
from patterns.parts.fittings.knees import cut_breasthook, quarter_knees
from patterns.parts.fittings.thwarts import cut_thwart, thwart_knees
from patterns.parts.part import Part
from patterns.parts.stands import FrameStand


def fittings(
    hull: Hull, asked: FittingsAsked, frames: Sequence[FrameStand], *, inwale: LongRules | None, show: str
) -> tuple[Part, ...]:
    """Thwarts, knees and breasthook as asked.

    Raises
    ------
    ShapeError
        A piece the boat has no room for, by name.
    """
    return tuple(_fittings(hull, asked, frames, inwale.sided if inwale else 0.0, show))


def _fittings(
    hull: Hull, asked: FittingsAsked, frames: Sequence[FrameStand], inwale: float, show: str
) -> Iterator[Part]:
    for thwart in asked.thwarts:
        yield cut_thwart(hull, thwart, frames, show=show)
        if asked.thwart_knee:
            yield from thwart_knees(hull, asked.thwart_knee, thwart)
    for end, aft in ((hull.fore, False), (hull.aft, True)):
        if asked.breasthook and isinstance(end, Stem):
            yield cut_breasthook(hull, asked.breasthook, inwale=inwale, show=show, aft=aft)
    if asked.quarter_knee:
        for end, aft in ((hull.fore, False), (hull.aft, True)):
            if isinstance(end, Transom):
                yield from quarter_knees(hull, asked.quarter_knee, inwale=inwale, aft=aft)
