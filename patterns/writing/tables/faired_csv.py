"""A table of offsets as CSV, in the form and notation the builder's own came in."""

from __future__ import annotations

import csv
import io
import math
from collections.abc import Mapping

import numpy as np

from patterns.geometry.arrays import Floats
from patterns.hull.fairing import FairedCut, FairedLine, FairedView
from patterns.hull.offsets import Offsets
from patterns.hull.table_form import HEIGHTS, FormBlock, TableForm
from patterns.units.cells import shielded
from patterns.units.notations import write_offset


def offsets_csv(form: TableForm, heights: Mapping[str, Floats], half_breadths: Mapping[str, Floats]) -> str:
    """The text of the table, rounded to the step of its notation.

    Parameters
    ----------
    form : TableForm
        What the builder's table looked like.
    heights, half_breadths : (columns,) mm for each line
        Heights above base, to be written from the table's own datum. By the names of
        `patterns.hull.offsets.Offsets`; NaN leaves a cell blank. A row of the form that nothing is given for is left
        out.
    """
    text = io.StringIO()
    writer = csv.writer(text, delimiter=form.delimiter, lineterminator=form.newline)
    writer.writerow(map(shielded, (form.title, *form.columns)))
    writer.writerow((form.from_fp_label, *form.from_fp))
    for block in form.blocks:
        writer.writerow((block.heading, *("" for _ in form.columns)))
        writer.writerows(_rows(form, block, heights if block.kind == HEIGHTS else half_breadths))
    return ("\ufeff" if form.byte_order_mark else "") + text.getvalue()


def faired_csv(form: TableForm, offsets: Offsets, lines: tuple[FairedLine, ...], cuts: tuple[FairedCut, ...]) -> str:
    """The table as faired, blank where the builder's is; cuts as they were given where they could not be faired."""
    heights = {row.name: row.values for row in offsets.heights}
    breadths = {row.name: row.values for row in offsets.half_breadths}
    for line in lines:
        heights[line.name] = _in_columns(offsets.columns, line.height)
        if line.name in breadths:
            breadths[line.name] = _in_columns(offsets.columns, line.half_breadth)
    for cut in cuts:
        block = heights if cut.name in heights else breadths
        faired = _in_columns(offsets.columns, cut.view)
        block[cut.name] = np.where(np.isnan(faired), block[cut.name], faired)
    return offsets_csv(form, heights, breadths)


def _in_columns(columns: tuple[str, ...], view: FairedView) -> Floats:
    found = dict(zip(view.columns, view.faired.tolist(), strict=True))
    return np.array([found.get(column, np.nan) for column in columns])


def _rows(form: TableForm, block: FormBlock, offsets: Mapping[str, Floats]) -> list[tuple[str, ...]]:
    cell = _height if block.kind == HEIGHTS else _half_breadth
    return [
        (row.label, *(cell(form, value) for value in offsets[row.name].tolist()))
        for row in block.rows
        if row.name in offsets
    ]


def _height(form: TableForm, mm: float) -> str:
    return "" if math.isnan(mm) else write_offset(form.datum.given(mm), form.notation)


def _half_breadth(form: TableForm, mm: float) -> str:
    # A batten may dip a hair past the centre plane where the table gives 0; no table has less than that.
    return "" if math.isnan(mm) else write_offset(max(mm, 0.0), form.notation)
