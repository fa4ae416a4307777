"""The table to fill in at the strongback, and what came of it, as CSV."""

from __future__ import annotations

import csv
import io
from collections.abc import Iterator

from patterns.parts.asked.built_rules import Measure
from patterns.plates.words.built_words import DRESSING_COLUMNS, OUT_COLUMNS, dressing_rows, out_row
from patterns.shop.built.as_built import AsBuilt
from patterns.shop.layout.setting_up import ON_CENTRE, SettingUp
from patterns.units.cells import shielded
from patterns.writing.tables.layout_csv import unrounded

BLANK, AS_BUILT = "tables/built-blank.csv", "tables/as-built.csv"
COLUMNS = ("frame", "line", "side", "measure", "planned", "figure")
HOW = (
    "Measure when every frame is braced and before the first long piece goes on. Measure each frame that a batten "
    "leaves or that had to be packed or planed. A frame that the battens touch needs no figures.",
    "Copy this file beside boat.toml as built.csv. Write what you measured under figure and leave the rest blank. Then "
    "write a table [built] in boat.toml.",
    "Figures of frames are to the inside of the planking on the named face. Heights are from {datum}, distances from "
    "the zero.",
)


def blank_csv(plan: SettingUp) -> str:
    """A row for each figure that can be measured, the planned one beside it."""
    text = io.StringIO()
    out = csv.writer(text, lineterminator="\n")
    out.writerows(("about", words.format(datum=plan.datum_name)) for words in HOW)
    out.writerow(COLUMNS)
    out.writerows((*map(shielded, row), "") for row in _blank_rows(plan))
    return text.getvalue()


def _blank_rows(plan: SettingUp) -> Iterator[tuple[str, str, str, str, str]]:
    for frame in plan.frames:
        yield frame.name, "", "", Measure.FROM_ZERO, plan.tape(frame.running)
        for corner in frame.corners:
            two = corner.half > ON_CENTRE
            for side in ("port", "starboard") if two else ("",):
                yield frame.name, corner.line, side, Measure.HEIGHT, plan.tape(corner.height)
            for side in ("port", "starboard") if two else ():
                yield frame.name, corner.line, side, Measure.HALF_BREADTH, plan.tape(corner.half)


def as_built_csv(built: AsBuilt, show: str) -> str:
    """Every figure that was measured; then what each edge of those frames would need."""
    text = io.StringIO()
    out = csv.writer(text, lineterminator="\n")
    out.writerow(("about", "Columns ending in _mm are unrounded; out_mm is positive where it is too much."))
    out.writerow(())
    out.writerow((*OUT_COLUMNS, "planned_mm", "measured_mm", "out_mm"))
    for one in built.figures:
        out.writerow((*map(shielded, out_row(one, show)), *map(unrounded, (one.planned, one.figure.mm, one.by))))
    out.writerow(())
    out.writerow((*DRESSING_COLUMNS, "to_plan_mm", "to_built_mm"))
    for edge in built.dressing:
        for row, plan, now in zip(dressing_rows(edge, show), edge.to_plan, edge.to_built, strict=True):
            out.writerow((*map(shielded, row), unrounded(plan), unrounded(now)))
    return text.getvalue()
