"""How far faired lines may be out between the table's figures, in words, as a table and as CSV."""

from __future__ import annotations

import csv
import io
import math
from collections.abc import Iterable, Iterator

from patterns.hull.bands import BayBand, OneMore, bay_bands, one_more
from patterns.hull.doubts.judged_rows import Suspect
from patterns.hull.fairing import FairedLine, FairedView
from patterns.hull.fairing_rules import HEIGHT
from patterns.hull.offsets import Offsets
from patterns.hull.table_form import HALF_BREADTHS, HEIGHTS
from patterns.units.cells import shielded
from patterns.units.lengths import unbroken, write_at_most, write_length
from patterns.units.notations import notation_for, write_offset
from patterns.writing.report.report_blocks import Table
from patterns.writing.tables.layout_csv import unrounded

CAPTION = (
    "How far each line may be out between two figures of the table: 19 times of 20 it is nearer to the plan's own line"
)
NOT_COUNTED = "A turn much shorter than the distance between two figures is not counted: no figure shows it."
NOT_KNOWN = "not known"  # figures too few to say
Views = Iterable[tuple[str, str, FairedView]]  # a line or cut, the block of the table it stands in, the view


def bands_table(views: Views, show: str) -> Table:
    """Every bay of every line, fore to aft."""
    rows = tuple(
        (f"{name} {block.removesuffix('s')}", f"{bay.columns[0]} and {bay.columns[1]}", at_most(bay, show))
        for name, block, bay in _bays(views)
    )
    columns = ("line", "between", "may be out by")
    return Table(CAPTION, columns, rows, frozenset(columns[2:]))


def _bays(views: Views) -> Iterator[tuple[str, str, BayBand]]:
    return ((name, block, bay) for name, block, view in views for bay in bay_bands(view))


def at_most(bay: BayBand, show: str) -> str:
    return NOT_KNOWN if math.isnan(bay.half_width) else write_at_most(bay.half_width, show)


def bands_csv(views: Views, show: str) -> str:
    """A row for each bay."""
    text = io.StringIO()
    out = csv.writer(text, lineterminator="\n")
    out.writerow(("about", f"{CAPTION}."))
    out.writerow(("about", NOT_COUNTED))
    out.writerow(("about", "Columns ending in _mm are unrounded; distances are from FP."))
    out.writerow(())
    out.writerow(("line", "in", "from", "to", "may_be_out_by", "from_mm", "to_mm", "widest_at_mm", "may_be_out_by_mm"))
    for name, block, bay in _bays(views):
        fore, aft = map(shielded, bay.columns)
        exact = (*bay.from_fp, bay.at, bay.half_width)
        figures = ("" if math.isnan(one) else unrounded(one) for one in exact)
        out.writerow((name, block, fore, aft, at_most(bay, show), *figures))
    return text.getvalue()


def advice(
    lines: tuple[FairedLine, ...], offsets: Offsets, suspects: tuple[Suspect, ...], show: str
) -> tuple[OneMore, str] | None:
    """The figure to measure next and the words that say so; None where no line may be out by much."""
    best = one_more(lines, offsets, suspects)
    if best is None:
        return None
    now, then = (unbroken(write_at_most(mm, show)) for mm in (best.bay.half_width, best.after))
    # A gain that no figure of the builder's shows is none.
    return None if now == then else (best, _advised(best, offsets, show, now, then))


def _advised(best: OneMore, offsets: Offsets, show: str, now: str, then: str) -> str:
    what = "height" if best.view == HEIGHT else "half-breadth"
    away = unbroken(write_length(abs(best.away), show))
    side = "aft" if best.away > 0 else "forward"
    ends = (offsets.columns[0], offsets.columns[-1])
    near = f"the {best.column}" if best.column in ends else f"station {best.column}"
    from_fp = write_offset(best.at, offsets.notation or notation_for(offsets.rounding))
    first = (
        " The line turns hard there and may be out by more than the program says, so that bay comes first."
        if best.hard
        else ""
    )
    return (
        f"Measure the {best.line}'s {what} on the plan {away} {side} of {near}: the line may be out by {now} now, by "
        f"{then} after that. Give the figure its own column in the table, between {best.bay.columns[0]} and "
        f"{best.bay.columns[1]}, under any name: {from_fp} in the row from FP, the figure among the {what}s of the "
        f"{best.line}, all other cells blank.{first}"
    )


def extras_told(offsets: Offsets, show: str) -> Iterator[str]:
    """``chine height in column 'a', 1' 8" from FP``, of each figure that stands at no station."""
    for column in offsets.extras:
        place = offsets.columns.index(column)
        for kind, block in ((HEIGHTS, offsets.heights), (HALF_BREADTHS, offsets.half_breadths)):
            name = next((row.name for row in block if not math.isnan(row.values[place])), None)
            if name is not None:
                at = unbroken(write_length(float(offsets.from_fp[place]), show))
                yield f"the {name}'s {kind.removesuffix('s')} in column '{column}', {at} from FP"
