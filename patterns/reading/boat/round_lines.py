"""What the lines of a round hull must have, so that one surface can be laid on them."""

from __future__ import annotations

from collections.abc import Iterator, Mapping

import numpy as np

from patterns.errors import Problem
from patterns.hull.offsets import Offsets
from patterns.hull.round.figures import is_round
from patterns.hull.table_form import HALF_BREADTHS, TableForm
from patterns.reading.toml.faults import cell
from patterns.reading.toml.lines_tables import LinesToml
from patterns.reading.toml.toml_lines import Path
from patterns.units.lengths import write_at_most, write_length

ABOVE_THE_SHEER = 10.0  # mm; nearer to the sheer than this a cut may be rounding and a slip of pen, which fairing names
LEAST_STEPS = 0.5  # of the table's step: what its own rounding may be out by


def faults_of_round_lines(
    toml: LinesToml, offsets: Offsets, form: TableForm, *, file: str, lines: Mapping[Path, int], show: str
) -> Iterator[Problem]:
    """Every fault that shows only when the table is known to be of a round hull."""
    if not is_round(offsets):
        return
    yield from _faults_of_limits(toml, offsets, file, lines, show)
    yield from _faults_of_knuckles(toml, file, lines)
    yield from _faults_above_the_sheer(offsets, form, show)
    if offsets.half_breadth("sheer") is not None:
        yield from _faults_of_transoms(offsets, form)


def _faults_of_limits(
    toml: LinesToml, offsets: Offsets, file: str, lines: Mapping[Path, int], show: str
) -> Iterator[Problem]:
    """Limits finer than the rounding of the table: where two cuts cross, their roundings contradict each other."""
    least = LEAST_STEPS * offsets.rounding
    wanted = (
        f"{write_at_most(least, show)} or more, half a step of the table: lines that cross are rounded each its own "
        "way. A single figure can be locked under [[fairing]]"
    )
    if toml.boat.fair_within < least * (1 - 1e-9):
        yield Problem(cell(file, lines, ("boat", "fair_within")), write_length(toml.boat.fair_within, show), wanted)
    for number, one in enumerate(toml.fairing or ()):
        single = one.line is not None and one.station is not None
        if single or one.leave_out:
            continue
        within = 0.0 if one.lock or one.within is None else one.within
        if within < least * (1 - 1e-9):
            key = "lock" if one.lock else "within"
            found = "a lock of many figures at once" if one.lock else write_length(within, show)
            yield Problem(cell(file, lines, ("fairing", number, key)), found, wanted)


def _faults_of_knuckles(toml: LinesToml, file: str, lines: Mapping[Path, int]) -> Iterator[Problem]:
    for number, _ in enumerate(toml.knuckle or ()):
        wanted = "no such table: a round hull turns hard only along a row 'chine' of the table"
        yield Problem(cell(file, lines, ("knuckle", number)), "a knuckle", wanted)


def _faults_above_the_sheer(offsets: Offsets, form: TableForm, show: str) -> Iterator[Problem]:
    """Figures of a waterline at stations where the sheer is lower: no planking is there.

    At one station alone the sheer may be a slip of pen, and fairing names it.
    """
    sheer = next((row.values for row in offsets.heights if row.name == "sheer"), None)
    if sheer is None:
        return
    for row in offsets.half_breadths:
        above = np.flatnonzero(np.isfinite(row.values) & (row.level > sheer + ABOVE_THE_SHEER)).tolist()
        for column in above if len(above) > 1 else ():
            wanted = (
                f"a blank cell: the sheer is {write_length(float(sheer[column]), show)} above base there. "
                "Or the sheer's height, or the waterline's name, is a misprint"
            )
            yield Problem(form.cell(HALF_BREADTHS, row.name, column), f"a half-breadth of {row.name}", wanted)


def _faults_of_transoms(offsets: Offsets, form: TableForm) -> Iterator[Problem]:
    """A transom is as wide at the sheer as the table says; nothing else can tell."""
    sheer = offsets.half_breadth("sheer")
    for place in (0, -1):
        if sheer is not None and np.isnan(sheer.values[place]):
            column = place % len(offsets.columns)
            wanted = f"the sheer's half-breadth on the {offsets.columns[place]}"
            yield Problem(form.cell(HALF_BREADTHS, "sheer", column), "nothing", wanted)
