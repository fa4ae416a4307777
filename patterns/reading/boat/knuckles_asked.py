"""``[[knuckle]]`` of boat.toml against the table it speaks of."""

from __future__ import annotations

from collections.abc import Iterator, Mapping

import numpy as np

from patterns.errors import Problem
from patterns.hull.fairing_rules import (
    BEYOND_KNUCKLE,
    HALF_BREADTH,
    HEIGHT,
    SAME_PLACE,
    FairingRule,
    Knuckle,
    limits_of,
    offsets_beyond,
)
from patterns.hull.offsets import Offsets
from patterns.reading.boat.places import place_from_fp, stations_or_distance
from patterns.reading.toml.faults import cell
from patterns.reading.toml.lines_tables import KnuckleTable, LinesToml
from patterns.reading.toml.toml_lines import Path
from patterns.reading.wording import one_of, quoted


def knuckles_asked(toml: LinesToml, offsets: Offsets) -> tuple[Knuckle, ...]:
    """The knuckles in the order written, lines and stations as the table names them."""
    placed = ((table, _line(table, offsets), _at(table, toml, offsets)) for table in toml.knuckle or ())
    return tuple(
        Knuckle(line, table.at, at, table.kind) for table, line, at in placed if line is not None and at is not None
    )


def faults_of_knuckles(
    toml: LinesToml, offsets: Offsets, rules: tuple[FairingRule, ...], file: str, lines: Mapping[Path, int]
) -> Iterator[Problem]:
    """Lines and places the table has not, knuckles declared twice, and those too near an end of their line."""
    seen: list[tuple[str, float]] = []
    for number, table in enumerate(toml.knuckle or ()):
        line, at = _line(table, offsets), _at(table, toml, offsets)
        where = cell(file, lines, ("knuckle", number, "at"))
        if line is None:
            names = _names(offsets)
            there = cell(file, lines, ("knuckle", number, "line"))
            yield Problem(there, quoted(table.line), one_of(names, table.line))
        if at is None:
            yield Problem(where, quoted(table.at), stations_or_distance(offsets))
        if line is None or at is None:
            continue
        if any(line == other and abs(at - there) < SAME_PLACE for other, there in seen):
            yield Problem(where, f"{quoted(table.at)} again", f"each knuckle of the {line} once")
        else:
            yield from _faults_of_reach(line, at, offsets, rules, where)
        seen.append((line, at))


def _faults_of_reach(
    line: str, at: float, offsets: Offsets, rules: tuple[FairingRule, ...], where: str
) -> Iterator[Problem]:
    """A knuckle with fewer than two offsets on one side, where nobody can say how the line goes on."""
    for view, block in ((HEIGHT, offsets.heights), (HALF_BREADTH, offsets.half_breadths)):
        row = next((row for row in block if row.name == line), None)
        if row is None:
            continue
        used = ~np.isnan(row.values + limits_of(rules, 1.0, line, view, offsets.columns))
        # Columns of ends have no distance from FP in the table: their profile gives it.
        from_fp = offsets.from_fp.copy()
        from_fp[0], from_fp[-1] = np.nan_to_num(from_fp[0], nan=-np.inf), np.nan_to_num(from_fp[-1], nan=np.inf)
        sides = offsets_beyond(at, from_fp[used])
        if min(sides) < BEYOND_KNUCKLE:
            side = "forward" if sides[0] < BEYOND_KNUCKLE else "aft"
            found = f"{min(sides)} of the {line}'s {view}s {side} of it"
            yield Problem(where, found, f"a place with at least {BEYOND_KNUCKLE} on either side")
            return


def _names(offsets: Offsets) -> tuple[str, ...]:
    return tuple(dict.fromkeys(row.name for row in (*offsets.heights, *offsets.half_breadths)))


def _line(table: KnuckleTable, offsets: Offsets) -> str | None:
    return next((name for name in _names(offsets) if name.lower() == table.line.lower()), None)


def _at(table: KnuckleTable, toml: LinesToml, offsets: Offsets) -> float | None:
    return place_from_fp(table.at, toml.boat.units, offsets)
