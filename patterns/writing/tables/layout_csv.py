"""A layout table as CSV: figures for the tape beside the unrounded ones."""

from __future__ import annotations

import csv
import io
from collections.abc import Iterator

from patterns.shop.layout.layout_tables import LayoutTable, OnSheet
from patterns.units.cells import shielded
from patterns.units.tape import tape_rounding

COLUMNS = ("line", "name", "kind", "point", "meets", "along", "off", "side", "along_mm", "off_mm")


def layout_csv(table: LayoutTable) -> str:
    """Words, then a row for each point of each line, then the diagonals."""
    text = io.StringIO()
    out = csv.writer(text, lineterminator="\n")
    out.writerows(("about", words) for words in layout_words(table))
    out.writerow(("about", f"Columns ending in _mm are unrounded; there an offset {table.sides[1]} is negative."))
    out.writerow(())
    out.writerow(COLUMNS)
    out.writerows(_rows(table))
    out.writerow(())
    out.writerow(("diagonal", "from", "to", "length", "length_mm"))
    for one in table.diagonals:
        out.writerow(("diagonal", one.first, one.second, table.tape(one.length), unrounded(one.length)))
    return text.getvalue()


def layout_words(table: LayoutTable) -> Iterator[str]:
    """How the table is used, a sentence each."""
    drawing = f"tables/{table.part.file_name}.svg"
    yield f"Layout table: {table.title}, {table.part.marked_face} up; its drawing, {drawing}, has the same numbers."
    yield f"Strike {table.struck}. Zero: {table.zero}."
    if table.on_sheet:
        yield on_sheet_words(table, table.on_sheet)
    yield "Along runs from the zero, never from point to point; off is square to the line. Join points by a batten."
    if any(line.corners for line in table.lines):
        yield "At a corner the line turns sharply: end the batten there and begin again."
    if any(table.tape(point.along).startswith("-") for point in table.points):
        yield f"A figure along with - lies the other way from the zero{', below base' if table.axis else ''}."
    yield f"Figures are {tape_rounding(table.show)}."
    yield "The lines are the finished line on the marked face; bevels stand on the pattern and the bevel board."


def on_sheet_words(table: LayoutTable, place: OnSheet) -> str:
    """Where the line is struck on a sheet."""
    size = f"{table.tape(place.length)} x {table.tape(place.width)}"
    sheet = f"sheets joined to {size}" if place.joined else f"a sheet {size}"
    edge, end = ("long", "end") if place.lengthwise else ("short", "long edge")
    below = min(point.off for point in table.points) < -0.5
    way = f"what lies {table.sides[1]} toward that edge" if below else "the part on the side away from that edge"
    return (
        f"On {sheet}: strike it {table.tape(place.line_in)} in from a {edge} edge, {way}, "
        f"and set its zero {table.tape(place.zero_in)} in from the {end}; then no point falls on an edge."
    )


def _rows(table: LayoutTable) -> Iterator[tuple[object, ...]]:
    for count, line in enumerate(table.lines, 1):
        for number in line.numbers:
            point = table.points[number - 1]
            figures = table.tape(point.along), table.tape(abs(point.off)), table.side(point.off)
            exact = unrounded(point.along), unrounded(point.off)
            yield (
                count,
                shielded(line.name),
                "edge" if line.edge else "mark",
                number,
                shielded(line.meets.get(number, "")),
                *figures,
                *exact,
            )


def unrounded(mm: float) -> str:
    return repr(round(mm, 9) + 0.0)  # what arithmetic adds past that is no figure
