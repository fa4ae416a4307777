"""Long pieces bent back from their flat patterns, held against side and bottom."""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import replace

from patterns.hull.build import end_word
from patterns.parts.asked.long_rules import ChineLogRules
from patterns.parts.long.long_pieces import LongPiece
from patterns.parts.part import Hand, Part
from patterns.parts.role import AT_SHEER, MarkKind
from patterns.parts.whole import Job
from patterns.shop.fit.folded_panels import CENTRE, Panels, end_timbers
from patterns.shop.fit.meetings import (
    AFT,
    NO_MARK,
    Held,
    Meeting,
    PartLine,
    Seam,
    bent,
    edge_line,
    marks_of,
    met,
    shared,
)

ENDS = ("fore end", "after end")
FASTENING = "fastening line"
CARRIED = (
    "Frame lines are drawn on the inside of the panel, and the {piece} lies {where}. The panel's are carried through "
    "square, as a try square carries them over its edge. A frame stands athwart, so the {piece}'s own marks, which lie "
    "in the frames' planes, come off them by the rest: go by the {piece}'s."
)


def log_meetings(boat: Panels) -> Iterator[Meeting]:
    """A chine log's lower edge against the strakes above and below, both along their inside corner.

    Of a log across the chine it is the line from which its face is planed off that lies there.
    """
    for log in _starboard(boat.job):
        if isinstance(log.rules, ChineLogRules):
            lower, corner = _held(log, log.chine or "lower"), boat.corners[log.strake.lower]
            for panel in (corner.on_above, corner.on_below):
                yield met(panel, lower, _pairs(log, panel, lower), seam=Seam.LONG, way=AFT)


def rail_meetings(boat: Panels) -> Iterator[Meeting]:
    """Rails and stringers along the side, keel batten and stringers along the bottom."""
    for piece in _starboard(boat.job):
        if isinstance(piece.rules, ChineLogRules):
            continue
        strake = piece.strake
        edge = FASTENING if piece.part.hand == "none" else "lower" if strake.athwart else "upper"
        on_piece, on_panel = _held(piece, edge), _laid(boat.job, piece, boat.of[strake.name], edge)
        where = "" if piece.depth == strake.inside else "on other wood" if piece.inside else "on its outside"
        told = CARRIED.format(piece=piece.name, where=where) if where else ""
        pairs = _pairs(piece, on_panel, on_piece)
        meeting = met(on_panel, on_piece, pairs, seam=Seam.LONG, way=AFT)
        yield replace(meeting, told=told, carried=bool(where))


def _starboard(job: Job) -> Iterator[LongPiece]:
    return (piece for piece in job.long_pieces if piece.part.hand != "port")


def _held(piece: LongPiece, edge: str) -> Held:
    """An edge of a long piece, or a line marked along it, bent back from its pattern."""
    part, marked = piece.natural, edge in (FASTENING, piece.chine)
    points = part.mark(edge).points if marked else edge_line(part, edge)
    line = bent(piece.flat, piece.depth, points).toward(AFT)
    ends = dict(zip(ENDS, (line.drawn[:1], line.drawn[-1:]), strict=True))
    hand: Hand = "none" if part.hand == "none" else "starboard"
    of = PartLine(piece.name, hand, edge, "" if marked else f"{edge} edge")
    return Held(of, f"its {ENDS[0]}", line, ends | marks_of(part))


def _laid(job: Job, piece: LongPiece, panel: Part, edge: str) -> Held:
    """Where a long piece lies on a panel: along the sheer, the centre line, or a line no pattern shows."""
    fore, aft = end_word(job.boat.fore, aft=False), end_word(job.boat.aft, aft=True)
    flat, begins = panel.flat, f"the {fore}"
    assert flat is not None
    if piece.part.role in AT_SHEER:
        name = piece.strake.upper
        points = edge_line(panel, name, far=not piece.inside)
    elif edge == FASTENING:
        name, points = CENTRE, panel.mark(CENTRE).points
    else:
        name, begins = f"line under the {piece.name}'s {edge} edge", f"the {piece.name}'s {ENDS[0]}"
        points = flat.point(*piece.flat.places(edge_line(piece.natural, edge)))
    line = bent(flat, piece.depth, points).toward(AFT)
    ends = {f"{fore} end": line.drawn[:1], f"{aft} end": line.drawn[-1:]}
    marks = ends | marks_of(panel, *end_timbers(fore, aft))
    outside = "" if piece.inside else ", outside"
    return Held(PartLine(panel.name, panel.hand, f"{name}{outside}"), begins, line, marks)


def _pairs(piece: LongPiece, panel: Held, on_piece: Held) -> list[tuple[str, str]]:
    """Frames both bear, and the piece's ends against what the panel has marked there, if anything."""
    bears = {mark.name for mark in piece.part.marks if mark.kind is MarkKind.FRAME}
    frames = [pair for pair in shared(panel, on_piece) if pair[0] in bears]
    ends = [
        (cut.mark if cut.mark in panel.marks else NO_MARK, end)
        for cut, end in zip((piece.fore, piece.after), ENDS, strict=True)
    ]
    return [*frames, *ends]
