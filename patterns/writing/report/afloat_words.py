"""What is said of a boat's weight and of how she floats, in the terminal and in the book."""

from __future__ import annotations

from collections.abc import Iterator

import numpy as np

from patterns.parts.materials import NOT_STATED
from patterns.shop.afloat.floats import Afloat, Condition, Float
from patterns.shop.afloat.weights import HullWeight, Spread
from patterns.units.tape import about_length, about_step
from patterns.units.weights import write_weight

FOR_INFORMATION = (
    "For information only. These figures follow from the volume of the wood and from the outside of the planking, up "
    "to the sheer. They are no trial of the boat and no statement of what she may carry."
)
NOT_THESE = (
    "They do not say whether she is stable, how she heels when people move, or what she does in waves or full of "
    "water. How many people, what load and what motor she may carry is for the law where you use her and for a "
    "licensed designer.",
    "Not in the weight: fastenings, glue, paint, cloth and fittings. Write each as a [[load]].",
    "Not in the water: skeg, keel and stem outside the planking. They displace a little: she floats a little higher.",
    "She floats upright here: put loads so that they balance from side to side.",
    "Water comes in over the lowest edge. If a transom cut-out or another opening is lower than the sheer, measure "
    "from that opening.",
)


def spread_words(weight: Spread, show: str) -> str:
    """A weight, and from what to what it may be: 248 lb (225 to 271 lb)."""
    likely, least, most = (write_weight(kg, show) for kg in (weight.likely, weight.least, weight.most))
    return likely if least == most else f"{likely} ({least.rpartition(' ')[0]} to {most})"


def weight_words(hull: HullWeight, show: str) -> str:
    """What the bare hull weighs, in a sentence; or why that is not known."""
    if hull.known:
        return f"bare hull {spread_words(hull.total, show)}, without fastenings, glue, paint and fittings."
    return f"not known. {' '.join(one.cure for one in hull.no_density)}"


def float_words(condition: Condition, show: str) -> str:
    """How she floats, in a sentence."""
    rest = condition.likely
    if rest is None or condition.swamps:
        return f"{condition.name}: {swamp_words(condition, show)}"
    return (
        f"{condition.name}: draws {draft_words(condition, show)}, least freeboard {freeboard_words(condition, show)} "
        f"at {about_length(rest.least_at, show)} from FP, {trim_words(rest, show)}."
    )


def swamp_words(condition: Condition, show: str) -> str:
    """Why a boat fills that does."""
    weight = spread_words(condition.weight, show)
    under = [one for one in condition.floats if one is not None and one.swamps]
    if any(one is None for one in condition.floats):
        return f"SWAMPS. {weight} in all is more than she bears up to the sheer, or it stands her on end."
    where = max(under, key=lambda one: -one.freeboard)
    return (
        f"SWAMPS. With {weight} in all the sheer is {_under(-where.freeboard, show)} under water at "
        f"{about_length(where.least_at, show)} from FP."
    )


def _under(mm: float, show: str) -> str:
    step = about_step(show)
    return about_length(mm, show) if mm >= step / 2 else f"less than {about_length(step, show)}"


def draft_words(condition: Condition, show: str) -> str:
    return _between([one.draft for one in condition.floats if one], show)


def freeboard_words(condition: Condition, show: str) -> str:
    return _between([one.freeboard for one in condition.floats if one], show)


def _between(figures: list[float], show: str) -> str:
    """A figure at the likely weight of hull, or from what to what it may be."""
    low, high = (about_length(mm, show) for mm in (min(figures), max(figures)))
    return low if low == high else f"{low.removesuffix(f' {show}')} to {high}"


def trim_words(rest: Float, show: str) -> str:
    """How she trims, by what stem and stern sink or rise against each other."""
    if abs(rest.by_stern) < about_step(show) / 2:
        return "level"
    deep = "by the stern" if rest.by_stern > 0 else "by the bow"
    degrees = abs(np.degrees(rest.level.trim))
    return f"down {about_length(abs(rest.by_stern), show)} {deep} ({degrees:.1f}°)"


def told_in_short(boat: Afloat, show: str) -> Iterator[str]:
    """The weight, and how she floats with everything aboard."""
    if boat.hull.known:
        yield weight_words(boat.hull, show)
    else:
        lacking = (one.key if one.material == NOT_STATED else one.material for one in boat.hull.no_density)
        yield f"not known. Without a density: {', '.join(lacking)}. See the book."
    if boat.conditions and not boat.conditions[-1].swamps:
        yield float_words(boat.conditions[-1], show)
