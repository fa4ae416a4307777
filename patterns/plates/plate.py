"""One part as one drawing, full size: everything the builder needs at the bench, and no more."""

from __future__ import annotations

from collections.abc import Iterator

from patterns.drawing.marks import Cross, Drawing, Ink, Stroke
from patterns.drawing.placing import Request, place
from patterns.parts.part import Part
from patterns.plates.bevels import bevel_request, bevels_to_print, stands_at_corner, tick
from patterns.plates.far_face import far_strokes
from patterns.plates.names import edge_names, mark_names, note_request
from patterns.plates.title_block import title_block

CROSS_ARM = 4.0  # mm; long enough to set an awl by, short enough to leave the corner in sight


def plate(part: Part, *, boat: str, show: str) -> Drawing:
    """The pattern of a part: both faces' lines, marks, bevels along every edge, and a title block.

    Parameters
    ----------
    boat : str
        The boat's name, as its builder writes it.
    show : str
        How lengths are printed: "ft-in-16ths", "in-16ths", "mm", ...
    """
    lines = tuple(_lines(part, show))
    block = title_block(part, boat=boat, show=show, ink=lines)
    lettering = place(tuple(_requests(part, show)), lines + block)
    return Drawing(part.title, part.file_name, lines + block + lettering)


def _lines(part: Part, show: str) -> Iterator[Ink]:
    yield Stroke(part.outline, "cut-outside", closed=True)
    for hole in part.holes:
        yield Stroke(hole, "cut-inside", closed=True)
    yield from far_strokes(part)
    for mark in part.marks:
        yield Stroke(mark.points, "mark")
    for edge in part.edges:
        x, y = map(float, edge.points[0])
        yield Cross((x, y), CROSS_ARM, "mark")
        yield from (tick(edge, bevel) for bevel in bevels_to_print(edge, show) if not stands_at_corner(edge, bevel))


def _requests(part: Part, show: str) -> Iterator[Request]:
    for note in part.notes:
        yield note_request(note)
    for edge in part.edges:
        for bevel in bevels_to_print(edge, show):
            yield bevel_request(edge, bevel, show)
        yield from edge_names(edge)
    for mark in part.marks:
        yield from mark_names(mark)
