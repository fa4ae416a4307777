"""The bench sheets of a long piece: one of the piece, one for each rip."""

from __future__ import annotations

from collections.abc import Iterator, Mapping, Sequence

import numpy as np

from patterns.drawing.marks import Drawing
from patterns.drawing.text import capitals
from patterns.parts.hazards import BENDING, EPOXY, RIPPING, says_glue
from patterns.parts.materials import material_words
from patterns.plates.bench.bench_page import (
    COLUMN_GAP,
    FIGURES,
    WIDTH,
    Block,
    Heading,
    bench_pages,
    paragraph,
    side_by_side,
    stacked,
    table,
)
from patterns.plates.bench.bench_page import steps as numbered
from patterns.plates.bench.saw_plan import LOW, MOST_HIGH, board_plan, rip_plan, turned_board_plan
from patterns.plates.bench.saw_section import net_sections, set_up
from patterns.plates.bench.scarf_drawing import scarf_drawing
from patterns.plates.words.bench_words import (
    bevel_word,
    frees_words,
    note_words,
    range_words,
    room_words,
    screw_words,
    step_words,
)
from patterns.plates.words.bending_words import bend_words, trial_words
from patterns.plates.words.board_words import board_words
from patterns.shop.saw.edge_views import mark_names
from patterns.shop.saw.guide_room import GuideRoom, board_edges, guide_room
from patterns.shop.saw.long_bench import BenchPiece
from patterns.shop.saw.saw_setup import Rip, SawSetup
from patterns.units.lengths import write_difference, write_length, write_small

LONGEST_COLUMN = 190.0  # mm, so that two columns of words go on a page
LEFT, LEFT_OF_SAW = 104.0, 94.0  # mm, width of the column of words; beside a saw on its guide


def bench_sheets(made: BenchPiece, *, boat: str, show: str, other: BenchPiece | None = None) -> list[Drawing]:
    """Every page of one piece, in the order of the work; of both hands where ``other`` is sawn as its mirror image."""
    sheets = stock_sheets(made, other, boat=boat, show=show)
    if made.setup:
        for rip in made.setup.rips:
            sheets += rip_sheet(made, made.setup, rip, boat=boat, show=show, other=other)
    return sheets


def stock_sheets(made: BenchPiece, other: BenchPiece | None, *, boat: str, show: str) -> list[Drawing]:
    """The pages of stock and bending: one for both hands where both bend alike, by boards with the same grain."""
    if other and _bending(made, show) != _bending(other, show):
        return [*piece_sheet(made, boat=boat, show=show), *piece_sheet(other, boat=boat, show=show)]
    return piece_sheet(made, boat=boat, show=show, other=other)


def _bending(made: BenchPiece, show: str) -> tuple[list[str], list[str]]:
    return bend_words(made.bend, made.piece.rules.material, show), trial_words(made.bend, made.piece.thickness, show)


def _named(made: BenchPiece | SawSetup, *, both: bool) -> str:
    part = made.piece.part
    return f"{capitals(part.name)}, PORT AND STARBOARD" if both else capitals(part.title)


def piece_sheet(made: BenchPiece, *, boat: str, show: str, other: BenchPiece | None = None) -> list[Drawing]:
    """How it bends, what it is sawn from, its sections, and its gauge lines."""
    piece, both = made.piece, other is not None
    heading = Heading(
        boat,
        f"{_named(made, both=both)}: stock and bending",
        f"{material_words(piece.rules.material)}, {write_length(piece.thickness, show)} thick; lies "
        f"{'inside' if piece.inside else 'outside'} the planking. Bow to the left on every drawing.",
    )
    right = WIDTH - LEFT - COLUMN_GAP
    bevelled = any(place.lower or place.upper for place in piece.places)
    bend, trial = _bending(made, show)
    hands = [made, other] if other else [made]
    board = [text for text in board_words(hands, show) if text != EPOXY]
    glued = says_glue([*bend, *trial, *board])
    cautions = [BENDING, *((EPOXY,) if glued else ()), *((_GAUGE,) if bevelled else ())]
    blocks = _in_columns(
        [paragraph(text, width=LEFT) for text in (*bend, *trial)],
        [net_sections(piece, show, width=right, both=both), *(paragraph(text, width=right) for text in cautions)],
        board,
    )
    for one in hands:
        blocks += _board_drawings(one, show)
    blocks += _gauge_lines(made, show)
    return bench_pages(heading, blocks, name=f"{piece.part.file_name}-stock")


def _board_drawings(made: BenchPiece, show: str) -> Iterator[Block]:
    """Its scarfs, and where it lies on a board of the builder's."""
    hand = made.piece.part.hand
    whose = "" if hand == "none" else f"{hand}: "
    if made.scarfs:
        yield scarf_drawing(made.scarfs, made.piece.thickness, show, width=WIDTH)
    if made.place:
        yield board_plan(made, made.place, width=WIDTH, whose=whose)
    elif made.with_other and made.with_other.place:
        yield turned_board_plan(made.with_other, made.with_other.place, width=WIDTH, whose=whose)


def _in_columns(left: Sequence[Block], right: Sequence[Block], more: Sequence[str]) -> list[Block]:
    """Two columns, one of words; further words go where there is room, and below both where they grow too long."""
    columns = stacked(left, gap=1.2), stacked(right, gap=1.2)
    narrow = WIDTH - LEFT - COLUMN_GAP
    below: list[Block] = []
    for text in more:
        first, last = columns
        into_left = first.height <= last.height
        block = paragraph(text, width=LEFT if into_left else narrow)
        if below or min(first.height, last.height) + block.height > LONGEST_COLUMN:
            below.append(paragraph(text))
        elif into_left:
            columns = stacked([first, block], gap=1.2), last
        else:
            columns = first, stacked([last, block], gap=1.2)
    return [side_by_side(*columns, at=LEFT + COLUMN_GAP), *below]


_GAUGE = (
    "Gauge lines for planing winding bevels by hand: at each mark square the edge over onto the face away from the "
    "planking and prick the set-in (under) or set-out (standing); spring a batten through; plane from line to line."
)


def _gauge_lines(made: BenchPiece, show: str) -> list[Block]:
    piece = made.piece
    names, places = mark_names(piece), piece.places
    columns = {"along the\nlower edge": [write_length(place.along, show) for place in places]}
    if any(place.lower or place.upper for place in places):
        for edge in ("lower", "upper"):
            angles = np.array([getattr(place, edge) for place in places])
            columns[f"{edge} bevel"] = [bevel_word(angle) for angle in angles.tolist()]
            far = piece.thickness * np.abs(np.tan(angles))
            columns[f"{edge} set\nin or out"] = [write_small(mm, show) if mm else "" for mm in far.tolist()]
    if piece.chine:
        columns[f"face below\n{piece.chine}"] = [f"{np.degrees(place.turn):.1f}°" for place in places]
        columns["off at the\nlower edge"] = [write_small(place.planed, show) for place in places]
    if made.bend.layers:
        form = made.bend.layers.form
        columns["form: along\nits line"] = _fine(form.along, show)
        columns["form: off\nits line"] = [write_difference(mm, show).removeprefix("+") for mm in form.deep.tolist()]
    columns["width\nfinished"] = [write_length(piece.width, show)] * len(places)
    if made.setup:
        columns["width\nas sawn"] = _fine(made.setup.width, show)
    return table(["mark", *columns], [[name, *cells] for name, *cells in zip(names, *columns.values(), strict=True)])


def rip_sheet(
    made: BenchPiece, setup: SawSetup, rip: Rip, *, boat: str, show: str, other: BenchPiece | None = None
) -> list[Drawing]:
    """One cut: how the stock lies, where the guide goes, the tilt, and what is left for the plane."""
    both = other is not None
    mirror = " Drawn for port; for starboard it is all as in a mirror, bow to the right." if both else ""
    heading = Heading(
        boat,
        f"{_named(setup, both=both)}: rip {rip.order}, {rip.edge.name} edge",
        f"Rip {rip.order} of 2. {write_length(setup.piece.rules.planing, show)} is left for the plane.{mirror}",
    )
    right = WIDTH - LEFT_OF_SAW - COLUMN_GAP
    rooms = _rooms(made, rip, other)
    worst = min(rooms.values(), key=lambda room: np.inf if room is None or room.has is None else room.has)
    steps = numbered(step_words(setup, rip, worst, show, both=both), width=LEFT_OF_SAW)
    board = board_edges(rip, made.place) if made.place else None
    section = set_up(setup, rip, board, show, width=right, both=both)
    texts = (
        frees_words(setup, rip),
        *_room_paragraphs(rooms, show),
        screw_words(setup, rip, show),
        *note_words(setup, rip, show),
        range_words(rip, setup, show),
        _along_words(setup, rip),
    )
    words, beside = steps, section
    for text in filter(None, texts):
        # Into the column that is shorter, so that the table finds room on the page.
        if words.height < beside.height:
            words = stacked([words, paragraph(text, width=LEFT_OF_SAW, size=FIGURES)], gap=1.5)
        else:
            beside = stacked([beside, paragraph(text, width=right, size=FIGURES)], gap=1.5)
    told = side_by_side(words, beside, at=LEFT_OF_SAW + COLUMN_GAP)
    told = stacked([told, paragraph(RIPPING, size=FIGURES)], gap=1.5)
    whose = "port's" if both else "the"
    drawn = [rip_plan(setup, rip, board, width=WIDTH, high=high, whose=whose) for high in (MOST_HIGH, LOW)]
    name, rows = f"{setup.piece.part.file_name}-rip-{rip.order}", _rip_table(setup, rip, show)
    return min((bench_pages(heading, [told, plan, *rows], name=name) for plan in drawn), key=len)


def _rooms(made: BenchPiece, rip: Rip, other: BenchPiece | None) -> dict[str, GuideRoom | None]:
    """By hand, the wood beside the cut that carries shoe and guide."""
    rooms: dict[str, GuideRoom | None] = {made.piece.part.hand: guide_room(rip, made.place)}
    if other and other.setup:
        rooms[other.piece.part.hand] = guide_room(other.setup.rips[rip.order - 1], other.place)
    return rooms


def _room_paragraphs(rooms: Mapping[str, GuideRoom | None], show: str) -> list[str]:
    """What is to be laid beside the board; by hand where that differs."""
    said = {hand: " ".join(room_words(room, show)) for hand, room in rooms.items()}
    if len(set(said.values())) == 1:
        return [next(iter(said.values()))]
    return [f"{hand.upper()}: {text}" for hand, text in said.items() if text]


def _along_words(setup: SawSetup, rip: Rip) -> str:
    """From where a tape runs, and why the upper edge's own marks do not begin at nought."""
    told = f"Along: by a tape round the finished {rip.edge.name} edge, face against the planking, from its fore end."
    if rip.edge.name == "upper" and any(abs(end.upper_corner) > 1.0 for end in (setup.piece.fore, setup.piece.after)):
        told += " Marks are squared across from the lower edge; the ends named here are that edge's."
    return told


def _rip_table(setup: SawSetup, rip: Rip, show: str) -> list[Block]:
    own = rip.setting
    names = mark_names(setup.piece)
    along = np.array([place.along if rip.edge.name == "lower" else place.along_upper for place in setup.piece.places])
    columns = {f"along the\n{rip.edge.name} edge": [write_length(at, show) for at in along]}
    columns["saw line off\nfinished line"] = _fine(own.at(rip.x, own.beyond), show)
    if own.guide_line is not None and own.distance is not None:
        columns["guide to\nsaw line"] = _fine(own.distance + own.at(rip.x, own.stand_off), show)
        columns["guide off\nits string"] = list(_off_string(rip, show))
    columns["to plane,\nupper face"] = _fine(own.at(rip.x, own.plane_up), show)
    columns["to plane,\nlower face"] = _fine(own.at(rip.x, own.plane_down), show)
    rows = [[name, *cells] for name, *cells in zip(names, *columns.values(), strict=True)]
    return table(["mark", *columns], rows)


def _fine(values: np.ndarray, show: str) -> list[str]:
    return [write_length(float(value), show) for value in values]


def _off_string(rip: Rip, show: str) -> Iterator[str]:
    """How far the guide stands off a string from its end mark to its end mark, and to which side."""
    line = rip.setting.guide_line
    assert line is not None
    y = np.interp(rip.x, line[:, 0], line[:, 1])
    off = y - y[0] - (y[-1] - y[0]) * (rip.x - rip.x[0]) / (rip.x[-1] - rip.x[0])
    for value in off:
        text = write_length(abs(float(value)), show)
        nothing = text == write_length(0.0, show)
        yield text if nothing else f"{text} {'away' if value > 0 else 'near'}"
