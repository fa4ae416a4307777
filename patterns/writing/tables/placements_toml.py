"""Where every part lies on its sheet, as a file the builder can edit and have proved again."""

from __future__ import annotations

import hashlib
import json
from collections.abc import Iterable

from patterns.shop.nest.blanks import DIGITS
from patterns.shop.nest.sheets import FilledSheet, SheetPlan

SEAL = "# not edited since it was written: "  # and a digest of all before it

HEAD = """\
# {boat}: where each part lies on its sheet. Edit it, then check it and write the sheets again:
#     scrieve nest BOAT --placements THIS-FILE
# left and bottom: mm from the sheet's left end and lower edge to the part's box as it lies.
# turn: degrees counter-clockwise, of the part as its own pattern shows it.
"""


def placements_toml(plan: SheetPlan, *, boat: str) -> str:
    # A name may hold a line's end; a comment may not.
    head = HEAD.format(boat=" ".join(boat.split()))
    text = head + "".join(line for sheet in plan.sheets for line in _sheet(sheet))
    return f"{text}\n{SEAL}{_digest(text)}\n"


def is_edited(text: str) -> bool:
    """Whether somebody has changed a placement file since this program wrote it."""
    body, seal, digest = text.rpartition(f"\n{SEAL}")
    return not seal or digest.strip() != _digest(body)


def _digest(text: str) -> str:
    # A Windows editor's line ends alone are no change.
    return hashlib.sha256(text.replace("\r\n", "\n").encode()).hexdigest()[:16]


def _sheet(sheet: FilledSheet) -> Iterable[str]:
    stock = sheet.stock
    yield f"\n[[sheet]]  # {sheet.number}: {sheet.thickness:.4g} mm {' '.join(sheet.material.split())}\n"
    yield f"length = {stock.length:.3f}\nwidth = {stock.width:.3f}\n"
    yield f"thickness = {sheet.thickness:.3f}\nmaterial = {json.dumps(sheet.material, ensure_ascii=False)}\nparts = [\n"
    for placement, _ in sheet.lying:
        name = json.dumps(placement.name, ensure_ascii=False)
        yield (
            f"  {{ name = {name}, turn = {round(placement.turn, DIGITS):.10g}, "
            f"left = {placement.left:.{DIGITS}f}, bottom = {placement.bottom:.{DIGITS}f} }},\n"
        )
    yield "]\n"
