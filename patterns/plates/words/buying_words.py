"""Boards, wood and money in words, for whoever tells what to buy."""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from math import fsum

from patterns.parts.materials import NOT_STATED, Plywood, material_words
from patterns.parts.part import Part
from patterns.shop.nest.sheet_pictures import sheet_kind
from patterns.shop.nest.sheets import FilledSheet
from patterns.shop.stock.buying import BoughtBoard, BuyingPlan, WoodTotal
from patterns.shop.stock.cut_list import board_pieces
from patterns.shop.stock.yard import BOARD_FOOT, CUBIC_METRE, YardBoard
from patterns.units.lengths import INCH, write_length

METRIC = ("mm", "cm", "m")


def volume_unit(show: str) -> str:
    """What wood is counted in where lengths are shown so."""
    return "m³" if show in METRIC else "board feet"


def volume_words(mm3: float, show: str) -> str:
    """A volume of wood in that unit, without it."""
    return f"{mm3 / CUBIC_METRE:.4f}" if show in METRIC else f"{mm3 / BOARD_FOOT:.1f}"


def board_words(board: YardBoard, show: str) -> str:
    """A board as it is asked for at the yard: thick, wide, long, wood."""
    sizes = (board.thickness, board.width, board.length)
    return f"{' x '.join(write_length(mm, show) for mm in sizes)} {board.material}"


def money_words(amount: float | None, currency: str) -> str:
    """An amount with its sign; nothing where there is no price."""
    if amount is None:
        return ""
    between = " " if currency and currency[-1].isalpha() else ""
    return f"{currency}{between}{amount:.2f}"


def board_title(one: BoughtBoard, show: str) -> str:
    """What a board is and how well it is used, in a line."""
    return f"board {one.number}: {board_words(one.board, show)}, {100 * one.used:.0f} % becomes blanks"


def total_words(total: WoodTotal, show: str, currency: str) -> str:
    """Net, gross and waste of one wood."""
    unit = volume_unit(show)
    cost = f", {money_words(total.cost, currency)}" if total.cost is not None else ""
    return (
        f"{total.material.capitalize()}: {volume_words(total.net, show)} {unit} net, "
        f"{volume_words(total.gross, show)} {unit} to buy{cost}. "
        f"{100 * total.waste:.0f} % of what you buy becomes no part."
    )


def numbers_words(numbers: Sequence[int], one: str) -> str:
    """``boards 1, 2``, or ``board 1``."""
    return f"{one}{'s' if len(numbers) > 1 else ''} {', '.join(map(str, numbers))}"


def sheet_kinds(sheets: Sequence[FilledSheet], show: str) -> dict[str, list[FilledSheet]]:
    """Sheets of one size, thickness and material together, by what they are called."""
    kinds: dict[str, list[FilledSheet]] = {}
    for sheet in sheets:
        kinds.setdefault(sheet_kind(sheet, show), []).append(sheet)
    return kinds


def sheets_cost(sheets: Sequence[FilledSheet]) -> float | None:
    """Of sheets to be bought; None where one has no price or there are none."""
    prices = [sheet.stock.price for sheet in sheets]
    return fsum(price or 0.0 for price in prices) if prices and None not in prices else None


def missing_words(plan: BuyingPlan, *, unstated: bool = True) -> Iterator[str]:
    """What no board of the yard makes, by the reason, each a sentence.

    ``unstated``: whether parts are told whose material is not stated.
    """
    by_why: dict[tuple[str, str], list[str]] = {}
    for one in plan.missing:
        if one.material == NOT_STATED and not unstated:
            continue
        by_why.setdefault((one.material, one.why), []).append(one.title)
    for (material, why), titles in by_why.items():
        # Where no material is stated, the reason says it.
        of = "" if material == NOT_STATED else f" ({material_words(material)})"
        yield f"{', '.join(titles)}{of}: {why}."


def unused_words(plan: BuyingPlan) -> Iterator[str]:
    """Woods of the yard that nothing is bought of because no part is made of them, in one sentence."""
    if plan.unused:
        yield f"The yard also has {', '.join(plan.unused)}: no part that comes from boards is of that wood."


def on_hand_words(plan: BuyingPlan, show: str) -> Iterator[str]:
    """What each of the builder's own boards is kept for, each a sentence."""
    kept: dict[int, list[str]] = {}
    for one in plan.on_hand:
        if one.on_hand:
            lengths = ", ".join(write_length(length, show) for length in one.on_hand.lengths)
            scarfed = f" (lengths to scarf: {lengths})" if lengths else ""
            kept.setdefault(one.on_hand.board, []).append(f"{one.title}{scarfed}")
    for board, titles in sorted(kept.items()):
        yield f"Your board {board}: {'; '.join(titles)}."


def rules_words(plan: BuyingPlan, show: str) -> Iterator[str]:
    """What was reckoned with, a sentence each."""
    rules = plan.rules

    def small(mm: float) -> str:
        return write_length(mm, show)

    yield (
        f"Of each board {small(rules.ends)} of its length and {small(rules.edges)} of its width are cut off, for "
        f"checked ends and to straighten it; each cut takes {small(rules.kerf)}. Common practice, no single source: "
        "set board_ends, board_edges and [saw] kerf to your own."
    )
    yield (
        f"A blank is {small(rules.blank_ends)} longer and {small(rules.blank_edges)} wider than its finished part, for "
        "saw and plane (blank_ends, blank_edges; common practice). A long piece has the stock size of its saw sheet: "
        "saw, plane and wood to hold are in it."
    )
    measure = (
        "Cubic meters are thickness, width and length as sold, multiplied."
        if show in METRIC
        else "Board feet are thickness as sold in inches, times width in inches, times length in feet, over 12 (the "
        "hardwood trade's measure)."
    )
    yield f"{measure} Net counts finished parts out of rough thickness, gross whole boards."
    yield (
        "Blanks lie along the grain. Turn or shift one to miss a knot, sapwood or a check. A board that has too many "
        "does not do: take another."
    )


def yard_to_paste(parts: Sequence[Part], plywood: Plywood, show: str) -> list[str]:
    """A key ``yard`` that has a board of each wood and rough thickness the parts need, in sizes often sold."""
    needed = sorted(
        {
            (one.material, one.rough)
            for one in board_pieces(parts)
            if one.rough and one.material not in plywood and one.material != NOT_STATED
        }
    )
    sizes = (
        ('["2400 mm", "3000 mm", "3600 mm", "4800 mm"]', '["150 mm", "200 mm"]')
        if show in METRIC
        else ('["8 ft", "10 ft", "12 ft", "16 ft"]', '["6 in", "8 in"]')
    )
    lines = (
        f'  {{ material = "{material}", thickness = "{_as_sold(rough, show)}", lengths = {sizes[0]}, '
        f"widths = {sizes[1]} }},"
        for material, rough in needed
    )
    return ["yard = [", *lines, "]"]


def _as_sold(rough: float, show: str) -> str:
    return f"{rough:.0f} mm" if show in METRIC else f"{rough / INCH:g} in"
