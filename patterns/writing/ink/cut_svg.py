"""What is cut through, and nothing else, as SVG full size in hairlines: for a laser, or a program that reads no DXF."""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from html import escape

import numpy as np

from patterns.geometry.arc_lines import ArcLine
from patterns.geometry.arrays import Floats
from patterns.shop.nest.sheet_stock import SheetStock
from patterns.shop.router.contours import Contours
from patterns.shop.router.router_rules import DxfForm, RouterLayer

HAIRLINE = 0.01  # mm; lasers take a line no wider for a cut, common practice, no single source
COLORS: dict[RouterLayer, str] = {"cut-outside": "#ff0000", "cut-inside": "#ff00ff", "drill": "#0000ff"}


def write_cut_svg(part: Contours, form: DxfForm, *, run: str = "") -> str:
    """One part, its corner at 0, 0."""
    whole = part.at_origin()
    _, size = whole.bounds
    return _svg([whole], size, part.title, form, run)


def write_cut_sheet(parts: Sequence[Contours], sheet: SheetStock, title: str, form: DxfForm, *, run: str = "") -> str:
    """Parts as placed on a sheet, the drawing as large as the sheet."""
    return _svg(parts, np.array([sheet.length, sheet.width]), title, form, run)


def _svg(parts: Sequence[Contours], size: Floats, title: str, form: DxfForm, run: str) -> str:
    wide, high = (f"{value:.4f}" for value in size.tolist())
    layers: dict[RouterLayer, list[str]] = {
        "cut-outside": [line for part in parts for line in _path(part.outer, size[1])],
        "cut-inside": [line for part in parts for hole in part.inner for line in _path(hole, size[1])],
        "drill": [
            f'<circle cx="{hole.at[0]:.4f}" cy="{size[1] - hole.at[1]:.4f}" r="{hole.diameter / 2:.4f}"/>'
            for part in parts
            for hole in part.drilled
        ],
    }
    groups = [
        f'<g id="{form.name(layer)}" fill="none" stroke="{COLORS[layer]}" stroke-width="{HAIRLINE}">'
        f"{''.join(lines)}</g>"
        for layer, lines in layers.items()
        if lines
    ]
    head = f'<svg xmlns="http://www.w3.org/2000/svg" width="{wide}mm" height="{high}mm" viewBox="0 0 {wide} {high}">'
    said = f"<title>{escape(title)}</title><desc>run {run}</desc>" if run else f"<title>{escape(title)}</title>"
    return f'<?xml version="1.0" encoding="UTF-8"?>\n{head}{said}{"".join(groups)}</svg>\n'


def _path(line: ArcLine, high: float) -> Iterator[str]:
    """A closed line with its arcs kept; y runs down in SVG, so an arc to the left sweeps the other way."""
    start = line.points[0]
    words = [f"M{start[0]:.4f} {high - start[1]:.4f}"]
    for (x, y), turn, radius in zip(line.ends.tolist(), line.turns.tolist(), line.radii.tolist(), strict=True):
        to = f"{x:.4f} {high - y:.4f}"
        if turn == 0.0:
            words.append(f"L{to}")
        else:
            words.append(f"A{radius:.4f} {radius:.4f} 0 {int(abs(turn) > np.pi)} {int(turn < 0)} {to}")
    yield f'<path d="{"".join(words)}Z"/>'
