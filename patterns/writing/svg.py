"""One drawing as a full-size SVG: sizes in mm, one group a layer, y turned over once in the root's transform."""

from __future__ import annotations

from typing import Any, assert_never

import numpy as np
import svgwrite

from patterns.drawing.marks import LAYERS, Cross, Drawing, Ink, Label, Layer, Stroke
from patterns.drawing.styles import STYLES
from patterns.drawing.text import CAP_HEIGHT, label_box, text_width
from patterns.geometry.arrays import Floats

MARGIN = 10.0  # mm round the ink
BAR = 100.0  # mm, the check bars
BAR_ROOM = 16.0  # mm below the drawing and left of it for them
TICK = 2.5  # mm
ANCHORS = {"start": 0.0, "middle": 0.5, "end": 1.0}  # share of a word's width left of its anchor


def svg_text(drawing: Drawing) -> str:
    """The drawing as SVG text, true size when printed or cut at 100 %.

    Source: W3C CSS Values and Units: a width in mm with a viewBox in mm makes one user unit one mm.
    """
    low, high = _reach(drawing.marks)
    low = low - (MARGIN + BAR_ROOM)
    high = np.maximum(high + MARGIN, low + BAR + 2 * MARGIN)
    width, height = (_round(size) for size in high - low)
    # Checking each value against the standard takes four times as long and refuses attributes that are fine.
    sheet = svgwrite.Drawing(
        size=(f"{width}mm", f"{height}mm"), viewBox=f"0 0 {width} {height}", debug=False, profile="full"
    )
    sheet.set_desc(title=drawing.title)
    upright = f"translate({_round(-low[0])},{_round(high[1])}) scale(1,-1)"
    root = sheet.add(sheet.g(id=drawing.file_name, transform=upright))
    for layer in LAYERS:
        marks = [mark for mark in drawing.marks if mark.layer == layer]
        if layer == "sheet":
            marks += _check_bars(low + MARGIN)
        if marks:
            group = root.add(_group(sheet, drawing.file_name, layer))
            for mark in marks:
                group.add(_spelt(sheet, mark))
    return str(sheet.tostring()) + "\n"


def _group(sheet: Any, name: str, layer: Layer) -> Any:
    style = STYLES[layer]
    ink = svgwrite.rgb(*(round(255 * style.grey),) * 3)
    group = sheet.g(id=f"{name}-{layer}", fill="none", stroke=ink, stroke_width=style.width)
    if style.dashes:
        group["stroke-dasharray"] = ",".join(str(_round(dash)) for dash in style.dashes)
    group.set_desc(title=layer)
    return group


def _spelt(sheet: Any, mark: Ink) -> Any:
    match mark:
        case Stroke():
            return sheet.path(d=_path(mark.points, closed=mark.closed))
        case Cross():
            (x, y), arm = mark.at, mark.arm
            level, upright = np.array([[x - arm, y], [x + arm, y]]), np.array([[x, y - arm], [x, y + arm]])
            return sheet.path(d=_path(level, closed=False) + _path(upright, closed=False))
        case Label():
            return _lettered(sheet, mark)
        case _:
            assert_never(mark)


def _lettered(sheet: Any, label: Label) -> Any:
    """A word turned back upright; its width is given, so that another font in its place reaches no further."""
    width = text_width(label.text, label.size)
    x, y = (_round(place) for place in label.at)
    text = sheet.text(
        label.text,
        insert=(_round(-ANCHORS[label.anchor] * width), _round(label.size / 2)),
        transform=f"translate({x},{y}) scale(1,-1) rotate({_round(-np.degrees(label.angle))})",
        font_family="DejaVu Sans, Verdana, sans-serif",
        font_size=_round(label.size / CAP_HEIGHT),
        fill="black",
        stroke="none",
    )
    text["textLength"] = _round(width)
    return text


def _path(points: Floats, *, closed: bool) -> str:
    places = "L".join(f"{_round(x)},{_round(y)}" for x, y in points.tolist())
    return f"M{places}" + ("Z" if closed else "")


def _round(value: float) -> float:
    """Microns are enough; and never minus nought."""
    return round(float(value), 3) + 0.0


def _reach(marks: tuple[Ink, ...]) -> tuple[Floats, Floats]:
    """Lower left and upper right of all the ink."""
    corners = []
    for mark in marks:
        match mark:
            case Stroke():
                corners += [mark.points.min(axis=0), mark.points.max(axis=0)]
            case Cross():
                corners += [np.array(mark.at) - mark.arm, np.array(mark.at) + mark.arm]
            case Label():
                corners += list(label_box(mark))
            case _:
                assert_never(mark)
    return np.min(corners, axis=0), np.max(corners, axis=0)


def _check_bars(corner: Floats) -> list[Ink]:
    """Two bars at right angles to lay a rule on."""
    x, y = map(float, corner)
    bars: list[Ink] = []
    for along, aside in (((1.0, 0.0), (0.0, 1.0)), ((0.0, 1.0), (1.0, 0.0))):
        start, way, tick = np.array([x, y]), np.array(along), np.array(aside) * TICK
        end = start + BAR * way
        bars.append(Stroke(np.stack([start, end]), "sheet"))
        bars += [Stroke(np.stack([place - tick, place + tick]), "sheet") for place in (start, end)]
    bars.append(Label("check: 100 mm both ways", (x + BAR / 2, y + 4.0), 2.5, layer="sheet"))
    return bars
