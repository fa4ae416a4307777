"""Contours as DXF a router shop can cut unedited: R2000, millimetres, closed polylines of lines and arcs, no text."""

from __future__ import annotations

import io
from collections.abc import Iterable, Sequence
from typing import TYPE_CHECKING

import numpy as np

from patterns.geometry.arc_lines import ArcLine, straight
from patterns.geometry.arrays import Floats
from patterns.shop.contours import Contours, RouterLayer

if TYPE_CHECKING:
    from ezdxf.document import Drawing as Document
    from ezdxf.layouts.layout import Modelspace

# Index colours that stay apart on black and on white screens, the cuts the most striking.
COLOURS: dict[RouterLayer, int] = {
    "cut-outside": 30,  # orange
    "cut-inside": 200,  # violet
    "far-face": 140,  # sky blue
    "mark": 94,  # dark green
    "drill": 10,  # red
    "tab": 54,  # olive
    "text": 8,  # grey
    "sheet": 9,  # light grey
}
DIGITS = 4  # of a mm; the file says no more than a machine can follow
BULGE_DIGITS = 10  # a bulge is multiplied by half a chord, metres long on a flat arc
_MILLIMETRES = 4  # $INSUNITS
_METRIC = 1  # $MEASUREMENT


def write_dxf(part: Contours) -> bytes:
    """One part, its lowest x and y at 0."""
    return _written([part.at_origin()], sheet=None)


def write_sheet(parts: Iterable[Contours], sheet: Sequence[float], extra: Iterable[Contours] = ()) -> bytes:
    """Parts as they were placed on a sheet of (length, width) mm whose corner lies at the origin."""
    length, width = sheet
    outline = straight(np.array([[0.0, 0.0], [length, 0.0], [length, width], [0.0, width]]), closed=True)
    return _written([*parts, *extra], sheet=outline)


def _written(parts: Sequence[Contours], sheet: ArcLine | None) -> bytes:
    document = _empty_document()
    space = document.modelspace()
    if sheet is not None:
        _polyline(space, sheet, "sheet")
    for part in parts:
        _part(space, part)
    corners = [sheet.points] if sheet is not None else [corner[None] for part in parts for corner in part.bounds]
    _set_extents(document, np.concatenate(corners))
    return _as_bytes(document)


def _part(space: Modelspace, part: Contours) -> None:
    _polyline(space, part.outer, "cut-outside")
    for hole in part.inner:
        _polyline(space, hole, "cut-inside")
    for score in part.scored:
        _polyline(space, score.line, score.layer)
    for hole in part.drilled:
        x, y = np.round(hole.at, DIGITS).tolist()
        space.add_circle((x, y), round(hole.diameter / 2, DIGITS), dxfattribs={"layer": "drill"})


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


def _polyline(space: Modelspace, line: ArcLine, layer: RouterLayer) -> None:
    # Adding zero turns -0.0 into 0.0.
    points, bulges = np.round(line.points, DIGITS) + 0.0, np.round(line.bulges, BULGE_DIGITS) + 0.0
    space.add_lwpolyline(
        np.column_stack([points, bulges]).tolist(), format="xyb", close=line.closed, dxfattribs={"layer": layer}
    )


def _set_extents(document: Document, points: Floats) -> None:
    """Readers that zoom by the header see 1e20 mm of nothing without this."""
    low, high = ((*np.round(end, DIGITS).tolist(), 0.0) for end in (points.min(axis=0), points.max(axis=0)))
    document.modelspace().reset_extents(low, high)
    document.header["$EXTMIN"], document.header["$EXTMAX"] = low, high


def _as_bytes(document: Document) -> bytes:
    text = io.StringIO()
    document.write(text)
    return text.getvalue().encode("ascii")
