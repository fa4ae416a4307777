"""Where a line faired within its limits is still not fair, and how much more room it wants there."""

from __future__ import annotations

from collections.abc import Callable, Iterator
from dataclasses import dataclass
from enum import StrEnum

import numpy as np

from patterns.geometry.arrays import Floats
from patterns.geometry.battens import BattenFit
from patterns.geometry.cuts import Profile
from patterns.hull.bending_along import bend, turns
from patterns.hull.build import EndFace
from patterns.hull.fairing import FairedLine, FairedView
from patterns.hull.fairing_rules import HALF_BREADTH, HEIGHT
from patterns.hull.offsets import Offsets

JUMP = 2.0  # times the greatest change of bending in one bay that the line would have with room enough
SHOWS = 0.25  # mm a bay's change of bending throws the line off its chord; less is under half a pencil line
HALVINGS = 30
ROOMIEST = 64.0  # times its limit, beyond which no room is asked for


Sprung = Callable[[Floats], FairedView]
Judge = Callable[[FairedView, FairedView], bool]


class Fault(StrEnum):
    HOLLOW = "a hollow"
    JUMP = "a jump of bending"


@dataclass(frozen=True, slots=True)
class Unfair:
    """A place where a line within its limits bends as a batten with room enough would not."""

    line: str
    view: str
    column: str  # the offset that holds the batten
    what: Fault
    needs: float | None  # mm, the least room beyond its limit that would do; None where room there alone would not
    locked: bool = False  # whether it is a lock of the builder's that holds the batten, and no limit


@dataclass(frozen=True, slots=True)
class EndApart:
    """An end column and a profile that disagree on where a line ends."""

    line: str
    column: str
    where: str  # "head" or "foot" of the profile
    table: float  # mm, height
    profile: float  # mm


Views = tuple[tuple[str, str, FairedView], ...]
"""Each with the name of its line and its view."""


def views_of(lines: tuple[FairedLine, ...]) -> Views:
    return tuple(
        (one.name, *view) for one in lines for view in ((HEIGHT, one.height), (HALF_BREADTH, one.half_breadth))
    )


def unfair(views: Views) -> tuple[Unfair, ...]:
    """Every place where the limits keep a hollow or a jump of bending in a line."""
    return tuple(
        found
        for line, word, view in views
        if view.held and view.fit is not None
        for found in _unfair_view(line, word, view, view.fit)
    )


def _unfair_view(line: str, word: str, view: FairedView, fit: BattenFit) -> Iterator[Unfair]:
    limits = fit.limits
    names = tuple(column for column in view.columns if column not in view.left_out)
    locked = tuple(name for name, limit in zip(names, limits.tolist(), strict=True) if limit == 0)

    def sprung(room: Floats) -> FairedView:
        roomier = fit.within(limits + room)
        return FairedView(names, fit.sites, fit.given, roomier.faired, fit=roomier)

    most = ROOMIEST * float(limits.max())
    roomy = sprung(np.full(len(limits), most))
    holding = (*view.held, *locked)
    found = []
    for what, is_unfair in ((Fault.HOLLOW, _more_turns), (Fault.JUMP, _jumps_more)):
        if is_unfair(view, roomy):
            rooms = [(_least_room(sprung, names.index(name), most, roomy, is_unfair), name) for name in holding]
            enough = [(room, name) for room, name in rooms if room is not None]
            room, name = min(enough) if enough else (None, _hardest(view, roomy, holding))
            found.append(Unfair(line, word, name, what, room, name in locked))
    # A hollow may be gone with a hair more room while the jump that made it stays: the worse of the two is told.
    if found:
        yield max(found, key=lambda one: np.inf if one.needs is None else one.needs)


def _more_turns(view: FairedView, roomy: FairedView) -> bool:
    return len(turns(view)) > len(turns(roomy))


def _jumps_more(view: FairedView, roomy: FairedView) -> bool:
    jump, bay = _greatest_jump(view)
    calm, _ = _greatest_jump(roomy)
    return jump > JUMP * calm and (jump - calm) * bay**2 / 8 > SHOWS


def _greatest_jump(view: FairedView) -> tuple[float, float]:
    """The greatest change of bending from one station to the next, 1/mm, and that bay's length, mm."""
    changes = np.abs(np.diff(bend(view, view.from_fp)))
    worst = int(changes.argmax())
    return float(changes[worst]), float(np.diff(view.from_fp)[worst])


def _hardest(view: FairedView, roomy: FairedView, holding: tuple[str, ...]) -> str:
    """The offset held or locked that a batten with room enough would move furthest."""
    away = np.abs(roomy.batten.value(view.from_fp) - view.faired)
    return max(holding, key=lambda name: float(away[view.columns.index(name)]))


def _least_room(sprung: Sprung, place: int, most: float, roomy: FairedView, is_unfair: Judge) -> float | None:
    """mm beyond its limit from which one offset lets the line be fair, by halving; None where it alone cannot."""
    only = np.zeros(len(roomy.columns))
    only[place] = 1.0
    low, high = 0.0, most
    if is_unfair(sprung(high * only), roomy):
        return None
    for _ in range(HALVINGS):
        middle = (low + high) / 2
        low, high = (middle, high) if is_unfair(sprung(middle * only), roomy) else (low, middle)
    return high


def ends_apart(offsets: Offsets, *, fore: EndFace, aft: EndFace, within: float) -> Iterator[EndApart]:
    """Where the uppermost and lowest lines do not end at the head and foot of a profile, which runs between them."""
    for place, end in ((0, fore), (-1, aft)):
        points = Profile(end.profile).points
        met = [(offsets.lines[0], "head", float(points[0, 1]))]
        # A table of one line, as of a round hull's sheer and waterlines, does not say what runs to the foot.
        met += [(offsets.lines[-1], "foot", float(points[-1, 1]))] if len(offsets.lines) > 1 else []
        for line, where, height in met:
            given = float(offsets.height(line).values[place])
            if abs(given - height) > within:
                yield EndApart(line, offsets.columns[place], where, given, height)
