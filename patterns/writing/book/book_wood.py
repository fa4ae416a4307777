"""The job book's cut list: sheets as they are filled, boards on hand, boards to buy."""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from itertools import groupby
from math import fsum
from pathlib import PurePosixPath

from patterns.parts.materials import Plywood, material_words
from patterns.parts.part import Part
from patterns.plates.words.buying_words import METRIC, numbers_words, sheet_kinds, volume_unit, volume_words
from patterns.plates.words.length_words import EXPLAINED, NAMES, finished_words, length_cells, stock_words, wide_words
from patterns.shop.nest.sheet_pictures import sheet_picture, sheet_title
from patterns.shop.nest.sheets import FilledSheet, SheetPlan
from patterns.shop.saw.long_bench import BenchPiece
from patterns.shop.stock.buying import NO_YARD, BuyingPlan, WoodTotal
from patterns.shop.stock.cut_list import (
    WASTE,
    BoardPiece,
    OnHand,
    board_pieces,
    off_sheets,
    quarters,
    sheets_of,
    to_be_bought,
    with_waste,
)
from patterns.shop.stock.lengths import finished_size, lengths_of
from patterns.shop.stock.yard import BOARD_FOOT
from patterns.units.lengths import INCH, unbroken, write_length
from patterns.writing.report.report_blocks import Block, Bullets, Figure, Link, Links, Paragraph, Section, Table


def wood_section(
    parts: Sequence[Part],
    plan: SheetPlan,
    made: Sequence[BenchPiece],
    show: str,
    sheet_files: Sequence[str],
    plywood: Plywood,
    buying: BuyingPlan = NO_YARD,
    *,
    index: Sequence[str] = (),
) -> Section:
    """Every piece of wood to cut, by what it is cut from.

    Parameters
    ----------
    parts : sequence
        Every piece to cut; joined panels by their pieces.
    plan : SheetPlan
        The builder's sheets, filled; none where he names none.
    made : sequence of BenchPiece
        The long pieces at the bench, laid on the builder's boards.
    sheet_files : sequence
        Paths in the job folder that belong to the sheets.
    plywood : Plywood
        Which materials come in sheets.
    buying : BuyingPlan
        Whole boards of the yard; none where the builder names no yard.
    index : sequence
        What index holes are for, a paragraph each.
    """
    blocks: list[Block] = [Paragraph(EXPLAINED), *map(Paragraph, index)]
    rest = off_sheets(parts, plan)
    if plan.sheets:
        blocks += [block for sheet in plan.sheets for block in _sheet(sheet, show)]
        blocks.append(_on_sheets([part for part in parts if part not in rest], plan, show))
        blocks += _sheets_to_buy(to_be_bought(plan), show)
        if sheet_files:
            blocks.append(Links(tuple(_sheet_link(path) for path in sorted(sheet_files, key=_kind_of_sheet))))
    pieces = board_pieces(rest, made, buying.rules.boards)
    sheets = tuple(one for one in pieces if one.material in plywood)
    boards = tuple(one for one in pieces if one not in sheets)
    blocks += _plywood(sheets, show, named=bool(plan.sheets))
    blocks += _on_hand(tuple(one for one in boards if one.on_hand), show)
    blocks += _to_buy(tuple(one for one in boards if one.on_hand is None or one.on_hand.missing), buying, show)
    return Section("Cut list", tuple(blocks))


_SHEET_FILES = {".dxf": "Router files of the sheets (DXF)", ".svg": "Drawings of the sheets (SVG)"}


def _kind_of_sheet(path: str) -> str:
    return _SHEET_FILES.get(PurePosixPath(path).suffix, "")


def _sheet_link(path: str) -> Link:
    kind, name = _kind_of_sheet(path), PurePosixPath(path).stem.replace("-", " ")
    return Link(name if kind else name.capitalize(), path, on_paper=False, kind=kind)


def _sheet(sheet: FilledSheet, show: str) -> Iterator[Block]:
    names = ", ".join(sorted(placement.name for placement, _ in sheet.lying))
    yield Figure(sheet_picture(sheet, show), f"{sheet_title(sheet, show)}: {names}.")


def _on_sheets(parts: Sequence[Part], plan: SheetPlan, show: str) -> Table:
    lie_on = sheets_of(plan)
    rows = tuple(
        (
            part.title,
            str(part.count),
            ", ".join(map(str, lie_on[part.title])),
            finished_words(lengths_of(part), show),
            write_length(finished_size(part)[1], show),
        )
        for part in parts
    )
    columns = ("part", "make", "sheet", "finished", "wide")
    return Table("On your sheets", columns, rows, frozenset(columns[1:]))


def _sheets_to_buy(sheets: Sequence[FilledSheet], show: str) -> Iterator[Block]:
    """How many of each kind: what is not counted in boat.toml the builder has not."""
    kinds = sheet_kinds(sheets, show)
    if kinds:
        yield Paragraph("Sheets to buy:")
        yield Bullets(
            tuple(
                f"{len(alike)} of {kind}: {numbers_words([sheet.number for sheet in alike], 'sheet')}."
                for kind, alike in kinds.items()
            )
        )


def _plywood(pieces: Sequence[BoardPiece], show: str, *, named: bool) -> Iterator[Block]:
    if not pieces:
        return
    why = "on none of your sheets" if named else "name your sheets in [stock] to have it laid out on them"
    rows = tuple(
        (
            one.title,
            str(one.count),
            one.material,
            write_length(one.thickness, show),
            finished_words(one.lengths, show),
            write_length(one.width, show),
        )
        for one in pieces
    )
    columns = ("part", "make", "material", "thick", "finished", "wide")
    yield Table(f"Plywood, {why}", columns, rows, frozenset(columns[3:]))


def _on_hand(pieces: Sequence[BoardPiece], show: str) -> Iterator[Block]:
    """What comes out of boards the builder has, and so need not be bought."""
    if not pieces:
        return
    rows = tuple(
        (
            one.title,
            _out_of(one.on_hand, show),
            write_length(one.thickness, show),
            *length_cells(one.lengths, show),
            wide_words(one.width, one.stock_width, show),
        )
        for one in pieces
        if one.on_hand
    )
    columns = ("part", "from", "thick", *NAMES, "wide")
    yield Table("From your boards on hand: not to be bought", columns, rows, frozenset(columns[2:]))


def _out_of(on_hand: OnHand, show: str) -> str:
    board = f"board {on_hand.board}"
    if not on_hand.lengths:
        return board
    lengths = ", ".join(write_length(length, show) for length in on_hand.lengths)
    return f"{board}: {lengths}, scarfed"


def _to_buy(pieces: Sequence[BoardPiece], buying: BuyingPlan, show: str) -> Iterator[Block]:
    if not pieces:
        return
    totals = {one.material: buying.total_of(one.material) for one in pieces}
    yield Paragraph(
        "Finished and wide are the least rectangle that holds both faces of the piece as its pattern lies. Where a "
        "stock length is given, wide is the board's: saw, plane and wood to hold are in both. Where none is given, add "
        "what your saw and plane take, and length to hold it by. Frames and other curved pieces nest in wider boards."
    )
    for material, group in groupby(pieces, key=lambda one: one.material):
        yield _of_one_wood(material, tuple(group), totals[material], show)
    yield Bullets(
        (
            "Rough thickness is the thinnest that planes clean to the finished one: of your yard's where [stock] yard "
            "lists the wood, else of the usual ones, by what "
            "surfacing both faces takes: 3/16 in, from 2 in up 1/4 in (standard surfaced thicknesses of the hardwood "
            "trade's grading rules, from memory). Measure what your yard has.",
            *([_ESTIMATED] if None in totals.values() else []),
        )
    )


_ESTIMATED = (
    f"To buy: net and {100 * WASTE:.0f} % of what is bought for waste (hardwood 15 to 20 %, and 5 to 10 % more for "
    "curves, woodworking texts). Where boards of the yard are named in [stock] yard, whole boards are counted instead."
)


def _of_one_wood(material: str, pieces: Sequence[BoardPiece], laid: WoodTotal | None, show: str) -> Table:
    # What is bought is stock; the sawn length stands with the part and on the saw sheets, and would not fit on paper.
    names = ("finished", "stock") if any(one.lengths.stock for one in pieces) else ("finished",)
    columns = ("part", "thick, rough", *names, "wide", volume_unit(show))
    rows = tuple(
        (
            _bought(one, show),
            f"{unbroken(write_length(one.thickness, show))}, {unbroken(_rough(one, show))}",
            *(finished_words(one.lengths, show), stock_words(one.lengths, show))[: len(names)],
            wide_words(one.width, one.stock_width, show),
            volume_words(one.to_buy * BOARD_FOOT, show),
        )
        for one in pieces
    )
    net = fsum(one.to_buy for one in pieces)
    gross = with_waste(net) * BOARD_FOOT if laid is None else laid.gross
    to_buy = f"{volume_words(gross, show)} to buy{'' if laid is None else ', in whole boards'}"
    total = f"{volume_words(net * BOARD_FOOT, show)} {volume_unit(show)} net, {to_buy}"
    name = material_words(material).capitalize()
    return Table(f"{name}: {total}", columns, rows, frozenset(columns[2:]))


def _bought(piece: BoardPiece, show: str) -> str:
    """A piece by its name, how many where there are several, and what of it is to be bought where some is on hand."""
    if not piece.on_hand:
        return piece.title if piece.count == 1 else f"{piece.title}: make {piece.count}"
    lengths = ", ".join(write_length(length, show) for length in piece.on_hand.missing)
    return f"{piece.title}: only {lengths} of it, to be scarfed to what is on hand"


def _rough(piece: BoardPiece, show: str) -> str:
    if piece.rough is None:
        return "built up"
    if show in METRIC:
        return f"{piece.rough:.0f} mm"
    whole = abs(piece.rough * 4 / INCH - round(piece.rough * 4 / INCH)) < 0.01
    return quarters(piece.rough) if whole else write_length(piece.rough, show)
