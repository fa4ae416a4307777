"""What is said of the boat as she stands: what is out, and what each frame would need."""

from __future__ import annotations

from collections.abc import Iterator

from patterns.parts.asked.built_rules import Measure
from patterns.shop.built.as_built import AsBuilt, Dressing, Out
from patterns.units.lengths import shown_step, write_length, write_size

OUT_COLUMNS = ("frame", "figure", "side", "planned", "measured", "out by", "beyond measuring")
DRESSING_COLUMNS = ("frame", "side", "edge", "at", "to the plan", "to the lines as built")


def figure_words(out: Out) -> str:
    """Which figure it is: ``half-breadth at the sheer``, ``from the zero``."""
    if out.figure.measure is Measure.FROM_ZERO:
        return "distance from the zero"
    return f"{out.figure.measure} at the {out.figure.line}"


def out_row(out: Out, show: str) -> tuple[str, ...]:
    """One figure, as `OUT_COLUMNS` name its cells."""
    by = write_length(abs(out.by), show)
    more = "" if by == write_length(0.0, show) else " too much" if out.by > 0 else " too little"
    return (
        out.frame,
        figure_words(out),
        out.figure.side,
        write_length(out.planned, show),
        write_length(out.figure.mm, show),
        f"{by}{more}",
        write_length(out.beyond, show),
    )


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
        amount = write_length(abs(by), show)
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


def told_of_built(built: AsBuilt, show: str) -> str:
    """How much is out, in a sentence."""
    within = write_size(built.asked.within, show)
    if not built.out:
        count = len(built.figures)
        return f"all {count} figures are within {within}, as near as you can measure. The lines stay as planned."
    frames = ", ".join(dict.fromkeys(one.frame for one in built.out))
    worst = max(built.out, key=lambda one: abs(one.by))
    side = f", {worst.figure.side}" if worst.figure.side else ""
    return (
        f"{len(built.out)} of {len(built.figures)} figures are out by more than {within}, as near as you can measure: "
        f"at {frames}. Most is {write_length(abs(worst.by), show)}: {worst.frame}, {figure_words(worst)}{side}. The "
        "lines run through the frames as they stand, and parts that are not cut yet are made to them."
    )
