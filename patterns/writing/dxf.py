"""One part as a DXF a router shop can cut unedited: R2000, millimetres, closed outlines, a layer an operation."""

from __future__ import annotations

import io
from collections.abc import Iterator
from typing import TYPE_CHECKING

import numpy as np
import shapely

from patterns.drawing.marks import Layer
from patterns.errors import ShapeError
from patterns.geometry.arrays import Floats, run_along
from patterns.parts.part import Bevel, Edge, Part

if TYPE_CHECKING:
    from ezdxf.document import Drawing as Document
    from ezdxf.layouts.layout import Modelspace

# Index colours that stay apart on black and on white screens, the cuts the most striking.
COLOURS: dict[Layer, int] = {
    "cut-outside": 30,  # orange
    "cut-inside": 200,  # violet
    "far-face": 140,  # sky blue
    "mark": 94,  # dark green
    "text": 8,  # grey
}
DIGITS = 4  # of a mm; the file says no more than a machine can follow
SAME_PLACE = 10.0**-DIGITS  # mm; nearer points are one
TITLE_SIZE = 12.0  # mm, height of capitals
BEVEL_SIZE = 5.0  # mm
BEVEL_PITCH = 60.0  # mm along an edge between bevel labels, or they run together
HALF_BEVEL_TEXT = 30.0  # mm, half the length of "12.3 deg standing"
BEVEL_IN = 9.0  # mm from the edge in to the middle of a bevel label
SQUARE_WITHIN = 0.05  # deg; nobody saws finer
_MILLIMETRES = 4  # $INSUNITS
_METRIC = 1  # $MEASUREMENT


def write_dxf(part: Part) -> bytes:
    """The part in its own axes, as job.json has it.

    Raises
    ------
    ShapeError
        An outline that crosses itself or encloses nothing: no machine can cut it.
    """
    document = _empty_document()
    space = document.modelspace()
    outline = _ring(part.outline, part, "outline")
    _closed(space, outline, "cut-outside")
    for hole in part.holes:
        _closed(space, _ring(hole, part, "hole"), "cut-inside")
    for edge in part.edges:
        _open(space, edge.far, "far-face")
    for mark in part.marks:
        _open(space, mark.points, "mark")
    _title(space, part, outline)
    for edge in part.edges:
        _bevels(space, edge)
    _set_extents(document, [outline, *(edge.far for edge in part.edges), *(mark.points for mark in part.marks)])
    return _as_bytes(document)


def _empty_document() -> Document:
    # A third of a second: only whoever writes DXF pays for it.
    from ezdxf import options  # type: ignore[attr-defined]
    from ezdxf.filemanagement import new

    # Dates and random identities would make every run's file another one.
    options.write_fixed_meta_data_for_testing = True
    document = new("R2000", units=_MILLIMETRES)
    document.header["$MEASUREMENT"] = _METRIC
    for name, colour in COLOURS.items():
        document.layers.add(name, color=colour)
    return document


def _ring(points: Floats, part: Part, what: str) -> Floats:
    """A closed contour as it is written: rounded, no point twice running, none repeated at the end."""
    ring = _rounded(points)
    if len(ring) > 1 and (ring[0] == ring[-1]).all():
        ring = ring[:-1]
    if len(ring) < 3:
        raise ShapeError(f"{part.title}: the {what} encloses nothing, so it cannot be cut")
    polygon = shapely.Polygon(ring)
    if not polygon.is_valid:
        raise ShapeError(f"{part.title}: the {what} is not one clean loop ({shapely.is_valid_reason(polygon)})")
    return ring


def _rounded(points: Floats) -> Floats:
    """(n, 2) points to the digits written, without segments of no length."""
    # Adding zero turns -0.0 into 0.0.
    grid = np.round(points, DIGITS) + 0.0
    moved = np.abs(np.diff(grid, axis=0)).max(axis=1) > SAME_PLACE / 2
    kept: Floats = grid[np.concatenate([[True], moved])]
    return kept


def _closed(space: Modelspace, ring: Floats, layer: Layer) -> None:
    space.add_lwpolyline(ring.tolist(), close=True, dxfattribs={"layer": layer})


def _open(space: Modelspace, points: Floats, layer: Layer) -> None:
    line = _rounded(points)
    if len(line) > 1:
        space.add_lwpolyline(line.tolist(), dxfattribs={"layer": layer})


def _title(space: Modelspace, part: Part, outline: Floats) -> None:
    """What the piece is, in the middle of the wood and no taller than the wood allows."""
    lines = [part.title, f"{part.thickness:g} mm {part.material}", f"{part.marked_face} up"]
    if part.count > 1:
        lines.append(f"{part.count} off")
    middle = shapely.maximum_inscribed_circle(shapely.Polygon(outline), tolerance=1.0)
    (x, y), room = middle.coords[0], middle.length
    size = min(TITLE_SIZE, room / len(lines))
    for number, line in enumerate(lines):
        _text(space, line, (x, y + ((len(lines) - 1) / 2 - number) * 1.6 * size), size=size, angle=0.0)


def _bevels(space: Modelspace, edge: Edge) -> None:
    """The bevel's degrees along the inside of an edge, reading along it."""
    run = run_along(edge.points)
    half_text = min(HALF_BEVEL_TEXT, run[-1] / 2)
    for bevel in _spaced(edge):
        # The figure at an edge's very end would stand half off the wood.
        middle = float(np.clip(bevel.along, half_text, run[-1] - half_text))
        before, at, after = (_point_along(edge.points, run, middle + step) for step in (-1.0, 0.0, 1.0))
        along = after - before
        # Outlines run counter-clockwise: the wood lies to the left.
        x, y = at + BEVEL_IN * np.array([-along[1], along[0]]) / np.hypot(*along)
        angle = float(np.degrees(np.arctan2(along[1], along[0])))
        _text(space, _bevel_words(bevel), (float(x), float(y)), size=BEVEL_SIZE, angle=_readable(angle))


def _point_along(points: Floats, run: Floats, place: float) -> Floats:
    return np.array([np.interp(place, run, points[:, 0]), np.interp(place, run, points[:, 1])])


def _spaced(edge: Edge) -> Iterator[Bevel]:
    """Bevels far enough apart to be read; none on an edge that is square all along."""
    if all(abs(np.degrees(bevel.angle)) < SQUARE_WITHIN for bevel in edge.bevels):
        return
    last = -np.inf
    for bevel in edge.bevels:
        if bevel.along - last >= BEVEL_PITCH:
            last = bevel.along
            yield bevel


def _bevel_words(bevel: Bevel) -> str:
    degrees = float(np.degrees(bevel.angle))
    if abs(degrees) < SQUARE_WITHIN:
        return "square"
    return f"{abs(degrees):.1f} deg {'standing' if degrees > 0 else 'under'}"


def _readable(degrees: float) -> float:
    """The same direction, turned end for end where the text would stand on its head."""
    return (degrees + 90.0) % 180.0 - 90.0


def _text(space: Modelspace, text: str, at: tuple[float, float], *, size: float, angle: float) -> None:
    from ezdxf.enums import TextEntityAlignment

    # R2000 knows one old code page: plain letters alone read the same everywhere.
    plain = text.encode("ascii", "replace").decode("ascii")
    place = (round(at[0], 3) + 0.0, round(at[1], 3) + 0.0)
    attributes = {"layer": "text", "rotation": round(angle, 2) + 0.0}
    entity = space.add_text(plain, height=round(size, 2), dxfattribs=attributes)
    entity.set_placement(place, align=TextEntityAlignment.MIDDLE_CENTER)


def _set_extents(document: Document, lines: list[Floats]) -> None:
    """Readers that zoom by the header see 1e20 mm of nothing without this."""
    points = np.concatenate(lines)
    low, high = ((*np.round(end, DIGITS).tolist(), 0.0) for end in (points.min(axis=0), points.max(axis=0)))
    document.modelspace().reset_extents(low, high)
    document.header["$EXTMIN"], document.header["$EXTMAX"] = low, high


def _as_bytes(document: Document) -> bytes:
    text = io.StringIO()
    document.write(text)
    return text.getvalue().encode("ascii")
