"""The bench sheets of a long piece: one of the piece, one for each rip."""

from __future__ import annotations

from collections.abc import Iterator

import numpy as np

from patterns.drawing.marks import Drawing
from patterns.plates.bench_page import (
    COLUMN_GAP,
    WIDTH,
    Block,
    Heading,
    bench_pages,
    paragraph,
    side_by_side,
    stacked,
    table,
)
from patterns.plates.bench_page import steps as numbered
from patterns.plates.bench_words import (
    BENDING,
    RIPPING,
    bend_words,
    bevel_word,
    board_words,
    fine,
    range_words,
    step_words,
)
from patterns.plates.saw_plan import board_plan, rip_plan
from patterns.plates.saw_section import net_sections, set_up
from patterns.shop.edge_views import mark_names
from patterns.shop.long_bench import BenchPiece
from patterns.shop.saw_setup import Rip, SawSetup
from patterns.units.lengths import write_length

LEFT, LEFT_OF_SAW = 104.0, 94.0  # mm, width of the column of words; beside a saw on its guide


def bench_sheets(made: BenchPiece, *, boat: str, show: str) -> list[Drawing]:
    """Every page of one piece of one hand, in the order of the work."""
    sheets = piece_sheet(made, boat=boat, show=show)
    if made.setup:
        for rip in made.setup.rips:
            sheets += rip_sheet(made.setup, rip, boat=boat, show=show)
    return sheets


def _named(made: BenchPiece | SawSetup) -> str:
    part = made.piece.part
    return part.name.upper() if part.hand == "none" else f"{part.name.upper()}, {part.hand.upper()}"


def piece_sheet(made: BenchPiece, *, boat: str, show: str) -> list[Drawing]:
    """How it bends, what it is sawn from, its sections, and its gauge lines."""
    piece = made.piece
    heading = Heading(
        boat,
        f"{_named(made)}: stock and bending",
        f"{piece.rules.material}, {write_length(piece.thickness, show)} thick; lies "
        f"{'inside' if piece.inside else 'outside'} the planking. Bow to the left on every drawing.",
    )
    words = [paragraph(text, width=LEFT) for text in (*bend_words(made.bend, show), *board_words(made, show))]
    right = WIDTH - LEFT - COLUMN_GAP
    beside = (net_sections(piece, show, width=right), *(paragraph(text, width=right) for text in (_GAUGE, BENDING)))
    blocks = [side_by_side(stacked(words, gap=1.2), stacked(beside), at=LEFT + COLUMN_GAP)]
    if made.place:
        blocks.append(board_plan(made, made.place, width=WIDTH))
    blocks += _gauge_lines(made, show)
    return bench_pages(heading, blocks, name=f"{piece.part.file_name}-stock")


_GAUGE = (
    "Gauge lines for planing winding bevels by hand: at each mark square the runs over onto the face away from the "
    "planking, standing ones outside the edge, under ones inside; spring a batten through; plane from line to line."
)


def _gauge_lines(made: BenchPiece, show: str) -> list[Block]:
    piece = made.piece
    headings = ["mark", "along the\nlower edge", "lower bevel", "run", "upper bevel", "run", "width\nnet"]
    width = made.setup.width.tolist() if made.setup else []
    headings += ["width\nas sawn"] if made.setup else []
    rows = []
    for k, (name, place) in enumerate(zip(mark_names(piece), piece.places, strict=True)):
        runs = [piece.thickness * abs(float(np.tan(angle))) for angle in (place.lower, place.upper)]
        row = [
            name,
            write_length(place.along, show),
            bevel_word(place.lower),
            fine(runs[0], show),
            bevel_word(place.upper),
            fine(runs[1], show),
            fine(piece.width, show),
        ]
        rows.append([*row, fine(width[k], show)] if width else row)
    return table(headings, rows)


def rip_sheet(setup: SawSetup, rip: Rip, *, boat: str, show: str) -> list[Drawing]:
    """One cut: how the stock lies, where the guide goes, the tilt, and what is left for the plane."""
    heading = Heading(
        boat,
        f"{_named(setup)}: rip {rip.order} of 2, {rip.edge.name} edge",
        f"Saw set-up: {rip.edge.up} up, bow to the left; {fine(setup.piece.rules.planing, show)} left for the plane.",
    )
    right = WIDTH - LEFT_OF_SAW - COLUMN_GAP
    words = numbered(step_words(setup, rip, show), width=LEFT_OF_SAW)
    blocks = [
        side_by_side(words, set_up(setup, rip, show, width=right), at=LEFT_OF_SAW + COLUMN_GAP),
        rip_plan(setup, rip, width=WIDTH),
        *_rip_table(setup, rip, show),
    ]
    ranges = range_words(rip, setup, show)
    blocks += [paragraph(text) for text in (ranges, RIPPING) if text]
    return bench_pages(heading, blocks, name=f"{setup.piece.part.file_name}-rip-{rip.order}")


def _rip_table(setup: SawSetup, rip: Rip, show: str) -> list[Block]:
    own = rip.setting
    names = mark_names(setup.piece)
    along = np.array([place.along if rip.edge.name == "lower" else place.along_upper for place in setup.piece.places])
    columns = {f"along the\n{rip.edge.name} edge": [write_length(at, show) for at in along]}
    columns["saw line\noutside net"] = _fine(own.at(rip.x, own.beyond), show)
    if own.guide_line is not None and own.distance is not None:
        columns["guide to\nsaw line"] = _fine(own.distance + own.at(rip.x, own.stand_off), show)
        columns["guide off\nits string"] = list(_off_string(rip, show))
    columns["to plane,\nupper face"] = _fine(own.at(rip.x, own.plane_up), show)
    columns["to plane,\nlower face"] = _fine(own.at(rip.x, own.plane_down), show)
    rows = [[name, *cells] for name, *cells in zip(names, *columns.values(), strict=True)]
    return table(["mark", *columns], rows)


def _fine(values: np.ndarray, show: str) -> list[str]:
    return [fine(float(value), show) for value in values]


def _off_string(rip: Rip, show: str) -> Iterator[str]:
    """How far the guide stands off a string from its end mark to its end mark, and to which side."""
    line = rip.setting.guide_line
    assert line is not None
    y = np.interp(rip.x, line[:, 0], line[:, 1])
    off = y - y[0] - (y[-1] - y[0]) * (rip.x - rip.x[0]) / (rip.x[-1] - rip.x[0])
    for value in off:
        text = fine(abs(float(value)), show)
        nothing = text == fine(0.0, show)
        yield text if nothing else f"{text} {'away' if value > 0 else 'near'}"
