"""``[diagonals.A]`` of boat.toml against the table's diagonals."""

from __future__ import annotations

from collections.abc import Iterator, Mapping

import numpy as np

from patterns.errors import Problem
from patterns.hull.build import Diagonal
from patterns.hull.offsets import Offsets
from patterns.hull.table_form import HALF_BREADTHS, TableForm
from patterns.reading.toml.faults import cell
from patterns.reading.toml.lines_tables import DiagonalTable, LinesToml
from patterns.reading.toml.toml_lines import Path
from patterns.reading.wording import one_of, quoted

ROW = "diagonal "


def diagonals_asked(toml: LinesToml, offsets: Offsets) -> tuple[Diagonal, ...]:
    """Where the table's diagonals lie, in its order; those boat.toml says nothing of left out."""
    said = ((name, _table(toml, name)) for name in _rows(offsets))
    return tuple(Diagonal(name, one.height, float(np.radians(one.angle))) for name, one in said if one)


def faults_of_diagonals(
    toml: LinesToml, offsets: Offsets, form: TableForm, file: str, lines: Mapping[Path, int]
) -> Iterator[Problem]:
    """Diagonals that nobody knows the place of, and places of diagonals that the table has not."""
    names = _rows(offsets)
    for name in names:
        if _table(toml, name) is None:
            where = f"{form.file}, row {form.row(HALF_BREADTHS, name)}"
            key = name.removeprefix(ROW)
            heading = f"[diagonals.{key}]" if key.isalnum() and key.isascii() else f'[diagonals."{key}"]'
            wanted = f"{heading} in {file}, with the height of its apex and its angle: height = ..., angle = ..."
            yield Problem(where, f"{quoted(name)}, but not where it lies", wanted)
    for key in toml.diagonals or {}:
        if not any(_same(key, name) for name in names):
            known = [name.removeprefix(ROW) for name in names]
            wanted = (
                f"{one_of(known, key)}: the diagonals of {form.file}"
                if known
                else f"a row 'diagonal {key}' in {form.file}"
            )
            yield Problem(cell(file, lines, ("diagonals", key)), quoted(key), wanted)


def _rows(offsets: Offsets) -> tuple[str, ...]:
    return tuple(row.name for row in offsets.half_breadths if row.name.startswith(ROW))


def _table(toml: LinesToml, name: str) -> DiagonalTable | None:
    return next((one for key, one in (toml.diagonals or {}).items() if _same(key, name)), None)


def _same(key: str, row: str) -> bool:
    return key.lower() == row.removeprefix(ROW).lower()
