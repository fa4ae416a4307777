"""Where every part lies on its sheet, as a file the builder can edit and have proved again."""

from __future__ import annotations

import json
from collections.abc import Iterable

from patterns.shop.sheets import FilledSheet, SheetPlan

HEAD = """\
# {boat}: where each part lies on its sheet. Edit it, then prove it and write the sheets anew:
#     scrieve nest BOAT --placements THIS-FILE
# left and bottom: mm from the sheet's left end and lower edge to the part's box as it lies.
# turn: degrees counter-clockwise, of the part as its own pattern shows it.
"""


def placements_toml(plan: SheetPlan, *, boat: str) -> str:
    # A name may hold a line's end; a comment may not.
    return HEAD.format(boat=" ".join(boat.split())) + "".join(line for sheet in plan.sheets for line in _sheet(sheet))


def _sheet(sheet: FilledSheet) -> Iterable[str]:
    stock = sheet.stock
    yield f"\n[[sheet]]  # {sheet.number}: {sheet.thickness:.4g} mm {' '.join(sheet.material.split())}\n"
    yield f"length = {stock.length:.3f}\nwidth = {stock.width:.3f}\n"
    yield f"thickness = {sheet.thickness:.3f}\nmaterial = {json.dumps(sheet.material, ensure_ascii=False)}\nparts = [\n"
    for placement, _ in sheet.lying:
        name = json.dumps(placement.name, ensure_ascii=False)
        yield (
            f"  {{ name = {name}, turn = {placement.turn:g}, "
            f"left = {placement.left:.3f}, bottom = {placement.bottom:.3f} }},\n"
        )
    yield "]\n"
