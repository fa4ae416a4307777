"""A small reader of DXF, not the program's."""

from __future__ import annotations

from collections.abc import Iterator

import numpy as np

from patterns.geometry.arc_lines import ArcLine

Entity = dict[int, list[str]]


def tags(data: bytes) -> list[tuple[int, str]]:
    lines = data.decode("ascii").splitlines()
    return [(int(code), value) for code, value in zip(lines[::2], lines[1::2], strict=True)]


def entities(data: bytes) -> Iterator[tuple[str, Entity]]:
    """Kind and group codes of everything in the ENTITIES section."""
    pairs = tags(data)
    start = pairs.index((2, "ENTITIES")) + 1
    kind, found = "", {}
    for code, value in pairs[start:]:
        if code == 0:
            if kind:
                yield kind, found
            if value == "ENDSEC":
                return
            kind, found = value, {}
        else:
            found.setdefault(code, []).append(value)


def lines_on(data: bytes, layer: str) -> list[ArcLine]:
    """The polylines of a layer, arcs kept: bulges (42) stand after the place they leave."""
    return [line for name, line in polylines(data) if name == layer]


def polylines(data: bytes) -> Iterator[tuple[str, ArcLine]]:
    pairs = tags(data)
    at = pairs.index((2, "ENTITIES"))
    kind, layer, closed, points, bulges = "", "", False, [], []
    for code, value in [*pairs[at:], (0, "")]:
        if code == 0:
            if kind == "LWPOLYLINE":
                yield layer, ArcLine(np.array(points), np.array(bulges), closed)
            if value == "ENDSEC":
                return
            kind, points, bulges = value, [], []
        elif code == 8:
            layer = value
        elif code == 70:
            closed = value == "1"
        elif code == 10:
            points.append([float(value), 0.0])
            bulges.append(0.0)
        elif code == 20 and points:
            points[-1][1] = float(value)
        elif code == 42:
            bulges[-1] = float(value)


def header(data: bytes, name: str) -> list[str]:
    pairs = tags(data)
    start = pairs.index((9, name)) + 1
    values = []
    for code, value in pairs[start:]:
        if code in (0, 9):
            return values
        values.append(value)
    return values
