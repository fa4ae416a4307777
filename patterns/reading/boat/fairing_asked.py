"""``[[fairing]]`` of boat.toml against the table it speaks of."""

from __future__ import annotations

import math
from collections.abc import Iterator, Mapping

import numpy as np

from patterns.errors import Problem
from patterns.hull.fairing_rules import HALF_BREADTH, HEIGHT, FairingRule, limits_of
from patterns.hull.offsets import Offsets
from patterns.hull.table_form import HALF_BREADTHS, HEIGHTS
from patterns.reading.offsets.table_faults import FEWEST_OFFSETS
from patterns.reading.toml.faults import cell
from patterns.reading.toml.lines_tables import FairingTable, LinesToml
from patterns.reading.toml.toml_lines import Path
from patterns.reading.wording import one_of, quoted

VIEWS = {HEIGHTS: HEIGHT, HALF_BREADTHS: HALF_BREADTH, None: None}


def fairing_rules(toml: LinesToml, offsets: Offsets) -> tuple[FairingRule, ...]:
    """The rules in the order written, lines and stations as the table names them."""
    return tuple(
        FairingRule(
            line=_named(table.line, _lines(offsets, table)),
            view=VIEWS[table.view],
            column=_named(table.station, offsets.columns),
            within=_within(table),
        )
        for table in toml.fairing or ()
    )


def faults_of_fairing(toml: LinesToml, offsets: Offsets, file: str, lines: Mapping[Path, int]) -> Iterator[Problem]:
    """Lines and stations the table has not, and lines of which too little would be left."""
    faults = []
    for number, table in enumerate(toml.fairing or ()):
        wanted = {"line": _lines(offsets, table), "station": offsets.columns}
        for key, names in wanted.items():
            written = getattr(table, key)
            if written is not None and _named(written, names) is None:
                faults.append(
                    Problem(cell(file, lines, ("fairing", number, key)), quoted(written), one_of(names, written))
                )
        if table.leave_out and table.station is None:
            where = cell(file, lines, ("fairing", number, "leave_out"))
            wanted_text = "the station whose offset is left out; lock = true leaves a whole line as the table has it"
            faults.append(Problem(where, "no station", wanted_text))
    yield from faults
    if not faults:
        yield from _faults_of_what_is_left(fairing_rules(toml, offsets), offsets, file, lines)


def _faults_of_what_is_left(
    rules: tuple[FairingRule, ...], offsets: Offsets, file: str, lines: Mapping[Path, int]
) -> Iterator[Problem]:
    for view, block in ((HEIGHT, offsets.heights), (HALF_BREADTH, offsets.half_breadths)):
        for row in block:
            given = ~np.isnan(row.values)
            used = given & ~np.isnan(limits_of(rules, 1.0, row.name, view, offsets.columns))
            if (used == given).all():
                continue
            last = max(i for i, rule in enumerate(rules) if rule.leaves_out and rule.holds(row.name, view))
            where = cell(file, lines, ("fairing", last, "leave_out"))
            if row.name in offsets.lines and not used[[0, -1]].all():
                end = offsets.columns[0 if not used[0] else -1]
                found = f"the {row.name}'s {view} at {end} left out"
                yield Problem(where, found, f"it kept, because the {row.name} ends there")
            elif used.sum() < FEWEST_OFFSETS:
                found = f"{used.sum()} of the {row.name}'s {view}s left"
                yield Problem(where, found, f"at least {FEWEST_OFFSETS} to draw the line by")


def _lines(offsets: Offsets, table: FairingTable) -> tuple[str, ...]:
    """Names of the rows a rule may speak of."""
    blocks = {HEIGHTS: offsets.heights, HALF_BREADTHS: offsets.half_breadths}
    chosen = [blocks[table.view]] if table.view else list(blocks.values())
    return tuple(dict.fromkeys(row.name for block in chosen for row in block))


def _named(written: str | None, names: tuple[str, ...]) -> str | None:
    """The name as the table has it, whatever its case."""
    return next((name for name in names if written is not None and name.lower() == written.lower()), None)


def _within(table: FairingTable) -> float:
    if table.leave_out:
        return math.nan
    return 0.0 if table.lock or table.within is None else table.within
