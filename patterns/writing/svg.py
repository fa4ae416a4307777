"""A drawing or a page as SVG: full size in millimetres, a named group a layer, one flip to turn y up."""

from __future__ import annotations

import math
import re
from collections.abc import Iterable
from typing import Any, assert_never

import svgwrite

from patterns.drawing.marks import LAYERS, LINES_LAYERS, Cross, Drawing, Ink, Label, Stroke
from patterns.drawing.moving import extent
from patterns.drawing.styles import STYLES, Style
from patterns.drawing.text import CAP_HEIGHT, text_width
from patterns.tiling.check_bars import level_bar, upright_bar
from patterns.tiling.page import Page
from patterns.tiling.paper import BAR_ROOM

MARGIN = 10.0  # mm round everything
BESIDE = 12.0  # mm from the pattern to the check bars
DIGITS = 3  # of a mm
FONT = "DejaVu Sans, Verdana, sans-serif"  # the first is what labels were measured by, the second much as wide

Box = tuple[float, float, float, float]  # mm: left, bottom, right, top


def svg_text(drawing: Drawing) -> str:
    """A drawing full size, a margin round it and check bars below and to the left."""
    left, bottom, right, top = extent(drawing.marks)
    bars = (*level_bar(left, bottom - BESIDE), *upright_bar(left - BESIDE, bottom))
    box = (
        left - BESIDE - MARGIN,
        bottom - BESIDE - MARGIN,
        max(right, left + BAR_ROOM) + MARGIN,
        max(top, bottom + BAR_ROOM) + MARGIN,
    )
    return _svg((*drawing.marks, *bars), box, title=drawing.title, prefix=drawing.file_name)


def svg_page(page: Page, *, prefix: str) -> str:
    """A sheet as it is printed, paper and all, without a printer's correction: true size on a printer that is true.

    Parameters
    ----------
    prefix : str
        What its ids begin with: no two sheets' alike.
    """
    return _svg(page.marks, (0.0, 0.0, page.width, page.height), title=page.name, prefix=prefix)


def picture_text(drawing: Drawing) -> str:
    """A drawing that is not full size: no check bars, for nobody measures it."""
    left, bottom, right, top = extent(drawing.marks)
    box = (left - MARGIN, bottom - MARGIN, right + MARGIN, top + MARGIN)
    return _svg(drawing.marks, box, title=drawing.title, prefix=drawing.file_name)


def svg_inline(drawing: Drawing, *, margin: float = 2.0) -> str:
    """A drawing as an element for a page of HTML, as wide as the page gives it; ``margin`` mm round it.

    Its groups carry their layers as classes, for the page's style sheet.
    """
    left, bottom, right, top = extent(drawing.marks)
    box = (left - margin, bottom - margin, right + margin, top + margin)
    image = _image(drawing.marks, box, title=drawing.title, prefix=drawing.file_name)
    image["width"], image["role"] = "100%", "img"
    del image.attribs["height"]  # as its proportions have it
    image["aria-label"] = drawing.title
    return str(image.tostring())


def _svg(marks: Iterable[Ink], box: Box, *, title: str, prefix: str) -> str:
    image = _image(marks, box, title=title, prefix=prefix)
    return '<?xml version="1.0" encoding="utf-8"?>\n' + str(image.tostring()) + "\n"


def _image(marks: Iterable[Ink], box: Box, *, title: str, prefix: str) -> Any:
    left, bottom, right, top = box
    width, height = _short(right - left), _short(top - bottom)
    # Its checks cost five times the writing, and its own ids would count on from one file to the next.
    image = svgwrite.Drawing(
        size=(f"{width}mm", f"{height}mm"), viewBox=f"0 0 {width} {height}", debug=False, profile="full"
    )
    image.set_desc(title=title)
    name = _plain_id(prefix)
    upright = image.g(
        id=f"{name}-pattern",
        transform=f"matrix(1 0 0 -1 {_short(-left)} {_short(top)})",
        fill="none",
        stroke_linecap="round",
        stroke_linejoin="round",
    )
    marks = tuple(marks)
    for layer in (*LAYERS, *LINES_LAYERS):
        style = STYLES[layer]
        group = image.g(id=f"{name}-{layer}", stroke=_grey(style), stroke_width=_short(style.width))
        group.set_desc(title=layer)
        group["class"] = layer
        if style.dashes:
            group["stroke-dasharray"] = " ".join(_short(dash) for dash in style.dashes)
        on_layer = [mark for mark in marks if mark.layer == layer]
        for mark in on_layer:
            group.add(_element(image, mark, style))
        if on_layer:
            upright.add(group)
    image.add(upright)
    return image


def _plain_id(text: str) -> str:
    """Letters, digits and hyphens, beginning with a letter, as an id must."""
    plain = re.sub(r"[^A-Za-z0-9]+", "-", text).strip("-")
    return plain if plain[:1].isalpha() else f"p-{plain}".rstrip("-")


def _grey(style: Style) -> str:
    return f"#{round(255 * style.grey):02x}" + 2 * f"{round(255 * style.grey):02x}"


def _element(image: Any, mark: Ink, style: Style) -> Any:
    match mark:
        case Stroke():
            element = image.path(d=_path(mark))
            if mark.dashes:
                element["stroke-dasharray"] = " ".join(_short(dash) for dash in mark.dashes)
            dashes = mark.dashes or style.dashes
            if dashes and mark.run:
                element["stroke-dashoffset"] = _short(mark.run % sum(dashes))
            return element
        case Cross():
            return image.path(d=_cross_path(mark))
        case Label():
            return _text(image, mark, style)
        case _:
            assert_never(mark)


def _path(stroke: Stroke) -> str:
    points = " ".join(f"{_short(x)},{_short(y)}" for x, y in stroke.points.tolist())
    return f"M{points}{'Z' if stroke.closed else ''}"


def _cross_path(cross: Cross) -> str:
    (x, y), arm = cross.at, cross.arm
    return f"M{_short(x - arm)},{_short(y)}H{_short(x + arm)}M{_short(x)},{_short(y - arm)}V{_short(y + arm)}"


def _text(image: Any, label: Label, style: Style) -> Any:
    """Text turned back upright in a picture turned over, its middle height on its place.

    Its width is given, so that another font in its place reaches no further.
    """
    turn = f" rotate({_short(math.degrees(label.angle))})" if label.angle else ""
    text = image.text(
        label.text,
        x=["0"],
        y=[_short(label.size / 2)],
        transform=f"translate({_short(label.at[0])} {_short(label.at[1])}){turn} scale(1 -1)",
        font_family=FONT,
        font_size=_short(label.size / CAP_HEIGHT),
        text_anchor=label.anchor,
        fill=_grey(style),
        stroke="none",
    )
    text["textLength"] = _short(text_width(label.text, label.size))
    return text


def _short(value: float) -> str:
    text = f"{value:.{DIGITS}f}".rstrip("0").rstrip(".")
    return "0" if text in ("-0", "") else text
