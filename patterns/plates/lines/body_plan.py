"""The body plan: every station seen from the ends, forward stations on the right, after ones on the left."""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from dataclasses import dataclass

import numpy as np

from patterns.drawing.label_placing import Request, place
from patterns.drawing.marks import Drawing, Ink, Stroke
from patterns.drawing.text import text_width, without_strangers
from patterns.geometry.arrays import Floats
from patterns.hull.fairing import FairedLine, FairedView
from patterns.parts.asked.rules import BoatLines
from patterns.plates.lines.given_points import MOVES, point_pairs
from patterns.plates.view_field import (
    FOOT,
    NAME_SIZE,
    Field,
    KeptFree,
    Manner,
    View,
    fence,
    field,
    level_line,
    level_name,
    notes_height,
    upright_foot,
    upright_names,
    words,
)

CLEAR = 8.0  # mm on paper round the sections
LONG = 25.0  # mm; names of stations that are longer than this hang upright under the sections


@dataclass(frozen=True, slots=True, eq=False)
class Section:
    """The lines' points at one column of the table, from the sheer down, on the side they are drawn on."""

    column: str
    faired: Floats  # (n, 2) mm: across (forward stations positive), height
    moved: Floats  # (n, 2) mm


def body_plan(boat: BoatLines, lines: tuple[FairedLine, ...], manner: Manner) -> View:
    """Every column of the table that gives a line in both views."""
    paper, times, lettered = manner.paper, manner.times, manner.lettered
    sections = tuple(_sections(boat, lines))
    points = np.concatenate([section.faired for section in sections])
    wide = float(np.abs(points[:, 0]).max())
    notes = _notes(boat, times)
    names = [without_strangers(section.column) for section in sections]
    longest = max(text_width(name, NAME_SIZE) for name in names)
    hanging = longest > LONG
    foot = upright_foot(longest, height=paper[1]) if hanging else FOOT
    where = field(
        (-wide, float(min(points[:, 1].min(), 0.0))),
        (wide, float(points[:, 1].max())),
        KeptFree(notes_height([*notes, "scale"], width=paper[0]) if lettered else 0.0, CLEAR, foot),
        paper=paper,
        same_scale=True,
    )
    notes = [where.scale, *notes]
    middle = where.on_paper(np.array([[0.0, where.low[1]], [0.0, where.low[1] + where.up * where.height]]))
    ink: list[Ink] = [
        level_line(where, 0.0),
        Stroke(middle + np.array([[0.0, -3.0], [0.0, 3.0]]), "mark"),
        *(Stroke(where.on_paper(_with_foot(section.faired)), "line") for section in sections),
        *(
            mark
            for section in sections
            for mark in point_pairs(where.on_paper(section.faired), -times * section.moved)
        ),
        *(_hanging(names, [where.on_paper(section.faired) for section in sections], where, foot) if hanging else ()),
        *(words(f"{boat.name}: body plan", notes, paper=paper) if lettered else ()),
    ]  # fmt: skip
    requests = [
        *(_name(section, where.on_paper(section.faired)) for section in sections if not hanging),
        level_name(where, "base", 0.0),
    ]
    drawing = Drawing(f"{boat.name}: body plan", "lines-body-plan", (*ink, *place(requests, [*ink, *fence(paper)])))
    return View(drawing, tuple(notes))


def _sections(boat: BoatLines, lines: tuple[FairedLine, ...]) -> Iterator[Section]:
    extras = boat.offsets.extras
    columns = [column for column in boat.offsets.columns if column not in extras]
    breadths = [max((_at(line.half_breadth, column)[0] for line in lines), default=0.0) for column in columns]
    widest = int(np.nanargmax(breadths))
    for place_, column in enumerate(columns):
        points = [(_at(line.half_breadth, column), _at(line.height, column)) for line in lines]
        there = np.array([(y, z) for y, z in points if not (np.isnan(y[0]) or np.isnan(z[0]))])
        for side in [s for s, drawn in ((1.0, place_ <= widest), (-1.0, place_ >= widest)) if drawn and len(there)]:
            turn = np.array([side, 1.0])
            yield Section(column, there[:, :, 0] * turn, there[:, :, 1] * turn)


def _at(view: FairedView, column: str) -> tuple[float, float]:
    """Faired value and movement at a column, NaN where the line is not given there."""
    if column not in view.columns:
        return float("nan"), 0.0
    number = view.columns.index(column)
    return float(view.faired[number]), float(view.moved[number])


def _with_foot(points: Floats) -> Floats:
    """The section carried level to the centre line from its lowest point, as a flat bottom is."""
    return np.vstack([points, [[0.0, points[-1, 1]]]])


def _name(section: Section, points: Floats) -> Request:
    x, y = points[0].tolist()
    spots = [(x + right, y + up, 0.0) for up in (3.5, 6.5, 9.5) for right in (0.0, 4.0, -4.0, 8.0, -8.0)]
    return Request(without_strangers(section.column), NAME_SIZE, np.array(spots), (x, y))


def _hanging(names: Sequence[str], sections: Sequence[Floats], where: Field, foot: float) -> Iterator[Ink]:
    """Names under the sections, each led down from its section's lowest point."""
    top = where.at[1] - CLEAR
    order = sorted(range(len(names)), key=lambda number: float(sections[number][-1, 0]))
    lowest = [sections[number][-1] for number in order]
    yield from (Stroke(np.array([point, [point[0], top]]), "mark") for point in lowest)
    across = [float(point[0]) for point in lowest]
    yield from upright_names([names[number] for number in order], across, top=top, size=NAME_SIZE, most=foot - 8.0)


def _notes(boat: BoatLines, times: int) -> list[str]:
    notes = [
        f"Forward stations on the right, after ones on the left; lines to the {boat.lines_to}.",
        "Sections run straight between the lines of the table.",
    ]
    return [*notes, MOVES.format(times=times) if times else "No offset was moved."]
