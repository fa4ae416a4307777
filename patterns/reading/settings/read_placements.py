"""A placement file: where each part lies on its sheet, as `scrieve nest` wrote it or as the builder has edited it."""

from __future__ import annotations

import math
import tomllib
from pathlib import Path
from typing import Any

from patterns.errors import InputError, Problem
from patterns.reading.toml.faults import endless_number
from patterns.shop.nest.blanks import Placement
from patterns.shop.nest.sheet_stock import SheetRoom, SheetStock
from patterns.shop.nest.sheets import PlacedSheets

SAME_SIZE = 0.5  # mm; sheets whose sides are so near each other are one size
SIDES = ("length", "width", "thickness")
FIGURES = ("turn", "left", "bottom")


def read_placements(file: Path, room: SheetRoom) -> PlacedSheets:
    """Read a placement file, its sheets matched with those of [stock].

    Raises
    ------
    InputError
        Every fault of the file at once.
    """
    text = ""
    try:
        text = file.read_bytes().decode("utf-8")
        data = tomllib.loads(text)
    except OSError as fault:
        raise InputError([Problem(str(file), (fault.strerror or str(fault)).lower(), "a placement file")]) from None
    except (tomllib.TOMLDecodeError, UnicodeDecodeError) as fault:
        raise InputError([Problem(str(file), f"text that cannot be read ({fault})", "TOML")]) from None
    except ValueError:
        raise InputError([endless_number(text, str(file))]) from None
    except RecursionError:
        raise InputError([Problem(str(file), "lists within lists without end", "TOML")]) from None
    problems: list[Problem] = []
    tables = data.pop("sheet", None)
    if data or not isinstance(tables, list) or not tables:
        found = next((f"'{key}'" for key in data), "no sheet")
        problems.append(Problem(str(file), found, "tables [[sheet]] only"))
        tables = tables if isinstance(tables, list) else []
    sheets: list[SheetStock] = []
    stated: list[tuple[str, float]] = []
    placements: list[Placement] = []
    for number, table in enumerate(tables):
        cell = f"{file}, [[sheet]] {number + 1}"
        stock = _stock(table, cell, room, problems)
        if stock is not None:
            sheets.append(stock)
            stated.append((table["material"], float(table["thickness"])))
        placements += _parts(table, number, cell, problems)
    if problems:
        raise InputError(problems)
    return PlacedSheets(str(file), tuple(sheets), tuple(stated), tuple(placements))


def _stock(table: Any, cell: str, room: SheetRoom, problems: list[Problem]) -> SheetStock | None:
    if not isinstance(table, dict) or set(table) != {*SIDES, "material", "parts"}:
        found = ", ".join(table) or "nothing" if isinstance(table, dict) else repr(table)
        problems.append(Problem(cell, found, f"{', '.join(SIDES)}, material and parts"))
        return None
    sides = [_number(table[key], f"{cell} {key}", problems) for key in SIDES]
    if not isinstance(table["material"], str):
        problems.append(Problem(f"{cell} material", repr(table["material"]), "a material in quotes"))
        return None
    if None in sides:
        return None
    length, width, thickness = (side or 0.0 for side in sides)
    for stock in room.sheets_for(table["material"], thickness):
        if abs(stock.length - length) <= SAME_SIZE and abs(stock.width - width) <= SAME_SIZE:
            return stock
    found = f"a sheet of {length:.1f} by {width:.1f} mm, {thickness:.4g} mm {table['material']}"
    problems.append(Problem(cell, found, "a sheet of [stock] in boat.toml"))
    return None


def _parts(table: Any, number: int, cell: str, problems: list[Problem]) -> list[Placement]:
    parts = table.get("parts") if isinstance(table, dict) else None
    if not isinstance(parts, list):
        return []  # told with the sheet's own keys
    placements = []
    for place, part in enumerate(parts, start=1):
        here = f"{cell} part {place}"
        if not isinstance(part, dict) or set(part) != {"name", *FIGURES} or not isinstance(part["name"], str):
            found = ", ".join(map(str, part)) or "nothing" if isinstance(part, dict) else repr(part)
            problems.append(Problem(here, found, f"name, {', '.join(FIGURES)}"))
            continue
        figures = [_number(part[key], f"{here} {key}", problems) for key in FIGURES]
        if None not in figures:
            turn, left, bottom = (figure or 0.0 for figure in figures)
            placements.append(Placement(part["name"], number, turn, left, bottom))
    return placements


def _number(value: Any, cell: str, problems: list[Problem]) -> float | None:
    # TOML's true is a Python number; so are its inf and nan.
    if isinstance(value, int | float) and not isinstance(value, bool) and abs(value) < 1e6 and math.isfinite(value):
        return float(value)
    problems.append(Problem(cell, repr(value), "a number"))
    return None
