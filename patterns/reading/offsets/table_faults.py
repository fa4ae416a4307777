"""What is wrong with a table of offsets as a whole: its columns, its rows' order, lines without figures."""

from __future__ import annotations

import re
from collections import Counter
from collections.abc import Iterator
from itertools import chain

from patterns.drawing.engraving import in_file_name
from patterns.errors import InputError, Problem
from patterns.hull.doubts.row_doubts import FEWEST_ALIKE
from patterns.hull.offsets import AFT_ENDS, FORE_ENDS
from patterns.hull.table_form import HALF_BREADTHS, HEIGHTS
from patterns.reading.decimal_marks import settled_marks, two_readings
from patterns.reading.names import LONGEST_LABEL, LONGEST_TEXT, fault_of_letters, fault_of_name
from patterns.reading.offsets.laid_out import Line, ReadBlock, Table
from patterns.reading.offsets.row_names import (
    is_cut,
    place_from_sheer,
    plain_name,
)
from patterns.reading.wording import one_of, quoted
from patterns.units.datums import Datum

FEWEST_OFFSETS = 3  # a batten needs three points to show a curve
A_DATE = r"[0-9]{4}-[0-9]{2}-[0-9]{2}"  # what a spreadsheet made of a name such as 2-1


def check_columns(table: Table, problems: list[Problem]) -> None:
    columns, header = table.columns, table.header
    if len(columns) < FEWEST_OFFSETS:
        wanted = "a fore end, at least one station and an after end, such as stem, 1, transom"
        found = quoted(", ".join(columns) or header.cells[0])
        problems.append(Problem(table.place(header), found + (" alone" if not columns else ""), wanted))
        raise InputError(problems)
    if wanted := fault_of_letters(header.cells[0], LONGEST_TEXT):
        problems.append(Problem(table.place(header), quoted(header.cells[0]), wanted))
    for place, ends in ((0, FORE_ENDS), (len(columns) - 1, AFT_ENDS)):
        if plain_name(columns[place]) not in ends:
            wanted = one_of(ends, columns[place])
            problems.append(Problem(table.place(header, place), quoted(columns[place]), wanted))
    for place, column in enumerate(columns[1:-1], start=1):
        if not column or plain_name(column) in FORE_ENDS + AFT_ENDS or re.match(A_DATE, column):
            problems.append(Problem(table.place(header, place), quoted(column), "the name of a station"))
        elif wanted := fault_of_name(column, LONGEST_LABEL):
            problems.append(Problem(table.place(header, place), quoted(column), wanted))
    for place, column in enumerate(columns):
        before = columns[:place]
        if column and plain_name(column) in map(plain_name, before):
            found = f"{quoted(column)} again"
            problems.append(Problem(table.place(header, place), found, "each column once"))
        elif twin := next((other for other in before if column and in_file_name(other) == in_file_name(column)), ""):
            wanted = f"a name that differs from '{twin}' in its letters or digits: files are named by them"
            problems.append(Problem(table.place(header, place), quoted(column), wanted))


def check_blocks(table: Table, blocks: tuple[ReadBlock, ...], problems: list[Problem]) -> None:
    counts = Counter(block.kind for block in blocks)
    for kind in (HEIGHTS, HALF_BREADTHS):
        if not counts[kind]:
            problems.append(Problem(table.file.name, f"no row '{kind}'", f"a row '{kind}' above its offsets"))
    for place, block in enumerate(blocks):
        if block.kind in (earlier.kind for earlier in blocks[:place]):
            found = quoted(block.heading.cells[0])
            problems.append(Problem(table.place(block.heading), f"{found} again", f"one block of {block.kind}"))
    for block in blocks:
        problems.extend(_faults_of_order(table, block))
        for line in block.own_lines:
            problems.extend(_faults_of_line(table, block, line))
    if counts[HEIGHTS] == counts[HALF_BREADTHS] == 1:
        heights, half_breadths = sorted(blocks, key=lambda block: block.kind != HEIGHTS)
        problems.extend(_faults_between(table, heights, half_breadths))
        problems.extend(_faults_of_crossing(table, heights, half_breadths))


def check_marks(table: Table, problems: list[Problem]) -> None:
    """Numbers that can be read in two ways, where nothing else in the table shows which is meant."""
    measured = [row for block in table.blocks for row in block.rows]
    measured += [table.from_fp] if table.from_fp else []
    settled = settled_marks((text for row in measured for text in row.cells[1:]), table.unit)
    for row in measured:
        for place, text in enumerate(row.cells[1:]):
            two = two_readings(text, table.unit)
            # A spreadsheet's own numbers have been read from the cell and not from its text.
            if two and two.mark not in settled and not table.file.is_spreadsheet:
                problems.append(Problem(table.place(row, place), quoted(text), two.wanted))


def _faults_of_order(table: Table, block: ReadBlock) -> Iterator[Problem]:
    """Rows twice or out of their order from the sheer down."""
    lowest: Line | None = None
    for place, line in enumerate(block.lines):
        if line.name in (earlier.name for earlier in block.lines[:place]):
            yield Problem(table.place(line.row), f"{quoted(line.row.cells[0])} again", "each line once")
        elif not is_cut(line.name):
            if lowest and place_from_sheer(line.name) < place_from_sheer(lowest.name):
                found = f"'{line.name}' below '{lowest.name}'"
                yield Problem(table.place(line.row), found, "the lines from the sheer down")
            else:
                lowest = line


def _faults_of_line(table: Table, block: ReadBlock, line: Line) -> Iterator[Problem]:
    """Too few offsets, or none where the line must end."""
    kind = block.kind
    # An offset that could not be read is a fault already, not a blank.
    given = sum(map(bool, line.texts))
    if given < FEWEST_OFFSETS:
        found = f"{given} offset{'' if given == 1 else 's'}"
        yield Problem(table.place(line.row), found, f"at least {FEWEST_OFFSETS} to draw the {line.name} by")
        return
    if kind == HALF_BREADTHS and line.name == "keel":
        return
    # The profiles run from the end of the uppermost line to that of the lowest, and give those heights.
    if kind == HEIGHTS and line in (block.own_lines[0], block.own_lines[-1]):
        return
    for place in (0, len(line.texts) - 1):
        if not line.texts[place]:
            quantity = "height" if kind == HEIGHTS else "half-breadth"
            wanted = f"the {quantity} where the {line.name} ends"
            yield Problem(table.place(line.row, place), "nothing", wanted)


def _faults_between(table: Table, heights: ReadBlock, half_breadths: ReadBlock) -> Iterator[Problem]:
    """Lines missing altogether or from one of the blocks."""
    names = list(dict.fromkeys(line.name for line in heights.own_lines))
    if "sheer" not in names:
        wanted = "a row 'sheer', the top edge of the planking"
        yield Problem(table.place(heights.heading), f"no row 'sheer' among the {HEIGHTS}", wanted)
    # A round hull may be given by its sheer and the cuts below it.
    round_hull = any(is_cut(line.name) for line in half_breadths.lines)
    yield from _faults_of_chines(table, heights, names, round_hull)
    for line in heights.own_lines:
        if line.name != "keel" and half_breadths.line(line.name) is None:
            found = f"{quoted(line.row.cells[0])} with no half-breadths"
            yield Problem(table.place(line.row), found, f"a row '{line.name}' among the {HALF_BREADTHS} too")
    for line in half_breadths.own_lines:
        if heights.line(line.name) is None:
            found = f"{quoted(line.row.cells[0])} with no heights"
            yield Problem(table.place(line.row), found, f"a row '{line.name}' among the {HEIGHTS} too")


def _faults_of_chines(table: Table, heights: ReadBlock, names: list[str], round_hull: bool) -> Iterator[Problem]:
    where = table.place(heights.heading)
    chines = [name for name in names if name.startswith("chine")]
    if not chines and "keel" not in names and not round_hull:
        wanted = "a row 'chine' or 'keel' below the sheer"
        yield Problem(where, "no line below the sheer", wanted)
    counted = [f"chine {number}" for number in range(1, len(chines) + 1)]
    if chines not in ([], ["chine"]) and sorted(chines, key=place_from_sheer) != counted:
        found = ", ".join(f"'{name}'" for name in chines)
        yield Problem(where, found, "'chine', or 'chine 1', 'chine 2' and so on from the sheer down")


def _faults_of_crossing(table: Table, heights: ReadBlock, half_breadths: ReadBlock) -> Iterator[Problem]:
    """Heights above those of the line that should lie above: a slip in a figure, or rows in each other's places."""
    if table.datum is not None:
        lines = sorted(heights.own_lines, key=lambda line: place_from_sheer(line.name))
        faults = (_crossings(table, table.datum, lines[:n], lines[n], half_breadths) for n in range(len(lines)))
        # One row that is a copy can cross both its neighbours.
        yield from dict.fromkeys(chain.from_iterable(faults))


def _crossings(
    table: Table, datum: Datum, uppers: list[Line], line: Line, half_breadths: ReadBlock
) -> Iterator[Problem]:
    pairs = list(_with_nearest_above(line, [upper for upper in uppers if upper.name != line.name]))
    crossed = [(place, upper) for place, upper in pairs if _is_above(line, upper, place)]
    # A row that is a copy, or in another's place, is one fault, not one a column.
    suspects = {one.row.number: one for one in (line, *(upper for _, upper in crossed))} if crossed else {}
    copies = [_copy(table, one, other) for one in suspects.values() for other in half_breadths.own_lines]
    whole = _swapped(table, line, crossed) if len(crossed) == len(pairs) >= FEWEST_OFFSETS else None
    if row := next(filter(None, (*copies, whole)), None):
        yield row
    else:
        yield from (_fault_of_crossing(table, datum, line, upper, place) for place, upper in crossed)


def _with_nearest_above(line: Line, uppers: list[Line]) -> Iterator[tuple[int, Line]]:
    """Every column with a figure of a line, and the nearest line above it that has one there."""
    for place, length in enumerate(line.lengths):
        upper = next((upper for upper in reversed(uppers) if upper.lengths[place]), None)
        if length and upper:
            yield place, upper


def _is_above(line: Line, upper: Line, place: int) -> bool:
    here, there = line.lengths[place], upper.lengths[place]
    # Lines may run together at an end, each rounded its own way.
    return bool(here and there and here.mm > there.mm + max(here.step, there.step))


def _fault_of_crossing(table: Table, datum: Datum, line: Line, upper: Line, place: int) -> Problem:
    than = "more, being measured down, than" if datum.runs_down else "a height below"
    wanted = f"{than} the {upper.name}'s {upper.texts[place]}"
    return Problem(table.place(line.row, place), quoted(line.texts[place]), wanted)


def _swapped(table: Table, line: Line, crossed: list[tuple[int, Line]]) -> Problem | None:
    """A row that lies above another one in every column."""
    if len({upper.row.number for _, upper in crossed}) != 1:
        return None
    upper = crossed[0][1]
    found = f"the {line.name} above the {upper.name} in every column"
    wanted = (
        f"heights below those of row {upper.row.number}: see whether the two rows have changed places, and what "
        "heights_from in boat.toml says they are measured from"
    )
    return Problem(table.place(line.row), found, wanted)


def _copy(table: Table, heights: Line, breadths: Line) -> Problem | None:
    """Heights that are half-breadths, figure for figure."""
    same = [one == other for one, other in zip(heights.texts, breadths.texts, strict=True) if one and other]
    if len(same) < FEWEST_ALIKE or not all(same):
        return None
    found = f"the figures of row {breadths.row.number}, the {breadths.name}'s half-breadths"
    wanted = f"the {heights.name}'s heights: one of the two rows is a copy of the other, look at the plan again"
    return Problem(table.place(heights.row), found, wanted)
