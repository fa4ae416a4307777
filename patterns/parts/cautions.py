"""What the builder is warned of, in his own units."""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass

import numpy as np

from patterns.hull.bands import HardTurn, hard_turns
from patterns.hull.build import Closing, LinesTo, TransomFace, closing_of, end_cut, end_word
from patterns.hull.doubts.judged_rows import FROM_FP, Suspect
from patterns.hull.doubts.row_doubts import row_doubts
from patterns.hull.doubts.suspect_wording import row_told, told, where
from patterns.hull.doubts.suspects import ACCUSED, ranked
from patterns.hull.fairing import FairedLine
from patterns.hull.fairing_rules import KnuckleKind
from patterns.hull.fairness import Unfair, Views, ends_apart, unfair, views_of
from patterns.hull.knuckles import KnuckleDoubt, knuckle_doubts
from patterns.hull.planking.lay_strakes import ONE_POINT
from patterns.parts.asked.rules import BoatLines
from patterns.units.datums import BASE
from patterns.units.lengths import INCH, unbroken, write_at_most, write_length
from patterns.units.notations import notation_for, write_offset

MOST_ODDS = 1000.0  # to 1; surer than that, no builder is helped by the figure
SAME = 1.0  # mm; as near as a plan is scaled, half a siding is the same
MOST_ROOM = INCH / 4  # mm; who must move a point further suspects a misprint. Common practice, no single source


@dataclass(frozen=True, slots=True)
class Caution:
    where: str
    text: str


def row_cautions(boat: BoatLines) -> Iterator[Caution]:
    """Rows that cannot both be right."""
    return (Caution(f"{one.second[0]}, {one.second[1]}s", row_told(one)) for one in row_doubts(boat.offsets))


def profile_cautions(boat: BoatLines, *, aft: bool) -> Iterator[Caution]:
    """Points of an end's profile that are taken as corners, with a batten on either side of each."""
    end = boat.aft if aft else boat.fore
    for height in end_cut(end, aft=aft).corners:
        yield Caution(
            f"[{end_word(end, aft=aft).replace(' ', '_')}] profile",
            f"turns sharply at {write_length(height, boat.show)} above base, much more than at the points beside it. "
            "The program takes that point as a corner, with a fair curve on each side of it. Check the point on the "
            "plan.",
        )


def fairing_cautions(boat: BoatLines, lines: tuple[FairedLine, ...]) -> tuple[Caution, ...]:
    """Lines held back or left unfair by their limits, knuckles not declared, end columns that contradict profiles."""
    views = views_of(lines)
    return (*_held_back(boat, views), *_unfair(boat, views), *_knuckles(boat, lines), *end_cautions(boat))


def siding_cautions(
    boat: BoatLines, lines: tuple[FairedLine, ...], sided: tuple[float | None, float | None]
) -> Iterator[Caution]:
    """Lines that end on a stem so far from the centre line that its siding leaves the planking nothing to land on.

    ``sided`` is that of stem and sternpost, mm, where it is known. Where the lines run to the outside of the planking,
    the caution says that the planking's thickness, not yet known, comes off first.
    """
    for end, mm, column, aft in zip((boat.fore, boat.aft), sided, (0, -1), (False, True), strict=True):
        if mm is None or isinstance(end, TransomFace):
            continue
        widest = max(lines, key=lambda line: float(line.half_breadth.faired[column]))
        half = float(widest.half_breadth.faired[column])
        over = half - mm / 2
        outside = boat.lines_to is LinesTo.OUTSIDE
        if over < (SAME if outside else 0.0):
            continue
        name, show = end_word(end, aft=aft), boat.show
        thin = f" where it is {write_length(over, show)} thick or less" if outside else ""
        yield Caution(
            f"[{name}] sided",
            f"half of {write_length(mm, show)} is {write_length(mm / 2, show)}, but the {widest.name} ends "
            f"{write_length(half, show)} off the center line on the {name}'s face, at the {boat.lines_to}. The "
            f"planking has nothing to land on{thin}, and scrieve loft will refuse it. Make the {name} wider, or "
            f"look at column '{name}' of the half-breadths.",
        )


def point_cautions(boat: BoatLines, lines: tuple[FairedLine, ...]) -> Iterator[Caution]:
    """V bottoms that do not begin in a point on a stem: their lowest chine ends further out than the keel."""
    if closing_of(boat.offsets.lines) is not Closing.KEEL or len(lines) < 3:
        return
    chine, keel, show = lines[-2], lines[-1], boat.show
    for end, column, aft in ((boat.fore, 0, False), (boat.aft, -1, True)):
        out, half = (float(line.half_breadth.faired[column]) for line in (chine, keel))
        if isinstance(end, TransomFace) or abs(out - half) <= ONE_POINT:
            continue
        name = end_word(end, aft=aft)
        yield Caution(
            f"{chine.name} half-breadth at {name}",
            f"is {write_length(out, show)}, and the {keel.name}'s {write_length(half, show)}. A V bottom begins in a "
            f"point on the {name}, so scrieve loft will refuse it. Give the {chine.name} {write_length(half, show)} "
            f"there, or the {keel.name} a row of half-breadths with half its siding.",
        )


def _held_back(boat: BoatLines, views: Views) -> Iterator[Caution]:
    """Lines the batten would have moved further than it may, and the offset of each that suits the others least."""
    doubtful: tuple[Suspect, ...] = ()
    for line, word, view in views:
        if not view.held:
            continue
        doubtful = doubtful or ranked(boat.offsets, fore=boat.fore, aft=boat.aft)
        # A station that stands wrong puts every line out there.
        astray = (one for one in doubtful if one.line == FROM_FP)
        own = (one for one in doubtful if (one.line, one.view) == (line, word))
        # A figure that no row accuses is not blamed here either.
        accused = [one for one in (*astray, *own) if one.odds >= ACCUSED]
        worst = max(accused, key=lambda one: one.odds, default=None)
        first = f" Look first at {where(worst)}: {told(worst, boat.offsets, boat.show)}" if worst else ""
        text = f"held back by fair_within at {', '.join(view.held)}: a batten would go further.{first}"
        yield Caution(f"{line}, {word}s", text)


def _unfair(boat: BoatLines, views: Views) -> Iterator[Caution]:
    for one in unfair(views):
        yield Caution(f"{one.line}, {one.view}s", unfair_told(one, boat.show))


def unfair_told(one: Unfair, show: str) -> str:
    """``the limit at 3 leaves a hollow that a batten would not show: 3/16" more room there would do``"""
    holds = "lock" if one.locked else "limit"
    told = f"the {holds} at {one.column} leaves {one.what} that a batten with room enough would not have"
    if one.needs is None:
        return f"{told}; more room there alone would not do"
    room = write_at_most(one.needs, show)
    if one.locked:
        return f"{told}; with room there instead of the lock it would take {room}: look at the plan again"
    if one.needs > MOST_ROOM:
        return f"{told}; it would take {room} more there, which is no fairing: look at the plan again"
    return f"{told}; {room} more room there would do"


def _knuckles(boat: BoatLines, lines: tuple[FairedLine, ...]) -> Iterator[Caution]:
    for one in knuckle_doubts(lines):
        yield Caution(one.line, knuckle_told(one, boat.show))


def knuckle_told(one: KnuckleDoubt, show: str) -> str:
    """``turns by 8° at 5 (odds 20 to 1). If that is meant, write [[knuckle]] ... Otherwise ...``"""
    at_station = len(one.columns) == 1
    place = one.columns[0] if at_station else write_length(one.from_fp, show)
    where = f"at {place}" if at_station else f"between {' and '.join(one.columns)}, {unbroken(place)} from FP,"
    what = (
        f"turns by {np.degrees(one.turn):.0f}°" if one.kind is KnuckleKind.ANGLE else "runs from straight into a curve"
    )
    odds = f"{min(float(np.exp(one.odds)), MOST_ODDS):.0f}"
    odds = f"odds {odds} to 1" if one.odds < np.log(MOST_ODDS) else f"odds above {MOST_ODDS:.0f} to 1"
    distance = f"{one.from_fp:.0f} mm" if show in ("mm", "cm", "m") else f"{one.from_fp / INCH:.2f} in"
    written = place if at_station else distance
    key = f'[[knuckle]] with line = "{one.line}", at = "{written}" and kind = "{one.kind}"'
    return (
        f"the {one.line} {what} {where} ({odds}). It is faired as if it did not. If that is meant, write {key} in "
        f"boat.toml. If not, look at the figures {'there' if at_station else 'on either side'} on the plan again."
    )


def hard_turn_cautions(lines: tuple[FairedLine, ...]) -> Iterator[Caution]:
    """Ends where a line turns harder than the table can show."""
    return (Caution(*hard_turn_told(one)) for one in hard_turns(lines))


def hard_turn_told(one: HardTurn) -> tuple[str, str]:
    """Where a line turns hard, and what to do."""
    side = "before" if one.is_fore else "beyond"
    text = (
        f"turns hard {side} station {one.station}, and may be out there by more than the program says: "
        f"measure one more figure on the plan between the {one.end} and station {one.station}"
    )
    return f"{one.line}, {one.view}s", text


def end_cautions(boat: BoatLines) -> Iterator[Caution]:
    """End columns and profiles that disagree on where a line ends."""
    notation = boat.offsets.notation or notation_for(boat.offsets.rounding)
    for one in ends_apart(boat.offsets, fore=boat.fore, aft=boat.aft, within=boat.fair_within):
        datum = boat.offsets.datum
        table, profile, measured = (
            write_offset(mm, notation) for mm in (datum.given(one.table), one.profile, datum.given(one.profile))
        )
        aside = "" if datum == BASE else f" above base, which the table would have as {measured}"
        text = (
            f"the table has {table}, the {one.where} of the {one.column}'s profile is at {profile}{aside}: the profile "
            f"runs between the ends of the uppermost and the lowest line, so one of the two is wrong or not meant so"
        )
        yield Caution(f"{one.line} height at {one.column}", text)
