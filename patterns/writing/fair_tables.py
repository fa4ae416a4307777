"""What fairing did to a table, as tables in the builder's own notation."""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass

import numpy as np

from patterns.hull.bending import turns
from patterns.hull.fairing import FairedCut, FairedLine, FairedView
from patterns.hull.misreadings import Slip
from patterns.hull.suspect_wording import SIDES
from patterns.hull.suspects import FEWEST, FROM_FP, Suspect
from patterns.hull.table_form import HALF_BREADTHS, HEIGHTS, TableForm
from patterns.parts.cautions import Caution
from patterns.parts.rules import Boat
from patterns.units.datums import BASE
from patterns.units.lengths import decimals, write_length
from patterns.units.notations import write_offset
from patterns.writing.blocks import Block, Bullets, Paragraph, Section, Table

UNMOVED = 0.013  # mm, half a thousandth of an inch: what is less shows in no figure
_OF_DIGITS = (Slip.DIGIT, Slip.SWAPPED_DIGITS, Slip.SIGN)
_FINER = {"mm": ("mm", 2), "cm": ("cm", 3), "m": ("m", 5)}  # digits for moves too small for the bench's own step


@dataclass(frozen=True, slots=True, eq=False)
class FairedTable:
    """A boat's table with what fairing made of it."""

    boat: Boat
    form: TableForm
    lines: tuple[FairedLine, ...]
    cuts: tuple[FairedCut, ...]
    suspects: tuple[Suspect, ...]  # the surest first
    cautions: tuple[Caution, ...]  # where limits hold a batten back, and ends that contradict their profiles

    def views(self) -> Iterator[tuple[str, str, FairedView]]:
        """Every line and cut: its name, the block of the table it stands in, the view."""
        for line in self.lines:
            yield line.name, HEIGHTS, line.height
            # A keel that lies on the centre plane has no half-breadths in the table.
            if self.boat.offsets.half_breadth(line.name):
                yield line.name, HALF_BREADTHS, line.half_breadth
        for cut in self.cuts:
            yield cut.name, HEIGHTS if cut.name.startswith("buttock") else HALF_BREADTHS, cut.view

    def written(self, mm: float, block: str) -> str:
        """A height above base or a half-breadth as the table would have it."""
        return write_offset(self.form.datum.given(mm) if block == HEIGHTS else mm, self.form.notation)


def report(table: FairedTable) -> tuple[Section, ...]:
    """All there is to tell of a faired table: what is in doubt first."""
    return (
        Section("What is in doubt", tuple(suspects_blocks(table))),
        Section("Where the lines are not free to be fair", (_held(table),)),
        Section("What was moved", (moves_table(table),)),
        Section("How the lines curve", (turns_table(table),)),
    )


def _held(table: FairedTable) -> Block:
    if table.cautions:
        return Bullets(tuple(f"{one.where}: {one.text}" for one in table.cautions))
    return Paragraph("Nowhere: no limit holds a batten back, and the lines end where the profiles do.")


def moves_table(table: FairedTable) -> Table:
    """Every offset that was moved."""
    rows = [
        (name, block, column, table.written(given, block), table.written(faired, block), *moved)
        for name, block, view in table.views()
        for column, given, faired in zip(view.columns, view.given.tolist(), view.faired.tolist(), strict=True)
        if (moved := _moved(column, faired - given, view, table))
    ]
    count = sum(len(view.columns) for _, _, view in table.views())
    within = f"none further than {write_length(table.boat.fair_within, table.boat.show)}"
    within = "each within its own limit" if table.boat.fairing else within
    caption = f"{len(rows)} of {count} offsets moved to fair the lines, {within}; + is up or out"
    columns = ("line", "in", "station", "given", "faired", "moved", "or")
    return Table(caption, columns, tuple(rows), frozenset(columns[3:]))


def _moved(column: str, mm: float, view: FairedView, table: FairedTable) -> tuple[str, ...]:
    """A move as lengths are shown, and finer in decimals of the same unit; nothing where there was none to see."""
    if column in view.left_out:
        return ("left out", f"line {write_length(abs(mm), table.boat.show)} off")
    if abs(mm) <= UNMOVED:
        return ()
    show, sign = table.boat.show, "+" if mm > 0 else "-"
    shown, nothing = write_length(abs(mm), show), write_length(0.0, show)
    unit, digits = _FINER.get(show, ("in", 3))
    return (nothing if shown == nothing else sign + shown, f"{sign}{decimals(abs(mm), unit, digits)} {unit}")


def turns_table(table: FairedTable) -> Table:
    """How often each line's curve turns from hollow to round or back, and where."""
    rows = []
    for name, block, view in table.views():
        at = turns(view)
        most = float(np.abs(view.moved).max(initial=0.0))
        where = "; ".join(_place(x, view, table) for x in at)
        rows.append((name, block, write_length(most, table.boat.show), str(len(at)), where or "nowhere"))
    columns = ("line", "in", "most moved", "turns", "where it turns from hollow to round or back, from FP")
    return Table("Curvature changes of every line as faired", columns, tuple(rows), frozenset(("turns", "most moved")))


def _place(x: float, view: FairedView, table: FairedTable) -> str:
    """A place on a line between the two columns it lies between, and from FP."""
    after = int(np.clip(np.searchsorted(view.from_fp, x), 1, len(view.columns) - 1))
    return f"between {view.columns[after - 1]} and {view.columns[after]} at {_unbroken(x, table)}"


def _unbroken(mm: float, table: FairedTable) -> str:
    """A length that no line is broken within."""
    return write_length(mm, table.boat.show).replace(" ", "\N{NO-BREAK SPACE}")


def suspects_blocks(table: FairedTable) -> Iterator[Block]:
    """Figures that the rest of the table contradicts, and which rows could not be judged."""
    if table.suspects:
        yield Paragraph("These figures do not suit the rest of the table, the surest first. Nothing has been changed.")
        yield Bullets(tuple(_doubt(one, table) for one in table.suspects))
        yield Paragraph("Look each up on the plan. A figure that is right as it stands may stay.")
    else:
        yield Paragraph(
            "No figure stands out from the rest. A slip smaller than the rounding of the table, or in a "
            "figure that nothing else bears on, is not found."
        )
    unjudged = [f"{name} {block}" for name, block, view in table.views() if len(view.columns) < FEWEST]
    if unjudged:
        yield Paragraph(f"Not judged, for want of {FEWEST} figures in the row: {', '.join(unjudged)}.", "note")


def _doubt(one: Suspect, table: FairedTable) -> str:
    """``row 5, chine heights at 2: 1-1-0 lies 1' 0" above ...; one foot too much? did you mean 0-1-0?``"""
    if one.line == FROM_FP:
        given, meant = (write_offset(mm, table.form.notation) for mm in (one.given, one.meant or one.expected))
        where = f"row {table.form.from_fp_row}, from FP at {one.column}"
        return f"{where}: {given} does not suit the lines; {one.cause}? did you mean {meant}?"
    block = HEIGHTS if one.view == "height" else HALF_BREADTHS
    off, side = _unbroken(abs(one.off), table), SIDES[one.view][0 if one.off > 0 else 1]
    where = f"row {table.form.row(block, one.line)}, {one.line} {block} at {one.column}"
    lies = f"{table.written(one.given, block)} lies {off} {side} the fair curve of the others"
    return f"{where}: {lies}; {_cause(one, block, table)}"


def _cause(one: Suspect, block: str, table: FairedTable) -> str:
    """The likeliest slip, as a question; where none is known, about where the others want the figure."""
    # Slips of the pen were sought in heights above base, whose digits are not those of this table.
    foreign = block == HEIGHTS and table.form.datum != BASE and one.slip in _OF_DIGITS
    if one.meant is None or foreign:
        cause = f"{one.cause}? " if one.cause and not foreign else ""
        return f"{cause}the others want about {table.written(one.expected, block)}"
    return f"{one.cause}? did you mean {table.written(one.meant, block)}?"
