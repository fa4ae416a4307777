"""One part as one drawing, full size: everything the builder needs at the bench, and no more."""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from dataclasses import dataclass, replace

import numpy as np

from patterns.drawing.along_lines import Course
from patterns.drawing.label_placing import Request, place_among
from patterns.drawing.marks import Cross, Drawing, Ink, Stroke
from patterns.drawing.obstacles import obstacles
from patterns.geometry.arrays import Floats
from patterns.parts.part import Bevel, Part
from patterns.parts.role import EdgeKind
from patterns.plates.pattern.bevels import bevel_requests, bevels_to_print, ticks
from patterns.plates.pattern.bow import bow_pointer
from patterns.plates.pattern.edge_names import edge_names, mark_names, named_edges, note_label, note_request
from patterns.plates.pattern.far_face import far_strokes
from patterns.plates.pattern.halves import Half
from patterns.plates.pattern.pricks import corner_runs, corners_of, prick_ink, prick_requests, prick_words, pricks_of
from patterns.plates.pattern.saw_line import saw_strokes
from patterns.plates.pattern.title_block import Said, grain_on_wood, title_block
from patterns.plates.words.length_words import lengths_words, sentence
from patterns.shop.stock.lengths import Lengths, lengths_of

SMALL = 300.0  # mm; a pattern no longer than this may share a sheet with others
CROSS_ARM = 4.0  # mm; long enough to set an awl by, short enough to leave the corner in sight


@dataclass(frozen=True, slots=True)
class Printing:
    """How all patterns of a boat are drawn."""

    boat: str  # its name, as its builder writes it
    show: str  # how lengths are printed: "ft-in-16ths", "in-16ths", "mm", ...
    run: str = ""  # the run mark
    date: str = ""  # printed as it is; left out, there is a line to write one on
    notes: bool = True  # whether the bevels, names and explanations are lettered
    pricks: bool = True  # whether the lines carry prick points


def plate(
    part: Part,
    printing: Printing,
    *,
    number: tuple[int, int] = (1, 1),
    half: Half | None = None,
    lengths: Lengths | None = None,
) -> Drawing:
    """The pattern of a part: both faces' lines, marks, bevels along every edge, pricks, and a title block.

    Parameters
    ----------
    number : (int, int)
        Which pattern of how many this is.
    half : Half, optional
        Where the part is one half of a pattern: how it joins the other.
    lengths : Lengths, optional
        Of the whole piece, where it is known at the bench or the part is but half of it.
    """
    show, notes, pricks = printing.show, printing.notes, printing.pricks
    courses = [Course.of(edge.points) for edge in part.edges]
    cornered = [(course, corner_runs(course)) for course in courses]
    corners = corners_of(cornered)
    pricked = pricks_of(part, cornered) if pricks else ()
    bevels = [bevels_to_print(edge, show) if notes else () for edge in part.edges]
    lines = (
        *_lines(part, corners, half),
        *(tick for course, told in zip(courses, bevels, strict=True) for tick in ticks(course, told)),
        *(prick_ink(part, pricked) if pricks else ()),
    )
    told = prick_words(part, pricked, corners=len(corners)) if pricks else ""
    known = lengths or (None if half else lengths_of(part))
    long = f"{lengths_words(known, show)}{', of the whole' if half else ''}" if known else ""
    said = Said(
        *(printing.boat, show, *number),
        run=printing.run,
        date=printing.date,
        pricks=told,
        notes=notes,
        grain=False,
        brief=_small(part),
        lengths=long,
    )
    among = obstacles(lines)
    kept_for_notes = obstacles(map(note_label, part.notes)) if notes else obstacles(())
    block = title_block(part, said, ink=lines, among=among, notes=kept_for_notes)
    # The arrow lies on the wood where that has room for it: there it is plainest and costs no paper.
    grain = grain_on_wood(part, among.joined(obstacles(block.marks)), notes=kept_for_notes)
    if part.grain_angle is not None and not grain:
        said = replace(said, grain=True)
        block = title_block(part, said, ink=lines, among=among, notes=kept_for_notes)
    requests = [
        *(_requests(part, courses, bevels, show) if notes else ()),
        *(r for one in pricked for r in prick_requests(one)),
    ]
    lettering = place_among(requests, among.joined(obstacles(grain + block.marks)))
    return Drawing(
        part.title,
        part.file_name,
        lines + grain + lettering,
        block,
        foot=f"{part.marked_face} toward you",
        pointer=bow_pointer(part),
        about=sentence(long),
        named=tuple(_named(part)),
        run=printing.run,
        wood=part.outline,
    )


def _named(part: Part) -> Iterator[tuple[str, Floats]]:
    """The longest run of each edge by its name; not what is let into an edge."""
    whole = [edge for edge in part.edges if edge.kind not in (EdgeKind.NOTCH, EdgeKind.LIMBER)]
    for name in dict.fromkeys(edge.name for edge in whole):
        yield name, max((edge.points for edge in whole if edge.name == name), key=lambda line: Course.of(line).length)


def _small(part: Part) -> bool:
    return bool(np.ptp(part.outline, axis=0).max() < SMALL)


def _lines(part: Part, corners: Sequence[tuple[float, float]], half: Half | None) -> Iterator[Ink]:
    yield Stroke(part.outline, "cut-outside", closed=half is None)
    for hole in part.holes:
        yield Stroke(hole, "cut-inside", closed=True)
    for saw in saw_strokes(part):
        if half is None:
            yield saw
        else:
            yield from (
                replace(saw, points=run, closed=False) for run in half.kept(np.vstack([saw.points, saw.points[:1]]))
            )
    yield from far_strokes(part)
    for mark in part.marks:
        yield Stroke(mark.points, "mark")
    yield from (Cross(corner, CROSS_ARM, "mark") for corner in corners)
    yield from half.ink if half else ()


def _requests(part: Part, courses: Sequence[Course], bevels: Sequence[Sequence[Bevel]], show: str) -> Iterator[Request]:
    for note in part.notes:
        yield note_request(note)
    for course, told in zip(courses, bevels, strict=True):
        yield from bevel_requests(course, told, show)
    for edge, course in named_edges(part.edges, courses):
        yield from edge_names(edge, course)
    for mark in part.marks:
        yield from mark_names(mark)
