"""Where the figures of a line show that it turns at once, or runs from straight into a curve, and nobody has said so.

Both views of a line are looked at together: a knuckle shows in one of them, or in both. Nothing is fitted so unasked.
"""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass
from math import fsum

import numpy as np

from patterns.geometry.knuckle_odds import PRIOR_ODDS, Read, Reading, readings
from patterns.hull.fairing import FairedLine, FairedView
from patterns.hull.fairing_rules import SAME_PLACE, KnuckleKind

TOLD = 3.0  # log odds from which a knuckle is told: 20 to 1
KINDS = {
    Reading.TURN: KnuckleKind.ANGLE,
    Reading.TURN_BETWEEN: KnuckleKind.ANGLE,
    Reading.JUMP: KnuckleKind.INTO_CURVE,
}


@dataclass(frozen=True, slots=True)
class KnuckleDoubt:
    """A knuckle that a line's figures show."""

    line: str
    columns: tuple[str, ...]  # the station it is at, or the two it is between
    from_fp: float  # mm
    kind: KnuckleKind
    odds: float  # log odds
    turn: float  # rad, between the line's directions before and after an angle; 0 for a straight that begins to curve


@dataclass(frozen=True, slots=True)
class _Seen:
    """A reading of one view, with the columns it lies at or between."""

    read: Read
    columns: tuple[str, ...]
    gain: float  # log likelihood by which it betters the row
    places: int  # how many of its kind were tried in the row


def turn_at(view: FairedView, at: float) -> float | None:
    """rad, by how much a view turns at a declared angle, up or outward positive; None where it has none there."""
    if all(abs(one.at - at) > SAME_PLACE or one.power != 1 for one in view.batten.breaks):
        return None
    before, after = np.arctan(view.batten.slope(at + np.array([-1.0, 1.0]) * SAME_PLACE)).tolist()
    return float(after - before)


def knuckle_doubts(lines: tuple[FairedLine, ...]) -> Iterator[KnuckleDoubt]:
    """The likeliest knuckle of each line that shows one."""
    for line in lines:
        doubt = _likeliest(line)
        if doubt is not None and doubt.odds >= TOLD:
            yield doubt


def _likeliest(line: FairedLine) -> KnuckleDoubt | None:
    views = [seen for view in (line.height, line.half_breadth) if (seen := _seen(view))]
    found = [
        _together(line.name, [one, *_alike(one, views[:number] + views[number + 1 :])])
        for number, seen in enumerate(views)
        # A row that something else explains better shows no knuckle: one figure out of its place, mostly.
        if (one := max(seen, key=lambda one: one.read.odds)).read.what is not Reading.SLIP
    ]
    return max(found, key=lambda one: one.odds, default=None)


def _seen(view: FairedView) -> list[_Seen]:
    if view.fit is None or view.fit.row is None:
        return []
    columns = [column for column in view.columns if column not in view.left_out]
    every = readings(view.fit.row)
    kinds = [read.what for read in every]
    return [
        _Seen(
            read,
            tuple(columns[read.figure : read.figure + (2 if read.what is Reading.TURN_BETWEEN else 1)]),
            read.odds - PRIOR_ODDS[read.what] + float(np.log(kinds.count(read.what))),
            kinds.count(read.what),
        )
        for read in every
    ]


def _alike(one: _Seen, others: list[list[_Seen]]) -> Iterator[_Seen]:
    """The same reading of the line's other view, where that has one."""
    for view in others:
        for other in view:
            if other.read.what is one.read.what and abs(other.read.at - one.read.at) < SAME_PLACE:
                yield other


def _together(line: str, seen: list[_Seen]) -> KnuckleDoubt:
    """One reading by all views that can have it: in any one of them, or in all, each held to be as common."""
    first = seen[0]
    ways = [one.gain for one in seen]
    ways += [fsum(ways)] if len(seen) > 1 else []
    prior = PRIOR_ODDS[first.read.what] - np.log(max(one.places for one in seen))
    odds = float(np.logaddexp.reduce(ways) - np.log(len(ways)) + prior)
    turn = float(np.arctan(np.hypot.reduce([one.read.size for one in seen if one.gain > 0.0] or [0.0])))
    kind = KINDS[first.read.what]
    at = first.read.at
    return KnuckleDoubt(line, first.columns, at, kind, odds, turn if kind is KnuckleKind.ANGLE else 0.0)
