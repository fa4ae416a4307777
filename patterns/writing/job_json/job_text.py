"""job.json: every figure of the job, unrounded, for other programs. Lengths mm, angles degrees."""

from __future__ import annotations

import json
import math
from collections.abc import Mapping, Sequence
from math import fsum
from typing import Any

import numpy as np

from patterns.geometry.arrays import Floats
from patterns.hull.bands import bay_bands
from patterns.hull.doubts.judged_rows import Suspect
from patterns.hull.fairing import FairedLine, FairedView
from patterns.parts.asked.rules import Boat
from patterns.parts.faired import line_without
from patterns.parts.part import Edge, Landing, Part
from patterns.parts.whole import Job
from patterns.shop.fit.bent_edges import EdgeLength, bent_edges
from patterns.shop.nest.sheets import FilledSheet, SheetPlan
from patterns.shop.saw.long_bench import BenchPiece
from patterns.shop.stock.cut_list import BoardPiece, board_pieces, off_sheets
from patterns.shop.stock.lengths import Lengths, lengths_by_title
from patterns.shop.stock.yard import BOARD_FOOT, YardBoard
from patterns.writing.job_json.job_bench import bench_figures
from patterns.writing.job_json.job_bevels import bevel_figures
from patterns.writing.job_json.job_long import long_figures
from patterns.writing.report.band_tables import advice

FORMAT = "scrieve-job/1"


def job_text(
    job: Job,
    files: Mapping[str, Sequence[str]],
    plan: SheetPlan,
    worked: Sequence[BenchPiece] = (),
    more: Mapping[str, Any] | None = None,
    yard: Sequence[YardBoard] = (),
) -> str:
    """The job as JSON.

    Parameters
    ----------
    files : mapping
        Paths in the job folder of the files made of each part, by the part's ``file_name``.
    plan : SheetPlan
        The sheets of plywood, none where the builder names none.
    worked : sequence of BenchPiece
        The long pieces at the bench.
    more : mapping, optional
        Further figures of the whole job, by their keys.
    yard : sequence of YardBoard
        What the builder's yard sells.
    """
    at_bench = {made.title: bench_figures(made) for made in worked}
    bent = bent_edges(job)
    lengths = lengths_by_title((*job.parts, *job.pieces), worked)
    long = {
        piece.part.title: {"long": long_figures(piece) | at_bench.get(piece.part.title, {})}
        for piece in job.long_pieces
    }
    content = {
        "format": FORMAT,
        "boat": job.boat.name,
        "lines": {line.name: _line(line) for line in job.lines},
        "cuts": {cut.name: _cut(cut.view) for cut in job.cuts},
        "patterns": [
            _pattern(part, files.get(part.file_name, ()), lengths[part.title], bent.get(part.name, {}))
            | long.get(part.title, {})
            for part in job.parts
        ],
        "mating": [
            {
                "a": pair.a,
                "b": pair.b,
                "length_a": pair.length_a,
                "length_b": pair.length_b,
                "by_thickness": pair.by_thickness,
                "left": pair.left,
            }
            for pair in job.matings
        ],
        "pieces": [_pattern(piece, files.get(piece.file_name, ()), lengths[piece.title], {}) for piece in job.pieces],
        "cut_list": [_board_piece(one) for one in board_pieces(off_sheets(job.to_cut, plan), worked, yard)],
        "sheets": [_sheet(sheet, job.boat.name) for sheet in plan.sheets],
        "suspects": [_suspect(one, job.boat) for one in job.suspects],
        "extra_figures": list(job.boat.offsets.extras),
        "measure_next": _measure_next(job),
        "warnings": [{"where": caution.where, "text": caution.text} for caution in job.warnings],
    }
    content |= more or {}
    return json.dumps(content, ensure_ascii=False, allow_nan=False) + "\n"


def _sheet(sheet: FilledSheet, boat: str) -> dict[str, Any]:
    """Where parts lie: the foot of their box from the sheet's lower left corner, turned counter-clockwise."""
    return {
        "file": f"router/{sheet.file_name(boat)}.dxf",
        "length": sheet.stock.length,
        "width": sheet.stock.width,
        "thickness": sheet.thickness,
        "material": sheet.material,
        "used": sheet.used,
        "parts": [{"name": p.name, "turn": p.turn, "left": p.left, "bottom": p.bottom} for p, _ in sheet.lying],
        "left": [
            {"left": one.left, "bottom": one.bottom, "length": one.length, "width": one.width} for one in sheet.left
        ],
    }


def _line(line: FairedLine) -> dict[str, Any]:
    """Both views share their stations only where the table gives both: each view carries its own."""
    height, breadth = line.height, line.half_breadth
    stations = list(height.columns) + [name for name in breadth.columns if name not in height.columns]
    from_fp = {**_by_station(breadth.columns, breadth.from_fp), **_by_station(height.columns, height.from_fp)}
    stations.sort(key=lambda name: from_fp[name])
    rows = {
        "half_breadth": _by_station(breadth.columns, breadth.faired),
        "height": _by_station(height.columns, height.faired),
        "moved_half_breadth": _by_station(breadth.columns, breadth.moved),
        "moved_height": _by_station(height.columns, height.moved),
    }
    return {
        "stations": stations,
        "from_fp": [from_fp[name] for name in stations],
        **{key: [row.get(name) for name in stations] for key, row in rows.items()},
        "band_half_breadth": _bands(breadth),
        "band_height": _bands(height),
    }


def _cut(view: FairedView) -> dict[str, Any]:
    return {
        "stations": list(view.columns),
        "from_fp": view.from_fp.tolist(),
        "faired": view.faired.tolist(),
        "moved": view.moved.tolist(),
        "band": _bands(view),
    }


def _bands(view: FairedView) -> list[dict[str, float | None]]:
    """How far the line may be out in each bay, 19 times of 20; nothing where its offsets are too few to say."""
    return [
        {
            "from": bay.from_fp[0],
            "to": bay.from_fp[1],
            "widest_at": bay.at,
            "may_be_out": None if math.isnan(bay.half_width) else bay.half_width,
        }
        for bay in bay_bands(view)
    ]


def _measure_next(job: Job) -> dict[str, Any] | None:
    """The figure that is best measured on the plan next, and how far the line may be out in its bay now and then."""
    found = advice(job.lines, job.boat.offsets, job.suspects, job.boat.show)
    if found is None:
        return None
    best, told = found
    return {
        "line": best.line,
        "view": best.view,
        "from_fp": best.at,
        "near": best.column,
        "aft_of_it": best.away,
        "may_be_out": best.bay.half_width,
        "may_be_out_then": best.after,
        "told": told,
    }


def _suspect(one: Suspect, boat: Boat) -> dict[str, Any]:
    """``without``: what the line reads there with the figure left out, and how far it then may be out."""
    without = line_without(boat, one.place)
    return {
        "without": without
        and {
            "reads": without.reads,
            "may_be_out": None if math.isnan(without.may_be_out) else without.may_be_out,
        },
        "line": one.line,
        "view": one.view,
        "column": one.column,
        "given": one.given,
        "expected": one.expected,
        "off": one.off,
        "strength": one.strength,
        "cause": one.cause,
        "meant": one.meant,
    }


def _by_station(columns: tuple[str, ...], values: Floats) -> dict[str, float]:
    return dict(zip(columns, values.tolist(), strict=True))


def _board_piece(one: BoardPiece) -> dict[str, Any]:
    """What is on no sheet: its wood, net, and how much of that comes out of no board on hand, mm3."""
    return {
        "part": one.title,
        "count": one.count,
        "material": one.material,
        "thickness": one.thickness,
        **_lengths(one.lengths),
        "finished_width": one.width,
        "rough_thickness": one.rough,
        "wood": one.board_feet * BOARD_FOOT,
        "wood_to_buy": one.to_buy * BOARD_FOOT,
        "from_board": one.on_hand.board if one.on_hand else None,
        "lengths_from_board": list(one.on_hand.lengths) if one.on_hand else [],
        "lengths_to_buy": list(one.on_hand.missing) if one.on_hand else [],
    }


def _lengths(lengths: Lengths) -> dict[str, float | None]:
    return {"finished_length": lengths.finished, "sawn_length": lengths.sawn, "stock_length": lengths.stock}


def _pattern(part: Part, files: Sequence[str], lengths: Lengths, bent: Mapping[str, EdgeLength]) -> dict[str, Any]:
    pattern: dict[str, Any] = {
        "name": part.name,
        "hand": part.hand,
        "count": part.count,
        "thickness": part.thickness,
        **_lengths(lengths),
        "material": part.material,
        "marked_face": part.marked_face,
        "outline": part.outline.tolist(),
        "edges": [_edge(edge) for edge in part.edges],
        "grain": "any" if part.grain_along is None else float(np.degrees(part.grain_along) % 180.0),
        "holes": [hole.tolist() for hole in part.holes],
        "marks": [{"name": mark.name, "points": mark.points.tolist()} for mark in part.marks],
        "area": area(part.outline) - fsum(abs(area(hole)) for hole in part.holes),
        "files": list(files),
    }
    if bent:
        pattern["bent_edges"] = [_bent(name, edge) for name, edge in bent.items()]
    if part.landings:
        pattern["landings"] = [_landing(landing) for landing in part.landings]
    return pattern


def _bent(name: str, edge: EdgeLength) -> dict[str, str | float]:
    return {
        "name": name,
        "drawn": edge.drawn,
        "in_boat": edge.in_boat,
        "bent_degrees": float(np.degrees(edge.turn)),
        "face_off_middle": edge.off_middle,
        "by_bending": edge.by_bending,
    }


def _edge(edge: Edge) -> dict[str, Any]:
    return {
        "name": edge.name,
        "points": edge.points.tolist(),
        "far": edge.far.tolist(),
        "bevels": [{"along": bevel.along, **bevel_figures(bevel.angle), "kind": bevel.kind} for bevel in edge.bevels],
    }


def _landing(landing: Landing) -> dict[str, float]:
    return {
        "height": landing.height,
        "degrees": float(np.degrees(landing.angle)),
        "half_face": landing.half_face,
        "depth": landing.depth,
    }


def area(ring: Floats) -> float:
    """Area within a closed ring of points (n, 2), mm2; positive counter-clockwise."""
    x, y = ring[:, 0], ring[:, 1]
    return float(np.sum(x * np.roll(y, -1) - np.roll(x, -1) * y) / 2)
