"""What the builder of a round hull is warned of, in his own units."""

from __future__ import annotations

from collections.abc import Iterator

import numpy as np

from patterns.hull.fairing_rules import HEIGHT
from patterns.hull.round.figures import rabbet_row
from patterns.hull.round.round_hull import FairedFigure, RoundHull
from patterns.hull.round.thin_spots import NextFigure, ThinSpot, next_figure, thin_spots
from patterns.parts.asked.rules import BoatLines
from patterns.parts.cautions import Caution, end_cautions
from patterns.units.lengths import INCH, unbroken, write_at_most, write_length

FEW = 3  # columns that are named; of more the first and the last
MOST_THIN = 6  # thin spots that are named one by one; a builder measures the worst first, and then runs fair again


def round_cautions(boat: BoatLines, hull: RoundHull) -> tuple[Caution, ...]:
    """Figures held back, limits that could not be kept, what was guessed, and where the table says too little."""
    return (
        *_held_back(boat, hull),
        *_beyond(boat, hull),
        *_set_aside(hull),
        *_guessed(hull),
        *_blank_keel(hull),
        *_thin(boat, hull),
        *end_cautions(boat),
    )


def _held_back(boat: BoatLines, hull: RoundHull) -> Iterator[Caution]:
    rows: dict[tuple[str, str], list[FairedFigure]] = {}
    for one in hull.figures:
        if one.held and one.limit > 0:
            rows.setdefault((one.line, one.view), []).append(one)
    for (line, view), every in rows.items():
        worst = max(every, key=lambda one: one.further)
        by = f"by up to {unbroken(write_at_most(worst.further, boat.show))}" if worst.further else "by less than shows"
        at = f", most at {worst.column}" if len(every) > 1 else ""
        text = (
            f"held back by its limit at {', '.join(one.column for one in every)}: without limits the surface that all "
            f"the lines agree on would go further, {by}{at}."
        )
        yield Caution(f"{line}, {view}s", text)


def _beyond(boat: BoatLines, hull: RoundHull) -> Iterator[Caution]:
    if not hull.within_limits:
        off = [one for one in hull.figures if not one.left_out and abs(one.moved) > one.limit]
        worst = max(off, key=lambda one: abs(one.moved) - one.limit, default=None)
        at = f", most at the {worst.line} {worst.view} at {worst.column}" if worst else ""
        yield Caution(
            "[boat] fair_within",
            f"no smooth surface keeps every figure within its limit: {len(off)} are moved further{at}. Lines "
            "that cross at nearly one place contradict each other. Give more room there, or look at those figures on "
            "the plan.",
        )


def _set_aside(hull: RoundHull) -> Iterator[Caution]:
    """Figures so far off that they are not heeded: each of them is named as a suspect too, where it is one."""
    named = {one.place for one in hull.suspects}
    for one in hull.figures:
        if one.left_out and np.isfinite(one.limit) and (one.line, one.view, one.column) not in named:
            text = "is not heeded: the surface that all other figures make has no place for it. Look at the plan again."
            yield Caution(f"{one.line} {one.view} at {one.column}", text)


def _guessed(hull: RoundHull) -> Iterator[Caution]:
    for column in hull.guessed:
        yield Caution(
            f"column '{column}'",
            f"has fewer than 3 figures of waterlines, buttocks and diagonals: the {column}'s shape between the sheer "
            "and the keel is guessed from the stations before it. Measure it on the plan, heights above base.",
        )


def _blank_keel(hull: RoundHull) -> Iterator[Caution]:
    """Stations between the ends of the keel's figures that have none: the surface runs smoothly through them."""
    row = rabbet_row(hull.offsets)
    if row is None:
        return
    given = np.flatnonzero(np.isfinite(row.values[1:-1])) + 1
    if not len(given):
        return
    blank = [k for k in range(int(given[0]), int(given[-1])) if np.isnan(row.values[k])]
    names = [hull.offsets.columns[k] for k in blank if hull.offsets.columns[k] not in hull.offsets.extras]
    if names:
        text = f"has no figure at {_listed(names)}: the rabbet is taken to run fair between the figures on either side."
        yield Caution(f"{row.name} heights", text)


def _thin(boat: BoatLines, hull: RoundHull) -> Iterator[Caution]:
    """The worst thin spots one by one, and how many more there are."""
    spots = thin_spots(hull, within=boat.fair_within)
    yield from (Caution(*thin_told(one, boat.show)) for one in spots[:MOST_THIN])
    if more := spots[MOST_THIN:]:
        places = "1 more place" if len(more) == 1 else f"{len(more)} more places"
        so_much = unbroken(write_at_most(more[0].most, boat.show))
        what = "is a guess" if more[0].guess else f"may be out by up to {so_much}"
        yield Caution(
            f"at {places}",
            f"the table says too little: the surface {what} there. lines.html, which scrieve fair writes, lists them.",
        )


def thin_told(one: ThinSpot, show: str) -> tuple[str, str]:
    """``between waterline 410 and the sheer at stations 1 and 2`` and what is to be said of it."""
    least, most = (unbroken(write_at_most(mm, show)) for mm in (one.least, one.most))
    so_much = most if least == most else f"{least} to {most}"
    place = f"between {_line(one.below)} and {_line(one.above)} at {_places(one.columns)}"
    if one.guess:
        return place, (
            "the table does not give the shape. The surface is a guess there, and the program cannot say how far it "
            "may be out. Measure one more waterline, buttock or diagonal there before you cut moulds."
        )
    return place, (
        f"the table says too little: the surface may be out by {so_much} there. "
        "One more waterline or a diagonal there would tell."
    )


def next_told(one: NextFigure, hull: RoundHull, show: str) -> str:
    """``Measure on the plan at station 2 the half-breadth at 500 mm above base: ...``"""
    at, now, after = (
        unbroken(text)
        for text in (write_length(one.at, show), write_at_most(one.now, show), write_at_most(one.after, show))
    )
    column = (
        one.column if one.column in (hull.offsets.columns[0], hull.offsets.columns[-1]) else f"station {one.column}"
    )
    the = "the " if column == one.column else ""
    if one.view == HEIGHT:
        what, row = f"the height {at} off the center line", f"'buttock {_level(one.at, show)}' among the heights"
    else:
        # A waterline of the table is named by its height from where the table's heights are measured.
        level = _level(hull.offsets.datum.given(one.at), show)
        what, row = f"the half-breadth {at} above base", f"'waterline {level}' among the half-breadths"
    if one.guess_after:
        gain = "the surface is a guess there now. It needs more figures still after that"
    elif one.guess:
        gain = f"the surface is a guess there now. It may be out by {after} after that"
    else:
        gain = f"the surface may be out there by {now} now, by {after} after that"
    return (
        f"Measure on the plan, at {the}{column}, {what}: {gain}. "
        f"Give the figure its own row in the table, {row}; its other cells may stay blank."
    )


def _level(mm: float, show: str) -> str:
    """``450 mm`` or ``17.5 in``, as a row of the table may be named."""
    return f"{mm:g} mm" if show in ("mm", "cm", "m") else f"{mm / INCH:g} in"


def worst_spot(boat: BoatLines, hull: RoundHull) -> str:
    """What to measure next; empty where the surface is sure enough all over."""
    best = next_figure(hull, within=boat.fair_within)
    return next_told(best, hull, boat.show) if best else ""


def _line(name: str) -> str:
    return f"the {name}" if name in ("sheer", "keel") or name.startswith("chine") else name


def _places(columns: tuple[str, ...]) -> str:
    stations = [one for one in columns if "transom" not in one]
    others = [f"the {one}" for one in columns if "transom" in one]
    word = [f"station{'s' if len(stations) > 1 else ''} {_listed(stations)}"] if stations else []
    return " and ".join([*word, *others])


def _listed(names: list[str]) -> str:
    if len(names) > FEW:
        return f"{names[0]} to {names[-1]}"
    return " and ".join(filter(None, (", ".join(names[:-1]), names[-1])))
