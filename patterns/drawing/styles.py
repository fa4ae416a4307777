"""How each layer looks: line widths, dashes and greys, in one place for every writer.

A builder tells the lines apart on a black-only print by weight and dash:

=============  =====================================================================
layer          looks like
=============  =====================================================================
cut-outside    heaviest, unbroken: the finished line, the finished edge on the marked face
cut-inside     the same weight: holes and notches are finished edges too
saw            medium, long dash and dot: where the saw runs, wood to spare
far-face       light, dashed: the outline on the face turned away
mark           thinnest, unbroken: frames, waterlines, joints, ticks, arrows
drill          light, unbroken: centres of holes to bore
text           lettering, solid black
sheet          hairline: furniture of the paper, never part of the pattern
line           heavy, unbroken: a faired line of the lines drawing
bending        hairline: bars that show how a line bends
given          thin, unbroken: offsets as given, faired points, and the moves between them
shading        no line: a picture in greys
shown          no line, filled with dark grey: the part that a small view of the boat shows
band           no line, filled with light grey: how far a faired line may be out
=============  =====================================================================
"""

from __future__ import annotations

from dataclasses import dataclass

from patterns.drawing.marks import Layer


@dataclass(frozen=True, slots=True)
class Style:
    """The pen for one layer."""

    width: float  # mm
    dashes: tuple[float, ...] = ()  # mm, drawn and gap by turns; empty for an unbroken line
    grey: float = 0.0  # 0 black to 1 white


STYLES: dict[Layer, Style] = {
    "cut-outside": Style(0.5),
    "cut-inside": Style(0.5),
    "saw": Style(0.3, dashes=(8.0, 1.5, 0.8, 1.5)),
    "far-face": Style(0.25, dashes=(3.0, 1.5)),
    "mark": Style(0.18),
    "drill": Style(0.25),
    "text": Style(0.18),
    # Thin enough not to be taken for wood; black, because printers break grey hairlines into dots.
    "sheet": Style(0.13),
    "line": Style(0.4),
    "bending": Style(0.1),
    "given": Style(0.22),
    # Light enough for every line on it to be read, dark enough for a printer to show.
    "shading": Style(0.0),
    "shown": Style(0.0, grey=0.3),
    "band": Style(0.0, grey=0.82),
}
