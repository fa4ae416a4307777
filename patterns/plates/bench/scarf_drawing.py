"""A scarf's taper, seen on the edge of the stock as it lies on the bench: depths, lengths, and which face is planed."""

from __future__ import annotations

from collections.abc import Iterator

import numpy as np

from patterns.drawing.marks import Ink, Label, Stroke
from patterns.geometry.arrays import Floats
from patterns.plates.bench.bench_page import FIGURES, LEADING, TEXT, Block, paragraph, stacked
from patterns.plates.bench.saw_section import scale_for
from patterns.shop.saw.scarfs import ScarfPlan
from patterns.units.lengths import write_length

BESIDE = 0.25  # of the taper, drawn of each board beyond it
APART = 9.0  # mm on paper between the two boards as drawn
DIMENSION = 3.0  # mm from the wood to a figured line


def scarf_drawing(plan: ScarfPlan, thickness: float, show: str, *, width: float) -> Block:
    """Both boards before gluing, one above the other, to scale: face against the planking up, bow to the left."""
    whole = plan.length * (1 + 2 * BESIDE)
    scale = scale_for(whole, width)
    taper, deep, beside = plan.length / scale, thickness / scale, BESIDE * plan.length / scale
    top = -1.6 * LEADING * FIGURES
    left = (width - whole / scale) / 2
    fore_at, after_at = np.array([left, top]), np.array([left, top - deep - APART])
    fore = np.array([[0, 0], [beside, 0], [beside + taper, -deep], [0, -deep]])
    after = np.array([[beside, 0], [2 * beside + taper, 0], [2 * beside + taper, -deep], [beside + taper, -deep]])
    foot = float(after_at[1]) - deep - DIMENSION - 2.5 * LEADING * FIGURES
    marks: list[Ink] = [
        Stroke(fore + fore_at, "cut-outside", closed=True),
        Stroke(after + after_at, "cut-outside", closed=True),
        *_depths(fore_at, beside, taper, deep, write_length(thickness, show), thick_first=True),
        *_depths(after_at, beside, taper, deep, write_length(thickness, show), thick_first=False),
        *_run(left + beside, taper, foot + 2.5 * LEADING * FIGURES, write_length(plan.length, show)),
        Label("fore board: plane its face against the planking", (left, top + 2.0), FIGURES, anchor="start"),
        Label(
            "after board: plane its far face",
            (left + whole / scale, float(after_at[1]) + 2.0),
            FIGURES,
            anchor="end",
        ),
    ]
    told = paragraph(
        f"Scarf seen on the edge, 1:{scale}, bow to the left, face against the planking up: each board from its full "
        f"{write_length(thickness, show)} to a feather edge over {write_length(plan.length, show)}, {plan.ratio:g} to "
        "1. Clamp both in a stack, stepped by that length, and plane the two tapers in one plane; dry-fit by the "
        "lines.",
        width=width,
        size=FIGURES,
    )
    return stacked([Block(tuple(marks), -foot), told], gap=1.0)


def _depths(at: Floats, beside: float, taper: float, deep: float, full: str, *, thick_first: bool) -> Iterator[Ink]:
    """The depth of the wood at both ends of the taper."""
    thick, thin = (beside, beside + taper) if thick_first else (beside + taper, beside)
    yield Stroke(np.array([[thick, 0.0], [thick, -deep]]) + at, "mark")
    middle, side = float(at[1]) - deep / 2, -1.0 if thick_first else 1.0
    yield Label(full, (float(at[0]) + thick + side * 1.5, middle), FIGURES, anchor="end" if thick_first else "start")
    tip = float(at[0]) + thin - side * 1.5
    yield Label("0", (tip, middle), FIGURES, anchor="start" if thick_first else "end")


def _run(left: float, length: float, y: float, text: str) -> Iterator[Ink]:
    """A figured line over the length of the taper."""
    yield Stroke(np.array([[left, y + 1.0], [left, y - 1.0]]), "mark")
    yield Stroke(np.array([[left + length, y + 1.0], [left + length, y - 1.0]]), "mark")
    yield Stroke(np.array([[left, y], [left + length, y]]), "mark")
    yield Label(text, (left + length / 2, y - LEADING * TEXT), FIGURES)
