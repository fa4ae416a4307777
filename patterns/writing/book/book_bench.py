"""The job book's tables for the bench: setting up, bevel boards, running measures."""

from __future__ import annotations

from collections.abc import Iterator, Sequence

import numpy as np

from patterns.parts.hazards import LIFTING
from patterns.parts.part import Bevel
from patterns.parts.role import Role
from patterns.plates.pattern.bevels import bevel_text
from patterns.plates.words.board_words import stock_size
from patterns.shop.layout.bevel_boards import BevelBoard, BoardEdge
from patterns.shop.layout.layout_tables import LayoutTable
from patterns.shop.layout.mould_figures import MouldFigures
from patterns.shop.layout.setting_up import SettingUp
from patterns.shop.saw.keel_cuts import KeelBench
from patterns.shop.saw.long_bench import BenchPiece
from patterns.shop.stock.cut_list import on_hand
from patterns.units.lengths import write_length
from patterns.units.tape import tape_rounding
from patterns.writing.report.report_blocks import Block, Bullets, Link, Paragraph, Section, Table
from patterns.writing.tables.layout_csv import layout_words

SHORT = {"to port": "P", "to starboard": "S", "on the line": ""}
TABLED = frozenset((Role.PANEL, Role.PANEL_PIECE, Role.THWART, Role.SKEG))
"""What is laid out by a table in the book; long pieces go by their story sticks, frames and ends by their pages."""
TO_WRITE = "______"  # a place to write what was measured


def setting_up_section(plan: SettingUp) -> Section:
    """Every step with what to measure, what it should be, and where to write what it was."""
    blocks: list[Block] = [
        Paragraph(
            f"Built {plan.way.value}; heights run up from {plan.datum_name}, distances aft from FP, the zero. Figures "
            f"of frames are to the inside of the planking, on the named face. Lengths are {tape_rounding(plan.show)}."
        ),
        Paragraph(LIFTING, "caution"),
        *([Paragraph(plan.assumed, "note")] if plan.assumed else []),
    ]
    columns = ("check", "should be", "measured")
    for step in plan.steps:
        rows = tuple((one.what, one.expected, _to_write(one.boxes)) for one in step.checks)
        text = f"☐ {step.number}. {step.deed}"
        blocks.append(Table(text, columns, rows, frozenset(columns[1:])) if rows else Paragraph(text))
    return Section("Setting up", tuple(blocks))


def moulds_section(moulds: Sequence[MouldFigures], show: str) -> Section:
    """A table for each mould of a round hull: where the boat's lines cross it, and the bevel there."""
    intro = Paragraph(
        "Half-breadths and heights above base, on the marked face, to the edge of the mould where it touches with that "
        "face. The bevel is the planking's off square: of a mould left square it tells what a plane would take."
    )
    columns = ("line", "half-breadth", "height above base", "bevel")
    tables = (
        Table(
            f"{one.name[:1].upper()}{one.name[1:]}: {one.face}, {write_length(one.from_fp, show)} from FP",
            columns,
            tuple(
                (p.line, write_length(p.half, show), write_length(p.height, show), bevel_text(p.bevel, show))
                for p in one.places
            ),
            frozenset(columns[1:]),
        )
        for one in moulds
    )
    return Section("Lines on the moulds", (intro, *tables))


def _to_write(boxes: int) -> str:
    return f"P {TO_WRITE}  S {TO_WRITE}" if boxes == 2 else TO_WRITE


def bevel_section(boards: Sequence[BevelBoard], show: str) -> Section:
    """A table for each part with a bevelled edge: what the gauge is set to, mark by mark."""
    intro = Paragraph(
        "Hold the gauge's stock to the face named. Under: the far face is smaller, only take wood away. Standing: "
        "the far face is larger, leave wood beyond the line. The length is the run over the stock's thickness."
    )
    return Section("Bevel boards", (intro, *(_board(board, show) for board in boards)))


def _board(board: BevelBoard, show: str) -> Table:
    rows = tuple(row for edge in board.edges for row in _edge(edge, show))
    title = board.title[:1].upper() + board.title[1:]
    return Table(f"{title}: off the {board.face}", ("line", "edge", "at", "bevel"), rows, frozenset(("line",)))


def _edge(edge: BoardEdge, show: str) -> Iterator[tuple[str, ...]]:
    for place, line in enumerate(edge.lines):
        off = f", off the {edge.face}" if edge.face else ""
        name = f"{edge.name}, from {edge.begins}{off}" if place == 0 else ""
        yield str(line.number), name, line.place, bevel_text(Bevel(line.along, line.angle, line.run), show)


def layout_section(tables: Sequence[LayoutTable]) -> Section:
    """Running measures of panels and plain boards; both hands of a pair are told once.

    A joined panel is laid out piece by piece.
    """
    joined = {table.part.of for table in tables}
    tables = [table for table in tables if table.part.role in TABLED and table.part.title not in joined]
    parts = []
    for name in dict.fromkeys(table.part.name for table in tables):
        hands = [table for table in tables if table.part.name == name]
        twins = len(hands) == 2 and _alike(*hands)
        parts += [_layout(hands[-1], twin=hands[0])] if twins else [_layout(table) for table in hands]
    intro = Paragraph(
        "For marking out on wood with tape, square and batten. Along runs from the zero, never from point to point; "
        "off is square to the line struck. Long pieces are marked from their story sticks, frames and ends from their "
        "pages. The files in tables/ have the figures of all of them."
    )
    return Section("Layout tables", (intro,), tuple(parts))


def layout_links(layout: Section, tables: Sequence[LayoutTable]) -> dict[str, Link]:
    """By a part's title, the place in the book where its table stands in the section of all of them."""
    found = {}
    for section in layout.parts:
        for table in tables:
            if section.title in (f"Layout of {table.title}", f"Layout of {table.part.name}, port and starboard"):
                found[table.part.title] = Link("in this book", f"#{section.anchor}", kind="Layout")
    return found


def _alike(one: LayoutTable, other: LayoutTable) -> bool:
    """Whether two hands have the same figures on the tape."""
    figures = [[(t.tape(p.along), t.tape(abs(p.off))) for p in t.points] for t in (one, other)]
    return figures[0] == figures[1] and [line.name for line in one.lines] == [line.name for line in other.lines]


def _layout(table: LayoutTable, twin: LayoutTable | None = None) -> Section:
    blocks: list[Block] = [Bullets(tuple(layout_words(table)))]
    if twin is not None:
        words = f"{twin.part.hand.capitalize()}: the same figures; strike {twin.struck}"
        swapped = twin.sides != table.sides
        also = f", and set off {twin.sides[0]} what is {table.sides[0]} here" if swapped else ""
        blocks.append(Paragraph(f"{words}{also}.", "note"))
    columns: tuple[str, ...] = ("line", "point", "meets", "along", "off", "side")
    rows: tuple[tuple[str, ...], ...] = tuple(_points(table))
    if len({row[-1] for row in rows} - {"on the line"}) == 1:
        side = next(row[-1] for row in rows if row[-1] != "on the line")
        columns, rows = columns[:-1], tuple(row[:-1] for row in rows)
        caption = f"Every offset {side}"
    else:
        caption = "Points in their order along each line"
        if "to port" in table.sides:
            caption += "; offsets to port are marked P, to starboard S"
            rows = tuple((*row[:-1], SHORT.get(row[-1], row[-1])) for row in rows)
    blocks.append(Table(caption, columns, rows, frozenset(("point", "along", "off"))))
    first, second = table.diagonals
    checks = (f"point {one.first} to point {one.second} is {table.tape(one.length)}" for one in (first, second))
    blocks.append(Paragraph(f"Check two diagonals: {'; '.join(checks)}."))
    return Section(
        f"Layout of {table.title if twin is None else f'{table.part.name}, port and starboard'}", tuple(blocks)
    )


def _points(table: LayoutTable) -> Iterator[tuple[str, ...]]:
    for line in table.lines:
        meets = line.meets
        for place, number in enumerate(line.numbers):
            point = table.points[number - 1]
            name = line.name if place == 0 else ""
            off = table.tape(float(np.abs(point.off)))
            yield name, str(number), meets.get(number, ""), table.tape(point.along), off, table.side(point.off)


def saw_section(worked: Sequence[BenchPiece], keels: Sequence[KeelBench], show: str) -> Section:
    """How each long piece bends, what it is sawn from and at what tilts; both hands alike are told once."""
    bends = (*dict.fromkeys(_bend(one, show) for one in worked), *(_keel_bend(one, show) for one in keels))
    cuts = (*(row for one in worked for row in _rips(one, worked)), *(row for one in keels for row in _keel_cuts(one)))
    blocks: list[Block] = [
        Paragraph(
            "Set the tilt by a bevel gauge or a test cut, never by the saw's scale alone. Support both sides of the "
            "cut and the fall-off, stand out of line, unplug to set or change the tilt.",
            "caution",
        ),
        Table("Bending, and what it wants of the wood", ("piece", "bend", "least radius", "board"), bends),
    ]
    if cuts:
        columns = ("piece", "cut", "edge", "face up", "tilt")
        blocks.append(Table("Rips, in their order", columns, cuts, frozenset(("cut", "tilt"))))
        blocks.append(
            Paragraph("Where the guide lies, to which side of the cut and for which mark, is on paper/saw-set-ups.pdf.")
        )
    return Section("Saw set-ups", tuple(blocks))


def _bend(one: BenchPiece, show: str) -> tuple[str, str, str, str]:
    bend = one.bend
    straight = not np.isfinite(bend.flat_radius)
    radius = "straight" if straight else f"{write_length(bend.flat_radius, show)}, {bend.flat_ratio:.0f} thicknesses"
    has = on_hand(one)
    if has is None:
        board = f"stock {stock_size(one, show)}"
    else:
        lengths = f"{len(has.lengths)} lengths of " if has.lengths else ""
        lacking = f", {len(has.missing)} more to buy" if has.missing else ""
        board = f"{lengths}board {has.board} of yours{lacking}"
    return one.piece.name, bend.way.value, radius, board


def _rips(one: BenchPiece, worked: Sequence[BenchPiece]) -> Iterator[tuple[str, ...]]:
    """The rows of a piece; of a pair that is sawn alike, those of the first hand stand for both."""
    twins = [_settings(other) for other in worked if other.piece.name == one.piece.name]
    alike = all(twin == twins[0] for twin in twins)
    first = next(other for other in worked if other.piece.name == one.piece.name)
    if alike and one is not first:
        return
    name = one.piece.name if alike else one.title
    for place, row in enumerate(_settings(one)):
        yield (name if place == 0 else "", *row)


def _keel_bend(one: KeelBench, show: str) -> tuple[str, str, str, str]:
    """A V bottom's keel batten or keelson: bent over the frames, or sawn to its outline."""
    straight = not np.isfinite(one.radius)
    radius = "straight" if straight else f"{write_length(one.radius, show)}, {one.ratio:.0f} heights"
    sided, wide = write_length(one.keel.rules.sided, show), write_length(one.width, show)
    return one.keel.name, "over the frames, or saw it to its outline", radius, f"sawn: {sided} thick, {wide} wide"


def _keel_cuts(one: KeelBench) -> Iterator[tuple[str, ...]]:
    for place, cut in enumerate(one.cuts):
        side, tilt = f"{'port' if cut.port_up else 'starboard'} side", f"{np.degrees(cut.setting.tilt):.1f}°"
        yield (one.keel.name if place == 0 else "", str(place + 1), cut.line, side, tilt)


def _settings(one: BenchPiece) -> list[tuple[str, ...]]:
    rips = one.setup.rips if one.setup else ()
    return [(str(rip.order), rip.edge.name, rip.edge.up, f"{np.degrees(rip.setting.tilt):.1f}°") for rip in rips]
