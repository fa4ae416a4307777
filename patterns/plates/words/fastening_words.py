"""Fastenings, glue and finish in the builder's units."""

from __future__ import annotations

from collections.abc import Iterator
from math import floor, log10

from patterns.shop.fastening.finishing import LITRE, METRE2, Amount
from patterns.shop.fastening.rules import FastenRules, FinishRules, rules
from patterns.shop.fastening.seam import Seam
from patterns.shop.fastening.sizes import Fastening
from patterns.shop.router.router_rules import RouterRules
from patterns.units.lengths import INCH, write_length
from patterns.units.weights import FOOT2, GALLON, METRIC, OUNCE_A_YARD2, POUND

NOT_STRENGTH = (
    "These are counts and amounts, not strength. Where your plan names fastenings or glue, the plan wins: change the "
    "keys. Follow local codes and a licensed professional."
)


def fastening_words(one: Fastening, show: str) -> str:
    """``No 8 x 7/8"``, ``3.5 x 25 mm``; an inch boat's shank of the builder's own by its diameter."""
    if one.through:
        return f"rivet or bolt, right through {write_length(one.length, show)}"
    if show in METRIC:
        return f"{one.shank:.2g} x {one.length:.0f} mm"
    size = f"No {one.number}" if one.number is not None else f"{bore_words(one.shank, show)} shank"
    return f"{size} x {sold_words(one.length, show)}"


def sold_words(length: float, show: str) -> str:
    """The length of a fastening, as it is sold: in eighths of an inch, or the same in whole mm."""
    return f"{length:.0f} mm" if show in METRIC else write_length(length, "in-8ths")


def bore_words(diameter: float, show: str) -> str:
    """A diameter of a drill, to a 64th of an inch or a tenth of a millimetre."""
    if show in METRIC:
        return f"{diameter:.1f} mm"
    parts = max(1, round(diameter / INCH * 64))
    below = 64
    while parts % 2 == 0:
        parts, below = parts // 2, below // 2
    return f'{parts}/{below}"'


def pilot_words(one: Fastening, show: str) -> str:
    """Pilots for its thread, in soft and in hard wood."""
    soft, hard = (bore_words(mm, show) for mm in one.leads)
    return soft if soft == hard else f"{soft} soft, {hard} hard"


def area_words(mm2: float, show: str) -> str:
    """In square feet or square metres."""
    return f"{mm2 / METRE2:.2f} m²" if show in METRIC else f"{mm2 / METRE2 / FOOT2:.1f} sq ft"


def amount_words(one: Amount, show: str) -> tuple[str, str]:
    """Net and gross, each a figure or a range."""
    return _range(one.net, one.unit, show), _range(one.gross, one.unit, show)


def size_words(one: Amount, show: str) -> str:
    """What an amount is reckoned on."""
    return area_words(one.size, show) if one.over == "area" else write_length(one.size, show)


def what_words(one: Amount, show: str) -> str:
    """What it is: ``paint, 2 coats``, ``cloth of 6 oz a square yard``."""
    if one.coats is not None:
        return f"{one.what}, {one.coats} {'coat' if one.coats == 1 else 'coats'}"
    if one.grade is None:
        return one.what
    if show in METRIC:
        return f"{one.what} of {one.grade:.3g} g/m²"
    return f"{one.what} of {one.grade / OUNCE_A_YARD2:.3g} oz a square yard"


def _range(ends: tuple[float, float], unit: str, show: str) -> str:
    """Metric amounts to what can be mixed or bought: 10 g, 50 ml, from ten litres on a tenth of one."""
    high = max(ends)
    if show not in METRIC:
        one, name, step = {
            "kg": (POUND, "lb", 0.1),
            "mm3": (GALLON * LITRE, "US gal", 0.1),
            "mm2": (9 * FOOT2 * METRE2, "sq yd", 0.1),
            "mm": (12 * INCH, "ft", 0.1),
        }[unit]
    elif unit == "kg":
        one, name, step = (0.001, "g", 10.0) if high < 1 else (1.0, "kg", 0.01 if high < 10 else 0.1)
    elif unit == "mm3":
        one, name, step = (LITRE / 1000, "ml", 50.0) if high < LITRE else (LITRE, "l", 0.1)
    else:
        one, name, step = (METRE2, "m²", 0.1) if unit == "mm2" else (1000.0, "m", 0.1)
    digits = max(0, -floor(log10(step)))
    low, most = (f"{step * round(end / one / step):.{digits}f}" for end in ends)
    return f"{low} {name}" if low == most else f"{low} to {most} {name}"


def seam_cells(seam: Seam, count: int, show: str) -> tuple[str, ...]:
    """A row for a seam: along, into, length, apart, rows, count, fastening, pilot."""
    return (
        seam.along,
        seam.into,
        seam.how,
        write_length(seam.length, show),
        write_length(seam.spacing, show),
        str(seam.rows),
        str(count),
        fastening_words(seam.fastening, show),
        pilot_words(seam.fastening, show),
    )


SEAM_COLUMNS = ("along", "into", "how", "length", "at most apart", "rows", "count", "fastening", "pilot")


def rule_rows(fasten: FastenRules, finish: FinishRules, router: RouterRules, show: str) -> Iterator[tuple[str, ...]]:
    """Every rule that was counted by: its key, what holds, what it means and where its default comes from."""

    def usual(inches: str, metric: str) -> str:
        return f"common practice: {metric if show in METRIC else inches}"

    yield (
        "[router] pilot_spacing", write_length(router.pilot_spacing, show),
        "distance between fastenings along chines and ends", usual("2 to 3 in", "50 to 75 mm"),
    )  # fmt: skip
    yield (
        "[router] frame_spacing", write_length(router.frame_spacing, show),
        "distance between fastenings along frames", usual("4 to 6 in", "100 to 150 mm"),
    )  # fmt: skip
    yield (
        "[router] pilot_edge", write_length(router.pilot_edge, show),
        "distance of fastenings from the planed edge; in a thin transom they go in the middle of its thickness",
        usual("3/8 in", "10 mm"),
    )  # fmt: skip
    metric = show in METRIC

    def of(figure: float, inches: float) -> str:
        return f"{figure if metric else figure / inches:.3g}"

    pound = FOOT2 / POUND
    held = {
        "fastenings.length_times": f"{fasten.length_times:g}",
        "fastenings.short_of": write_length(fasten.short_of, show),
        "fastenings.sheer_spacing": write_length(fasten.sheer_spacing, show),
        "fastenings.spare": f"{fasten.spare:g}",
        "finish.glue_from": of(finish.glue[0], pound),
        "finish.glue_to": of(finish.glue[1], pound),
        "finish.coats": f"{finish.coats}",
        "finish.sealer": of(finish.sealer, pound),
        "finish.paint_coats": f"{finish.paint_coats}",
        "finish.paint": of(finish.paint, FOOT2 / GALLON),
        "finish.waste_from": f"{finish.waste[0]:g}",
        "finish.waste_to": f"{finish.waste[1]:g}",
        "finish.epoxy_weight": of(finish.epoxy_weight, POUND / GALLON),
    }
    for key, rule in rules(metric=metric).items():
        table, name = key.split(".")
        yield f"[{table}] {name}", held[key], rule.means, rule.source
