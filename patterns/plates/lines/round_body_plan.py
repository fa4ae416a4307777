"""The body plan of a round hull: the section of its skin at every station, and the lines of the table that cross it."""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass

import numpy as np

from patterns.drawing.label_placing import Request, place
from patterns.drawing.marks import Drawing, Ink, Stroke
from patterns.drawing.text import without_strangers
from patterns.geometry.arrays import Floats
from patterns.hull.fairing_rules import HEIGHT
from patterns.hull.planking.plank_lines import PlankLines
from patterns.hull.round.round_hull import FairedFigure, RoundHull
from patterns.hull.round.skin_lines import line_places
from patterns.parts.asked.rules import BoatLines
from patterns.plates.lines.band_tints import SEEN, TINT, stretches
from patterns.plates.lines.given_points import MOVES, point_pairs
from patterns.plates.lines.plank_runs import plank_ink, plank_names, plank_note, runs_across
from patterns.plates.view_field import (
    FOOT,
    NAME_SIZE,
    NOTE_SIZE,
    Field,
    KeptFree,
    Manner,
    View,
    fence,
    field,
    level_line,
    level_name,
    notes_height,
    words,
)

CLEAR = 8.0  # mm on paper round the sections
ALONG = 121  # points along each section


@dataclass(frozen=True, slots=True, eq=False)
class _Drawn:
    """A section on the side it is drawn on."""

    column: str
    side: float  # 1 forward of the widest, -1 aft of it
    points: Floats  # (ALONG, 2) mm: across, height; from the rabbet up
    square: Floats  # (ALONG, 2) unit
    band: Floats  # (ALONG,) mm
    from_fp: float  # mm, of its widest place


def round_body_plan(boat: BoatLines, hull: RoundHull, manner: Manner, planks: PlankLines | None = None) -> View:
    """Sections from rabbet or post to sheer, waterlines, buttocks and diagonals straight across them."""
    paper, times, lettered = manner.paper, manner.times, manner.lettered
    sections = tuple(_sections(hull))
    points = np.concatenate([one.points for one in sections])
    wide = float(np.abs(points[:, 0]).max())
    notes = [
        f"Forward stations on the right, after ones on the left; lines to the {boat.lines_to}.",
        "Sections are cuts of the one surface that all the lines agree on.",
        MOVES.format(times=times) if times else "No offset was moved.",
        *plank_note(planks),
        TINT,
    ]
    where = field(
        (-wide, float(min(points[:, 1].min(), 0.0))),
        (wide, float(points[:, 1].max())),
        KeptFree(notes_height([*notes, "scale"], width=paper[0]) if lettered else 0.0, CLEAR, FOOT),
        paper=paper,
        same_scale=True,
    )
    tints = [tint for one in sections for tint in _tints(one, where)]
    notes = [where.scale, *(notes if tints else notes[:-1])]
    middle = where.on_paper(np.array([[0.0, where.low[1]], [0.0, where.low[1] + where.up * where.height]]))
    planes = tuple(_planes(hull, where))
    widest = next(one for one in sections if one.side < 0)
    runs = runs_across(planks, widest.from_fp)
    ink: list[Ink] = [
        level_line(where, 0.0),
        Stroke(middle + np.array([[0.0, -3.0], [0.0, 3.0]]), "mark"),
        *(Stroke(where.on_paper(line), "mark") for _, line in planes),
        *(Stroke(where.on_paper(one.points), "line") for one in sections),
        *plank_ink(runs, where),
        *(mark for one in sections for mark in _figures(hull, one, where, times)),
        *(words(f"{boat.name}: body plan", notes, paper=paper) if lettered else ()),
    ]  # fmt: skip
    requests = [
        *(_name(one, where) for one in sections),
        *(_plane_name(name, where.on_paper(line)) for name, line in planes if name),
        *plank_names(runs, where),
        level_name(where, "base", 0.0),
    ]
    marks = (*tints, *ink, *place(requests, [*ink, *fence(paper)]))
    return View(Drawing(f"{boat.name}: body plan", "lines-body-plan", marks), tuple(notes))


def _sections(hull: RoundHull) -> Iterator[_Drawn]:
    skin, columns = hull.skin, hull.offsets.columns
    stations = [(name, x) for name, x in hull.offsets.stations if np.isfinite(skin.reach(x)[0])]
    found: list[tuple[str, Floats, Floats]] = []
    for name, x in stations:
        v = np.linspace(*skin.reach(x), ALONG)
        found.append((name, skin.u_at(x, v), v))
    for u, name, post in ((0.0, columns[0], hull.keel_ends_on[0]), (1.0, columns[-1], hull.keel_ends_on[1])):
        if not post:
            found.insert(0 if u == 0.0 else len(found), (name, np.full(ALONG, u), np.linspace(0.0, 1.0, ALONG)))
    placed = [(name, skin.places(u, v)) for name, u, v in found]
    widest = int(np.argmax([places.points[:, 1].max() for _, places in placed]))
    for number, (name, places) in enumerate(placed):
        square = places.normals[:, 1:] / np.hypot(*places.normals[:, 1:].T)[:, None]
        band = hull.may_be_out(places)
        for side in [s for s, drawn in ((1.0, number <= widest), (-1.0, number >= widest)) if drawn]:
            turn = np.array([side, 1.0])
            from_fp = float(places.points[places.points[:, 1].argmax(), 0])
            yield _Drawn(name, side, places.points[:, 1:] * turn, square * turn, band, from_fp)


def _tints(one: _Drawn, where: Field) -> Iterator[Stroke]:
    seen = np.nan_to_num(one.band) >= SEEN * where.up
    for stretch in stretches(seen):
        away = one.band[stretch, None] * one.square[stretch]
        edges = [one.points[stretch] + way * away for way in (1.0, -1.0)]
        yield Stroke(where.on_paper(np.concatenate([edges[0], edges[1][::-1]])), "band", closed=True)


def _figures(hull: RoundHull, one: _Drawn, where: Field, times: int) -> Iterator[Ink]:
    """Crosses at the faired points of a section, and where the figures as given stand off them."""
    own = [figure for figure in hull.figures if figure.column == one.column and np.isfinite(figure.faired)]
    rows = [(at, step) for figure in own if (at := _point(hull, figure)) is not None and (step := _way(hull, figure))]
    if not rows:
        return
    points = np.array([at for at, _ in rows]) * (one.side, 1.0)
    moved = np.array([figure.moved for figure in own if _point(hull, figure) is not None])
    steps = np.array([step for _, step in rows]) * (one.side, 1.0)
    yield from point_pairs(where.on_paper(points), -times * moved[:, None] * steps / where.up)


def _way(hull: RoundHull, figure: FairedFigure) -> tuple[float, float]:
    """The way a figure is measured, athwart and up."""
    diagonal = next((each for each in hull.diagonals if each.name == figure.line), None)
    if diagonal is not None:
        return float(np.cos(diagonal.angle)), -float(np.sin(diagonal.angle))
    return (0.0, 1.0) if figure.view == HEIGHT else (1.0, 0.0)


def _point(hull: RoundHull, figure: FairedFigure) -> tuple[float, float] | None:
    """Where a figure lies as faired; None for lines of the hull whose other figure is not given there."""
    diagonal = next((each for each in hull.diagonals if each.name == figure.line), None)
    if diagonal is not None:
        return figure.faired * float(np.cos(diagonal.angle)), diagonal.apex - figure.faired * float(
            np.sin(diagonal.angle)
        )
    if figure.line in line_places(hull):
        other = next(
            (
                one.faired
                for one in hull.figures
                if (one.line, one.column) == (figure.line, figure.column) and one.view != figure.view
            ),
            hull.keel_half if figure.line != "sheer" else None,
        )
        if other is None:
            return None
        return (other, figure.faired) if figure.view == HEIGHT else (figure.faired, other)
    rows = {row.name: row.level for row in (*hull.offsets.heights, *hull.offsets.half_breadths)}
    level = rows[figure.line]
    return (level, figure.faired) if figure.view == HEIGHT else (figure.faired, level)


def _planes(hull: RoundHull, where: Field) -> Iterator[tuple[str, Floats]]:
    """Waterlines, buttocks and diagonals seen from the end: straight lines from side to side."""
    wide, low = -where.low[0], where.low[1]
    high = low + where.up * where.height
    for row in hull.offsets.half_breadths:
        if row.name.startswith("waterline"):
            yield row.name, np.array([[-wide, row.level], [wide, row.level]])
    for row in hull.offsets.heights:
        if row.name.startswith("buttock"):
            for side in (1.0, -1.0):
                yield row.name if side > 0 else "", np.array([[side * row.level, low], [side * row.level, high]])
    for one in hull.diagonals:
        reach = min(wide, (one.apex - low) / max(float(np.tan(one.angle)), 1e-9))
        for side in (1.0, -1.0):
            foot = [side * reach, one.apex - reach * float(np.tan(one.angle))]
            yield one.name if side > 0 else "", np.array([[0.0, one.apex], foot])


def _name(one: _Drawn, where: Field) -> Request:
    x, y = where.on_paper(one.points[-1:])[0].tolist()
    spots = [(x + right, y + up, 0.0) for up in (3.5, 6.5, 9.5) for right in (0.0, 4.0, -4.0, 8.0, -8.0)]
    return Request(without_strangers(one.column), NAME_SIZE, np.array(spots), (x, y))


def _plane_name(name: str, line: Floats) -> Request:
    (x0, y0), (x1, y1) = line.tolist()
    # Names of planes stand along them near their outer ends, where sections are few.
    spots = [
        (x1 + (x0 - x1) * share, y1 + (y0 - y1) * share + up, 0.0)
        for share in (0.06, 0.12, 0.2, 0.9, 0.8)
        for up in (1.8, -1.8)
    ]
    return Request(without_strangers(name), NOTE_SIZE, np.array(spots), (x1, y1), rank=1)
