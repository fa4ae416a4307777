"""The job book's cut list: sheets as they are filled, boards to buy."""

from __future__ import annotations

import re
from collections.abc import Iterator, Sequence
from itertools import groupby
from math import fsum

from patterns.parts.materials import Plywood, material_words
from patterns.parts.part import Part
from patterns.plates.bench_words import no_less
from patterns.shop.cut_list import WASTE, BoardPiece, board_pieces, quarters, with_waste
from patterns.shop.sheet_pictures import sheet_picture, sheet_title
from patterns.shop.sheets import FilledSheet, SheetPlan
from patterns.units.lengths import write_length
from patterns.writing.blocks import Block, Bullets, Figure, Link, Links, Paragraph, Section, Table

_COPY = re.compile(r", [0-9]+ of [0-9]+$")
METRIC = ("mm", "cm", "m")
CUBIC_METRE = 1e9  # mm3


def wood_section(
    parts: Sequence[Part], plan: SheetPlan, show: str, sheet_files: Sequence[str], plywood: Plywood
) -> Section:
    """Every piece of wood to cut, by what it is cut from.

    Parameters
    ----------
    parts : sequence
        Every piece to cut; joined panels by their pieces.
    plan : SheetPlan
        The builder's sheets, filled; none where he names none.
    sheet_files : sequence
        Paths in the job folder that belong to the sheets.
    plywood : Plywood
        Which materials come in sheets.
    """
    # One of several alike is called by its number after the part's own name.
    on_sheets = {_COPY.sub("", placement.name) for sheet in plan.sheets for placement, _ in sheet.lying}
    rest = [part for part in parts if part.title not in on_sheets]
    blocks: list[Block] = []
    if plan.sheets:
        blocks += [block for sheet in plan.sheets for block in _sheet(sheet, show)]
        blocks += [Links(tuple(Link(path, path, on_paper=False) for path in sheet_files))] if sheet_files else []
    boards = board_pieces(rest)
    sheets = tuple(one for one in boards if one.material in plywood)
    blocks += _plywood(sheets, show, named=bool(plan.sheets))
    blocks += _boards(tuple(one for one in boards if one not in sheets), show)
    return Section("Cut list", tuple(blocks))


def _sheet(sheet: FilledSheet, show: str) -> Iterator[Block]:
    names = ", ".join(sorted(placement.name for placement, _ in sheet.lying))
    yield Figure(sheet_picture(sheet, show), f"{sheet_title(sheet, show)}: {names}.")


def _plywood(pieces: Sequence[BoardPiece], show: str, *, named: bool) -> Iterator[Block]:
    if not pieces:
        return
    why = "on none of your sheets" if named else "name your sheets in [stock] to have it laid out on them"
    rows = tuple((one.title, str(one.count), one.material, *_sizes(one, show)) for one in pieces)
    columns = ("part", "make", "material", "thick", "long", "wide")
    yield Table(f"Plywood, {why}", columns, rows, frozenset(columns[3:]))


def _boards(pieces: Sequence[BoardPiece], show: str) -> Iterator[Block]:
    if not pieces:
        return
    yield Paragraph(
        "Each size is the least rectangle that holds both faces of the piece as its pattern lies, rounded up; add "
        "what your saw and plane take, and length to hold it by. Frames and other curved pieces nest in wider boards."
    )
    for material, group in groupby(pieces, key=lambda one: one.material):
        yield _of_one_wood(material, tuple(group), show)
    yield Bullets(
        (
            "Rough thickness is the thinnest of the usual ones that planes clean to the finished thickness, by what "
            "surfacing both faces takes: 3/16 in, from 2 in up 1/4 in (standard surfaced thicknesses of the hardwood "
            "trade's grading rules, from memory). Measure what your yard has.",
            f"To buy: net and {100 * WASTE:.0f} % of what is bought for waste (hardwood 15 to 20 %, and 5 to 10 % more "
            "for curves, woodworking texts).",
        )
    )


def _of_one_wood(material: str, pieces: Sequence[BoardPiece], show: str) -> Table:
    columns = ("part", "make", "thick", "long", "wide", "rough", _unit(show))
    rows = tuple(
        (
            one.title,
            str(one.count),
            *_sizes(one, show),
            _rough(one, show),
            _volume(one.board_feet, show),
        )
        for one in pieces
    )
    net = fsum(one.board_feet for one in pieces)
    total = f"{_volume(net, show)} {_unit(show)} net, {_volume(with_waste(net), show)} to buy"
    name = material_words(material).capitalize()
    return Table(f"{name}: {total}", columns, rows, frozenset(columns[2:]))


def _sizes(piece: BoardPiece, show: str) -> tuple[str, str, str]:
    return write_length(piece.thickness, show), no_less(piece.length, show), no_less(piece.width, show)


def _rough(piece: BoardPiece, show: str) -> str:
    if piece.rough is None:
        return "built up"
    return f"{piece.rough:.0f} mm" if show in METRIC else quarters(piece.rough)


def _unit(show: str) -> str:
    return "m³" if show in METRIC else "board feet"


def _volume(board_feet: float, show: str) -> str:
    return f"{board_feet * 144 * 25.4**3 / CUBIC_METRE:.4f}" if show in METRIC else f"{board_feet:.1f}"
