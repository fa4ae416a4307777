"""Fastenings, glue and finish in the builder's units."""

from __future__ import annotations

from collections.abc import Iterator

from patterns.plates.words.buying_words import METRIC
from patterns.shop.fastening.finishing import FOOT2, GALLON, LITRE, POUND, YARD2, Amount
from patterns.shop.fastening.rules import FastenRules, FinishRules, rules
from patterns.shop.fastening.seam import Seam
from patterns.shop.fastening.sizes import Fastening
from patterns.shop.router.router_rules import RouterRules
from patterns.units.lengths import INCH, write_length

METRE2 = 1e6  # mm2
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
    return f"{mm2 / METRE2:.2f} m²" if show in METRIC else f"{mm2 / FOOT2:.1f} sq ft"


def amount_words(one: Amount, show: str) -> tuple[str, str]:
    """Net and gross, each a figure or a range."""
    return _range(one.net, one.unit, show), _range(one.gross, one.unit, show)


def size_words(one: Amount, show: str) -> str:
    """What an amount is reckoned on."""
    return area_words(one.size, show) if one.over == "area" else write_length(one.size, show)


def _range(ends: tuple[float, float], unit: str, show: str) -> str:
    metric = show in METRIC
    one, name = {
        "kg": (1.0, "kg") if metric else (POUND, "lb"),
        "mm3": (LITRE, "l") if metric else (GALLON, "US gal"),
        "mm2": (METRE2, "m²") if metric else (YARD2, "sq yd"),
        "mm": (1000.0, "m") if metric else (12 * INCH, "ft"),
    }[unit]
    low, high = (f"{end / one:.1f}" for end in ends)
    return f"{low} {name}" if low == high else f"{low} to {high} {name}"


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
    yield (
        "[router] pilot_spacing", write_length(router.pilot_spacing, show),
        "distance between fastenings along chines and ends", "common practice: 2 to 3 in",
    )  # fmt: skip
    yield (
        "[router] frame_spacing", write_length(router.frame_spacing, show),
        "distance between fastenings along frames", "common practice: 4 to 6 in",
    )  # fmt: skip
    yield (
        "[router] pilot_edge", write_length(router.pilot_edge, show),
        "distance of fastenings from the planed edge", "common practice: 3/8 in",
    )  # fmt: skip
    held = {
        "fastenings.length_times": f"{fasten.length_times:g}",
        "fastenings.short_of": write_length(fasten.short_of, show),
        "fastenings.sheer_spacing": write_length(fasten.sheer_spacing, show),
        "fastenings.spare": f"{fasten.spare:g}",
        "finish.glue_from": f"{finish.glue[0]:g}",
        "finish.glue_to": f"{finish.glue[1]:g}",
        "finish.coats": f"{finish.coats:g}",
        "finish.sealer": f"{finish.sealer:g}",
        "finish.paint_coats": f"{finish.paint_coats:g}",
        "finish.paint": f"{finish.paint:g}",
        "finish.waste_from": f"{finish.waste[0]:g}",
        "finish.waste_to": f"{finish.waste[1]:g}",
        "finish.epoxy_weight": f"{finish.epoxy_weight:g}",
    }
    for key, rule in rules().items():
        table, name = key.split(".")
        yield f"[{table}] {name}", held[key], rule.means, rule.source
