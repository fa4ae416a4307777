"""The bench sheets of a long piece: one of the piece, one for each rip."""

from __future__ import annotations

from collections.abc import Iterator, Sequence

import numpy as np

from patterns.drawing.marks import Drawing
from patterns.drawing.text import capitals
from patterns.geometry.arrays import Floats
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
from patterns.plates.bench.saw_plan import board_plan, hold_plan, rip_plan, turned_board_plan
from patterns.plates.bench.saw_section import net_sections, set_up
from patterns.plates.bench.scarf_drawing import scarf_drawing
from patterns.plates.words.bench_words import (
    bevel_word,
    holding_words,
    note_words,
    range_words,
    screw_words,
    step_words,
)
from patterns.plates.words.bending_words import bend_words, trial_words
from patterns.plates.words.board_words import board_words
from patterns.shop.saw.edge_views import mark_names
from patterns.shop.saw.guide_room import board_edges, guide_room
from patterns.shop.saw.long_bench import BenchPiece
from patterns.shop.saw.saw_setup import Rip, SawSetup
from patterns.units.lengths import write_difference, write_length, write_small

LEFT, LEFT_OF_SAW = 104.0, 94.0  # mm, width of the column of words; beside a saw on its guide


def bench_sheets(made: BenchPiece, *, boat: str, show: str) -> list[Drawing]:
    """Every page of one piece of one hand, in the order of the work."""
    sheets = piece_sheet(made, boat=boat, show=show)
    if made.setup:
        for rip in made.setup.rips:
            sheets += rip_sheet(made, made.setup, rip, boat=boat, show=show)
    return sheets


def _named(made: BenchPiece | SawSetup) -> str:
    part = made.piece.part
    return capitals(part.title)


def piece_sheet(made: BenchPiece, *, boat: str, show: str) -> list[Drawing]:
    """How it bends, what it is sawn from, its sections, and its gauge lines."""
    piece = made.piece
    heading = Heading(
        boat,
        f"{_named(made)}: stock and bending",
        f"{material_words(piece.rules.material)}, {write_length(piece.thickness, show)} thick; lies "
        f"{'inside' if piece.inside else 'outside'} the planking. Bow to the left on every drawing.",
    )
    right = WIDTH - LEFT - COLUMN_GAP
    bevelled = any(place.lower or place.upper for place in piece.places)
    bend = bend_words(made.bend, piece.rules.material, show)
    trial, board = trial_words(made.bend, piece.thickness, show), board_words(made, show)
    if says_glue(board) and EPOXY not in board:
        board.append(EPOXY)
    glue = (EPOXY,) if says_glue(trial) else ()
    half = len(board) // 2
    blocks = [
        _beside(bend, (_GAUGE,) if bevelled else (), LEFT, net_sections(piece, show, width=right)),
        _beside(trial, (BENDING, *glue), LEFT) if trial else _beside((BENDING,), glue, LEFT),
        _beside(board[:half], board[half:], (WIDTH - COLUMN_GAP) / 2),
    ]
    if made.scarfs:
        blocks.append(scarf_drawing(made.scarfs, piece.thickness, show, width=WIDTH))
    if made.place:
        blocks.append(board_plan(made, made.place, width=WIDTH))
    elif made.with_other and made.with_other.place:
        blocks.append(turned_board_plan(made.with_other, made.with_other.place, width=WIDTH))
    blocks += _gauge_lines(made, show)
    return bench_pages(heading, blocks, name=f"{piece.part.file_name}-stock")


def _beside(left: Sequence[str], right: Sequence[str], wide: float, *over: Block) -> Block:
    """Paragraphs in two columns, the left one so wide; what stands over the right one's."""
    narrow = WIDTH - wide - COLUMN_GAP
    columns = [
        stacked([paragraph(text, width=wide) for text in left], gap=1.2),
        stacked([*over, *(paragraph(text, width=narrow) for text in right)], gap=1.2),
    ]
    return side_by_side(columns[0], columns[1], at=wide + COLUMN_GAP)


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


def rip_sheet(made: BenchPiece, setup: SawSetup, rip: Rip, *, boat: str, show: str) -> list[Drawing]:
    """One cut: how the stock lies, where the guide goes, the tilt, and what is left for the plane."""
    heading = Heading(
        boat,
        f"{_named(setup)}: rip {rip.order} of 2, {rip.edge.name} edge",
        f"Saw set-up: {rip.edge.up} up, bow to the left; {write_length(setup.piece.rules.planing, show)} left for the "
        "plane.",
    )
    right = WIDTH - LEFT_OF_SAW - COLUMN_GAP
    steps = numbered(step_words(setup, rip, show), width=LEFT_OF_SAW)
    caution = paragraph(RIPPING, width=LEFT_OF_SAW, size=FIGURES)
    board = board_edges(rip, made.place) if made.place else None
    section = set_up(setup, rip, board, show, width=right)
    notes = [*note_words(setup, rip, guide_room(rip, made.place), show), range_words(rip, setup, show)]
    beside = stacked([section, *(paragraph(text, width=right, size=FIGURES) for text in notes if text)], gap=1.5)
    words = stacked([steps, caution], gap=1.5)
    for text in (screw_words(setup, rip, show), _along_words(setup, rip)):
        # Into the column that is shorter, so that the table finds room on the page.
        if words.height < beside.height:
            words = stacked([words, paragraph(text, width=LEFT_OF_SAW, size=FIGURES)], gap=1.5)
        else:
            beside = stacked([beside, paragraph(text, width=right, size=FIGURES)], gap=1.5)
    blocks = [
        side_by_side(words, beside, at=LEFT_OF_SAW + COLUMN_GAP),
        rip_plan(setup, rip, board, width=WIDTH),
        *_rip_table(setup, rip, show),
        *(_held(setup, rip, board, show) if not rip.guide_on_piece else ()),
    ]
    return bench_pages(heading, blocks, name=f"{setup.piece.part.file_name}-rip-{rip.order}")


def _held(setup: SawSetup, rip: Rip, board: tuple[Floats, Floats] | None, show: str) -> Iterator[Block]:
    """The clamping drawing of the cut that frees the piece."""
    words = stacked([paragraph(text, size=FIGURES) for text in holding_words(setup, show)], gap=0.6)
    yield stacked([words, hold_plan(setup, rip, board, width=WIDTH)], gap=1.0)


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
