"""Small pictures: a part by its outline, the boat by its lines in space. To know a thing again, not to measure it."""

from __future__ import annotations

from collections.abc import Iterator, Sequence

import numpy as np
import shapely

from patterns.drawing.marks import Drawing, Layer, Stroke
from patterns.drawing.wires import Wire, seen
from patterns.geometry.arrays import Floats
from patterns.hull.fairing import FairedLine
from patterns.parts.part import Part

ROOM = (150.0, 55.0)  # mm, width and height a part's picture fills at the most
THINNED = 0.06  # mm of the picture; a line moved less looks the same
ALONG = 33  # points along each line of the boat
STILL = 150.0  # mm, width of the boat's still picture
TURN, TIP = 0.6, 0.45  # rad; seen from ahead, from above, from port
OTHER_SIDE = np.array([1.0, -1.0, 1.0])


def part_picture(part: Part, room: tuple[float, float] = ROOM) -> Drawing:
    """A part without words: both faces' outlines, holes and marks, small, its marked face toward the reader."""
    everything = np.concatenate([part.outline, part.far_outline])
    low, size = everything.min(axis=0), np.ptp(everything, axis=0)
    scale = float(min(room[0] / size[0], room[1] / size[1], 1.0))

    def small(points: Floats, layer: Layer, *, closed: bool = False) -> Stroke:
        return Stroke(_thinned((points - low) * scale, closed=closed), layer, closed=closed)

    ink = (
        small(part.outline, "cut-outside", closed=True),
        *(small(hole, "cut-inside", closed=True) for hole in part.holes),
        *(small(edge.far, "far-face") for edge in part.edges if _shows(edge.points, edge.far, scale)),
        *(small(mark.points, "mark") for mark in part.marks),
    )
    return Drawing(part.title, f"picture-{part.file_name}", ink)


def _shows(points: Floats, far: Floats, scale: float) -> bool:
    """Whether the far face's edge lies clear of the finished line in a picture."""
    return scale * shapely.LineString(far).hausdorff_distance(shapely.LineString(points)) > 2 * THINNED


def _thinned(points: Floats, *, closed: bool) -> Floats:
    if len(points) < 3:
        return points
    ring = np.vstack([points, points[:1]]) if closed else points
    line = shapely.simplify(shapely.LineString(ring), THINNED, preserve_topology=False)
    kept = np.asarray(line.coords)
    return kept[:-1] if closed else kept


def boat_wires(lines: Sequence[FairedLine], stations: Sequence[tuple[str, float]]) -> tuple[Wire, ...]:
    """The boat's long lines, its ends, and sections between the lines at the stations, on both sides.

    Parameters
    ----------
    lines : from the sheer down
    stations : names and mm from FP
    """
    runs = [_along(line, np.linspace(line.curve.first, line.curve.last, ALONG)) for line in lines]
    wires = [Wire(line.name, run, heavy=True) for line, run in zip(lines, runs, strict=True)]
    wires += [Wire(f"{line.name}, port", run * OTHER_SIDE, heavy=True) for line, run in zip(lines, runs, strict=True)]
    for name, at in (("fore end", 0), ("after end", -1)):
        wires.append(Wire(name, _both_sides(np.array([run[at] for run in runs])), heavy=True))
    return (*wires, *_sections(lines, stations))


def _sections(lines: Sequence[FairedLine], stations: Sequence[tuple[str, float]]) -> Iterator[Wire]:
    for name, x in stations:
        there = [line for line in lines if line.curve.first <= x <= line.curve.last]
        if len(there) > 1:
            corners = np.concatenate([_along(line, np.array([x])) for line in there])
            yield Wire(f"station {name}", _both_sides(corners))


def _along(line: FairedLine, x: Floats) -> Floats:
    return np.column_stack([x, line.curve.breadth.value(x), line.curve.height.value(x)])


def _both_sides(starboard: Floats) -> Floats:
    """From the starboard sheer down, across the bottom and up to the port sheer."""
    return np.concatenate([starboard, (starboard * OTHER_SIDE)[::-1]])


def boat_picture(boat: str, wires: Sequence[Wire]) -> Drawing:
    """The boat at a slant, still."""
    return Drawing(f"{boat} seen at a slant", "boat-in-space", seen(wires, turn=TURN, tip=TIP, width=STILL))
