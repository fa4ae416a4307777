"""What is said of the boat as she stands: what is out, and what each frame would need."""

from __future__ import annotations

from collections.abc import Iterator

from patterns.parts.asked.built_rules import Measure
from patterns.plates.words.length_words import sentence
from patterns.shop.built.as_built import AsBuilt, Dressing, Out
from patterns.shop.built.changed import Changed
from patterns.units.lengths import SIZES_ALIKE, shown_step, write_at_most, write_length, write_size
from patterns.units.tape import tape_length, tape_step

OUT_COLUMNS = ("frame", "figure", "side", "planned", "measured", "out by", "beyond measuring")
DRESSING_COLUMNS = ("frame", "side", "edge", "at", "to the plan", "to the lines as built")


def figure_words(out: Out) -> str:
    """Which figure it is: ``half-breadth at the sheer``, ``from the zero``."""
    if out.figure.measure is Measure.FROM_ZERO:
        return "distance from the zero"
    return f"{out.figure.measure} at the {out.figure.line}"


def out_row(out: Out, show: str) -> tuple[str, ...]:
    """One figure, as `OUT_COLUMNS` name its cells."""
    return (
        out.frame,
        figure_words(out),
        out.figure.side,
        tape_length(out.planned, show),
        _as_read(out.figure.mm, show),
        f"{_by_tape(abs(out.by), show)}{' too much' if out.by > 0 else ' too little' if out.by < 0 else ''}",
        _by_tape(out.beyond, show),
    )


def _as_read(mm: float, show: str) -> str:
    """A measured figure as the tape has it, or finer where it was measured finer."""
    step = tape_step(show)
    return tape_length(mm, show) if abs(mm - step * round(mm / step)) < SIZES_ALIKE else write_length(mm, show)


def _by_tape(mm: float, show: str) -> str:
    """How far a figure is out, as a tape shows it, so that it agrees with the two figures it lies between."""
    step = tape_step(show)
    return tape_length(mm, show) if mm >= step / 2 or not mm else f"< {tape_length(step, show)}"


def dress_words(mm: float, show: str) -> str:
    """What a builder does to an edge: ``shave 1/4"``, ``shim 1/16"``, or nothing."""
    if abs(mm) < shown_step(show) / 2:
        return "0"
    return f"{'shave' if mm > 0 else 'shim'} {write_length(abs(mm), show)}"


def dressing_rows(one: Dressing, show: str) -> Iterator[tuple[str, ...]]:
    """An edge of a frame, a row for each of its ends, as `DRESSING_COLUMNS` name its cells."""
    for line, plan, built in zip(one.ends, one.to_plan, one.to_built, strict=True):
        yield one.frame, one.side, one.edge, line, dress_words(plan, show), dress_words(built, show)


def leaning(built: AsBuilt, show: str) -> Iterator[str]:
    """Frames whose two sides differ: no line that is alike on both sides runs through them."""
    sides: dict[tuple[str, str, Measure], dict[str, Out]] = {}
    for one in built.figures:
        key = one.frame, one.figure.line, one.figure.measure
        sides.setdefault(key, {})[one.figure.side] = one
    for (frame, line, measure), some in sides.items():
        if not {"port", "starboard"} <= some.keys():
            continue
        by = (some["port"].figure.mm - some["starboard"].figure.mm) / 2
        if abs(by) <= built.asked.within:
            continue
        amount = _by_tape(abs(by), show)
        more, less = ("port", "starboard") if by > 0 else ("starboard", "port")
        if measure is Measure.HALF_BREADTH:
            yield f"{frame}: at the {line} it stands {amount} too far to {more}."
        else:
            yield f"{frame}: at the {line} its {more} height is {amount} too much and its {less} height too little."


def one_sided(built: AsBuilt) -> Iterator[str]:
    """Figures measured on one side only, which the lines then take for both."""
    sides: dict[tuple[str, str], list[str]] = {}
    for one in built.figures:
        if one.figure.side:
            sides.setdefault((one.frame, figure_words(one)), []).append(one.figure.side)
    for (frame, figure), measured in sides.items():
        if len(measured) == 1:
            other = "starboard" if measured == ["port"] else "port"
            yield f"{frame}, {figure}: measured to {measured[0]} only. The lines take {other} to be the same."


def changed_words(one: Changed, times: int, within: float, show: str) -> str:
    """Which part it is, what of it differs most, and what to do with one that is cut.

    ``times``: how many times larger its differences are drawn. ``within``: mm, how near the builder measures.
    """
    by = write_at_most(one.by, show)
    hands = one.titles[0] + (" and starboard" if len(one.titles) > 1 else "")
    edge = one.edge if {"edge", "end"} & set(one.edge.split()) else f"{one.edge} edge"
    if one.part.as_cut:
        told = f"the part that is cut is {by} too {'large' if one.full else 'small'}"
        cure = " Plane it there." if one.full else " Cut it again, or dress the frames to the plan."
        cure = cure if one.by > within else " That is no more than you can measure: use it as it is."
    else:
        told, cure = f"the new part is {by} {'smaller' if one.full else 'larger'} than planned", ""
    drawn = f" Differences are drawn {times} times larger than the part." if times > 1 else ""
    return f"{sentence(hands)}: {told}, most at its {edge}, {one.face}.{cure}{drawn}"


def told_of_built(built: AsBuilt, show: str) -> str:
    """How much is out, in a sentence."""
    within = write_size(built.asked.within, show)
    if not built.out:
        count = len(built.figures)
        figures = "the one figure is" if count == 1 else f"all {count} figures are"
        return f"{figures} within {within}, as near as you can measure. The lines stay as planned."
    frames = ", ".join(dict.fromkeys(one.frame for one in built.out))
    worst = max(built.out, key=lambda one: abs(one.by))
    side = f", {worst.figure.side}" if worst.figure.side else ""
    verb = "is" if len(built.out) == 1 else "are"
    return (
        f"{len(built.out)} of {len(built.figures)} figures {verb} out by more than {within}, as near as you can "
        f"measure: at {frames}. Most is {_by_tape(abs(worst.by), show)}: {worst.frame}, {figure_words(worst)}{side}. "
        "The lines run through the frames as they stand, and parts that are not cut yet are made to them."
    )
