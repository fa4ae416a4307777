"""A drawing or a page as SVG: full size in millimetres, a named group a layer, one flip to turn y up."""

from __future__ import annotations

import base64
import math
import re
from collections.abc import Iterable, Sequence
from functools import cache
from math import fsum
from typing import Any, assert_never
from xml.sax.saxutils import escape

import svgwrite
from svgwrite.container import Group

from patterns.drawing.marks import DRAWN, TINTS, Cross, Drawing, Ink, Label, Layer, Shading, Stroke, leaders
from patterns.drawing.styles import STYLES, Style
from patterns.drawing.text import CAP_HEIGHT, text_width
from patterns.drawing.turning import extent
from patterns.tiling.paper.check_bars import level_bar, upright_bar
from patterns.tiling.paper.page import Page
from patterns.tiling.paper.paper import BAR_ROOM
from patterns.writing.ink.ids import plain_id
from patterns.writing.ink.numbers import spelt
from patterns.writing.ink.png import png_bytes

MARGIN = 10.0  # mm round everything
RUN_SIZE = 2.5  # mm, capitals of the run mark
BESIDE = 12.0  # mm from the pattern to the check bars
DIGITS = 3  # of a mm
FONT = "DejaVu Sans, Verdana, sans-serif"  # the first is what labels were measured by, the second much as wide
_NAME = "NAME"  # stands in the beginning of a group where its picture's own name will
_NAME_SPACE = re.compile(r' xmlns(:\w+)?="[^"]*"')
_EMPTY_END = " /></svg>"  # how a picture ends before its last group is filled

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


def picture_text(drawing: Drawing, *, run: str = "") -> str:
    """A drawing that is not full size, without check bars: nobody measures it. The run mark stands below it."""
    left, bottom, right, top = extent(drawing.marks)
    foot = (Label(f"run {run}", (left, bottom - MARGIN / 2), RUN_SIZE, anchor="start"),) if run else ()
    box = (left - MARGIN, bottom - MARGIN, right + MARGIN, top + MARGIN)
    return _svg((*drawing.marks, *foot), box, title=drawing.title, prefix=drawing.file_name)


def svg_inline(drawing: Drawing, *, margin: float = 2.0) -> str:
    """A drawing as an element for a page of HTML, as wide as the page gives it; ``margin`` mm round it.

    Its groups carry their layers as classes, for the page's style sheet.
    """
    left, bottom, right, top = extent(drawing.marks)
    box = (left - margin, bottom - margin, right + margin, top + margin)
    image = _image(box, title=drawing.title, prefix=drawing.file_name)
    image["width"], image["role"] = "100%", "img"
    del image.attribs["height"]  # as its proportions have it
    image["aria-label"] = drawing.title
    # Within HTML the element needs no name spaces, and so the page holds no address at all.
    return _NAME_SPACE.sub("", _with_marks(image, drawing.marks, drawing.file_name), count=3)


def svg_again(drawing: Drawing, *, margin: float = 2.0) -> str:
    """A drawing that stands elsewhere on the page, shown once more, to be looked at in passing."""
    left, bottom, right, top = extent(drawing.marks)
    size = spelt('viewBox="0 0 # #"', (right - left + 2 * margin, top - bottom + 2 * margin), DIGITS)
    group = f"#{_plain_id(drawing.file_name)}-pattern"
    return f'<svg {size} width="100%" aria-hidden="true"><use href="{group}" /></svg>'


def _svg(marks: Sequence[Ink], box: Box, *, title: str, prefix: str) -> str:
    image = _with_marks(_image(box, title=title, prefix=prefix), marks, prefix)
    return f'<?xml version="1.0" encoding="utf-8"?>\n{image}\n'


def _image(box: Box, *, title: str, prefix: str) -> Any:
    """All of a picture but its layers; the group they go into is its last element."""
    left, bottom, right, top = box
    width, height = _short(right - left), _short(top - bottom)
    # Its checks cost five times the writing, and its own ids would count on from one file to the next.
    image = svgwrite.Drawing(
        size=(f"{width}mm", f"{height}mm"), viewBox=f"0 0 {width} {height}", debug=False, profile="full"
    )
    image.set_desc(title=title)
    upright = image.g(
        id=f"{_plain_id(prefix)}-pattern",
        transform=f"matrix(1 0 0 -1 {_short(-left)} {_short(top)})",
        fill="none",
        stroke_linecap="round",
        stroke_linejoin="round",
    )
    image.add(upright)
    return image


def _with_marks(image: Any, marks: Sequence[Ink], prefix: str) -> str:
    """The picture spelled out, its marks in a group a layer.

    The marks are spelled here: they are thousands, and through the library they cost ten times as much.
    """
    on_layers: dict[Layer, list[Ink]] = {}
    for mark in (*marks, *leaders(marks)):
        on_layers.setdefault(mark.layer, []).append(mark)
    name = _plain_id(prefix)
    groups = [
        f"{_group(layer).replace(_NAME, name)}{''.join(_element(mark, STYLES[layer]) for mark in on_layers[layer])}</g>"
        for layer in DRAWN
        if layer in on_layers
    ]
    empty: str = image.tostring()
    return f"{empty.removesuffix(_EMPTY_END)}>{''.join(groups)}</g></svg>" if groups else empty


@cache
def _group(layer: Layer) -> str:
    """The beginning of a layer's group, what its id begins with left open."""
    style = STYLES[layer]
    group = Group(id=f"{_NAME}-{layer}", stroke=_grey(style), stroke_width=_short(style.width), debug=False)
    group.set_desc(title=layer)
    group["class"] = layer
    if layer in TINTS:
        group["fill"], group["stroke"] = _grey(style), "none"
    if style.dashes:
        group["stroke-dasharray"] = _spaced(style.dashes)
    begun: str = group.tostring()
    return begun.removesuffix("</g>")


def _plain_id(text: str) -> str:
    """Letters, digits and hyphens, beginning with a letter, as an id must."""
    plain = plain_id(text)
    return plain if plain[:1].isalpha() else f"p-{plain}".rstrip("-")


def _grey(style: Style) -> str:
    return f"#{round(255 * style.grey):02x}" + 2 * f"{round(255 * style.grey):02x}"


def _element(mark: Ink, style: Style) -> str:
    match mark:
        case Stroke():
            dashes = mark.dashes or style.dashes
            own = f' stroke-dasharray="{_spaced(mark.dashes)}"' if mark.dashes else ""
            begun = f' stroke-dashoffset="{_short(mark.run % fsum(dashes))}"' if dashes and mark.run else ""
            return f'<path d="{_path(mark)}"{own}{begun} />'
        case Cross():
            return f'<path d="{_cross_path(mark)}" />'
        case Label():
            return _text(mark, style)
        case Shading():
            return _picture(mark)
        case _:
            assert_never(mark)


def _picture(shading: Shading) -> str:
    """Turned back upright in a picture turned over; its data stand in it, so that no file is asked for."""
    (x, y), data = shading.at, base64.b64encode(png_bytes(shading.greys)).decode("ascii")
    place = spelt("matrix(1 0 0 -1 # #)", (x, y + shading.height), DIGITS)
    size = spelt('width="#" height="#"', (shading.width, shading.height), DIGITS)
    return f'<image transform="{place}" {size} preserveAspectRatio="none" href="data:image/png;base64,{data}" />'


def _path(stroke: Stroke) -> str:
    places = " ".join(["#,#"] * len(stroke.points))
    return spelt(f"M{places}{'Z' if stroke.closed else ''}", stroke.points, DIGITS)


def _cross_path(cross: Cross) -> str:
    (x, y), arm = cross.at, cross.arm
    return spelt("M#,#H#M#,#V#", (x - arm, y, x + arm, x, y - arm, y + arm), DIGITS)


def _text(label: Label, style: Style) -> str:
    """Text turned back upright in a picture turned over, its middle height on its place.

    Its width is given, so that another font in its place reaches no further.
    """
    x, y = label.at
    turn = spelt(" rotate(#)", (math.degrees(label.angle),), DIGITS) if label.angle else ""
    sizes = (label.size / CAP_HEIGHT, text_width(label.text, label.size), x, y, label.size / 2)
    size, width, x_at, y_at, half = spelt("# # # # #", sizes, DIGITS).split()
    return (
        f'<text fill="{_grey(style)}" font-family="{FONT}" font-size="{size}" stroke="none" '
        f'text-anchor="{label.anchor}" textLength="{width}" '
        f'transform="translate({x_at} {y_at}){turn} scale(1 -1)" x="0" y="{half}">'
        f"{escape(label.text)}</text>"
    )


def _spaced(dashes: Iterable[float]) -> str:
    return " ".join(map(_short, dashes))


def _short(value: float) -> str:
    return spelt("#", (value,), DIGITS)
